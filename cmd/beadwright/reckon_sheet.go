package main

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/arc"
	"beadwright/recommend/caution"
	"beadwright/recommend/joint"
	"beadwright/recommend/source"
)

func newReckonGauge(a *app) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "gauge NUMBER plain|galvanized|tube",
		Short: "Thickness of a sheet or tube gauge, or the wall of schedule 40 pipe",
		Long: `Thickness of a gauge. One number means different things: plain and galvanized
sheet and tube walls each have their own list, so say which. Stainless sheet and
electrical wire have others again, which are not here.`,
		Example: "  beadwright reckon gauge 16 plain\n  beadwright reckon gauge 16 galvanized\n  beadwright reckon gauge 16 tube\n  beadwright reckon gauge pipe 1-1/2",
		Args:    cobra.ArbitraryArgs,
		ValidArgsFunction: func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			return []string{"plain", "galvanized", "tube", "pipe"}, cobra.ShellCompDirectiveNoFileComp
		},
	}
	return a.sum(cmd, func(r *reckoning) error { return r.gauge(strings.Join(r.args, " ")) })
}

// kinds of list, in the words that people use.
var gaugeKinds = map[string]string{
	"plain": "plain", "uncoated": "plain", "bare": "plain", "sheet": "plain", "black": "plain", "mild": "plain", "steel": "plain",
	"galvanized": "galvanized", "galvanised": "galvanized", "galv": "galvanized", "zinc": "galvanized",
	"tube": "tube", "tubing": "tube", "pipe": "pipe", "stainless": "stainless", "awg": "wire", "wire": "wire", "aluminum": "aluminum", "aluminium": "aluminum",
}

func (r *reckoning) gauge(said string) error {
	number, kind := "", ""
	for _, w := range strings.Fields(strings.ToLower(said)) {
		if w == "ga" || w == "gauge" || w == "gage" || w == "schedule" || w == "40" && kind == "pipe" && number != "" {
			continue
		}
		if k, ok := gaugeKinds[w]; ok && (kind == "" || kind == "plain" || k == kind) {
			kind = k
			continue
		}
		if number != "" {
			return procedures.Invalid("gauge", said, "more than one number or kind", "accepted: 16 plain, 16 galvanized, 16 tube, pipe 1-1/2")
		}
		number = w
	}
	if number == "" {
		return procedures.Invalid("gauge", said, "no gauge given", "accepted: 16 plain, 16 galvanized, 16 tube, pipe 1-1/2")
	}
	if kind == "pipe" {
		return r.pipe(number)
	}
	for _, tail := range []string{"gauge", "gage", "ga", "g"} {
		number = strings.TrimSuffix(number, tail)
	}
	n, err := strconv.Atoi(number)
	if err != nil || n < 1 || n > 50 {
		return procedures.Invalid("gauge", said, "not a gauge number", "accepted: a whole number and a kind: 16 plain, 16 galvanized, 16 tube")
	}
	if kind == "" {
		return procedures.Invalid("gauge", said, "plain sheet, galvanized sheet or tube? Each has its own list", fmt.Sprintf("say: reckon gauge %d plain, reckon gauge %d galvanized, reckon gauge %d tube", n, n, n))
	}
	r.Inputs = append(r.Inputs, input{"gauge", n, fmt.Sprintf("%d gauge %s", n, kind)}, input{"kind", kind, ""})
	return r.list(n, kind)
}

// list answers from the list of a kind.
func (r *reckoning) list(n int, kind string) error {
	var v arc.Value
	var err error
	words := "table"
	switch kind {
	case "plain", "galvanized":
		v, err = joint.SheetThickness(n, kind == "galvanized")
		words = "table: Manufacturers' Standard Gauge"
		if kind == "galvanized" {
			words = "table: galvanized sheet, its coating included"
		}
	case "tube":
		v, err = joint.TubeWall(n)
		words = "table: Birmingham gauge, in which tube walls are sold"
	default:
		err = &arc.NoTableError{Quantity: "thickness", Of: fmt.Sprintf("%d gauge %s", n, kind), Have: []string{"plain sheet, galvanized sheet, tube walls and schedule 40 pipe"}}
	}
	f, err := r.try("thickness", v, err, words)
	if err != nil || !f.given {
		return err
	}
	f.Text = r.caliper(procedures.MM(v.Value))
	if kind == "plain" {
		weight, err := joint.SheetWeight(procedures.MM(v.Value))
		if err != nil {
			return err
		}
		formula := r.equals("41.82 lb/sq ft for each inch x thickness", "41.82 x "+r.in(procedures.MM(v.Value)), weight, "kg/m2")
		if r.units == procedures.Metric {
			formula = r.equals("8.039 kg/sq m for each millimeter x thickness", "8.039 x "+r.in(procedures.MM(v.Value)), weight, "kg/m2")
		}
		r.add("weight", exact(weight, "kg/m2", rule("sheet-weight")), formula)
	}
	r.uncovered("mill tolerance and wear: rusty or ground metal is thinner, so measure it with calipers", "stainless sheet and electrical wire, which use other lists under the same numbers")
	if kind == "galvanized" {
		r.caution(caution.Stop, "galvanized", "No welding on zinc: take it off first, well back from the weld and on both sides. Its white smoke brings chills and fever hours later.", "SA-ZNO", "SA-OA")
	}
	return nil
}

// caliper says a thickness as calipers read it: 0.0635 in is not 1/16 in here.
func (r *reckoning) caliper(v procedures.MM) string {
	if r.units == procedures.Metric {
		return fmt.Sprintf("%.2f mm (%.4f in)", float64(v), v.Inches())
	}
	return fmt.Sprintf("%.4f in (%.2f mm)", v.Inches(), float64(v))
}

// pipe answers the wall of schedule 40 pipe.
func (r *reckoning) pipe(nominal string) error {
	nominal = strings.TrimSuffix(strings.TrimSuffix(nominal, `"`), "in")
	wall, err := joint.PipeWall(nominal)
	if err != nil {
		return err
	}
	outside, err := joint.PipeOutside(nominal)
	if err != nil {
		return err
	}
	r.Inputs = append(r.Inputs, input{"pipe", nominal, nominal + " in schedule 40 pipe"})
	r.add("wall", wall, "table: schedule 40").Text = r.caliper(procedures.MM(wall.Value))
	r.add("outside diameter", outside, "table: schedule 40; the name of a size is not its diameter")
	weight, err := joint.PipeWeight(procedures.MM(outside.Value), procedures.MM(wall.Value))
	if err != nil {
		return err
	}
	od, t := procedures.MM(outside.Value).Inches(), procedures.MM(wall.Value).Inches()
	r.add("weight", exact(weight, "kg/m", rule("pipe-weight")), fmt.Sprintf("10.69 x (outside - wall) x wall = 10.69 x (%[1]s in - %[2]s in) x %[2]s in = %[3]s lb/ft", put(od), put(t), num(10.69*(od-t)*t)))
	r.uncovered("schedule 10 and 80, and tube, which is sold by its outside and its wall", "a pipe that held anything: closed or once-fuel pipes and tanks are a stop, whatever their wall")
	return nil
}

type shadeOptions struct{ process, amps string }

func newReckonShade(a *app) *cobra.Command {
	var o shadeOptions
	cmd := &cobra.Command{
		Use:     "shade",
		Short:   "Filter shade for a process and a current: the least, and where to begin",
		Example: "  beadwright reckon shade --amps 80\n  beadwright reckon shade --process stick --amps 100",
	}
	cmd.Flags().StringVar(&o.process, "process", "", "114, FCAW-S, stick, mig, tig (default flux-core without gas)")
	cmd.Flags().StringVar(&o.amps, "amps", "", "welding current: 80")
	return a.sum(cmd, func(r *reckoning) error {
		r.need("amps", o.amps, "welding current: --amps 80")
		p, i := r.process("process", o.process), r.amps("amps", o.amps)
		if r.err != nil {
			return r.err
		}
		eyes, err := source.Shade(p, i)
		if err != nil {
			return r.none("filter shade", err)
		}
		row := data.Row{Source: slices.DeleteFunc(slices.Clone(eyes.Source), func(id string) bool { return id == "CP" }), Basis: data.Printed}
		least := r.add("least shade", exact(float64(eyes.Minimum), "", row), "table of 29 CFR 1910.133; where two rows meet, the darker one")
		least.Text = "shade " + least.Text
		from, by := row, "table of ANSI Z49.1; where a span is printed, its darker end"
		if eyes.Practice {
			from, by = data.Row{Source: []string{"CP"}, Basis: data.Practice}, "no figure is in print at this current: 9 or 10 is where people begin, to come down from"
		}
		begin := r.add("shade to begin with", exact(float64(eyes.Suggested), "", from), by)
		begin.Text, begin.Note = "shade "+begin.Text, fmt.Sprintf("%s, which is %d", eyes.Note, eyes.Minimum)
		if eyes.Practice {
			begin.Text += " or 10 (common practice; no figure is in print)"
		}
		r.uncovered("glasses with side shields under the hood, and covered skin: the arc burns both", "people beside you and light from behind your head: screen them off")
		return nil
	})
}
