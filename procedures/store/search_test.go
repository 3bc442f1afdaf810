package store_test

import (
	"fmt"
	"path/filepath"
	"testing"

	"beadwright/procedures"
	"beadwright/procedures/store"
)

// TestSearchIsRank: a search by words finds what Rank finds in the texts of all the
// welds, in its order, though it never makes these texts; and the screenful and the
// number of all agree.
func TestSearchIsRank(t *testing.T) {
	path := filepath.Join(t.TempDir(), "notebook.db")
	shopYears(t, path, 400)
	n := open(t, path, store.Options{})
	spool := must(n.AddSpool(t.Context(), procedures.Spool{Name: "odd-lot Übrig", Wire: procedures.Wire{Class: "E71T-GS", Diameter: procedures.Inches(0.030)}, Grams: 450}))(t)
	for i := range 40 {
		w := bead()
		w.Job.OtherThickness, w.Job.OtherSaid = procedures.Inches(0.25), "1/4"
		w.Job.Form, w.Job.Coating, w.Job.Stripped = procedures.Tube, procedures.Galvanized, true
		w.Spool, w.Job.Wire.Gas, w.Settings.Technique = spool.ID, "", "drag, 10 deg"
		w.Said, w.Outcome.Note = fmt.Sprintf("flux-core\tNo. %d, (odd)", i), "naïve \"try\" it's .023"
		w.Outcome.Symptoms = procedures.SymptomKeys()[i%5 : i%5+i%3]
		w = must(n.AddWeld(t.Context(), w))(t)
		if i%9 == 0 {
			must(n.StrikeWeld(t.Context(), w.Mark, "wrong coupon"))(t)
		}
	}
	names := map[string]string{}
	for _, s := range must(n.Spools(t.Context()))(t) {
		names[s.ID] = s.Name
	}
	all := must(n.Find(t.Context(), procedures.Filter{}))(t)
	texts := make([]string, len(all))
	for i, w := range all {
		texts[i] = procedures.Text(w) + " " + names[w.Spool]
	}
	found := 0
	for _, words := range []string{
		"hinge", "bracket cart", "hnge", "vrtcl", "vertical-up", "vertical up quiet", "flux-core", "fluxcore", "E71T-11", "e71t-gs", "spatter", "undercut gate", "3.2mm", "1/8", ".023", "odd",
		"odd-lot", "übrig", "held", "bend", "shed", "A7", "no such word", "gasless 114", "naive", "drag 10", "steady-hand", "quiet-arc", "?!",
	} {
		var want, got []string
		for _, m := range procedures.Rank(words, texts) {
			want = append(want, all[m.Index].Mark)
		}
		list, total, err := n.Page(t.Context(), procedures.Filter{Words: words}, false)
		if err != nil {
			t.Fatal(err)
		}
		for _, w := range list {
			got = append(got, w.Mark)
		}
		if diff := same(want, got); diff != "" || total != len(want) {
			t.Errorf("%q: %d found, want %d (-want +got):\n%s", words, total, len(want), diff)
		}
		found += total
		some, total, err := n.Page(t.Context(), procedures.Filter{Words: words, Limit: 7}, true)
		if err != nil || total != len(want) || same(list[:min(7, len(list))], some) != "" {
			t.Errorf("%q: %d of %d, want %d: %v", words, len(some), total, len(want), err)
		}
	}
	if found < 1000 {
		t.Errorf("only %d found in all", found)
	}
}
