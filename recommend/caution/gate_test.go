package caution

import (
	"slices"
	"strconv"
	"strings"
	"testing"

	"beadwright/procedures"

	"pgregory.net/rapid"
)

// TestJob: what was understood stops a job as well as what was typed.
func TestJob(t *testing.T) {
	for _, c := range []struct {
		name  string
		r     Request
		stops []string
		cares []string
	}{
		{"galvanized", Request{Job: procedures.Job{Coating: procedures.Galvanized}}, []string{"galvanized"}, nil},
		{"galvanized, stripped", Request{Job: procedures.Job{Coating: procedures.Galvanized, Stripped: true}}, nil, []string{"galvanized"}},
		{"stripped, but the words say not", Request{Words: "not stripped yet", Job: procedures.Job{Coating: procedures.Galvanized, Stripped: true}}, []string{"galvanized"}, nil},
		{"stripped, but of paint", Request{Words: "paint removed", Job: procedures.Job{Coating: procedures.Galvanized, Stripped: true}}, []string{"galvanized"}, nil},
		{"cadmium", Request{Job: procedures.Job{Coating: procedures.Cadmium}}, []string{"cadmium"}, nil},
		{"lead paint", Request{Job: procedures.Job{Coating: procedures.LeadPaint}}, []string{"lead-paint"}, nil},
		{"chrome", Request{Job: procedures.Job{Coating: procedures.Chrome}}, []string{"chrome"}, nil},
		{"unknown coating", Request{Job: procedures.Job{Coating: procedures.OtherCoated}}, []string{"unknown-coating"}, nil},
		{"paint", Request{Job: procedures.Job{Coating: procedures.Paint}}, nil, []string{"paint"}},
		{"paint, stripped", Request{Job: procedures.Job{Coating: procedures.Paint, Stripped: true}}, nil, nil},
		{"rust", Request{Job: procedures.Job{Coating: procedures.Rust}}, nil, nil},
		{"out of scope", Request{Job: procedures.Job{SteelGroup: "OUT"}}, []string{"steel"}, nil},
		{"unknown steel", Request{Job: procedures.Job{SteelGroup: "unknown"}}, []string{"steel"}, nil},
		{"out of scope by its key", Request{Job: procedures.Job{Steel: "cast-iron"}}, []string{"steel"}, nil},
		{"mild", Request{Job: procedures.Job{Steel: "mild", SteelGroup: "I"}}, nil, nil},
		{"hss, read as hollow section", Request{Words: "1/8 tee hss", Job: procedures.Job{Steel: "a500-b", SteelGroup: "II"}}, nil, nil},
		{"hss, of no steel known", Request{Words: "1/8 tee hss"}, []string{"which-hss"}, nil},
		{"a drill, read as hollow section", Request{Words: "hss drill bit", Job: procedures.Job{Steel: "a500-b"}}, []string{"steel"}, nil},
		{"tool steel by its key", Request{Words: "hss", Job: procedures.Job{SteelGroup: "OUT"}}, []string{"steel"}, nil},
		{"a use of no list, picked out of the words", Request{Job: procedures.Job{For: "gizmo"}}, nil, []string{"unknown-use"}},
		{"a use that is blank", Request{For: " - ", Job: procedures.Job{For: "\n"}}, nil, nil},
		{"no use stated", Request{Words: "1/8 gizmo"}, nil, nil},
		{"in the words kept", Request{Job: procedures.Job{Said: "1/8 hitch"}}, []string{"hitch"}, nil},
		{"use picked out of the words", Request{Job: procedures.Job{Said: "1/8 hitch for a toy", For: "a toy"}}, []string{"hitch"}, nil},
		{"use with a danger", Request{Job: procedures.Job{For: "hydraulic line"}}, []string{"pressure"}, nil},
		{"thickness as typed", Request{Job: procedures.Job{ThicknessSaid: "11 gauge galvanized"}}, []string{"galvanized"}, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			stops, cares := Gate(c.r)
			if !slices.Equal(keys(stops), c.stops) || !slices.Equal(keys(cares), c.cares) {
				t.Errorf("stops %v, cares %v; want %v, %v", keys(stops), keys(cares), c.stops, c.cares)
			}
		})
	}
}

func TestMostSeriousFirst(t *testing.T) {
	stops, cares := Gate(Request{Words: "stainless hitch by the gas tank in the rain, garage, trailer, paint, deck"})
	if got := keys(stops); !slices.Equal(got, []string{"container", "wet", "hitch", "steel"}) {
		t.Errorf("stops %v", got)
	}
	for i := 1; i < len(cares); i++ {
		if cares[i].Level == Defer && cares[i-1].Level == Care {
			t.Errorf("%s before %s", cares[i-1].Key, cares[i].Key)
		}
	}
}

// everyday are the words to stir in: those of every phrase of the table, dangers
// and harmless uses alike.
func everyday(t testing.TB) []string {
	var words []string
	for _, r := range phrases(t) {
		words = append(words, strings.Fields(r.words+" "+r.use)...)
	}
	return append(words, "toy", "art", "sculpture", "practice", "coupon", "scrap", "not", "safe", "stripped", "new", "only")
}

// TestAddedWordsNeverLift: words put before or after as a phrase of their own,
// and any stated use, never take away a stop that nothing makes lesser.
func TestAddedWordsNeverLift(t *testing.T) {
	words, rows := everyday(t), phrases(t)
	kinds := []string{"weapon", "container", "solvent", "wet", "breaker", "tire", "steel"}
	rapid.Check(t, func(rt *rapid.T) {
		r := rows[rapid.IntRange(0, len(rows)-1).Draw(rt, "phrase")]
		before := strings.Join(rapid.SliceOfN(rapid.SampledFrom(words), 0, 5).Draw(rt, "before"), " ")
		after := strings.Join(rapid.SliceOfN(rapid.SampledFrom(words), 0, 5).Draw(rt, "after"), " ")
		use := strings.Join(rapid.SliceOfN(rapid.SampledFrom(words), 0, 4).Draw(rt, "use"), " ")
		stops, _ := Gate(Request{Words: before + ", " + r.words + ", " + after, For: strings.TrimSpace(r.use + "; " + use)})
		for _, key := range r.stops {
			if slices.Contains(kinds, key) && !slices.Contains(keys(stops), key) {
				rt.Errorf("%q by %q and %q for %q: %s is gone", r.words, before, after, use, key)
			}
		}
	})
}

// TestUseNeverLifts: a stated use makes nothing lesser but what it may.
func TestUseNeverLifts(t *testing.T) {
	liftable := []string{"hitch", "lifting", "frame", "suspension", "wheel"}
	for _, r := range phrases(t) {
		plain, _ := Gate(Request{Words: r.words})
		for _, use := range []string{"toy", "a garden sculpture", "table", "lawn cart toy"} {
			stated, _ := Gate(Request{Words: r.words, For: use})
			for _, key := range keys(plain) {
				if !slices.Contains(liftable, key) && !slices.Contains(keys(stated), key) {
					t.Errorf("%q for %q: %s is gone", r.words, use, key)
				}
			}
		}
	}
}

// TestCoatingsStay: without a word of stripping, a coating stays whatever is said.
func TestCoatingsStay(t *testing.T) {
	for _, coat := range []string{"galvanized", "cadmium plated", "lead paint", "chrome", "plated"} {
		for _, more := range []string{"toy", "practice coupon", "outdoors", "tiny spot", "just once", "will strip it", "not stripped", "half stripped",
			"should be stripped", "before it is stripped", "stripped on one side", "if stripped", "not yet ground off", "never ground off", "could not be stripped"} {
			stops, _ := Gate(Request{Words: coat + ", " + more, For: more})
			if len(stops) == 0 {
				t.Errorf("%q, %q: no stop", coat, more)
			}
		}
	}
}

// TestCaseAndMarks: case, hyphens and stray marks change nothing.
func TestCaseAndMarks(t *testing.T) {
	for _, r := range phrases(t) {
		want, _ := Gate(Request{Words: r.words, For: r.use})
		for name, change := range map[string]func(string) string{
			"upper":  strings.ToUpper,
			"hidden": func(s string) string { return strings.ReplaceAll(s, "a", "a\u00ad") },
			"spaces": func(s string) string { return strings.ReplaceAll(s, " ", "   ") },
			"nbsp":   func(s string) string { return strings.ReplaceAll(s, " ", "\u00a0") },
		} {
			got, _ := Gate(Request{Words: change(r.words), For: change(r.use)})
			if !slices.Equal(keys(got), keys(want)) {
				t.Errorf("%s: %q stops %v, plain %v", name, change(r.words), keys(got), keys(want))
			}
		}
	}
}

// FuzzGate: any text gives cautions that are whole, and a known danger beside it
// still stops.
func FuzzGate(f *testing.F) {
	for _, r := range phrases(f) {
		f.Add(r.words, r.use)
	}
	f.Add("\xff\xfe tank \x00", "toy\n\n")
	f.Add(strings.Repeat("not ", 500)+"stripped", strings.Repeat("@vehicle .. ~ ", 50))
	f.Fuzz(func(t *testing.T, words, use string) {
		stops, cares := Gate(Request{Words: words, For: use})
		for _, c := range stops {
			if c.Level != Stop || c.Key == "" || c.Text == "" || c.Instead == "" || len(c.Source) == 0 {
				t.Errorf("half a stop: %+v", c)
			}
		}
		for _, c := range cares {
			if c.Level == Stop || c.Key == "" || c.Text == "" || len(c.Source) == 0 {
				t.Errorf("half a caution: %+v", c)
			}
		}
		again, _ := Gate(Request{Words: words, For: use})
		if !slices.Equal(keys(again), keys(stops)) {
			t.Errorf("%v, then %v", keys(stops), keys(again))
		}
		beside, _ := Gate(Request{Words: words + "\ngas tank", For: use})
		if !slices.Contains(keys(beside), "container") {
			t.Errorf("a gas tank passes beside %q", words)
		}
	})
}

// BenchmarkGate grows with the text: the nanoseconds per byte stay level.
func BenchmarkGate(b *testing.B) {
	const part = "not galvanized, 16ga tube to 1/8 plate lap, chain link fence frame for a garden table, hitch pin suspenshun zzzzzzzzzzz hook, "
	for _, n := range []int{1, 100, 1000} {
		text := strings.Repeat(part, n)
		b.Run(strconv.Itoa(n), func(b *testing.B) {
			b.SetBytes(int64(len(text)))
			for b.Loop() {
				Gate(Request{Words: text})
			}
		})
	}
}
