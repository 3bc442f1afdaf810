package store_test

import (
	"cmp"
	"maps"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"beadwright/procedures"
	"beadwright/procedures/store"
)

// lesson is a weld as the choice of lessons sees it.
type lesson struct {
	n              int64
	id, at         string
	joint, machine string
	position       string
	mm             float64
	tested, failed bool
	struck         bool
}

// chosenPlainly is the rule of Lessons on a list of all welds, in the order logged.
func chosenPlainly(all []lesson) []string {
	step := all[len(all)-1].n / 1000 * 1000
	old := slices.DeleteFunc(slices.Clone(all), func(l lesson) bool { return l.n > step })
	keep := map[string]bool{}
	for _, l := range all {
		if l.n > step || l.failed {
			keep[l.id] = true
		}
	}
	latest := slices.SortedFunc(slices.Values(old), func(a, b lesson) int { return cmp.Or(cmp.Compare(b.at, a.at), cmp.Compare(b.n, a.n)) })
	for _, l := range latest[:min(3000, len(latest))] {
		keep[l.id] = true
	}
	like, tested := map[[4]any]int{}, 0
	for _, l := range slices.Backward(old) {
		kind := [4]any{l.joint, l.mm, l.position, l.machine}
		if l.joint != "" && l.mm > 0 && l.position != "" && !l.struck && like[kind] < 20 {
			like[kind]++
			keep[l.id] = true
		}
		if l.tested && tested < 2000 {
			tested++
			keep[l.id] = true
		}
	}
	for _, l := range all {
		if l.struck {
			delete(keep, l.id)
		}
	}
	return slices.Sorted(maps.Keys(keep))
}

func allLessons(t *testing.T, path string) (all []lesson) {
	t.Helper()
	rows := must(raw(t, path).Query(`SELECT n, id, at, coalesce(joint, ''), coalesce(machine, ''), coalesce(position, ''), coalesce(thickness_mm, 0),
		EXISTS (SELECT 1 FROM tests WHERE weld = n), EXISTS (SELECT 1 FROM followups WHERE weld = welds.id AND NOT held), struck IS NOT NULL FROM welds ORDER BY n`))(t)
	defer rows.Close()
	for rows.Next() {
		var l lesson
		if err := rows.Scan(&l.n, &l.id, &l.at, &l.joint, &l.machine, &l.position, &l.mm, &l.tested, &l.failed, &l.struck); err != nil {
			t.Fatal(err)
		}
		all = append(all, l)
	}
	return all
}

func ids(list []procedures.Weld) []string {
	out := make([]string, len(list))
	for i, w := range list {
		out[i] = w.ID
	}
	return out
}

// TestLessons holds what is read of a large notebook to its rule, written plainly:
// old welds of rare jobs, tests and failures in use are not forgotten, whatever the
// order in which they came in, and of a small one all is read.
func TestLessons(t *testing.T) {
	path := filepath.Join(t.TempDir(), "notebook.db")
	shopYears(t, path, 9500)
	n := open(t, path, store.Options{})
	rare := bead() // an old one of a size that nothing else has, and one without a machine
	rare.At, rare.Job.Thickness, rare.Job.Joint = time.Date(2011, 1, 1, 0, 0, 0, 0, time.UTC), procedures.Inches(0.1), procedures.Lap
	rare.Job.Weld = rare.Job.Joint.DefaultWeld()
	for range 700 { // more than are read of one kind, and the step is passed
		must(n.AddWeld(t.Context(), rare))(t)
	}
	for _, i := range []int{3, 40, 2500, 9400} {
		must(n.StrikeWeld(t.Context(), markOf(i), "wrong coupon"))(t)
	}
	for _, i := range []int{1, 77, 9300} {
		must(n.AddFollowUp(t.Context(), procedures.FollowUp{Weld: markOf(i), Held: false}))(t)
	}
	news, err := n.LessonsSince(t.Context(), store.Version{})
	list, at := news.Welds, news.Version
	all := allLessons(t, path)
	want := chosenPlainly(all)
	if err != nil || !news.Whole {
		t.Fatal(news.Whole, err)
	}
	if diff := same(want, ids(list)); diff != "" {
		t.Errorf("of %d welds these are read (-want +got):\n%s", len(all), diff)
	}
	if len(list) < 3000 || len(list) > len(all)/2+1000 {
		t.Errorf("%d of %d welds are read", len(list), len(all))
	}
	past := map[string]procedures.Weld{}
	for _, w := range must(n.Past(t.Context()))(t) {
		past[w.ID] = w
	}
	for _, w := range list {
		if diff := same(past[w.ID], w); diff != "" {
			t.Errorf("%s is read otherwise than in Past (-past +lesson):\n%s", w.Mark, diff)
		}
	}

	// One more weld is read alone, until the choice is made anew.
	w := must(n.AddWeld(t.Context(), bead()))(t)
	more, err := n.LessonsSince(t.Context(), at)
	now := more.Version
	if err != nil || more.Whole || len(more.Welds) != 1 || more.Welds[0].ID != w.ID || now.Welds != at.Welds+1 {
		t.Errorf("after one more: %d welds, %+v, whole %v, %v", len(more.Welds), now, more.Whole, err)
	}
	if again, err := n.LessonsSince(t.Context(), now); err != nil || again.Whole || len(again.Welds) != 0 || again.Version != now {
		t.Errorf("after nothing: %d welds, %+v, whole %v, %v", len(again.Welds), again.Version, again.Whole, err)
	}
	// So is one that failed in use, chosen or not, and one withdrawn is told of.
	must(n.AddFollowUp(t.Context(), procedures.FollowUp{Weld: markOf(500), Held: false}))(t)
	gone := must(n.StrikeWeld(t.Context(), markOf(9700), "wrong coupon"))(t)
	more, err = n.LessonsSince(t.Context(), now)
	if err != nil || more.Whole || len(more.Welds) != 1 || more.Welds[0].Mark != markOf(500) || more.Welds[0].Outcome.FailedInUse.IsZero() || same([]string{gone.ID}, more.Gone) != "" {
		t.Errorf("after two corrections: %d welds, gone %v, whole %v, %v", len(more.Welds), more.Gone, more.Whole, err)
	}
	now = more.Version
	for now.Welds%1000 != 999 {
		must(n.AddWeld(t.Context(), bead()))(t)
		now.Welds++
	}
	must(n.AddWeld(t.Context(), bead()))(t)
	if last, err := n.LessonsSince(t.Context(), now); err != nil || !last.Whole || same(chosenPlainly(allLessons(t, path)), ids(last.Welds)) != "" {
		t.Errorf("past the step: %d welds, whole %v, %v", len(last.Welds), last.Whole, err)
	}
}

// TestLessonsOfFew: of a small notebook all is read.
func TestLessonsOfFew(t *testing.T) {
	path := filepath.Join(t.TempDir(), "notebook.db")
	shopYears(t, path, 3900)
	n := open(t, path, store.Options{})
	if diff := same(must(n.Past(t.Context()))(t), must(n.Lessons(t.Context()))(t)); diff != "" {
		t.Error(diff)
	}
}
