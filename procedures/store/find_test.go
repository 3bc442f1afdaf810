package store_test

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"beadwright/procedures"
	"beadwright/procedures/store"
)

// fits is what Find should do, said in Go rather than SQL.
func fits(f procedures.Filter, w procedures.Weld) bool {
	within := f.Within
	if within == 0 {
		within = 0.1
	}
	near := func(v, want procedures.MM, part float64) bool {
		return v > 0 && math.Abs(float64(v-want)) <= float64(want)*(part+1e-8)
	}
	return (f.Struck || w.Struck == "") &&
		(f.Thickness == 0 || near(w.Job.Thickness, f.Thickness, within) || near(w.Job.OtherThickness, f.Thickness, within)) &&
		(f.Joint == "" || f.Joint == w.Job.Joint) &&
		(f.Position == "" || f.Position == w.Job.Position) &&
		(f.WireClass == "" || strings.EqualFold(f.WireClass, w.Job.Wire.Class)) &&
		(f.WireDiameter == 0 || near(w.Job.Wire.Diameter, f.WireDiameter, 0.05)) &&
		(f.Machine == "" || strings.EqualFold(f.Machine, w.Job.Machine)) &&
		(f.State == "" || f.State == w.Job.State) &&
		(len(f.Steels) == 0 || slices.Contains(f.Steels, w.Job.Steel)) &&
		(f.RatingMin == 0 || int(w.Outcome.Rating) >= f.RatingMin) &&
		(f.RatingMax == 0 || w.Outcome.Rating > 0 && int(w.Outcome.Rating) <= f.RatingMax) &&
		(f.RatingMin < 4 || !slices.ContainsFunc(w.Outcome.Tests, func(t procedures.Test) bool { return !t.Passed })) &&
		(f.Symptom == "" || slices.Contains(w.Outcome.Symptoms, f.Symptom)) &&
		(f.Since.IsZero() || !w.At.Before(f.Since)) && (f.Until.IsZero() || !w.At.After(f.Until))
}

// TestFind compares Find with the filter said in Go, over welds and filters
// whose values meet often.
func TestFind(t *testing.T) {
	n := fresh(t)
	red := must(n.AddMachine(t.Context(), littleRed()))(t)
	later := must(n.ChangeMachine(t.Context(), red.Name, "rectifier", procedures.Output, procedures.DCEN, true))(t)
	blue := littleRed()
	blue.Name = "Old Blue"
	must(n.AddMachine(t.Context(), blue))(t)

	thicknesses := []procedures.MM{0, 1.2, 2.7, 3, 3.175, 3.3, 4.7625}
	diameters := []procedures.MM{0, 0.762, 0.8, 0.889, 0.9, 1.143, 1.2}
	classes := []string{"", "E71T-11", "e71t-11", "E71T-GS"}
	steels := []string{"", "mild", "a36"}
	symptoms := []string{"spatter", "porosity", "cold-bead"}
	base := time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)

	var all []procedures.Weld
	random := rapid.Custom(func(t *rapid.T) procedures.Weld {
		w := procedures.Weld{At: base.Add(time.Duration(rapid.IntRange(0, 20).Draw(t, "day")) * 24 * time.Hour)}
		w.Job.Thickness = rapid.SampledFrom(thicknesses).Draw(t, "thickness")
		w.Job.OtherThickness = rapid.SampledFrom(thicknesses).Draw(t, "other")
		w.Job.Joint, w.Job.Position = draw(t, "joint", procedures.Joints()), draw(t, "position", procedures.Positions())
		w.Job.Wire.Class, w.Job.Wire.Diameter = rapid.SampledFrom(classes).Draw(t, "class"), rapid.SampledFrom(diameters).Draw(t, "diameter")
		w.Job.Machine = rapid.SampledFrom([]string{"", "little red", "Old Blue"}).Draw(t, "machine")
		if w.Job.Machine == red.Name {
			w.Job.State = rapid.SampledFrom([]string{red.State.ID, later.State.ID}).Draw(t, "state")
		}
		w.Job.Steel = rapid.SampledFrom(steels).Draw(t, "steel")
		w.Outcome.Rating = procedures.Count(rapid.IntRange(0, 5).Draw(t, "rating"))
		if rapid.Bool().Draw(t, "tested") {
			w.Outcome.Tests = []procedures.Test{{Kind: "break", Passed: rapid.Bool().Draw(t, "passed"), Result: "read"}}
		}
		w.Outcome.Symptoms = rapid.SliceOfN(rapid.SampledFrom(symptoms), 0, 2).Draw(t, "symptoms")
		w.Struck = rapid.SampledFrom([]string{"", "", "", "why"}).Draw(t, "struck")
		return w
	})
	for i := range 150 {
		all = append(all, must(n.AddWeld(t.Context(), random.Example(i)))(t))
	}
	// The latest first; of the same moment, the one logged last.
	expected := slices.Clone(all)
	slices.Reverse(expected)
	slices.SortStableFunc(expected, func(a, b procedures.Weld) int { return b.At.Compare(a.At) })

	found := 0
	rapid.Check(t, func(t *rapid.T) {
		maybe := func(name string) bool { return rapid.IntRange(0, 3).Draw(t, name) == 0 }
		var f procedures.Filter
		if maybe("thickness?") {
			f.Thickness = rapid.SampledFrom(thicknesses).Draw(t, "thickness")
			f.Within = rapid.SampledFrom([]float64{0, 0.01, 0.1, 0.5, 1}).Draw(t, "within")
		}
		if maybe("joint?") {
			f.Joint = draw(t, "joint", procedures.Joints())
		}
		if maybe("position?") {
			f.Position = draw(t, "position", procedures.Positions())
		}
		if maybe("wire?") {
			f.WireClass, f.WireDiameter = rapid.SampledFrom(classes).Draw(t, "class"), rapid.SampledFrom(diameters).Draw(t, "diameter")
		}
		if maybe("machine?") {
			f.Machine = rapid.SampledFrom([]string{"Little RED", "old blue", "nobody's"}).Draw(t, "machine")
		}
		if maybe("state?") {
			f.State = rapid.SampledFrom([]string{red.State.ID, later.State.ID}).Draw(t, "state")
		}
		if maybe("steels?") {
			f.Steels = rapid.SliceOfN(rapid.SampledFrom(steels[1:]), 1, 2).Draw(t, "steels")
		}
		if maybe("rating?") {
			f.RatingMin = rapid.IntRange(0, 5).Draw(t, "min")
			if f.RatingMax = rapid.IntRange(0, 5).Draw(t, "max"); f.RatingMax > 0 {
				f.RatingMin = min(f.RatingMin, f.RatingMax)
			}
		}
		if maybe("symptom?") {
			f.Symptom = rapid.SampledFrom(symptoms).Draw(t, "symptom")
		}
		if maybe("since?") {
			f.Since = base.Add(time.Duration(rapid.IntRange(0, 20).Draw(t, "day")) * 24 * time.Hour).In(time.FixedZone("", 5*3600))
		}
		if maybe("until?") {
			f.Until = base.Add(time.Duration(rapid.IntRange(0, 20).Draw(t, "last day")) * 24 * time.Hour)
		}
		f.Struck = rapid.Bool().Draw(t, "struck")
		f.Limit = rapid.IntRange(0, 5).Draw(t, "limit")

		var want []procedures.Weld
		for _, w := range expected {
			if fits(f, w) && (f.Limit == 0 || len(want) < f.Limit) {
				want = append(want, w)
			}
		}
		got, err := n.Find(t.Context(), f)
		if err != nil {
			t.Fatal(err)
		}
		if diff := same(want, got); diff != "" {
			t.Fatalf("%+v (-want +got):\n%s", f, diff)
		}
		found += len(got)
	})
	if found == 0 {
		t.Error("no filter found anything: the test has shown nothing")
	}
}

func TestFindWords(t *testing.T) {
	n := fresh(t)
	spool := must(n.AddSpool(t.Context(), procedures.Spool{Name: "blue label", Wire: elevens().Wire}))(t)
	log := func(change func(*procedures.Weld)) {
		w := bead()
		w.Outcome.Symptoms, w.Said, w.Job.Said = nil, "", ""
		change(&w)
		must(n.AddWeld(t.Context(), w))(t)
	}
	log(func(w *procedures.Weld) { w.Outcome.Symptoms = []string{"porosity"} })
	log(func(w *procedures.Weld) {
		w.Job.Joint, w.Job.Position = procedures.Lap, procedures.VerticalUp
		w.Outcome.Note = "clean at last"
	})
	log(func(w *procedures.Weld) { w.Spool, w.Outcome.Note = spool.ID, "vertigo" })
	for _, c := range []struct {
		words, want string
	}{
		{"", "A3 A2 A1"},
		{"flux core", "A3 A2 A1"},
		{"flxu", "A3 A2 A1"},
		{"verticle", "A2"},
		{"vert", "A3 A2"},
		{"pinholes", "A1"},
		{"lap clean", "A2"},
		{"lap pinholes", ""},
		{"blue label", "A3"},
		{"a2", "A2"},
		{"1/8", "A3 A2 A1"},
		{"1/4", ""},
		{"0.035 tee", "A3 A1"},
	} {
		var marks []string
		for _, w := range must(n.Find(t.Context(), procedures.Filter{Words: c.words}))(t) {
			marks = append(marks, w.Mark)
		}
		if got := strings.Join(marks, " "); got != c.want {
			t.Errorf("%q finds %q, want %q", c.words, got, c.want)
		}
	}
	if list := must(n.Find(t.Context(), procedures.Filter{Words: "flux", Limit: 2, Joint: procedures.Tee}))(t); len(list) != 2 || list[0].Mark != "A3" {
		t.Errorf("%d found", len(list))
	}
	_, err := n.Find(t.Context(), procedures.Filter{RatingMin: 7})
	wantInvalid(t, err, "rating")
}

// TestHistory: all that stands, in the order of the ids, with its findings.
func TestHistory(t *testing.T) {
	n := fresh(t)
	if list := must(n.History(t.Context()))(t); len(list) != 0 {
		t.Errorf("%d welds in a new notebook", len(list))
	}
	ids := []string{"01900000-0000-7000-8000-000000000003", "01900000-0000-7000-8000-000000000001", "01900000-0000-7000-8000-000000000002"}
	for i, id := range ids {
		w := bead()
		w.ID = id
		w.Outcome.Symptoms = []string{"spatter", "crack", "porosity"}[i:]
		must(n.AddWeld(t.Context(), w))(t)
	}
	must(n.StrikeWeld(t.Context(), "A3", "why"))(t)
	list := must(n.History(t.Context()))(t)
	if len(list) != 2 || list[0].ID != ids[1] || list[1].ID != ids[0] {
		t.Fatalf("%+v", list)
	}
	if diff := same([]string{"crack", "porosity"}, list[0].Outcome.Symptoms) + same([]string{"spatter", "crack", "porosity"}, list[1].Outcome.Symptoms); diff != "" {
		t.Error(diff)
	}
}

// TestPast: the lean read says the same of everything that it reads.
func TestPast(t *testing.T) {
	n := open(t, written(t), store.Options{})
	whole, lean := must(n.History(t.Context()))(t), must(n.Past(t.Context()))(t)
	if len(whole) == 0 || len(whole) != len(lean) {
		t.Fatalf("%d welds and %d", len(whole), len(lean))
	}
	for i, w := range whole {
		l := lean[i]
		if l.ID != w.ID || l.Mark != w.Mark || !l.At.Equal(w.At) || l.Job.Thickness != w.Job.Thickness || l.Job.Wire != w.Job.Wire || l.Job.State != w.Job.State ||
			l.Settings.WireSpeed != w.Settings.WireSpeed || l.Outcome.Rating != w.Outcome.Rating || len(l.Outcome.Symptoms) != len(w.Outcome.Symptoms) || len(l.Outcome.Tests) != len(w.Outcome.Tests) {
			t.Errorf("%s: %+v, want %+v", w.Mark, l, w)
		}
		if l.Said != "" || l.Outcome.Note != "" {
			t.Errorf("%s: words were read", w.Mark)
		}
	}
}

// TestPastHow: how each value was got is read where a mark of the knob was noted,
// and only there.
func TestPastHow(t *testing.T) {
	n := fresh(t)
	for _, how := range []procedures.How{procedures.Measured, procedures.Guessed, procedures.Measured, ""} {
		w := bead()
		w.Settings.How = map[string]procedures.How{"wire_speed_m_min": how, "tap": procedures.Guessed}
		if how == "" {
			w.Settings.How = nil
		}
		must(n.AddWeld(t.Context(), w))(t)
		w.Settings.Knob = nil
		must(n.AddWeld(t.Context(), w))(t)
	}
	whole, lean := must(n.History(t.Context()))(t), must(n.Past(t.Context()))(t)
	for i, w := range whole {
		want := w.Settings.How
		if w.Settings.Knob == nil {
			want = nil
		}
		if diff := same(want, lean[i].Settings.How); diff != "" {
			t.Errorf("%s (-want +got):\n%s", w.Mark, diff)
		}
	}
	if len(lean) != 8 || lean[0].Settings.How["wire_speed_m_min"] != procedures.Measured {
		t.Errorf("%d welds, the first got by %v", len(lean), lean[0].Settings.How)
	}
}

func TestFindSpool(t *testing.T) {
	n := fresh(t)
	one := must(n.AddSpool(t.Context(), elevens()))(t)
	s := elevens()
	s.Name = "another"
	two := must(n.AddSpool(t.Context(), s))(t)
	for _, spool := range []string{one.ID, two.ID, "", one.ID} {
		w := bead()
		w.Spool = spool
		must(n.AddWeld(t.Context(), w))(t)
	}
	var found []string
	for _, w := range must(n.Find(t.Context(), procedures.Filter{Spool: one.ID}))(t) {
		found = append(found, w.Mark)
	}
	if diff := same([]string{"A4", "A1"}, found); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}
