package web

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"beadwright/procedures"
	"beadwright/recommend/caution"
)

// chargedPages are the pages that name the machine shed.
var chargedPages = []string{"/machines", "/machine/shed", "/machine/shed/set", "/machine/shed/change", "/machine/shed/rebuilt", "/machine/shed/measure", "/machine/shed/knob", "/?q=1%2F8+mild+tee+flat", "/duty", "/log"}

// TestRebuiltLater: whoever did not say at first that the machine is rebuilt by hand
// can say so on the phone at any time, whenever it was done, and every page warns of
// the stored charge from the next one on.
func TestRebuiltLater(t *testing.T) {
	charge, _ := caution.StoredCharge(procedures.Machine{Rebuilt: true})
	for _, c := range []struct {
		name  string
		form  url.Values
		what  string
		gives procedures.Polarity
	}{
		{"since", url.Values{"rebuilt": {"now"}, "output": {"dcen"}, "what": {"bridge and six caps"}}, "bridge and six caps", procedures.DCEN},
		{"without a word", url.Values{"rebuilt": {"now"}, "output": {"dcep"}, "what": {""}}, rebuiltNow, procedures.DCEP},
		{"before, and not said", url.Values{"rebuilt": {"before"}, "output": {"dc"}}, rebuiltBefore, procedures.DC},
	} {
		b := newShop(t)
		v := visit(t, b)
		b.must(t, "machine", "add", "shed", "--taps=low,high", "--output=ac", "--rated=90A", "--duty=20%", "--rebuilt=false")
		b.must(t, "wire", "add", "0.035", "E71T-11")
		for _, at := range []string{"/machine/shed", "/machine/shed/set"} {
			if _, page := v.get(at); !strings.Contains(text(page), "Rebuilt it, or had it rebuilt?") || !strings.Contains(page, `href="/machine/shed/change"`) || strings.Contains(text(page), "Holds a charge") {
				t.Errorf("%s: %s does not lead to it: %s", c.name, at, text(page))
			}
		}
		_, page := v.get("/machine/shed/change")
		if !strings.Contains(page, `name="rebuilt" value="before"`) || !strings.Contains(text(page), "as it was: AC") {
			t.Errorf("%s: the form: %s", c.name, text(page))
		}
		// AC and rebuilt to DC is a slip: what comes out is asked for, and the caution stands.
		half := url.Values{"rebuilt": c.form["rebuilt"], "what": c.form["what"]}
		status, _, page := v.post("/machine/shed/change", half)
		if said := text(page); status != http.StatusUnprocessableEntity || !strings.Contains(said, gives+", from now on: a machine rebuilt from AC to DC gives direct current") || !strings.Contains(page, `<fieldset class="bad"><legend>`+gives) ||
			!strings.Contains(said, charge.Text) || strings.Contains(said, "--") || strings.Contains(said, "beadwright ") || !strings.Contains(page, `value="`+c.form.Get("rebuilt")+`" checked`) {
			t.Errorf("%s: with AC: %d: %s", c.name, status, said)
		}
		if b.machine(t, "shed").Rebuilt {
			t.Errorf("%s: refused, and written down", c.name)
		}
		status, next, page := v.post("/machine/shed/change", c.form)
		if status != http.StatusSeeOther || next != "/machine/shed?changed=1" {
			t.Fatalf("%s: %d to %q: %s", c.name, status, next, text(page))
		}
		if m := b.machine(t, "shed"); !m.Rebuilt || m.Output != c.gives || m.State.Number != 2 || m.State.What != c.what || m.State.Kind != procedures.Output {
			t.Errorf("%s: written down as %+v", c.name, m)
		}
		if _, page = v.get(next); !strings.Contains(text(page), "nothing proved before is proved now") || !strings.Contains(page, `class="key main" href="/machine/shed/rebuilt"`) {
			t.Errorf("%s: afterwards: %s", c.name, text(page))
		}
		for _, at := range append(chargedPages, next) {
			if _, page := v.get(at); strings.Count(text(page), charge.Text) != 1 || !strings.Contains(text(page), "measure below 5 V before you touch it") {
				t.Errorf("%s: %s says nothing of the stored charge: %s", c.name, at, text(page))
			}
		}
	}
}

// TestSoundsRebuilt: words that sound like a machine made over are asked about, and
// warned of until they are answered; No is an answer.
func TestSoundsRebuilt(t *testing.T) {
	b := newShop(t)
	v := visit(t, b)
	charge, _ := caution.StoredCharge(procedures.Machine{Rebuilt: true})
	b.must(t, "machine", "add", "shed", "--output=ac")
	for _, form := range []url.Values{{"what": {"bridge rectifier"}}, {"what": {"some work on it"}, "output": {"dcen"}}} {
		status, _, page := v.post("/machine/shed/change", form)
		if said := text(page); status != http.StatusUnprocessableEntity || !strings.Contains(said, "Was it?") || !strings.Contains(said, charge.Text) || !strings.Contains(page, `<fieldset class="bad"><legend>`+remade) || !strings.Contains(page, `value="`+form.Get("what")+`"`) {
			t.Errorf("%v: %d: %s", form, status, said)
		}
	}
	if m := b.machine(t, "shed"); m.State.Number != 1 {
		t.Errorf("asked, and written down: %+v", m)
	}
	if status, _, page := v.post("/machine/shed/change", url.Values{"what": {"bridge of the crane"}, "rebuilt": {"false"}}); status != http.StatusSeeOther || b.machine(t, "shed").Rebuilt {
		t.Errorf("No, and: %d: %s", status, text(page))
	}
}

// TestChangeOnThePage: another change leaves the rest as it was, and one sent twice is
// one change.
func TestChangeOnThePage(t *testing.T) {
	b := furnished(t)
	v := visit(t, b)
	_, page := v.get("/machine/shed/change")
	if strings.Contains(page, `name="rebuilt"`) {
		t.Error("what stays for ever is asked for again")
	}
	state := b.machine(t, "shed").State
	form := url.Values{"what": {"new liner"}, "state": {state.ID}}
	for range 2 {
		if status, next, page := v.post("/machine/shed/change", form); status != http.StatusSeeOther || next != "/machine/shed?changed=1" {
			t.Fatalf("%d to %q: %s", status, next, text(page))
		}
	}
	if m := b.machine(t, "shed"); m.State.Number != state.Number+1 || m.State.What != "new liner" || m.State.Kind != procedures.Feed || !m.Rebuilt || m.Output != procedures.DCEN {
		t.Errorf("changed to %+v", m)
	}
	status, _, page := v.post("/machine/shed/change", url.Values{"what": {"new gun"}, "state": {state.ID}})
	if status != http.StatusUnprocessableEntity || !strings.Contains(text(page), "another change was written down: new liner") || !strings.Contains(page, `name="state" value="`+b.machine(t, "shed").State.ID+`"`) {
		t.Errorf("from a page of before: %d: %s", status, text(page))
	}
	status, _, page = v.post("/machine/shed/change", url.Values{})
	if status != http.StatusUnprocessableEntity || !strings.Contains(text(page), "What was changed, in a few words: say it") || !strings.Contains(page, `name="what" value="" placeholder="new liner and tip" aria-invalid="true"`) || strings.Contains(text(page), "--") {
		t.Errorf("nothing said: %d: %s", status, text(page))
	}
	for _, at := range []string{"/machine/nobody/change", "/machine/nobody/rebuilt", "/machine/nobody/measure", "/machine/nobody/knob"} {
		if status, _ := v.get(at); status != http.StatusNotFound {
			t.Errorf("%s: %d", at, status)
		}
		if status, _, _ := v.post(at, url.Values{"what": {"new liner"}}); status != http.StatusNotFound {
			t.Errorf("POST %s: %d", at, status)
		}
	}
}

// TestFittedOnThePage: what was fitted is written down bit by bit, and tells how long
// to wait.
func TestFittedOnThePage(t *testing.T) {
	b := furnished(t)
	v := visit(t, b)
	status, next, page := v.post("/machine/shed/rebuilt", url.Values{"ac": {"24V"}, "capacitors": {"6x10000uF"}, "bleeder": {"100ohm"}, "fan": {"yes"}})
	if status != http.StatusSeeOther || next != "/machine/shed" {
		t.Fatalf("%d to %q: %s", status, next, text(page))
	}
	if status, _, page = v.post("/machine/shed/rebuilt", url.Values{"rectifier": {"200A"}, "thermostat": {"no"}}); status != http.StatusSeeOther {
		t.Fatalf("%d: %s", status, text(page))
	}
	d := b.machine(t, "shed").Rebuild
	if d == nil || d.ACVolts != 24 || d.Capacitors != 6 || d.BleedOhms != 100 || d.RectifierAmps != 200 || d.Fan == nil || !*d.Fan || d.Thermostat == nil || *d.Thermostat {
		t.Fatalf("written down as %+v", d)
	}
	if _, page = v.get(next); !strings.Contains(text(page), "(the bleed time at the worst)") {
		t.Errorf("how long to wait is not said: %s", text(page))
	}
	if _, page = v.get("/machine/shed/rebuilt"); !strings.Contains(page, `placeholder="now 100 ohm"`) || !strings.Contains(page, `placeholder="now 0.06 F"`) {
		t.Errorf("what stands there is not seen: %s", page)
	}
	status, _, page = v.post("/machine/shed/rebuilt", url.Values{"cap-volts": {"9000"}, "bleeder-watts": {"25W"}})
	if said := text(page); status != http.StatusUnprocessableEntity || !strings.Contains(said, "Volts printed on them: ") || !strings.Contains(page, `value="9000" placeholder="63V" aria-invalid="true"`) || !strings.Contains(page, `value="25W"`) || strings.Contains(said, "beadwright ") {
		t.Errorf("%d: %s", status, page)
	}
	b.must(t, "machine", "add", "barn")
	res, err := v.http.Get(v.at + "/machine/barn/rebuilt")
	if err != nil {
		t.Fatal(err)
	}
	if status, _ := v.read(res); status != http.StatusSeeOther || res.Header.Get("Location") != "/machine/barn/change" {
		t.Errorf("a machine that is not rebuilt: %d to %q", status, res.Header.Get("Location"))
	}
}

// TestMeterOnThePage: volts and amps go down with their tap, and are taken back by a
// press.
func TestMeterOnThePage(t *testing.T) {
	b := furnished(t)
	v := visit(t, b)
	form := url.Values{"tap": {"high"}, "open": {"24V"}, "amps": {"85A"}, "knob": {"5"}, "after": {"0"}}
	status, next, page := v.post("/machine/shed/measure", form)
	if status != http.StatusSeeOther || next != "/machine/shed/measure?wrote=1&wrote=2" {
		t.Fatalf("%d to %q: %s", status, next, text(page))
	}
	if m := b.machine(t, "shed"); m.Taps[1].Open != 24 {
		t.Errorf("the tap has %+v", m.Taps[1])
	}
	_, page = v.get(next)
	if said := text(page); !strings.Contains(said, "HIGH, no arc: 24 V") || !strings.Contains(said, "HIGH, arc on: 85 A, knob 5") || !strings.Contains(said, "hands off while it is live") {
		t.Errorf("afterwards: %s", said)
	}
	if status, _, page := v.post("/machine/shed/measure", form); status != http.StatusUnprocessableEntity || !strings.Contains(text(page), "Is this one more?") {
		t.Errorf("sent twice: %d: %s", status, text(page))
	}
	if status, _, _ := v.post("/machine/shed/measure", url.Values{"do": {"undo"}, "number": {"1", "2"}}); status != http.StatusSeeOther || b.machine(t, "shed").Taps[1].Open != 0 {
		t.Errorf("taken back: %d: %+v", status, b.machine(t, "shed").Taps)
	}
	for _, c := range []struct {
		form url.Values
		says string
	}{
		{url.Values{}, "What did the meter read?"}, {url.Values{"open": {"24V"}}, "Tap (heat switch): which tap was"}, {url.Values{"tap": {"high"}, "open": {"many"}}, "Volts, no arc: cannot be read"},
		{url.Values{"tap": {"high"}, "open": {"17V"}, "load": {"24V"}}, "Volts, arc on: volts fall when the arc is struck"},
	} {
		status, _, page := v.post("/machine/shed/measure", c.form)
		if said := text(page); status != http.StatusUnprocessableEntity || !strings.Contains(said, c.says) || strings.Contains(said, "beadwright ") || strings.Contains(said, "--") {
			t.Errorf("%v: %d: %s", c.form, status, said)
		}
	}
}
