package main

import (
	"context"
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"beadwright/procedures"
)

// arcsShown is how far back the arcs are listed.
const arcsShown = 24 * time.Hour

func newDutyArcs(a *app, o *clockOptions) *cobra.Command {
	var number int
	var why string
	cmd := &cobra.Command{
		Use: "arcs", Short: "The arcs of the last day, and withdraw a wrong one", Args: cobra.NoArgs,
		Example: "  beadwright duty arcs\n  beadwright duty arcs --strike 12 --why '45 s, not 450'",
		RunE: func(cmd *cobra.Command, _ []string) error {
			strike := 0
			if cmd.Flags().Changed("strike") {
				if strike = number; number < 1 {
					return procedures.Invalid("strike", fmt.Sprint(number), "not the number of an arc", "see the numbers: beadwright duty arcs")
				}
			} else if cmd.Flags().Changed("why") {
				return procedures.Invalid("why", why, "why what?", "it goes with --strike: beadwright duty arcs --strike 12 --why '45 s, not 450'")
			}
			return a.arcs(cmd.Context(), *o, strike, why)
		},
	}
	cmd.Flags().IntVar(&number, "strike", 0, "withdraw the arc of that number: kept, and never counted again")
	cmd.Flags().StringVar(&why, "why", "", "the reason, for later")
	return cmd
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
