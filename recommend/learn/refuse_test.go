package learn

import (
	"errors"
	"math"
	"testing"
)

func TestRefusals(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for name, c := range map[string]struct {
		field string
		spoil func(*Weld)
	}{
		"nan speed":        {"wire_speed", func(w *Weld) { w.WireSpeed = nan }},
		"infinite speed":   {"wire_speed", func(w *Weld) { w.WireSpeed = inf }},
		"negative speed":   {"wire_speed", func(w *Weld) { w.WireSpeed = -1 }},
		"inches for m/min": {"wire_speed", func(w *Weld) { w.WireSpeed = 200 }},
		"nan table":        {"table_wire_speed", func(w *Weld) { w.TableWireSpeed = nan }},
		"thin":             {"thickness_in", func(w *Weld) { w.ThicknessIn = 0 }},
		"thick":            {"thickness_in", func(w *Weld) { w.ThicknessIn = 3.2 }},
		"nan thickness":    {"thickness_in", func(w *Weld) { w.ThicknessIn = nan }},
		"wire in mm":       {"wire_diameter_in", func(w *Weld) { w.WireDiameterIn = 0.8 }},
		"rating":           {"rating", func(w *Weld) { w.Rating = 6 }},
		"heat":             {"heat", func(w *Weld) { w.Heat = 2 }},
		"balance":          {"balance", func(w *Weld) { w.Balance = -2 }},
		"machine":          {"machine", func(w *Weld) { w.Machine = "green" }},
		"state":            {"state", func(w *Weld) { w.State = "gone" }},
		"tap":              {"tap", func(w *Weld) { w.Tap = "C" }},
		"id":               {"id", func(w *Weld) { w.ID = "" }},
		"id twice":         {"id", func(w *Weld) { w.ID = "w000" }},
	} {
		t.Run(name, func(t *testing.T) {
			w := made(1, tee(), 100, 4, 0, 0)
			c.spoil(&w)
			_, err := New(shop(), []Weld{made(0, tee(), 100, 4, 0, 0), w})
			var in *InputError
			if !errors.As(err, &in) || in.Field != c.field || in.Got == "" || in.Want == "" {
				t.Errorf("%v, want an InputError about %s", err, c.field)
			}
		})
	}
}

func TestQueryRefusals(t *testing.T) {
	m := mustModel(t, shop(), nil, usual)
	other := tee()
	other.Joint = "lap"
	for field, q := range map[string]Query{
		"thickness_in":     {Setup: Setup{Machine: "blue", State: "new", Tap: "low", ThicknessIn: math.NaN(), WireDiameterIn: 0.03}, TableWireSpeed: 5},
		"table_wire_speed": {Setup: tee(), TableWireSpeed: math.Inf(1)},
		"machine":          {TableWireSpeed: 5},
		"live":             {Setup: tee(), TableWireSpeed: 5, Live: []Weld{made(0, other, 100, 4, 0, 0)}},
		"id":               {Setup: tee(), TableWireSpeed: 5, Live: []Weld{made(0, tee(), 100, 4, 0, 0), made(0, tee(), 90, 4, 0, 0)}},
		"tap":              {Setup: tee(), TableWireSpeed: 5, OtherTaps: []TapTable{{"middle", 4}}},
		"machine_max":      {Setup: tee(), TableWireSpeed: 5, Limits: Limits{MachineMax: math.NaN()}},
	} {
		_, err := m.Suggest(q)
		var in *InputError
		if !errors.As(err, &in) || in.Field != field {
			t.Errorf("%s: %v, want an InputError about it", field, err)
		}
	}
}

func TestMachineRefusals(t *testing.T) {
	for name, ms := range map[string][]Machine{
		"no id":      {{}},
		"id twice":   {{ID: "a"}, {ID: "a"}},
		"bad kind":   {{ID: "a", States: []State{{"s", "painted"}}}},
		"state name": {{ID: "a", States: []State{{"s", Feed}, {"s", Feed}}}},
		"tap name":   {{ID: "a", Taps: []string{"1", "1"}}},
	} {
		var in *InputError
		if _, err := New(ms, nil); !errors.As(err, &in) {
			t.Errorf("%s: %v, want an InputError", name, err)
		}
	}
}
