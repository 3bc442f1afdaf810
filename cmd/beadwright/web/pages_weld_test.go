package web

import (
	"encoding/json"
	"image"
	"image/png"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"sync"
	"testing"

	"beadwright/procedures"
)

// named is the weld of a mark.
func named(t *testing.T, b shell, mark string) procedures.Weld {
	t.Helper()
	for _, w := range b.welds(t) {
		if w.Mark == mark {
			return w
		}
	}
	t.Fatalf("there is no %s", mark)
	return procedures.Weld{}
}

// TestBreakOnThePage breaks a coupon by the form: an answer that decides nothing
// comes back with what was pressed; the one that decides is written down, once.
func TestBreakOnThePage(t *testing.T) {
	b := furnished(t)
	v := visit(t, b)
	status, page := v.get("/weld/A1/test?kind=break")
	if said := text(page); status != 200 || !strings.Contains(said, "Clamp the flat plate in the vise") || !strings.Contains(said, "straight edge of the upright plate") || !strings.Contains(said, "Face shield") {
		t.Fatalf("the questions: %d: %s", status, said)
	}
	status, _, page = v.post("/weld/A1/test", url.Values{"kind": {"break"}, "q_edge": {"no"}})
	if status != http.StatusUnprocessableEntity || !strings.Contains(text(page), "Did it fold flat on itself") || !strings.Contains(page, `name="q_edge" value="no" checked`) {
		t.Errorf("not decided yet: %d: %s", status, text(page))
	}
	if n := len(named(t, b, "A1").Outcome.Tests); n != 0 {
		t.Errorf("%d tests, and none was decided", n)
	}
	answers := url.Values{"kind": {"break"}, "q_edge": {"no"}, "q_folded": {"no"}, "q_parent": {"no"}, "q_fused": {"yes"}, "hole": {"1/16, 1/16"}, "length": {"4in"}}
	for range 2 {
		status, _, page = v.post("/weld/A1/test", answers)
		if said := text(page); status != 200 || !strings.Contains(said, "Passed") || !strings.Contains(said, "It proves this coupon") {
			t.Errorf("broken: %d: %s", status, said)
		}
	}
	if w := named(t, b, "A1"); len(w.Outcome.Tests) != 1 || !w.Outcome.Tests[0].Passed || w.Outcome.Tests[0].Kind != "break" {
		t.Errorf("recorded: %+v", w.Outcome.Tests)
	}
	answers.Set("hole", "1/4")
	answers.Set("instead", "1")
	status, _, page = v.post("/weld/A1/test", answers)
	if said := text(page); status != 200 || !strings.Contains(said, "Failed") || strings.Contains(said, "It proves") {
		t.Errorf("a hole too large, in its place: %d: %s", status, said)
	}
	if w := named(t, b, "A1"); len(w.Outcome.Tests) != 1 || w.Outcome.Tests[0].Passed {
		t.Errorf("recorded: %+v", w.Outcome.Tests)
	}
	answers.Set("hole", "a banana")
	if status, _, page = v.post("/weld/A1/test", answers); status != http.StatusUnprocessableEntity || !strings.Contains(page, `value="a banana"`) || !strings.Contains(text(page), "1/8") {
		t.Errorf("a size that is none: %d: %s", status, text(page))
	}
	for at, want := range map[string]int{"/weld/A99/test?kind=break": 404, "/weld/A1/test?kind=hammer": 422, "/weld/A1/test": 422, "/weld/A99/look": 404} {
		if status, _ := v.get(at); status != want {
			t.Errorf("%s: %d, wanted %d", at, status, want)
		}
	}
}

// TestLookOnThePage looks a bead over.
func TestLookOnThePage(t *testing.T) {
	b := furnished(t)
	v := visit(t, b)
	_, page := v.get("/weld/A2/look")
	answers := url.Values{}
	for _, part := range strings.Split(page, `name="q_`)[1:] {
		key, _, _ := strings.Cut(part, `"`)
		answers.Set("q_"+key, "no")
	}
	if len(answers) < 7 {
		t.Fatalf("only %d questions", len(answers))
	}
	answers.Set("q_crater", "yes")
	answers.Set("q_back", "yes")
	answers.Set("q_undercut", "yes")
	status, _, page := v.post("/weld/A2/look", answers)
	if said := text(page); status != 200 || !strings.Contains(said, "Look closer") || !strings.Contains(said, "a look finds faults and proves nothing") && !strings.Contains(said, "A look finds faults and proves nothing") {
		t.Errorf("%d: %s", status, said)
	}
	if w := named(t, b, "A2"); !slices.Equal(w.Outcome.Symptoms, []string{"undercut"}) {
		t.Errorf("recorded: %q", w.Outcome.Symptoms)
	}
	answers.Del("q_skin")
	if status, _, page = v.post("/weld/A2/look", answers); status != 200 || !strings.Contains(text(page), "Not answered: 1") {
		t.Errorf("one left out, and it is something already: %d: %s", status, text(page))
	}
	answers.Set("q_undercut", "no")
	status, _, page = v.post("/weld/A2/look", answers)
	if said := text(page); status != http.StatusUnprocessableEntity || !strings.Contains(page, `name="q_undercut" value="no" checked`) || !strings.Contains(said, "the next question is skin") || strings.Contains(said, "--answers") {
		t.Errorf("one left out, and nothing was wrong: %d: %s", status, said)
	}
	if status, _, page = v.post("/weld/A1/look", url.Values{"q_crack": {"yes"}}); status != 200 || !strings.Contains(text(page), "no crack passes") {
		t.Errorf("a crack decides at once: %d: %s", status, text(page))
	}
}

// TestLaterOnThePage: how a part did in use and a later rating are written down,
// and taken back.
func TestLaterOnThePage(t *testing.T) {
	b := furnished(t)
	v := visit(t, b)
	if _, page := v.get("/weld/A2"); strings.Contains(page, "/weld/A2/rate") {
		t.Error("a bead without a picture is offered to be rated again")
	}
	b.must(t, "photo", "add", "A2", onePixel(t))
	for _, c := range []struct {
		at          string
		form        url.Values
		status      int
		says, never string
	}{
		{"/weld/A2/followup", url.Values{"do": {"failed"}, "note": {"cracked along the toe"}}, 303, "failed in use, cracked along the toe", ""},
		{"/weld/A2/followup", url.Values{"do": {"undo"}}, 303, "Did it hold in use?", "cracked along the toe"},
		{"/weld/A2/followup", url.Values{"do": {"held"}}, 303, "held in use", ""},
		{"/weld/A2/followup", url.Values{"do": {"perhaps"}}, 400, "held in use", ""},
		{"/weld/A2/rate", url.Values{"rating": {"3"}, "note": {"a toe rolled over"}}, 303, "3 of 5: would do, a toe rolled over. The first rating stays", ""},
		{"/weld/A2/rate", url.Values{"rating": {"7"}}, 422, "The first rating stays", ""},
		{"/weld/A2/rate", url.Values{"do": {"undo"}}, 303, "Rate it again", "a toe rolled over"},
		{"/weld/A99/followup", url.Values{"do": {"held"}}, 404, "4 of 5", ""},
	} {
		status, next, page := v.post(c.at, c.form)
		if at, _, _ := strings.Cut(next, "?"); status != c.status || status == 303 && at != "/weld/A2" {
			t.Errorf("%s %v: %d to %q: %s", c.at, c.form, status, next, text(page))
		}
		_, page = v.get("/weld/A2")
		if said := text(page); !strings.Contains(said, c.says) || c.never != "" && strings.Contains(said, c.never) {
			t.Errorf("after %s %v it says: %s", c.at, c.form, said)
		}
	}
	if w := named(t, b, "A2"); w.Outcome.Rating != 4 || !w.Outcome.FailedInUse.IsZero() {
		t.Errorf("in the end: %+v", w.Outcome)
	}
}

// TestFailedInUseOnThePage: a part that failed is to be taken out of use, and that leads
// its page, from the press on until the failure is taken back.
func TestFailedInUseOnThePage(t *testing.T) {
	b := furnished(t)
	v := visit(t, b)
	_, next, _ := v.post("/weld/A2/followup", url.Values{"do": {"failed"}, "note": {"toe cracked"}})
	for _, at := range []string{next, "/weld/A2"} {
		_, page := v.get(at)
		said := text(page)
		rated, from := strings.Index(said, "4 of 5"), 0
		for _, want := range []string{"FAILED IN USE: toe cracked", "Take it out of use. Do not weld over the break", "licensed for it decides", "nothing made that way is proved until a fresh coupon passes", "Look at A1"} {
			i := strings.Index(said[from:], want)
			if i < 0 || from+i > rated {
				t.Fatalf("%q does not lead the page, in this order: %s", want, said)
			}
			from += i
		}
	}
	v.post("/weld/A2/followup", url.Values{"do": {"held"}})
	if _, page := v.get("/weld/A2"); !strings.Contains(text(page), "Take it out of use") {
		t.Error("it failed, and a look that found it holding took that away")
	}
	b.must(t, "followup", "--strike=another shelf", "A2")
	b.must(t, "followup", "--strike=another shelf", "A2")
	if _, page := v.get("/weld/A2"); strings.Contains(text(page), "FAILED IN USE") || strings.Contains(text(page), "Take it out of use") {
		t.Errorf("taken back, and it stands: %s", text(page))
	}
}

// TestOutweighedOnThePage: what outweighs the looks of a weld leads its page, by word
// and sign; its looks come after it and are no heading.
func TestOutweighedOnThePage(t *testing.T) {
	b := furnished(t)
	b.must(t, "log", "--rating=4", "--test=break=holes", "--symptom=crack", "--", "1/8 mild tee flat")
	b.must(t, "log", "--rating=4", "--test=bend=held", "--symptom=crack", "--", "1/8 mild lap flat")
	b.must(t, "log", "--rating=5", "--test=bend=held", "--test=break=root line", "--", "1/8 mild lap flat")
	b.must(t, "followup", "A5", "failed")
	v := visit(t, b)
	for mark, first := range map[string][]string{"A3": {"Break FAILED: holes", "CRACKED No crack passes", "Looks: 4 of 5: good"}, "A4": {"CRACKED", "Looks: 4 of 5: good"},
		"A5": {"FAILED IN USE Take it out of use", "Break FAILED: root line", "Looks: 5 of 5"}} {
		_, page := v.get("/weld/" + mark)
		page = page[strings.Index(page, "<h1"):]
		said, from := text(page), 0
		for _, want := range first {
			i := strings.Index(said[from:], want)
			if i < 0 {
				t.Fatalf("%s does not say %q next: %s", mark, want, said)
			}
			from += i
		}
		if strings.Contains(said, "Bend FAILED") || strings.Contains(page, `<p class="lead">`) {
			t.Errorf("%s: looks lead, or a passed test failed: %s", mark, said)
		}
		if signs := strings.Count(page, `<section class="defer"><h2><svg`); signs != len(first)-1 {
			t.Errorf("%s has %d signs for %d things that outweigh its looks", mark, signs, len(first)-1)
		}
	}
	_, page := v.get("/find")
	before(t, "found", page, "A5 FAILED IN USE Break FAILED Looks: 5 of 5: as good as I can · bend passed", "A4 CRACKED Looks: 4 of 5: good · bend passed", "A3 Break FAILED CRACKED Looks: 4 of 5: good", "A2 4 of 5: good · break passed", "A1 2 of 5")
	if _, page := v.get("/weld/A2"); !strings.Contains(page, `<p class="lead">4 of 5: good</p>`) || strings.Contains(page, `class="defer"`) {
		t.Errorf("a good one is not headed by its rating: %s", text(page))
	}
}

// lastSaid is the id of what was said last of a weld, as a form of its page carries it.
func lastSaid(t *testing.T, v visitor, action string) string {
	t.Helper()
	_, page := v.get("/weld/A2")
	_, form, ok := strings.Cut(page, `action="/weld/A2/`+action+`"`)
	_, id, found := strings.Cut(form, `name="last" value="`)
	if id, _, _ = strings.Cut(id, `"`); !ok || !found {
		t.Fatalf("the form of %s carries nothing: %s", action, page)
	}
	return id
}

// TestPressedTwiceOnThePage: a thumb that bounces adds one record and takes one back,
// even where both arrive at once; what is left after an undo is said.
func TestPressedTwiceOnThePage(t *testing.T) {
	b := furnished(t)
	v := visit(t, b)
	told := func() (all []procedures.FollowUp) {
		var shown struct{ FollowUps []procedures.FollowUp }
		if err := json.Unmarshal(b.must(t, "show", "A2"), &shown); err != nil {
			t.Fatal(err)
		}
		return shown.FollowUps
	}
	twice := func(form url.Values) (next string) {
		t.Helper()
		var both sync.WaitGroup
		for range 2 {
			both.Go(func() {
				res, err := v.http.PostForm(v.at+"/weld/A2/followup", form)
				if err != nil {
					t.Error(err)
					return
				}
				defer res.Body.Close()
				if res.StatusCode != http.StatusSeeOther {
					t.Errorf("%v: %d", form, res.StatusCode)
				}
			})
		}
		both.Wait()
		_, next, _ = v.post("/weld/A2/followup", form)
		return next
	}
	twice(url.Values{"do": {"failed"}, "note": {"toe cracked"}, "last": {lastSaid(t, v, "followup")}})
	if n := len(told()); n != 1 {
		t.Fatalf("three taps of one page wrote %d failures", n)
	}
	twice(url.Values{"do": {"failed"}, "note": {"toe cracked"}, "last": {lastSaid(t, v, "followup")}})
	if n := len(told()); n != 2 {
		t.Fatalf("it failed once more, and %d are written down", n)
	}
	stale := lastSaid(t, v, "followup")
	next := twice(url.Values{"do": {"undo"}, "last": {stale}})
	if n := len(told()); n != 1 {
		t.Fatalf("undo pressed three times left %d", n)
	}
	if _, page := v.get(next); !strings.Contains(text(page), "Taken back. Left: "+when(told()[0].At)+": failed in use, toe cracked.") || !strings.Contains(text(page), "FAILED IN USE") {
		t.Errorf("after undo: %s", text(page))
	}
	status, _, page := v.post("/weld/A2/followup", url.Values{"do": {"held"}, "note": {"carries the vise"}, "last": {stale}})
	if status != http.StatusUnprocessableEntity || !strings.Contains(text(page), "written down last of it: it failed, toe cracked. Nothing was changed now") || !strings.Contains(page, `value="carries the vise"`) || len(told()) != 1 {
		t.Errorf("from a page that is behind: %d: %s", status, text(page))
	}
	next = twice(url.Values{"do": {"undo"}, "last": {lastSaid(t, v, "followup")}})
	if _, page := v.get(next); !strings.Contains(text(page), "Nothing is written down of it in use now") || strings.Contains(text(page), "FAILED IN USE") {
		t.Errorf("after the last undo: %s", text(page))
	}
}

// TestRatedTwiceOnThePage: a later rating pressed twice is one, and so is its undo.
func TestRatedTwiceOnThePage(t *testing.T) {
	b := furnished(t)
	b.must(t, "photo", "add", "A2", onePixel(t))
	v := visit(t, b)
	told := func() int {
		var shown struct{ Reratings []procedures.Rerating }
		if err := json.Unmarshal(b.must(t, "show", "A2"), &shown); err != nil {
			t.Fatal(err)
		}
		return len(shown.Reratings)
	}
	for _, c := range []struct {
		form url.Values
		want int
		says string
	}{
		{url.Values{"rating": {"3"}}, 1, "Looked at again"}, {url.Values{"rating": {"2"}}, 2, "2 of 5"},
		{url.Values{"do": {"undo"}}, 1, "Taken back. Left: 1 later rating."}, {url.Values{"do": {"undo"}}, 0, "No later rating is left."},
	} {
		c.form.Set("last", lastSaid(t, v, "rate"))
		for range 2 {
			status, next, page := v.post("/weld/A2/rate", c.form)
			if n := told(); status != http.StatusSeeOther || n != c.want {
				t.Fatalf("%v: %d, %d of %d ratings: %s", c.form, status, n, c.want, text(page))
			}
			if _, page = v.get(next); !strings.Contains(text(page), c.says) {
				t.Errorf("%v, then: %s", c.form, text(page))
			}
		}
	}
}

// onePixel is the path of the smallest picture.
func onePixel(t *testing.T) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "bead.png")
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := png.Encode(f, image.NewRGBA(image.Rect(0, 0, 4, 4))); err != nil {
		t.Fatal(err)
	}
	return path
}

// TestNothingAnswered: a form sent empty is no answer, and is told so.
func TestNothingAnswered(t *testing.T) {
	b := furnished(t)
	v := visit(t, b)
	before := named(t, b, "A1").Outcome
	for at, form := range map[string]url.Values{
		"/weld/A1/test": {"kind": {"break"}, "hole": {" , "}, "length": {""}, "instead": {"1"}}, "/weld/A1/look": {}} {
		status, _, page := v.post(at, form)
		if said := text(page); status != http.StatusUnprocessableEntity || !strings.Contains(said, "Not yet Nothing was answered, so nothing was written down.") || !strings.Contains(said, "press Yes or No") || !strings.Contains(said, "What do you see?") {
			t.Errorf("%s: %d: %s", at, status, said)
		}
	}
	if _, _, page := v.post("/weld/A1/test", url.Values{"kind": {"break"}}); !strings.Contains(text(page), "or fill in what you measured") {
		t.Errorf("sizes are not said to be taken: %s", text(page))
	}
	for _, kind := range procedures.TestKinds() {
		if status, _, page := v.post("/weld/A1/test", url.Values{"kind": {kind}}); status != http.StatusUnprocessableEntity || !strings.Contains(text(page), "Nothing was answered") {
			t.Errorf("%s: %d: %s", kind, status, text(page))
		}
	}
	for kind, want := range map[string]string{"etch": "In the place of an etch written down before", "bend": "In the place of a bend written down before"} {
		if _, page := v.get("/weld/A1/test?kind=" + kind); !strings.Contains(text(page), want) {
			t.Errorf("no %q: %s", want, text(page))
		}
	}
	if _, page := v.get("/weld/A1/test?kind=break"); strings.Contains(text(page), "Nothing was answered") {
		t.Error("a page only opened says that nothing was answered")
	}
	if now := named(t, b, "A1").Outcome; !reflect.DeepEqual(now, before) {
		t.Errorf("was %+v, is %+v", before, now)
	}
}

// TestLookKept: what became of a look is said: what was written down of it, what stood
// there before, and that nothing was.
func TestLookKept(t *testing.T) {
	b := furnished(t)
	b.must(t, "log", "--rating=4", "--", "1/8 mild lap flat")
	v := visit(t, b)
	_, page := v.get("/weld/A3/look")
	form := url.Values{}
	for _, part := range strings.Split(page, `name="q_`)[1:] {
		key, _, _ := strings.Cut(part, `"`)
		form.Set("q_"+key, "no")
	}
	form.Set("q_crater", "yes")
	form.Set("q_back", "yes")
	look := func(mark string, wants ...string) {
		t.Helper()
		status, _, page := v.post("/weld/"+mark+"/look", form)
		for _, want := range wants {
			if said := text(page); status != http.StatusOK || !strings.Contains(said, want) {
				t.Errorf("%d, and it does not say %q: %s", status, want, said)
			}
		}
	}
	look("A3", "Nothing seen Nothing was written down: a look that finds nothing leaves no record. To keep it, say so in the note of A3")
	if seen := named(t, b, "A3").Outcome.Symptoms; len(seen) != 0 {
		t.Errorf("written down all the same: %q", seen)
	}
	form.Set("q_undercut", "yes")
	look("A3", "Undercut was written down as a symptom of A3. Not so after all?")
	look("A3", "No symptom was added to A3.", "Written down before, and it stands: undercut.")
	form = url.Values{"q_crack": {"yes"}}
	look("A3", "Crack was written down as a symptom of A3.", "Written down before, and it stands: undercut.")
	if seen := named(t, b, "A3").Outcome.Symptoms; !slices.Equal(seen, []string{"undercut", "crack"}) {
		t.Errorf("written down: %q", seen)
	}
}
