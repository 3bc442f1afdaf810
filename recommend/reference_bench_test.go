package recommend_test

import (
	"beadwright/procedures"
	"beadwright/recommend"
	"beadwright/recommend/source"
)

// found is the figure of a finding by its key.
func found(in *inputs, all []source.Finding, key string) source.Finding {
	in.t.Helper()
	for _, f := range all {
		if f.Key == key {
			return f
		}
	}
	in.t.Fatalf("no finding %s", key)
	return source.Finding{}
}

func losses(in *inputs) source.Losses {
	p := source.Probes{Current: procedures.Amps(in.f("amps")), Terminals: procedures.Volts(in.or("posts_V", 0)), Arc: procedures.Volts(in.or("arc_V", 0))}
	if in.has("clamp_V") {
		p.Clamp = source.Lost{Volts: in.f("clamp_V"), Read: true}
	}
	if in.has("AWG") {
		p.WorkLead = source.Copper{AWG: int(in.f("AWG")), Length: procedures.MM(in.f("one_way_ft") * footMM)}
		p.GunLead = p.WorkLead
		if p.Terminals == 0 { // the copper is asked for, whatever was lost
			p.Terminals, p.Arc = 20, 19
		}
	}
	return must[source.Losses](in)(source.FindLosses(p))
}

func sag(in *inputs) source.Sag {
	return must[source.Sag](in)(source.LineSag(procedures.Volts(in.f("idle_V")), procedures.Volts(in.f("loaded_V")), procedures.Amps(in.or("input_A", 0)), procedures.Volts(in.or("arc_V", 0))))
}

func circuit(in *inputs, c source.Circuit) []source.Finding {
	all, _, err := c.Judge()
	return must[[]source.Finding](in)(all, err)
}

func bracket(in *inputs) recommend.Bracket {
	m := procedures.Machine{Measurements: []procedures.Measurement{{Kind: procedures.StubMark, Value: in.f("stub")}, {Kind: procedures.BurnBackMark, Value: in.f("burn_back")}}}
	all := recommend.Brackets(m)
	if len(all) != 1 {
		in.t.Fatalf("%+v", all)
	}
	return all[0]
}

func init() {
	teach(map[string]func(in *inputs) any{
		"loss_total_V":   func(in *inputs) any { return losses(in).Total },
		"loss_piece_ohm": func(in *inputs) any { return *losses(in).Pieces[0].Ohms },
		"loss_copper_V":  func(in *inputs) any { return losses(in).Copper.Value },
		"loss_joints": func(in *inputs) any {
			if losses(in).Joints {
				return "joints"
			}
			return "copper"
		},
		"line_sag_pct":    func(in *inputs) any { return float64(sag(in).Share) },
		"line_sag_arc_V":  func(in *inputs) any { return float64(sag(in).Arc) },
		"line_source_ohm": func(in *inputs) any { return sag(in).Ohms },
		"circuit_figure": func(in *inputs) any {
			plate := procedures.Amps(in.f("plate_A"))
			return found(in, circuit(in, source.Circuit{Draw: plate, Plate: plate, Duty: procedures.Percent(in.f("duty_pct")), Breaker: procedures.Amps(in.f("breaker_A"))}), in.s("key")).Figure.Value
		},
		"wall_breaker": func(in *inputs) any {
			return string(found(in, circuit(in, source.Circuit{Wall: int(in.f("wall_AWG")), Breaker: procedures.Amps(in.f("breaker_A"))}), "wall").Verdict)
		},
		"rebuilt_figure": func(in *inputs) any {
			r := source.Rebuilt{Current: procedures.Amps(in.or("amps", 0)), Open: procedures.Volts(in.or("open_V", 0)), Rebuild: procedures.Rebuild{ACVolts: procedures.Volts(in.or("ac_V", 0)),
				Farads: in.or("farads", 0), BleedOhms: in.or("ohms", 0), DiodeVolts: procedures.Volts(in.or("diode_V", 0)), CapVolts: procedures.Volts(in.or("capacitor_V", 0))}}
			all, _, err := r.Judge()
			return found(in, must[[]source.Finding](in)(all, err), in.s("key")).Figure.Value
		},
		"bracket_middle": func(in *inputs) any { return bracket(in).Middle },
		"bracket_width":  func(in *inputs) any { return bracket(in).Width },
	})
}
