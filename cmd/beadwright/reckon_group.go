package main

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"beadwright/procedures"
	"beadwright/recommend/caution"
	"beadwright/recommend/source"
)

// groupForm is how welders of a group are written: 2x 20A 20%, 70A 90% motor.
var groupForm = procedures.Pattern(`^(?:(\d{1,3}) ?x )?(\S+) (\S+?)( motor)?$`)

func newReckonGroup(a *app) *cobra.Command {
	var said []string
	cmd := &cobra.Command{
		Use:   "group",
		Short: "What one feeder must carry for several welders, by NEC 630.11(B)",
		Long: `What the conductors of one feeder must carry for several welding machines, by NEC
630.11(B): each by its own duty cycle, then the two largest in full, the third at 85 %,
the fourth at 70 % and the rest at 60 %. For an electrician: it sizes wire in a wall.
On a household circuit two arcs at once trip the breaker, whatever this sum says. How
much air several welders want: beadwright reckon air --welders 2.`,
		Example: `  beadwright reckon group --welder "20A 20%" --welder "20A 20%"
  beadwright reckon group --welder "80A 100%" --welder "70A 90% motor" --welder "4x 25A 40%"`,
	}
	cmd.Flags().StringArrayVar(&said, "welder", nil, "input amps and duty cycle on its plate: '20A 20%'; '4x 25A 40%' for four alike, 'motor' behind it for a motor-generator; may be repeated")
	return a.sum(cmd, func(r *reckoning) error {
		if len(said) == 0 {
			r.need("welder", "", "input amps and duty cycle on the plate of each: --welder \"20A 20%\" --welder \"20A 20%\"")
			return r.err
		}
		return r.group(said)
	})
}

// group answers what each asks for alone, and what all ask of one feeder.
func (r *reckoning) group(said []string) error {
	welders := make([]source.Welder, len(said))
	amps, kinds := make([]string, len(said)), make([]string, len(said))
	for i, s := range said {
		w, err := readWelder(s)
		if err != nil {
			return err
		}
		alone, err := source.SupplyConductor(w.Primary, w.Duty, w.MotorGenerator)
		if err != nil {
			return err
		}
		welders[i] = w
		amps[i], kinds[i] = fmt.Sprintf("%d x %s A", w.Count, num(alone.Value)), welderText(w)
		r.add("alone, "+kinds[i], alone, fmt.Sprintf("input amps x multiplier of the duty cycle = %s A x %s = %s A", put(float64(w.Primary)), put(alone.Value/float64(w.Primary)), num(alone.Value))).Note = ""
	}
	r.note("welders", "", kinds, strings.Join(kinds, ", "))
	all, err := source.Group(welders)
	if err != nil {
		return err
	}
	r.least("feeder conductors must carry at least", all, "the two largest in full, the third x 0.85, the fourth x 0.70, the others x 0.60, of "+strings.Join(amps, ", "))
	r.caution(caution.Defer, "electrician", "Wire in a wall, its breaker and its outlet are for a licensed electrician, and local code has the last word.", "EL-630")
	r.firstComes()
	r.uncovered("household circuits: two arcs on one 15 or 20 A breaker trip it, whatever this sum says", "lamps, fans and tools on the same feeder",
		"the air for so many arcs: beadwright reckon air --welders 2", "rests: each machine keeps its own duty cycle, and none lends another its rest")
	return nil
}

// welderText says one kind of welder of a group.
func welderText(w source.Welder) string {
	text := fmt.Sprintf("%s A at %s %%", num(float64(w.Primary)), num(float64(w.Duty)))
	if w.MotorGenerator {
		text += ", motor-generator"
	}
	if w.Count > 1 {
		text = fmt.Sprintf("%d of %s", w.Count, text)
	}
	return text
}

// readWelder reads one kind of welder of a group.
func readWelder(s string) (w source.Welder, err error) {
	m := groupForm().FindStringSubmatch(strings.Join(strings.Fields(strings.ToLower(s)), " "))
	if m == nil {
		return w, procedures.Invalid("welder", s, "not a welder's plate", "accepted: 20A 20%, 4x 25A 40%, 70A 90% motor")
	}
	w.Count = 1
	if m[1] != "" {
		w.Count, _ = strconv.Atoi(m[1])
	}
	if w.Primary, err = procedures.ParseAmps("welder", m[2]); err != nil {
		return w, err
	}
	w.Duty, err = procedures.ParsePercent("welder", m[3])
	w.MotorGenerator = m[4] != ""
	return w, err
}
