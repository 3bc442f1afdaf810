package inspect

import (
	"fmt"
	"strings"

	"beadwright/procedures"
	"beadwright/recommend/joint"
)

// Verdict is what a test says of a coupon, and of nothing else.
type Verdict struct {
	Passed bool   `json:"passed"`
	Again  bool   `json:"again"`  // not counted: test a spare
	Result string `json:"result"` // in words that [procedures.ParseTest] knows; "" where it is not counted
	Why    string `json:"why"`
}

// step is a question of a test, and what either answer decides; nil: go on.
type step struct {
	Question
	yes, no *Verdict
}

// Test is a destructive test of a coupon.
type Test struct {
	Kind  string   // bend, break, etch, peel
	Do    []string // how it is done, in order
	Mind  []string // what to know of it with this job
	steps []step
}

// Sizes are openings that were measured instead of judged by eye, in mm. Where a
// list is given it answers the questions about such sizes.
type Sizes struct {
	Holes   []procedures.MM // of a break: the largest size of each hole or bit of slag
	Length  procedures.MM   // of the break that they were counted in; zero: 6 in
	Cracks  []procedures.MM // of a bend: openings away from the corners
	Corners []procedures.MM // of a bend: cracks at the corners
}

// Unused says which sizes were measured and not looked at, since the test was decided
// without them.
func (s Sizes) Unused(said []Answer) []string {
	used := func(keys string) bool {
		for _, a := range said {
			if a.Measured != "" && strings.Contains(keys, a.Key) {
				return true
			}
		}
		return false
	}
	var list []string
	for _, m := range []struct {
		of   []procedures.MM
		keys string
		name string
	}{{s.Holes, "hole sum", "hole"}, {s.Cracks, "crack sum", "crack"}, {s.Corners, "corner long", "corner crack"}} {
		if len(m.of) > 0 && !used(m.keys) {
			list = append(list, "the "+m.name+" that you measured was not looked at: an answer before it decided the test")
		}
	}
	return list
}

func pass(result, why string) *Verdict { return &Verdict{Passed: true, Result: result, Why: why} }
func fail(result, why string) *Verdict { return &Verdict{Result: result, Why: why} }

// TestFor returns the test of a kind for the coupon of a weld. Errors:
// [*procedures.InvalidError] for a kind that is none.
//
// Source: AWS D1.1 4.31.4.1 (break), 4.8.3.3 (bend), from memory (etch); the peel
// and what a vise can show are common practice, no source.
func TestFor(kind string, w procedures.Weld, units procedures.Units) (Test, error) {
	t := Test{Kind: strings.ToLower(strings.TrimSpace(kind))}
	switch t.Kind {
	case "break":
		t.breaking(w.Job, units)
	case "bend":
		t.bending(w.Job, units)
	case "etch":
		t.etching(w, units)
	case "peel":
		t.peeling(w.Job)
	default:
		return t, procedures.Invalid("test", kind, "not a test this notebook knows", "accepted: "+strings.Join(procedures.TestKinds(), ", "))
	}
	return t, nil
}

// breaking fills in the steps and questions of breaking a fillet open.
func (t *Test) breaking(j procedures.Job, units procedures.Units) {
	how := opened(j)
	t.Do = []string{
		"Weld one side only, and let it cool until you can hold it.",
		how.open,
		"Go on until it folds flat on itself or breaks. Then look along the whole break, in good light.",
	}
	if how.mind != "" {
		t.Mind = append(t.Mind, how.mind)
	}
	folded, fused := criterion("fillet-break", "bends flat"), criterion("fillet-break", "broken: full fusion")
	t.steps = []step{
		{Question: asks(fused, "edge", "Along the root, can you see the straight edge of "+how.edge+", anywhere?", units),
			yes: fail("straight edge", "the straight edge of the plate shows: the root never melted in, folded or not")},
		{Question: asks(folded, "folded", "Did it fold flat on itself without breaking?", units),
			yes: pass("folded", "it folded flat on itself without breaking")},
		{Question: practice("parent", "Did the steel beside the weld tear, with the weld whole?"),
			yes: pass("tore parent", "the steel gave before the weld did")},
		{Question: asks(fused, "fused", "Is the broken face torn and rough right down to the root, all along?", units),
			no: fail("not fused", "not all of it is fused to the root")},
		{Question: asks(criterion("fillet-break", "broken: largest"), "hole", "Is any hole or bit of slag in it larger than %s?", units),
			yes: fail("holes", "a hole or a bit of slag is over the limit")},
		{Question: asks(criterion("fillet-break", "broken: sum"), "sum", "Side by side, would all holes and bits of slag make more than %s, in 6 in (150 mm) of weld?", units),
			yes: fail("holes", "holes and slag add up to more than the limit"), no: pass("fused to the root", "fused to the root, with holes and slag within the limits")},
	}
}

// opening is how a joint is broken open at its root.
type opening struct {
	open string // what to do
	edge string // what lies bare in the break where the root never melted
	mind string
}

// opened says how the break of a joint is done. The limits are those of a tee; how
// other joints are opened is common practice, no source.
func opened(j procedures.Job) opening {
	const limits = "the limits of this break are a tee's; on a %s they are common practice, no source"
	switch j.Joint {
	case procedures.Lap:
		return opening{"Clamp the lower plate in the vise. Start a cold chisel between the plates from the side without a weld, and bend the upper plate up and back over the weld, so that the root opens.",
			"the upper plate", fmt.Sprintf(limits, "lap")}
	case procedures.Corner, procedures.Edge:
		return opening{"Clamp one leg in the vise and hammer the other one open, away from it, so that the root comes outward and opens.",
			"a leg", fmt.Sprintf(limits, j.Joint)}
	case procedures.Butt:
		return opening{"Clamp one plate in the vise, just below the weld. Hammer the other one over toward the face of the weld, so that the root opens.",
			"a plate", "this break is for fillets; a butt joint is bent: the same coupon cut into strips"}
	}
	return opening{"Clamp the flat plate in the vise. Hammer from the side without a weld, so that the upright comes over onto the weld and the root opens.", "the upright plate", ""}
}

func (t *Test) bending(j procedures.Job, units procedures.Units) {
	t.Do = []string{
		"Cut two strips across the weld, about 2 in (50 mm) wide, and grind the weld flush on both faces, with the scratches along the strip.",
		"Clamp a strip with the weld just above the jaws and hammer it over; one strip with the face outward, one with the root outward.",
		"Look at the outside of the bend, in good light. The inside does not count.",
	}
	t.Mind = append(t.Mind, "the limits are those of a bend around a jig of a set radius; a vise bends sharper or softer, as it comes")
	if j.Joint == procedures.Tee || j.Joint == procedures.Corner {
		t.Mind = append(t.Mind, "the limits are for butt joints; a "+string(j.Joint)+" tells more if you break it")
	}
	const bend = "guided-bend"
	held := "no opening over the limits on the outside of the bend"
	single := criterion(bend, "largest single")
	t.steps = []step{
		{Question: practice("broke", "Did it break, or open right across the strip?"), yes: fail("broke", "it broke")},
		{Question: asks(single, "crack", "Away from the corners, is any one crack or hole longer than %s, measured any way?", units), yes: fail("cracked", "one opening is over the limit")},
		{Question: asks(criterion(bend, "sum"), "sum", "Do the cracks and holes longer than 1/32 in (0.8 mm) add up to more than %s?", units), yes: fail("cracked", "the openings add up to more than the limit")},
		{Question: asks(single, "corner", "Is there a crack at a corner of the strip, longer than %s?", units), no: pass("held", held)},
		{Question: asks(criterion(bend, "largest crack at a corner"), "flaw", "Did slag, or a spot that never melted, begin that crack?", units), yes: fail("cracked", "a flaw opened at the corner")},
		{Question: asks(criterion(bend, "largest crack at a corner"), "long", "Is that crack longer than %s?", units),
			yes: &Verdict{Again: true, Why: "a long crack at a corner with no flaw behind it says nothing: bend a spare"}, no: pass("held", held)},
	}
}

func (t *Test) etching(w procedures.Weld, units procedures.Units) {
	t.Do = []string{
		"Saw across the weld and sand the cut: 80, then 220, then 400 or finer. A coarse finish shows nothing.",
		"Swab it with the etchant, rinse, dry, and look; a picture with a ruler in it keeps.",
	}
	t.Mind = append(t.Mind, "a cut shows one spot of the weld; a break shows its whole length")
	r := criterion("macro-etch", "fused to the root")
	t.steps = []step{
		{Question: asks(r, "crack", "Is there a crack anywhere on the cut?", units), yes: fail("cracked", "a crack is a crack")},
		{Question: asks(r, "root", "Does the weld run into both plates right to the root, with no dark line between?", units), no: fail("not fused", "not fused to the root")},
		{Question: asks(r, "layers", "Between passes, is there a dark line or slag? (One pass: no.)", units), yes: fail("slag", "the passes are not fused to one another"), no: nil},
	}
	last := &t.steps[len(t.steps)-1]
	good := pass("fused", "fused to the root, with no crack, on the one spot that was cut")
	if leg := w.Settings.Leg; leg > 0 && w.Job.Weld == procedures.Fillet {
		t.steps = append(t.steps, step{Question: asks(r, "leg", "Is each leg at least as long as was asked for, "+procedures.FormatLength(leg, units)+"?", units), no: fail("failed", "a leg is shorter than was asked for"), yes: good})
		return
	}
	last.no = good
}

func (t *Test) peeling(j procedures.Job) {
	t.Do = []string{
		"Clamp the lower sheet. Start a cold chisel between the sheets, or grip the upper one with locking pliers, and roll it back over the weld.",
		"Go on until something gives, then look at what was left behind.",
	}
	if th := j.Thinner(); th > 3.3 {
		t.Mind = append(t.Mind, "peeling is for thin laps, up to about 1/8 in; break this one instead")
	}
	t.steps = []step{
		{Question: practice("clean", "Did the weld come off clean, leaving a smooth face on a sheet?"), yes: fail("peeled clean", "it came off clean: it lay on the steel and was not melted in")},
		{Question: practice("tore", "Did the sheet tear, or did the weld pull a plug out of it, all along?"), yes: pass("tore parent", "the steel tore, and the weld stayed on it"), no: fail("peeled", "the steel did not tear all along")},
	}
}

// Questions lists the questions in the order in which they are asked.
func (t Test) Questions() []Question {
	list := make([]Question, len(t.steps))
	for i, s := range t.steps {
		list[i] = s.Question
	}
	return list
}

// Answer is a question and what was said to it.
type Answer struct {
	Question
	Yes      bool   `json:"yes"`
	Measured string `json:"measured"` // how sizes answered it; "" it was said
}

// Ask goes through the questions until one decides, and returns the verdict and
// what was answered. Sizes answer where they can; else ask is called, and its error
// ends it. Errors: that of ask; [*arc.RangeError] for sizes that cannot be.
func (t Test) Ask(s Sizes, units procedures.Units, ask func(Question) (bool, error)) (Verdict, []Answer, error) {
	var said []Answer
	for _, q := range t.steps {
		yes, how, err := t.measured(q.Key, s, units)
		if err == nil && how == "" {
			yes, err = ask(q.Question)
		}
		if err != nil {
			return Verdict{}, said, err
		}
		said = append(said, Answer{q.Question, yes, how})
		decided := q.no
		if yes {
			decided = q.yes
		}
		if decided != nil {
			return *decided, said, nil
		}
	}
	return Verdict{}, said, fmt.Errorf("the questions of the %s test end without a verdict", t.Kind) // which a test rules out
}

// specimen is the length that the sum of a break's holes is limited over.
const specimen procedures.MM = 6 * procedures.MMPerInch

// measured answers a question from sizes; how is "" where they do not.
func (t Test) measured(key string, s Sizes, units procedures.Units) (yes bool, how string, err error) {
	length := func(v procedures.MM) string { return procedures.FormatLength(v, units) }
	switch {
	case t.Kind == "break" && key == "hole" && len(s.Holes) > 0:
		most, _ := extent(s.Holes)
		v, err := joint.FilletBreak(joint.Break{Broke: true, RootFused: true, Largest: most})
		return !v.Pass, "the largest is " + length(most), err
	case t.Kind == "break" && key == "sum" && len(s.Holes) > 0:
		_, sum := extent(s.Holes)
		v, err := joint.FilletBreak(joint.Break{Broke: true, RootFused: true, Sum: scaled(sum, s.Length)})
		how := "together they are " + length(sum)
		switch {
		case s.Length > 0 && s.Length < specimen:
			how += fmt.Sprintf(" in %s; the limit goes with the length, so %s there (MATH: the standard knows 6 in alone)",
				length(s.Length), length(procedures.Inches(criterion("fillet-break", "broken: sum").LimitIn*s.Length.Inches()/specimen.Inches())))
		case s.Length > specimen+0.01:
			how += fmt.Sprintf(" in %s; held against the limit for 6 in all the same: count the worst 6 in", length(s.Length))
		}
		return !v.Pass, how, err
	case t.Kind == "bend" && key == "crack" && len(s.Cracks) > 0:
		most, _ := extent(s.Cracks)
		v, err := joint.BendTest(joint.Bend{Largest: most})
		return !v.Pass, "the largest is " + length(most), err
	case t.Kind == "bend" && key == "sum" && len(s.Cracks) > 0:
		var sum procedures.MM
		for _, c := range s.Cracks {
			if c >= procedures.Inches(1.0/32) {
				sum += c
			}
		}
		v, err := joint.BendTest(joint.Bend{Sum: sum})
		return !v.Pass, "together they are " + length(sum), err
	case t.Kind == "bend" && (key == "corner" || key == "long") && len(s.Corners) > 0:
		most, _ := extent(s.Corners)
		v, err := joint.BendTest(joint.Bend{Corner: most, CornerFromFlaw: key == "corner"})
		return !v.Pass, "the longest is " + length(most), err
	}
	return false, "", nil
}

// scaled is the sum that a whole specimen would have at the same rate: what was
// counted in less than 6 in is held against as much less of the limit.
func scaled(sum, length procedures.MM) procedures.MM {
	if length > 0 && length < specimen {
		return min(sum*specimen/length, 100) // as much as the check takes; far over the limit
	}
	return sum
}

// extent is the largest of sizes and their sum.
func extent(sizes []procedures.MM) (most, sum procedures.MM) {
	for _, s := range sizes {
		most, sum = max(most, s), sum+s
	}
	return most, sum
}
