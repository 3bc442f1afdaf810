package learn

import (
	"math"
)

// Estimate is a suggested wire speed, how sure it is and what stands behind it. Speeds are m/min, F, SD and shifts are ln
// units, percentages are of the table value.
type Estimate struct {
	F     float64 `json:"f"`     // ln(best / table), before limits
	SD    float64 `json:"sd"`    // its standard deviation, before Widen
	Widen float64 `json:"widen"` // 1 to 1.8, by how much the welds scatter more than assumed

	Table     float64 `json:"table_wire_speed"`
	WireSpeed float64 `json:"wire_speed"` // within the limits
	Low       float64 `json:"low"`        // 80 % range of the best wire speed, within the limits
	High      float64 `json:"high"`
	Wish      float64 `json:"wish"`                // what it would be without limits
	LimitHit  string  `json:"limit_hit,omitempty"` // whose limit holds WireSpeed: one of the Limit constants, or empty
	Tap       string  `json:"tap"`                 // the tap that the numbers are for

	TapAdvice TapAdvice `json:"tap_advice"`

	GoodLike        int     `json:"good_like"`         // good welds of like jobs
	FailedLike      int     `json:"failed_like"`       // failed ones that say in which direction
	FailedSide      int     `json:"failed_side"`       // +1 if most of those had too much wire, -1 too little
	FailedAgree     int     `json:"failed_agree"`      // how many of those
	UnclearLike     int     `json:"unclear_like"`      // failed ones that do not
	MeanGoodPercent float64 `json:"mean_good_percent"` // weighted mean of the good ones against the table
	ShiftPercent    float64 `json:"shift_percent"`     // WireSpeed against the table

	Contributions []Contribution `json:"contributions"` // add up to F, largest first
	LikeIDs       []string       `json:"like_ids"`      // up to 12 of the welds counted in GoodLike and FailedLike, most like first
}

// Contribution is how far one group of effects moves the suggestion.
type Contribution struct {
	Group    string  `json:"group"`
	LogShift float64 `json:"log_shift"`
}

// Groups of effects, named so that "mostly" can stand before them.
const (
	GroupAll       = "all your welds"
	GroupMachine   = "this machine"
	GroupWire      = "this wire"
	GroupJoint     = "this joint"
	GroupPosition  = "this position"
	GroupThickness = "this thickness"
	GroupTap       = "this tap"
	GroupYou       = "your own way"
	GroupJob       = "this very job"
	GroupToday     = "today"
)

var groupOrder = [...]string{GroupMachine, GroupWire, GroupJoint, GroupPosition, GroupThickness, GroupTap, GroupYou,
	GroupJob, GroupToday, GroupAll}

func (e effect) group() string {
	switch e {
	case machineOffset, machineSlope, machineState:
		return GroupMachine
	case spool, wire:
		return GroupWire
	case joint:
		return GroupJoint
	case position:
		return GroupPosition
	case thickness, tapThickness, thicknessBend:
		return GroupThickness
	case tapOffset:
		return GroupTap
	case user:
		return GroupYou
	case exactJob:
		return GroupJob
	case liveSession:
		return GroupToday
	}
	return GroupAll
}

// Suggest returns the wire speed for a job, before its first bead of the day or, with q.Live, as the model sees it after
// the beads just made (NextBead adds the rules that keep from repeating a failure). If the votes of past welds are for
// another tap and q.OtherTaps has its table value, the numbers are for that tap.
//
// Errors: InputError, ErrNoTable, LimitsError.
func (m *Model) Suggest(q Query) (Estimate, error) {
	if err := q.check(m.fleet); err != nil {
		return Estimate{}, err
	}
	advice := m.adviseTap(&q)
	if advice.Tap != q.Tap {
		for _, o := range q.OtherTaps {
			if o.Tap == advice.Tap && o.TableWireSpeed > 0 {
				q.Tap, q.TableWireSpeed, q.Live = o.Tap, o.TableWireSpeed, nil
				break
			}
		}
	}
	e, _, err := m.estimate(&q)
	e.TapAdvice = advice
	return e, err
}

// estimate answers a checked question on the tap it names.
func (m *Model) estimate(q *Query) (Estimate, bounds, error) {
	b, err := q.Limits.bounds(q.TableWireSpeed)
	if err != nil {
		return Estimate{}, b, err
	}
	a, err := m.ask(q)
	if err != nil {
		return Estimate{}, b, err
	}
	e := Estimate{F: a.f, SD: a.sd, Widen: a.widen, Table: q.TableWireSpeed, Tap: q.Tap}
	e.Wish = e.Table * math.Exp(a.f)
	e.setSpeed(e.Wish, b)
	half := quantile80 * a.widen * a.sd
	e.Low, _ = b.hold(e.Table * math.Exp(a.f-half))
	e.High, _ = b.hold(e.Table * math.Exp(a.f+half))
	e.Contributions = a.contributions()
	m.countLike(&e, q, a)
	return e, b, nil
}

func (e *Estimate) setSpeed(v float64, b bounds) {
	e.WireSpeed, e.LimitHit = b.hold(v)
	e.ShiftPercent = 100 * (e.WireSpeed/e.Table - 1)
}
