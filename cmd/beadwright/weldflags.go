package main

import (
	"cmp"
	"fmt"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"beadwright/procedures"
	"beadwright/recommend"
)

// weldFlags are the flags that say how a weld was made and how it turned out.
type weldFlags struct {
	tap, knob, wireSpeed, polarity, extension, travel, volts, amps string
	arc, rating, thirds, leg, note, at                             string
	symptoms, tests, photos                                        []string
}

func (w *weldFlags) add(f *pflag.FlagSet) {
	f.StringVar(&w.tap, "tap", "", "low, high, or the name on the switch")
	f.StringVar(&w.knob, "knob", "", "4.5, 4 1/2, or: middle third")
	f.StringVar(&w.wireSpeed, "wire-speed", "", "110ipm, 2.8 m/min")
	f.StringVar(&w.polarity, "polarity", "", "dcen (gun minus), dcep (gun plus), ac")
	f.StringVar(&w.extension, "extension", "", "stick-out, contact tip to work: 3/8")
	f.StringVar(&w.travel, "travel", "", "pace: 10ipm, or timed: '4in in 24s'")
	f.StringVar(&w.volts, "volts", "", "arc volts, measured")
	f.StringVar(&w.amps, "amps", "", "arc amps, measured")
	f.StringVar(&w.arc, "arc", "", "how long the arc burned, all passes together: 45s, 2min")
	f.StringVar(&w.rating, "rating", "", "1 scrap .. 5 as good as I can")
	f.StringVar(&w.thirds, "thirds", "", "start, middle and end of the bead rated apart: 3,4,4")
	f.StringArrayVar(&w.symptoms, "symptom", nil, "what was wrong, in your words; may be repeated")
	f.StringArrayVar(&w.tests, "test", nil, "bend|break|etch|peel=RESULT; may be repeated: break=root line")
	f.StringVar(&w.leg, "leg", "", "measured leg of the fillet")
	f.StringArrayVar(&w.photos, "photo", nil, "a picture to keep: FILE, or FILE=before|bead|back|fracture; may be repeated")
	f.StringVar(&w.note, "note", "", "anything else")
	f.StringVar(&w.at, "at", "", "when, if not now: 2026-05-01 14:30")
}

func completeWeld(cmd *cobra.Command, a *app) {
	a.completesFrom(cmd, "symptom", procedures.SymptomKeys)
	for flag, values := range map[string][]string{"polarity": keys(procedures.Polarities()),
		"test": {"bend=held", "break=pass", "break=root line", "peel=tore parent", "peel=peeled clean", "etch=fused"}, "rating": {"1", "2", "3", "4", "5"}} {
		a.completesFrom(cmd, flag, func() []string { return values })
	}
}

// apply sets on the weld what the flags say. m is the weld's machine.
func (w *weldFlags) apply(weld *procedures.Weld, m procedures.Machine, units procedures.Units, now time.Time) (err error) {
	set := &weld.Settings
	if set.How == nil {
		set.How = map[string]procedures.How{}
	}
	if err := cmp.Or(w.setTap(set, m), w.setKnob(set, m), w.setWireSpeed(set, units)); err != nil {
		return err
	}
	if w.tap != "" || w.knob != "" || w.wireSpeed != "" {
		// Volts and amps were reckoned for settings that were not used, or measured on
		// the weld that a new one follows.
		if weld.Mark == "" || set.How["voltage_V"] != procedures.Measured {
			set.Voltage = 0
			delete(set.How, "voltage_V")
		}
		if weld.Mark == "" || set.How["current_A"] != procedures.Measured {
			set.Current = 0
			delete(set.How, "current_A")
		}
	}
	if err := cmp.Or(
		setMeasured(set, "polarity", &set.Polarity, w.polarity, parsePolarity),
		setMeasured(set, "extension_mm", &set.Extension, w.extension, func(s string) (procedures.MM, error) { return procedures.ParseLength("extension", s, units) }),
		setMeasured(set, "travel_mm_min", &set.Travel, w.travel, func(s string) (procedures.MMPerMin, error) { return procedures.ParseTravel(s, units) }),
		setMeasured(set, "voltage_V", &set.Voltage, w.volts, func(s string) (procedures.Volts, error) { return procedures.ParseVolts("volts", s) }),
		setMeasured(set, "current_A", &set.Current, w.amps, func(s string) (procedures.Amps, error) { return procedures.ParseAmps("amps", s) }),
	); err != nil {
		return err
	}
	if w.arc != "" {
		v, err := arcSaid("arc", w.arc)
		if err != nil {
			return err
		}
		weld.ArcTime = procedures.Seconds(v)
	}
	if err := w.outcome(&weld.Outcome, units); err != nil {
		return err
	}
	if w.at != "" {
		if weld.At, err = parseTime("at", w.at, now); err != nil {
			return err
		}
	}
	return weld.Validate()
}

// setMeasured puts what was said into a setting, and that it was measured; "" was not said.
func setMeasured[T any](set *procedures.Settings, key string, into *T, said string, parse func(string) (T, error)) error {
	if said == "" {
		return nil
	}
	v, err := parse(said)
	if err != nil {
		return err
	}
	*into, set.How[key] = v, procedures.Measured
	return nil
}

func (w *weldFlags) setTap(set *procedures.Settings, m procedures.Machine) error {
	if w.tap == "" {
		return nil
	}
	set.Tap = w.tap
	if t, ok := tapSaid(m, w.tap); ok {
		set.Tap = t.Name
	} else if len(m.Taps) > 0 {
		return procedures.Invalid("tap", w.tap, "no such tap on "+m.Name, "accepted: "+strings.Join(m.TapNames(), ", "))
	} else if m.Name != "" && !m.Example {
		return procedures.Invalid("tap", w.tap, "no taps of "+m.Name+" are written down", fmt.Sprintf("write them down first: beadwright machine set %s --taps low,high", quote(m.Name)), "or leave the tap out")
	}
	set.How["tap"] = procedures.Measured
	return nil
}

// setKnob sets the mark of the knob. A wire speed that was not said along with it was
// for another mark: the knob's own curve gives the one of this, or it is not known.
func (w *weldFlags) setKnob(set *procedures.Settings, m procedures.Machine) (err error) {
	if w.knob == "" {
		return nil
	}
	if set.Knob, set.KnobSaid, err = procedures.ParseKnob(w.knob); err != nil {
		return err
	}
	if set.Knob != nil && m.Knob.Marked() && (*set.Knob < m.Knob.Min || *set.Knob > m.Knob.Max) {
		return procedures.Invalid("knob", w.knob, fmt.Sprintf("%s's knob runs from %g to %g", m.Name, m.Knob.Min, m.Knob.Max), "write the mark that the knob stood at")
	}
	delete(set.How, "knob_text")
	set.How["knob"] = procedures.Measured
	if w.wireSpeed != "" {
		return nil
	}
	set.WireSpeed = 0
	delete(set.How, "wire_speed_m_min")
	if set.Knob != nil {
		if v, how := recommend.SpeedAt(m, set.Tap, *set.Knob); v > 0 {
			set.WireSpeed, set.How["wire_speed_m_min"] = v, how
		}
	}
	return nil
}

// setWireSpeed sets the wire speed. A mark of the knob that was not said along with it
// was for another wire speed.
func (w *weldFlags) setWireSpeed(set *procedures.Settings, units procedures.Units) error {
	if w.wireSpeed != "" && w.knob == "" {
		set.Knob, set.KnobSaid = nil, ""
		delete(set.How, "knob")
		delete(set.How, "knob_text")
	}
	return setMeasured(set, "wire_speed_m_min", &set.WireSpeed, w.wireSpeed, func(s string) (procedures.MPerMin, error) { return procedures.ParseWireSpeed(s, units) })
}

func (w *weldFlags) outcome(out *procedures.Outcome, units procedures.Units) error {
	var err error
	if w.rating != "" {
		said, err := procedures.ReadOutcome([]string{w.rating})
		if err != nil || said.Rating == 0 {
			return procedures.Invalid("rating", w.rating, "a rating is 1 to 5", "1 scrap, 2 ugly or in doubt, 3 would do, 4 good, 5 as good as I can")
		}
		out.Rating = said.Rating
	}
	if w.thirds != "" {
		t, err := procedures.ParseThirds(w.thirds)
		if err != nil {
			return err
		}
		out.Thirds = &t
		if out.Rating == 0 {
			out.Rating = t.Median()
		} else if most := t.AtMost(); out.Rating > most {
			return procedures.Invalid("rating", fmt.Sprint(out.Rating), fmt.Sprintf("a bead with thirds of %s is no %d as a whole", w.thirds, out.Rating),
				fmt.Sprintf("%d at most, one more than its worst third: ends are where a joint tears; leave the rating out, and it is taken from the thirds", most))
		}
	}
	for _, s := range w.symptoms {
		list := []string{s}
		if _, err := procedures.ParseSymptom(s); err != nil { // spatter, undercut
			list = strings.FieldsFunc(s, func(r rune) bool { return r == ',' || r == ';' })
		}
		for _, one := range list {
			key, err := procedures.ParseSymptom(one)
			if err != nil {
				return err
			}
			out.Symptoms = appendOnce(out.Symptoms, key)
		}
	}
	for _, s := range w.tests {
		t, err := procedures.ParseTest(s)
		if err != nil {
			return err
		}
		out.Tests = append(out.Tests, t)
	}
	if w.leg != "" {
		if out.Leg, err = procedures.ParseLength("leg", w.leg, units); err != nil {
			return err
		}
	}
	if w.note != "" {
		out.Note = strings.TrimSpace(w.note)
	}
	return nil
}

func appendOnce(all []string, s string) []string {
	for _, have := range all {
		if have == s {
			return all
		}
	}
	return append(all, s)
}

// tapSaid finds a tap by its name or by what people call the ends of the switch.
func tapSaid(m procedures.Machine, s string) (procedures.Tap, bool) {
	if t, ok := m.Tap(s); ok || len(m.Taps) == 0 {
		return t, ok
	}
	switch strings.ToLower(strings.TrimSpace(s)) {
	case "hi", "high", "max", "hot":
		return m.Taps[len(m.Taps)-1], true
	case "lo", "low", "min", "cold":
		return m.Taps[0], true
	}
	return procedures.Tap{}, false
}

func parsePolarity(s string) (procedures.Polarity, error) {
	switch strings.Join(strings.Fields(strings.ToLower(s)), " ") {
	case "dcen", "dc-", "gun negative", "gun minus", "straight", "electrode negative", "ground positive":
		return procedures.DCEN, nil
	case "dcep", "dc+", "gun positive", "gun plus", "reverse", "electrode positive", "ground negative":
		return procedures.DCEP, nil
	case "ac":
		return procedures.AC, nil
	}
	return "", procedures.Invalid("polarity", s, "not a polarity", "accepted: dcen (gun negative), dcep (gun positive), ac")
}

// parseTime reads a time in the welder's own clock, or in RFC 3339.
func parseTime(field, s string, now time.Time) (time.Time, error) {
	s = strings.TrimSpace(s)
	switch strings.ToLower(s) {
	case "yesterday":
		return now.AddDate(0, 0, -1), nil
	case "today", "now":
		return now, nil
	}
	for _, layout := range []string{time.RFC3339, "2006-01-02 15:04", "2006-01-02T15:04", "2006-01-02"} {
		if t, err := time.ParseInLocation(layout, s, now.Location()); err == nil {
			if t.After(now.Add(5*time.Minute)) || t.Year() < 1950 {
				return t, procedures.Invalid(field, s, "not a time in the past", "accepted: today, yesterday, 2026-05-01, 2026-05-01 14:30")
			}
			return t, nil
		}
	}
	return time.Time{}, procedures.Invalid(field, s, "not a time", "accepted: today, yesterday, 2026-05-01, 2026-05-01 14:30")
}
