package source

import (
	"fmt"
	"strings"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/arc"
)

// Circuit is what is known of the way from the house's panel to the machine. Zero
// is not known, except Cord and Others: none.
type Circuit struct {
	Draw    procedures.Amps    // from the line while the arc burns, at the current in question
	Plate   procedures.Amps    // highest primary current, from the plate
	Duty    procedures.Percent // at that current
	Supply  procedures.Volts
	Arc     procedures.Volts // to say what a loss takes from the arc
	Breaker procedures.Amps
	Wall    int    // AWG of the copper in the wall
	Outlet  string // such as 5-15R
	Cord    procedures.Cord
	Others  []procedures.Amps // what else runs on the circuit
	Idle    procedures.Volts  // measured at the machine's plug, not welding
	Loaded  procedures.Volts  // measured there with the arc on
}

// wallWires are the largest breaker over copper in the wall of a circuit for
// general use, and what that copper carries in the 60 C column.
// Source: NEC 240.4(D) and Table 310.16, from memory.
var wallWires = []struct {
	awg               int
	breaker, ampacity procedures.Amps
}{{14, 15, 15}, {12, 20, 20}, {10, 30, 30}, {8, 40, 40}, {6, 55, 55}}

var wallRow = data.Row{Source: []string{"MEM"}, Basis: data.Memory}

// A breaker holds its rating for good, must open within the hour at 135 % of it
// and within 2 minutes at twice it. Source: UL 489 for small breakers, from memory.
const (
	surelyTrips  = 1.35
	quicklyTrips = 2.0
)

const neverBigger = "never a bigger breaker to stop the trips, and a licensed electrician for anything in the wall"

// others is the current of what else runs on the circuit.
func (c Circuit) others() (all procedures.Amps) {
	for _, o := range c.Others {
		all += o
	}
	return all
}

func (c Circuit) check() error {
	err := first(arc.Within("other loads", float64(c.others()), 0, 400, "A"))
	for _, q := range []struct {
		field  string
		v      float64
		lo, hi float64
		unit   string
	}{
		{"input amps", float64(c.Draw), 0.1, 400, "A"}, {"input amps", float64(c.Plate), 0.1, 400, "A"}, {"duty", float64(c.Duty), 1, 100, "%"},
		{"supply voltage", float64(c.Supply), 90, 700, "V"}, {"arc voltage", float64(c.Arc), 5, 100, "V"}, {"breaker", float64(c.Breaker), 5, 400, "A"},
		{"line", float64(c.Idle), 90, 700, "V"}, {"line-loaded", float64(c.Loaded), 60, 700, "V"},
	} {
		if q.v != 0 {
			err = first(err, arc.Within(q.field, q.v, q.lo, q.hi, q.unit))
		}
	}
	return err
}

// Judge holds a circuit against what is in print and what was measured: breaker
// and load, NEC 630.11(A) and 630.12, wall wire, outlet, cord, and the sag of the
// line (100*(V0-V1)/V0, source ohms (V0-V1)/I). It returns what it found and
// what could not be judged. Errors: [*procedures.InvalidError] for what no circuit has.
func (c Circuit) Judge() ([]Finding, []Missing, error) {
	if err := c.check(); err != nil {
		return nil, nil, err
	}
	var out []Finding
	for _, judge := range []func() ([]Finding, error){c.load, c.code, c.wall, c.outlet, c.cord, c.sag} {
		found, err := judge()
		if err != nil {
			return nil, nil, err
		}
		out = append(out, found...)
	}
	return out, c.missing(), nil
}

// load holds what is drawn against the breaker.
func (c Circuit) load() ([]Finding, error) {
	if c.Draw == 0 || c.Breaker == 0 {
		return nil, nil
	}
	others := c.others()
	all := float64(c.Draw + others)
	with := ""
	if others > 0 {
		with = fmt.Sprintf(" and %.3g A for the rest of the circuit, %.3g A in all", float64(others), all)
	}
	figure := exact(all, "A", data.Row{Source: []string{"MATH", "MEM"}, Basis: data.Memory})
	over := all / float64(c.Breaker)
	said := fmt.Sprintf("%.3g A for the arc%s, on a %.3g A breaker", float64(c.Draw), with, float64(c.Breaker))
	switch {
	case over > quicklyTrips:
		return []Finding{say("breaker", WillTrip, figure, "%s: more than twice its rating, gone within 2 minutes and likely at the first bead; %s", said, neverBigger)}, nil
	case over > surelyTrips:
		return []Finding{say("breaker", WillTrip, figure, "%s: a breaker must open at 135 %% of its rating, sooner the longer the bead; take everything else off and weld shorter or colder; %s", said, neverBigger)}, nil
	case over > 1:
		return []Finding{say("breaker", Marginal, figure, "%s: over its rating while the arc burns, so a long bead may trip it; nothing else on the circuit, short beads; %s", said, neverBigger)}, nil
	}
	out := []Finding{say("breaker", Fine, figure, "%s: within its rating", said)}
	if c.Duty > 0 {
		v, err := EffectiveCurrent(c.Draw+others, others, c.Duty)
		if err != nil {
			return nil, err
		}
		out = append(out, say("effective", "", v, "over the 10 minutes that is as warm for the wiring as %.1f A all the time (%.0f %% duty)", v.Value, float64(c.Duty)))
	}
	return out, nil
}

// code says what NEC article 630 asks.
func (c Circuit) code() ([]Finding, error) {
	plate := c.Plate
	if plate == 0 {
		return nil, nil
	}
	var out []Finding
	if c.Duty > 0 {
		m, err := Multiplier(c.Duty, false)
		if err != nil {
			return nil, err
		}
		need, err := SupplyConductor(plate, c.Duty, false)
		if err != nil {
			return nil, err
		}
		v := Verdict("")
		tail := ""
		if w, ok := c.wallWire(); ok {
			v, tail = Fine, fmt.Sprintf("; %d AWG in the wall carries %.0f A", c.Wall, float64(w))
			if float64(w) < need.Value {
				v = DoNot
			}
		}
		out = append(out, say("630.11", v, need, "NEC 630.11(A), for an electrician: the wire in the wall carries %.3g A on the plate x %.2f for %.0f %% duty = %.1f A at the least%s; local code has the last word", float64(plate), m.Value, float64(c.Duty), need.Value, tail))
	}
	top, err := Overcurrent(plate)
	if err != nil {
		return nil, err
	}
	v := Verdict("")
	if c.Breaker > 0 && float64(c.Breaker) > top.Value {
		v = DoNot
	}
	return append(out, say("630.12", v, top, "NEC 630.12(A): a breaker of %.0f A at the very most for a circuit kept for this welder; an upper limit and not a size to fit, and an outlet for general use gets none of it", top.Value)), nil
}

func (c Circuit) wallWire() (procedures.Amps, bool) {
	for _, w := range wallWires {
		if w.awg == c.Wall {
			return w.ampacity, true
		}
	}
	return 0, false
}

// wall holds the breaker against the wire that it guards.
func (c Circuit) wall() ([]Finding, error) {
	if c.Wall == 0 {
		if c.Breaker > 20 && c.Supply > 0 && c.Supply <= 130 {
			return []Finding{{"breaker-size", DoNot, exact(float64(c.Breaker), "A", wallRow), fmt.Sprintf("a %.0f A breaker on a %.0f V outlet: household outlets and their wire are mostly made for 15 or 20 A. If it was put in to stop trips, have a licensed electrician put it right before you weld", float64(c.Breaker), float64(c.Supply)), []string{"EL-RECP", "CP"}}}, nil
		}
		return nil, nil
	}
	var known []string
	for _, w := range wallWires {
		if w.awg == c.Wall { // by the breaker, where there is one to hold against it
			if c.Breaker == 0 {
				return nil, nil
			}
			figure := exact(float64(w.breaker), "A", wallRow)
			if c.Breaker > w.breaker {
				return []Finding{say("wall", DoNot, figure, "a %.0f A breaker guards %d AWG wire, and %.0f A is the most for it on a circuit for general use: the wire can burn before the breaker opens. Have a licensed electrician put it right before you weld", float64(c.Breaker), c.Wall, float64(w.breaker))}, nil
			}
			return []Finding{say("wall", Fine, figure, "%d AWG in the wall goes with a breaker up to %.0f A; this one is %.0f A", c.Wall, float64(w.breaker), float64(c.Breaker))}, nil
		}
		known = append(known, fmt.Sprint(w.awg))
	}
	return nil, procedures.Invalid("wall", fmt.Sprint(c.Wall), "not a size of wire in a wall that I know", "accepted: "+strings.Join(known, ", ")+" AWG copper; an electrician can tell")
}

// outlet holds the machine and the breaker against the outlet.
func (c Circuit) outlet() ([]Finding, error) {
	if c.Outlet == "" {
		return nil, nil
	}
	load, err := ReceptacleLoad(c.Outlet)
	if err != nil {
		return nil, err
	}
	rating := 0.0
	for _, r := range data.Receptacles() {
		if r.NEMA == c.Outlet {
			rating = r.RatingA
		}
	}
	var out []Finding
	if float64(c.Breaker) > rating && !(c.Breaker == 20 && rating == 15) {
		out = append(out, Finding{"outlet-breaker", DoNot, exact(rating, "A", wallRow), fmt.Sprintf("a %s outlet is made for %.0f A and the breaker is %.0f A: the outlet burns first. A licensed electrician, before you weld", c.Outlet, rating, float64(c.Breaker)), []string{"EL-RECP", "MEM"}})
	}
	if c.Plate == 0 || c.Duty == 0 {
		return out, nil
	}
	need, err := SupplyConductor(c.Plate, c.Duty, false)
	if err != nil {
		return nil, err
	}
	v, text := Fine, fmt.Sprintf("%s outlet: %.0f A is the most for one appliance; a welder counts by its duty, here %.1f A", c.Outlet, load.Value, need.Value)
	switch {
	case need.Value > load.Value:
		v = DoNot
		text += ": too much for it"
	case c.Plate > procedures.Amps(rating):
		v = Marginal
		text += fmt.Sprintf(", though the plate says %.3g A while the arc burns: feel plug and outlet after a bead, and stop when they are warm. Never an adapter to make the plug fit", float64(c.Plate))
	}
	load.Source = arc.Together(load.Source, need.Source)
	return append(out, say("outlet", v, load, "%s", text)), nil
}

// cord holds the extension cord against the current.
func (c Circuit) cord() ([]Finding, error) {
	if c.Cord.AWG == 0 || c.Draw == 0 || c.Supply == 0 {
		return nil, nil
	}
	arcVolts := c.Arc
	if arcVolts == 0 {
		arcVolts = 18 // a small machine's arc; only to say what the loss means
	}
	loss, err := CordDrop(c.Cord, c.Draw, c.Supply, arcVolts)
	if err != nil {
		return nil, err
	}
	shorter := ""
	if loss.Share > dropWeak {
		shorter = ": shorter or heavier"
	}
	out := []Finding{say("cord", share(loss.Share), loss.Drop, "the %d AWG cord of %.0f ft loses %.1f V (%.1f %% of the supply) at %.3g A, about %.1f V at the arc%s",
		c.Cord.AWG, c.Cord.Length.Inches()/12, loss.Drop.Value, float64(loss.Share), float64(c.Draw), float64(loss.Arc), shorter)}
	if loss.Allowed.Value == 0 {
		return out, nil
	}
	v, text := Fine, "within what it may carry all the time"
	if float64(c.Draw) > loss.Allowed.Value {
		v, text = DoNot, "more than it may carry: a heavier cord or none, and unroll it whatever it is"
	}
	return append(out, say("cord-amps", v, loss.Allowed, "the cord is rated for %.0f A all the time and the machine draws %.3g A with the arc on: %s", loss.Allowed.Value, float64(c.Draw), text)), nil
}
