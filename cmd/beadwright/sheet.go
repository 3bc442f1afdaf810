package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"beadwright/cmd/beadwright/paper"
	"beadwright/procedures"
	"beadwright/procedures/store"
	"beadwright/recommend/caution"
)

func newPrint(a *app) *cobra.Command {
	cmd := &cobra.Command{
		Use: "print WHAT", Short: "Sheets for paper: a procedure, a card for the machine, tags, a blank log", Args: noSub("print"),
		Long: `Put on paper what the notebook holds. With no FILE the sheet is text on the screen;
a FILE's ending says what it becomes: .pdf, .html (prints well from any browser),
.md or .txt. One that exists is kept unless you say --force.`,
	}
	cmd.RunE = func(cmd *cobra.Command, _ []string) error { return cmd.Help() }
	cmd.AddCommand(newPrintProcedure(a), newPrintSketch(a), newPrintCard(a), newPrintTags(a), newPrintLog(a))
	return cmd
}

// printed is what was put on paper, as it is told.
type printed struct {
	Print    string            `json:"print"` // procedure, sketch, card, tags, log
	File     string            `json:"file"`  // null: on the screen
	Format   string            `json:"format"`
	Cautions []caution.Caution `json:"cautions"`
	Assumed  []string          `json:"assumed,omitempty"` // of a card
	Rows     []cardRow         `json:"rows,omitempty"`    // of a card
	Marks    []string          `json:"marks,omitempty"`   // of a log
	Link     site              `json:"link,omitempty"`    // where its squares lead
}

// otherEndings are those of files that people ask for and no sheet has.
var otherEndings = []string{"doc", "docx", "odt", "rtf", "xls", "xlsx", "ods", "csv", "htm", "svg", "png", "jpg", "jpeg", "gif", "ps", "tex", "text"}

// fileAmong takes the file out of words: the last of them, where its ending is one
// of a sheet's. A file of another kind is refused by its ending.
func fileAmong(words []string, endings []string) (rest []string, file string, err error) {
	if len(words) == 0 {
		return words, "", nil
	}
	n := len(words) - 1
	switch last := words[n]; {
	case slices.Contains(endings, ending(last)) || strings.ContainsRune(last, filepath.Separator) && ending(last) != "":
		return words[:n], last, nil
	case slices.Contains(otherEndings, ending(last)):
		_, err = sheetFormat(last, endings, false)
	}
	return words, "", err
}

func ending(file string) string {
	return strings.ToLower(strings.TrimPrefix(filepath.Ext(file), "."))
}

// sketchEndings are the endings that a drawing can have.
var sketchEndings = []string{"svg", "png", "pdf"}

// sheetFormat is the format that a file's ending asks for, txt without a file. A
// file that exists is refused, unless it is to be written over.
func sheetFormat(file string, endings []string, force bool) (string, error) {
	if file == "" {
		return "txt", nil
	}
	format := ending(file)
	if !slices.Contains(endings, format) {
		problem := "the file's ending says no format"
		if format != "" {
			problem = "it ends in ." + format + ", and there is no such sheet"
		}
		return "", procedures.Invalid("file", file, problem, "end it in ."+strings.Join(endings, ", ."))
	}
	if _, err := os.Lstat(file); err == nil && !force {
		return "", procedures.Invalid("file", file, "there is a file of that name", "to write over it: --force", "or name another file")
	}
	return format, nil
}

// put writes a document to its file, or on the screen, and says so.
func (a *app) put(d paper.Document, p printed, force bool, m procedures.Machine) error {
	format, err := sheetFormat(p.File, paper.Formats(), force)
	if err != nil {
		return err
	}
	page, err := d.As(format)
	if err != nil {
		return procedures.Invalid("size", d.Page.Name, err.Error(), "take the larger card (--size a6), or ask for fewer rows")
	}
	p.Format = format
	p.Cautions = charged(p.Cautions, m)
	if p.File != "" {
		if err := writeWhole(p.File, page); err != nil {
			return fmt.Errorf("the sheet was not written: %w", err)
		}
	}
	switch {
	case a.json:
		return a.printJSON(p)
	case p.File == "":
		a.printf("%s", page)
		return nil
	}
	a.printf("wrote %s\n", p.File)
	for _, text := range d.Alert {
		a.printf("%s\n", text)
	}
	if p.Link != "" {
		a.line("square", "opens it on a phone that serve --lan has let in, while that runs at "+string(p.Link))
	}
	a.printCautions(p.Cautions)
	return nil
}

// charged is the cautions of a sheet with that of a rebuilt machine among them.
func charged(all []caution.Caution, m procedures.Machine) []caution.Caution {
	c, ok := caution.StoredCharge(m)
	if ok && !slices.ContainsFunc(all, func(c caution.Caution) bool { return c.Key == "stored-charge" }) {
		all = append(slices.Clone(all), c)
	}
	if all == nil {
		all = []caution.Caution{}
	}
	return all
}

func newPrintProcedure(a *app) *cobra.Command {
	var force bool
	var at string
	revision := 0
	cmd := &cobra.Command{
		Use: "procedure NAME [FILE]", Short: "A procedure sheet, with the joint drawn to scale", Args: cobra.MinimumNArgs(1),
		Example: "  beadwright print procedure \"eighth tee\" sheet.pdf",
		RunE: func(cmd *cobra.Command, args []string) error {
			words, file, err := fileAmong(args, paper.Formats())
			if err != nil {
				return err
			}
			site, err := parseSite(at)
			if err != nil {
				return err
			}
			sheet, err := a.sheetNamed(cmd.Context(), strings.Join(words, " "), revision)
			if err != nil {
				return err
			}
			if sheet.barred() {
				return a.refuseSheet(sheet)
			}
			d := sheet.document()
			d.Link = site.link("procedure", sheet.Procedure.ID)
			return a.put(d, printed{Print: "procedure", File: file, Cautions: sheet.Cautions, Link: site}, force, sheet.machine)
		},
		ValidArgsFunction: func(cmd *cobra.Command, _ []string, _ string) ([]string, cobra.ShellCompDirective) {
			return a.procedureNames(cmd.Context()), cobra.ShellCompDirectiveDefault
		},
	}
	cmd.Flags().BoolVar(&force, "force", false, "write over FILE if it exists")
	addSite(cmd.Flags(), &at)
	cmd.Flags().IntVar(&revision, "revision", 0, "an earlier revision (default the last)")
	return cmd
}

func newPrintSketch(a *app) *cobra.Command {
	var force bool
	cmd := &cobra.Command{
		Use: "sketch NAME FILE", Short: "The joint of a procedure, to scale, with its weld symbol: .svg, .png or .pdf", Args: cobra.MinimumNArgs(2),
		Example: "  beadwright print sketch \"eighth tee\" tee.svg",
		RunE: func(cmd *cobra.Command, args []string) error {
			file := args[len(args)-1]
			format, err := sheetFormat(file, sketchEndings, force)
			if err != nil {
				return err
			}
			sheet, err := a.sheetNamed(cmd.Context(), strings.Join(args[:len(args)-1], " "), 0)
			if err != nil {
				return err
			}
			if sheet.barred() {
				return a.refuseSheet(sheet)
			}
			drawing, err := paper.SketchFile(sheet.Procedure, sheet.units, format)
			if err != nil {
				return err
			}
			if err := writeWhole(file, drawing); err != nil {
				return fmt.Errorf("the sketch was not written: %w", err)
			}
			if a.json {
				return a.printJSON(printed{Print: "sketch", File: file, Format: format, Cautions: sheet.Cautions})
			}
			a.printf("wrote %s\n", file)
			for _, text := range sheet.alert() {
				a.printf("%s\n", text)
			}
			a.storedCharge(sheet.machine)
			return nil
		},
	}
	cmd.Flags().BoolVar(&force, "force", false, "write over FILE if it exists")
	return cmd
}

// sheetNamed reads a procedure with all that its sheet shows.
func (a *app) sheetNamed(ctx context.Context, name string, revision int) (*procedureSheet, error) {
	nb, err := a.mustExist(ctx, "log 4")
	if err != nil {
		return nil, err
	}
	units, err := a.units(ctx)
	if err != nil {
		return nil, err
	}
	if name == "" {
		return nil, procedures.Invalid("procedure", "", "which one?", "what there is: beadwright procedure list")
	}
	p, err := nb.Procedure(ctx, name, revision)
	if err != nil {
		return nil, procedureNotFound(err)
	}
	return a.procedureSheet(ctx, nb, p, units)
}

// marksOrLast reads the welds named, or the last ones where none is named.
func marksOrLast(ctx context.Context, nb *store.Notebook, marks []string, last int) ([]procedures.Weld, error) {
	if len(marks) == 0 {
		return nb.Find(ctx, procedures.Filter{Limit: last})
	}
	var welds []procedures.Weld
	for _, mark := range marks {
		w, _, err := nb.Weld(ctx, mark)
		if err != nil {
			return nil, err
		}
		welds = append(welds, w)
	}
	return welds, nil
}
