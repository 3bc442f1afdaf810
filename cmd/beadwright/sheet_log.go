package main

import (
	"bytes"
	"context"
	"encoding/csv"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"beadwright/cmd/beadwright/paper"
	"beadwright/procedures"
)

// logColumns are the columns of the paper log, and of the rows that are typed in
// after it, with their shares of the sheet.
var logColumns = []struct {
	name  string
	share float64
}{
	{"mark", 5}, {"date", 7.5}, {"thickness", 9}, {"joint", 5.5}, {"position", 8}, {"tap", 4.5}, {"knob", 5}, {"wire speed", 6}, {"stick-out", 5.5}, {"pace", 8},
	{"rating", 6}, {"symptoms", 10}, {"test", 8}, {"leg", 4}, {"note", 8},
}

func newPrintLog(a *app) *cobra.Command {
	var force, bare bool
	rows := 12
	cmd := &cobra.Command{
		Use:   "log [FILE]",
		Short: "A blank paper log, with the columns that log --rows reads",
		Long: `A blank sheet for the bench, with the next free marks printed on it. Type it in
later, row by row, with: beadwright log --rows FILE.csv. FILE.csv makes the blank
sheet to type into.`,
		Example: "  beadwright print log log.pdf\n  beadwright print log sheet.csv",
		RunE: func(cmd *cobra.Command, args []string) error {
			words, file, err := fileAmong(args, append(paper.Formats(), "csv"))
			if err != nil {
				return err
			}
			if len(words) > 0 {
				return procedures.Invalid("file", strings.Join(words, " "), "the file's ending says no format", "end it in .txt, .md, .html, .pdf or .csv")
			}
			return a.printLog(cmd.Context(), file, rows, bare, force)
		},
	}
	f := cmd.Flags()
	f.BoolVar(&force, "force", false, "write over FILE if it exists")
	f.BoolVar(&bare, "no-marks", false, "leave the marks blank")
	f.IntVar(&rows, "rows", rows, "how many rows")
	return cmd
}

func (a *app) printLog(ctx context.Context, file string, rows int, bare, force bool) error {
	if rows < 1 || rows > 99 {
		return procedures.Invalid("rows", fmt.Sprint(rows), "not a count of rows", "1 to 99")
	}
	if _, err := sheetFormat(file, append(paper.Formats(), "csv"), force); err != nil {
		return err
	}
	units, err := a.units(ctx)
	if err != nil {
		return err
	}
	nb, err := a.existing(ctx)
	if err != nil {
		return err
	}
	marks := make([]string, rows)
	var m procedures.Machine
	if nb != nil {
		if !bare {
			if marks, err = nb.NextMarks(ctx, rows); err != nil {
				return err
			}
		}
		if m, err = a.someMachine(ctx, "", procedures.FCAWS); err != nil {
			return err
		}
	}
	p := printed{Print: "log", File: file, Marks: marks}
	if ending(file) == "csv" {
		return a.putRows(p, marks, m)
	}
	d := paper.Document{Title: "Weld log", Page: paperOf(units, true), At: a.now(), Foot: cardFoot}
	d.Lead = []string{"machine ____________   wire ____________   steel ____________   outlet and cord ____________"}
	t := paper.Table{Lines: 2}
	for _, c := range logColumns {
		t.Head, t.Share = append(t.Head, c.name), append(t.Share, c.share/100)
	}
	for _, mark := range marks {
		t.Rows = append(t.Rows, paper.Row{Cells: append([]string{mark}, make([]string, len(logColumns)-1)...)})
	}
	d.Blocks = []paper.Block{t,
		paper.Words{Text: "Write ditto where it is as above. Rating: 1 scrap, 2 ugly or in doubt, 3 would do, 4 good, 5 as good as I can. Test: break=pass, break=root line, bend=held. Pace: 4in in 24s. Paint the mark on the coupon."},
		paper.Words{Text: "Marks are the next free ones of the notebook: type this sheet in before others are logged, or leave the mark out and a new one is given. Type it in with: beadwright log --rows FILE.csv"}}
	d.Blocks = append(d.Blocks, chargeBlock(m)...)
	return a.put(d, p, force, m)
}

// putRows writes the blank sheet to type into.
func (a *app) putRows(p printed, marks []string, m procedures.Machine) error {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	head := make([]string, len(logColumns))
	for i, c := range logColumns {
		head[i] = c.name
	}
	_ = w.Write(head)
	for _, mark := range marks {
		row := make([]string, len(head))
		row[0] = mark
		_ = w.Write(row)
	}
	w.Flush()
	if err := writeWhole(p.File, b.Bytes()); err != nil {
		return fmt.Errorf("the sheet was not written: %w", err)
	}
	p.Format, p.Cautions = "csv", charged(nil, m)
	if a.json {
		return a.printJSON(p)
	}
	a.printf("wrote %s\nfill it in, then: beadwright log --rows %s --dry-run\n", p.File, quote(p.File))
	a.printCautions(p.Cautions)
	return nil
}
