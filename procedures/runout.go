package procedures

import (
	"fmt"
	"time"
)

// RunOut is one timed length of wire, run out at one mark of the knob with the
// clamp off the work. Two runs at the same mark, a short and a long one, cancel
// what the feeder takes to start and to stop.
type RunOut struct {
	ID      string    `json:"id"`     // UUIDv7
	Number  int       `json:"number"` // of this machine, from 1: how a person names it
	At      time.Time `json:"at"`
	Machine string    `json:"machine"` // name
	State   string    `json:"state"`   // id of the machine's state
	Tap     string    `json:"tap"`     // "": the machine has none, or it was not said
	Mark    float64   `json:"mark"`

	Length       MM      `json:"length_mm"`
	Seconds      Seconds `json:"seconds"`
	ShortLength  MM      `json:"short_length_mm"` // of the short run; zero: there was none
	ShortSeconds Seconds `json:"short_seconds"`

	Struck string `json:"struck"` // why it was withdrawn; "" stands
}

// Speed is the wire speed of the run: 60*L/t, or 60*(L2-L1)/(t2-t1) where a short
// run was made as well. Plain arithmetic.
func (r RunOut) Speed() MPerMin {
	length, seconds := r.Length, r.Seconds
	if r.ShortSeconds > 0 {
		length, seconds = length-r.ShortLength, seconds-r.ShortSeconds
	}
	if seconds <= 0 {
		return 0
	}
	return MPerMin(float64(length) / 1000 / float64(seconds) * 60)
}

// Validate reports the first thing about the run that cannot be.
func (r RunOut) Validate() error {
	if !finite(r.Mark) || r.Mark < 0 || r.Mark > 1000 {
		return Invalid("mark", fmt.Sprint(r.Mark), "not a mark on a knob", "accepted: a number on the scale, such as 4.5 or 4 1/2",
			"a knob without numbers: stick a paper dial from 0 to 10 on it, zero at the stop")
	}
	if err := firstOf(plainText("tap", r.Tap), plainText("why", r.Struck), within("length", float64(r.Length), 10, 100000, "10 mm to 100 m of wire: 42in, 1.1m"),
		within("seconds", float64(r.Seconds), 1, 300, "1 to 300 s; 10 s is a good time")); err != nil {
		return err
	}
	if (r.ShortLength == 0) != (r.ShortSeconds == 0) {
		return Invalid("short-length", "", "the short run needs both its length and its seconds", "such as --short-length 18in --short-seconds 5")
	}
	if r.ShortSeconds != 0 {
		if err := firstOf(within("short-length", float64(r.ShortLength), 10, 100000, "10 mm to 100 m of wire"), within("short-seconds", float64(r.ShortSeconds), 1, 300, "1 to 300 s, less than the long run")); err != nil {
			return err
		}
		if r.Seconds-r.ShortSeconds < 2 || r.Length <= r.ShortLength {
			return Invalid("short-seconds", fmt.Sprint(float64(r.ShortSeconds)), "the short run must be at least 2 s and some wire shorter than the long one", "5 s and 15 s make a good pair")
		}
	}
	if v := r.Speed(); v < slowestWire || v > fastestWire {
		return Invalid("length", fmt.Sprintf("%.4g mm in %g s", float64(r.Length), float64(r.Seconds)),
			fmt.Sprintf("that is %.3g m/min (%.0f in/min), which no such feeder runs", float64(v), v.InchesPerMin()),
			"measure the wire again: 42in in 10 s is 252 in/min, and feeders run 12 to 1575 in/min")
	}
	return nil
}

// within refuses a quantity outside its band.
func within(field string, v, lo, hi float64, accepted string) error {
	if !finite(v) || v < lo || v > hi {
		return Invalid(field, fmt.Sprintf("%.6g", v), "out of reach", "accepted: "+accepted)
	}
	return nil
}
