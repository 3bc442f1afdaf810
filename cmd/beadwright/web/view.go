package web

import (
	"net/http"
	"slices"
	"strings"

	"beadwright/procedures"
	"beadwright/recommend"
	"beadwright/recommend/caution"
)

// answer is what suggest says.
type answer struct {
	recommend.Suggestion
	Assumed     []string          `json:"assumed"`
	Consumables []string          `json:"consumables"`
	Sources     map[string]string `json:"sources"`
}

// advice is what remedy says.
type advice struct {
	Troubles []struct {
		Grave bool
		Do    []struct {
			Text   string
			Source []string
		}
	} `json:"troubles"`
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
}

func (s *Server) machines(r *http.Request) machines {
	var all machines
	_, _, _ = s.do(r, "machine", "list").read(&all) // without them the page still stands
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
	for _, m := range all.Machines {
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
// to mind on this job, and what goes with every job.
type parted struct{ Stops, Defers, Own, Always []caution.Caution }

func part(all []caution.Caution) (p parted) {
	for _, c := range all {
		switch {
		case c.Level == caution.Stop:
			p.Stops = append(p.Stops, c)
		case c.Level == caution.Defer:
			p.Defers = append(p.Defers, c)
		case slices.Contains(standing, c.Key):
			p.Always = append(p.Always, c)
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

// tile is one setting in large type.
type tile struct {
	Label, Value, Unit, Note string
}

// tiles lay settings out for reading at the machine.
func (m measures) tiles(set procedures.Settings) (all []tile) {
	add := func(label, value, unit string, notes ...string) {
		all = append(all, tile{label, value, unit, joined(notes...)})
	}
	if set.Tap != "" {
		add("Tap (heat switch)", strings.ToUpper(set.Tap), "", tapNote(set.How["tap"]))
	}
	switch {
	case set.Knob != nil:
		add("Knob", procedures.FormatKnob(*set.Knob), "", howWord(set.How["knob"]))
	case set.KnobSaid != "":
		add("Knob", strings.TrimSuffix(set.KnobSaid, " third"), "third", howWord(set.How["knob_text"]))
	}
	if set.WireSpeed > 0 {
		value, unit := split(m.speed(set.WireSpeed))
		metric := ""
		if !m.metric() {
			metric = procedures.FormatWireSpeed(set.WireSpeed, procedures.Metric)
		}
		add("Wire speed", value, unit, metric, howWord(set.How["wire_speed_m_min"]))
	} else if set.Current > 0 {
		add("Current", number(float64(set.Current), 0), "A", howWord(set.How["current_A"]))
	}
	if set.Polarity != "" {
		lead := "Gun on the"
		if set.WireSpeed == 0 {
			lead = "Electrode on the"
		}
		pole := map[procedures.Polarity][2]string{procedures.DCEN: {"minus", "DCEN"}, procedures.DCEP: {"plus", "DCEP"}, procedures.AC: {"AC", "either way round"}}[set.Polarity]
		add(lead, pole[0], "", pole[1], howWord(set.How["polarity"]))
	}
	if set.Extension > 0 {
		value, unit, metric := m.lengthParts(set.Extension)
		add("Stick-out (tip to work)", value, unit, metric, howWord(set.How["extension_mm"]))
	}
	if set.Travel > 0 {
		value, unit := m.pace(set.Travel)
		add("Pace (how fast you move)", value, unit, m.timed(set.Travel), howWord(set.How["travel_mm_min"]))
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
			all = append(all, symptom{s.Key, s.Term, s.Plain})
		}
	}
	return all
}
