package feeder

import (
	"time"

	"beadwright/procedures"
	"beadwright/recommend/arc"
)

// Left is what a spool still has on it. Grams and metres are 0 or more.
type Left struct {
	Known bool // a weight to count from is known; without one all below but Fed and PerMetre is zero

	Start   float64   // g of wire that the count begins with
	Full    float64   // g of the fullest that it was known to be
	Weighed bool      // Start was put on scales; else it is the label's
	At      time.Time // when it was weighed; zero for the label

	Grams, GramsLow, GramsHigh    float64
	Metres, MetresLow, MetresHigh float64

	Speed                            procedures.MPerMin // of the last weld that has one; zero: not known
	Minutes, MinutesLow, MinutesHigh float64            // of arc at that speed; zero where it is not known

	Fed      Fed       // since then
	PerMetre arc.Value // g/m, see [arc.WireMass]
}

// MostWelds is how many welds are counted off a spool before a job: a large spool for
// a small machine, 10 lb, is about as many short beads. Beyond it somebody forgot to write the
// next spool down. A design choice.
const MostWelds = 2000

// LastWeighing is the latest time that the spool was put on scales. ok is false
// where it never was.
func LastWeighing(ms []procedures.Measurement, spool string) (last procedures.Measurement, ok bool) {
	for _, m := range ms {
		if m.Kind != procedures.SpoolWeight || m.Spool != spool || m.Struck != "" {
			continue
		}
		if !ok || m.At.After(last.At) || m.At.Equal(last.At) && (m.Number > last.Number || m.Number == last.Number && m.ID > last.ID) {
			last, ok = m, true
		}
	}
	return last, ok
}

// Spool counts what is left: the last weighing, or the label where there was
// none, less the wire fed since, by the wire's weight per metre. The range of a
// cored wire is wide, as its weight is from memory. Neither end falls below
// nothing. Errors are those of [arc.WireMass].
//
// By arithmetic: grams left = start - fed x g/m; metres left = start / (g/m) - fed.
func Spool(s procedures.Spool, r Records) (Left, error) {
	mass, err := arc.WireMass(s.Wire)
	if err != nil {
		return Left{}, err
	}
	own := OnSpool(r, s.ID)
	left := Left{PerMetre: mass, Start: float64(s.Grams), Full: float64(s.Grams), Known: s.Grams > 0}
	for _, m := range own.Measurements {
		if m.Kind == procedures.SpoolWeight && m.Struck == "" {
			left.Full = max(left.Full, m.Value)
		}
	}
	if m, ok := LastWeighing(own.Measurements, s.ID); ok {
		left.Known, left.Weighed, left.Start, left.At = true, true, m.Value, m.At
	}
	left.Fed = Feed(own, left.At, time.Time{})
	if !left.Known {
		return left, nil
	}
	fed := left.Fed
	grams := func(fedMM, perMetre float64) float64 { return max(0, left.Start-fedMM/1000*perMetre) }
	left.Grams = grams(fed.Length, mass.Value)
	left.GramsLow, left.GramsHigh = grams(fed.High, mass.High), grams(fed.Low, mass.Low)
	metres := func(fedMM, perMetre float64) float64 { return max(0, left.Start/perMetre-fedMM/1000) }
	left.Metres = metres(fed.Length, mass.Value)
	left.MetresLow, left.MetresHigh = metres(fed.High, mass.High), metres(fed.Low, mass.Low)
	if left.Speed = lastSpeed(own.Uses); left.Speed > 0 {
		v := float64(left.Speed)
		left.Minutes, left.MinutesLow, left.MinutesHigh = left.Metres/v, left.MetresLow/v, left.MetresHigh/v
	}
	return left, nil
}

// lastSpeed is the wire speed of the latest use that has one.
func lastSpeed(uses []Use) procedures.MPerMin {
	last := &Use{}
	for i := range uses {
		if u := &uses[i]; !u.Struck && u.Speed > 0 && (last.Speed == 0 || sooner(last, u)) {
			last = u
		}
	}
	return last.Speed
}

// almostEmpty is the part of a full spool below which another should be at hand, and
// fewGrams the most that this can be: a tenth of a large spool is much weld yet.
// Design choices.
const (
	almostEmpty = 0.10
	fewGrams    = 100
)

// Low reports whether under a tenth of the full spool is left, and not much wire.
func (l Left) Low() bool { return l.Known && l.Grams < min(almostEmpty*l.Full, fewGrams) }

// Short reports whether a job that needs so many grams of wire may run out: the
// need is above the lower end of what is left, or above the middle where no weld
// tells enough for a lower end.
func (l Left) Short(need procedures.Grams) bool {
	if !l.Known || need <= 0 {
		return false
	}
	if l.Fed.Unknown() > 0 && l.Fed.Timed+l.Fed.Paced == 0 {
		return float64(need) > l.Grams
	}
	return float64(need) > l.GramsLow
}

// Wire that is open longer than openLong, and was not welded with for idleLong,
// wants a look before a part. Common practice, no source; the times are a design
// choice.
const (
	openLong = 90 * 24 * time.Hour
	idleLong = 30 * 24 * time.Hour
)

// Stale reports whether an opened spool sat for long: open for three months or
// more, and not welded with in the last month. An opening that is
// not known is not old.
func Stale(s procedures.Spool, uses []Use, now time.Time) bool {
	if s.Opened.IsZero() || now.Sub(s.Opened) < openLong {
		return false
	}
	for i := len(uses) - 1; i >= 0; i-- { // the latest are mostly at the end
		if u := &uses[i]; u.Spool == s.ID && !u.Struck && now.Sub(u.At) < idleLong {
			return false
		}
	}
	return true
}
