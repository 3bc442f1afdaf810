package feeder

import (
	"slices"

	"beadwright/procedures"
)

// Look is one place to look at, and why.
type Look struct {
	Where   Place    `json:"where"`
	Text    string   `json:"text"` // what to do there
	Because string   `json:"because"`
	Source  []string `json:"source"`
}

// Place is a part of the machine, its supply or its work.
type Place string

// In the order of a first look, quickest first.
const (
	AtClamp    Place = "clamp"
	AtTip      Place = "tip"
	AtLiner    Place = "liner"
	AtTension  Place = "drive tension"
	AtDial     Place = "knob"
	AtCord     Place = "cord and line"
	AtLeads    Place = "leads"
	AtSwitch   Place = "tap switch"
	AtStickOut Place = "stick-out"
	AtWireWork Place = "wire and work"
	AtDraft    Place = "draft"
)

// places says what to do at each. The order of the feed path is common practice.
var places = map[Place]struct {
	text   string
	source []string
}{
	AtClamp:    {"Take the clamp off, file both jaws and the spot on the work to bright metal, put it back close to the weld. Is it hot after a bead? Then it was the clamp.", []string{"CP"}},
	AtTip:      {"Put in a new contact tip of the wire's size, or swap in a good one to see.", []string{"CP-MAN"}},
	AtLiner:    {"Lay the gun cable out straight, blow out the liner, look for kinks and for rust on the wire.", []string{"CP-MAN", "MSC2008"}},
	AtTension:  {"Clamp off, eyes covered: let the wire run against a block of dry wood, and the roll should just slip. Look that the wire lies in the right groove and the spool turns freely.", []string{"CP"}},
	AtDial:     {"Look whether the knob slipped on its shaft, come up to the mark from below, and see that the tap is the one you named. Then run it out again.", []string{"CP"}},
	AtCord:     {"Switch off what else hangs on the circuit, feel plug and cord for warmth, go without the cord or to a thicker, shorter one. A line that stays low, or a warm outlet, is for a licensed electrician.", []string{"EL-VD", "CP"}},
	AtLeads:    {"With the machine off and unplugged, tighten the lead ends at posts, gun and clamp; look for broken strands. Both leads together should lose no more than about 4 V.", []string{"CA-AWS39", "CP"}},
	AtSwitch:   {"See that the tap switch sits fully in the place you named.", []string{"CP"}},
	AtStickOut: {"Measure the stick-out, from contact tip to work, while somebody watches: hands drift.", []string{"CP-MAN"}},
	AtWireWork: {"Cut off the first foot of wire, look at it for rust, grind the work to bright metal, and see that polarity and spool are what they were.", []string{"CP-TRADE", "CP"}},
	AtDraft:    {"Screen wind and the fan's stream off the joint, and keep air moving where you breathe.", []string{"CP-MAN", "CP-TRADE"}},
}

// sight is what is known of a sign; sights can be joined.
type sight uint8

const (
	unread sight = 1 << iota
	same
	lower
	higher

	notLow = unread | same | higher
)

// rule is one line of the table: where all the sights fit, look at the places. A
// sight left out fits whatever is.
type rule struct {
	idle, line, feed, load, stub, bead, arc sight
	because                                 string
	look                                    []Place
}

// rules are read from the top; what is measured comes before what is seen, the
// line before all because it moves the rest. idle is the wall before welding, line
// the wall in any way it was read; arc is where the bead's symptoms point: higher
// as from too much wire for the volts, lower as from too little.
// Common practice, no source, but for what [places] cite.
var rules = []rule{
	{idle: lower, because: "the wall is low before you weld, so the trouble is ahead of the machine", look: []Place{AtCord}},
	{idle: notLow, line: lower, because: "the wall sags more under the arc than it did", look: []Place{AtCord}},
	{line: lower, feed: lower, because: "the feed motor may hang on the same low line: put the line right first, then run the wire out again", look: []Place{AtCord, AtTip, AtLiner, AtTension}},
	{line: notLow, feed: lower, because: "the wire runs slower than this mark used to give", look: []Place{AtTip, AtLiner, AtTension, AtDial}},
	{feed: higher, because: "the wire runs faster than this mark used to give", look: []Place{AtDial}},
	{line: same | higher, load: lower, because: "volts at the arc are down with the line as it was: they are lost between the machine and the work", look: []Place{AtClamp, AtLeads}},
	{line: lower, load: lower, because: "volts at the arc are down by more than the low line explains", look: []Place{AtClamp, AtLeads}},
	{line: unread, load: lower, because: "volts at the arc are down, and the line was not read: clamp first, then read the line under load", look: []Place{AtClamp, AtCord, AtLeads}},
	{feed: notLow, load: higher, because: "volts at the arc are up: another tap, or the gun held further off", look: []Place{AtSwitch, AtStickOut}},
	{stub: lower, because: "it stubs at a lower mark than it did: volts are being lost", look: []Place{AtClamp, AtCord, AtLeads}},
	{stub: higher, because: "it stubs at a higher mark than it did: less wire comes than the mark says, or there are more volts", look: []Place{AtTip, AtLiner, AtTension, AtSwitch}},
	{load: unread, bead: lower, arc: higher, because: "the bead acts as if somebody had turned the wire up, and a bad work connection does just that", look: []Place{AtClamp, AtLeads}},
	{feed: unread, bead: lower, arc: lower, because: "the bead acts as if too little wire came", look: []Place{AtTip, AtLiner, AtTension}},
	{line: notLow, feed: same, load: same, bead: lower, because: "the machine is what it was and the bead is not: so it is the wire, the work, the air or the hand", look: []Place{AtWireWork, AtStickOut, AtDraft, AtTip}},
	{line: notLow, feed: unread | same, load: unread, bead: lower, because: "the bead is worse, and volts at the arc were not read", look: []Place{AtClamp, AtTip, AtLiner, AtTension, AtCord, AtLeads, AtStickOut, AtWireWork, AtDraft}},
	{line: notLow, feed: unread, load: same | higher, bead: lower, because: "the bead is worse, and the wire was not run out", look: []Place{AtTip, AtLiner, AtTension, AtStickOut, AtWireWork, AtDraft}},
}

// looks reads the rules; each place is named once, for the first reason.
func looks(d Drift, r Reading) []Look {
	var out []Look
	is := rule{idle: d.sight(LineIdleSign), line: d.lineSight(), feed: d.sight(FeedSign), load: d.sight(LoadSign), stub: d.sight(StubSign), bead: d.beadSight(), arc: arcSight(r.Bead)}
	for _, line := range rules {
		if !line.fits(is) {
			continue
		}
		for _, p := range line.look {
			if !slices.ContainsFunc(out, func(l Look) bool { return l.Where == p }) {
				out = append(out, Look{p, places[p].text, line.because, places[p].source})
			}
		}
	}
	return out
}

// fits reports whether every sight of the rule allows what is.
func (r rule) fits(is rule) bool {
	for _, s := range [][2]sight{{r.idle, is.idle}, {r.line, is.line}, {r.feed, is.feed}, {r.load, is.load}, {r.stub, is.stub}, {r.bead, is.bead}, {r.arc, is.arc}} {
		if s[0] != 0 && s[0]&s[1] == 0 {
			return false
		}
	}
	return true
}

// lineSight joins the two readings of the wall: low where either is.
func (d Drift) lineSight() sight {
	idle, loaded := d.sight(LineIdleSign), d.sight(LineLoadSign)
	switch {
	case idle == lower || loaded == lower:
		return lower
	case loaded == unread:
		return idle
	}
	return loaded
}

func (d Drift) sight(what Sign) sight {
	for _, f := range d.Findings {
		if f.What == what {
			return [3]sight{lower, same, higher}[f.Moved+1]
		}
	}
	return unread
}

// beadSight is lower where the bead was rated worse or shows what none like it did.
func (d Drift) beadSight() sight {
	if s := d.sight(BeadSign); s == lower {
		return s
	}
	for _, f := range d.Findings {
		if f.What == SymptomSign && f.Moved != 0 {
			return lower
		}
	}
	return d.sight(BeadSign)
}

func arcSight(b *Bead) sight {
	if b == nil {
		return unread
	}
	_, feed := procedures.Direction(b.Symptoms)
	return [3]sight{lower, same, higher}[feed+1]
}

// Moved reports whether anything read lies beyond its noise, for better or worse.
func (d Drift) Moved() bool {
	return slices.ContainsFunc(d.Findings, func(f Finding) bool { return f.Moved != 0 })
}
