package recommend

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/caution"
	"beadwright/recommend/steel"
)

// ProcedureRequest is what a procedure is written from.
type ProcedureRequest struct {
	Machine procedures.Machine // that the welds name, as it stands
	From    []procedures.Weld  // the welds named, whole, their wire speeds derived from the knob
	Words   string             // name, note and fields: for the safety gate
	For     string             // the use, where it was stated apart
	Spool   string             // id of the spool in the machine; "": not known
	Now     time.Time          // zero: no test fades
	Said    map[string]string  // what was said of failures in use, by the id of the weld
	Units   procedures.Units   // for the wording of reasons; zero: us
}

// Written is a procedure as welds give it, without name, revision and time. Where
// the answer holds no settings (verdict [Refused] or [Outside]) there is none.
type Written struct {
	Procedure procedures.Procedure
	Answer    Suggestion // what [Suggest] says of the job: gate, verdict, cautions
	Doubts    []Reason   // tests that do not count, and failures among the good welds
}

// WriteProcedure makes a procedure of welds of one kind of job: ranges instead of
// points, passes, and the tests that stand behind it. The history is every weld
// that stands, those named among them, wire speeds derived as theirs.
//
// How wide a range is: no wider than the shift that AWS D1.1 lets a qualified
// procedure make around the middle of the coupons, no wider than the good welds of
// the kind reach (and what a hand cannot set finer), and cut half way to a weld
// nearby that failed. See [ranges].
//
// Errors: [*procedures.InvalidError] where the welds are not of one kind, one of
// them failed a test, is neither good nor tested, or the machine has been changed.
func WriteProcedure(r ProcedureRequest, h History) (Written, error) {
	from, err := supporting(r)
	if err != nil {
		return Written{}, err
	}
	lead := from[0]
	for _, w := range from {
		if w.Outcome.Passed() {
			lead = w
			break
		}
	}
	job := lead.Job
	var said []string
	for _, w := range from {
		said = append(said, w.Said, w.Job.Said, w.Job.For)
	}
	if r.For != "" {
		job.For = r.For
	}
	ask := Request{Job: job, Machine: r.Machine, Words: strings.Join(append(said, r.Words), " "), For: r.For, Units: r.Units, Spool: r.Spool, Now: r.Now}
	w := Written{}
	if w.Answer, err = Suggest(ask, h); err != nil || !w.Answer.Given() {
		return w, err
	}
	like := likeWelds(lead, h)
	p := &w.Procedure
	p.Job, p.Settings = job, procedures.Settings{Tap: lead.Settings.Tap, Polarity: lead.Settings.Polarity, Passes: lead.Settings.Passes,
		Technique: lead.Settings.Technique, Preheat: w.Answer.Settings.Preheat, How: map[string]procedures.How{}}
	if p.Settings.Polarity == "" {
		p.Settings.Polarity = w.Answer.Settings.Polarity
	}
	if p.Settings.Technique == "" {
		p.Settings.Technique = w.Answer.Settings.Technique
	}
	for _, f := range from {
		p.From = append(p.From, f.Mark)
		if !f.Outcome.Passed() {
			continue
		}
		if spoiled := failedSince(f, like); spoiled != "" {
			w.Doubts = append(w.Doubts, Reason{fmt.Sprintf("the test of %s does not count: %s failed at that setting since", f.Mark, spoiled), []string{}})
			continue
		}
		if why := Faded(f, r.Spool, r.Now); why != "" {
			w.Doubts = append(w.Doubts, Reason{fadedWords(f, why), []string{}})
			continue
		}
		p.Tests = append(p.Tests, f.Mark)
	}
	w.Doubts = append(w.Doubts, ranges(p, r, from, like)...)
	maps.DeleteFunc(p.Settings.How, func(_ string, how procedures.How) bool { return how == "" }) // nobody said how it was got
	p.Passes = passList(*p)
	return w, nil
}

// supporting checks the welds named and returns each once.
func supporting(r ProcedureRequest) ([]procedures.Weld, error) {
	var from []procedures.Weld
	for _, w := range r.From {
		if slices.ContainsFunc(from, func(o procedures.Weld) bool { return o.Mark == w.Mark }) {
			continue
		}
		if err := stands(w, r); err != nil {
			return nil, err
		}
		if len(from) > 0 {
			if what := otherKind(from[0], w, r.Units); what != "" {
				return nil, procedures.Invalid("from", from[0].Mark+", "+w.Mark, "a procedure is for one kind of job, and these differ in "+what, "write one procedure for each kind")
			}
		}
		from = append(from, w)
	}
	if len(from) == 0 {
		return nil, procedures.Invalid("from", "", "which welds is it written from?", "name two coupons that passed a bend or break test, such as A3,A7")
	}
	return from, nil
}

// stands refuses a weld that no procedure can be written from.
func stands(w procedures.Weld, r ProcedureRequest) error {
	j, m := w.Job, r.Machine
	if when := w.Outcome.FailedInUse; !when.IsZero() && w.Struck == "" {
		problem := w.Mark + " failed in use " + when.Local().Format(time.DateOnly)
		if said := r.Said[w.ID]; said != "" {
			problem += " (" + said + ")"
		}
		return procedures.Invalid("from", w.Mark, problem+", and that outweighs every test", "name coupons welded and broken since")
	}
	for _, t := range w.Outcome.Tests {
		if !t.Passed {
			return procedures.Invalid("from", w.Mark, fmt.Sprintf("%s failed its %s test (%s), so it stands behind nothing", w.Mark, t.Kind, t.Result), "name coupons that passed; what failed narrows the ranges by itself")
		}
	}
	switch {
	case w.Outcome.Cracked() && w.Struck == "":
		return procedures.Invalid("from", w.Mark, w.Mark+" has a crack, and no crack passes, whatever a test says", "name coupons without one", "no crack after all? Take it off "+w.Mark+" first")
	case w.Struck != "":
		return procedures.Invalid("from", w.Mark, w.Mark+" was struck: "+w.Struck, "name welds that stand")
	case w.Outcome.Unfused():
		return procedures.Invalid("from", w.Mark, w.Mark+" was seen not to have fused", "bend or break it, and name it if it passes", "fused after all? Take lack of fusion off "+w.Mark+" first")
	case !w.Outcome.Good() && !w.Outcome.Passed():
		return procedures.Invalid("from", w.Mark, w.Mark+" is neither rated 4 or 5 nor tested", "bend or break it, and name it if it passes")
	case j.Machine == "" || m.Example:
		return procedures.Invalid("from", w.Mark, w.Mark+" names no machine, and a procedure holds on one machine alone", "write yours down and weld the coupons on it")
	case j.State != m.State.ID:
		return procedures.Invalid("from", w.Mark, fmt.Sprintf("%s was welded before %s was changed (%s)", w.Mark, m.Name, m.State.What), "weld and break two fresh coupons on the machine as it stands")
	case j.Process == procedures.SMAW:
		return procedures.Invalid("from", w.Mark, "procedures are written for wire; "+w.Mark+" was welded with a covered electrode", "name welds made with wire")
	case w.Settings.WireSpeed == 0 && w.Settings.Knob == nil:
		return procedures.Invalid("from", w.Mark, "neither wire speed nor knob mark of "+w.Mark+" is written down", "write one of them down with "+w.Mark)
	}
	return nil
}

// otherKind says in what two welds are not one kind of job; "" where they are. The
// thicknesses are as near as for a proof: see [proof].
func otherKind(a, b procedures.Weld, u procedures.Units) string {
	p, q := a.Job, b.Job
	differ := func(what, x, y string) string {
		if x == "" {
			x = "not said"
		}
		if y == "" {
			y = "not said"
		}
		return fmt.Sprintf("%s: %s is %s, %s is %s", what, a.Mark, x, b.Mark, y)
	}
	switch {
	case p.Joint != q.Joint:
		return differ("joint", string(p.Joint), string(q.Joint))
	case p.Weld != q.Weld:
		return differ("weld", string(p.Weld), string(q.Weld))
	case p.Position != q.Position:
		return differ("position", string(p.Position), string(q.Position))
	case p.Class != q.Class || p.Gas != q.Gas || !near(procedures.MPerMin(p.Diameter), procedures.MPerMin(q.Diameter), 0.06):
		return differ("wire", p.Wire.String(), q.Wire.String())
	case p.SteelGroup != q.SteelGroup:
		return differ("steel", p.Steel, q.Steel)
	case p.Machine != q.Machine:
		return differ("machine", p.Machine, q.Machine)
	case p.State != q.State:
		return "the machine's state: it was changed between " + a.Mark + " and " + b.Mark
	case !strings.EqualFold(a.Settings.Tap, b.Settings.Tap):
		return differ("tap", a.Settings.Tap, b.Settings.Tap)
	case a.Settings.Polarity != b.Settings.Polarity && a.Settings.Polarity != "" && b.Settings.Polarity != "":
		return differ("polarity", string(a.Settings.Polarity), string(b.Settings.Polarity))
	case a.Settings.Passes != b.Settings.Passes && a.Settings.Passes != 0 && b.Settings.Passes != 0:
		return differ("passes", fmt.Sprint(int(a.Settings.Passes)), fmt.Sprint(int(b.Settings.Passes)))
	case dirt(p) != dirt(q):
		return differ("coating", string(dirt(p)), string(dirt(q)))
	case !sameSize(p, q):
		return differ("thickness", sizes(p, u), sizes(q, u))
	case p.Gap-q.Gap > 1 || q.Gap-p.Gap > 1:
		return differ("gap", procedures.FormatLength(p.Gap, u), procedures.FormatLength(q.Gap, u))
	}
	return ""
}

// sameSize reports whether two jobs are as near in thickness as for a proof.
func sameSize(p, q procedures.Job) bool {
	return p.Thinner() > 0 && q.Thinner() > 0 &&
		near(procedures.MPerMin(q.Thinner()), procedures.MPerMin(p.Thinner()), 0.10) && near(procedures.MPerMin(q.Thicker()), procedures.MPerMin(p.Thicker()), 0.25)
}

func sizes(j procedures.Job, u procedures.Units) string {
	if j.Thicker() == j.Thinner() {
		return procedures.FormatLength(j.Thinner(), u)
	}
	return procedures.FormatLength(j.Thinner(), u) + " to " + procedures.FormatLength(j.Thicker(), u)
}

// likeWelds are the welds of the history that are of one kind with a weld.
func likeWelds(lead procedures.Weld, h History) []procedures.Weld {
	var like []procedures.Weld
	for _, w := range h {
		if w.Struck == "" && otherKind(lead, w, procedures.US) == "" {
			like = append(like, w)
		}
	}
	return like
}

// passList is the runs in order. The notebook holds one setting a weld, so every
// run gets it; which layer a run lies in is not known but where there is one.
func passList(p procedures.Procedure) []procedures.Pass {
	n := max(1, int(p.Settings.Passes))
	var list []procedures.Pass
	for i := 1; i <= n; i++ {
		s := p.Settings
		one := procedures.Pass{Number: i, What: "fill", Wire: p.Job.Wire, Tap: s.Tap, Knob: s.Knob, WireSpeed: s.WireSpeed, Travel: s.Travel, Polarity: s.Polarity}
		if s.How["voltage_V"] == procedures.Measured {
			one.Voltage = s.Voltage
		}
		if s.How["current_A"] == procedures.Measured {
			one.Current = s.Current
		}
		switch {
		case n == 1:
			one.What, one.Layer = "the only one", 1
		case i == 1:
			one.What, one.Layer = "root", 1
		case i == n:
			one.What = "cap"
		}
		list = append(list, one)
	}
	return list
}

// Fixed lists what may not change at all without another procedure, with its
// sources: the essential variables of AWS D1.1 that have no tolerance.
func Fixed() []Reason {
	var list []Reason
	for _, v := range data.VariableLimits() {
		if v.LowPct == 0 && v.HighPct == 0 {
			list = append(list, Reason{v.Variable + ": " + v.Change, v.Source})
		}
	}
	return list
}

// ProcedureCautions are the lines that go with a procedure whenever it is shown:
// those of the job and its use, then the standing ones.
func ProcedureCautions(p procedures.Procedure, m procedures.Machine) []caution.Caution {
	stops, cares := caution.Gate(caution.Request{Words: p.Name + " " + p.Note, For: p.Job.For, Job: p.Job})
	return slices.Concat(stops, cares, caution.Standing(p.Job, p.Settings.Current, m))
}

// LeastPreheat is the preheat of AWS D1.1 for a job's steel and its thicker part; it
// reports false where the steel has no category there.
func LeastPreheat(j procedures.Job) (steel.Preheat, bool) {
	g, ok := grade(j.Steel)
	if !ok {
		return steel.Preheat{}, false
	}
	category, err := steel.D11Category(g, steel.LowHydrogen(j.Wire))
	if err != nil {
		return steel.Preheat{}, false
	}
	p, err := steel.D11Preheat(category, j.Thicker())
	return p, err == nil
}
