package procedures

import (
	"fmt"
	"slices"
	"strings"
	"sync"
	"time"
)

// Filter says which welds are looked for. The zero value of a field asks for
// nothing, so the zero Filter finds every weld that stands.
type Filter struct {
	Thickness    MM      // of either part, give or take Within
	Within       float64 // a fraction of the thickness, 0 to 1; zero: 0.10
	Joint        Joint
	Position     Position
	WireClass    string // in any case of letters
	WireDiameter MM     // the same size by its inch or its metric name
	Machine      string // name, in any case of letters
	State        string // id of a machine's state
	Spool        string // id
	Steels       []string
	RatingMin    int // 1 to 5; a weld not rated is then left out, and from 4 up one that failed a test
	RatingMax    int // 1 to 5
	Symptom      string
	Since        time.Time
	Until        time.Time // that moment included
	Struck       bool      // struck welds too
	Limit        int       // at most so many; zero: all
	Words        string    // see [Rank]
}

// Validate reports the first thing about the filter that cannot be.
func (f Filter) Validate() error {
	asked := Job{Thickness: f.Thickness, Joint: f.Joint, Position: f.Position, Wire: Wire{Diameter: f.WireDiameter}}
	if err := asked.Validate(); err != nil {
		return err
	}
	switch {
	case !finite(f.Within) || f.Within < 0 || f.Within > 1:
		return Invalid("within", fmt.Sprint(f.Within), "not a part of the thickness", "0% to 100%, such as 10%")
	case f.RatingMin < 0 || f.RatingMin > 5 || f.RatingMax < 0 || f.RatingMax > 5:
		return Invalid("rating", fmt.Sprintf("%d..%d", f.RatingMin, f.RatingMax), "a rating is 1 to 5", "4+ finds 4 and 5")
	case f.RatingMax > 0 && f.RatingMin > f.RatingMax:
		return Invalid("rating", fmt.Sprintf("%d..%d", f.RatingMin, f.RatingMax), "the lower rating must come first", "2..4")
	case f.Limit < 0:
		return Invalid("limit", fmt.Sprint(f.Limit), "not a number of welds", "1 or more; leave it out to see all")
	case len(f.Words) > 400:
		return Invalid("words", f.Words, "more words than can be looked for", "a few words: tee vertical spatter")
	}
	if f.Symptom != "" {
		return Outcome{Symptoms: []string{f.Symptom}}.Validate()
	}
	return nil
}

// slack lets a bound that was reckoned in binary include its own value.
const slack = 1e-9

// ThicknessRange is the least and the greatest thickness looked for.
func (f Filter) ThicknessRange() (lo, hi MM) {
	within := MM(f.Within)
	if within == 0 {
		within = 0.10
	}
	return f.Thickness * (1 - within - slack), f.Thickness * (1 + within + slack)
}

// WireRange is the least and the greatest wire diameter looked for. The inch and
// the metric name of one size lie within 5 % (0.030 in is sold as 0.8 mm, 0.045
// in as 1.2 mm, 3/32 in as 2.5 mm); sizes that are not the same lie further apart.
func (f Filter) WireRange() (lo, hi MM) {
	return f.WireDiameter * (0.95 - slack), f.WireDiameter * (1.05 + slack)
}

// Text is what a weld is found by: its words, and what they stand for in the
// words of the trade and of the garage.
func Text(w Weld) string {
	parts := []string{w.Mark, JobText(w)}
	for _, key := range w.Outcome.Symptoms {
		parts = append(parts, SymptomText(key))
	}
	for _, t := range w.Outcome.Tests {
		parts = append(parts, t.Kind, t.Result)
	}
	return spaced(append(parts, w.Outcome.Note, w.Job.For, w.Job.Said, w.Said)...)
}

// JobText is the part of [Text] that many welds have in common: what was welded,
// with what, and how.
func JobText(w Weld) string {
	j := w.Job
	aws, iso := j.Position.Codes(j.Weld)
	parts := []string{string(j.Joint), string(j.Weld), string(j.Position), aws, iso, j.Steel}
	for _, t := range []MM{j.Thickness, j.OtherThickness} {
		if t > 0 {
			parts = append(parts, FormatLength(t, US), fmt.Sprintf("%.3f %.1fmm", t.Inches(), float64(t)))
		}
	}
	parts = append(parts, j.ThicknessSaid, j.OtherSaid, string(j.Form), string(j.OtherForm), string(j.Coating), j.Wire.String())
	if j.Process != "" {
		parts = append(parts, string(j.Process), j.Process.Letters())
	}
	if j.Process == FCAWS {
		parts = append(parts, "flux-core gasless")
	}
	return spaced(append(parts, j.Machine, w.Settings.Tap, string(w.Settings.Polarity), w.Settings.Technique)...)
}

// SymptomText is what a symptom is found by.
func SymptomText(key string) string { return spaced(key, symptomWords()[key]) }

// spaced joins what is not empty.
func spaced(parts ...string) string {
	return strings.Join(slices.DeleteFunc(parts, func(s string) bool { return s == "" }), " ")
}

// symptomWords is what each symptom is called, by its key.
var symptomWords = sync.OnceValue(func() map[string]string {
	words := map[string]string{}
	for _, s := range Symptoms() {
		words[s.Key] = s.Term + " " + s.Plain + " " + strings.Join(s.Words, " ")
	}
	return words
})
