package store

import (
	"context"
	"database/sql"
	"embed"
	"fmt"
	"io/fs"
	"time"

	sqlite3 "modernc.org/sqlite/lib"
)

//go:embed migrations/*.sql
var scripts embed.FS

// migrations lists the scripts in order. The first makes form 1 of the
// notebook, the second turns it into form 2, and so on; the form is kept in
// SQLite's user_version.
func migrations() []string {
	names, err := fs.Glob(scripts, "migrations/*.sql")
	if err != nil {
		panic(err) // the pattern is fixed
	}
	return names
}

// create begins a notebook in an empty file. It works with a rollback journal,
// not yet with a write-ahead log, so that from its first moment the file itself
// says what it is. Several programs may try at once: one does it.
func create(ctx context.Context, file source) error {
	db, err := file.open("rwc")
	if err != nil {
		return err
	}
	defer db.Close()
	_, err = upgrade(ctx, db, file.path)
	return err
}

// migrate brings the notebook up to date. Taking the write lock also finds out
// now, rather than after a weld, whether the file can be written.
func migrate(ctx context.Context, db *sql.DB, path string) error {
	changed, err := upgrade(ctx, db, path)
	if err != nil || !changed {
		return err
	}
	// Let the file itself tell its new form, not only the log beside it.
	_, err = db.ExecContext(ctx, "PRAGMA wal_checkpoint(TRUNCATE)")
	return err
}

// logAhead turns on the write-ahead log, which the file then remembers. SQLite
// does not wait its turn for that as it does for a transaction, so this does.
func logAhead(ctx context.Context, db *sql.DB, wait time.Duration) error {
	const pause = 5 * time.Millisecond
	for {
		var mode string
		err := db.QueryRowContext(ctx, "PRAGMA journal_mode = WAL").Scan(&mode)
		code, _ := resultCode(err)
		if code&0xff != sqlite3.SQLITE_BUSY || wait <= 0 {
			return err
		}
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-time.After(pause):
			wait -= pause
		}
	}
}

// upgrade runs each missing migration in one transaction with the change of
// version. The version is read inside, since another program may have been first,
// and so is whether the file is whole, since nobody else writes meanwhile.
func upgrade(ctx context.Context, db *sql.DB, path string) (changed bool, err error) {
	names := migrations()
	for done := false; !done && err == nil; {
		err = run(ctx, db, nil, time.Now, func(tx *tx) error {
			var h header
			if err := tx.get(h.fields(), readHeader); err != nil {
				return err
			}
			blank := h == header{bytes: h.bytes}
			if !blank {
				if err := h.whole(path); err != nil {
					return err
				}
			}
			if done = h.version == len(names); done {
				// On a file that cannot be written SQLite makes a reader of this
				// transaction and says nothing. A write that changes nothing tells.
				return tx.exec("DELETE FROM settings WHERE false")
			}
			script, err := scripts.ReadFile(names[h.version])
			if err != nil {
				return err
			}
			changed = true
			return tx.exec(fmt.Sprintf("%s\nPRAGMA application_id = %d; PRAGMA user_version = %d;", script, applicationID, h.version+1))
		})
	}
	return changed, err
}
