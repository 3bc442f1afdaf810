package main

import (
	"context"
	"fmt"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"beadwright/procedures"
)

// arcsShown is how far back the arcs are listed.
const arcsShown = 24 * time.Hour

func newDutyArcs(a *app, o *clockOptions) *cobra.Command {
	strike := strikeNumber{what: "an arc", example: "beadwright duty arcs --strike 12 --why '45 s, not 450'"}
	cmd := &cobra.Command{
		Use: "arcs", Short: "The arcs of the last day, and withdraw a wrong one", Args: cobra.NoArgs,
		Example: "  beadwright duty arcs\n  " + strike.example,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if err := strike.check(cmd); err != nil {
				return err
			}
			return a.arcs(cmd.Context(), *o, strike.number, strike.why)
		},
	}
	strike.add(cmd)
	return cmd
}

// strikeNumber withdraws one row of a list by its number, and says why; 0 none.
type strikeNumber struct {
	what    string // with its article
	example string
	number  int
	why     string
}

func (s *strikeNumber) add(cmd *cobra.Command) {
	_, noun, _ := strings.Cut(s.what, " ")
	cmd.Flags().IntVar(&s.number, "strike", 0, "withdraw the "+noun+" of that number: kept, and never counted again")
	cmd.Flags().StringVar(&s.why, "why", "", "the reason, for later")
}

// check refuses what is no number of a row, and a reason for nothing.
func (s *strikeNumber) check(cmd *cobra.Command) error {
	switch said := cmd.Flags().Changed("strike"); {
	case said && s.number < 1:
		return procedures.Invalid("strike", fmt.Sprint(s.number), "not the number of "+s.what, "see the numbers: "+cmd.CommandPath())
	case !said && cmd.Flags().Changed("why"):
		return procedures.Invalid("why", s.why, "why what?", "it goes with --strike: "+s.example)
	}
	return nil
}

// arcRow is an arc as the list shows it.
type arcRow struct {
	Number  int                `json:"number"`
	ID      string             `json:"id"`
	Start   time.Time          `json:"start"`
	Stop    *time.Time         `json:"stop"` // null: it burns
	Seconds procedures.Seconds `json:"arc_seconds"`
	Weld    string             `json:"weld"` // mark that it was counted to
	Struck  string             `json:"struck"`
}

func (a *app) arcRow(ctx context.Context, arc procedures.Arc) arcRow {
	row := arcRow{Number: arc.Number, ID: arc.ID, Start: arc.Start.UTC(), Struck: arc.Struck}
	if !arc.Burning() {
		stop := arc.Stop.UTC()
		row.Stop, row.Seconds = &stop, procedures.Seconds(arc.Stop.Sub(arc.Start).Seconds())
	}
	if w, _, err := a.nb.Weld(ctx, arc.Weld); arc.Weld != "" && err == nil {
		row.Weld = w.Mark
	}
	return row
}

func (a *app) arcs(ctx context.Context, o clockOptions, strike int, why string) error {
	m, err := a.ownMachine(ctx, o.machine)
	if err != nil {
		return err
	}
	var gone *arcRow
	if strike > 0 {
		arc, err := a.nb.StrikeArc(ctx, m.Name, strike, why)
		if err != nil {
			return err
		}
		row := a.arcRow(ctx, arc)
		gone = &row
	}
	s, err := a.stand(ctx, o)
	if err != nil {
		return err
	}
	list, err := a.nb.ArcLog(ctx, m.Name, s.now.Add(-arcsShown))
	if err != nil {
		return err
	}
	rows := make([]arcRow, len(list))
	for i, arc := range list {
		rows[i] = a.arcRow(ctx, arc)
	}
	if a.json {
		doc := s.document(a, false)
		doc["recorded"], doc["struck"] = rows, gone
		return a.printJSON(doc)
	}
	a.printTally(s)
	if gone != nil {
		a.line("struck", fmt.Sprintf("arc %d, %s. It is kept and no longer counted", gone.Number, gone.text(s)))
		if gone.Weld != "" {
			a.line("", fmt.Sprintf("it was counted to %s, whose arc time stays: beadwright amend %s --arc SECONDS", gone.Weld, gone.Weld))
		}
	}
	a.printf("\n")
	if len(rows) == 0 {
		a.printf("no arc of %s in the last day is written down\n", m.Name)
	}
	for _, r := range rows {
		a.line(fmt.Sprint(r.Number), r.text(s))
	}
	a.printCautions(s.cautions())
	a.storedCharge(s.machine)
	return nil
}

// text says an arc in one line.
func (r arcRow) text(s tally) string {
	if r.Stop == nil {
		return "burns since " + s.clock(r.Start)
	}
	return list(fmt.Sprintf("%s to %s, %s of arc", s.clock(r.Start), s.clock(*r.Stop), span(r.Seconds)), after("counted to ", r.Weld))
}
