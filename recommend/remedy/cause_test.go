package remedy_test

import (
	"testing"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/remedy"
)

// Every symptom has causes for wire, and no setting stands before what can be looked
// at without touching one.
func TestCauses(t *testing.T) {
	for _, s := range procedures.Symptoms() {
		for _, p := range []procedures.Process{procedures.FCAWS, procedures.SMAW} {
			list := remedy.Causes([]string{s.Key}, p)
			if len(list) == 0 && p == procedures.FCAWS {
				t.Errorf("%s has no causes", s.Key)
			}
			setting := false
			for _, c := range list {
				setting = setting || c.Kind == remedy.Setting
				if setting && c.Kind != remedy.Setting {
					t.Errorf("%s, %s: %s %q stands after a setting", s.Key, p.Letters(), c.Kind, c.Cause)
				}
				if p == procedures.SMAW && (c.Change == "wire-speed" || c.Change == "tip" || c.Change == "tap") {
					t.Errorf("%s: %q is no cause with a covered electrode", s.Key, c.Cause)
				}
			}
			if len(list) > 0 && list[0].Kind == remedy.Setting {
				t.Errorf("%s, %s begins with a setting", s.Key, p.Letters())
			}
		}
	}
}

// A symptom that points to one side has a setting on the side that cures it, and
// none of the wire speed on the other.
func TestCausesPoint(t *testing.T) {
	for _, s := range procedures.Symptoms() {
		side := -s.Heat - s.Feed
		if side == 0 {
			continue
		}
		up, down := false, false
		for _, c := range remedy.Causes([]string{s.Key}, procedures.FCAWS) {
			if c.Change == "wire-speed" {
				up, down = up || c.Direction == "up", down || c.Direction == "down"
			}
		}
		if up != (side > 0) || down != (side < 0) {
			t.Errorf("%s: more wire %v, less wire %v, and the symptom wants side %d", s.Key, up, down, side)
		}
	}
}

// Feeding trouble is looked at from the tip back: tip, tension, cable and liner,
// spool brake, groove of the roll.
func TestFeedingOrder(t *testing.T) {
	for _, key := range []string{"burn-back", "bad-feed", "bird-nest"} {
		last := -1
		order := map[string]int{"tip": 0, "tension": 1, "liner": 2, "brake": 3, "roll": 4}
		for _, c := range remedy.Causes([]string{key}, procedures.FCAWS) {
			if n, ok := order[c.Change]; ok {
				if n != last+1 {
					t.Errorf("%s: %s out of order", key, c.Change)
				}
				last = n
			}
		}
		if last != 4 {
			t.Errorf("%s: the list ends at %d of 4", key, last)
		}
	}
}

// Two symptoms at once share what they have in common.
func TestCausesShared(t *testing.T) {
	seen := map[[2]string]bool{}
	for _, c := range remedy.Causes([]string{"cold-bead", "lack-of-fusion"}, procedures.FCAWS) {
		id := [2]string{c.Change, c.Direction}
		if seen[id] {
			t.Errorf("%s %s stands twice", c.Change, c.Direction)
		}
		seen[id] = true
	}
}

// Every published remedy for wire has its counterpart among the causes: the same
// symptom, from the same source.
func TestPublished(t *testing.T) {
	for _, r := range data.Remedies() {
		if r.Process == "covered" {
			continue
		}
		for _, source := range r.Source {
			found := false
			for _, key := range r.Symptoms {
				for _, c := range remedy.Causes([]string{key}, procedures.FCAWS) {
					for _, id := range c.Source {
						found = found || id == source
					}
				}
			}
			if !found && r.Seen != "a line of holes along the root" && r.Seen != "grooves 1/4 to 1 in long in the face" { // a list for tungsten arc; a page that was not seen
				t.Errorf("%v (%s): nothing from %s among the causes", r.Symptoms, r.Seen, source)
			}
		}
	}
}

func TestFromTests(t *testing.T) {
	got := remedy.FromTests([]procedures.Test{{Kind: "bend", Passed: true, Result: "held"}, {Kind: "break", Result: "root line"}, {Kind: "break", Result: "holes"}, {Kind: "peel", Result: "peeled clean"}})
	if len(got) != 2 || got[0] != "lack-of-fusion" || got[1] != "porosity" {
		t.Errorf("tests show %q", got)
	}
}

// The answers offered with the questions are all heard.
func TestQuestions(t *testing.T) {
	for _, q := range remedy.Questions() {
		for _, answer := range q.Answers {
			if h := procedures.Hear(answer); len(h.Symptoms)+len(h.Signs) == 0 {
				t.Errorf("%q: nothing heard", answer)
			}
		}
	}
}
