package web

import (
	"fmt"
	"html/template"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"beadwright/procedures"
	"beadwright/recommend"
	"beadwright/recommend/arc"
	"beadwright/recommend/caution"
)

// measures is what a page says quantities in: the notebook's units.
type measures procedures.Units

// words are the functions that the templates say things with.
func words(m measures) template.FuncMap {
	return template.FuncMap{
		"address": address, "outweighs": outweighs, "tiles": m.tiles, "answered": m.answered, "bigline": bigline, "short": m.short, "part": part, "without": without, "upper": strings.ToUpper,
		"rating": ratingWord, "ratings": func() []string { return ratingWords[1:] }, "inc": func(i int) int { return i + 1 },
		"job": m.job, "set": m.set, "dial": m.dial, "verdict": verdictSentence, "verdictWord": verdictWord, "lies": m.lies, "how": howWord,
		"carry": func(w procedures.Weld) template.URL {
			return template.URL(m.setup("", w.Job, w.Settings).values().Encode())
		},
		"same": func(n procedures.Count, i int) bool { return int(n) == i }, "picks": func(name string, all []pick) pickGroup { return pickGroup{name, all} },
		"amps": func(v procedures.Amps) float64 { return float64(v) }, "volts": func(v procedures.Volts) float64 { return float64(v) },
		"percent": func(v procedures.Percent) float64 { return float64(v) }, "seconds": func(v procedures.Seconds) float64 { return float64(v) },
		"expect": m.expect, "when": when, "length": m.length, "speed": m.bothSpeeds, "shortspeed": m.speed, "eg": m.example, "knob": procedures.FormatKnob,
		"plain": said, "joined": func(all []string) string { return joined(all...) }, "sentence": capital,
		"span": span, "number": number, "symptom": symptomWord, "has": slices.Contains[[]string], "amended": m.amended,
		"grams": m.grams, "brief": brief, "dead": caution.LiveWire, "keyed": keyed, "dialmark": func(set procedures.Settings) string { return procedures.FormatKnob(*set.Knob) }, "practice": func(w procedures.Weld) bool { return len(stopsOf(w)) > 0 },
		"machinepath": machinePath, "first": func(n int, all []recommend.Reason) []recommend.Reason { return all[:min(n, len(all))] },
	}
}

func (m measures) metric() bool { return procedures.Units(m) == procedures.Metric }

// example is an example to type, in these units.
func (m measures) example(us, metric string) string {
	if m.metric() {
		return metric
	}
	return us
}

func (m measures) length(v procedures.MM) string {
	return procedures.FormatLength(v, procedures.Units(m))
}

func (m measures) speed(v procedures.MPerMin) string {
	return procedures.FormatWireSpeed(v, procedures.Units(m))
}

func (m measures) grams(v float64) string {
	if m.metric() {
		return fmt.Sprintf("%.0f g", v)
	}
	return fmt.Sprintf("%.0f g (%.1f lb)", v, v/453.59237)
}

// pace says how fast the hand moves, in a number and its unit.
func (m measures) pace(v procedures.MMPerMin) (value, unit string) {
	if m.metric() {
		return number(float64(v), 0), "mm/min"
	}
	return number(v.InchesPerMin(), 0), "in/min"
}

// ratingWords are the ratings in words, by number.
var ratingWords = []string{"not rated", "Scrap", "Ugly, or in doubt", "Would do", "Good", "As good as I can"}

// ratingWord says a rating in a number and in words.
func ratingWord(n procedures.Count) string {
	if n < 1 || int(n) >= len(ratingWords) {
		return ratingWords[0]
	}
	word := ratingWords[n]
	return fmt.Sprintf("%d of 5: %s", int(n), strings.ToLower(word[:1])+word[1:])
}

func joined(parts ...string) string {
	return strings.Join(slices.DeleteFunc(parts, func(s string) bool { return s == "" }), ", ")
}

// howWord says how a value was got, as sure as it is.
func howWord(h procedures.How) string {
	return map[procedures.How]string{procedures.Measured: "measured", procedures.OwnCurve: "by your own welds and run-outs", procedures.FromTable: "from the table",
		procedures.CommonPractice: "common practice, no source", procedures.Guessed: "a guess"}[h]
}

func number(v float64, decimals int) string { return strconv.FormatFloat(v, 'f', decimals, 64) }

// split parts a number from its unit.
func split(s string) (value, unit string) {
	value, unit, _ = strings.Cut(s, " ")
	return value, unit
}

// lengthParts says a length with its unit, and in millimeters where that is another.
func (m measures) lengthParts(v procedures.MM) (value, unit, metric string) {
	text := m.length(v) // 3/8 in (9.5 mm), or 9.5 mm
	text, metric, _ = strings.Cut(text, " (")
	value, unit = split(text)
	return value, unit, strings.TrimSuffix(metric, ")")
}

func (m measures) bothSpeeds(v procedures.MPerMin) string {
	switch {
	case v == 0:
		return "not known"
	case m.metric():
		return m.speed(v)
	}
	return procedures.FormatWireSpeed(v, procedures.US) + " (" + procedures.FormatWireSpeed(v, procedures.Metric) + ")"
}

// timed says a pace as two chalk marks and a watch check it.
func (m measures) timed(v procedures.MMPerMin) string {
	text, err := arc.SayTravel(v, procedures.Units(m))
	if err != nil {
		return ""
	}
	return text
}

// job says a job back in trade words.
func (m measures) job(j procedures.Job) string {
	thick := ""
	if j.Thickness > 0 {
		thick = m.thickness(j.Thickness, j.ThicknessSaid)
		if j.OtherThickness > 0 {
			thick += " to " + m.thickness(j.OtherThickness, j.OtherSaid)
		}
	}
	steel := j.Steel
	if steel == "mild" {
		steel = "mild steel"
	}
	joint, coat, gap := "", string(j.Coating), ""
	if j.Joint != "" {
		joint = string(j.Joint) + " joint"
	}
	if coat != "" && j.Stripped {
		coat += " (stripped)"
	}
	if j.Gap > 0 {
		gap = "gap " + m.length(j.Gap)
	}
	return joined(thick, steel, coat, joint, string(j.Position), gap)
}

func (m measures) thickness(v procedures.MM, said string) string {
	text := m.length(v)
	if strings.Contains(said, "ga") {
		text = said + " = " + text
	}
	return text
}

// dial says what was set at the machine, in one breath.
func (m measures) dial(set procedures.Settings) string {
	set.Polarity, set.Extension, set.Travel = "", 0, 0
	return m.set(set)
}

// set says settings in one breath.
func (m measures) set(set procedures.Settings) string {
	var parts []string
	if set.Tap != "" {
		parts = append(parts, strings.ToUpper(set.Tap)+" tap")
	}
	switch {
	case set.Knob != nil:
		parts = append(parts, "knob "+procedures.FormatKnob(*set.Knob))
	case set.KnobSaid != "":
		parts = append(parts, "knob in the "+set.KnobSaid)
	}
	if set.WireSpeed > 0 {
		parts = append(parts, "wire speed "+m.bothSpeeds(set.WireSpeed))
	} else if set.Current > 0 {
		parts = append(parts, number(float64(set.Current), 0)+" A")
	}
	switch set.Polarity {
	case procedures.DCEN:
		parts = append(parts, "gun on the minus (DCEN)")
	case procedures.DCEP:
		parts = append(parts, "gun on the plus (DCEP)")
	case procedures.AC:
		parts = append(parts, "AC")
	}
	if set.Extension > 0 {
		parts = append(parts, "stick-out "+m.length(set.Extension))
	}
	if set.Travel > 0 {
		value, unit := m.pace(set.Travel)
		parts = append(parts, fmt.Sprintf("pace %s %s (%s)", value, unit, m.timed(set.Travel)))
	}
	return strings.Join(parts, ", ")
}

// verdictWord is the verdict for a heading.
func verdictWord(v recommend.Verdict) string {
	return map[recommend.Verdict]string{recommend.Proved: "Proved on your own coupon", recommend.Inside: "Inside the tables", recommend.Edge: "At the edge: coupon first, and break it",
		recommend.Outside: "No settings: outside what the tables and your own welds cover", recommend.Refused: "No settings, on purpose"}[v]
}

// verdictSentence says how well a suggestion is founded.
func verdictSentence(s recommend.Suggestion) string {
	own := "None of your own welds stand behind it yet."
	switch e := s.Evidence; {
	case e.Good == 1:
		own = "1 good weld of your own stands behind it."
	case e.Good > 1:
		own = fmt.Sprintf("%d good welds of your own stand behind it.", e.Good)
	}
	if n := s.Evidence.Failed; n > 0 {
		own += fmt.Sprintf(" %d rated below 4.", n)
	}
	switch s.Verdict {
	case recommend.Proved:
		text := "Your own " + s.Evidence.ProvedBy + ", a like job, passed its test. "
		if slices.ContainsFunc(s.Cautions, func(c caution.Caution) bool { return c.Level == caution.Defer }) {
			text += "The coupon is proved, the part is not. "
		}
		return text + own
	case recommend.Inside:
		return "Inside the tables and the machine's reach. " + own
	case recommend.Edge:
		near := "Near a limit"
		if len(s.Near) > 0 {
			near = capital(strings.Join(s.Near, "; "))
		}
		return strings.TrimSuffix(near, ".") + ". " + own
	}
	return ""
}

// lies says where the right wire speed lies.
func (m measures) lies(r recommend.Range) string {
	if r.WireSpeed[1] == 0 {
		if r.Current[1] == 0 {
			return ""
		}
		return fmt.Sprintf("%.0f to %.0f A as printed.", float64(r.Current[0]), float64(r.Current[1]))
	}
	text := fmt.Sprintf("The right wire speed lies between %s and %s, 4 times in 5", m.speed(r.WireSpeed[0]), m.speed(r.WireSpeed[1]))
	if k := r.Knob; k != nil {
		text += fmt.Sprintf("; knob %s to %s", procedures.FormatKnob(k[0]), procedures.FormatKnob(k[1]))
	}
	return text + "."
}

// expect says what to expect of the bead, one thing a line.
func (m measures) expect(s recommend.Suggestion) (all []string) {
	e, set := s.Expect, s.Settings
	add := func(known bool, format string, args ...any) {
		if known {
			all = append(all, fmt.Sprintf(format, args...))
		}
	}
	add(set.Technique != "", "%s", set.Technique)
	add(set.Leg > 0, "leg (size of the fillet) %s", m.length(set.Leg))
	add(set.Current > 0 && set.Voltage > 0, "about %.0f A at the arc, which wants %.1f V", float64(set.Current), float64(set.Voltage))
	add(e.Supply > 0, "about %.0f A from the wall", float64(e.Supply))
	add(e.JobArc > 0, "the whole job: about %.0f s of arc and %.0f g of wire", float64(e.JobArc), float64(e.JobWire))
	add(e.ArcEnergy > 0 && !m.metric(), "arc energy %.2f kJ/mm (%.1f kJ/in)", float64(e.ArcEnergy), float64(e.ArcEnergy)*25.4)
	add(e.ArcEnergy > 0 && m.metric(), "arc energy %.2f kJ/mm", float64(e.ArcEnergy))
	return all
}

// when says a time in the clock of the machine that serves the page.
func when(t time.Time) string {
	if t.IsZero() {
		return "not known"
	}
	return t.Local().Format("2006-01-02 15:04")
}

// span says a time as people do: 45 s, 2 min 40 s.
func span(seconds float64) string {
	whole := int(math.Round(seconds))
	switch {
	case whole < 120:
		return fmt.Sprintf("%d s", whole)
	case whole%60 == 0:
		return fmt.Sprintf("%d min", whole/60)
	}
	return fmt.Sprintf("%d min %d s", whole/60, whole%60)
}

// capital begins with a capital.
func capital(s string) string {
	if s == "" {
		return s
	}
	first, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(first)) + s[n:]
}

// brief is the first sentence of a standing caution, which says what to do.
func brief(s string) string {
	if i := strings.Index(s, ". "); i >= 0 {
		return s[:i+1]
	}
	return s
}

func symptomWord(key string) string {
	if s, ok := procedures.FindSymptom(key); ok {
		return s.Plain + " (" + s.Term + ")"
	}
	return key
}

// said is a message for the page. The field that it is about leads it by its label
// where the page has one (called), else by its own name, in plain words.
func said(f failure) string {
	text, ok := strings.CutPrefix(f.Message, f.Field+": ")
	switch {
	case !ok:
		return capital(f.Message)
	case f.Field == "words": // what is said freely has no label
		return capital(text)
	}
	return capital(strings.ReplaceAll(f.Field, "-", " ") + ": " + text)
}

// amended says a correction; "" for what goes along with another.
func (m measures) amended(change procedures.Amendment) string {
	name := change.Field[strings.LastIndex(change.Field, ".")+1:]
	switch {
	case name == "struck" && change.New == "":
		return "put back, and counts again"
	case name == "struck":
		return "withdrawn: " + change.New
	}
	if name == "how" || change.Field == "job.state" || strings.HasSuffix(name, "_said") {
		return ""
	}
	say := func(v string) string {
		n, err := strconv.ParseFloat(v, 64)
		switch {
		case v == "":
			return "nothing"
		case name == "symptoms":
			var seen []string
			for _, key := range strings.Split(v, ", ") {
				if s, ok := procedures.FindSymptom(key); ok {
					key = s.Plain
				}
				seen = append(seen, key)
			}
			return strings.Join(seen, "; ")
		case err != nil:
			return v
		case name == "wire_speed_m_min":
			return m.speed(procedures.MPerMin(n))
		case strings.HasSuffix(name, "_mm"):
			return m.length(procedures.MM(n))
		case name == "voltage_V":
			return number(n, 1) + " V"
		case name == "current_A":
			return number(n, 0) + " A"
		case name == "travel_mm_min":
			pace, unit := m.pace(procedures.MMPerMin(n))
			return pace + " " + unit
		}
		return strconv.FormatFloat(procedures.Round(n), 'f', -1, 64)
	}
	label := strings.ReplaceAll(name, "_", " ")
	for _, unit := range []string{" mm min", " m min", " mm", " V", " A"} {
		label = strings.TrimSuffix(label, unit)
	}
	if label == "symptoms" {
		label = "seen"
	}
	return fmt.Sprintf("%s: was %s, now %s", label, say(change.Old), say(change.New))
}
