package store_test

import (
	"context"
	"fmt"
	"math/rand/v2"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"beadwright/procedures"
	"beadwright/procedures/store"
)

// copyOf closes a notebook's file over to another.
func copyOf(t testing.TB, path string) string {
	t.Helper()
	to := filepath.Join(t.TempDir(), "copy.db")
	n := open(t, path, store.Options{})
	if _, err := n.Backup(context.Background(), to, false); err != nil {
		t.Fatal(err)
	}
	return to
}

// shop makes a notebook that two people then go on with apart.
func shop(t testing.TB) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "shop.db")
	ctx := context.Background()
	n := open(t, path, store.Options{Now: clock(time.Date(2026, 3, 1, 8, 0, 0, 0, time.UTC))})
	must(n.AddMachine(ctx, littleRed()))(t)
	must(n.AddSpool(ctx, elevens()))(t)
	for i := range 20 {
		w := bead()
		w.Job.Machine, w.Outcome.Rating = "little red", procedures.Count(i%5+1)
		must(n.AddWeld(ctx, w))(t)
	}
	must(n.AddRunOuts(ctx, "", []procedures.RunOut{ran(2), ran(5)}))(t)
	must(n.AddProcedure(ctx, procedures.Procedure{Name: "shelf", Revision: 1, Job: procedures.Job{Machine: "little red"}, From: []string{"A5"}}))(t)
	if err := n.Close(); err != nil {
		t.Fatal(err)
	}
	return path
}

// apart goes on with a copy of the notebook: so many welds, and something of
// everything that two people can say differently.
func apart(t testing.TB, path string, welds int, seed uint64, start time.Time) {
	t.Helper()
	ctx := context.Background()
	lots := rand.New(rand.NewPCG(seed, 1))
	n := open(t, path, store.Options{Now: clock(start)})
	var sheet []procedures.Weld
	for i := range welds {
		w := bead()
		w.Job.Machine, w.Outcome.Rating = "little red", procedures.Count(lots.IntN(5)+1)
		w.Said = fmt.Sprintf("%d of hand %d", i, seed)
		sheet = append(sheet, w)
	}
	must(n.AddWelds(ctx, sheet))(t)
	amend := func(mark string, change func(*procedures.Weld)) {
		if _, _, err := n.AmendWeld(ctx, mark, func(w *procedures.Weld) error { change(w); return nil }); err != nil {
			t.Fatal(err)
		}
	}
	for i := range 12 { // of the 20 that both have
		amend(fmt.Sprintf("A%d", i+1+int(seed)%3*4), func(w *procedures.Weld) {
			w.Outcome.Rating = procedures.Count(lots.IntN(5) + 1)
			w.Outcome.Symptoms = append(w.Outcome.Symptoms[:0:0], procedures.SymptomKeys()[lots.IntN(12)])
			w.Outcome.Note = fmt.Sprintf("looked again, hand %d", seed)
		})
	}
	must(n.StrikeWeld(ctx, "A2", fmt.Sprintf("reason %d", seed)))(t)
	must(n.StrikeWeld(ctx, fmt.Sprintf("A%d", 10+seed), "wrong plate"))(t)
	must(n.AddRunOuts(ctx, "", []procedures.RunOut{ran(3), ran(4), ran(6)}))(t)
	must(n.AddMeasurements(ctx, "", []procedures.Measurement{{Kind: procedures.TipNew}, {Kind: procedures.SpoolWeight, Spool: elevens().Name, Value: 400 + float64(seed)}}))(t)
	if err := n.StrikeRunOut(ctx, "", 1, fmt.Sprintf("clamp on, hand %d", seed)); err != nil {
		t.Fatal(err)
	}
	must(n.ChangeMachine(ctx, "little red", fmt.Sprintf("rectifier of hand %d", seed), procedures.Output, procedures.DCEN, true))(t)
	must(n.SetRebuild(ctx, "", procedures.Rebuild{ACVolts: 23, Farads: 0.06, Capacitors: 6}))(t)
	must(n.ChangeMachine(ctx, "little red", fmt.Sprintf("liner of hand %d", seed), procedures.Feed, "", false))(t)
	if _, _, err := n.SetMachine(ctx, "", func(m *procedures.Machine) error {
		m.Note, m.Breaker = fmt.Sprintf("note of hand %d", seed), procedures.Amps(15+5*float64(seed%2))
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	must(n.AddMachine(ctx, procedures.Machine{Name: "Shed", Output: procedures.DC, Note: fmt.Sprint(seed)}))(t)
	must(n.AddSpool(ctx, procedures.Spool{Name: "new one", Wire: elevens().Wire, Grams: procedures.Grams(500 + seed)}))(t)
	w := bead()
	w.Job.Machine, w.Spool = "shed", "new one"
	must(n.AddWeld(ctx, w))(t)
	must(n.AddProcedure(ctx, procedures.Procedure{Name: "Shelf", Revision: 2, Why: fmt.Sprint(seed), Job: procedures.Job{Machine: "little red"}, From: []string{"A5", "A6"}}))(t)
	must(n.AddProcedure(ctx, procedures.Procedure{Name: "lap", Revision: 1, Why: fmt.Sprint(seed), Job: procedures.Job{Machine: "shed"}, From: []string{"B1"}}))(t)
	must(n.AddFollowUp(ctx, procedures.FollowUp{Weld: "A6", Held: seed%2 == 0, Note: "seen"}))(t)
	must(n.AddArc(ctx, "little red", start.Add(time.Minute), start.Add(90*time.Second)))(t)
	must(n.AddCutOut(ctx, "little red", procedures.CutOut{Used: 100}))(t)
	must(n.SaveSuggestion(ctx, store.Suggestion{Verdict: "inside", Job: procedures.Job{Machine: "shed"}}))(t)
	if err := n.Close(); err != nil {
		t.Fatal(err)
	}
}

var idOf = regexp.MustCompile(`"id":"([0-9a-f-]{36})"`)

// TestMerge: two notebooks that went on apart for 500 welds each are put
// together, in either order, and come out the same, with all that either had.
func TestMerge(t *testing.T) {
	if racing {
		t.Skip("the race detector looks on, and one goroutine cannot race")
	}
	base := shop(t)
	a, b := copyOf(t, base), copyOf(t, base)
	apart(t, a, 500, 1, time.Date(2026, 3, 2, 9, 0, 0, 0, time.UTC))
	apart(t, b, 500, 2, time.Date(2026, 3, 2, 9, 0, 30, 0, time.UTC))
	ofA, ofB := exported(t, open(t, a, store.Options{})), exported(t, open(t, b, store.Options{}))

	intoA, intoB := open(t, copyOf(t, a), store.Options{}), open(t, copyOf(t, b), store.Options{})
	followed := must(intoA.LastSuggestion(t.Context()))(t).ID
	ra, rb := imported(t, intoA, ofB), imported(t, intoB, ofA)
	if now := must(intoA.LastSuggestion(t.Context()))(t).ID; now != followed {
		t.Error("the next log would follow a suggestion of the other notebook")
	}
	ab, ba := exported(t, intoA), exported(t, intoB)
	if diff := same(strings.Split(ab, "\n"), strings.Split(ba, "\n")); diff != "" {
		t.Errorf("the order makes a difference (-B into A +A into B):\n%s", diff)
	}
	empty := fresh(t)
	imported(t, empty, ofB)
	imported(t, empty, ofA)
	if diff := same(strings.Split(ab, "\n"), strings.Split(exported(t, empty), "\n")); diff != "" {
		t.Errorf("into an empty notebook it comes out otherwise:\n%s", diff)
	}
	for _, file := range []string{ofA, ofB} {
		for _, m := range idOf.FindAllStringSubmatch(file, -1) {
			if !strings.Contains(ab, m[0]) {
				t.Errorf("%s was lost", m[1])
			}
		}
	}
	for name, n := range map[string]*store.Notebook{"A": intoA, "B": intoB} {
		before := exported(t, n)
		for _, file := range []string{ofA, ofB, ab, ba} {
			if r := imported(t, n, file); r.Changes() {
				t.Errorf("%s: a file that is in it already changed something: %+v", name, r.Kinds)
			}
		}
		if exported(t, n) != before {
			t.Errorf("%s: not the same after the same files again", name)
		}
		if wrong := must(n.Check(context.Background()))(t); len(wrong) > 0 {
			t.Errorf("%s: %v", name, wrong)
		}
	}
	if len(ra.Conflicts) == 0 || len(rb.Conflicts) == 0 {
		t.Error("no conflict was listed")
	}
	conflicts := func(r store.Report) (list []string) {
		for _, c := range r.Conflicts {
			list = append(list, fmt.Sprint(c))
		}
		slices.Sort(list)
		return list
	}
	if diff := same(conflicts(ra), conflicts(rb)); diff != "" {
		t.Errorf("the two list other conflicts:\n%s", diff)
	}
	keepsMarks(t, ra, ofA, ofB)
}

// keepsMarks: where both gave out one mark, the side with the older weld keeps all
// of its own, and the other's old marks are in the history.
func keepsMarks(t *testing.T, r store.Report, ofA, ofB string) {
	t.Helper()
	moved, here := 0, 0
	for _, c := range r.Renamed {
		if c.What != "mark" {
			continue
		}
		moved++
		if c.Here {
			here++
		}
	}
	if moved != 501 || here != 0 && here != moved {
		t.Errorf("%d marks were given anew, %d of them of this notebook; want the 501 of one side", moved, here)
	}
}

// TestMergeAmendments: of two amendments of one field the later stands and both
// stay; the same field amended on one side only is taken; struck wins.
func TestMergeAmendments(t *testing.T) {
	base := shop(t)
	a, b := copyOf(t, base), copyOf(t, base)
	ctx := context.Background()
	day := time.Date(2026, 3, 5, 9, 0, 0, 0, time.UTC)
	rate := func(path, mark string, at time.Time, rating procedures.Count) {
		n := open(t, path, store.Options{Now: func() time.Time { return at }})
		if _, _, err := n.AmendWeld(ctx, mark, func(w *procedures.Weld) error { w.Outcome.Rating = rating; return nil }); err != nil {
			t.Fatal(err)
		}
		if err := n.Close(); err != nil {
			t.Fatal(err)
		}
	}
	rate(a, "A1", day, 5)                // was 1; B says 3 an hour later
	rate(b, "A1", day.Add(time.Hour), 3) //
	rate(a, "A2", day.Add(time.Hour), 5) // was 2; B says 4 before that
	rate(b, "A2", day, 4)                //
	rate(a, "A3", day, 5)                // was 3; B says nothing
	rate(b, "A4", day, 1)                // was 4; A says nothing
	nb := open(t, b, store.Options{})
	must(nb.StrikeWeld(ctx, "A3", "bad wire"))(t)
	na := open(t, a, store.Options{})
	r := imported(t, na, exported(t, nb))
	for mark, want := range map[string]procedures.Count{"A1": 3, "A2": 5, "A3": 5, "A4": 1} {
		w, amended, err := na.Weld(ctx, mark)
		if err != nil {
			t.Fatal(err)
		}
		if w.Outcome.Rating != want {
			t.Errorf("%s: rating %d, want %d", mark, w.Outcome.Rating, want)
		}
		if wantKept := map[string]int{"A1": 2, "A2": 2, "A3": 1, "A4": 1}[mark]; len(amended) != wantKept {
			t.Errorf("%s: %d amendments, want %d: %v", mark, len(amended), wantKept, amended)
		}
		if (w.Struck != "") != (mark == "A3") {
			t.Errorf("%s: struck %q", mark, w.Struck)
		}
	}
	want := []store.Conflict{{Record: "weld A1", Field: "outcome.rating", Stands: "3", Kept: "5"}, {Record: "weld A2", Field: "outcome.rating", Stands: "5", Kept: "4"}}
	if diff := same(want, r.Conflicts); diff != "" {
		t.Errorf("conflicts (-want +got):\n%s", diff)
	}
}

// TestMergePutBack: a withdrawal that one side has put back is gone in both, one that
// it has not seen stands, whichever is put into which.
func TestMergePutBack(t *testing.T) {
	ctx := context.Background()
	strike := func(n *store.Notebook, mark, why string) { t.Helper(); must(n.StrikeWeld(ctx, mark, why))(t) }
	back := func(n *store.Notebook, mark string) {
		t.Helper()
		if _, _, err := n.PutBack(ctx, mark); err != nil {
			t.Fatal(err)
		}
	}
	base := shop(t)
	nb := open(t, base, store.Options{Now: clock(time.Date(2026, 3, 2, 8, 0, 0, 0, time.UTC))})
	for _, mark := range []string{"A1", "A2", "A3", "A4"} {
		strike(nb, mark, "wrong plate")
	}
	if err := nb.Close(); err != nil {
		t.Fatal(err)
	}
	one, two := copyOf(t, base), copyOf(t, base)
	a := open(t, one, store.Options{Now: clock(time.Date(2026, 3, 3, 8, 0, 0, 0, time.UTC))})
	b := open(t, two, store.Options{Now: clock(time.Date(2026, 3, 3, 8, 0, 30, 0, time.UTC))})
	back(a, "A1") // and B does nothing
	back(a, "A2") // and strikes it again
	strike(a, "A2", "bad wire")
	back(a, "A3") // and so does B, to strike it again for a reason that A knows nothing of
	back(b, "A3")
	strike(b, "A3", "not mine")
	back(a, "A4") // and so does B
	back(b, "A4")
	strike(a, "A5", "clamp off") // struck and put back by A; struck by B, and A knows nothing of it
	back(a, "A5")
	strike(b, "A5", "wind")
	ofA, ofB := exported(t, a), exported(t, b)
	imported(t, a, ofB)
	imported(t, b, ofA)
	if diff := same(strings.Split(exported(t, a), "\n"), strings.Split(exported(t, b), "\n")); diff != "" {
		t.Errorf("the order makes a difference (-B into A +A into B):\n%s", diff)
	}
	for mark, want := range map[string]string{"A1": "", "A2": "bad wire", "A3": "not mine", "A4": "", "A5": "wind"} {
		if w, _, err := a.Weld(ctx, mark); err != nil || w.Struck != want {
			t.Errorf("%s: %v, struck %q, want %q", mark, err, w.Struck, want)
		}
	}
	for _, file := range []string{ofA, ofB} {
		if r := imported(t, a, file); r.Changes() {
			t.Errorf("a file that is in it already changed something: %+v", r.Kinds)
		}
	}
}

// TestMergeRefuses: a file that says something else of a record, with no
// amendment that tells why, is refused at its line and column, and nothing of it
// is taken.
func TestMergeRefuses(t *testing.T) {
	path := shop(t)
	n := open(t, path, store.Options{})
	file := exported(t, n)
	for name, change := range map[string][2]string{
		"another rating":      {`"rating":5`, `"rating":4`},
		"another thickness":   {`"thickness_mm":3.175`, `"thickness_mm":6.35`},
		"a state that is not": {`"state":"0`, `"state":"1`},
		"a spool twice":       {`"kind":"spool"`, `"kind":"machine"`},
		"another run-out":     {`"mark":2,"length_mm":1067`, `"mark":3,"length_mm":1067`},
	} {
		t.Run(name, func(t *testing.T) {
			bad := strings.Replace(file, change[0], change[1], 1)
			if bad == file {
				t.Fatalf("no %s in it", change[0])
			}
			refused(t, n, bad)
			if exported(t, n) != file {
				t.Error("something of it was taken")
			}
		})
	}
}
