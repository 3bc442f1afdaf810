package feeder

import (
	"math"
	"slices"
	"time"

	"beadwright/procedures"
)

// Records are what a notebook holds of wire that was fed: welds, run-outs and
// measurements, in any order. Withdrawn ones are passed over.
type Records struct {
	Welds        []procedures.Weld
	RunOuts      []procedures.RunOut
	Measurements []procedures.Measurement
}

// Fed is how much wire ran through a gun, and what that rests on. Lengths are mm.
type Fed struct {
	Length    float64 // by the welds that are known, run-outs and what was said
	Low, High float64 // Low <= Length <= High
	Welds     int
	Timed     int // welds whose arc time is known
	Paced     int // welds reckoned from length and pace instead
	Other     int // run-outs, and wire fed that was written down
	longest   float64
}

// Unknown is the number of welds that fed nobody knows how much.
func (f Fed) Unknown() int { return f.Welds - f.Timed - f.Paced }

// How far a weld's length of wire may be off, as a part of it. Design choices, no
// source: an arc slows some feeders and a stopwatch is started late; a suggested
// pace is what a hand aims at; a wire speed guessed from an unmeasured knob is
// little more than a third of its range.
const (
	timedError  = 0.10
	pacedError  = 0.40
	strideError = 0.20 // with a pace that was measured
	guessError  = 0.25 // on top, where the wire speed is a guess
)

// WeldFed is the wire one weld fed, in mm, and how far that may be off as a part
// of it: arc time x wire speed; without an arc time length / travel x passes x
// wire speed. ok is false where neither is known. Plain arithmetic.
func WeldFed(w procedures.Weld) (length, off float64, ok bool) {
	set := w.Settings
	seconds := float64(w.ArcTime)
	off = timedError
	if seconds <= 0 {
		if set.Travel <= 0 || w.Job.Length <= 0 {
			return 0, 0, false
		}
		seconds = float64(w.Job.Length) / float64(set.Travel) * 60 * float64(max(set.Passes, 1))
		off = pacedError
		if set.How["travel_mm_min"] == procedures.Measured {
			off = strideError
		}
	}
	if set.How["wire_speed_m_min"] == procedures.Guessed {
		off += guessError
	}
	length = seconds / 60 * float64(set.WireSpeed) * 1000
	return length, off, length > 0
}

// Feed counts the wire fed after since and up to until; a zero time is no bound.
// A weld of which nothing is known adds nothing to the length; to the upper end
// it adds as much as the longest weld that is known. Where no weld is known the
// upper end has no bound.
func Feed(r Records, since, until time.Time) Fed {
	var f Fed
	inside := func(at time.Time, struck string) bool {
		return struck == "" && (since.IsZero() || at.After(since)) && (until.IsZero() || !at.After(until))
	}
	add := func(length, off float64) {
		f.Length += length
		f.Low += length * (1 - off)
		f.High += length * (1 + off)
	}
	for _, w := range r.Welds {
		if !inside(w.At, w.Struck) {
			continue
		}
		f.Welds++
		length, off, ok := WeldFed(w)
		switch {
		case !ok:
			continue
		case w.ArcTime > 0:
			f.Timed++
		default:
			f.Paced++
		}
		add(length, off)
		f.longest = max(f.longest, length*(1+off))
	}
	for _, run := range r.RunOuts {
		if inside(run.At, run.Struck) {
			f.Other++
			add(float64(run.Length+run.ShortLength), 0)
		}
	}
	for _, m := range r.Measurements {
		if m.Kind == procedures.WireFed && inside(m.At, m.Struck) {
			f.Other++
			add(m.Value, 0)
		}
	}
	switch n := f.Unknown(); {
	case n > 0 && f.longest == 0:
		f.High = math.Inf(1)
	case n > 0:
		f.High += float64(n) * f.longest
	}
	return f
}

// only returns the welds that are wanted, in a slice of their own unless that is
// all of them: a weld is large, and a notebook may hold many.
func only(welds []procedures.Weld, wanted func(*procedures.Weld) bool) []procedures.Weld {
	var places []int
	for i := range welds {
		if wanted(&welds[i]) {
			places = append(places, i)
		}
	}
	if len(places) == len(welds) {
		return slices.Clip(welds)
	}
	some := make([]procedures.Weld, len(places))
	for i, place := range places {
		some[i] = welds[place]
	}
	return some
}

// OnMachine keeps the records of one machine, by its name.
func OnMachine(r Records, machine string) Records {
	own := Records{Welds: only(r.Welds, func(w *procedures.Weld) bool { return w.Job.Machine == machine })}
	for _, run := range r.RunOuts {
		if run.Machine == machine {
			own.RunOuts = append(own.RunOuts, run)
		}
	}
	for _, m := range r.Measurements {
		if m.Machine == machine {
			own.Measurements = append(own.Measurements, m)
		}
	}
	return own
}

// OnSpool keeps the records of one spool, by its id. A run-out does not say which
// spool was in the machine: it counts to that of the last weld made on the machine
// before it, else to that of the first one after it.
func OnSpool(r Records, spool string) Records {
	own := Records{Welds: only(r.Welds, func(w *procedures.Weld) bool { return w.Spool == spool })}
	for _, run := range r.RunOuts {
		if loaded(r.Welds, run.Machine, run.At) == spool {
			own.RunOuts = append(own.RunOuts, run)
		}
	}
	for _, m := range r.Measurements {
		if m.Spool == spool {
			own.Measurements = append(own.Measurements, m)
		}
	}
	return own
}

// loaded is the id of the spool that was in a machine at a time, as far as the
// welds tell; "" where they do not.
func loaded(welds []procedures.Weld, machine string, at time.Time) string {
	var before, after *procedures.Weld
	for i := range welds {
		w := &welds[i]
		switch {
		case w.Job.Machine != machine || w.Spool == "" || w.Struck != "":
		case w.At.After(at):
			if after == nil || sooner(w, after) {
				after = w
			}
		case before == nil || sooner(before, w):
			before = w
		}
	}
	switch {
	case before != nil:
		return before.Spool
	case after != nil:
		return after.Spool
	}
	return ""
}

// sooner orders welds by time, and welds of one time by id.
func sooner(a, b *procedures.Weld) bool {
	if !a.At.Equal(b.At) {
		return a.At.Before(b.At)
	}
	return a.ID < b.ID
}
