package source

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/arc"
)

// Circuit is what is known of the way from the house's panel to the machine. Zero
// is not known, except Cord and Others: none.
type Circuit struct {
	Current procedures.Amps    // of the arc, in question
	Draw    procedures.Amps    // from the line while that arc burns
	Plate   procedures.Amps    // highest primary current, from the plate
	Duty    procedures.Percent // at that current
	Supply  procedures.Volts
	Arc     procedures.Volts // to say what a loss takes from the arc
	Breaker procedures.Amps
	Wall    int    // AWG of the copper in the wall
	Outlet  string // such as 5-15R
	Plug    string // on the machine's own cord, such as 5-15P
	Cord    procedures.Cord
	Others  []procedures.Amps // what else runs on the circuit
	Rest    procedures.Volts  // measured at the machine's plug, not welding, last of all; zero: Idle
	Idle    procedures.Volts  // the same, before Loaded was read
	Loaded  procedures.Volts  // measured there with the arc on
	Drawn   procedures.Amps   // from the line while Loaded was read; zero: Draw
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
		{"line", float64(c.Rest), 90, 700, "V"}, {"line", float64(c.Idle), 90, 700, "V"}, {"line-loaded", float64(c.Loaded), 60, 700, "V"}, {"amps", float64(c.Current), 1, 2000, "A"}, {"input amps", float64(c.Drawn), 0.1, 400, "A"},
	} {
		if q.v != 0 {
			err = first(err, arc.Within(q.field, q.v, q.lo, q.hi, q.unit))
		}
	}
	return err
}

// Judge holds a circuit against what is in print and what was measured: breaker
// and load, NEC 630.11(A) and 630.12(A), wall wire, outlet and plug, cord, and the
// line's volts and sag (100*(V0-V1)/V0, source ohms (V0-V1)/I). It returns what it
// found and what could not be judged. Errors: [*procedures.InvalidError] for what no
// circuit has.
func (c Circuit) Judge() ([]Finding, []Missing, error) {
	if err := c.check(); err != nil {
		return nil, nil, err
	}
	var out []Finding
	for _, judge := range []func() ([]Finding, error){c.load, c.code, c.wall, c.plug, c.outlet, c.cord, c.line, c.sag} {
		found, err := judge()
		if err != nil {
			return nil, nil, err
		}
		out = append(out, found...)
	}
	return out, c.missing(), nil
}

// Verdict is the worst of what was found. Where breaker or draw is not known, or
// nobody has looked at the wall's wire and the outlet, nothing is called fine: 20 A
// on wire made for 15 is seen by no other figure.
func (c Circuit) Verdict(found []Finding) Verdict {
	v := Worst(found)
	if v == Fine && (c.Breaker == 0 || c.Draw == 0 || c.Wall == 0 || c.Outlet == "") {
		return Unknown
	}
	return v
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
	var out []Finding
	switch {
	case over > quicklyTrips:
		out = append(out, say("breaker", WillTrip, figure, "%s: more than twice its rating, gone within 2 minutes and likely at the first bead; %s", said, neverBigger))
	case over > surelyTrips:
		out = append(out, say("breaker", WillTrip, figure, "%s: over 135 %% of its rating, at which it must open within the hour, and the higher the sooner; take everything else off and weld colder; %s", said, neverBigger))
	case over > 1:
		out = append(out, say("breaker", Marginal, figure, "%s: over its rating while the arc burns, so a long bead may trip it; nothing else on the circuit, short beads; %s", said, neverBigger))
	default:
		out = append(out, say("breaker", Fine, figure, "%s: within its rating", said))
		if c.Duty > 0 {
			v, err := EffectiveCurrent(c.Draw+others, others, c.Duty)
			if err != nil {
				return nil, err
			}
			out = append(out, say("effective", "", v, "over the 10 minutes the wire in the wall, which warms slowly, gets as warm as by %.1f A all the time (%.0f %% duty); an extension cord is thinner and is held to the draw itself, with a quarter for its rests", v.Value, float64(c.Duty)))
		}
		return out, nil
	}
	if i, ok := c.Carries(); ok {
		out = append(out, say("carries", "", carried(i), "%s", carryWords(i)))
	}
	return out, nil
}

// Carries is the welding current at which the machine's draw, with what else runs
// on the circuit, stays at the breaker's rating, and at what a cord may carry; false
// where it cannot be told, or nothing is left. The draw goes with the current. In
// whole amps, rounded down. Derived here.
func (c Circuit) Carries() (procedures.Amps, bool) {
	if c.Current == 0 || c.Draw == 0 || c.Breaker == 0 {
		return 0, false
	}
	room := c.Breaker - c.others()
	if allowed, err := CordAmpacity(c.Cord.AWG, 2); c.Cord.AWG != 0 && err == nil {
		room = min(room, procedures.Amps(allowed.Value))
	}
	return procedures.Amps(math.Floor(float64(c.Current*room/c.Draw) + 1e-9)), room > 0
}

func carried(i procedures.Amps) arc.Value {
	return exact(float64(i), "A", data.Row{Source: []string{"MATH", "CP"}, Basis: data.Practice})
}

// leastArc is the current below which small wire machines hardly hold an arc.
// Common practice, no source.
const leastArc procedures.Amps = 30

// carryWords says what a circuit carries, and what metal that is for, no thicker than it
// is: 1 A for each 0.001 in, common practice.
func carryWords(i procedures.Amps) string {
	if i < leastArc {
		return fmt.Sprintf("this circuit carries about %.0f A at the arc, less than such a machine holds an arc at: another circuit, by a licensed electrician", float64(i))
	}
	return fmt.Sprintf("this circuit carries about %.0f A at the arc within its rating: metal of about %.2f in (%.1f mm) by 1 A for each thousandth of an inch (0.025 mm); hotter wants another circuit", float64(i), math.Floor(float64(i)/10+1e-9)/100, math.Floor(float64(i)/100*procedures.MMPerInch+1e-9)/10)
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
	if float64(c.Breaker) > top.Value {
		out = append(out, say("630.12", DoNot, top, "the breaker is more than twice what the plate draws, more than the code allows even on a circuit kept for this welder (NEC 630.12(A)). Have a licensed electrician put it right before you weld"))
	}
	return out, nil
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

// household is the highest voltage that counts as a household outlet's.
const household procedures.Volts = 130

// fits lists the outlets that a plug goes into, and the largest breaker that such
// outlets hang on. Source: NEMA's shapes and NEC Table 210.21(B)(3), from memory.
var fits = []struct {
	plug    string
	outlets []string
	breaker procedures.Amps
}{
	{"5-15P", []string{"5-15R", "5-20R"}, 20}, {"5-20P", []string{"5-20R"}, 20},
	{"L5-30P", []string{"L5-30R"}, 30}, {"TT-30P", []string{"TT-30R"}, 30},
}

// plug holds outlet and breaker against the plug on the machine's own cord: a plug
// that does not go in wants an adapter, and then nothing guards plug and cord.
func (c Circuit) plug() ([]Finding, error) {
	if c.Supply > household {
		return nil, nil
	}
	const usual = 20 // of a plug that is not known: small machines of 120 V come with 15 or 20 A plugs
	plug, most, in := "the 15 or 20 A plug that such a machine mostly has (if it has another, say which)", procedures.Amps(usual), []string{"5-15R", "5-20R"}
	for _, f := range fits {
		if f.plug == c.Plug {
			plug, most, in = "the machine's "+f.plug+" plug", f.breaker, f.outlets
		}
	}
	from := []string{"EL-RECP", "MEM", "CP"}
	var out []Finding
	if c.Outlet != "" && !slices.Contains(in, c.Outlet) {
		out = append(out, Finding{"plug", DoNot, arc.Value{}, fmt.Sprintf("a %s outlet does not take %s. Never an adapter, which leaves that plug and its cord to a breaker too big for them: another outlet, by a licensed electrician", c.Outlet, plug), from})
	}
	if c.Breaker > most && c.Supply > 0 {
		out = append(out, Finding{"breaker-size", DoNot, exact(float64(c.Breaker), "A", wallRow), fmt.Sprintf("a %.0f A breaker guards neither %s nor the cord behind it: household outlets of %.0f V are mostly made for 15 or 20 A. If it was put in to stop trips, have a licensed electrician put it right before you weld", float64(c.Breaker), plug, float64(c.Supply)), from})
	}
	return out, nil
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

// cordRests is how far over its rating for all the time a cord may be drawn by an arc
// that rests most of the time: by the mean square over 10 min 20 % duty would allow
// more than twice. Own threshold, common practice, no source.
const cordRests = 1.25

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
	out := []Finding{say("cord", share(loss.Share), loss.Drop, "the %d AWG cord of %.0f ft (%.1f m) loses %.1f V (%.1f %% of the supply) at %.3g A, about %.1f V at the arc%s",
		c.Cord.AWG, c.Cord.Length.Inches()/12, float64(c.Cord.Length)/1000, loss.Drop.Value, float64(loss.Share), float64(c.Draw), float64(loss.Arc), shorter)}
	if loss.Allowed.Value == 0 {
		return out, nil
	}
	v, text := Fine, "within what it may carry all the time"
	switch over := float64(c.Draw) / loss.Allowed.Value; {
	case over > cordRests || over > 1 && (c.Duty == 0 || c.Duty > 60):
		v, text = DoNot, "more than it may carry: a heavier cord or none, and unroll it whatever it is"
	case over > 1:
		v, text = Marginal, fmt.Sprintf("over that while the arc burns, and at %.0f %% duty it rests between beads: unroll it, feel it after each bead, and stop when it is warm; heavier is better (own threshold: up to a quarter over)", float64(c.Duty))
	}
	return append(out, say("cord-amps", v, loss.Allowed, "the cord is rated for %.0f A all the time and the machine draws %.3g A with the arc on: %s", loss.Allowed.Value, float64(c.Draw), text)), nil
}
