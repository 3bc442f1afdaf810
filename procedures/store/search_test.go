package store_test

import (
	"fmt"
	"math/rand/v2"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"

	"beadwright/procedures"
	"beadwright/procedures/store"
)

// TestSearchIsRank: a search by words finds what Rank finds in the texts of all the
// welds, in its order, though it never makes these texts; and the screenful and the
// number of all agree. There are enough welds for several transactions to look
// through them.
func TestSearchIsRank(t *testing.T) {
	path := filepath.Join(t.TempDir(), "notebook.db")
	shopYears(t, path, 4500)
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
	for i, mark := range []string{"A3", "B40", "AT45", "AS1"} { // weld 1, in the midst, and the last of shopYears
		if _, _, err := n.AmendWeld(t.Context(), mark, func(w *procedures.Weld) error {
			w.Outcome.Note, w.Job.For, w.Outcome.Symptoms = fmt.Sprint("amended gate ", i), "ferret cage", []string{"undercut", "porosity"}
			return nil
		}); err != nil {
			t.Fatal(err)
		}
	}
	for _, mark := range []string{"C9", "D77", "AT2"} {
		must(n.StrikeWeld(t.Context(), mark, "wrong coupon"))(t)
	}
	names := map[string]string{}
	for _, s := range must(n.Spools(t.Context()))(t) {
		names[s.ID] = s.Name
	}
	all := must(n.Find(t.Context(), procedures.Filter{Struck: true}))(t)
	texts := make([]string, len(all))
	for i, w := range all {
		texts[i] = procedures.Text(w) + " " + names[w.Spool]
	}
	found := 0
	said := []string{
		"hinge", "bracket cart", "hnge", "vrtcl", "vertical-up", "vertical up quiet", "flux-core", "fluxcore", "E71T-11", "e71t-gs", "spatter", "undercut gate", "3.2mm", "1/8", ".023", "odd",
		"odd-lot", "übrig", "held", "bend", "shed", "A7", "no such word", "gasless 114", "naive", "drag 10", "steady-hand", "quiet-arc", "?!",
		"ferret", "amended gate", "reel 7", "undercut ferret", "AT45", "broke",
	}
	random := rand.New(rand.NewPCG(103, 107))
	for range 40 {
		said = append(said, slipped(random, texts[random.IntN(len(texts))]))
	}
	for i, words := range said {
		if racing && i%10 > 0 {
			continue
		}
		struck, most := i%3 == 0, 100
		var want, got []string
		for _, m := range procedures.Rank(words, texts) {
			if w := all[m.Index]; struck || w.Struck == "" {
				want = append(want, w.Mark)
			}
		}
		if len(want) < 1000 {
			most = 0 // all
		}
		list, total, err := n.Page(t.Context(), procedures.Filter{Words: words, Struck: struck, Limit: most}, false)
		if err != nil {
			t.Fatal(err)
		}
		for _, w := range list {
			got = append(got, w.Mark)
		}
		if diff := same(want[:min(len(want), len(got))], got); diff != "" || total != len(want) || len(got) < min(len(want), 100) {
			t.Errorf("%q: %d found, want %d (-want +got):\n%s", words, total, len(want), diff)
		}
		found += total
		if i%4 > 0 {
			continue
		}
		some, total, err := n.Page(t.Context(), procedures.Filter{Words: words, Limit: 7, Struck: struck}, true)
		if err != nil || total != len(want) || same(list[:min(7, len(list))], some) != "" {
			t.Errorf("%q: %d of %d, want %d: %v", words, len(some), total, len(want), err)
		}
	}
	if found < 10_000 && !racing {
		t.Errorf("only %d found in all", found)
	}
}

// slipped is one to three words of a text, some cut short or with a letter changed.
func slipped(random *rand.Rand, text string) string {
	list := strings.Fields(text)
	var words []string
	for range 1 + random.IntN(3) {
		w := []rune(list[random.IntN(len(list))])
		switch i := random.IntN(len(w)); random.IntN(4) {
		case 0:
			w[i] = 'e'
		case 1:
			w = slices.Delete(w, i, i+1)
		case 2:
			w = w[:i+1]
		}
		words = append(words, string(w))
	}
	return strings.Join(words, " ") + " " // which is more than no words
}

// TestSearchWhileLogging: a search sees the notebook of one moment, however many
// transactions look through it and whatever is logged and struck meanwhile.
func TestSearchWhileLogging(t *testing.T) {
	path := filepath.Join(t.TempDir(), "notebook.db")
	shopYears(t, path, 4200)
	n, other := open(t, path, store.Options{}), open(t, path, store.Options{})
	var begun, done atomic.Int64 // welds of the word: begun to be logged, and logged
	stop := make(chan struct{})
	var writer sync.WaitGroup
	writer.Go(func() {
		for i := 0; ; i++ {
			select {
			case <-stop:
				return
			default:
			}
			w := bead()
			w.Outcome.Note = "needle"
			begun.Add(1)
			if _, err := other.AddWeld(t.Context(), w); err != nil {
				t.Error(err)
				return
			}
			done.Add(1)
			if _, err := other.StrikeWeld(t.Context(), markOf(i+1), "in the way"); err != nil { // an early one, of another part
				t.Error(err)
				return
			}
		}
	})
	searches := 40
	if racing {
		searches = 4
	}
	for range searches {
		least := done.Load()
		_, total, err := n.Page(t.Context(), procedures.Filter{Words: "needle", Limit: 1}, false)
		if most := begun.Load(); err != nil || int64(total) < least || int64(total) > most {
			t.Errorf("%d found, of %d to %d: %v", total, least, most, err)
		}
		// Each struck weld was one that stood: with those struck, none is lost or counted twice.
		least = 4200 + done.Load()
		_, total, err = n.Page(t.Context(), procedures.Filter{Words: "mild", Struck: true, Limit: 1}, false)
		if most := 4200 + begun.Load(); err != nil || int64(total) < least || int64(total) > most {
			t.Errorf("%d found, of %d to %d: %v", total, least, most, err)
		}
	}
	close(stop)
	writer.Wait()
	if done.Load() == 0 {
		t.Error("nothing was logged meanwhile")
	}
}
