package web

import (
	"encoding/json"
	"net/http"
	"net/url"
	"strings"
	"sync"
	"testing"

	"beadwright/procedures"
)

// TestKnobOnThePage: the knob is run out mark by mark on the phone; the curve is there
// right after, a slip shows, and is taken back by a press.
func TestKnobOnThePage(t *testing.T) {
	b := newShop(t)
	v := visit(t, b)
	b.must(t, "machine", "add", "shed", "--taps=low,high", "--output=dcen", "--knob=1..10")
	_, page := v.get("/machine/shed")
	if !strings.Contains(page, `href="/machine/shed/knob"`) {
		t.Error("its page does not lead to it")
	}
	_, page = v.get("/machine/shed/knob")
	for _, want := range []string{`name="mark" value="1"`, `name="seconds" value="10"`, `name="tap" value="low" checked`, `id="timer" class="timer" hidden`, "Wire you cut off, inches", "Clamp off the work, gun pointed at nothing metal, eyes covered, nobody in front", "Switch the machine off before you cut"} {
		if !strings.Contains(page, want) {
			t.Errorf("no %s: %s", want, text(page))
		}
	}
	runs := func(mark, length string) (status int, next, page string) {
		return v.post("/machine/shed/knob", url.Values{"tap": {"high"}, "mark": {mark}, "length": {length}, "seconds": {"10"}})
	}
	status, next, page := runs("5", "42")
	if status != http.StatusSeeOther || !strings.HasPrefix(next, "/machine/shed/knob?mark=5&seconds=10&tap=high&wrote=1") {
		t.Fatalf("%d to %q: %s", status, next, text(page))
	}
	_, page = v.get(next)
	if said := text(page); !strings.Contains(said, "Written down: mark 5 on HIGH runs 252 in/min (6.4 m/min), by one run. Two more at this mark, and a slip shows.") || !strings.Contains(page, `name="mark" value="5"`) || !strings.Contains(page, `name="tap" value="high" checked`) {
		t.Errorf("afterwards: %s", said)
	}
	runs("5", "41 1/2in")
	_, next, _ = runs("5", "24in") // where 42 was meant
	if _, page = v.get(next); !strings.Contains(text(page), "was it a slip?") || !strings.Contains(text(page), "the middle of 3 runs") {
		t.Errorf("a slip: %s", text(page))
	}
	if status, _, page := v.post("/machine/shed/knob", url.Values{"do": {"undo"}, "number": {"3"}}); status != http.StatusSeeOther {
		t.Errorf("taken back: %d: %s", status, text(page))
	}
	if _, page = v.get("/machine/shed/knob"); !strings.Contains(text(page), "2 runs, 249 in/min to 252 in/min") {
		t.Errorf("taken back, and: %s", text(page))
	}
	if status, _, page = v.post("/machine/shed/knob", url.Values{"tap": {"high"}, "mark": {"8"}, "length": {"60"}, "seconds": {"10"}, "after": {"2"}}); status != http.StatusSeeOther {
		t.Errorf("as the page was shown: %d: %s", status, text(page))
	}
	status, _, page = v.post("/machine/shed/knob", url.Values{"tap": {"high"}, "mark": {"8"}, "length": {"60"}, "seconds": {"10"}, "after": {"2"}})
	if status != http.StatusUnprocessableEntity || !strings.Contains(text(page), "Is this one more?") || !strings.Contains(page, `name="after" value="4"`) || !strings.Contains(page, `name="length" value="60"`) {
		t.Errorf("sent twice: %d: %s", status, text(page))
	}
	for _, c := range []struct {
		form        url.Values
		says, field string
	}{
		{url.Values{"tap": {"high"}, "mark": {"99"}, "length": {"42"}, "seconds": {"10"}}, "The knob stood at: shed's knob runs from 1 to 10", `name="mark" value="99"`},
		{url.Values{"tap": {"high"}, "mark": {"5"}, "length": {"much"}, "seconds": {"10"}}, "Wire you cut off, inches: not a length of wire", `name="length" value="much"`},
		{url.Values{"tap": {"high"}, "mark": {"5"}, "length": {"42"}, "seconds": {"0.2"}}, "It ran, seconds: not a time for a run-out", `name="seconds" value="0.2"`},
		{url.Values{"tap": {"high"}, "mark": {"5"}, "length": {""}, "seconds": {"10"}}, "Wire you cut off, inches: that is wanted too", `name="length" value=""`},
		{url.Values{"mark": {"5"}, "length": {"42"}, "seconds": {"10"}}, "Tap (heat switch): which tap did it run on?", ""},
		{url.Values{}, "The knob stood at: that is wanted too", `name="mark" value=""`},
	} {
		status, _, page := v.post("/machine/shed/knob", c.form)
		said := text(page)
		if status != http.StatusUnprocessableEntity || !strings.Contains(said, c.says) || strings.Contains(said, "--") || strings.Contains(said, "beadwright ") {
			t.Errorf("%v: %d: %s", c.form, status, said)
		}
		if _, rest, ok := strings.Cut(page, c.field); !ok || c.field != "" && !strings.Contains(rest[:strings.Index(rest, ">")], `aria-invalid="true"`) || c.field == "" && !strings.Contains(page, `<fieldset class="bad"><legend>Tap`) {
			t.Errorf("%v: the field is not marked: %s", c.form, page[strings.Index(page, "<form"):strings.Index(page, "</form>")])
		}
	}
}

// TestKnobWithoutTaps: a machine that has no taps written down is asked for none, on a
// page in metric units too, and no tap is left out of a sentence.
func TestKnobWithoutTaps(t *testing.T) {
	b := newShop(t)
	v := visit(t, b)
	b.must(t, "machine", "add", "shed", "--output=dcen")
	b.must(t, "units", "metric")
	_, page := v.get("/machine/shed/knob")
	if strings.Contains(page, `name="tap"`) || !strings.Contains(page, "Wire you cut off, centimeters") || !strings.Contains(text(page), "Mark 1: nothing") {
		t.Errorf("the form: %s", text(page))
	}
	if _, page := v.get("/machine/shed"); strings.Contains(text(page), " on :") || !strings.Contains(text(page), "Mark 1: nothing") {
		t.Errorf("its page: %s", text(page))
	}
	status, next, page := v.post("/machine/shed/knob", url.Values{"mark": {"5"}, "length": {"107"}, "seconds": {"10s"}})
	if status != http.StatusSeeOther {
		t.Fatalf("%d: %s", status, text(page))
	}
	if _, page = v.get(next); !strings.Contains(text(page), "mark 5 runs 6.4 m/min, by one run") {
		t.Errorf("afterwards: %s", text(page))
	}
}

// TestPressedTwiceOnTheBench: a thumb that bounces writes one run-out, one reading and
// one change, even where all taps arrive at once.
func TestPressedTwiceOnTheBench(t *testing.T) {
	b := newShop(t)
	v := visit(t, b)
	b.must(t, "machine", "add", "shed", "--taps=low,high", "--output=dcen", "--knob=1..10")
	hidden := func(at, name string) string {
		t.Helper()
		_, page := v.get(at)
		_, rest, ok := strings.Cut(page, `name="`+name+`" value="`)
		if !ok {
			t.Fatalf("%s carries no %s: %s", at, name, page)
		}
		value, _, _ := strings.Cut(rest, `"`)
		return value
	}
	read := func(into any, command string) {
		t.Helper()
		if err := json.Unmarshal(b.must(t, "machine", command, "--", "shed"), into); err != nil {
			t.Fatal(err)
		}
	}
	for _, c := range []struct {
		at, carries string
		form        url.Values
		counted     func() int
	}{
		{"/machine/shed/knob", "after", url.Values{"tap": {"high"}, "mark": {"5"}, "length": {"42"}, "seconds": {"10"}}, func() int {
			var k knobCurve
			read(&k, "knob")
			return k.newest()
		}},
		{"/machine/shed/measure", "after", url.Values{"tap": {"high"}, "open": {"28"}}, func() int {
			var m readings
			read(&m, "measure")
			return m.newest()
		}},
		{"/machine/shed/change", "state", url.Values{"what": {"new liner"}}, func() int {
			var m struct{ Machine procedures.Machine }
			read(&m, "show")
			return int(m.Machine.State.Number)
		}},
	} {
		before := c.counted()
		c.form.Set(c.carries, hidden(c.at, c.carries))
		var all sync.WaitGroup
		for range 6 {
			all.Go(func() {
				res, err := v.http.PostForm(v.at+c.at, c.form)
				if err != nil {
					t.Error(err)
					return
				}
				res.Body.Close()
				if res.StatusCode != http.StatusSeeOther && res.StatusCode != http.StatusUnprocessableEntity {
					t.Errorf("%s: %d", c.at, res.StatusCode)
				}
			})
		}
		all.Wait()
		if n := c.counted(); n != before+1 {
			t.Errorf("%s pressed six times at once: number %d after %d", c.at, n, before)
		}
	}
}
