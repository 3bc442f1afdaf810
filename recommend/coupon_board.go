package recommend

import (
	"math"
	"slices"

	"beadwright/procedures"
)

// BoardBead is one bead of the board: made wrong on purpose by one setting, so
// that its like is known when it comes unasked.
type BoardBead struct {
	CouponBead
	Name     string   `json:"name"`     // what is wrong: too little wire
	Look     string   `json:"look"`     // what to look and listen for
	Symptoms []string `json:"symptoms"` // keys that it most often shows; log what is seen
	Rate     bool     `json:"rate"`     // log it with a rating: the model reads wire speed and tap. Others are logged without one and teach nothing
	Mind     string   `json:"mind"`     // what can hurt; "" nothing beyond the usual
	Held     bool     `json:"held"`     // the feeder, the wire or the machine goes no farther, so it is less wrong than meant
}

// Board is six beads made wrong on purpose, and a good one to hang beside them.
type Board struct {
	CouponPlan
	Faults []BoardBead `json:"faults"` // the first is the good one
}

// How wrong the beads are. Design choices, no source: two windows of good wire
// speed, so that no hand hides it; a pace of half and twice; more stick-out than
// any manual of a small machine asks for.
const (
	boardWire = 0.30
	boardPace = 2.0
	leastHeld = 0.15 // less wrong than this and it is said

	boardFaults = 6
)

// BadBoard plans the board for a job: the suggestion's own bead, then one setting
// moved far at a time. Where there is no other tap, or the wire can go no slower or
// no faster, the gun's angle and dirty steel come in. Beads whose fault is the wire speed or the tap are rated and teach the
// model what it asks for, on which side of them it is right; the others must not be
// rated, since it knows nothing of pace, stick-out and angle and would blame the
// wire speed. Errors: those of [Coupons].
func BadBoard(r Request, h History, scrap []Scrap) (Board, error) {
	s, err := steppable(r, h)
	b := Board{CouponPlan: CouponPlan{Suggestion: s}}
	if err != nil || !s.Given() {
		return b, err
	}
	b.Faults = faults(r, s)
	for _, size := range blankSizes(r.Units) {
		b.Beads = b.Beads[:0]
		for i, f := range b.Faults {
			f.Number, f.Rung, f.Length = i+1, "", size.long
			b.Beads = append(b.Beads, f.CouponBead)
		}
		b.Pieces = blanks(s.Job, b.Beads, size)
		if b.Cuts, b.Missing = cut(b.Pieces, scrap); len(b.Missing) == 0 {
			break
		}
	}
	b.Asked, b.Short = len(b.Beads), b.Missing
	if err := b.reckon(r); err != nil {
		return Board{CouponPlan: CouponPlan{Suggestion: s}}, err
	}
	for i := range b.Faults {
		b.Faults[i].CouponBead = b.Beads[i]
	}
	b.CouponPlan = b.listed()
	return b, nil
}

// faults are the beads of the board that are welded wrong on purpose, one thing moved at
// a time, within what feeder and wire allow.
func faults(r Request, s Suggestion) []BoardBead {
	own := s.Settings
	thin := r.Job.Thinner() < 3.2 // an eighth and less falls through
	falls := ""
	if thin {
		falls = "Metal this thin falls through: nothing that burns below, and both boots out of the way."
	}
	low, high := speedReach(r, float64(own.WireSpeed))
	at := func(v float64) (CouponBead, bool) {
		set := r.atSpeed(s, procedures.MPerMin(math.Max(low, math.Min(high, v))))
		bead := CouponBead{Settings: set}
		if share := float64(set.WireSpeed/own.WireSpeed) - 1; share != 0 {
			bead.Moved, bead.Percent = "wire_speed_m_min", tenth(100*share)
		}
		return bead, math.Abs(bead.Percent) < 100*leastHeld
	}
	moved := func(key string, percent float64, change func(*procedures.Settings)) CouponBead {
		set := own
		set.How = moved(own.How, key, false)
		change(&set)
		return CouponBead{Settings: set, Moved: key, Percent: tenth(percent)}
	}
	little, heldLittle := at(float64(own.WireSpeed) * (1 - boardWire))
	much, heldMuch := at(float64(own.WireSpeed) * (1 + boardWire))
	all := []BoardBead{
		{CouponBead: little, Name: "too little wire", Rate: true, Held: heldLittle, Symptoms: []string{"cold-bead", "long-arc"},
			Look: "a long hissing arc and big drops; a narrow, tall bead that sits on the plate",
			Mind: "It may burn back: let go of the trigger at once, and change the tip if the wire has welded itself in."},
		{CouponBead: much, Name: "too much wire", Rate: true, Held: heldMuch, Symptoms: []string{"stubbing"},
			Look: "the wire pushes the gun back, bangs and stutters; a ropey bead with spatter all round",
			Mind: "Hot wire and spatter fly off when it stubs: sleeves down, collar shut, glasses under the hood. " + falls},
	}
	if tap, hotter, ok := otherTap(r.Machine, own.Tap); ok {
		f := BoardBead{CouponBead: moved("tap", 0, func(set *procedures.Settings) { set.Tap = tap }), Name: "the tap too cold", Rate: true, Symptoms: []string{"stubbing", "cold-bead"},
			Look: "at the same wire speed the arc is short and stutters; a tall, narrow bead"}
		if hotter {
			f.Name, f.Symptoms, f.Mind = "the tap too hot", []string{"long-arc", "wide-flat"}, falls
			f.Look = "at the same wire speed the arc is long and loud; a wide, flat bead, perhaps a groove along its edge"
		}
		// The mark of the knob may give another wire speed on this tap.
		if set := &f.Settings; set.Knob != nil {
			set.Knob, set.KnobSaid, _ = Dial(r.Machine, tap, set.WireSpeed)
		}
		all = append(all, f)
	}
	stick, length := float64(procedures.Inches(1)), procedures.Inches(1)
	if r.Units == procedures.Metric {
		stick, length = 25, 25
	}
	long := CouponBead{Settings: own, Moved: "extension_mm"}
	if own.Extension > 0 {
		long = moved("extension_mm", 100*(stick/float64(own.Extension)-1), func(set *procedures.Settings) { set.Extension = length })
	}
	long.Settings.Extension = length
	all = append(all,
		BoardBead{CouponBead: long, Name: "stick-out too long", Symptoms: []string{"cold-bead", "spatter"},
			Look: "a soft, weak arc that wanders, more spatter, less bite; hold it, do not creep in"},
		BoardBead{CouponBead: moved("travel_mm_min", 100*(boardPace-1), func(set *procedures.Settings) { set.Travel *= boardPace }), Name: "too fast", Symptoms: []string{"narrow"},
			Look: "stringy and thin, ripples pointed like a V, gaps"},
		BoardBead{CouponBead: moved("travel_mm_min", 100*(1/boardPace-1), func(set *procedures.Settings) { set.Travel /= boardPace }), Name: "too slow", Symptoms: []string{"too-slow"},
			Look: "piled up and wide, slag runs ahead of the arc, the toes roll over; saw it through and look at the root", Mind: falls},
		BoardBead{CouponBead: CouponBead{Settings: own, Moved: "technique"}, Name: "the gun at a wrong angle", Symptoms: []string{"slag-inclusion", "overlap"},
			Look: "push it, laid over to 45 degrees: slag runs ahead under the arc and stays in the bead; break it and look"},
		BoardBead{CouponBead: CouponBead{Settings: own, Moved: "coating"}, Name: "dirty steel", Symptoms: []string{"porosity", "spatter"},
			Look: "rust and mill scale left on: pinholes, worm tracks, a spitting arc; break it and look inside",
			Mind: "Rust and scale only, never paint, zinc, oil or cleaner: their smoke is poison."})
	all = slices.DeleteFunc(all, func(f BoardBead) bool { // where nothing can be moved that way
		return f.Moved == "" || f.Moved == "wire_speed_m_min" && math.Abs(f.Percent) < 100*noStep
	})
	return append([]BoardBead{{CouponBead: CouponBead{Settings: own}, Name: "the good one", Rate: true, Symptoms: []string{},
		Look: "even width, edges washed in, a steady buzz like frying. Hang it in the middle"}}, all[:boardFaults]...)
}

// otherTap is the tap next to the one suggested: the colder one, or the hotter one
// of the coldest. False where there is no other.
func otherTap(m procedures.Machine, tap string) (name string, hotter, ok bool) {
	i := slices.IndexFunc(m.Taps, func(t procedures.Tap) bool { return t.Name == tap })
	switch {
	case i < 0 || len(m.Taps) < 2:
		return "", false, false
	case i == 0:
		return m.Taps[1].Name, true, true
	}
	return m.Taps[i-1].Name, false, true
}
