package store_test

import (
	"cmp"
	"path/filepath"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"beadwright/procedures"
	"beadwright/procedures/store"
)

// TestPastTexts holds the texts to Find: whoever looks through them for words finds
// the same welds in the same order.
func TestPastTexts(t *testing.T) {
	path := filepath.Join(t.TempDir(), "notebook.db")
	shopYears(t, path, 400)
	n := open(t, path, store.Options{})
	must(n.StrikeWeld(t.Context(), markOf(17), "wrong coupon"))(t)
	news, err := n.PastSince(t.Context(), store.Version{})
	list, texts := news.Welds, news.Texts
	if err != nil || !news.Whole || len(list) != 399 || len(texts) != len(list) {
		t.Fatalf("%d welds, %d texts, whole %v, %v", len(list), len(texts), news.Whole, err)
	}
	if diff := same(must(n.Past(t.Context()))(t), list); diff != "" {
		t.Errorf("the welds are not those of Past:\n%s", diff)
	}
	w := bead()
	w.Outcome.Note = "wobbly fender"
	must(n.AddWeld(t.Context(), w))(t)
	_, _, err = n.AmendWeld(t.Context(), markOf(9), func(w *procedures.Weld) error { w.Outcome.Note = "crooked mailbox"; return nil })
	if err != nil {
		t.Fatal(err)
	}
	more, err := n.PastSince(t.Context(), news.Version)
	if err != nil || more.Whole || len(more.Welds) != 2 || len(more.Texts) != 2 || more.Welds[0].Mark != markOf(9) {
		t.Fatalf("after one more and one amended: %d welds, %d texts, whole %v, %v", len(more.Welds), len(more.Texts), more.Whole, err)
	}
	list, texts = append(list, more.Welds[1]), append(texts, more.Texts[1])
	var c procedures.Concordance
	for _, text := range texts {
		c.Add(text)
	}
	c.Set(slices.IndexFunc(list, func(w procedures.Weld) bool { return w.Mark == markOf(9) }), more.Texts[0])
	asked := []string{"gate", "hinge", "gat", "hinje", "1/8", "tee", "shed", "reel", "2", "spater", "spatter", "broke", "held", "wobbly", "fender", "crooked", "mailbox", "flux-core", "vertical", "e71t", "16ga", "0.035", "caster", "bracket", "bend", markOf(3), markOf(9), markOf(17)}
	rapid.Check(t, func(rt *rapid.T) {
		words := ""
		for _, word := range rapid.SliceOfN(rapid.SampledFrom(asked), 1, 3).Draw(rt, "words") {
			words += " " + word
		}
		var found []int
		scores := c.Scores(words)
		for i, score := range scores {
			if score >= 0 {
				found = append(found, i)
			}
		}
		slices.SortFunc(found, func(i, j int) int {
			return cmp.Or(cmp.Compare(scores[j], scores[i]), list[j].At.Compare(list[i].At), cmp.Compare(j, i))
		})
		got := make([]string, len(found))
		for k, i := range found {
			got[k] = list[i].Mark
		}
		want := make([]string, 0)
		for _, w := range must(n.Find(t.Context(), procedures.Filter{Words: words}))(t) {
			want = append(want, w.Mark)
		}
		if diff := same(want, got); diff != "" {
			rt.Fatalf("%q (-Find +texts):\n%s", words, diff)
		}
	})
}
