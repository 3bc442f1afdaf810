package main

import (
	"context"
	"fmt"
	"slices"
	"time"

	"beadwright/procedures"
	"beadwright/recommend/feeder"
)

// supplyLines says, a line each, what spool and tip want before more is welded:
// nothing where all is well or not known. r holds the welds made with the spool
// and, where the tip is to be looked at, those of the machine. need is the wire of
// the job; zero where it is not known.
func supplyLines(s procedures.Spool, m procedures.Machine, r feeder.Records, need procedures.Grams, now time.Time, units procedures.Units) []string {
	lines := []string{}
	if s.ID != "" && !rods(s) {
		left, err := feeder.Spool(s, r)
		switch {
		case err != nil:
		case left.Fed.Welds > feeder.MostWelds:
			lines = append(lines, fmt.Sprintf("more than %d welds stand on this spool since it was new or weighed, and what is left is anybody's guess: weigh it, or write the next one down", feeder.MostWelds))
		case left.Short(need):
			lines = append(lines, fmt.Sprintf("the job wants about %s of wire, and about %s is left (%s at the least): have another spool ready", grams(float64(need), units), grams(left.Grams, units), grams(left.GramsLow, units)))
		case left.Low():
			job := ""
			if need > 0 {
				job = ", and the job wants about " + grams(float64(need), units)
			}
			lines = append(lines, fmt.Sprintf("nearly empty, about %s left%s: have another spool ready", grams(left.Grams, units), job))
		}
		if feeder.Stale(s, r.Uses, now) {
			lines = append(lines, "this wire has sat open for months: check coupon first, rust and damp show as porosity (common practice, no source)")
		}
	}
	if _, ok := feeder.TipsSince(feeder.OnMachine(r, m.Name).Measurements); !ok {
		return lines
	}
	if t := feeder.TipOf(r, m.Name); t.Worn() {
		usual, _ := t.Usual()
		lines = append(lines, fmt.Sprintf("the contact tip is near its usual end, about %s of %s: look for an oval hole, a wandering arc", reach(t.Fed.Length/1000, units), reach(usual/1000, units)))
	}
	return lines
}

// supply are the lines for a spool, by its id, and a machine. The notebook is asked
// only where there is something to count from, and for no more than that: what a
// suggestion costs does not grow with the notebook.
func (a *app) supply(ctx context.Context, spool string, m procedures.Machine, need procedures.Grams, units procedures.Units) ([]string, error) {
	if a.nb == nil {
		return []string{}, nil
	}
	r := feeder.Records{RunOuts: m.RunOuts, Measurements: m.Measurements}
	var s procedures.Spool
	var err error
	if spool != "" {
		if s, err = a.nb.Spool(ctx, spool); err != nil {
			return nil, err
		}
		own, err := a.nb.SpoolMeasurements(ctx, spool)
		if err != nil {
			return nil, err
		}
		for _, o := range own {
			if o.Machine != m.Name { // the machine's are there already
				r.Measurements = append(r.Measurements, o)
			}
		}
		if last, weighed := feeder.LastWeighing(own, spool); weighed || s.Grams > 0 {
			r.Uses, err = a.uses(ctx, procedures.Filter{Spool: spool, Since: last.At, Limit: feeder.MostWelds + 1}, m)
		} else { // when it was last used
			var latest []procedures.Weld
			latest, err = a.nb.Find(ctx, procedures.Filter{Spool: spool, Limit: 1})
			for i := range latest {
				r.Uses = append(r.Uses, feeder.UseOf(&latest[i]))
			}
		}
		if err != nil {
			return nil, err
		}
	}
	if since, ok := feeder.TipsSince(m.Measurements); ok {
		made, err := a.uses(ctx, procedures.Filter{Machine: m.Name, Since: since}, m)
		if err != nil {
			return nil, err
		}
		known := map[string]bool{}
		for _, u := range r.Uses {
			known[u.ID] = true
		}
		r.Uses = append(r.Uses, slices.DeleteFunc(made, func(u feeder.Use) bool { return known[u.ID] })...)
	}
	return supplyLines(s, m, r, need, a.now(), units), nil
}

// uses is what welds tell of wire, by the knobs of these machines.
func (a *app) uses(ctx context.Context, f procedures.Filter, machines ...procedures.Machine) (list []feeder.Use, err error) {
	dials := dialsOf(machines)
	err = a.nb.Fed(ctx, f, func(w *procedures.Weld) {
		dials.Derive(w)
		list = append(list, feeder.UseOf(w))
	})
	return list, err
}
