package web

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
)

// marked reports whether a field is marked as not taken: what is typed by itself, what
// is pressed by its group.
func marked(page, name string) bool {
	for _, tag := range strings.Split(page, "<") {
		if strings.Contains(tag, `aria-invalid="true"`) && strings.Contains(tag, ` name="`+name+`"`) {
			return true
		}
	}
	_, bad, ok := strings.Cut(page, `<fieldset class="`)
	for ; ok; _, bad, ok = strings.Cut(bad, `<fieldset class="`) {
		class, rest, _ := strings.Cut(bad, `"`)
		if strings.HasSuffix(class, "bad") && strings.Contains(rest[:strings.Index(rest, "</fieldset>")], `name="`+name+`"`) {
			return true
		}
	}
	return false
}

// TestErrorsNameTheirField: whatever is refused, the page calls the field by its label
// and marks it, and gives back what was typed, whatever the notebook calls it.
func TestErrorsNameTheirField(t *testing.T) {
	b := furnished(t)
	v := visit(t, b)
	for _, c := range []struct{ at, field, value, says string }{
		{"/machine/shed/set", "input", "24", `Wall volts: out of reach (read "24")`},
		{"/machine/shed/set", "input-amps", "900", `Amps it draws: out of reach (read "900")`},
		{"/machine/shed/set", "rated", "2", `Plate amps: out of reach (read "2")`},
		{"/machine/shed/set", "max", "20", `Most amps it gives: below the rated amps (read "20")`},
		{"/machine/shed/set", "breaker", "200", `Its breaker: that is a main breaker (read "200")`},
		{"/machine/shed/set", "duty", "0.2", `Duty at those amps, of 10 minutes: less than 1 % (read "0.2") did you mean 20%?`},
		{"/machine/shed/set", "knob", "ten", `Numbers on the wire-speed knob: not a knob scale (read "ten")`},
		{"/machine/shed/set", "cord", "long", `Extension cord: not understood`},
		{"/machine/shed/set", "taps_named", "x,x", `Heat switch named otherwise, coldest first: two taps have the same name (read "x")`},
		{"/machine/shed/set", "taps_named", "low high", `Heat switch named otherwise, coldest first: is that one tap or two? (read "low high")`},
		{"/machines", "output", "sideways", `What comes out at the gun: not an output`},
		{"/log", "wire-speed", "2.6", `Wire speed, if you measured it: out of reach (read "2.6")`},
		{"/log", "wire-speed", "fast", `Wire speed, if you measured it: cannot be read (read "fast")`},
		{"/log", "travel", "fast", `Pace (how fast you moved): cannot be read (read "fast")`},
		{"/log", "knob", "99", `Knob: shed's knob runs from 1 to 10 (read "99")`},
		{"/log", "tap", "banana", `Tap (heat switch): no such tap on shed (read "banana")`},
		{"/log", "rating", "9", `By eye: a rating is 1 to 5 (read "9")`},
		{"/weld/A1", "wire-speed", "2.6", `Wire speed, measured: out of reach (read "2.6")`},
		{"/weld/A1", "travel", "fast", `Pace: cannot be read (read "fast")`},
		{"/weld/A1", "leg", "long", `Leg, measured: not a length (read "long")`},
		{"/duty", "after", "banana", `Arc in those 10 minutes: not a usable number (read "banana")`},
		{"/weld/A1/test?kind=break", "length", "long", `In what length of weld: `},
		{"/weld/A1/test?kind=break", "hole", "large", `Holes and bits of slag, largest size of each: `},
		{"/wire/add", "weight", "two", `How much was on it when new: cannot be read (read "two")`},
	} {
		form := url.Values{"rating": {"3"}, "size": {"0.030in"}, "class": {"E71T-GS"}, "was_knob": {"5"}, "name": {"barn"}, "note": {"kept"}, "do": {"trip"}, c.field: {c.value}}
		status, _, page := v.post(c.at, form)
		said := strings.ReplaceAll(text(page), "&#34;", `"`)
		if status != http.StatusUnprocessableEntity || !strings.Contains(said, c.says) || strings.Contains(said, "beadwright ") || strings.Contains(said, "--") {
			t.Errorf("%s %s %q: %d: %s", c.at, c.field, c.value, status, said)
		}
		if !marked(page, c.field) {
			t.Errorf("%s %s %q: the field is not marked", c.at, c.field, c.value)
		}
		if n := strings.Count(page, `aria-invalid="true"`) + strings.Count(page, ` bad"`) + strings.Count(page, `"bad"`); n != 1 {
			t.Errorf("%s %s %q: %d fields are marked", c.at, c.field, c.value, n)
		}
		if !strings.Contains(page, c.value) {
			t.Errorf("%s %s %q: what was typed is gone", c.at, c.field, c.value)
		}
	}
	// What the page's script is told names the field as the form does.
	r, err := http.NewRequest("POST", v.at+"/log", strings.NewReader(url.Values{"rating": {"3"}, "travel": {"fast"}}.Encode()))
	if err != nil {
		t.Fatal(err)
	}
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Accept", "application/json")
	res, err := v.http.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	if status, said := v.read(res); status != http.StatusUnprocessableEntity || !strings.Contains(said, `"field":"travel"`) || !strings.Contains(said, `"message":"Pace (how fast you moved): cannot be read`) {
		t.Errorf("to the script: %d: %s", status, said)
	}
}

// TestLogKeepsWhatWasTyped: a slip in one field loses nothing of the others, folded away
// or not.
func TestLogKeepsWhatWasTyped(t *testing.T) {
	v := visit(t, furnished(t))
	status, _, page := v.post("/log", url.Values{"rating": {"3"}, "wire-speed": {"102ipm"}, "travel": {"fast"}, "test": {"break"}, "result": {"holes"}, "note": {"kept"}})
	if status != http.StatusUnprocessableEntity || !strings.Contains(page, `<details open><summary class="key quiet">Set otherwise`) {
		t.Errorf("%d: the field is folded away", status)
	}
	for _, kept := range []string{`name="wire-speed" value="102ipm"`, `name="travel" value="fast"`, `<option value="break" selected>`, `<option value="holes" selected>`, `>kept</textarea>`} {
		if !strings.Contains(page, kept) {
			t.Errorf("gone: %s", kept)
		}
	}
}

// TestCorrectedTestWithoutResult: a test that is named without how it went is asked about on the
// page of a weld too, and not lost in silence.
func TestCorrectedTestWithoutResult(t *testing.T) {
	b := furnished(t)
	v := visit(t, b)
	status, _, page := v.post("/weld/A1", url.Values{"test": {"break"}, "note": {"second try"}})
	if status != http.StatusUnprocessableEntity || !strings.Contains(text(page), "How did the break test go?") || !strings.Contains(page, `<option value="break" selected>`) || !strings.Contains(page, ">second try</textarea>") {
		t.Errorf("%d: %s", status, text(page))
	}
	if status, _, page := v.post("/weld/A1", url.Values{"test": {"break"}, "result": {"broke"}}); status != http.StatusSeeOther || len(named(t, b, "A1").Outcome.Tests) != 1 {
		t.Errorf("%d: %s", status, text(page))
	}
}

// TestHalfAWire: size without class, or class without size, is asked for and blamed on
// no field that was left alone.
func TestHalfAWire(t *testing.T) {
	v := visit(t, newShop(t))
	for name, form := range map[string]url.Values{"class": {"size": {"0.035in"}}, "size": {"class": {"E71T-GS"}}} {
		status, _, page := v.post("/wire/add", form)
		if said := text(page); status != http.StatusUnprocessableEntity || !strings.Contains(said, "Which "+name+"?") || strings.Contains(said, "not understood") || !marked(page, name) || strings.Contains(page, "aria-invalid") {
			t.Errorf("%v: %d: %s", form, status, said)
		}
	}
	status, _, page := v.post("/wire/add", url.Values{"size": {"0.035in"}, "class": {"E71T-11"}, "weight": {"two"}})
	if said := text(page); status != http.StatusUnprocessableEntity || !strings.Contains(said, "accepted: 2lb") {
		t.Errorf("a weight in words: %d: %s", status, said)
	}
}

// TestSecondSpool: another spool of the same wire is the usual case: one more press. A
// second press by mistake writes none.
func TestSecondSpool(t *testing.T) {
	b := newShop(t)
	v := visit(t, b)
	form := url.Values{"size": {"0.035in"}, "class": {"E71T-11"}, "weight": {"2lb"}}
	v.post("/wire/add", form)
	status, _, page := v.post("/wire/add", form)
	said := text(page)
	if status != http.StatusUnprocessableEntity || !strings.Contains(said, "There is a spool of this wire already. A second one? Press again") || !marked(page, "name") {
		t.Fatalf("%d: %s", status, said)
	}
	for _, tag := range strings.Split(page, "<") {
		if strings.Contains(tag, ` name="name"`) {
			form.Set("name", attribute(tag, "value"))
		}
	}
	if !strings.HasPrefix(form.Get("name"), "0.035 E71T-11, ") {
		t.Errorf("it would be called %q", form.Get("name"))
	}
	if status, _, page := v.post("/wire/add", form); status != http.StatusSeeOther {
		t.Fatalf("%d: %s", status, text(page))
	}
	_, page = v.get("/wire")
	if said := text(page); strings.Count(said, "This one is in the machine now") != 1 || !strings.Contains(said, form.Get("name")) || !strings.Contains(said, "about 907 g (2.0 lb): nothing was welded with it since") || strings.Contains(said, "between 907 g (2.0 lb) and 907 g") {
		t.Errorf("the spools: %s", said)
	}
	if status, _, page := v.post("/wire/add", form); status != http.StatusUnprocessableEntity || !strings.Contains(text(page), "What you call it: ") {
		t.Errorf("a third of that name: %d: %s", status, text(page))
	}
}

// TestTapsNotKnown: of a machine that has no taps written down none is invented, and
// none is taken.
func TestTapsNotKnown(t *testing.T) {
	b := furnished(t)
	v := visit(t, b)
	b.must(t, "machine", "add", "big", "--output=dcen")
	b.must(t, "machine", "use", "big")
	b.must(t, "suggest", "1/8 mild tee flat")
	b.must(t, "log", "4", "1/8", "mild", "lap", "flat", "--wire-speed=105ipm", "--machine=big")
	_, page := v.get("/log")
	if strings.Contains(page, `name="tap"`) || !strings.Contains(text(page), "Taps of big are not written down. Write them down") || !strings.Contains(page, `href="/machine/big/set"`) {
		t.Errorf("the log page: %s", text(page))
	}
	for _, at := range []string{"/log", "/weld/A3"} {
		status, _, page := v.post(at, url.Values{"rating": {"4"}, "tap": {"banana"}, "in_use": {"big"}})
		if said := text(page); status != http.StatusUnprocessableEntity || !strings.Contains(said, "Tap (heat switch): no taps of big are written down") || strings.Contains(said, "beadwright ") || strings.Contains(said, "--") {
			t.Errorf("%s: %d: %s", at, status, said)
		}
	}
	if w := named(t, b, "A3"); w.Settings.Tap != "" {
		t.Errorf("taken: %q", w.Settings.Tap)
	}
	if _, page = v.get("/machines"); !strings.Contains(text(page), "Taps not known, gives DCEN, state 1") || !strings.Contains(text(page), "Taps low, high, gives DCEN, state 2") {
		t.Errorf("the list: %s", text(page))
	}
}

// TestStruckTwice: a second press leads to the weld and not away from it.
func TestStruckTwice(t *testing.T) {
	v := visit(t, furnished(t))
	for _, c := range []struct {
		form url.Values
		says string
	}{{url.Values{"do": {"back"}}, "not struck"}, {url.Values{"why": {"wrong plate"}}, ""}, {url.Values{"why": {"wrong plate"}}, "struck already"}} {
		status, _, page := v.post("/strike/A1", c.form)
		if c.says == "" {
			continue
		}
		if said := text(page); status != http.StatusUnprocessableEntity || !strings.Contains(said, c.says) || !strings.Contains(page, `<h1>Weld <span class="mark">A1</span></h1>`) || strings.Contains(said, "beadwright ") {
			t.Errorf("%v: %d: %s", c.form, status, said)
		}
	}
}
