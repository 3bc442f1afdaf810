package web

import (
	"image"
	"image/png"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strings"
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
	picture := filepath.Join(t.TempDir(), "bead.png")
	f, err := os.Create(picture)
	if err != nil {
		t.Fatal(err)
	}
	if err := png.Encode(f, image.NewRGBA(image.Rect(0, 0, 4, 4))); err != nil {
		t.Fatal(err)
	}
	f.Close()
	v := visit(t, b)
	if _, page := v.get("/weld/A2"); strings.Contains(page, "/weld/A2/rate") {
		t.Error("a bead without a picture is offered to be rated again")
	}
	b.must(t, "photo", "add", "A2", picture)
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
		if status != c.status || status == 303 && next != "/weld/A2" {
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
	if _, page := v.get("/weld/A2"); !strings.Contains(page, `<p class="lead">4 of 5: good</p>`) || strings.Contains(page, `class="defer"`) {
		t.Errorf("a good one is not headed by its rating: %s", text(page))
	}
}
