package remedy

import (
	"strings"
	"testing"

	"beadwright/procedures"
	"beadwright/recommend"
)

// A change that the marks of the knob cannot show is none, and where a mark gives
// another speed than the one wanted its own is said.
func TestStepByMarks(t *testing.T) {
	ipm := procedures.InchesPerMin
	m := procedures.Machine{Knob: procedures.Knob{Min: 0, Max: 10}, WireMin: ipm(0.001), WireMax: ipm(400)} // 40 in/min a mark, 10 a quarter
	at := func(mark float64) *float64 { return &mark }
	for _, c := range []struct {
		name     string
		from, to float64 // in/min
		a, b     *float64
		made     move
		says     string
	}{
		{"the same mark", 100, 103, at(2.5), at(2.5), hair, "less than its marks can show"},
		{"a mark that gives three times as much", 100, 103, at(2.5), at(2.75), hair, "leave the knob at 2 1/2: suggest wants 3 % more wire"},
		{"a mark", 100, 110, at(2.5), at(2.75), moves, "wire speed up 10 %, from 100 in/min to 110 in/min: knob 2 1/2 to 2 3/4"},
		{"a mark that gives more", 100, 106, at(2.5), at(2.75), moves, "the mark itself gives 110 in/min"},
		{"nothing", 100, 100.5, at(2.5), at(2.5), stays, ""},
		{"the other way", 100, 80, at(2.5), at(2), back, ""},
		{"no marks", 100, 103, nil, nil, moves, "wire speed up 3 %"},
	} {
		machine := m
		if c.a == nil {
			machine.Knob = procedures.Knob{}
		}
		w := procedures.Weld{Settings: procedures.Settings{Tap: "high", Knob: c.a, WireSpeed: ipm(c.from)}}
		next := recommend.Suggestion{Verdict: recommend.Inside, Settings: procedures.Settings{Tap: "high", Knob: c.b, WireSpeed: ipm(c.to)}}
		s, made := setting(w, next, machine, []string{"cold-bead"}, procedures.US)
		if made != c.made || !strings.Contains(s.Text, c.says) {
			t.Errorf("%s: %d, %q", c.name, made, s.Text)
		}
	}
}

// A bead that is called cold and passed its break is told so; one that failed is not.
func TestFused(t *testing.T) {
	w := procedures.Weld{Mark: "A1", Outcome: procedures.Outcome{Rating: 5, Tests: []procedures.Test{{Kind: "break", Passed: true}}}}
	if text := fused(w, []string{"cold-bead"}); !strings.HasPrefix(text, "A1 passed its break test") {
		t.Errorf("%q", text)
	}
	if text := fused(w, []string{"burn-through"}); text != "" {
		t.Errorf("of a hole: %q", text)
	}
	w.Outcome.Tests = append(w.Outcome.Tests, procedures.Test{Kind: "bend"})
	if text := fused(w, []string{"cold-bead"}); text != "" {
		t.Errorf("with a failed bend: %q", text)
	}
}
