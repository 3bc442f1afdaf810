package steel_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/arc"
	"beadwright/recommend/steel"

	"pgregory.net/rapid"
)

var bad = []float64{math.NaN(), math.Inf(1), math.Inf(-1), -1, 1e12}

func refused(t *testing.T, what string, err error) {
	t.Helper()
	invalid := new(procedures.InvalidError)
	if !errors.As(err, &invalid) {
		t.Errorf("%s: got %v, want an InvalidError", what, err)
		return
	}
	if invalid.Field == "" || len(invalid.Hints) == 0 {
		t.Errorf("%s: %v does not say what would be accepted", what, err)
	}
}

func outside(t *testing.T, what string, err error) *arc.RangeError {
	t.Helper()
	e := new(arc.RangeError)
	if !errors.As(err, &e) {
		t.Fatalf("%s: got %v, want a RangeError", what, err)
	}
	return e
}

func noTable(t *testing.T, what string, err error) {
	t.Helper()
	e := new(arc.NoTableError)
	if !errors.As(err, &e) {
		t.Errorf("%s: got %v, want a NoTableError", what, err)
	}
}

func second[T any](_ T, err error) error { return err }

func known(t *testing.T, ids []string) {
	t.Helper()
	if len(ids) == 0 {
		t.Error("no source")
	}
	for _, id := range ids {
		if _, ok := data.Sources()[id]; !ok {
			t.Errorf("source %q is not known", id)
		}
	}
}

func find(t interface {
	Helper()
	Fatalf(string, ...any)
}, name string) data.Steel {
	t.Helper()
	s, err := steel.Find(name)
	if err != nil {
		t.Fatalf("%v", err)
	}
	return s
}

// Every key, name and alias of the table finds its own grade, in any case of
// letters and spacing.
func TestFindEveryName(t *testing.T) {
	for _, s := range data.Steels() {
		for _, name := range append([]string{s.Key, s.Name}, s.Aliases...) {
			for _, said := range []string{name, strings.ToUpper(name), "  " + strings.ReplaceAll(name, " ", "   ") + " "} {
				if got, err := steel.Find(said); err != nil || got.Key != s.Key {
					t.Errorf("%q: got %q, want %q, %v", said, got.Key, s.Key, err)
				}
			}
		}
	}
	for said, key := range map[string]string{"A-36": "a36", "ASTM A-36": "a36", "a500 Grade-B": "a500-b", "S-235": "s235jr", "S 355 J2": "s355j2"} {
		if got := find(t, said); got.Key != key {
			t.Errorf("%q: got %q, want %q", said, got.Key, key)
		}
	}
	for _, said := range []string{"", " ", "adamantium", "a36x", "steel steel", strings.Repeat("a", 5000), "\x00"} {
		refused(t, said, second(steel.Find(said)))
	}
}

func FuzzFind(f *testing.F) {
	for _, s := range data.Steels() {
		f.Add(s.Name)
	}
	f.Add("A - 36")
	f.Add("\xff\x00")
	f.Fuzz(func(t *testing.T, said string) {
		s, err := steel.Find(said)
		if err != nil {
			refused(t, said, err)
			return
		}
		if again, err := steel.Find(strings.ToUpper(s.Name)); err != nil || again.Key != s.Key {
			t.Errorf("%q found %q, whose own name finds %q, %v", said, s.Key, again.Key, err)
		}
	})
}

func TestCarbonEquivalents(t *testing.T) {
	// Each element alone shows its own divisor.
	for _, c := range []struct {
		f     steel.Formula
		sheet steel.Composition
		want  float64
	}{
		{steel.IIW, steel.Composition{C: 0.1, Mn: 0.6}, 0.2},
		{steel.IIW, steel.Composition{C: 0.1, Cr: 0.1, Mo: 0.1, V: 0.05, Ni: 0.1, Cu: 0.2}, 0.1 + 0.05 + 0.02},
		{steel.AWS, steel.Composition{C: 0.1, Mn: 0.6, Si: 0.3}, 0.25},
		{steel.Pcm, steel.Composition{C: 0.1, Si: 0.3, Mn: 1, Ni: 0.6, Mo: 0.15, V: 0.1, B: 0.001}, 0.1 + 0.01 + 0.05 + 0.01 + 0.01 + 0.01 + 0.005},
		{steel.CET, steel.Composition{C: 0.1, Mn: 1, Mo: 0.1, Cr: 0.2, Cu: 0.2, Ni: 0.4}, 0.1 + 0.11 + 0.02 + 0.01},
		{steel.A706, steel.Composition{C: 0.3, Mn: 1.2, Mo: 0.5, V: 0.1}, 0.3 + 0.2 - 0.01 - 0.01},
		{steel.D14, steel.Composition{C: 0.3, Mn: 1.2}, 0.5},
		{steel.Pipe, steel.Composition{C: 0.25, Mn: 0.7}, 0.425},
		{steel.Z662, steel.Composition{C: 0.25, Mn: 1.2}, 0.45},
	} {
		v, err := c.sheet.CE(c.f)
		if err != nil || math.Abs(v.Value-c.want) > 1e-12 {
			t.Errorf("%s of %+v: %v, %v, want %v", c.f, c.sheet, v.Value, err, c.want)
		}
		known(t, v.Source)
	}
	if v, _ := (steel.Composition{C: 0.45, Mn: 0.75}).CE(steel.IIW); !strings.HasPrefix(v.Note, "outside the range") {
		t.Errorf("0.45 %% carbon is outside the range of IIW: %q", v.Note)
	}
	if v, _ := (steel.Composition{C: 0.2, Mn: 0.8}).CE(steel.Pcm); !strings.HasPrefix(v.Note, "outside the range") {
		t.Errorf("0.2 %% carbon is outside the range of Pcm: %q", v.Note)
	}
	if v, _ := (steel.Composition{C: 0.15, Mn: 0.8}).CE(steel.CET); strings.HasPrefix(v.Note, "outside the range") {
		t.Errorf("inside the range of CET: %q", v.Note)
	}
}

func TestCompositionRefuses(t *testing.T) {
	refused(t, "no carbon", second(steel.Composition{Mn: 1}.CE(steel.IIW)))
	refused(t, "no formula", second(steel.Composition{C: 0.1}.CE("guess")))
	for _, v := range bad {
		for name, c := range map[string]steel.Composition{
			"C": {C: v}, "Si": {C: 0.1, Si: v}, "Mn": {C: 0.1, Mn: v}, "P": {C: 0.1, P: v}, "S": {C: 0.1, S: v}, "Cr": {C: 0.1, Cr: v}, "Mo": {C: 0.1, Mo: v},
			"Ni": {C: 0.1, Ni: v}, "Cu": {C: 0.1, Cu: v}, "V": {C: 0.1, V: v}, "Nb": {C: 0.1, Nb: v}, "Ti": {C: 0.1, Ti: v}, "B": {C: 0.1, B: v},
		} {
			refused(t, name, c.Validate())
			refused(t, name, second(c.CE(steel.IIW)))
		}
		refused(t, "factor", second(steel.Composition{C: 0.1}.Z662(v)))
		_, _, err := steel.GroupByCE(v)
		refused(t, "group", err)
	}
	refused(t, "no carbon", second(steel.Composition{}.Z662(1)))
}

// More of an element never lowers a carbon equivalent, but for Mo and V in A706.
func TestCarbonEquivalentRises(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := steel.Composition{C: rapid.Float64Range(0.05, 0.5).Draw(t, "C"), Mn: rapid.Float64Range(0, 1.6).Draw(t, "Mn"), Cr: rapid.Float64Range(0, 1).Draw(t, "Cr")}
		more := c
		more.C += 0.01
		more.Mn += 0.1
		more.Cr += 0.1
		for _, f := range []steel.Formula{steel.IIW, steel.AWS, steel.Pcm, steel.CET, steel.A706, steel.D14, steel.Z662, steel.Pipe} {
			a, errA := c.CE(f)
			b, errB := more.CE(f)
			if errA != nil || errB != nil || b.Value <= a.Value {
				t.Errorf("%s: %v then %v", f, a.Value, b.Value)
			}
		}
		ga, _, _ := steel.GroupByCE(c.C)
		gb, _, _ := steel.GroupByCE(c.C + 0.02)
		if rank[gb] < rank[ga] {
			t.Errorf("group %s at %v, %s above it", ga, c.C, gb)
		}
	})
}

var rank = map[steel.Group]int{steel.I: 1, steel.II: 2, steel.III: 3}

func TestGroups(t *testing.T) {
	for ce, want := range map[float64]steel.Group{0: steel.I, 0.4: steel.I, 0.4001: steel.II, 0.45: steel.II, 0.4501: steel.III, 2: steel.III} {
		g, v, err := steel.GroupByCE(ce)
		if err != nil || g != want || v.Note == "" {
			t.Errorf("%v: %s, %+v, %v", ce, g, v, err)
		}
		known(t, v.Source)
	}
	// The printed maxima of A992 give 0.67, its own cap is 0.45: the practical group stands.
	a992 := steel.Sample{Steel: find(t, "a992")}
	if g, why, err := steel.GroupOf(a992); err != nil || g != steel.II || why == "" {
		t.Errorf("A992: %s, %q, %v", g, why, err)
	}
	// A mill sheet decides where there is one ...
	a992.Sheet = &steel.Composition{C: 0.08, Mn: 1.2}
	if g, why, err := steel.GroupOf(a992); err != nil || g != steel.I || !strings.Contains(why, "0.28") {
		t.Errorf("A992 with its sheet: %s, %q, %v", g, why, err)
	}
	// ... but never brings a steel into scope.
	if g, _, err := steel.GroupOf(steel.Sample{Steel: find(t, "304"), Sheet: &steel.Composition{C: 0.05}}); err != nil || g != steel.Out {
		t.Errorf("304: %s, %v", g, err)
	}
	if g, _, err := steel.GroupOf(steel.Sample{}); err != nil || g != steel.Unknown {
		t.Errorf("nothing said: %s, %v", g, err)
	}
	a992.Sheet = &steel.Composition{C: math.NaN()}
	_, _, err := steel.GroupOf(a992)
	refused(t, "bad sheet", err)
	// Chromium 30 % makes a carbon equivalent that means nothing.
	_, _, err = steel.GroupOf(steel.Sample{Steel: find(t, "unknown"), Sheet: &steel.Composition{C: 0.5, Cr: 30}})
	refused(t, "absurd equivalent", err)
}

func TestCompare(t *testing.T) {
	sheet := func(ce float64) *steel.Composition { return &steel.Composition{C: ce - 0.1, Mn: 0.6} }
	for _, c := range []struct {
		a, b   string
		sa, sb *steel.Composition
		alike  bool
		words  string
	}{
		{"a36", "1018", nil, nil, true, "both group I"},
		{"mild", "mild", nil, nil, true, "both group I"},
		{"1018", "1020", nil, nil, true, "near carbon equivalents"},
		{"a513-1010", "1018", nil, nil, true, "near"}, // 0.07-0.25 and 0.25-0.35 touch
		{"a36", "a572", nil, nil, false, "group I"},
		{"unknown", "unknown", nil, nil, false, "compares with nothing"},
		{"304", "304", nil, nil, false, "not both a job"},
		{"a36", "cast iron", nil, nil, false, "not both a job"},
		{"a36", "a36", sheet(0.20), sheet(0.26), false, "0.06 apart"},
		{"a36", "a36", sheet(0.20), sheet(0.25), true, "near"},
		{"a572", "a36", sheet(0.38), sheet(0.36), true, "near"}, // both group I by their sheets
		{"rebar", "a36", sheet(0.30), sheet(0.30), true, "near"},
	} {
		a, b := steel.Sample{Steel: find(t, c.a), Sheet: c.sa}, steel.Sample{Steel: find(t, c.b), Sheet: c.sb}
		like, err := steel.Compare(a, b)
		if err != nil || like.Alike != c.alike || !strings.Contains(like.Why, c.words) {
			t.Errorf("%s and %s: %+v, %v", c.a, c.b, like, err)
		}
		turned, err := steel.Compare(b, a)
		if err != nil || turned.Alike != like.Alike {
			t.Errorf("%s and %s depend on the order", c.a, c.b)
		}
	}
	broken := steel.Sample{Steel: find(t, "a36"), Sheet: &steel.Composition{}}
	refused(t, "first", second(steel.Compare(broken, steel.Sample{})))
	refused(t, "second", second(steel.Compare(steel.Sample{}, broken)))
}
