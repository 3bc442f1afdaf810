package arc

import (
	"fmt"
	"math"

	"beadwright/procedures"
)

// Travel returns the travel speed of a bead from its length and the arc time.
// Range: 1 mm to 1 km, 0.1 s to 10 h, and the answer 10 to 5000 mm/min.
// Error: [*procedures.InvalidError].
func Travel(bead procedures.MM, t procedures.Seconds) (procedures.MMPerMin, error) {
	if err := first(checkLength(bead), Within("arc time", float64(t), 0.1, 36000, "s")); err != nil {
		return 0, err
	}
	s := procedures.MMPerMin(float64(bead) * 60 / float64(t))
	return s, checkTravel(s)
}

// SayTravel says a travel speed the way that a stopwatch and two chalk marks
// check it: "4 in in 24 s", "100 mm in 24 s". Whole seconds, right to within 5 %.
// Range: 10 to 5000 mm/min. Error: [*procedures.InvalidError].
func SayTravel(v procedures.MMPerMin, units procedures.Units) (string, error) {
	if err := checkTravel(v); err != nil {
		return "", err
	}
	marks, per, unit := []float64{4, 2, 1, 6, 12, 24, 48}, procedures.MMPerInch, "in"
	if units == procedures.Metric {
		marks, per, unit = []float64{100, 50, 25, 200, 300, 600, 1200}, 1, "mm"
	}
	// The usual length is kept while the count of seconds is handy; a slow hand
	// gets a shorter length and a fast one a longer.
	length := marks[0]
	for _, m := range marks {
		if s := seconds(m*per, v); s >= 10 && s <= 60 {
			length = m
			break
		}
		if math.Abs(math.Log(seconds(m*per, v)/25)) < math.Abs(math.Log(seconds(length*per, v)/25)) {
			length = m
		}
	}
	return fmt.Sprintf("%g %s in %.0f s", length, unit, seconds(length*per, v)), nil
}

func seconds(mm float64, v procedures.MMPerMin) float64 { return mm * 60 / float64(v) }
