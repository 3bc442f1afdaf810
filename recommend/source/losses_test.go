package source_test

import (
	"math"
	"testing"

	"beadwright/procedures"
	"beadwright/recommend/source"

	"pgregory.net/rapid"
)

func lost(v float64) source.Lost { return source.Lost{Volts: v, Read: true} }

// 8 ft of 6 AWG out and 8 ft back at 80 A: 0.63 V of copper (0.491 ohm for 1000 ft,
// NEC Chapter 9 Table 8). 18.6 V at the posts and 16.5 V at the arc leave 1.47 V.
func TestFindLosses(t *testing.T) {
	lead := source.Copper{AWG: 6, Length: feet(8)}
	p := source.Probes{Terminals: 18.6, Arc: 16.5, Current: 80, GunLead: lead, WorkLead: lead, Clamp: lost(1.3), Work: lost(0.4), Gun: lost(0.2)}
	l, err := source.FindLosses(p)
	if err != nil {
		t.Fatal(err)
	}
	if !near(l.Total, 2.1, 1e-9) || !l.Measured || !near(l.Copper.Value, 0.62848, 1e-9) || !near(l.Above, 1.47152, 1e-9) || !l.Joints {
		t.Errorf("%+v", l)
	}
	sound(t, "copper", l.Copper)
	worst := l.Pieces[0]
	if worst.Name != "clamp" || !near(*worst.Ohms, 1.3/80, 1e-12) || !near(*worst.Watts, 104, 1e-9) || worst.Above != nil {
		t.Errorf("the worst piece is %+v", worst)
	}
	rest := l.Pieces[len(l.Pieces)-1]
	if rest.Name != "the rest" || !near(rest.Volts, 0.2, 1e-9) {
		t.Errorf("what no probe covered: %+v", rest)
	}
	for _, one := range l.Pieces {
		if one.Name == "work lead" && (!near(*one.Copper, 0.31424, 1e-9) || !near(*one.Above, 0.08576, 1e-9)) {
			t.Errorf("work lead: %+v", one)
		}
	}
	if s, ok := l.Fraction(p); !ok || !near(float64(s), 100*2.1/18.6, 1e-9) {
		t.Errorf("%v of the posts' volts are lost", s)
	}
	if source.Worst(l.Findings) != source.Marginal {
		t.Errorf("findings: %+v", l.Findings)
	}

	good := p
	good.Arc, good.Clamp, good.Work, good.Gun = 17.6, lost(0.1), lost(0.35), lost(0.4)
	if l, err = source.FindLosses(good); err != nil || l.Joints || source.Worst(l.Findings) != source.Fine {
		t.Errorf("good leads: %+v, %v", l, err)
	}
}

// A heavy piece of copper is not blamed before a small bad joint.
func TestCopperIsNotBlamed(t *testing.T) {
	l, err := source.FindLosses(source.Probes{Current: 90, Clamp: lost(1.2), Gun: lost(1.5), GunLead: source.Copper{AWG: 10, Length: feet(10)}})
	if err != nil || l.Pieces[0].Name != "clamp" || !l.Joints || l.Measured {
		t.Errorf("%+v, %v", l, err)
	}
}

// What is not known is asked for, and where it is not, nothing is invented.
func TestLossesWithoutAmps(t *testing.T) {
	l, err := source.FindLosses(source.Probes{Terminals: 18, Arc: 17})
	if err != nil || l.Copper.Unit != "" || l.Joints || len(l.Pieces) != 0 || len(l.Missing) != 6 {
		t.Errorf("%+v, %v", l, err)
	}
	if l, err = source.FindLosses(source.Probes{Clamp: lost(0)}); err != nil || l.Total != 0 || l.Pieces[0].Ohms != nil {
		t.Errorf("nothing lost is a reading: %+v, %v", l, err)
	}
}

func TestLossesRefused(t *testing.T) {
	for what, p := range map[string]source.Probes{
		"nothing":              {},
		"posts alone":          {Terminals: 18},
		"swapped":              {Terminals: 17, Arc: 18},
		"more than the whole":  {Terminals: 18, Arc: 17.5, Clamp: lost(2.5)},
		"not a number":         {Clamp: lost(math.NaN())},
		"amps that cannot be":  {Clamp: lost(1), Current: 1e6},
		"a lead of no size":    {Work: lost(1), Current: 80, WorkLead: source.Copper{AWG: 7, Length: feet(8)}},
		"a lead of no length":  {Work: lost(1), Current: 80, WorkLead: source.Copper{AWG: 6}},
		"a gun lead too thick": {Terminals: 18, Arc: 17, Current: 80, WorkLead: source.Copper{AWG: 6, Length: feet(8)}, GunLead: source.Copper{AWG: 2, Length: feet(8)}},
	} {
		refused(t, what, second(source.FindLosses(p)))
	}
}

// The pieces with what no probe covered are the whole, whatever is read.
func TestLossesAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		read := func(name string) source.Lost {
			return source.Lost{Volts: rapid.Float64Range(0, 3).Draw(t, name), Read: rapid.Bool().Draw(t, name+" read")}
		}
		p := source.Probes{Clamp: read("clamp"), Gun: read("gun"), Work: read("work"), Arc: 18, Current: procedures.Amps(rapid.Float64Range(20, 200).Draw(t, "amps"))}
		var pieces float64
		for _, one := range []source.Lost{p.Clamp, p.Gun, p.Work} {
			if one.Read {
				pieces += one.Volts
			}
		}
		p.Terminals = p.Arc + procedures.Volts(pieces+rapid.Float64Range(0, 4).Draw(t, "more"))
		l, err := source.FindLosses(p)
		if err != nil {
			t.Fatal(err)
		}
		var all float64
		for _, one := range l.Pieces {
			all += one.Volts
			if math.Abs(*one.Ohms*float64(p.Current)-one.Volts) > 1e-9 {
				t.Errorf("%+v", one)
			}
		}
		if len(l.Pieces) > 0 && l.Total-all > 0.05+1e-9 {
			t.Errorf("the pieces make %v V of %v V", all, l.Total)
		}
	})
}

// Each piece is judged by itself: a clamp of 1.5 V is bad though the sum, with a work
// lead read below its own copper, looks like copper alone. The readings are a
// stranger's; 8 ft and 10 ft of 8 AWG lose 0.53 and 0.66 V at 85 A.
func TestEachPieceIsJudged(t *testing.T) {
	p := source.Probes{Terminals: 18.6, Arc: 16.5, Current: 85, Clamp: lost(1.5), Work: lost(0.2), Gun: lost(0.4),
		WorkLead: source.Copper{AWG: 8, Length: feet(8)}, GunLead: source.Copper{AWG: 8, Length: feet(10)}}
	l, err := source.FindLosses(p)
	if err != nil || !l.Joints || l.Pieces[0].Name != "clamp" {
		t.Fatalf("%+v, %v", l, err)
	}
	if f := finding(t, l.Findings, "clamp"); f.Verdict != source.Marginal {
		t.Errorf("%+v", f)
	}
	for key, want := range map[string]source.Verdict{"work lead": source.Unknown, "gun lead": source.Unknown, "copper": source.Unknown} {
		if f := finding(t, l.Findings, key); f.Verdict != want {
			t.Errorf("%s: %+v", key, f)
		}
	}
	p.WorkLead, p.GunLead, p.Clamp, p.Arc = source.Copper{}, source.Copper{}, lost(0.9), 17.1
	if l, err = source.FindLosses(p); err != nil || !l.Joints {
		t.Errorf("0.9 V at the clamp: %+v, %v", l, err)
	}
	p.Clamp, p.Arc = lost(0.2), 17.6
	if l, err = source.FindLosses(p); err != nil || l.Joints {
		t.Errorf("0.2 V at the clamp: %+v, %v", l, err)
	}
}
