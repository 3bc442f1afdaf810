package web

import (
	"context"
	"encoding/json"
	"net/url"
	"strings"
	"testing"

	"beadwright/recommend/caution"
)

// A danger said on the phone is answered with what to do, and with nothing of beads;
// a question of the bench with its answer, and a symptom in it with a step as well.
func TestDangerOnThePage(t *testing.T) {
	v := visit(t, furnished(t))
	for at, c := range map[string]struct{ says, not string }{
		"/remedy?q=the+outlet+is+melted": {"First of all Stop. Breaker off, then plug out", "One thing to change next"},
		"/remedy?symptom=shock":          {"First of all Stop. Let go, plug out or breaker off", "change next"},
		"/remedy?q=will+it+hold":         {"First of all Break one", "No step"},
		"/remedy?q=the+weld+fell+off":    {"Take what it held out of use", "No step"},
	} {
		status, page := v.get(at)
		body := text(page)
		if status != 200 || !strings.Contains(body, c.says) || strings.Contains(body, c.not) {
			t.Errorf("%s: %d, %s", at, status, body)
		}
	}
	if _, page := v.get("/remedy?q=the+weld+fell+off"); !strings.Contains(text(page), "incomplete fusion") {
		t.Error("a weld that fell off has no remedy")
	}
}

// Every caution that the command line has is on the page that asks the same.
func TestNoCautionLost(t *testing.T) {
	b := furnished(t)
	v := visit(t, b)
	for at, args := range map[string][]string{
		"/remedy?q=popping":                {"remedy", "popping"},
		"/remedy?q=got+a+shock":            {"remedy", "got", "a", "shock"},
		"/remedy?from=A1":                  {"remedy", "--from=A1"},
		"/?q=1/8+mild+tee+flat":            {"suggest", "1/8", "mild", "tee", "flat"},
		"/?q=1/8+mild+tee+flat+for+stairs": {"suggest", "1/8", "mild", "tee", "flat", "for", "stairs"},
		"/?q=1/8+tee+hitch":                {"suggest", "1/8", "tee", "hitch"},
		"/?q=1/8+bed+frame+tee+flat":       {"suggest", "1/8", "bed", "frame", "tee", "flat"},
		"/duty":                            {"duty"},
		"/procedure/cart-tee":              {"procedure", "show", "cart-tee"},
		"/machine/shed":                    {"machine", "rebuilt", "shed"},
		"/weld/A2/test?kind=break":         {"test", "A2", "break"},
	} {
		var said struct{ Cautions []caution.Caution }
		if r := b.Do(context.Background(), args...); json.Unmarshal(r.JSON, &said) != nil || len(said.Cautions) == 0 {
			t.Fatalf("%q has no caution: %s", args, r.JSON)
		}
		_, page := v.get(at)
		shown := text(page)
		for _, c := range said.Cautions {
			if first := brief(c.Text); !strings.Contains(shown, strings.Join(strings.Fields(first), " ")) {
				t.Errorf("%s says nothing of %s: %s", at, c.Key, first)
			}
		}
	}
}

// before fails unless the page says each of these, in this order.
func before(t *testing.T, what, page string, order ...string) {
	t.Helper()
	rest := text(page)
	for _, want := range order {
		at := strings.Index(rest, want)
		if at < 0 {
			t.Errorf("%s: no %q where it should be, in: %s", what, want, text(page))
			return
		}
		rest = rest[at+len(want):]
	}
}

// A danger written down with a weld is answered on the page that saves it, before
// anything else, and stays in the way until another weld is logged.
func TestDangerInALog(t *testing.T) {
	for _, said := range []url.Values{{"rating": {"1"}, "symptom": {"shock"}}, {"rating": {"3"}, "note": {"smoke from the plug"}}} {
		b := furnished(t)
		v := visit(t, b)
		_, page := v.get("/log")
		form := fields(page)
		for k, list := range said {
			form[k] = list
		}
		_, next, body := v.post("/log", form)
		_, page = v.get(next)
		before(t, "saved "+body, page, "Saved A3", "STOP. Not one more bead yet.", "plug out", "paint it on the coupon", "What to do now", "Log the next one")
		if strings.Contains(page, `class="key main" href="/log"`) {
			t.Error("the big key goes on to the next bead")
		}
		for _, at := range []string{"/?q=1%2F8+mild+tee+flat", "/remedy?q=spatter"} {
			_, page = v.get(at)
			before(t, at, page, "STOP. A3 told of a danger", "A3")
		}
		b.must(t, "log", "--rating=4")
		if _, page = v.get("/?q=1%2F8+mild+tee+flat"); strings.Contains(text(page), "told of a danger") {
			t.Error("the danger of an earlier weld is still in the way")
		}
	}
}

// What can hurt on this job, and on this machine, comes before the setting and
// before the key that leads on.
func TestCautionsComeFirst(t *testing.T) {
	b := furnished(t)
	v := visit(t, b)
	charge := "Holds a charge: unplug, wait, measure below 5 V"
	for at, order := range map[string][]string{
		"/?q=1%2F8+mild+lap+flat&for=exhaust+on+my+truck":       {charge, "disconnect the battery", "Tap (heat switch)", "Log this weld"},
		"/?joint=lap&thickness=1%2F8&metal=paint&position=flat": {charge, "paint", "Tap (heat switch)", "Log this weld"},
		"/?q=1%2F8+mild+tee+for+a+stair+rail":                   {charge, "Ask first", "Tap (heat switch)", "Log this weld"},
		"/log":                                                  {charge, "How did it turn out?"},
		"/duty":                                                 {charge, "Arc clock"},
		"/remedy?q=birdnest":                                    {charge, "Make it dead first", "plug out", "lift the roll"},
		"/machine/shed":                                         {charge, "Run out next", "plug out"},
	} {
		_, page := v.get(at)
		before(t, at, page, order...)
	}
	b = newShop(t)
	b.must(t, "machine", "add", "shed", "--taps=low,high", "--output=ac")
	v = visit(t, b)
	_, page := v.get("/machine/shed")
	before(t, "a machine as it was built", page, "Run it out for 10 seconds", "Switch the machine off before you cut")
	b.must(t, "machine", "change", "--what=rectifier", "--output=dcen", "--rebuilt")
	_, page = v.get("/machine/shed")
	before(t, "one rebuilt", page, "Run it out for 10 seconds", "Switch off, plug out", "measure below 5 V", "then cut")
}

// A failed test is the one fact that counts, however pretty the bead.
func TestFailedTestIsSaid(t *testing.T) {
	v := visit(t, furnished(t))
	_, page := v.get("/log")
	form := fields(page)
	form.Set("rating", "4")
	form.Set("test", "break")
	form.Set("result", "root line")
	_, next, _ := v.post("/log", form)
	_, page = v.get(next)
	before(t, "saved", page, "Saved A3", "Break FAILED", "not melted in", "4 of 5: good, by eye")
}

// A test without its result is asked about: nothing is dropped without a word.
func TestTestWithoutResult(t *testing.T) {
	b := furnished(t)
	v := visit(t, b)
	_, page := v.get("/log")
	form := fields(page)
	form.Set("rating", "4")
	form.Set("test", "break")
	status, _, body := v.post("/log", form)
	if status != 422 || !strings.Contains(text(body), "How did the break test go?") || fields(body).Get("rating") != "4" || len(b.welds(t)) != 2 {
		t.Errorf("%d, %d welds, form %v: %s", status, len(b.welds(t)), fields(body), text(body))
	}
}

// A bead is of the machine that the page names and of its state at the time, whatever
// was carried over.
func TestCarriedOver(t *testing.T) {
	b := newShop(t)
	v := visit(t, b)
	v.get("/?q=1%2F8+mild+tee+flat")
	b.must(t, "machine", "add", "shed", "--taps=low,high", "--output=ac")
	_, page := v.get("/log")
	if !strings.Contains(text(page), "E71T-11 on shed") {
		t.Errorf("which machine and wire it is logged to is not said: %s", text(page))
	}
	save := func() {
		t.Helper()
		_, page := v.get("/log")
		form := fields(page)
		form.Set("rating", "4")
		if status, _, body := v.post("/log", form); status != 303 {
			t.Fatalf("%d: %s", status, text(body))
		}
	}
	save()
	b.must(t, "machine", "change", "--what=rectifier", "--output=dcen", "--rebuilt")
	save()
	w := b.welds(t)
	if w[1].Job.Machine != "shed" || w[0].Job.Machine != "shed" || w[0].Job.State == w[1].Job.State {
		t.Errorf("on %q in state %s, then on %q in state %s", w[1].Job.Machine, w[1].Job.State, w[0].Job.Machine, w[0].Job.State)
	}
	_, page = v.get("/log")
	form := fields(page)
	form.Set("rating", "3")
	form.Set("knob", "upper third")
	v.post("/log", form)
	if set := b.welds(t)[0].Settings; set.Current != 0 || set.Voltage != 0 || set.WireSpeed != 0 {
		t.Errorf("amps, volts or wire speed of another knob are carried on: %+v", set)
	}
	_, page = v.get("/find")
	if !strings.Contains(text(page), "Of an older state") {
		t.Errorf("a weld of an older state looks like any other: %s", text(page))
	}
}

// What stands in the field for a joint is heard for dangers first, and is never taken
// for a note; a mark that few dials reach is asked about.
func TestWordsForAJoint(t *testing.T) {
	b := newShop(t)
	b.must(t, "machine", "add", "shed", "--taps=low,high", "--output=dcen")
	b.must(t, "suggest", "1/8 mild tee flat")
	v := visit(t, b)
	send := func(name, value string) (int, string, string) {
		_, page := v.get("/log")
		form := fields(page)
		form.Set("rating", "4")
		form.Set(name, value)
		return v.post("/log", form)
	}
	for words, want := range map[string]string{"gas tank 1/8 lap": "STOP.", "what is this": "That is no joint I can read: what is this"} {
		if status, _, body := send("words", words); status != 422 || !strings.Contains(text(body), want) {
			t.Errorf("%q: %d: %s", words, status, text(body))
		}
	}
	if n := len(b.welds(t)); n != 0 {
		t.Errorf("%d welds of words that hold no joint", n)
	}
	if _, next, body := send("words", "1/8 mild lap flat"); next == "" {
		t.Errorf("a joint is not taken: %s", text(body))
	}
	_, next, _ := send("knob", "57")
	_, page := v.get(next)
	before(t, next, page, "Knob 57: does your dial go that far?")
}
