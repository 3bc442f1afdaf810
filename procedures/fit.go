package procedures

import (
	"slices"
	"strings"
)

// Fits reports whether a weld is one that the filter asks for, by everything but
// words and limit: for who holds the welds in hand. The notebook's own search says
// the same.
func (f *Filter) Fits(w *Weld) bool {
	if w.Struck != "" && !f.Struck {
		return false
	}
	if f.Thickness > 0 {
		lo, hi := f.ThicknessRange()
		if in := func(t MM) bool { return t > 0 && lo <= t && t <= hi }; !in(w.Job.Thickness) && !in(w.Job.OtherThickness) {
			return false
		}
	}
	if f.WireDiameter > 0 {
		if lo, hi := f.WireRange(); w.Job.Diameter < lo || w.Job.Diameter > hi || w.Job.Diameter == 0 {
			return false
		}
	}
	switch class := strings.TrimSpace(f.WireClass); {
	case f.Joint != "" && w.Job.Joint != f.Joint,
		f.Position != "" && w.Job.Position != f.Position,
		class != "" && !strings.EqualFold(class, w.Job.Class),
		f.State != "" && w.Job.State != f.State,
		f.Spool != "" && w.Spool != f.Spool,
		f.Symptom != "" && !slices.Contains(w.Outcome.Symptoms, f.Symptom),
		len(f.Steels) > 0 && (w.Job.Steel == "" || !slices.Contains(f.Steels, w.Job.Steel)),
		!f.Since.IsZero() && w.At.Before(f.Since),
		!f.Until.IsZero() && w.At.After(f.Until):
		return false
	}
	if f.Machine != "" && f.Machine != w.Job.Machine {
		if name := nameKey(f.Machine); name != "" && nameKey(w.Job.Machine) != name {
			return false
		}
	}
	if f.RatingMin > 0 || f.RatingMax > 0 {
		hi := f.RatingMax
		if hi == 0 {
			hi = 5
		}
		if r := int(w.Outcome.Rating); r < max(f.RatingMin, 1) || r > hi {
			return false
		}
	}
	// Looks do not outweigh a failed test.
	return f.RatingMin < 4 || !slices.ContainsFunc(w.Outcome.Tests, func(t Test) bool { return !t.Passed })
}

// nameKey is a name without regard to case and spacing.
func nameKey(name string) string { return strings.ToLower(strings.Join(strings.Fields(name), " ")) }
