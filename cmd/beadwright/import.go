package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime/debug"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"beadwright/procedures"
	spreadsheet "beadwright/procedures/sheet"
	"beadwright/procedures/store"
	"beadwright/recommend"
)

type importOptions struct {
	maps    []string
	machine string
	dryRun  bool
	in      io.Reader
}

func newImport(a *app) *cobra.Command {
	var o importOptions
	cmd := &cobra.Command{
		Use:   "import FILE.jsonl|FILE.csv|-",
		Short: "Put another notebook's records, or a spreadsheet's welds, into this one",
		Long: `Put what a file holds into this notebook: the lines that export writes, or a plain
spreadsheet of welds saved as CSV, with a row of headings. First it says what would
be added, what is here already and where the two disagree; --dry-run stops there.
All of the file is taken or none of it, and the same file twice adds nothing.

Headings that mean something to a welder are understood, and a unit in them counts:
Thickness (mm), WFS (ipm). Others: --map "Their column=ours", or ours - to leave a
column out; nothing is written before every column is one or the other. Machines and spools that a spreadsheet names must be written down first.`,
		Example: `  beadwright import shop.jsonl --dry-run
  beadwright import welds.csv --map "Operator=note" --map "Lot=-"
  beadwright import log2019.csv --units metric --machine shed`,
		Args: cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			o.in = cmd.InOrStdin()
			ctx, stop := untilInterrupted(cmd)
			defer stop()
			return a.importFile(ctx, o, args[0])
		},
	}
	f := cmd.Flags()
	f.BoolVar(&o.dryRun, "dry-run", false, "say what it would do, and do nothing")
	f.StringArrayVar(&o.maps, "map", nil, "`THEIRS=OURS`: what a column of a spreadsheet is (repeat)")
	f.StringVar(&o.machine, "machine", "", "of the spreadsheet's rows that name no machine")
	a.completes(cmd, "machine", func(cmd *cobra.Command, _ []string, _ string) ([]string, cobra.ShellCompDirective) {
		return a.machineNames(cmd.Context()), cobra.ShellCompDirectiveNoFileComp
	})
	return cmd
}

// imported is what import prints with --json.
type imported struct {
	File    string `json:"file"`
	DryRun  bool   `json:"dry_run"`
	Written bool   `json:"written"`
	Read    int    `json:"read"`
	store.Report
	Columns []spreadsheet.Heading `json:"columns"` // of a spreadsheet
}

func (a *app) importFile(ctx context.Context, o importOptions, path string) error {
	debug.SetGCPercent(100) // it holds the whole file; see main
	text, err := readAll(path, o.in)
	if err != nil {
		return err
	}
	answer := imported{File: path, DryRun: o.dryRun, Columns: []spreadsheet.Heading{}}
	f, err := a.readFile(ctx, o, text, &answer)
	if err != nil {
		return err
	}
	nb, done, err := a.target(ctx, o.dryRun)
	if err != nil {
		return err
	}
	defer done()
	answer.Read = f.Total
	untold := unreadColumns(answer)
	answer.Report, err = nb.Import(ctx, f, func(r store.Report) (bool, error) {
		answer.Written = !o.dryRun && untold == nil && r.Changes()
		if !a.json {
			a.printImport(r, answer, nb.Path())
		}
		return !o.dryRun && untold == nil, nil
	}, a.progress("looked at"))
	if err != nil {
		return err
	}
	if untold != nil && !o.dryRun {
		return untold
	}
	if a.json {
		answer.Report.Kinds = append([]store.Tally{}, answer.Report.Kinds...)
		answer.Report.Conflicts = append([]store.Conflict{}, answer.Report.Conflicts...)
		answer.Report.Renamed = append([]store.Rename{}, answer.Report.Renamed...)
		answer.Report.OutOfUse = append([]store.OutOfUse{}, answer.Report.OutOfUse...)
		return a.printJSON(answer)
	}
	switch {
	case o.dryRun:
		a.printf("nothing was written. To do it, leave out --dry-run\n")
	case answer.Written:
		a.printf("done: all of it is in the notebook\n")
	default:
		a.printf("nothing to do: all of it is here already\n")
	}
	return nil
}

// readFile reads the lines of an export, or a spreadsheet.
func (a *app) readFile(ctx context.Context, o importOptions, text []byte, answer *imported) (*store.File, error) {
	start := bytes.TrimSpace(bytes.TrimPrefix(text, []byte("\ufeff")))
	if bytes.HasPrefix(start, []byte("SQLite format 3")) {
		return nil, procedures.Invalid("file", answer.File, "that is a notebook itself, not an export", "export it first: beadwright --notebook "+answer.File+" export shop.jsonl", "to go back to a backup, copy it: beadwright backup --help")
	}
	if bytes.HasPrefix(start, []byte("{")) {
		if len(o.maps) > 0 || o.machine != "" {
			return nil, procedures.Invalid("map", strings.Join(append(o.maps, o.machine), ", "), "--map and --machine are for spreadsheets, and this is an export of a notebook", "leave them out")
		}
		return store.ReadJSONLines(string(text))
	}
	units, err := a.units(ctx)
	if err != nil {
		return nil, err
	}
	so := spreadsheet.Options{Units: units, Lexicon: recommend.Lexicon(), Map: map[string]string{}, Machine: o.machine, Zone: a.now().Location()}
	for _, m := range o.maps {
		if err := spreadsheet.ParseMap(m, so.Map); err != nil {
			return nil, err
		}
	}
	s, err := spreadsheet.Read(text, so)
	if err != nil {
		return nil, err
	}
	answer.Columns = s.Headings
	if err := sized(answer.File, s.Headings, so.Map); err != nil {
		return nil, err
	}
	return store.FromSheet(s), nil
}

// sized refuses a spreadsheet of which no column is read as the thickness: search,
// suggestions and proof all rest on it, and welds without it would only look kept.
func sized(file string, columns []spreadsheet.Heading, maps map[string]string) error {
	if maps["thickness"] == "-" || slices.ContainsFunc(columns, func(h spreadsheet.Heading) bool { return h.Field == "thickness" || h.Field == "job" }) {
		return nil
	}
	var hints []string
	for _, h := range unsaid(columns) {
		if len(hints) < 3 {
			hints = append(hints, fmt.Sprintf("is it column %d? --map %q", h.Place, h.Name+"=thickness"))
		}
	}
	return procedures.Invalid("file", file, "no column is read as the thickness, and everything rests on it", append(hints, "it holds none, and the welds are to be kept all the same: --map \"thickness=-\"")...)
}

// unsaid are the columns of which nobody said what they are.
func unsaid(columns []spreadsheet.Heading) (list []spreadsheet.Heading) {
	for _, h := range columns {
		if h.Field == "" && !h.Left {
			list = append(list, h)
		}
	}
	return list
}

// unreadColumns refuses a spreadsheet with columns of which nobody said what they are: one
// said later makes other welds of the same rows, and each would be here twice.
func unreadColumns(answer imported) error {
	var names, all []string
	for _, h := range unsaid(answer.Columns) {
		names = append(names, h.Name)
		all = append(all, fmt.Sprintf("--map %q", h.Name+"=note"))
	}
	if names == nil {
		return nil
	}
	return procedures.Invalid("file", answer.File, "nothing was written, for it is not known what "+strings.Join(names, ", ")+" means",
		"say it in our words: --map "+fmt.Sprintf("%q", names[0]+"=tap")+"; ours are: "+strings.Join(spreadsheet.Fields(), ", "), "or keep the rest as notes: "+strings.Join(all, " "))
}

// target is the notebook, and for a dry run where there is none an empty one that
// is thrown away.
func (a *app) target(ctx context.Context, dryRun bool) (*store.Notebook, func(), error) {
	nb, err := a.existing(ctx)
	if err != nil || nb != nil {
		return nb, func() {}, err
	}
	if !dryRun {
		nb, err = a.notebook(ctx)
		return nb, func() {}, err
	}
	dir, err := os.MkdirTemp("", "beadwright-")
	if err != nil {
		return nil, nil, err
	}
	nb, err = store.Open(ctx, filepath.Join(dir, "empty.db"), store.Options{Now: a.now})
	if err != nil {
		os.RemoveAll(dir)
		return nil, nil, err
	}
	return nb, func() { nb.Close(); os.RemoveAll(dir) }, nil
}

// shownOf is how many of a kind are listed; --json has them all.
const shownOf = 12

// printImport says what a file does before it is done.
func (a *app) printImport(r store.Report, answer imported, notebook string) {
	a.printf("%s: %s read\n", answer.File, plural(answer.Read, "record"))
	for _, h := range unsaid(answer.Columns) {
		a.line("not read", fmt.Sprintf("column %d, %q. To keep it as a note: --map %q; to leave it out: --map %q", h.Place, h.Name, h.Name+"=note", h.Name+"=-"))
	}
	for _, t := range r.Kinds {
		var parts []string
		for _, c := range []struct {
			n    int
			what string
		}{{t.Added, "new"}, {t.Changed, "here already and told more"}, {t.Same, "here already"}} {
			if c.n > 0 {
				parts = append(parts, fmt.Sprintf("%d %s", c.n, c.what))
			}
		}
		a.printf("%-14s%s\n", t.Kind+"s", strings.Join(parts, ", "))
	}
	a.printRenamed(r.Renamed)
	for _, o := range r.OutOfUse {
		command := map[string]string{"machine": "machine", "spool": "wire"}[o.What]
		a.line("in use", fmt.Sprintf("none: the %s %s was, and is withdrawn (%s). Choose another: beadwright %s use NAME", o.What, o.Name, o.Why, command))
	}
	for i, c := range r.Conflicts {
		if i == shownOf {
			a.line("", fmt.Sprintf("and %d more: --json lists them all", len(r.Conflicts)-i))
			break
		}
		kept := "is kept in its history"
		if len(answer.Columns) > 0 {
			kept = "of the sheet is not taken: amend the weld if it is right"
		}
		a.line("conflict", fmt.Sprintf("%s, %s: %s stands; %s %s", c.Record, c.Field, sayValue(c.Stands), sayValue(c.Kept), kept))
	}
}

func sayValue(s string) string {
	s = strings.NewReplacer("[", "", "]", "", `"`, "", ",", ", ").Replace(s)
	if s = oneLine(s); s == "" {
		return "nothing"
	}
	return s
}

// printRenamed tells of names given anew; marks are on painted steel.
func (a *app) printRenamed(all []store.Rename) {
	shown := map[string]int{}
	for _, c := range all {
		key := c.What
		if c.What == "mark" && c.Here {
			key = "your mark"
		}
		if shown[key]++; shown[key] > shownOf {
			continue
		}
		switch {
		case c.What == "mark" && c.Here:
			a.line("repaint", fmt.Sprintf("your %s is %s from now on: the other notebook gave out %s too, and earlier", c.From, c.To, c.From))
		case c.What == "mark":
			a.line("mark", fmt.Sprintf("their %s is %s here", c.From, c.To))
		case c.Told:
			a.line("name", fmt.Sprintf("your %s %s is called %s from now on, as in the other notebook", c.What, c.From, c.To))
		case c.Here:
			a.line("name", fmt.Sprintf("your %s %s is called %s from now on: there are two", c.What, c.From, c.To))
		default:
			a.line("name", fmt.Sprintf("their %s %s is called %s here: there are two", c.What, c.From, c.To))
		}
	}
	for key, n := range shown {
		if n > shownOf {
			a.line("", fmt.Sprintf("and %d more of %s: --json lists them all", n-shownOf, key))
		}
	}
}
