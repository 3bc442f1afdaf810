package main

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// What is said in an emergency or on any day, and the first words of the answer: a
// danger goes before any talk of beads, and every one is answered with status 0.
func TestFirstWords(t *testing.T) {
	f, err := os.Open("testdata/troubles.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	in := csv.NewReader(f)
	in.Comment = '#'
	rows, err := in.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	nb := filepath.Join(t.TempDir(), "n.db")
	for _, row := range rows[1:] {
		var out, errs bytes.Buffer
		code := run(t.Context(), append([]string{"--notebook", nb, "remedy"}, strings.Fields(row[0])...), &out, &errs)
		if got := strings.Join(strings.Fields(out.String()), " "); code != 0 || !strings.HasPrefix(got, row[1]) {
			t.Errorf("%q: status %d, %.120s%s, want %q", row[0], code, got, errs.String(), row[1])
		}
		if never.MatchString(out.String()) {
			t.Errorf("%q says %q", row[0], never.FindString(out.String()))
		}
	}
	if len(rows) < 41 {
		t.Errorf("%d phrases; 40 are promised", len(rows)-1)
	}
}

// A danger is answered whatever is wrong with the notebook.
func TestDangerNeedsNoNotebook(t *testing.T) {
	nb := filepath.Join(t.TempDir(), "n.db")
	if err := os.WriteFile(nb, []byte("this is no notebook at all, and a shock can't wait for that"), 0o600); err != nil {
		t.Fatal(err)
	}
	v := say(t, nb, "remedy", "I", "got", "a", "shock", "--from", "A9")
	list := v["troubles"].([]any)
	if len(list) != 1 || list[0].(map[string]any)["key"] != "shock" || v["step"] != nil {
		t.Errorf("%v", v)
	}
}

// say runs the program on a notebook and returns its JSON.
func say(t *testing.T, notebook string, args ...string) map[string]any {
	t.Helper()
	var out, errs bytes.Buffer
	if code := run(t.Context(), append([]string{"--json", "--notebook", notebook}, args...), &out, &errs); code != 0 {
		t.Fatalf("%q: status %d: %s%s", args, code, out.String(), errs.String())
	}
	var v map[string]any
	if err := json.Unmarshal(out.Bytes(), &v); err != nil {
		t.Fatalf("%q: %v", args, err)
	}
	return v
}

// Through the whole program, bead after bead: the wire speed that the coach says is
// the one that suggest says next, also for symptoms that are written down later.
func TestRemedyAgrees(t *testing.T) {
	if racing {
		t.Skip("the race detector looks on, and one process alone takes its time")
	}
	nb := filepath.Join(t.TempDir(), "n.db")
	job := []string{"suggest", "1/8", "mild", "tee", "flat"}
	say(t, nb, "machine", "add", "shed", "--taps", "low=14.5V,high=17V", "--knob", "1..10", "--wire-range", "20..220ipm", "--output", "dcen", "--rated", "90A", "--max", "130A")
	say(t, nb, "wire", "add", "0.035 E71T-11")
	say(t, nb, job...)
	for _, bead := range []struct{ knob, logged, said string }{
		{"6", "2 stubbing", "it pushes me back"},
		{"3", "2", "bird poop"},
		{"4", "3", "the wire keeps burning back to the tip"},
		{"5", "3", "blew a hole"},
	} {
		logged := say(t, nb, "log", "--tap", "high", "--knob", bead.knob, bead.logged[:1], "--note", bead.logged)
		mark := logged["mark"].(string)
		coach := say(t, nb, "remedy", bead.said)
		step := coach["step"].(map[string]any)
		if coach["weld"] != mark || step["change"] != "wire-speed" {
			t.Fatalf("%s, %q: %v", mark, bead.said, step)
		}
		for _, s := range coach["unlogged"].([]any) {
			say(t, nb, "amend", mark, "--symptom", s.(string))
		}
		next := say(t, nb, job...)["settings"].(map[string]any)
		to := step["to"].(map[string]any)
		if math.Abs(step["percent"].(float64)) == 25 { // no step is longer: it says where it leads
			if !strings.Contains(step["text"].(string), "a step on the way to ") || coach["suggest_wire_speed_m_min"] != next["wire_speed_m_min"] {
				t.Errorf("%s, %q: %v, and suggest %v", mark, bead.said, step["text"], next["wire_speed_m_min"])
			}
			continue
		}
		if to["wire_speed_m_min"] != next["wire_speed_m_min"] || to["knob"] != next["knob"] || coach["suggest_wire_speed_m_min"] != next["wire_speed_m_min"] {
			t.Errorf("%s, %q: the coach says %v, suggest %v and knob %v", mark, bead.said, to, next["wire_speed_m_min"], next["knob"])
		}
	}
}
