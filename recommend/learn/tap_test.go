package learn

import "testing"

func TestTapVotes(t *testing.T) {
	low := tee()
	low.Tap = "low"
	otherJob := low
	otherJob.ThicknessIn, otherJob.Joint, otherJob.Position = 0.0359, "butt", "overhead"
	otherState := low
	otherState.Machine, otherState.State = "red", "new"
	cases := map[string]struct {
		query Setup
		welds []Weld
		votes float64
		tap   string
	}{
		"no welds": {low, nil, 0, "low"},
		"one vote": {low, several(1, low, 100, 2, -1, 1), 1, "high"},
		"one vote against two good ones here": {low, append(several(1, low, 100, 2, -1, 1), made(5, low, 100, 5, 0, 0),
			made(6, low, 100, 4, 0, 0)), 0.5, "low"},
		"good ones on the other tap":         {low, several(3, tee(), 100, 5, 0, 0), 0.75, "high"},
		"hot with too little wire, up there": {tee(), several(1, tee(), 100, 2, 1, -1), -1, "low"},
		"cold with too much wire, up there":  {tee(), several(3, tee(), 100, 2, -1, 1), 3, "high"},
		"good ones below":                    {tee(), several(3, low, 100, 5, 0, 0), -0.75, "low"},
		"good ones here keep it": {tee(), append(several(2, tee(), 100, 2, 1, -1), several4(tee())...),
			-2 + 4*0.25, "low"},
		"a job far off hardly counts": {low, several(2, otherJob, 100, 2, -1, 1), 2 * closeness(&low, &otherJob), "low"},
		"another machine does not":    {low, several(3, otherState, 100, 2, -1, 1), 0, "low"},
		"plain symptoms do not":       {low, several(5, low, 100, 2, -1, 0), 0, "low"},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			a, err := mustModel(t, shop(), c.welds, usual).AdviseTap(Query{Setup: c.query, TableWireSpeed: 5})
			if err != nil {
				t.Fatal(err)
			}
			near(t, "votes", a.Votes, c.votes, 1e-12)
			if a.Tap != c.tap || a.From != c.query.Tap {
				t.Errorf("%+v, want tap %s", a, c.tap)
			}
		})
	}
}

func several4(s Setup) (welds []Weld) {
	for i := range 4 {
		welds = append(welds, made(50+i, s, 100, 5, 0, 0))
	}
	return welds
}

// The middle tap of three can go either way.
func TestThreeTaps(t *testing.T) {
	machines := []Machine{{ID: "blue", Taps: []string{"1", "2", "3"}, States: []State{{"new", Original}}}}
	s := tee()
	s.Tap = "2"
	for _, c := range []struct {
		heat int
		tap  string
	}{{-1, "3"}, {1, "1"}} {
		m := mustModel(t, machines, several(2, s, 100, 2, c.heat, -c.heat), usual)
		if a, err := m.AdviseTap(Query{Setup: s, TableWireSpeed: 5}); err != nil || a.Tap != c.tap {
			t.Errorf("heat %d: %+v %v, want tap %s", c.heat, a, err, c.tap)
		}
	}
}

// The numbers move to the advised tap only with that tap's own table value.
func TestSuggestOnAdvisedTap(t *testing.T) {
	q := Query{Setup: tee(), TableWireSpeed: 4}
	q.Tap = "low"
	m := mustModel(t, shop(), several(3, q.Setup, 100, 2, -1, 1), usual)
	if e := mustSuggest(t, m, q); e.Tap != "low" || e.WireSpeed != 4 || e.TapAdvice.Tap != "high" {
		t.Errorf("without a table value for the high tap: %+v", e)
	}
	q.OtherTaps = []TapTable{{"high", 6}}
	if e := mustSuggest(t, m, q); e.Tap != "high" || e.Table != 6 || e.WireSpeed != 6 {
		t.Errorf("with one: %+v", e)
	}
}

// A vote of today that is in the log already counts once.
func TestLiveVotesOnce(t *testing.T) {
	q := Query{Setup: tee(), TableWireSpeed: 5}
	w := made(0, tee(), 100, 2, 1, -1)
	q.Live = []Weld{w}
	for _, log := range [][]Weld{nil, {w}} {
		a, err := mustModel(t, shop(), log, usual).AdviseTap(q)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "votes", a.Votes, -1, 1e-12)
	}
}
