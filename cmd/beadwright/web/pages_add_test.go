package web

import (
	"encoding/json"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"

	"beadwright/procedures"
	"beadwright/recommend/caution"
)

// machine is a machine as it is written down.
func (b shell) machine(t *testing.T, name string) procedures.Machine {
	t.Helper()
	var shown struct{ Machine procedures.Machine }
	if err := json.Unmarshal(b.must(t, "machine", "show", "--", name), &shown); err != nil {
		t.Fatal(err)
	}
	return shown.Machine
}

// TestEmptyShopLeadsToTheForm: a beginner with a phone and nothing written down is
// led to the form, in plain words.
func TestEmptyShopLeadsToTheForm(t *testing.T) {
	v := visit(t, newShop(t))
	for _, at := range []string{"/machines", "/duty", "/?q=1%2F8+mild+tee+flat"} {
		status, page := v.get(at)
		said := text(page)
		if status != http.StatusOK || !strings.Contains(page, `href="/machines/add"`) || strings.Contains(said, "That did not work") || strings.Contains(said, "beadwright ") {
			t.Errorf("%s: %d: %s", at, status, said)
		}
	}
	if _, page := v.get("/wire"); !strings.Contains(page, `action="/wire/add"`) || !strings.Contains(page, "<details open") || strings.Contains(text(page), "beadwright ") {
		t.Errorf("/wire: %s", text(page))
	}
}

// TestMachineByForm writes a machine down by the form alone, then its wire, and is
// answered for it.
func TestMachineByForm(t *testing.T) {
	b := newShop(t)
	v := visit(t, b)
	_, page := v.get("/machines/add")
	if strings.Contains(page, "required") || !strings.Contains(page, `name="name"`) {
		t.Errorf("the form: %s", text(page))
	}
	status, next, page := v.post("/machines", url.Values{"name": {"shed"}, "taps": {"low,high"}, "output": {"dcen"}, "rated": {"90A"}, "duty": {"20%"}, "input": {"120V"}, "breaker": {"20A"},
		"rebuilt": {"false"}, "knob": {"1-10"}, "max": {"120A"}, "input-amps": {"20A"}, "cord": {"12awg 25ft"}, "note": {"garage sale"}, "process": {"114", "111"}})
	if status != http.StatusSeeOther || next != "/machine/shed?new=1" {
		t.Fatalf("%d to %q: %s", status, next, text(page))
	}
	m := b.machine(t, "shed")
	if !slices.Equal(m.TapNames(), []string{"low", "high"}) || m.Output != procedures.DCEN || m.RatedAmps != 90 || m.Duty != 20 || m.InputVolts != 120 || m.Breaker != 20 || m.Rebuilt ||
		m.Knob.Max != 10 || m.MaxAmps != 120 || m.InputAmps != 20 || m.Cord.AWG != 12 || m.Note != "garage sale" || len(m.Processes) != 2 {
		t.Errorf("written down as %+v", m)
	}
	if _, page = v.get(next); !strings.Contains(text(page), "shed is written down, and it is the one you weld with") || !strings.Contains(page, `href="/wire"`) {
		t.Errorf("after it: %s", text(page))
	}
	status, next, page = v.post("/wire/add", url.Values{"size": {"0.035in"}, "class": {"E71T-11"}, "weight": {"2lb"}})
	if status != http.StatusSeeOther || !strings.HasPrefix(next, "/wire?added=") {
		t.Fatalf("the wire: %d to %q: %s", status, next, text(page))
	}
	if _, page = v.get(next); !strings.Contains(text(page), "0.035 E71T-11 is written down, and it is the wire you weld with. What do I set?") || !strings.Contains(text(page), "0.035 E71T-11 in use") {
		t.Errorf("the spool: %s", text(page))
	}
	_, next, _ = v.post("/wire/add", url.Values{"size": {"0.030in"}, "class": {"E71T-GS"}})
	if _, page = v.get(next); !strings.Contains(text(page), "0.030 E71T-GS is written down. The wire in use is another still: press below") {
		t.Errorf("a second spool: %s", text(page))
	}
	if _, page = v.get("/?q=1%2F8+mild+tee+flat"); !strings.Contains(text(page), "On shed.") {
		t.Errorf("the answer is not for it: %s", text(page))
	}
	// A second one is not in use, and a name is there once.
	v.post("/machines", url.Values{"name": {"barn two"}, "taps": {"low,high"}, "taps_named": {"A, B, C"}})
	if m := b.machine(t, "barn two"); !slices.Equal(m.TapNames(), []string{"A", "B", "C"}) || m.Output != "" || len(m.Processes) != 0 {
		t.Errorf("written down as %+v", m)
	}
	if _, page = v.get("/machine/barn%20two?new=1"); strings.Contains(text(page), "one you weld with") || !strings.Contains(text(page), "Weld with this one") || strings.Contains(page, `class="key main" href="/wire"`) {
		t.Errorf("the second: %s", text(page))
	}
}

// TestMachineFormErrors: what is refused comes back as it was typed, the field marked
// and called by its label, with no word of a command line.
func TestMachineFormErrors(t *testing.T) {
	b := newShop(t)
	v := visit(t, b)
	b.must(t, "machine", "add", "taken")
	whole := url.Values{"name": {"shed"}, "taps": {"min,max"}, "output": {"dcen"}, "rated": {"90A"}, "duty": {"20%"}, "breaker": {"20A"}, "cord": {"12awg 25ft"}, "process": {"111"}}
	for _, c := range []struct{ field, value, says string }{
		{"name", "", "any short name will do: shed"}, {"name", "taken", "there is a machine of this name already"}, {"rated", "banana", "Plate amps: cannot be read (read \"banana\")"},
		{"duty", "200", "Duty at those amps, of 10 minutes: out of reach"}, {"breaker", "-3", "Its breaker: cannot be read"}, {"cord", "long", "16/3 50ft"}, {"knob", "ten", "1..10"},
		{"output", "sideways", "dcen"}, {"note", "\x1b[31m", ""},
	} {
		form := url.Values{}
		for name, values := range whole {
			form[name] = values
		}
		form.Set(c.field, c.value)
		status, _, page := v.post("/machines", form)
		said := strings.ReplaceAll(text(page), "&#34;", `"`)
		if status != http.StatusUnprocessableEntity || !strings.Contains(said, "Not yet") || !strings.Contains(said, c.says) || strings.Contains(said, "beadwright ") || strings.Contains(said, "--") {
			t.Errorf("%s %q: %d: %s", c.field, c.value, status, said)
		}
		for _, kept := range []string{`name="taps" value="min,max" checked`, `name="process" value="111" checked`} {
			if !strings.Contains(page, kept) {
				t.Errorf("%s %q: what was pressed is gone: no %s", c.field, c.value, kept)
			}
		}
		if c.field != "rated" && !strings.Contains(page, `name="rated" value="90A"`) {
			t.Errorf("%s %q: what was typed is gone", c.field, c.value)
		}
		if c.field != "output" && c.field != "note" && !strings.Contains(page, `aria-invalid="true"`) {
			t.Errorf("%s %q: the field is not marked", c.field, c.value)
		}
	}
	var all machines
	if err := json.Unmarshal(b.must(t, "machine", "list"), &all); err != nil || len(all.Machines) != 1 {
		t.Errorf("%v: %d machines, wanted the one from before", err, len(all.Machines))
	}
	for _, form := range []url.Values{{}, {"size": {"0.035in"}}, {"class": {"E71T-GS"}}, {"wire": {"banana"}}, {"size": {"0.030in"}, "class": {"E71T-GS"}, "weight": {"heavy"}}} {
		status, _, page := v.post("/wire/add", form)
		if status != http.StatusUnprocessableEntity || !strings.Contains(text(page), "Not yet") || !strings.Contains(page, "<details open") || strings.Contains(text(page), "beadwright ") {
			t.Errorf("%v: %d: %s", form, status, text(page))
		}
		if size := form.Get("size"); size != "" && !strings.Contains(page, `value="`+size+`" checked`) {
			t.Errorf("%v: what was pressed is gone", form)
		}
	}
}

// TestRebuiltByForm: a machine rebuilt by hand carries its caution from the first page
// on, and words that sound like one are asked about.
func TestRebuiltByForm(t *testing.T) {
	b := newShop(t)
	v := visit(t, b)
	charge, _ := caution.StoredCharge(procedures.Machine{Rebuilt: true})
	form := url.Values{"name": {"shed"}, "output": {"dcen"}, "note": {"bridge rectifier and capacitors"}}
	status, _, page := v.post("/machines", form)
	if status != http.StatusUnprocessableEntity || !strings.Contains(text(page), "Was it?") || !strings.Contains(page, `value="bridge rectifier and capacitors"`) {
		t.Errorf("a note that sounds rebuilt: %d: %s", status, text(page))
	}
	form.Set("rebuilt", "true")
	form.Set("output", "ac")
	status, _, page = v.post("/machines", form)
	if said := text(page); status != http.StatusUnprocessableEntity || !strings.Contains(said, "minus, plus, or either") || strings.Contains(said, "--") || !strings.Contains(said, charge.Text) {
		t.Errorf("rebuilt, and AC: %d: %s", status, said)
	}
	form.Set("output", "dcen")
	status, next, page := v.post("/machines", form)
	if status != http.StatusSeeOther || !b.machine(t, "shed").Rebuilt {
		t.Fatalf("%d to %q: %s", status, next, text(page))
	}
	if _, page = v.get(next); strings.Count(text(page), charge.Text) != 1 || !strings.Contains(text(page), "measure below 5 V before you touch it") {
		t.Errorf("the page of a rebuilt machine: %s", text(page))
	}
	form.Set("name", "barn")
	form.Set("rebuilt", "false")
	if v.post("/machines", form); b.machine(t, "barn").Rebuilt {
		t.Error("said not to be rebuilt, and marked as such")
	}
}

// TestMachineFilledIn: what was not known is filled in later and a slip corrected, by
// the same form; what is left empty stays.
func TestMachineFilledIn(t *testing.T) {
	b := furnished(t)
	v := visit(t, b)
	_, page := v.get("/machine/shed/set")
	for _, want := range []string{`name="rated" value="" placeholder="now 90"`, `placeholder="now 1-10"`, "Back to shed", `action="/machine/shed/set"`} {
		if !strings.Contains(page, want) {
			t.Errorf("no %s: %s", want, text(page))
		}
	}
	if strings.Contains(page, `name="output"`) || strings.Contains(page, `name="rebuilt"`) || strings.Contains(page, `name="name"`) {
		t.Error("it asks for what only a change of the machine alters")
	}
	if status, next, page := v.post("/machine/shed/set", url.Values{"breaker": {"15A"}, "cord": {"12awg 25ft"}, "rated": {""}}); status != http.StatusSeeOther || next != "/machine/shed" {
		t.Fatalf("%d to %q: %s", status, next, text(page))
	}
	if m := b.machine(t, "shed"); m.Breaker != 15 || m.Cord.AWG != 12 || m.RatedAmps != 90 || m.Duty != 20 || !m.Rebuilt {
		t.Errorf("set to %+v", m)
	}
	status, _, page := v.post("/machine/shed/set", url.Values{"breaker": {"many"}, "max": {"130A"}})
	if said := text(page); status != http.StatusUnprocessableEntity || !strings.Contains(said, "Its breaker: cannot be read") || !strings.Contains(page, `value="130A"`) || !strings.Contains(page, `value="many"`) || strings.Contains(said, "beadwright ") {
		t.Errorf("%d: %s", status, said)
	}
	if status, next, _ := v.post("/machine/shed/set", url.Values{"breaker": {" "}}); status != http.StatusSeeOther || next != "/machine/shed" {
		t.Errorf("nothing said: %d to %q", status, next)
	}
	if status, _, _ := v.post("/machine/nobody/set", url.Values{"breaker": {"15A"}}); status != http.StatusNotFound {
		t.Errorf("no such machine: %d", status)
	}
	b.must(t, "machine", "add", "plain")
	if _, page = v.get("/machine/plain/set"); !strings.Contains(page, `name="output"`) {
		t.Error("what comes out is not known, and it is not asked for")
	}
}
