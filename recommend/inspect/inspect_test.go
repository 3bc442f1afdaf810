package inspect

import (
	"errors"
	"slices"
	"strings"
	"testing"
	"time"

	"beadwright/data"
	"beadwright/procedures"
)

func fillet() procedures.Weld {
	return procedures.Weld{Job: procedures.Job{Thickness: procedures.Inches(1. / 8), Joint: procedures.Tee, Weld: procedures.Fillet, Position: procedures.Flat, Process: procedures.FCAWS}, Settings: procedures.Settings{Leg: procedures.Inches(1. / 8)}}
}

// said answers from words by key; what is not there is an error.
func said(answers string) func(Question) (bool, error) {
	m := map[string]bool{}
	for _, a := range strings.Fields(answers) {
		key, word, _ := strings.Cut(a, "=")
		m[key] = word == "yes"
	}
	return func(q Question) (bool, error) {
		yes, ok := m[q.Key]
		if !ok {
			return false, errors.New("not asked for: " + q.Key)
		}
		return yes, nil
	}
}

// TestVerdicts plays tests by the criteria of AWS D1.1:2010 4.31.4.1 and 4.8.3.3.
func TestVerdicts(t *testing.T) {
	for _, c := range []struct{ kind, answers, want string }{
		{"break", "edge=yes", "failed straight edge"},
		{"break", "edge=no folded=yes", "passed folded"},
		{"break", "edge=no folded=no parent=yes", "passed tore parent"},
		{"break", "edge=no folded=no parent=no fused=no", "failed not fused"},
		{"break", "edge=no folded=no parent=no fused=yes hole=yes", "failed holes"},
		{"break", "edge=no folded=no parent=no fused=yes hole=no sum=yes", "failed holes"},
		{"break", "edge=no folded=no parent=no fused=yes hole=no sum=no", "passed fused to the root"},
		{"bend", "broke=yes", "failed broke"},
		{"bend", "broke=no crack=yes", "failed cracked"},
		{"bend", "broke=no crack=no sum=yes", "failed cracked"},
		{"bend", "broke=no crack=no sum=no corner=no", "passed held"},
		{"bend", "broke=no crack=no sum=no corner=yes flaw=yes", "failed cracked"},
		{"bend", "broke=no crack=no sum=no corner=yes flaw=no long=no", "passed held"},
		{"bend", "broke=no crack=no sum=no corner=yes flaw=no long=yes", "again"},
		{"etch", "crack=yes", "failed cracked"}, {"etch", "crack=no root=no", "failed not fused"}, {"etch", "crack=no root=yes layers=yes", "failed slag"},
		{"etch", "crack=no root=yes layers=no leg=no", "failed failed"}, {"etch", "crack=no root=yes layers=no leg=yes", "passed fused"},
		{"peel", "clean=yes", "failed peeled clean"}, {"peel", "clean=no tore=yes", "passed tore parent"}, {"peel", "clean=no tore=no", "failed peeled"},
	} {
		test, err := TestFor(c.kind, fillet(), procedures.US)
		if err != nil {
			t.Fatal(err)
		}
		v, answers, err := test.Ask(Sizes{}, procedures.US, said(c.answers))
		got := "failed " + v.Result
		switch {
		case v.Again:
			got = "again"
		case v.Passed:
			got = "passed " + v.Result
		}
		if err != nil || got != c.want || len(answers) != len(strings.Fields(c.answers)) {
			t.Errorf("%s %s: %s after %d answers (%v), want %s", c.kind, c.answers, got, len(answers), err, c.want)
		}
	}
}

// TestSizes: measured sizes answer; a reading at a limit passes, and the sum of
// less than 6 in is held against as much less of the limit.
func TestSizes(t *testing.T) {
	in := func(sizes ...float64) (list []procedures.MM) {
		for _, s := range sizes {
			list = append(list, procedures.Inches(s))
		}
		return list
	}
	const broken, bent = "edge=no folded=no parent=no fused=yes", "broke=no"
	for _, c := range []struct {
		kind, answers string
		sizes         Sizes
		want          string
	}{
		{"break", broken, Sizes{Holes: in(3. / 32)}, "fused to the root"},
		{"break", broken, Sizes{Holes: in(7. / 64)}, "holes"},
		{"break", broken, Sizes{Holes: in(3./32, 3./32, 3./32, 3./32)}, "fused to the root"}, // 3/8 in all, in 6 in
		{"break", broken, Sizes{Holes: in(3./32, 3./32, 3./32, 3./32, 1./64)}, "holes"},
		{"break", broken, Sizes{Holes: in(1./16, 3./32, 3./32), Length: procedures.Inches(4)}, "fused to the root"}, // 1/4 in all, in 4 in
		{"break", broken, Sizes{Holes: in(1./16, 3./32, 3./32, 1./64), Length: procedures.Inches(4)}, "holes"},
		{"break", broken, Sizes{Holes: in(3./32, 3./32, 3./32, 3./32, 1./64), Length: procedures.Inches(12)}, "holes"}, // no more for longer
		{"break", broken, Sizes{Holes: in(3. / 32), Length: procedures.Inches(1)}, "holes"},
		{"break", broken, Sizes{Holes: in(3./32, 3./32), Length: procedures.Inches(0.05)}, "holes"},
		{"bend", bent + " corner=no", Sizes{Cracks: in(1. / 8)}, "held"}, {"bend", bent, Sizes{Cracks: in(9. / 64)}, "cracked"},
		{"bend", bent + " corner=no", Sizes{Cracks: in(1./8, 1./8, 1./8)}, "held"}, {"bend", bent, Sizes{Cracks: in(1./8, 1./8, 1./8, 1./32)}, "cracked"},
		{"bend", bent + " corner=no", Sizes{Cracks: in(1./8, 1./8, 1./8, 1./64)}, "held"}, // below 1/32 in nothing is counted
		{"bend", bent + " crack=no sum=no", Sizes{Corners: in(1. / 8)}, "held"},
		{"bend", bent + " crack=no sum=no flaw=no", Sizes{Corners: in(1. / 4)}, "held"},
		{"bend", bent + " crack=no sum=no flaw=no", Sizes{Corners: in(17. / 64)}, ""},
		{"bend", bent + " crack=no sum=no flaw=yes", Sizes{Corners: in(9. / 64)}, "cracked"},
	} {
		test, err := TestFor(c.kind, fillet(), procedures.US)
		if err != nil {
			t.Fatal(err)
		}
		v, _, err := test.Ask(c.sizes, procedures.US, said(c.answers))
		if err != nil || v.Result != c.want {
			t.Errorf("%s %+v: %q (%v), want %q", c.kind, c.sizes, v.Result, err, c.want)
		}
	}
}

// TestEveryWay goes through every row of answers to every test: each comes to a
// verdict, in words that a log entry knows and reads the same way.
func TestEveryWay(t *testing.T) {
	for _, kind := range procedures.TestKinds() {
		test, err := TestFor(kind, fillet(), procedures.US)
		if err != nil {
			t.Fatal(err)
		}
		questions := test.Questions()
		for bits := range 1 << len(questions) {
			v, _, err := test.Ask(Sizes{}, procedures.US, func(q Question) (bool, error) {
				i := slices.IndexFunc(questions, func(o Question) bool { return o.Key == q.Key })
				return bits>>i&1 == 1, nil
			})
			switch {
			case err != nil:
				t.Errorf("%s, answers %b: %v", kind, bits, err)
			case v.Again:
				if v.Passed || v.Result != "" {
					t.Errorf("%s, answers %b: %+v", kind, bits, v)
				}
			default:
				if read, err := procedures.ParseTest(kind + "=" + v.Result); err != nil || read.Passed != v.Passed {
					t.Errorf("%s=%s is read as %v (%v), and the verdict is %v", kind, v.Result, read.Passed, err, v.Passed)
				}
			}
		}
	}
	if _, err := TestFor("sniff", fillet(), procedures.US); err == nil {
		t.Error("there is a sniff test")
	}
}

// TestStraightEdgeAlwaysFails: folded or not, whatever else was seen.
func TestStraightEdgeAlwaysFails(t *testing.T) {
	test, err := TestFor("break", fillet(), procedures.US)
	if err != nil {
		t.Fatal(err)
	}
	v, _, err := test.Ask(Sizes{Holes: []procedures.MM{0.1}}, procedures.US, said("edge=yes folded=yes parent=yes fused=yes hole=no sum=no"))
	if err != nil || v.Passed || v.Result != "straight edge" {
		t.Errorf("%+v, %v", v, err)
	}
}

// TestEditionsAreNamed: each question has sources, and those of D1.1 their edition.
func TestEditionsAreNamed(t *testing.T) {
	var all []Question
	for _, kind := range procedures.TestKinds() {
		test, err := TestFor(kind, fillet(), procedures.Metric)
		if err != nil {
			t.Fatal(err)
		}
		if len(test.Do) < 2 {
			t.Errorf("%s: no steps", kind)
		}
		all = append(all, test.Questions()...)
	}
	for _, s := range LookAt(fillet().Job, procedures.US) {
		all = append(all, s.Question)
	}
	for _, q := range all {
		if len(q.Source) == 0 || !strings.HasSuffix(strings.TrimSuffix(q.Text, " (One pass: no.)"), "?") || strings.Contains(q.Text, "%!") {
			t.Errorf("%s: %q %v", q.Key, q.Text, q.Source)
		}
		for _, id := range q.Source {
			if s, ok := data.Sources()[id]; !ok || strings.HasPrefix(id, "AC-") && s.Edition == "" {
				t.Errorf("%s: source %q names no edition", q.Key, id)
			}
		}
	}
}

func TestLook(t *testing.T) {
	const good = "crack=no undercut=no fusion=no crater=yes holes=no rope=no skin=no slag=no back=yes through=no"
	for _, c := range []struct {
		change, symptoms string
		want             Grade
	}{
		{"", "", Go}, {"crack=yes", "crack", No}, {"undercut=yes", "undercut", Closer}, {"fusion=yes", "overlap", No}, {"crater=no", "crater", No},
		{"holes=yes", "porosity", Closer}, {"rope=yes skin=yes", "cold-bead narrow", Closer}, {"slag=yes", "stuck-slag", Closer}, {"back=no", "", Closer}, {"through=yes", "burn-through", No},
		{"crack=yes holes=yes", "crack porosity", No}, {"holes=yes through=yes", "porosity burn-through", No},
	} {
		sights := LookAt(fillet().Job, procedures.US)
		ask := said(good + " " + c.change)
		l, err := Look(sights, func(q Question, _ bool) (bool, error) { return ask(q) })
		if err != nil || l.Grade != c.want || strings.Join(Symptoms(l.Found), " ") != c.symptoms || len(l.Answers) != len(sights) || len(l.Open) != 0 {
			t.Errorf("%s: %+v (%v), want %s, %s", c.change, l, err, c.want, c.symptoms)
		}
		for _, f := range l.Found {
			if _, ok := procedures.FindSymptom(f.Symptom); !ok && f.Symptom != "" {
				t.Errorf("%s: no symptom %q", f.Key, f.Symptom)
			}
		}
	}
	thick := fillet().Job
	thick.Thickness = 6.35
	for _, s := range LookAt(thick, procedures.US) {
		if s.Key == "back" || s.Key == "through" {
			t.Errorf("a 1/4 in plate is asked for its back: %s", s.Text)
		}
	}
}

// TestLookStops: what comes to a no decides at once, what was said besides is kept,
// and without it an unanswered question leaves no go.
func TestLookStops(t *testing.T) {
	sights := LookAt(fillet().Job, procedures.US)
	for _, c := range []struct {
		said, symptoms string
		want           Grade
		asked          int // before it was decided, the open ones among them
	}{
		{"crack=yes", "crack", No, 1}, {"crack=yes holes=yes", "crack porosity", No, 1}, {"crack=no undercut=yes", "undercut", Closer, 10},
		{"crack=no fusion=yes", "overlap", No, 3}, {"crack=no undercut=no", "", "", 10}, {"", "", "", 10},
	} {
		answer, asked := map[string]bool{}, 0
		for _, w := range strings.Fields(c.said) {
			key, word, _ := strings.Cut(w, "=")
			answer[key] = word == "yes"
		}
		l, err := Look(sights, func(q Question, decided bool) (bool, error) {
			if !decided {
				asked++
			}
			yes, ok := answer[q.Key]
			if !ok {
				return false, ErrNotSaid
			}
			return yes, nil
		})
		if err != nil || l.Grade != c.want || strings.Join(Symptoms(l.Found), " ") != c.symptoms || asked != c.asked || len(l.Answers)+len(l.Open) != len(sights) {
			t.Errorf("%q: %+v, %d asked (%v), want %s, %s, %d", c.said, l, asked, err, c.want, c.symptoms, c.asked)
		}
	}
	if got := AllGood(sights); got != "no no no yes no no no no yes no" {
		t.Errorf("all good: %s", got)
	}
}

// TestOutweighs: what a look cannot take back.
func TestOutweighs(t *testing.T) {
	w := fillet()
	w.Outcome.Tests = []procedures.Test{{Kind: "bend", Passed: true, Result: "held"}}
	if got := Outweighs(w); got != "" {
		t.Errorf("a pass outweighs looks: %s", got)
	}
	w.Outcome.Tests = append(w.Outcome.Tests, procedures.Test{Kind: "break", Result: "holes"})
	w.Outcome.FailedInUse = time.Date(2026, 9, 12, 12, 0, 0, 0, time.Local)
	if got := Outweighs(w); got != "its break test FAILED (holes) and it FAILED IN USE 2026-09-12" {
		t.Errorf("outweighs: %s", got)
	}
}
