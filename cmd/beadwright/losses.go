package main

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"beadwright/procedures"
	"beadwright/recommend/caution"
	"beadwright/recommend/source"
)

type lossOptions struct{ amps, lead, gun string }

func newMachineLosses(a *app, names cobra.CompletionFunc) *cobra.Command {
	var o lossOptions
	cmd := &cobra.Command{
		Use: "losses [NAME]", Short: "Where do my volts go: clamp, leads and joints, from your meter's readings (default the machine in use)", ValidArgsFunction: names,
		Long: `Where the volts between the machine's posts and the arc go. It takes the newest
readings that were written down together with: beadwright machine measure, says what
copper of that size and length must lose, and where to look first for the rest.

Where the arc was read from the gun's power block, the gun's own lead is not in it.`,
		Example: `  beadwright machine measure --tap high --terminals 18.6V --load 16.5V --clamp 1.3V --work-lead 0.4V --amps 85A
  beadwright machine losses --lead '8awg 8ft' --gun '8awg 10ft'`,
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.losses(cmd.Context(), strings.Join(args, " "), o)
		},
	}
	f := cmd.Flags()
	f.StringVar(&o.amps, "amps", "", "welding amps, where no clamp meter read them then: 85A")
	f.StringVar(&o.lead, "lead", "", "size and length of the work lead: 8awg 8ft")
	f.StringVar(&o.gun, "gun", "", "size and length of the gun's lead (default as the work lead)")
	return cmd
}

// lossKinds are the readings that tell where volts go.
var lossKinds = []procedures.MeasurementKind{procedures.TerminalVolts, procedures.LoadVolts, procedures.GunLeadVolts, procedures.WorkLeadVolts, procedures.ClampVolts}

// probed gathers the newest readings of one time since the output last changed; at is zero
// where there are none. Volts of the arc alone tell nothing of losses.
func probed(m procedures.Machine) (p source.Probes, at time.Time) {
	for _, r := range m.Measurements {
		if m.SinceOutput(r.State) && r.Kind != procedures.LoadVolts && slices.Contains(lossKinds, r.Kind) {
			at = r.At
		}
	}
	for _, r := range m.Measurements {
		if at.IsZero() || !m.SinceOutput(r.State) || !r.At.Equal(at) {
			continue
		}
		lost := source.Lost{Volts: r.Value, Read: true}
		switch r.Kind {
		case procedures.TerminalVolts:
			p.Terminals = procedures.Volts(r.Value)
		case procedures.LoadVolts:
			p.Arc = procedures.Volts(r.Value)
		case procedures.ClampAmps:
			p.Current = procedures.Amps(r.Value)
		case procedures.GunLeadVolts:
			p.Gun = lost
		case procedures.WorkLeadVolts:
			p.Work = lost
		case procedures.ClampVolts:
			p.Clamp = lost
		}
	}
	return p, at
}

// read puts what the flags say into the readings, and returns what was assumed.
func (o lossOptions) read(p *source.Probes, units procedures.Units) (assumed []string, err error) {
	if o.amps != "" {
		if p.Current, err = procedures.ParseAmps("amps", o.amps); err != nil {
			return nil, err
		}
	}
	if p.WorkLead, err = parseLead("lead", o.lead, units); err != nil {
		return nil, err
	}
	if p.GunLead, err = parseLead("gun", o.gun, units); err != nil {
		return nil, err
	}
	if o.gun == "" && o.lead != "" {
		p.GunLead = p.WorkLead
		assumed = append(assumed, "the gun's lead is as the work lead (--gun '10awg 10ft' if not)")
	}
	return assumed, nil
}

// parseLead reads one welding lead: 8awg 8ft.
func parseLead(field, s string, units procedures.Units) (source.Copper, error) {
	if s == "" {
		return source.Copper{}, nil
	}
	c, err := parseCord(s, units)
	if err != nil || c.AWG == 0 {
		return source.Copper{}, procedures.Invalid(field, s, "not understood as a welding lead", "accepted: size and length of the one lead, such as: 8awg 8ft")
	}
	return source.Copper{AWG: c.AWG, Length: c.Length}, nil
}

func (a *app) losses(ctx context.Context, name string, o lossOptions) error {
	m, units, err := a.written(ctx, name)
	if err != nil {
		return err
	}
	p, at := probed(m)
	if at.IsZero() {
		return procedures.Invalid("losses", "", "no meter has read where the volts go, on "+stateLine(m),
			"weld on scrap, read these on one go and write them down together: beadwright machine measure "+tapFlag(m)+"--terminals VOLTS --load VOLTS --clamp VOLTS --work-lead VOLTS --gun-lead VOLTS --amps AMPS",
			"how to hold the meter: beadwright machine measure")
	}
	assumed, err := o.read(&p, units)
	if err != nil {
		return err
	}
	l, err := source.FindLosses(p)
	if err != nil {
		return err
	}
	cautions := electric(m)
	if a.json {
		return a.printJSON(a.lossesJSON(m, at, p, l, assumed, cautions))
	}
	a.line("FIRST", lossAdvice(l))
	a.line("machine", stateLine(m)+", read "+at.Local().Format("2006-01-02 15:04"))
	a.line("read", lossReadings(p, units))
	if len(assumed) > 0 {
		a.line("assumed", strings.Join(assumed, "; "))
	}
	total := fmt.Sprintf("%.2f V over the pieces that were probed", l.Total)
	if l.Measured {
		total = fmt.Sprintf("%.2f V between posts and arc", l.Total)
		if share, ok := l.Fraction(p); ok {
			total += fmt.Sprintf(", %.0f %% of what the machine gives", float64(share))
		}
	}
	a.line("lost", total)
	for _, one := range l.Pieces {
		a.line("", pieceText(one))
	}
	a.printf("\n")
	a.printFindings(l.Findings)
	a.printMissing("to know more", a.missing(l.Missing))
	a.printCautions(cautions)
	a.printSources(citedIn(l.Findings, cautions))
	return nil
}

// lossAdvice is what to do, in the first line.
func lossAdvice(l source.Losses) string {
	switch {
	case len(l.Pieces) > 0 && l.Joints:
		return fmt.Sprintf("look at the %s: %s", l.Pieces[0].Name, l.Pieces[0].Look)
	case l.Joints:
		return "probe the pieces one by one: clamp to work, post to clamp, post to contact tip; the joint that loses most is the one to clean"
	case source.Worst(l.Findings) == source.Unknown && l.Copper.Unit != "":
		return "read again what does not go together: " + unread(l.Findings)
	case l.Copper.Unit == "":
		return "no bad joint shows so far; amps and the leads' sizes are needed to tell copper from joints"
	case source.Worst(l.Findings) == source.Marginal:
		return "the joints are good; what is lost is lost in the leads' copper: shorter or heavier"
	}
	return "nothing to do: the leads lose what copper loses"
}

// unread is the first finding that could not be judged.
func unread(all []source.Finding) string {
	for _, f := range all {
		if f.Verdict == source.Unknown {
			return f.Text
		}
	}
	return ""
}

func pieceText(p source.Piece) string {
	text := fmt.Sprintf("%s %.2f V", p.Name, p.Volts)
	if p.Ohms != nil {
		text += fmt.Sprintf(" (%.1f milliohm, %.0f W of heat while the arc burns)", 1000**p.Ohms, *p.Watts)
	}
	if p.Copper != nil {
		text += fmt.Sprintf("; its copper alone %.2f V", *p.Copper)
	}
	return text
}

func lossReadings(p source.Probes, units procedures.Units) string {
	volts := func(name string, v float64, read bool) string {
		if !read {
			return ""
		}
		return fmt.Sprintf("%s %.4g V", name, v)
	}
	lead := func(name string, c source.Copper) string {
		if c.AWG == 0 {
			return ""
		}
		return fmt.Sprintf("%s %d AWG, %s", name, c.AWG, runText(c.Length, units))
	}
	return list(volts("posts", float64(p.Terminals), p.Terminals > 0), volts("arc", float64(p.Arc), p.Arc > 0), volts("gun lead", p.Gun.Volts, p.Gun.Read), volts("work lead", p.Work.Volts, p.Work.Read),
		volts("clamp", p.Clamp.Volts, p.Clamp.Read), ifKnown("", float64(p.Current), fmt.Sprintf("%.4g A", float64(p.Current))), lead("work lead of", p.WorkLead), lead("gun's lead of", p.GunLead))
}

func (a *app) lossesJSON(m procedures.Machine, at time.Time, p source.Probes, l source.Losses, assumed []string, cautions []caution.Caution) any {
	var copper, above *float64
	if l.Copper.Unit != "" {
		c, more := procedures.Round(l.Copper.Value), procedures.Round(l.Above)
		copper, above = &c, &more
	}
	for k := range l.Pieces {
		for _, v := range []*float64{&l.Pieces[k].Volts, l.Pieces[k].Ohms, l.Pieces[k].Watts, l.Pieces[k].Copper, l.Pieces[k].Above} {
			if v != nil {
				*v = procedures.Round(*v)
			}
		}
	}
	return map[string]any{"machine": m.Name, "state": m.State.ID, "at": at.UTC(), "current_A": p.Current, "lost_V": procedures.Round(l.Total), "measured": l.Measured,
		"copper_V": copper, "above_copper_V": above, "joints": l.Joints, "first": lossAdvice(l), "pieces": append([]source.Piece{}, l.Pieces...),
		"findings": findings(l.Findings), "assumed": append([]string{}, assumed...), "missing": a.missing(l.Missing), "cautions": cautions, "sources": citedIn(l.Findings, cautions)}
}
