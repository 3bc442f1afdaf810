package sheet

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"beadwright/procedures"
)

// column is a field of a weld that a spreadsheet can hold.
type column struct {
	name   string   // ours
	called []string // what others call it
	adds   bool     // several columns may say it
	read   func(r *row, cell string) error
	write  func(w *line) string // "": not known
}

// line is a weld while it is written.
type line struct {
	procedures.Weld
	spool  string // name
	metric bool
}

// columns are all fields, in the order in which they are written.
var columns = []column{
	{"id", called("uuid"), false, readID, func(w *line) string { return w.ID }},
	{"mark", called("coupon, coupon mark"), false, func(r *row, s string) error { r.Mark = strings.ToUpper(s); return nil }, func(w *line) string { return w.Mark }},
	{"date", called("when, day, time, date/time, welded on, at"), false, readDate, func(w *line) string { return w.At.UTC().Format(time.RFC3339) }},
	{"machine", called("power source, welding machine"), false, func(r *row, s string) error { r.Job.Machine = s; return nil }, func(w *line) string { return w.Job.Machine }},
	{"spool", called("roll, roll of wire"), false, func(r *row, s string) error { r.Spool = s; return nil }, func(w *line) string { return w.spool }},
	{"job", called("joint description, description, what"), false, readWholeJob, func(*line) string { return "" }},
	{"steel", called("material, metal, grade, steel grade, base metal, alloy"), false, jobWords(func(j *procedures.Job, said procedures.Job) { j.Steel, j.SteelGroup = said.Steel, said.SteelGroup }), func(w *line) string { return w.Job.Steel }},
	{"thickness", called("thick, thk, metal thick, material thick, stock thickness, material thickness, plate, gauge, ga, plate thickness, metal thickness, size"), false, thickness(false), func(w *line) string { return w.length(w.Job.Thickness) }},
	{"other thickness", called("second thickness, thickness 2, thickness b, other part, to thickness"), false, thickness(true), func(w *line) string { return w.length(w.Job.OtherThickness) }},
	{"joint", called("joint type, type of joint"), false, jobWords(func(j *procedures.Job, said procedures.Job) {
		j.Joint = said.Joint
		if said.Weld != "" {
			j.Weld = said.Weld
		}
	}), func(w *line) string { return string(w.Job.Joint) }},
	{"weld", called("weld type, type of weld"), false, jobWords(func(j *procedures.Job, said procedures.Job) { j.Weld = said.Weld }), func(w *line) string { return strings.ReplaceAll(string(w.Job.Weld), "-", " ") }},
	{"position", called("pos, weld position, welding position"), false, jobWords(func(j *procedures.Job, said procedures.Job) { j.Position = said.Position }), func(w *line) string { return strings.ReplaceAll(string(w.Job.Position), "-", " ") }},
	{"gap", called("root gap, root opening, fit up gap"), false, length(func(w *procedures.Weld) *procedures.MM { return &w.Job.Gap }), func(w *line) string { return w.length(w.Job.Gap) }},
	{"coating", called("finish, surface"), false, readCoating, func(w *line) string {
		if w.Job.Stripped {
			return string(w.Job.Coating) + ", stripped"
		}
		return string(w.Job.Coating)
	}},
	{"length", called("weld length, bead length"), false, readLong, func(w *line) string { return w.length(w.Job.Length) }},
	{"for", called("used for, project, purpose, part"), false, func(r *row, s string) error { r.Job.For = s; return nil }, func(w *line) string { return w.Job.For }},
	{"wire", called("filler, electrode, wire type, wire class, wire used, filler metal, rod"), false, jobWords(func(j *procedures.Job, said procedures.Job) {
		j.Class, j.Gas = said.Class, said.Gas
		if said.Diameter > 0 {
			j.Diameter = said.Diameter
		}
	}), func(w *line) string { return w.Job.Class }},
	{"wire size", called("wire diameter, diameter, wire dia, electrode diameter, rod size"), false, length(func(w *procedures.Weld) *procedures.MM { return &w.Job.Diameter }), func(w *line) string { return w.length(w.Job.Diameter) }},
	{"gas", called("shielding gas"), false, jobWords(func(j *procedures.Job, said procedures.Job) { j.Gas = said.Gas }), func(w *line) string { return w.Job.Gas }},
	{"tap", called("voltage setting, voltage tap, heat setting, range, switch, heat"), false, func(r *row, s string) error { r.Settings.Tap = s; return r.got("tap") }, func(w *line) string { return w.Settings.Tap }},
	{"knob", called("dial, wire setting, speed setting, speed dial, wire dial, wire knob"), false, readKnob, func(w *line) string {
		if w.Settings.Knob != nil {
			return decimal(*w.Settings.Knob)
		}
		return w.Settings.KnobSaid
	}},
	{"wire speed", called("wfs, wire feed, wire feed speed, feed speed, feed"), false, func(r *row, s string) (err error) {
		r.Settings.WireSpeed, err = procedures.ParseWireSpeed(r.united(s), r.Units)
		return first(err, r.got("wire_speed_m_min"))
	}, func(w *line) string {
		return w.rate(float64(w.Settings.WireSpeed), w.Settings.WireSpeed.InchesPerMin())
	}},
	{"polarity", called("leads"), false, readPolarity, func(w *line) string { return string(w.Settings.Polarity) }},
	{"stick-out", called("stickout, stick out, ctwd, extension, electrode extension, contact tip to work"), false, func(r *row, s string) error {
		return first(length(func(w *procedures.Weld) *procedures.MM { return &w.Settings.Extension })(r, s), r.got("extension_mm"))
	}, func(w *line) string { return w.length(w.Settings.Extension) }},
	{"travel", called("travel speed, pace, travel rate"), false, func(r *row, s string) (err error) {
		r.Settings.Travel, err = procedures.ParseTravel(r.united(s), r.Units)
		return first(err, r.got("travel_mm_min"))
	}, func(w *line) string { return w.rate(float64(w.Settings.Travel), w.Settings.Travel.InchesPerMin()) }},
	{"volts", called("voltage, arc volts, arc voltage, v"), false, func(r *row, s string) (err error) {
		r.Settings.Voltage, err = procedures.ParseVolts("volts", s)
		return first(err, r.got("voltage_V"))
	}, func(w *line) string { return known(float64(w.Settings.Voltage)) }},
	{"amps", called("amperage, current, arc amps, a"), false, func(r *row, s string) (err error) {
		r.Settings.Current, err = procedures.ParseAmps("amps", s)
		return first(err, r.got("current_A"))
	}, func(w *line) string { return known(float64(w.Settings.Current)) }},
	{"passes", called("runs, number of passes, pass"), false, func(r *row, s string) error {
		n, err := strconv.Atoi(s)
		if err != nil || n < 1 {
			return procedures.Invalid("passes", s, "not a count of passes", "a whole number from 1")
		}
		r.Settings.Passes = procedures.Count(n)
		return nil
	}, func(w *line) string { return known(float64(w.Settings.Passes)) }},
	{"arc time", called("arc seconds, arc on, arc on time"), false, readArc, func(w *line) string { return known(float64(w.ArcTime)) }},
	{"rating", called("score, quality, stars, looks, rating 1-5, out of 5"), false, readRating, func(w *line) string { return known(float64(w.Outcome.Rating)) }},
	{"symptoms", called("symptom, defects, defect, faults, fault, problems, problem, what i saw, trouble, result"), true, readSymptoms, func(w *line) string { return strings.Join(w.Outcome.Symptoms, ", ") }},
	{"test", called("tests, bend, break, etch, peel, bend test, break test, etch test, peel test, destructive test"), true, readTests, func(w *line) string {
		var all []string
		for _, t := range w.Outcome.Tests {
			all = append(all, t.Kind+"="+t.Result)
		}
		return strings.Join(all, ", ")
	}},
	{"leg", called("leg length, fillet leg, fillet size, weld size"), false, length(func(w *procedures.Weld) *procedures.MM { return &w.Outcome.Leg }), func(w *line) string { return w.length(w.Outcome.Leg) }},
	{"note", noteWords, true, readNote, func(w *line) string { return w.Outcome.Note }},
	{"photo", called("picture, image"), false, func(r *row, s string) error { r.Outcome.Photo = s; return nil }, func(w *line) string { return w.Outcome.Photo }},
	{"struck", called("withdrawn"), false, func(r *row, s string) error { r.Struck = s; return nil }, func(w *line) string { return w.Struck }},
}

var noteWords = called("notes, comment, comments, remark, remarks")

func called(list string) []string { return strings.Split(list, ", ") }

func first(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

// got notes that a setting was written down by the one who set it.
func (r *row) got(key string) error {
	if r.Settings.How == nil {
		r.Settings.How = map[string]procedures.How{}
	}
	r.Settings.How[key] = procedures.Measured
	return nil
}

// united puts the unit of the heading to a bare number.
func (r *row) united(s string) string {
	if u := r.heading.Unit; u != "" && s[len(s)-1] >= '0' && s[len(s)-1] <= '9' {
		return s + u
	}
	return s
}

func length(of func(*procedures.Weld) *procedures.MM) func(*row, string) error {
	return func(r *row, s string) (err error) {
		*of(r.Weld), err = procedures.ParseLength(r.heading.Field, r.united(s), r.Units)
		return err
	}
}

func readLong(r *row, s string) (err error) {
	r.Job.Length, err = procedures.ParseDistance("length", r.united(s), r.Units)
	return err
}

// thickness reads a thickness or a gauge.
func thickness(other bool) func(*row, string) error {
	return func(r *row, s string) error {
		to, said := &r.Job.Thickness, &r.Job.ThicknessSaid
		if other {
			to, said = &r.Job.OtherThickness, &r.Job.OtherSaid
		}
		if strings.Contains(normal(r.heading.Name), "ga") && strings.Trim(s, "0123456789") == "" && r.heading.Unit == "" && !strings.Contains(normal(r.heading.Name), "thick") {
			s += "ga" // a column called gauge
		}
		words := r.united(s)
		if strings.Contains(strings.ToLower(s), "ga") {
			words += " " + r.coating
		}
		got, err := r.words(words)
		if err != nil {
			return err
		}
		if got.Thickness == 0 || got.OtherThickness != 0 {
			return procedures.Invalid("thickness", s, "not one thickness", "such as 1/8, 0.125in, 3mm, 11ga plain")
		}
		*to, *said = got.Thickness, s
		if !other && got.Form != "" {
			r.Job.Form = got.Form
		}
		return nil
	}
}

// words reads a cell as a job, all of whose words must mean something.
func (r *row) words(s string) (procedures.Job, error) {
	got, err := procedures.ReadJob(s, r.Units, r.Lexicon)
	if err == nil && len(got.Unknown) > 0 {
		err = procedures.Invalid(r.heading.Field, s, fmt.Sprintf("%q means nothing here as %s", strings.Join(got.Unknown, " "), r.heading.Field),
			fmt.Sprintf(`keep such words as a note: --map "%s=note"`, r.heading.Name))
	}
	return got.Job, err
}

func jobWords(take func(to *procedures.Job, said procedures.Job)) func(*row, string) error {
	return func(r *row, s string) error {
		said, err := r.words(s)
		if err != nil {
			return err
		}
		before := r.Job
		take(&r.Job, said)
		if r.Job == before && said == (procedures.Job{Said: said.Said}) {
			return procedures.Invalid(r.heading.Field, s, "says nothing of the "+r.heading.Field)
		}
		return nil
	}
}

// readWholeJob reads a whole joint out of one cell. It comes before the other cells
// of its row, which say it more exactly.
func readWholeJob(r *row, s string) error {
	got, err := procedures.ReadJob(s, r.Units, r.Lexicon)
	if err != nil {
		return err
	}
	r.Job = got.Job
	return nil
}

func readCoating(r *row, s string) error {
	said, err := r.words(s)
	if err != nil {
		return err
	}
	if said.Coating == "" {
		return procedures.Invalid("coating", s, "not a coating this notebook knows", "accepted: bare, galvanized, paint, mill scale, rust ...")
	}
	r.Job.Coating, r.Job.Stripped = said.Coating, said.Stripped
	return nil
}

func readKnob(r *row, s string) (err error) {
	r.Settings.Knob, r.Settings.KnobSaid, err = procedures.ParseKnob(s)
	key := "knob"
	if r.Settings.KnobSaid != "" {
		key = "knob_text"
	}
	return first(err, r.got(key))
}

var polarities = map[string]procedures.Polarity{
	"dcen": procedures.DCEN, "dc-": procedures.DCEN, "dcsp": procedures.DCEN, "straight": procedures.DCEN, "electrode negative": procedures.DCEN, "gun negative": procedures.DCEN, "gun minus": procedures.DCEN, "negative": procedures.DCEN,
	"dcep": procedures.DCEP, "dc+": procedures.DCEP, "dcrp": procedures.DCEP, "reverse": procedures.DCEP, "electrode positive": procedures.DCEP, "gun positive": procedures.DCEP, "gun plus": procedures.DCEP, "positive": procedures.DCEP,
	"ac": procedures.AC,
}

func readPolarity(r *row, s string) error {
	p, ok := polarities[strings.Join(strings.Fields(strings.ToLower(s)), " ")]
	if !ok {
		return procedures.Invalid("polarity", s, "not a polarity", "accepted: dcen (gun negative), dcep (gun positive), ac")
	}
	r.Settings.Polarity = p
	return r.got("polarity")
}

func readArc(r *row, s string) error {
	number := strings.TrimSpace(strings.TrimRight(strings.ToLower(s), "second. "))
	v, err := strconv.ParseFloat(number, 64)
	if err != nil || v < 0.5 || v > 36000 {
		return procedures.Invalid("arc time", s, "not seconds of arc", "such as 24s; half a second to 10 hours")
	}
	r.ArcTime = procedures.Seconds(v)
	return nil
}

func readRating(r *row, s string) error {
	said, err := procedures.ReadOutcome([]string{s})
	if err != nil {
		return err
	}
	if said.Rating == 0 {
		return procedures.Invalid("rating", s, "a rating is 1 to 5", "1 scrap, 2 ugly or in doubt, 3 would do, 4 good, 5 as good as I can")
	}
	r.Outcome.Rating = said.Rating
	return nil
}

// nothing are the words for an empty cell.
var nothing = []string{"", "-", "none", "no", "n/a", "na", "nil", "ok", "good", "fine", "clean"}

func split(s string) []string {
	return strings.FieldsFunc(s, func(r rune) bool { return r == ',' || r == ';' || r == '\n' })
}

func readSymptoms(r *row, s string) error {
	for _, part := range split(s) {
		if slices.Contains(nothing, strings.ToLower(strings.TrimSpace(part))) {
			continue
		}
		key, err := procedures.ParseSymptom(part)
		if err != nil {
			return procedures.Invalid("symptoms", part, "not a symptom this notebook knows", fmt.Sprintf(`keep such words as a note: --map "%s=note"`, r.heading.Name), "accepted: "+strings.Join(procedures.SymptomKeys(), ", "))
		}
		if !slices.Contains(r.Outcome.Symptoms, key) {
			r.Outcome.Symptoms = append(r.Outcome.Symptoms, key)
		}
	}
	return nil
}

// readTests reads "bend=held, break=pass", and under a heading that names the test
// its result alone.
func readTests(r *row, s string) error {
	kind := ""
	for _, k := range procedures.TestKinds() {
		if slices.Contains(strings.Fields(normal(r.heading.Name)), k) {
			kind = k
		}
	}
	for _, part := range split(s) {
		part = strings.TrimSpace(part)
		if word := strings.ToLower(part); word == "" || word == "-" || word == "none" || word == "no" || word == "n/a" {
			continue
		}
		if kind != "" && !strings.Contains(part, "=") {
			part = kind + "=" + part
		}
		t, err := procedures.ParseTest(part)
		if err != nil {
			return err
		}
		r.Outcome.Tests = append(r.Outcome.Tests, t)
	}
	return nil
}

// readNote keeps a cell as a note, under its heading where that is no word for one.
func readNote(r *row, s string) error {
	if key := normal(r.heading.Name); key != "note" && !slices.Contains(noteWords, key) {
		s = r.heading.Name + ": " + s
	}
	if r.Outcome.Note != "" {
		s = r.Outcome.Note + "\n" + s
	}
	r.Outcome.Note = strings.ReplaceAll(s, "\r", "")
	return nil
}

func readID(r *row, s string) error {
	s = strings.ToLower(s)
	if len(s) != 36 || s[14] != '7' || strings.Trim(s, "0123456789abcdef-") != "" {
		return procedures.Invalid("id", s, "not an id of a notebook", "leave the column out where it is not from an export: --map \""+r.heading.Name+"=-\"")
	}
	r.ID = s
	return nil
}

func readDate(r *row, s string) error {
	layouts := []string{time.RFC3339, "2006-01-02 15:04:05", "2006-01-02 15:04", "2006-01-02T15:04", "2006-01-02", "2 Jan 2006", "Jan 2, 2006", "2 January 2006", "January 2, 2006"}
	hint := "accepted: 2026-05-01 14:30, 2026-05-01, 1 May 2026"
	if r.Units == procedures.US {
		layouts = append(layouts, "1/2/2006", "1/2/06", "1/2/2006 15:04", "1/2/2006 3:04 PM")
		hint += ", 5/1/2026 (month first, since units are us)"
	} else {
		layouts = append(layouts, "2.1.2006", "2.1.2006 15:04")
		hint += ", 1.5.2026"
	}
	for _, l := range layouts {
		if t, err := time.ParseInLocation(l, s, r.Zone); err == nil && t.Year() >= 1950 && t.Year() <= 9999 {
			r.At = t.UTC()
			return nil
		}
	}
	return procedures.Invalid("date", s, "not a date", hint)
}
