package web

import (
	"encoding/json"
	"image"
	"image/color"
	"image/png"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// TestCorrectOnThePage: whatever a glove got wrong is put right, and what stood there
// is kept. What is refused comes back as it was typed.
func TestCorrectOnThePage(t *testing.T) {
	b := furnished(t)
	v := visit(t, b)
	_, page := v.get("/weld/A1")
	for _, want := range []string{`name="not-symptom" value="cold-bead"`, `<select name="tap"`, `<option>low</option>`, `<select name="joint"`, `<select name="position"`, `name="wire-speed"`, `name="thickness"`, "Not seen after all"} {
		if !strings.Contains(page, want) {
			t.Errorf("no %s to correct it by", want)
		}
	}
	if strings.Contains(page, `<select name="machine"`) {
		t.Error("of one machine another is offered")
	}
	b.must(t, "machine", "add", "barn", "--taps=1,2,3", "--output=dcen")
	if _, page = v.get("/weld/A1"); !strings.Contains(page, `<select name="machine"`) || strings.Contains(page, `<select name="tap"`) {
		t.Error("of two machines neither the other nor its taps can be said")
	}
	form := url.Values{"rating": {"3"}, "machine": {"barn"}, "tap": {"2"}, "knob": {"4"}, "wire-speed": {"88ipm"}, "thickness": {"3/16"}, "joint": {"lap"}, "position": {"horizontal"}, "leg": {"5/32"},
		"for": {"a shelf"}, "not-symptom": {"cold-bead"}, "symptom": {"undercut"}, "note": {"the first one"}, "travel": {""}}
	if status, next, page := v.post("/weld/A1", form); status != http.StatusSeeOther || next != "/weld/A1" {
		t.Fatalf("%d to %q: %s", status, next, text(page))
	}
	w := named(t, b, "A1")
	if w.Outcome.Rating != 3 || w.Job.Machine != "barn" || w.Settings.Tap != "2" || *w.Settings.Knob != 4 || w.Job.Joint != "lap" || w.Job.Position != "horizontal" || w.Job.ThicknessSaid != "3/16" ||
		w.Job.For != "a shelf" || !slices.Equal(w.Outcome.Symptoms, []string{"undercut"}) || w.Outcome.Note != "the first one" {
		t.Errorf("corrected to %+v", w)
	}
	_, page = v.get("/weld/A1")
	for _, want := range []string{"was high, now 2", "was tee, now lap", "was shed, now barn", "seen: was ", "voltage: was 16.3 V, now nothing"} {
		if !strings.Contains(text(page), want) {
			t.Errorf("the history does not say %q: %s", want, text(page))
		}
	}
	if strings.Contains(text(page), "state: was") || strings.Contains(text(page), "was cold-bead") {
		t.Errorf("the history speaks in keys: %s", text(page))
	}
	form = url.Values{"rating": {"5"}, "tap": {"9"}, "wire-speed": {"70ipm"}, "joint": {"butt"}, "note": {"kept"}, "symptom": {"spatter"}}
	status, _, page := v.post("/weld/A1", form)
	said := text(page)
	if status != http.StatusUnprocessableEntity || !strings.Contains(said, "Tap (heat switch): no such tap on barn") || strings.Contains(said, "--") {
		t.Errorf("a tap that is none: %d: %s", status, said)
	}
	for _, kept := range []string{`name="tap" value="9"`, `name="wire-speed" value="70ipm"`, `<option selected>butt`, ">kept</textarea>", `name="rating" value="5" checked`, `value="spatter" selected`, `aria-invalid="true"`} {
		if !strings.Contains(page, kept) {
			t.Errorf("what was typed is gone: no %s", kept)
		}
	}
	if now := named(t, b, "A1"); now.Outcome.Rating != 3 || now.Job.Joint != "lap" {
		t.Errorf("refused, and changed all the same: %+v", now)
	}
	if status, _, page := v.post("/weld/A1", url.Values{"not-symptom": {"porosity"}}); status != http.StatusUnprocessableEntity || !strings.Contains(text(page), "no such symptom") {
		t.Errorf("off with what is not on: %d: %s", status, text(page))
	}
}

// TestPutBackOnThePage: a weld withdrawn by a slip is put back, from its own page and
// right after Undo, and the history tells of both.
func TestPutBackOnThePage(t *testing.T) {
	b := furnished(t)
	v := visit(t, b)
	_, next, _ := v.post("/strike/A2", url.Values{"next": {"log"}})
	if _, page := v.get(next); !strings.Contains(page, "Put it back") || !strings.Contains(page, `form method="post" action="/strike/A2" id="back"`) {
		t.Errorf("after Undo there is no way back: %s", text(page))
	}
	if status, next, page := v.post("/strike/A2", url.Values{"next": {"log"}, "do": {"back"}}); status != http.StatusSeeOther || next != "/log?saved=A2" || named(t, b, "A2").Struck != "" {
		t.Errorf("put back: %d to %q: %s", status, next, text(page))
	}
	v.post("/strike/A2", url.Values{"why": {"wrong plate"}})
	if _, page := v.get("/weld/A2"); !strings.Contains(text(page), "Wrong plate. It is kept, and counted by nothing.") || !strings.Contains(text(page), "Put it back") {
		t.Errorf("withdrawn: %s", text(page))
	}
	status, next, page := v.post("/strike/A2", url.Values{"do": {"back"}})
	if status != http.StatusSeeOther || next != "/weld/A2" || named(t, b, "A2").Struck != "" {
		t.Fatalf("put back: %d to %q: %s", status, next, text(page))
	}
	if _, page = v.get(next); !strings.Contains(text(page), "withdrawn: wrong plate") || !strings.Contains(text(page), "put back, and counts again") {
		t.Errorf("the history tells nothing of it: %s", text(page))
	}
	if status, _, page := v.post("/strike/A2", url.Values{"do": {"back"}}); status != http.StatusUnprocessableEntity || !strings.Contains(text(page), "not struck") {
		t.Errorf("put back twice: %d: %s", status, text(page))
	}
}

// TestBlindOnThePage: an old bead is rated by its picture alone; only then both
// ratings are shown.
func TestBlindOnThePage(t *testing.T) {
	b := furnished(t)
	v := visit(t, b)
	if _, page := v.get("/blind"); !strings.Contains(text(page), "No picture is waiting") {
		t.Errorf("no picture, and: %s", text(page))
	}
	picture := filepath.Join(t.TempDir(), "bead.png")
	f, err := os.Create(picture)
	if err != nil {
		t.Fatal(err)
	}
	gray := image.NewGray(image.Rect(0, 0, 40, 30))
	gray.Set(3, 4, color.White)
	if err := png.Encode(f, gray); err != nil {
		t.Fatal(err)
	}
	f.Close()
	b.must(t, "log", "--rating=4", "--photo="+picture, "--at=2026-03-01", "--note=the gate", "--", "1/8 mild tee flat")
	_, page := v.get("/blind")
	id := regexp.MustCompile(`name="picture" value="([0-9a-f-]{36})"`).FindStringSubmatch(page)
	if id == nil || !strings.Contains(page, `src="/photo/`+id[1]+`?size=view"`) {
		t.Fatalf("no picture: %s", page)
	}
	main := page[strings.Index(page, "<main"):strings.Index(page, "</main>")]
	for _, told := range []string{"A3", "the gate", "HIGH", "4 of 5", "shed"} {
		if strings.Contains(main, told) {
			t.Errorf("not blind, for it says %q: %s", told, text(main))
		}
	}
	status, _, page := v.post("/blind", url.Values{"picture": {id[1]}, "rating": {"9"}, "note": {"toe"}})
	if status != http.StatusUnprocessableEntity || !strings.Contains(text(page), "a rating is 1 to 5") && !strings.Contains(text(page), "A rating is 1 to 5") || !strings.Contains(page, `value="`+id[1]+`"`) || strings.Contains(page, "A3") {
		t.Errorf("a rating of 9: %d: %s", status, text(page))
	}
	if status, _, page := v.post("/blind", url.Values{"picture": {"nothing"}, "rating": {"3"}}); status != http.StatusUnprocessableEntity || strings.Contains(page, "/photo/nothing") {
		t.Errorf("no such picture: %d: %s", status, text(page))
	}
	status, next, page := v.post("/blind", url.Values{"picture": {id[1]}, "rating": {"3"}, "note": {"a toe rolled over"}})
	if status != http.StatusSeeOther || next != "/blind?done=A3" {
		t.Fatalf("%d to %q: %s", status, next, text(page))
	}
	if _, page = v.get(next); !strings.Contains(text(page), "A3 3 of 5: would do now; 4 of 5: good when it was fresh") || !strings.Contains(text(page), "No picture is waiting") {
		t.Errorf("afterwards: %s", text(page))
	}
	var shown struct {
		Reratings []struct {
			Blind bool
			Note  string
		}
	}
	if err := json.Unmarshal(b.must(t, "show", "A3"), &shown); err != nil || len(shown.Reratings) != 1 || !shown.Reratings[0].Blind || shown.Reratings[0].Note != "a toe rolled over" {
		t.Errorf("%v: kept as %+v", err, shown)
	}
	if w := named(t, b, "A3"); w.Outcome.Rating != 4 {
		t.Errorf("the first rating is %d now", w.Outcome.Rating)
	}
}

// TestFailedProcedureOnThePage: what failed in use never looks sound, in the list or
// on its own page.
func TestFailedProcedureOnThePage(t *testing.T) {
	b := furnished(t)
	v := visit(t, b)
	for _, at := range []string{"/procedures", "/procedure/cart-tee"} {
		if _, page := v.get(at); strings.Contains(text(page), "FAILED IN USE") || strings.Contains(page, `class="stop"`) {
			t.Errorf("%s: nothing failed, and it says: %s", at, text(page))
		}
	}
	b.must(t, "followup", "A2", "failed", "cracked along the toe")
	_, page := v.get("/procedures")
	if said := text(page); !strings.Contains(said, "FAILED IN USE: A2, cracked along the toe. Do not weld by it until a fresh coupon passes cart-tee") || !strings.Contains(page, `class="failed"`) {
		t.Errorf("the list: %s", said)
	}
	_, page = v.get("/procedure/cart-tee")
	said := text(page)
	if stop, set := strings.Index(said, "Not by this one FAILED IN USE"), strings.Index(said, "Tap (heat switch)"); stop < 0 || set < 0 || stop > set || !strings.Contains(said, "until a fresh coupon passes") || !strings.Contains(said, "Tested, before it failed in use") {
		t.Errorf("its page: %s", said)
	}
	if n := strings.Count(said, "Do not weld by this sheet"); n != 1 {
		t.Errorf("it is said %d times: %s", n, said)
	}
	b.must(t, "log", "--rating=4", "--test=break=tore parent", "--from=A2")
	if _, page = v.get("/procedures"); !strings.Contains(text(page), "A3 passed since: revise it before you weld by it") {
		t.Errorf("with a coupon that passed: %s", text(page))
	}
	b.must(t, "strike", "A2", "--why=wrong plate")
	if _, page = v.get("/procedures"); !strings.Contains(text(page), "A2 was struck since: wrong plate") {
		t.Errorf("with its weld withdrawn: %s", text(page))
	}
}

// TestProcedureByForm writes a procedure from a mark; a stop is a stop here too, and
// what is refused comes back as it was typed.
func TestProcedureByForm(t *testing.T) {
	b := furnished(t)
	v := visit(t, b)
	if status, next, page := v.post("/procedures", url.Values{"name": {"second tee"}, "from": {"a2"}, "for": {"a shop cart"}}); status != http.StatusSeeOther || next != "/procedure/second%20tee" {
		t.Fatalf("%d to %q: %s", status, next, text(page))
	}
	for _, c := range []struct {
		form   url.Values
		status int
		says   string
	}{
		{url.Values{"name": {""}, "from": {"A2"}}, 422, "What is it to be called?"}, {url.Values{"name": {"x"}, "from": {""}}, 422, "name two coupons that passed a bend or break test, such as A3,A7"},
		{url.Values{"name": {"x"}, "from": {"A9"}}, 404, "not found"}, {url.Values{"name": {"x"}, "from": {"A1"}}, 422, "Marks of the coupons: A1"}, {url.Values{"name": {"cart-tee"}, "from": {"A2"}}, 422, "cart-tee"},
	} {
		status, _, page := v.post("/procedures", c.form)
		said := text(page)
		if status != c.status || !strings.Contains(said, "Not yet") || !strings.Contains(said, c.says) || strings.Contains(said, "beadwright ") || strings.Contains(said, "--") || !strings.Contains(page, `name="from" value="`+c.form.Get("from")+`"`) {
			t.Errorf("%v: %d: %s", c.form, status, said)
		}
	}
	status, _, page := v.post("/procedures", url.Values{"name": {"tow hitch"}, "from": {"A2"}})
	if said := text(page); status != http.StatusOK || !strings.Contains(said, "STOP. No settings for this one.") || !strings.Contains(said, "tow hitch") {
		t.Errorf("a hitch: %d: %s", status, said)
	}
	if _, page = v.get("/procedures"); strings.Contains(text(page), "tow hitch") || !strings.Contains(text(page), "second tee") {
		t.Errorf("in the list: %s", text(page))
	}
}
