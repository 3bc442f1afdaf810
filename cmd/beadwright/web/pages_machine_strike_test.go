package web

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
)

// TestMachineTakenBack: a machine written down by mistake is taken back by one press and
// put back by another; it is in no list in between, and nothing is chosen in its place.
func TestMachineTakenBack(t *testing.T) {
	b := furnished(t)
	b.must(t, "machine", "add", "barn", "--taps=low,high", "--output=dcen")
	v := visit(t, b)
	if _, page := v.get("/machine/shed"); !strings.Contains(text(page), "Written down by mistake? Take it back") {
		t.Fatalf("no way to take it back: %s", text(page))
	}
	status, next, _ := v.post("/machine/shed/strike", url.Values{})
	if status != http.StatusSeeOther || next != "/machine/shed" {
		t.Fatalf("%d to %q", status, next)
	}
	_, page := v.get(next)
	for _, want := range []string{"Withdrawn", "Written down by mistake. It is offered no more", "No machine is in use now", "holds a charge"} {
		if !strings.Contains(text(page), want) {
			t.Errorf("its page does not say %q: %s", want, text(page))
		}
	}
	for _, gone := range []string{"Weld with this one", "Run the knob out", "Take it back"} {
		if strings.Contains(text(page), gone) {
			t.Errorf("its page offers %q", gone)
		}
	}
	if _, page := v.get("/machines"); strings.Contains(page, `href="/machine/shed"`) || strings.Contains(text(page), "holds a charge") || !strings.Contains(page, `href="/machines?struck=1"`) || !strings.Contains(page, `href="/machine/barn"`) {
		t.Errorf("the list: %s", text(page))
	}
	if _, page := v.get("/machines?struck=1"); !strings.Contains(page, `href="/machine/shed"`) || !strings.Contains(text(page), "holds a charge") || strings.Contains(page, `href="/machine/barn"`) {
		t.Errorf("the list of those withdrawn: %s", text(page))
	}
	if _, page := v.get("/weld/A2"); !strings.Contains(text(page), "The machine shed was withdrawn: written down by mistake") || !strings.Contains(text(page), "holds a charge") {
		t.Errorf("its weld: %s", text(page))
	}
	for _, at := range []string{"/?q=1%2F8+mild+tee+flat", "/duty"} {
		if _, page := v.get(at); !strings.Contains(text(page), "none is in use") || !strings.Contains(page, `href="/machines">Choose one`) || strings.Contains(page, "beadwright machine") {
			t.Errorf("%s: %s", at, text(page))
		}
	}
	if _, page := v.get("/?q=1%2F8+mild+tee+flat+for+a+trailer+hitch"); strings.Contains(text(page), "none is in use") || !strings.Contains(text(page), "hitch") {
		t.Errorf("a stop waits for a machine: %s", text(page))
	}
	// The last weld was made on it; the next one is not.
	_, page = v.get("/log")
	form := fields(page)
	if strings.Contains(page, `name="from" value="A2"`) || form.Get("in_use") == "shed" {
		t.Errorf("the log goes on with it: %v", form)
	}

	if status, next, _ = v.post("/machine/shed/strike", url.Values{"do": {"back"}}); status != http.StatusSeeOther || next != "/machine/shed" {
		t.Fatalf("put back: %d to %q", status, next)
	}
	if _, page = v.get(next); !strings.Contains(text(page), "shed in use") || strings.Contains(text(page), "offered no more") {
		t.Errorf("put back: %s", text(page))
	}
	// A second press says so, on its page.
	if status, _, page = v.post("/machine/shed/strike", url.Values{"do": {"back"}}); status != http.StatusUnprocessableEntity || !strings.Contains(text(page), "put back already") || !strings.Contains(page, `action="/machine/shed/rename"`) {
		t.Errorf("put back twice: %d: %s", status, text(page))
	}
}

// TestRenamed: a machine and a spool are called otherwise; a name that is taken comes back
// as it was typed.
func TestRenamed(t *testing.T) {
	b := furnished(t)
	b.must(t, "machine", "add", "barn")
	v := visit(t, b)
	status, _, page := v.post("/machine/shed/rename", url.Values{"name": {"BARN"}})
	if status != http.StatusUnprocessableEntity || !strings.Contains(text(page), "there is a machine of this name already") || !strings.Contains(page, `name="name" value="BARN" placeholder="shed" aria-invalid="true"`) || !strings.Contains(page, `<details class="noprint" open>`) {
		t.Errorf("a name that is taken: %d: %s", status, page)
	}
	status, next, page := v.post("/machine/shed/rename", url.Values{"name": {" the shed / two "}})
	if status != http.StatusSeeOther || next != "/machine/the%20shed%20%2F%20two" {
		t.Fatalf("%d to %q: %s", status, next, text(page))
	}
	if _, page = v.get(next); !strings.Contains(text(page), "the shed / two in use") {
		t.Errorf("%s", text(page))
	}
	if _, page = v.get("/weld/A2"); !strings.Contains(text(page), "the shed / two") {
		t.Errorf("its weld: %s", text(page))
	}
	if status, _ = v.get("/machine/shed"); status != http.StatusNotFound {
		t.Errorf("under its old name: %d", status)
	}

	if status, _, page = v.post("/wire/rename", url.Values{"of": {"0.035 E71T-11"}, "name": {"misread"}}); status != http.StatusUnprocessableEntity || !strings.Contains(text(page), "of this name already") {
		t.Errorf("a name that is taken: %d: %s", status, text(page))
	}
	if status, next, _ = v.post("/wire/rename", url.Values{"of": {"0.035 E71T-11"}, "name": {"big spool"}}); status != http.StatusSeeOther || next != "/wire" {
		t.Errorf("%d to %q", status, next)
	}
	if _, page = v.get("/wire"); !strings.Contains(page, "<h2>big spool") {
		t.Errorf("%s", text(page))
	}
}

// TestSpoolTakenBack is TestMachineTakenBack for a spool.
func TestSpoolTakenBack(t *testing.T) {
	v := visit(t, furnished(t))
	status, next, _ := v.post("/wire/strike", url.Values{"name": {"0.035 E71T-11"}})
	if status != http.StatusSeeOther || next != "/wire" {
		t.Fatalf("%d to %q", status, next)
	}
	_, page := v.get("/wire")
	if before, after, cut := strings.Cut(page, "Withdrawn ones"); !cut || strings.Contains(before, "<h2>0.035 E71T-11") || !strings.Contains(after, "<h2>0.035 E71T-11") {
		t.Errorf("%s", text(page))
	}
	if status, _, _ = v.post("/wire/strike", url.Values{"name": {"0.035 E71T-11"}, "do": {"back"}}); status != http.StatusSeeOther {
		t.Errorf("put back: %d", status)
	}
	if _, page = v.get("/wire"); !strings.Contains(page, `<h2>0.035 E71T-11<span class="of"> in use`) {
		t.Errorf("put back: %s", text(page))
	}
	if status, _, page = v.post("/wire/strike", url.Values{"name": {"0.035 E71T-11"}, "do": {"back"}}); status != http.StatusUnprocessableEntity || !strings.Contains(text(page), "put back already") {
		t.Errorf("put back twice: %d: %s", status, text(page))
	}
}
