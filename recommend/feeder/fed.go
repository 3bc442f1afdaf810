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
	Uses         []Use
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

// Use is what a weld tells of wire: a weld is large, and a notebook may hold many.
type Use struct {
	ID, Spool, Machine string
	At                 time.Time
	Struck             bool
	Speed              procedures.MPerMin // of the wire; zero: not known

	Length float64 // mm of wire fed; zero: not known
	Off    float64 // how far that may be off, as a part of it
	Timed  bool    // by its arc time; else by length and pace
}

// UseOf is what one weld tells of wire. It fed arc time x wire speed; without an
// arc time length / travel x passes x wire speed. Plain arithmetic.
func UseOf(w *procedures.Weld) Use {
	set := &w.Settings
	u := Use{ID: w.ID, Spool: w.Spool, Machine: w.Job.Machine, At: w.At, Struck: w.Struck != "", Speed: set.WireSpeed}
	seconds, off := float64(w.ArcTime), timedError
	u.Timed = seconds > 0
	if !u.Timed {
		if set.Travel <= 0 || w.Job.Length <= 0 {
			return u
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
	if length := seconds / 60 * float64(set.WireSpeed) * 1000; length > 0 {
		u.Length, u.Off = length, off
	}
	return u
}

// Feed counts the wire fed after since and up to until; a zero time is no bound.
// A weld of which nothing is known adds nothing to the length; to the upper end
// it adds as much as the longest weld that is known. Where no weld is known the
// upper end has no bound.
func Feed(r Records, since, until time.Time) Fed {
	var f Fed
	inside := func(at time.Time, struck bool) bool {
		return !struck && (since.IsZero() || at.After(since)) && (until.IsZero() || !at.After(until))
	}
	add := func(length, off float64) {
		f.Length += length
		f.Low += length * (1 - off)
		f.High += length * (1 + off)
	}
	for i := range r.Uses {
		u := &r.Uses[i]
		if !inside(u.At, u.Struck) {
			continue
		}
		f.Welds++
		switch {
		case u.Length == 0:
			continue
		case u.Timed:
			f.Timed++
		default:
			f.Paced++
		}
		add(u.Length, u.Off)
		f.longest = max(f.longest, u.Length*(1+u.Off))
	}
	for _, run := range r.RunOuts {
		if inside(run.At, run.Struck != "") {
			f.Other++
			add(float64(run.Length+run.ShortLength), 0)
		}
	}
	for _, m := range r.Measurements {
		if m.Kind == procedures.WireFed && inside(m.At, m.Struck != "") {
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

// only returns the uses that are wanted, in a slice of their own unless that is all.
func only(uses []Use, wanted func(*Use) bool) (some []Use) {
	if !slices.ContainsFunc(uses, func(u Use) bool { return !wanted(&u) }) {
		return slices.Clip(uses)
	}
	for i := range uses {
		if wanted(&uses[i]) {
			some = append(some, uses[i])
		}
	}
	return some
}

// OnMachine keeps the records of one machine, by its name.
func OnMachine(r Records, machine string) Records {
	own := Records{Uses: only(r.Uses, func(u *Use) bool { return u.Machine == machine })}
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
	own := Records{Uses: only(r.Uses, func(u *Use) bool { return u.Spool == spool })}
	for _, run := range r.RunOuts {
		if loaded(r.Uses, run.Machine, run.At) == spool {
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
func loaded(uses []Use, machine string, at time.Time) string {
	var before, after *Use
	for i := range uses {
		u := &uses[i]
		switch {
		case u.Machine != machine || u.Spool == "" || u.Struck:
		case u.At.After(at):
			if after == nil || sooner(u, after) {
				after = u
			}
		case before == nil || sooner(before, u):
			before = u
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

// sooner orders uses by time, and those of one time by id.
func sooner(a, b *Use) bool {
	if !a.At.Equal(b.At) {
		return a.At.Before(b.At)
	}
	return a.ID < b.ID
}
