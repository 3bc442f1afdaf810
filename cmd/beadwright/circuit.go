package main

import (
	"context"
	"fmt"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"beadwright/procedures"
	"beadwright/recommend/caution"
	"beadwright/recommend/source"
)

type circuitOptions struct {
	others                    []string
	breaker, cord, wall, plug string
	amps                      string
}

func newMachineCircuit(a *app, names cobra.CompletionFunc) *cobra.Command {
	var o circuitOptions
	cmd := &cobra.Command{
		Use: "circuit [NAME]", Short: "Will it trip: breaker, wall wire, outlet, cord and line sag (default the machine in use)", ValidArgsFunction: names,
		Long: `Hold the machine against the circuit it hangs on: breaker, what else is on it, the
wire in the wall, the outlet, the cord, and how far the line falls when the arc is
struck. It shows what the code says and defers to a licensed electrician: local code
has the last word, and a bigger breaker is never the answer to trips.`,
		Example: `  beadwright machine circuit
  beadwright machine circuit --other fridge=3A --other 100W --wall 12awg --outlet 5-20R`,
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.circuit(cmd.Context(), strings.Join(args, " "), o)
		},
	}
	f := cmd.Flags()
	f.StringArrayVar(&o.others, "other", nil, "what else runs on the circuit: 3A, 360W, fridge=3A; may be repeated")
	f.StringVar(&o.breaker, "breaker", "", "the number on its handle (default as written down): 20A")
	f.StringVar(&o.cord, "cord", "", "extension cord (default as written down): 12awg 25ft, or none")
	f.StringVar(&o.wall, "wall", "", "copper in the wall: 12awg")
	f.StringVar(&o.plug, "outlet", "", "outlet: 5-15R, 5-20R, L5-30R, TT-30R")
	f.StringVar(&o.amps, "amps", "", "welding amps (default the rated output): 80A")
	_ = cmd.RegisterFlagCompletionFunc("outlet", func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		return []string{"5-15R", "5-20R", "L5-30R", "TT-30R"}, cobra.ShellCompDirectiveNoFileComp
	})
	return cmd
}

// usualArc is the volts of a small machine's arc, where nothing says them. Common
// practice, no source.
const usualArc procedures.Volts = 18

// read makes the circuit that is to be judged, and says what was assumed.
func (o circuitOptions) read(m procedures.Machine, units procedures.Units) (c source.Circuit, said []string, assumed []string, err error) {
	i, load := m.RatedAmps, m.RatedVolts
	if o.amps != "" {
		if i, err = procedures.ParseAmps("amps", o.amps); err != nil {
			return c, nil, nil, err
		}
	}
	if load == 0 {
		load = usualArc
		assumed = append(assumed, "18 V at the arc (common practice)")
	}
	c = source.CircuitOf(m, i, load)
	if m.InputAmps > 0 && (c.Draw == 0 || o.amps == "" && i == m.RatedAmps) {
		c.Draw = m.InputAmps // the plate says it outright
	} else if v, err := source.DrawOf(m, i, load); err == nil {
		assumed = append(assumed, v.Note)
	}
	if o.breaker != "" {
		if c.Breaker, err = procedures.ParseAmps("breaker", o.breaker); err != nil {
			return c, nil, nil, err
		}
	}
	if o.cord != "" {
		if c.Cord, err = parseCord(o.cord, units); err != nil {
			return c, nil, nil, err
		}
	}
	if o.wall != "" {
		n, err := strconv.Atoi(strings.TrimSpace(strings.TrimSuffix(strings.TrimPrefix(strings.ToLower(strings.TrimSpace(o.wall)), "#"), "awg")))
		if err != nil {
			return c, nil, nil, procedures.Invalid("wall", o.wall, "not a size of wire", "accepted: 14awg, 12awg, 10awg, 8awg, 6awg, copper")
		}
		c.Wall = n
	}
	c.Outlet = strings.ToUpper(strings.TrimSpace(o.plug))
	for _, s := range o.others {
		i, text, err := parseOther(s, c.Supply)
		if err != nil {
			return c, nil, nil, err
		}
		c.Others, said = append(c.Others, i), append(said, text)
	}
	return c, said, assumed, nil
}

// parseOther reads another load on the circuit: 3A, 360W, fridge=3A.
func parseOther(s string, supply procedures.Volts) (procedures.Amps, string, error) {
	name, value, named := strings.Cut(s, "=")
	if !named {
		name, value = "", s
	}
	value = strings.ToLower(strings.TrimSpace(value))
	if strings.HasSuffix(value, "w") || strings.HasSuffix(value, "watts") {
		w, err := procedures.ParseWatts("other", value)
		if err != nil {
			return 0, "", err
		}
		if supply == 0 {
			return 0, "", procedures.Invalid("other", s, "watts need the wall's volts to become amps", "say amps: --other 3A", "or write the supply down: beadwright machine set --input 120V")
		}
		i := procedures.Amps(w) / procedures.Amps(supply)
		return i, strings.TrimSpace(fmt.Sprintf("%s %.3g W = %.3g A", name, w, float64(i))), nil
	}
	i, err := procedures.ParseAmps("other", value)
	return i, strings.TrimSpace(fmt.Sprintf("%s %.3g A", name, float64(i))), err
}

func (a *app) circuit(ctx context.Context, name string, o circuitOptions) error {
	m, err := a.written(ctx, name)
	if err != nil {
		return err
	}
	units, err := a.units(ctx)
	if err != nil {
		return err
	}
	c, said, assumed, err := o.read(m, units)
	if err != nil {
		return err
	}
	found, missing, err := c.Judge()
	if err != nil {
		return err
	}
	verdict := circuitVerdict(c, found)
	cautions := circuitCautions(m)
	if a.json {
		return a.printJSON(map[string]any{"machine": m.Name, "state": m.State.ID, "verdict": verdict, "text": circuitWords(verdict, c, found), "draw_A": c.Draw, "breaker_A": c.Breaker, "cord": c.Cord,
			"wall_awg": known(c.Wall), "outlet": c.Outlet, "others_A": append([]procedures.Amps{}, c.Others...), "line_idle_V": c.Idle, "line_loaded_V": c.Loaded,
			"findings": findings(found), "assumed": append([]string{}, assumed...), "missing": append([]source.Missing{}, missing...), "cautions": cautions, "sources": citedIn(found, cautions)})
	}
	a.line(strings.ToUpper(string(verdict)), circuitWords(verdict, c, found))
	cord := ""
	if c.Cord.AWG != 0 {
		cord = fmt.Sprintf("cord %d AWG, %.0f ft", c.Cord.AWG, c.Cord.Length.Inches()/12)
	}
	a.line("machine", stateLine(m))
	a.line("circuit", list(ifKnown("", float64(c.Draw), fmt.Sprintf("draws %.3g A with the arc on", float64(c.Draw))), ifKnown("", float64(c.Breaker), fmt.Sprintf("breaker %.3g A", float64(c.Breaker))), cord,
		ifKnown("", float64(c.Wall), fmt.Sprintf("%d AWG in the wall", c.Wall)), after("outlet ", c.Outlet), after("beside it: ", strings.Join(said, ", "))))
	if len(assumed) > 0 {
		a.line("assumed", strings.Join(assumed, "; "))
	}
	a.printf("\n")
	a.printFindings(found)
	a.printMissing("not known, and where to read it", missing)
	a.printCautions(cautions)
	a.printSources(citedIn(found, cautions))
	return nil
}

// known is a whole number, nil where it is not known.
func known(n int) *int {
	if n == 0 {
		return nil
	}
	return &n
}

// circuitVerdict is the worst of what was found. Where the breaker or the draw is
// not known, nothing is called fine.
func circuitVerdict(c source.Circuit, found []source.Finding) source.Verdict {
	v := source.Worst(found)
	if v == source.Fine && (c.Breaker == 0 || c.Draw == 0) {
		return source.Unknown
	}
	return v
}

// circuitWords is the verdict in plain words: what to do.
func circuitWords(v source.Verdict, c source.Circuit, found []source.Finding) string {
	switch v {
	case source.Unknown:
		return "nobody can say yet whether it trips: read the breaker's number and the machine's plate first"
	case source.Fine:
		return "weld, with nothing more on this circuit than was said"
	}
	f, _ := worstFirst(found)
	lead := "weld short beads and watch: "
	switch v {
	case source.WillTrip:
		lead = "take load off before you weld: "
	case source.DoNot:
		lead = "do not weld on this circuit until that is put right: "
	}
	return lead + f.Text
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
