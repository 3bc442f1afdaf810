package store

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"
)

// Fault is one thing that is wrong with a notebook.
type Fault struct {
	Record  string `json:"record"` // kind and mark, name or number; "file" for the file itself
	Problem string `json:"problem"`
	Do      string `json:"do"` // in plain words
}

// Audit reads the whole notebook and reports what is wrong with it: the file, what
// records say of one another, and each record by the rules by which it was taken
// in. records counts what was read, by kind. It takes time in proportion to the
// file.
func (n *Notebook) Audit(ctx context.Context, progress func(done, of int)) (faults []Fault, records int, err error) {
	const back = "copy the file before anything else, then go back to the last backup that checks out: cp BACKUP NOTEBOOK"
	wrong, err := n.Check(ctx)
	if err != nil {
		return nil, 0, err
	}
	for _, s := range wrong {
		faults = append(faults, Fault{"file", s, back})
	}
	err = n.read(ctx, func(tx *tx) error {
		a := &audit{tx: tx, faults: faults, progress: progress}
		goods := newLuggage()
		for _, k := range goods.all() {
			c, err := k.count(tx)
			if err != nil {
				return err
			}
			a.total += c
		}
		auditKind(a, &goods.machines, nil)
		auditKind(a, &goods.spools, nil)
		auditKind(a, &goods.suggestions, nil)
		auditKind(a, &goods.welds, func(w *weldRecord, say func(string, string)) {
			if number, ok := parseMark(w.Mark); !ok || formatMark(number) != w.Mark {
				say("its mark is none: "+w.Mark, "strike the weld, and log another")
			}
		})
		auditKind(a, &goods.runOuts, nil)
		auditKind(a, &goods.readings, nil)
		auditKind(a, &goods.cutOuts, nil)
		auditKind(a, &goods.arcs, nil)
		auditKind(a, &goods.reratings, nil)
		auditKind(a, &goods.followUps, nil)
		auditKind(a, &goods.photos, func(p *photoRecord, say func(string, string)) {
			if err := readPicture(a.tx, p); err != nil || sumOf(p.Picture) != p.Rec.SHA256 {
				say("its picture is not the one that was put in", "go back to the last backup that checks out")
			}
			p.Picture = nil
		})
		auditKind(a, &goods.procedures, nil)
		err := a.across()
		faults, records = a.faults, a.done
		return err
	})
	return faults, records, err
}

type audit struct {
	*tx
	faults      []Fault
	progress    func(done, of int)
	done, total int
}

// auditKind reads every record of a kind by itself.
func auditKind[T any](a *audit, k *kind[T], more func(*T, func(problem, do string))) {
	k.ready()
	for last := ""; ; {
		list, err := k.rows(a.tx, k.which()+" AND id > ? ORDER BY id LIMIT 2000", last)
		if err != nil {
			a.faults = append(a.faults, Fault{"every " + k.name, "cannot be read on: " + err.Error(), "go back to the last backup that checks out"})
			return
		}
		if len(list) == 0 {
			return
		}
		for _, rec := range list {
			cols := k.bind(rec)
			say := func(problem, do string) { a.faults = append(a.faults, Fault{called(k.name, cols), problem, do}) }
			last = show(field(cols, "id"))
			if err := validID(last); err != nil {
				say("its id is none that this program gives: "+last, "it can stay here, but it cannot be exchanged with another notebook")
			}
			if err := k.check(rec); err != nil {
				say(err.Error(), "amend it, or strike it")
			}
			if err := legible(stored(cols)); err != nil {
				say(err.Error(), "amend it")
			}
			if more != nil {
				more(rec, say)
			}
			if a.done++; a.progress != nil {
				a.progress(a.done, a.total)
			}
		}
	}
}

// across looks at what records say of one another beyond what the database does.
func (a *audit) across() error {
	for _, q := range []struct{ query, problem, do string }{
		{"SELECT 'weld ' || w.mark FROM welds w JOIN states s ON s.id = w.state JOIN machines m ON m.n = s.machine WHERE m.name <> w.machine", "it was made in a state of another machine", "amend its machine"},
		{"SELECT 'setting ' || key FROM settings WHERE key = 'machine' AND value NOT IN (SELECT id FROM machines) OR key = 'spool' AND value NOT IN (SELECT id FROM spools)", "what is in use is not there", "say what is: beadwright machine use NAME, beadwright wire use NAME"},
		{"SELECT 'setting ' || key FROM settings WHERE key = 'machine' AND value IN (SELECT id FROM machines WHERE struck IS NOT NULL) OR key = 'spool' AND value IN (SELECT id FROM spools WHERE struck IS NOT NULL)", "what is in use was withdrawn", "say what is: beadwright machine use NAME, beadwright wire use NAME"},
		{"SELECT 'weld ' || mark FROM welds GROUP BY mark HAVING count(*) > 1", "two welds have this mark", "go back to the last backup that checks out"},
	} {
		if err := a.each(func(r scanner) error {
			var record string
			err := r.Scan(&record)
			a.faults = append(a.faults, Fault{record, q.problem, q.do})
			return err
		}, q.query); err != nil {
			return err
		}
	}
	return nil
}

// CheckFile is [Notebook.Audit] for any file, such as a backup. The file is only
// read. One of an older form is looked at as this program would read it, in a copy
// that is then thrown away.
func CheckFile(ctx context.Context, path string, progress func(done, of int)) (faults []Fault, records int, err error) {
	n, err := Open(ctx, path, Options{ReadOnly: true})
	var file *FileError
	if errors.As(err, &file) && file.Kind == ReadOnly && strings.HasPrefix(file.Problem, "an older") {
		dir, err := os.MkdirTemp("", "beadwright-check-")
		if err != nil {
			return nil, 0, explain(path, err)
		}
		defer os.RemoveAll(dir)
		if path, err = apart(ctx, path, filepath.Join(dir, "copy.db")); err != nil {
			return nil, 0, err
		}
		n, err = Open(ctx, path, Options{})
		if err != nil {
			return nil, 0, err
		}
	} else if err != nil {
		return nil, 0, err
	}
	defer n.Close()
	return n.Audit(ctx, progress)
}

// apart copies a notebook's file, with what its log holds.
func apart(ctx context.Context, path, to string) (string, error) {
	abs, err := filepath.Abs(path)
	if err != nil {
		return "", explain(path, err)
	}
	db, err := source{path: abs, wait: 10 * time.Second}.open("ro")
	if err != nil {
		return "", explain(path, err)
	}
	defer db.Close()
	if _, err := db.ExecContext(ctx, "VACUUM INTO ?", to); err != nil {
		return "", explain(path, fmt.Errorf("it cannot be copied to be looked at: %w", err))
	}
	return to, nil
}
