package procedures_test

import (
	"testing"

	"beadwright/procedures"
)

// FuzzOutcome reads what is said of a bead in every form that it is said in: what
// is accepted is a valid outcome.
func FuzzOutcome(f *testing.F) {
	for _, s := range []string{"4", "4 bit of spatter", "3/4/5", "4,4,2", "-/3/5", "bend=held", "break=root line", "peel=", "bead", "back", "fracture", "5 popping, undercut on top", "=", "0/0/0", "9,9,9", "½", "4\x00"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		if v, err := procedures.ParseThirds(s); err == nil {
			if err := v.Validate(); err != nil {
				t.Errorf("thirds %q: %v", s, err)
			}
			if m := v.Median(); m < 1 || m > v.AtMost() {
				t.Errorf("thirds %q are %v together", s, m)
			}
		}
		if v, err := procedures.ParseTest(s); err == nil {
			if err := (procedures.Outcome{Tests: []procedures.Test{v}}).Validate(); err != nil {
				t.Errorf("test %q: %v", s, err)
			}
		}
		if key, err := procedures.ParseSymptom(s); err == nil {
			if _, ok := procedures.FindSymptom(key); !ok {
				t.Errorf("symptom %q is read as %q", s, key)
			}
		}
		if role, err := procedures.ParsePhotoRole(s); err == nil && role == "" {
			t.Errorf("photo role %q is none", s)
		}
		if said, err := procedures.ReadOutcome([]string{s}); err == nil {
			if err := (procedures.Outcome{Rating: said.Rating, Symptoms: said.Symptoms}).Validate(); err != nil {
				t.Errorf("outcome %q: %v", s, err)
			}
		}
	})
}
