package web

import (
	"encoding/json"
	"net/http"
	"net/url"
	"strings"
	"testing"
)

// A clock that forbids an arc says so and why, and counts no seconds down to one.
func TestClockForbids(t *testing.T) {
	c := clock{Do: "do not", Text: "no arc until this is put right", Left: 82}
	if c.Order() != "DO NOT" || c.Meaning() != c.Text || c.Seconds() != 0 {
		t.Errorf("%q, %q, %v", c.Order(), c.Meaning(), c.Seconds())
	}
	for _, do := range []string{"go", "rest", "arc on", "stop", "wait", "forgotten"} {
		if c := (clock{Do: do}); c.Order() == "" || c.Meaning() == "" {
			t.Errorf("%s has no words", do)
		}
	}
}

// TestClockUndone: an arc and a cut-out written down by a slip of the thumb are
// taken back by one press, once.
func TestClockUndone(t *testing.T) {
	b := furnished(t)
	v := visit(t, b)
	counted := func(list string) int {
		var all struct{ Recorded []struct{ ID string } }
		if err := json.Unmarshal(b.must(t, "duty", list), &all); err != nil {
			t.Fatal(err)
		}
		return len(all.Recorded)
	}
	if status, _, page := v.post("/duty", url.Values{"do": {"trip"}}); status != http.StatusUnprocessableEntity || !strings.Contains(text(page), "95s, in the field above the button") || !strings.Contains(page, `id="clock"`) {
		t.Errorf("a cut-out with no arc before it: %d: %s", status, text(page))
	}
	v.post("/duty", url.Values{"do": {"start"}})
	for _, c := range [][2]string{{"stop", "arcs"}, {"trip", "trips"}} { // a cut-out ends the arc that burns, so the arc comes first
		do, list := c[0], c[1]
		status, next, page := v.post("/duty", url.Values{"do": {do}, "after": {"95s"}})
		id, ok := strings.CutPrefix(next, "/duty?"+list+"=")
		if status != http.StatusSeeOther || !ok || counted(list) != 1 {
			t.Fatalf("%s: %d to %q, %d in the list: %s", do, status, next, counted(list), text(page))
		}
		if _, page = v.get(next); !strings.Contains(text(page), "written down") || !strings.Contains(page, `name="do" value="`+list+`">Undo`) {
			t.Errorf("after %s there is no way back: %s", do, text(page))
		}
		for range 2 {
			if status, next, page := v.post("/duty", url.Values{"do": {list}, "id": {id}}); status != http.StatusSeeOther || next != "/duty" || counted(list) != 0 {
				t.Errorf("undone: %d to %q, %d in the list: %s", status, next, counted(list), text(page))
			}
		}
		if _, page = v.get("/duty?" + list + "=" + id); strings.Contains(page, "Undo") {
			t.Errorf("what is undone after %s is offered to be undone again", do)
		}
	}
}
