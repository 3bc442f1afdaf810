package web

import (
	"fmt"
	"math"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"beadwright/procedures"
	"beadwright/recommend"
	"beadwright/recommend/caution"
	"beadwright/recommend/remedy"
	"beadwright/recommend/steel"
)

// answer is what suggest says.
type answer struct {
	recommend.Suggestion
	Assumed     []string          `json:"assumed"`
	Consumables []string          `json:"consumables"`
	Sources     map[string]string `json:"sources"`
}

// trouble is a danger, or a question of the bench, with what to do.
type trouble struct {
	Grave bool
	Do    []struct {
		Text   string
		Source []string
	}
}

// dangers say what to do about a danger that a weld tells of; nil: it tells of none.
func (s *Server) dangers(r *http.Request, w procedures.Weld) []trouble {
	danger := w.Danger()
	if danger == "" {
		return nil
	}
	var a advice
	_, _, _ = s.do(r, "remedy", "--", danger).read(&a)
	return a.Troubles
}

// unsettled is the last weld of a machine where it tells of a danger; nil: it does
// not. As long as nothing was welded since, nobody has shown that its cause is gone.
func (s *Server) unsettled(r *http.Request, machine string) *procedures.Weld {
	var found struct{ Welds []procedures.Weld }
	if _, _, ok := s.do(r, append([]string{"find", "--limit=1"}, flag("machine", machine)...)...).read(&found); !ok || len(found.Welds) == 0 || found.Welds[0].Danger() == "" {
		return nil
	}
	return &found.Welds[0]
}

// advice is what remedy says.
type advice struct {
	Troubles []trouble `json:"troubles"`
	Test     string    `json:"test_says"`
	Symptoms []symptom `json:"symptoms"`
	Weld     string    `json:"weld"`
	Causes   []struct {
		Kind, Cause, Do string
		Source          []string
		Note            string
	} `json:"causes"`
	Step *struct {
		Kind, Text string
		Source     []string
	} `json:"step"`
	Then *struct {
		Text string
	} `json:"then"`
	Unlogged []string `json:"unlogged"`
	Compared *struct {
		Text   string
		Coupon *struct{ Text string }
	} `json:"compared"`
	Questions []struct {
		Text    string
		Answers []string
	} `json:"questions"`
	Cautions []caution.Caution `json:"cautions"`
	Sources  map[string]string `json:"sources"`
}

type symptom struct {
	Key, Term, Plain string
	Danger           string `json:"-"` // what to do first, where it is a danger: the phone says it with no connection too
}

// measures are what the notebook says quantities in.
func (s *Server) measures(r *http.Request) measures {
	var said struct{ Units procedures.Units }
	_, _, _ = s.do(r, "units").read(&said) // without an answer: inches
	if said.Units != procedures.Metric {
		said.Units = procedures.US
	}
	return measures(said.Units)
}

// hit is a weld found.
type hit struct {
	procedures.Weld
	Why   []string `json:"why"`
	State string   `json:"state"` // of its machine, in words; "": it has had but one

	Photos []procedures.Photo `json:"photos"` // where they were asked for
}

// machines is what machine list says.
type machines struct {
	Machines []procedures.Machine `json:"machines"`
	Current  string               `json:"current"`
	Struck   []procedures.Machine `json:"struck"` // withdrawn: named where their welds are, and no choice
	Gone     bool                 // the list of those is what is looked at
}

func (s *Server) machines(r *http.Request) machines {
	var all machines
	_, _, _ = s.do(r, "machine", "list", "--struck").read(&all) // without them the page still stands
	return all
}

// named is the machine of that name; "" the one in use. The zero machine where
// there is none.
func (all machines) named(name string) procedures.Machine {
	for _, m := range all.Machines {
		if m.Name == name || name == "" && m.ID == all.Current {
			return m
		}
	}
	return procedures.Machine{}
}

// charges are the cautions of stored charge of the machines named, each once.
func (all machines) charges(names ...string) (list []caution.Caution) {
	for _, m := range slices.Concat(all.Machines, all.Struck) {
		if c, ok := caution.StoredCharge(m); ok && slices.Contains(names, m.Name) {
			c.Text = m.Name + " was rebuilt by hand and holds a charge. " + c.Text
			list = append(list, c)
		}
	}
	return list
}

// standing are the keys of the cautions that go with every job.
var standing = []string{"first", "eyes", "fumes", "gas", "shock", "fire", "implant"}

// parted sorts cautions: what stops the job, what someone else must decide, what
// to mind on this job or on this machine, and what goes with every job.
type parted struct{ Stops, Defers, Own, Machine, Always []caution.Caution }

// ofMachine are the keys of the cautions that a machine brings to every job.
var ofMachine = []string{"knob", "amps", "rebuilt-duty", "own-duty", "duty", "connections", "polarity", "taps", "volts", "drift", "open-circuit", "stored-charge", "live-wire"}

func part(all []caution.Caution) (p parted) {
	for _, c := range all {
		switch {
		case c.Level == caution.Stop:
			p.Stops = append(p.Stops, c)
		case c.Level == caution.Defer:
			p.Defers = append(p.Defers, c)
		case slices.Contains(standing, c.Key):
			p.Always = append(p.Always, c)
		case slices.Contains(ofMachine, c.Key):
			p.Machine = append(p.Machine, c)
		default:
			p.Own = append(p.Own, c)
		}
	}
	return p
}

// without leaves out the caution of stored charge where the layout shows it.
func without(all []caution.Caution, key string) []caution.Caution {
	return slices.DeleteFunc(slices.Clone(all), func(c caution.Caution) bool { return c.Key == key })
}

// keyed are the cautions of a key.
func keyed(all []caution.Caution, key string) []caution.Caution {
	return slices.DeleteFunc(slices.Clone(all), func(c caution.Caution) bool { return c.Key != key })
}

// tile is one setting in large type.
type tile struct {
	Label, Value, Unit, Note string
}

// bigline is tap and knob in one short line of large type.
func bigline(set procedures.Settings) string {
	knob := set.KnobSaid
	if set.Knob != nil {
		knob = procedures.FormatKnob(*set.Knob)
	}
	return setup{Tap: set.Tap, Knob: knob}.Big()
}

// short is what is set beside tap and knob, and how the gun is held, in one line.
func (m measures) short(set procedures.Settings) string {
	set.Tap, set.Knob, set.KnobSaid = "", nil, ""
	return capital(m.set(set))
}

// answered lays an answer out for reading at the machine: the settings, what the
// eyes want and how long the arc may burn.
func (m measures) answered(s recommend.Suggestion) []tile {
	all := m.laid(s.Settings, func(key string, h procedures.How) string {
		if by := s.Evidence.KnobBy; key == "knob" && by != "" {
			return "your own " + by + " passed its test there"
		}
		return sure(key, h)
	})
	if s.Settings.Knob == nil && s.Settings.KnobSaid == "" && s.Settings.WireSpeed > 0 {
		why := "not known: leave it where it was, and run it out"
		if said := keyed(s.Cautions, "knob"); len(said) > 0 {
			why = said[0].Text
		}
		at := 0
		if s.Settings.Tap != "" {
			at = 1
		}
		all = slices.Insert(all, at, tile{"Knob", "?", "", why})
	}
	if p := s.Settings.Preheat; p != nil { // before all else, for it takes time
		warm := tile{"Preheat, at the least", number(*p, 0), "°C", ""}
		if !m.metric() {
			warm = tile{warm.Label, number(steel.Fahrenheit(*p), 0), "°F", number(*p, 0) + " °C"}
		}
		all = slices.Insert(all, 0, warm)
	}
	if n := int(s.Settings.Passes); n > 1 {
		all = append(all, tile{"Passes", strconv.Itoa(n), "", "all slag off between them"})
	}
	if e := s.Expect; e.ShadeMin > 0 {
		all = append(all, tile{"Eyes: filter shade", number(float64(e.ShadeSuggested), 0), "", fmt.Sprintf("or darker, and come down; never below %d", e.ShadeMin)})
	}
	if e := s.Expect; e.ArcSeconds > 0 && e.Rest > 0 {
		all = append(all, tile{"Arc in any 10 minutes", number(math.Floor(float64(e.ArcSeconds)+1e-6), 0), "s", fmt.Sprintf("then %.0f s of rest, fan running", math.Ceil(float64(e.Rest)-1e-6))})
	}
	return all
}

// tiles lay out what a weld was made with: what was measured of it, and what was
// said of tap and knob.
func (m measures) tiles(set procedures.Settings) []tile { return m.laid(set, made) }

// sure says how sure a value of an answer is.
func sure(key string, h procedures.How) string {
	if key == "tap" {
		return tapNote(h)
	}
	return howWord(h)
}

// made says how a value of a weld is known.
func made(key string, h procedures.How) string {
	if h == procedures.Measured && (key == "tap" || key == "knob" || key == "knob_text" || key == "polarity") {
		return "as you set it"
	}
	return sure(key, h)
}

// laid lays settings out for reading at the machine.
func (m measures) laid(set procedures.Settings, note func(key string, h procedures.How) string) (all []tile) {
	how := func(key string) string { return note(key, set.How[key]) }
	add := func(label, value, unit string, notes ...string) {
		all = append(all, tile{label, value, unit, joined(notes...)})
	}
	if set.Tap != "" {
		add("Tap (heat switch)", strings.ToUpper(set.Tap), "", how("tap"))
	}
	switch {
	case set.Knob != nil:
		add("Knob", procedures.FormatKnob(*set.Knob), "", how("knob"))
	case set.KnobSaid != "":
		add("Knob", strings.TrimSuffix(set.KnobSaid, " third"), "third", how("knob_text"))
	}
	if set.WireSpeed > 0 {
		value, unit := split(m.speed(set.WireSpeed))
		metric := ""
		if !m.metric() {
			metric = procedures.FormatWireSpeed(set.WireSpeed, procedures.Metric)
		}
		add("Wire speed", value, unit, metric, how("wire_speed_m_min"))
	} else if set.Current > 0 {
		add("Current", number(float64(set.Current), 0), "A", how("current_A"))
	}
	if set.Polarity != "" {
		lead := "Gun on the"
		if set.WireSpeed == 0 {
			lead = "Electrode on the"
		}
		pole := map[procedures.Polarity][2]string{procedures.DCEN: {"minus", "DCEN"}, procedures.DCEP: {"plus", "DCEP"}, procedures.AC: {"AC", "either way round"}}[set.Polarity]
		by := how("polarity")
		if set.Polarity == procedures.AC && set.How["polarity"] == procedures.FromTable {
			by = "all this machine gives" // no table asks for it
		}
		add(lead, pole[0], "", pole[1], by)
	}
	if set.Extension > 0 {
		value, unit, metric := m.lengthParts(set.Extension)
		add("Stick-out (tip to work)", value, unit, metric, how("extension_mm"))
	}
	if set.Travel > 0 {
		value, unit := m.pace(set.Travel)
		add("Pace (how fast you move)", value, unit, m.timed(set.Travel), how("travel_mm_min"))
	}
	return all
}

// tapNote says how sure the choice of the tap is: as sure as its volts.
func tapNote(h procedures.How) string {
	switch h {
	case procedures.Measured:
		return "its volts measured"
	case procedures.Guessed:
		return "its volts are a guess"
	}
	return howWord(h)
}

// common are the symptoms with buttons on the log page, the commonest first
// (common practice); the rest can be said in words.
var common = []string{"cold-bead", "spatter", "porosity", "burn-through", "undercut", "stubbing", "popping", "narrow"}

// choices are symptoms for buttons.
func choices(keys []string) (all []symptom) {
	for _, k := range keys {
		if s, ok := procedures.FindSymptom(k); ok {
			shown := symptom{Key: s.Key, Term: s.Term, Plain: s.Plain}
			if heard := procedures.Hear(s.Words[0]); heard.Grave() {
				if list := remedy.Troubles(heard.Troubles); len(list) > 0 {
					shown.Danger = list[0].Do[0].Text
				}
			}
			all = append(all, shown)
		}
	}
	return all
}
