package web

import (
	"strings"
	"testing"
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
