package recommend

import (
	"math"
	"time"

	"beadwright/procedures"
	"beadwright/recommend/caution"
)

// CurvePoint is what [Suggest] answers for one thickness of a job: the wire
// speed, where it most likely lies, and what stands behind it. Where it gives no
// settings all speeds are zero, and Why says why not.
type CurvePoint struct {
	Thickness procedures.MM      `json:"thickness_mm"`
	Table     procedures.MPerMin `json:"table_wire_speed_m_min"` // what the published tables alone give
	WireSpeed procedures.MPerMin `json:"wire_speed_m_min"`
	Low       procedures.MPerMin `json:"low_m_min"` // 80 % range of the best wire speed
	High      procedures.MPerMin `json:"high_m_min"`
	Verdict   Verdict            `json:"verdict"`
	Tap       string             `json:"tap"` // that the speeds are for; "": a machine without taps
	Good      int                `json:"good"`
	Failed    int                `json:"failed"` // like welds that stand behind it
	Why       string             `json:"why"`    // why there are no speeds
	Source    []string           `json:"-"`      // of the table's wire speed
}

// Given reports whether the point holds speeds.
func (p CurvePoint) Given() bool { return p.WireSpeed > 0 }

// Curve asks [Suggest] for a job at each of the thicknesses, both parts being of
// that thickness; what the request says of thickness does not count. With an
// empty history every point lies on the table.
//
// Outside the tables there is no curve, even where one own weld that was tested
// vouches for its own thickness. Today's beads count as any others: the rules
// for a bead under way speak of its thickness alone.
//
// Errors: [*procedures.InvalidError] where the job is not complete or cannot be,
// a thickness is none, or the process has no wire speed.
func Curve(r Request, h History, thicknesses []procedures.MM) ([]CurvePoint, error) {
	r.Now = time.Time{}
	points := make([]CurvePoint, len(thicknesses))
	past := recall(r, h)
	for i, t := range thicknesses {
		s, err := answer(r.at(t), h, func() *memory { return past })
		if err != nil {
			return nil, err
		}
		if r.Job.Process == procedures.SMAW && s.Verdict != Refused {
			return nil, procedures.Invalid("wire", r.Job.Wire.String(), "a covered electrode has no wire speed to draw", "name a wire: 0.035 E71T-11, 0.030 E71T-GS, 0.035 ER70S-6 co2")
		}
		points[i] = s.point(t, r.covers(t))
	}
	return points, nil
}

// point is the suggestion as a point of a curve.
func (s Suggestion) point(t procedures.MM, covered bool) CurvePoint {
	p := CurvePoint{Thickness: t, Verdict: s.Verdict}
	if s.Given() && covered {
		p.Table, p.WireSpeed = s.Table.WireSpeed, s.Settings.WireSpeed
		p.Low, p.High = s.Range.WireSpeed[0], s.Range.WireSpeed[1]
		p.Tap, p.Good, p.Failed = s.Settings.Tap, s.Evidence.Good, s.Evidence.Failed
		p.Source = s.Table.Source
		return p
	}
	if s.Given() {
		p.Verdict = Outside
		p.Why = sentence(s.Because[0].Text) // own welds alone begin with why no table answers
		return p
	}
	for _, c := range s.Cautions {
		if c.Level == caution.Stop {
			p.Why = c.Text
			break
		}
	}
	return p
}

// Thicknesses returns the thicknesses, rising, that a curve of the job is drawn
// over: the ends of what the tables cover, to a hundredth of a millimetre, and
// every multiple of step in mm between them. It is empty where no table answers,
// or where step is not 0.05 to 10 mm.
func Thicknesses(r Request, step procedures.MM) []procedures.MM {
	const thinnest, thickest = procedures.MM(0.2), procedures.MM(30) // beyond every table
	if !(step >= 0.05 && step <= 10) {
		return nil
	}
	var inside []procedures.MM
	for i := math.Ceil(float64(thinnest / step)); procedures.MM(i)*step < thickest; i++ {
		if t := procedures.MM(i) * step; r.covers(t) {
			inside = append(inside, t)
		}
	}
	if len(inside) == 0 {
		return nil
	}
	first, last := inside[0], inside[len(inside)-1]
	var forgiven procedures.MM // beyond the rows, where a sixteenth is looked up as 1.6 mm
	if r.Job.Process == procedures.GMAW {
		forgiven = 0.03
	}
	low := procedures.MM(math.Ceil(100*float64(r.end(first, first-step)+forgiven)-0.01) / 100)
	high := procedures.MM(math.Floor(100*float64(r.end(last, last+step)-forgiven)+0.01) / 100)
	if low > high {
		return nil
	}
	row := []procedures.MM{low}
	for _, t := range inside {
		if t > low+0.01 && t < high-0.01 {
			row = append(row, t)
		}
	}
	if high > low {
		row = append(row, high)
	}
	return row
}

// end finds where the tables end between a thickness that they cover and one
// that they do not, by halving.
func (r Request) end(covered, beyond procedures.MM) procedures.MM {
	for math.Abs(float64(covered-beyond)) > 1e-7 {
		if mid := (covered + beyond) / 2; r.covers(mid) {
			covered = mid
		} else {
			beyond = mid
		}
	}
	return covered
}

// covers reports whether a table answers for the job at a thickness.
func (r Request) covers(t procedures.MM) bool {
	first, err := tableStart(r.at(t))
	return err == nil && first.wireSpeed.Value > 0
}

// at is the request for parts of one thickness.
func (r Request) at(t procedures.MM) Request {
	r.Job.Thickness, r.Job.ThicknessSaid = t, ""
	r.Job.OtherThickness, r.Job.OtherSaid = 0, ""
	return r
}
