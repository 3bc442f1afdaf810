package web

import (
	"context"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
	"time"

	"beadwright/procedures"
	"beadwright/recommend"
)

// TestStaleAnswer: an answer of another day, machine or wire is not logged against
// without a word, and one just asked for says none.
func TestStaleAnswer(t *testing.T) {
	b := furnished(t)
	v := visit(t, b)
	v.get("/?q=1/8+mild+lap+flat")
	if _, page := v.get("/log"); strings.Contains(page, "Is it this one?") {
		t.Errorf("just asked for, and doubted: %s", text(page))
	}
	b.must(t, "machine", "add", "big", "--taps=low,high", "--output=dcen")
	b.must(t, "machine", "use", "big")
	b.must(t, "wire", "add", "0.030", "E71T-GS")
	b.must(t, "wire", "use", "0.030 E71T-GS")
	_, page := v.get("/log")
	before(t, "another machine and wire", page, "How did it turn out?", "Is it this one? The machine in use is big, the wire in use is 0.030 E71T-GS. If not, ask again.", "lap joint", "Save")

	b.must(t, "machine", "use", "shed")
	b.must(t, "wire", "use", "0.035 E71T-11")
	late := New(b, Options{Now: func() time.Time { return time.Now().Add(30 * time.Hour) }})
	ask := httptest.NewRequestWithContext(context.Background(), "GET", "/log", nil)
	ask.Host = "127.0.0.1"
	at, _ := url.Parse(v.at + "/log")
	for _, c := range v.http.Jar.Cookies(at) {
		ask.AddCookie(c)
	}
	w := httptest.NewRecorder()
	late.ServeHTTP(w, ask)
	if said := text(w.Body.String()); !strings.Contains(said, "Is it this one? Asked for at "+time.Now().Local().Format("2006-01-02")) {
		t.Errorf("asked for yesterday, and not a word of it: %s", said)
	}
}

// TestTwoPhonesCorrect: what one phone corrected is not turned back by another whose
// page was shown before, and corrects something else.
func TestTwoPhonesCorrect(t *testing.T) {
	b := furnished(t)
	v := visit(t, b)
	_, page := v.get("/weld/A1")
	if !strings.Contains(page, `name="was_rating" value="2"`) || !strings.Contains(page, `name="was_note" value="first try"`) {
		t.Fatalf("the form does not say how it was shown: %s", page)
	}
	shown := url.Values{"was_rating": {"2"}, "rating": {"2"}, "was_note": {"first try"}, "note": {"first try"}}
	b.must(t, "amend", "--rating=1", "--note=peeled off", "A1") // the other phone
	shown.Set("tap", "low")
	if status, _, page := v.post("/weld/A1", shown); status != 303 {
		t.Fatalf("%d: %s", status, text(page))
	}
	if w := named(t, b, "A1"); w.Outcome.Rating != 1 || w.Outcome.Note != "peeled off" || w.Settings.Tap != "low" {
		t.Errorf("now %+v at %q", w.Outcome, w.Settings.Tap)
	}
	shown = url.Values{"was_rating": {"1"}, "rating": {"3"}, "was_note": {"peeled off"}, "note": {"peeled off, then ground"}, "wire-speed": {"fast"}}
	status, _, page := v.post("/weld/A1", shown)
	if status != 422 || !strings.Contains(page, `name="was_rating" value="1"`) || !strings.Contains(page, "peeled off, then ground") {
		t.Errorf("refused: %d: %s", status, page)
	}
	shown.Del("wire-speed")
	v.post("/weld/A1", shown)
	if w := named(t, b, "A1"); w.Outcome.Rating != 3 || w.Outcome.Note != "peeled off, then ground" {
		t.Errorf("what was changed here is not kept: %+v", w.Outcome)
	}
}

// TestDoubtBeforeTheSetting: that a coupon is to be broken first stands before the
// setting, and what takes time or another bead is a setting and no small print.
func TestDoubtBeforeTheSetting(t *testing.T) {
	b := furnished(t)
	v := visit(t, b)
	_, page := v.get("/?q=3/16+mild+tee+flat")
	before(t, "at the edge", page, "tee joint, flat", "At the edge: coupon first, and break it.", "Mind on this job", "Tap (heat switch)", "Passes 2 all slag off between them", "Log this weld")
	if strings.Count(text(page), "coupon first, and break it") != 1 {
		t.Errorf("said over and over: %s", text(page))
	}
	if _, page = v.get("/?q=1/8+mild+tee+flat"); strings.Contains(text(page), "At the edge") || strings.Contains(text(page), "Passes") {
		t.Errorf("inside the tables, and doubted: %s", text(page))
	}
	b.must(t, "machine", "add", "buzz", "--taps=low,high", "--output=ac")
	b.must(t, "machine", "use", "buzz")
	if _, page = v.get("/?q=1/8+mild+tee+flat"); !strings.Contains(text(page), "AC either way round, all this machine gives") {
		t.Errorf("a table is said to ask for AC: %s", text(page))
	}
	for said, want := range map[string]string{"électrode": "Électrode", "ярко": "Ярко", "\u0645": "\u0645", "": "", "1/8": "1/8"} {
		if got := capital(said); got != want {
			t.Errorf("%q begins with a capital as %q", said, got)
		}
	}
	warm := 66.0
	s := recommend.Suggestion{Settings: procedures.Settings{Tap: "high", Passes: 3, Preheat: &warm}}
	for u, want := range map[procedures.Units]tile{procedures.US: {"Preheat, at the least", "151", "°F", "66 °C"}, procedures.Metric: {"Preheat, at the least", "66", "°C", ""}} {
		if all := measures(u).answered(s); all[0] != want {
			t.Errorf("first of the tiles is %+v, wanted %+v", all[0], want)
		}
	}
}
