package main

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"unicode"

	"github.com/spf13/cobra"

	"beadwright/procedures"
	"beadwright/recommend/caution"
	"beadwright/recommend/source"
)

type circuitOptions struct {
	others                            []string
	breaker, cord, wall, outlet, plug string
	amps                              string
}

func newMachineCircuit(a *app, names cobra.CompletionFunc) *cobra.Command {
	var o circuitOptions
	cmd := &cobra.Command{
		Use: "circuit [NAME]", Short: "Will it trip: breaker, wall wire, outlet, cord and line sag (default the machine in use)", ValidArgsFunction: names,
		Long: `Hold the machine against the circuit it hangs on: breaker, what else is on it, the
wire in the wall, the outlet, the plug, the cord, and how far the line falls when the
arc is struck. Flags here only ask; machine set writes the circuit down, so that
suggest and the duty clock know of it. It shows what the code says and defers to a licensed electrician: local code
has the last word, and a bigger breaker is never the answer to trips.`,
		Example: `  beadwright machine circuit
  beadwright machine circuit --other fridge=3A --other 100W --wall 12awg --outlet 5-20R --plug 5-15P
  beadwright machine set --wall 12awg --outlet 5-20R --plug 5-15P --other fridge=3A`,
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.circuit(cmd.Context(), strings.Join(args, " "), o)
		},
	}
	f := cmd.Flags()
	f.StringArrayVar(&o.others, "other", nil, "what else runs on the circuit besides what is written down: 3A, 360W, fridge=3A; may be repeated")
	f.StringVar(&o.breaker, "breaker", "", "the number on its handle (this and the next four default to what is written down): 20A")
	f.StringVar(&o.cord, "cord", "", "extension cord: 12awg 25ft, or none")
	f.StringVar(&o.wall, "wall", "", "copper in the wall: 12awg")
	f.StringVar(&o.outlet, "outlet", "", "outlet: "+strings.Join(procedures.Outlets(), ", "))
	f.StringVar(&o.plug, "plug", "", "plug on the machine's own cord: "+strings.Join(procedures.Plugs(), ", "))
	f.StringVar(&o.amps, "amps", "", "welding amps (default the last suggestion's, else the rated output): 80A")
	completeNames(cmd, a, "outlet", procedures.Outlets())
	completeNames(cmd, a, "plug", procedures.Plugs())
	return cmd
}

// read is the circuit as written down, with what was asked for in its place, and
// what was assumed.
func (o circuitOptions) read(m procedures.Machine, now arcNow, units procedures.Units) (asked procedures.Machine, c source.Circuit, assumed []string, err error) {
	f := machineFlags{breaker: o.breaker, cord: o.cord, wall: o.wall, outlet: o.outlet, plug: o.plug}
	if err := f.apply(&m, units); err != nil {
		return m, c, nil, err
	}
	for _, s := range o.others {
		l, err := parseLoad(s, m.InputVolts)
		if err != nil {
			return m, c, nil, err
		}
		m.Others = slices.DeleteFunc(slices.Clone(m.Others), func(had procedures.Load) bool { return l.Name != "" && strings.EqualFold(had.Name, l.Name) })
		m.Others = append(m.Others, l)
	}
	bare := m
	bare.Taps = nil // as measured they need not be in order, and are no matter of the circuit
	if err := bare.Validate(); err != nil {
		return m, c, nil, err
	}
	c = source.CircuitOf(m, now.amps, now.volts)
	if c.Draw == 0 && m.InputAmps > 0 {
		c.Draw = m.InputAmps
		assumed = append(assumed, "what the plate says it draws, since its rated amps are not written down")
	} else if v, err := source.DrawOf(m, now.amps, now.volts); err == nil && (m.InputAmps == 0 || now.amps != m.RatedAmps) {
		assumed = append(assumed, v.Note)
		if now.usual && m.InputAmps == 0 {
			assumed = append(assumed, "18 V at the arc (common practice)")
		}
	}
	return m, c, assumed, nil
}

// parseLoad reads another load on the circuit: 3A, 360W, fridge=3A, fridge 3A.
func parseLoad(s string, supply procedures.Volts) (procedures.Load, error) {
	name, value, named := strings.Cut(s, "=")
	if !named {
		fields := strings.Fields(s)
		if len(fields) == 0 {
			return procedures.Load{}, procedures.Invalid("other", s, "nothing given", "accepted: 3A, 360W, fridge=3A")
		}
		name, value = strings.Join(fields[:len(fields)-1], " "), fields[len(fields)-1]
		if strings.IndexFunc(value, unicode.IsDigit) < 0 {
			return procedures.Load{}, procedures.Invalid("other", s, "how much does it draw?", "say its amps or watts, from its plate: --other "+shellName(strings.Join(fields, " "))+"=AMPS", "accepted: 3A, 360W, fridge=3A")
		}
	}
	l := procedures.Load{Name: strings.TrimSpace(name)}
	value = strings.ToLower(strings.TrimSpace(value))
	if strings.HasSuffix(value, "w") || strings.HasSuffix(value, "watts") {
		w, err := procedures.ParseWatts("other", value)
		if err != nil {
			return l, err
		}
		if supply == 0 {
			return l, procedures.Invalid("other", s, "watts need the wall's volts to become amps", "say amps: --other "+shellName(l.Name)+"=AMPS", "or write the supply down: beadwright machine set --input VOLTS")
		}
		l.Amps = procedures.Amps(w) / procedures.Amps(supply)
		return l, nil
	}
	i, err := procedures.ParseAmps("other", value)
	var bad *procedures.InvalidError
	if errors.As(err, &bad) {
		return l, procedures.Invalid("other", s, "not the amps or watts of a load", "accepted: 3A, 360W, fridge=3A")
	}
	l.Amps = i
	return l, nil
}

// shellName is a name as it stands in a command.
func shellName(s string) string {
	if s = strings.Join(strings.Fields(s), "-"); s == "" || len(s) > 20 {
		return "NAME"
	}
	return s
}

func loadText(l procedures.Load) string {
	return strings.TrimSpace(fmt.Sprintf("%s %.3g A", l.Name, float64(l.Amps)))
}

func loadTexts(all []procedures.Load) string {
	texts := make([]string, len(all))
	for i, l := range all {
		texts[i] = loadText(l)
	}
	return strings.Join(texts, ", ")
}

func (a *app) circuit(ctx context.Context, name string, o circuitOptions) error {
	m, units, err := a.written(ctx, name)
	if err != nil {
		return err
	}
	now, err := a.arcNow(ctx, m, o.amps)
	if err != nil {
		return err
	}
	asked, c, assumed, err := o.read(m, now, units)
	if err != nil {
		return err
	}
	found, missing, err := c.Judge()
	if err != nil {
		return err
	}
	verdict := c.Verdict(found)
	cautions := circuitCautions(m)
	if a.json {
		return a.printJSON(map[string]any{"machine": m.Name, "state": m.State.ID, "verdict": verdict, "text": circuitWords(verdict, c, found), "current_A": now.amps, "current_from": now.from,
			"draw_A": c.Draw, "breaker_A": c.Breaker, "cord": c.Cord, "wall_awg": asked.Wall, "outlet": c.Outlet, "plug": c.Plug, "others": append([]procedures.Load{}, asked.Others...),
			"others_A": append([]procedures.Amps{}, c.Others...), "line_idle_V": c.Idle, "line_loaded_V": c.Loaded,
			"findings": findings(found), "assumed": append([]string{}, assumed...), "missing": a.missing(missing), "cautions": cautions, "sources": citedIn(found, cautions)})
	}
	a.line(strings.ToUpper(string(verdict)), circuitWords(verdict, c, found))
	a.forbiddenElsewhere(m, now, source.CircuitPage)
	a.line("machine", stateLine(m))
	a.line("amps", now.text())
	a.line("circuit", list(ifKnown("", float64(c.Draw), fmt.Sprintf("draws %.3g A with the arc on", float64(c.Draw))), circuitText(asked, units)))
	if len(assumed) > 0 {
		a.line("assumed", strings.Join(assumed, "; "))
	}
	a.printf("\n")
	a.printFindings(found)
	a.printMissing("not known, and where to read it", a.missing(missing))
	a.printCautions(cautions)
	a.printSources(citedIn(found, cautions))
	return nil
}

// circuitText is what is written down of a machine's circuit, in one line.
func circuitText(m procedures.Machine, units procedures.Units) string {
	cord := ""
	if m.Cord.AWG != 0 {
		cord = fmt.Sprintf("cord %d AWG, %s", m.Cord.AWG, runText(m.Cord.Length, units))
	}
	return list(ifKnown("", float64(m.Breaker), fmt.Sprintf("breaker %.3g A", float64(m.Breaker))), ifKnown("", float64(m.Wall), fmt.Sprintf("%d AWG in the wall", int(m.Wall))),
		after("outlet ", m.Outlet), after("plug ", m.Plug), cord, after("beside it: ", loadTexts(m.Others)))
}

// runText is the length of a cord or of a lead.
func runText(l procedures.MM, units procedures.Units) string {
	if units == procedures.Metric {
		return fmt.Sprintf("%.3g m", float64(l)/1000)
	}
	return fmt.Sprintf("%.3g ft", l.Inches()/12)
}

// circuitWords is the verdict in plain words: what to do.
func circuitWords(v source.Verdict, c source.Circuit, found []source.Finding) string {
	f, _ := worstFirst(found)
	switch v {
	case source.Unknown:
		if c.Breaker == 0 || c.Draw == 0 {
			return "nobody can say yet whether it trips: read the breaker's number and the machine's plate first"
		}
		var blind []string
		if c.Wall == 0 {
			blind = append(blind, "the wire in the wall")
		}
		if c.Outlet == "" {
			blind = append(blind, "the outlet")
		}
		return "fine as far as it is written down; not looked at: " + strings.Join(blind, " and ") + ", which burn where nobody sees it"
	case source.Fine:
		return "weld, with nothing more on this circuit than was said"
	case source.WillTrip:
		carries := ""
		if i, ok := c.Carries(); ok {
			carries = fmt.Sprintf(", or weld at %.0f A or less, which it carries", float64(i))
		}
		return "take load off before you weld" + carries + ": " + f.Text
	case source.DoNot:
		return "do not weld on this circuit until that is put right: " + f.Text
	}
	return "weld short beads and watch: " + f.Text
}

// circuitCautions go with every answer about the house.
func circuitCautions(m procedures.Machine) []caution.Caution {
	all := []caution.Caution{
		{Level: caution.Defer, Key: "electrician", Text: "Local code governs, and anything in the wall, the panel or the outlet is for a licensed electrician. Never a bigger breaker to stop trips: it guards the wire in the wall, which burns where nobody sees it.",
			Instead: "A plug, cord or outlet that gets warm has said that it is too small or loose: stop. No adapters that make a plug fit, and the ground pin stays.", Source: []string{"EL-630", "CP"}},
		{Level: caution.Care, Key: "gfci", Text: "Garage outlets are mostly behind a GFCI: if that trips and not the breaker, current goes where it should not, or damp and a long cord make it look so.",
			Instead: "Dry everything, leave the cord out, try once more; if it trips again, have machine and outlet looked at. Never go round it.", Source: []string{"MEM"}},
	}
	if c, ok := caution.StoredCharge(m); ok {
		all = append([]caution.Caution{c}, all...)
	}
	return all
}
