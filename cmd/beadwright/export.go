package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"beadwright/procedures"
	spreadsheet "beadwright/procedures/sheet"
	"beadwright/procedures/store"
)

func newExport(a *app) *cobra.Command {
	var force, schema bool
	cmd := &cobra.Command{
		Use:   "export [FILE.jsonl|FILE.csv|-]",
		Short: "Write the notebook into a file that others can read",
		Long: `Write the whole notebook as JSON Lines, one record a line, for another notebook
or another program; or, where the file's name ends in .csv, its welds alone as a
spreadsheet, with the units in the headings. Without a file, or with -, the lines
go to standard output. A CSV holds less: to keep everything, use .jsonl or backup.`,
		Example: `  beadwright export shop.jsonl
  beadwright export welds.csv --units metric
  beadwright export - | gzip > shop.jsonl.gz
  beadwright export --schema`,
		Args: cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			if schema {
				_, err := a.out.Write(store.ExchangeSchema())
				return err
			}
			to := "-"
			if len(args) == 1 {
				to = args[0]
			}
			ctx, stop := untilInterrupted(cmd)
			defer stop()
			return a.export(ctx, to, force)
		},
	}
	cmd.Flags().BoolVar(&force, "force", false, "replace a file that is there")
	cmd.Flags().BoolVar(&schema, "schema", false, "print the JSON Schema of the lines")
	return cmd
}

func (a *app) export(ctx context.Context, to string, force bool) error {
	units, err := a.units(ctx)
	if err != nil {
		return err
	}
	format := strings.ToLower(filepath.Ext(to))
	switch {
	case to == "-" && a.json:
		return &usageError{err: errors.New("--json and the lines themselves cannot both go to standard output"), hints: []string{"name a file: beadwright export shop.jsonl --json"}}
	case to != "-" && format != ".jsonl" && format != ".csv":
		return procedures.Invalid("file", to, "cannot tell from the name what kind of file it is to be", "name it .jsonl for everything, .csv for the welds as a spreadsheet")
	}
	nb, err := a.mustExist(ctx, "suggest 1/8 mild tee flat")
	if err != nil {
		return err
	}
	var count int
	write := func(w io.Writer) (err error) {
		if format == ".csv" {
			count, err = exportSheet(ctx, nb, w, units)
			return err
		}
		count, err = nb.Export(ctx, w, a.progress("written"))
		return err
	}
	if to == "-" {
		return write(a.out)
	}
	if err := newFile(to, force, write); err != nil {
		return err
	}
	if a.json {
		return a.printJSON(map[string]any{"file": to, "format": format[1:], "records": count})
	}
	if format == ".jsonl" {
		a.printf("written: %s, %s\n", to, plural(count, "record"))
	} else {
		a.printf("written: %s, %s\n", to, plural(count, "weld"))
		a.line("mind", "a spreadsheet holds the welds alone, without their history, and no machines: for another notebook use .jsonl")
	}
	return nil
}

func exportSheet(ctx context.Context, nb *store.Notebook, w io.Writer, units procedures.Units) (int, error) {
	welds, err := nb.Find(ctx, procedures.Filter{Struck: true})
	if err != nil {
		return 0, err
	}
	spools, err := nb.Spools(ctx)
	if err != nil {
		return 0, err
	}
	names := map[string]string{}
	for _, s := range spools {
		names[s.ID] = s.Name
	}
	slices.SortFunc(welds, func(a, b procedures.Weld) int { return strings.Compare(a.ID, b.ID) })
	return len(welds), spreadsheet.Write(w, welds, names, units)
}

// newFile writes a file that is there whole or not at all. One that is there is
// left alone without force.
func newFile(path string, force bool, write func(io.Writer) error) (err error) {
	if info, err := os.Stat(path); err == nil {
		switch {
		case info.IsDir():
			return procedures.Invalid("file", path, "that is a folder", "name a file in it")
		case !force:
			return procedures.Invalid("file", path, "there is a file of that name already, and it was left alone", "name another file", "to replace it: --force")
		}
	}
	part, err := os.CreateTemp(filepath.Dir(path), filepath.Base(path)+".*.part")
	if err != nil {
		return cannotWrite(path, err)
	}
	defer os.Remove(part.Name()) // gone already where all went well
	if err := write(part); err != nil {
		part.Close()
		return cannotWrite(path, err)
	}
	if err := errors.Join(part.Chmod(0o644), part.Sync(), part.Close()); err != nil {
		return cannotWrite(path, err)
	}
	if err := os.Rename(part.Name(), path); err != nil {
		return cannotWrite(path, err)
	}
	return nil
}

// cannotWrite turns a failure of the file written to into words, and leaves those
// of the notebook as they are.
func cannotWrite(path string, err error) error {
	var system *os.PathError
	if !errors.As(err, &system) {
		return err
	}
	return fmt.Errorf("%s cannot be written: %w", path, system.Err)
}

// readAll reads a file of the welder's, - standard input.
func readAll(path string, in io.Reader) ([]byte, error) {
	if path == "-" {
		return io.ReadAll(in)
	}
	b, err := os.ReadFile(path)
	if err != nil {
		return nil, cannotRead("file", path, err, "the path of a file of JSON Lines or CSV, as your shell completes it")
	}
	return b, nil
}

// progress says once a second how far a long work is, where somebody looks on; nil
// where nobody does.
func (a *app) progress(done string) func(n, of int) {
	if !isTerminal(a.err) {
		return nil
	}
	said, next := false, a.now().Add(time.Second)
	return func(n, of int) {
		now := a.now()
		switch {
		case n == of && said:
			fmt.Fprintf(a.err, "\r%d of %d %s\n", n, of, done)
		case n < of && now.After(next):
			said, next = true, now.Add(time.Second)
			fmt.Fprintf(a.err, "\r%d of %d %s", n, of, done)
		}
	}
}
