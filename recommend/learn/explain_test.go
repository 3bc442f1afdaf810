package learn

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// inches is the speed in m/min.
func inches(perMin float64) float64 { return perMin * 0.0254 }

func TestExplain(t *testing.T) {
	unlike := Setup{User: "bo", Machine: "blue", State: "new", Spool: "s1", ThicknessIn: 0.0359, Joint: "lap", Position: "overhead",
		WireDiameterIn: 0.035, Tap: "low"}
	low := tee()
	low.Tap = "low"
	table := func(s Setup, l Limits) Query { return Query{Setup: s, TableWireSpeed: inches(180), Limits: l} }
	mixed := []Weld{made(0, tee(), 100, 2, -1, 0), made(1, tee(), 100, 2, -1, 0), made(2, tee(), 100, 2, 1, 0)}
	for name, c := range map[string]struct {
		q     Query
		welds []Weld
		want  []string
	}{
		"no welds": {table(tee(), Limits{}), nil,
			[]string{"Table 180 in/min; you have no welds on like jobs yet, so start there; likely range 132 to 245 in/min."}},
		"good welds": {table(tee(), Limits{}), several(6, tee(), 112, 5, 0, 0),
			[]string{"Table 180 in/min; your 6 good welds on like jobs run 12 % above it; so 201 in/min; likely range 189 to 213 in/min."}},
		"one good weld": {table(tee(), Limits{}), several(1, tee(), 88, 5, 0, 0),
			[]string{"Table 180 in/min; your good weld on a like job runs 12 % below it; so 162 in/min; likely range 142 to 185 in/min."}},
		"good welds at the table": {table(tee(), Limits{}), several(3, tee(), 100, 4, 0, 0),
			[]string{"Table 180 in/min; with your 3 good welds on like jobs counted in, stay there; likely range 163 to 199 in/min."}},
		"failures only": {table(tee(), Limits{}), several(2, tee(), 100, 3, -1, 0),
			[]string{"Table 180 in/min; your 2 failed welds on like jobs asked for more wire; so 219 in/min; likely range 190 to 251 in/min."}},
		"failures that disagree": {table(tee(), Limits{}), mixed,
			[]string{"Table 180 in/min; 2 of your 3 failed welds on like jobs asked for more wire; so 210 in/min; likely range 181 to 245 in/min."}},
		"failures without direction": {table(tee(), Limits{}), several(2, tee(), 100, 3, 0, 0),
			[]string{"Table 180 in/min; no weld on a like job says yet which way to go, so start there; likely range 132 to 245 in/min."}},
		"other jobs only": {table(tee(), Limits{}), several(6, unlike, 112, 5, 0, 0),
			[]string{"Table 180 in/min; no welds on like jobs yet, but your other welds point higher; so 188 in/min, mostly this machine; likely range 142 to 249 in/min."}},
		"limit": {table(tee(), Limits{TableMax: inches(195)}), several(6, tee(), 112, 5, 0, 0),
			[]string{"Table 180 in/min; your 6 good welds on like jobs run 12 % above it; so 195 in/min, held at the limit (table); without it 201 in/min; likely range 189 to 195 in/min."}},
		"limit below the table": {table(tee(), Limits{MachineMax: inches(170)}), several(6, tee(), 112, 5, 0, 0),
			[]string{"Table 180 in/min; set 170 in/min, held at the limit (machine); without it 201 in/min; the best setting likely lies past the limit."}},
		"tap": {table(low, Limits{}), several(3, low, 100, 2, -1, 1),
			[]string{"Table 180 in/min; no weld on a like job says yet which way to go, so start there; likely range 132 to 245 in/min.",
				"Your 3 welds on like jobs ran cold with too much wire on tap low, which no wire speed cures; so try tap high, from its own table value."}},
		"no hotter tap": {table(tee(), Limits{}), several(2, tee(), 100, 2, -1, 1),
			[]string{"Table 180 in/min; no weld on a like job says yet which way to go, so start there; likely range 132 to 245 in/min.",
				"Your 2 welds on like jobs ran cold with too much wire on the hottest tap, which no wire speed cures, and there is no hotter tap."}},
	} {
		t.Run(name, func(t *testing.T) {
			e := suggest(t, c.welds, c.q)
			if d := cmp.Diff(c.want, e.Explain(US())); d != "" {
				t.Error(d)
			}
		})
	}
}

func TestExplainNext(t *testing.T) {
	live := func(rating, heat, balance int) []Weld {
		w := made(900, tee(), 100, rating, heat, balance)
		w.WireSpeed, w.TableWireSpeed = inches(180), inches(180)
		return []Weld{w}
	}
	q := Query{Setup: tee(), TableWireSpeed: inches(180)}
	for name, c := range map[string]struct {
		live []Weld
		max  float64
		want string
	}{
		"cold":     {live(2, -1, 0), 0, "The last bead had too little wire at 180 in/min; up to 226 in/min."},
		"stubbing": {live(2, 0, 1), 0, "The last bead had too much wire at 180 in/min; down to 143 in/min."},
		"unclear":  {live(3, 0, 0), 0, "The last bead, at 180 in/min, was not good yet and nothing says which way (tall and cold, or flat and burning? say it with amend); up to 202 in/min, not tried yet."},
		"good":     {live(4, 0, 0), 0, "The last bead was good; keep 180 in/min."},
		"held":     {live(2, -1, 0), inches(190), "The last bead had too little wire at 180 in/min; up to 190 in/min, held at the limit (machine)."},
		"stuck": {live(2, -1, 0), inches(180.5), "The last bead, at 180 in/min, was not good, and no other wire speed within the limits is left to try: " +
			"change the tap or the joint preparation, not the wire speed."},
	} {
		t.Run(name, func(t *testing.T) {
			q.Live, q.Limits.MachineMax = c.live, c.max
			n := mustNext(t, mustModel(t, shop(), nil, usual), q)
			if d := cmp.Diff(c.want, n.Explain(US())[0]); d != "" {
				t.Error(d)
			}
		})
	}
}

var (
	tableText = regexp.MustCompile(`^Table ([\d.]+) \S+; `)
	soText    = regexp.MustCompile(`; so ([\d.]+) `)
	upWord    = regexp.MustCompile(`\b(above it|more wire|higher)\b`)
	downWord  = regexp.MustCompile(`\b(below it|less wire|lower)\b`)
	stepText  = regexp.MustCompile(`at ([\d.]+) \S+; .*?(up|down) to ([\d.]+) `)
)

func shownNumber(t *rapid.T, text string) float64 {
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// The words must go the way the shown numbers go, in either unit.
func TestWordsAgreeWithNumbers(t *testing.T) {
	check(t, func(t *rapid.T) {
		welds, q := drawWelds(t, "w", 15), drawQuery(t)
		if rapid.Bool().Draw(t, "capped") {
			q.Limits.MachineMax = q.TableWireSpeed * rapid.Float64Range(0.7, 1.3).Draw(t, "cap")
		}
		u := rapid.SampledFrom([]Units{US(), Metric()}).Draw(t, "units")
		m := mustModel(t, shop(), welds, usual)
		e := mustSuggest(t, m, q)
		text := e.Explain(u)[0]
		head := tableText.FindStringSubmatch(text)
		if head == nil {
			t.Fatalf("no table value: %s", text)
		}
		up, down := upWord.MatchString(text), downWord.MatchString(text)
		if so := soText.FindStringSubmatch(text); so != nil {
			d := shownNumber(t, so[1]) - shownNumber(t, head[1])
			if up == down || up != (d > 0) || d == 0 {
				t.Fatalf("shown difference %g: %s", d, text)
			}
		} else if up || down {
			t.Fatalf("a direction without a change: %s", text)
		}
		n := mustNext(t, m, q)
		lines := n.Explain(u)
		if step := stepText.FindStringSubmatch(lines[0]); step != nil {
			if d := shownNumber(t, step[3]) - shownNumber(t, step[1]); (step[2] == "up") != (d > 0) || d == 0 {
				t.Fatalf("shown difference %g: %s", d, lines[0])
			}
		}
		all := strings.Join(slices.Concat(e.Explain(u), lines), " ")
		for _, never := range []string{"certified", "safe", "structural", "strong enough", "NaN", "Inf", "%!"} {
			if strings.Contains(all, never) {
				t.Fatalf("%q in: %s", never, all)
			}
		}
	})
}

func TestDriftWords(t *testing.T) {
	got := Question{Welds: 12, ShiftPercent: -14.2}.Words()
	want := "Your last 12 welds on this machine point to about 14 % less wire than those before. " +
		"Did something change: wire, tip, liner, drive roll, polarity, extension cord?"
	if got != want {
		t.Errorf("%s", got)
	}
}
