package procedures

import (
	"encoding/json"
	"fmt"
	"strings"
	"time"
)

// Procedure is a way of welding one kind of joint that repeats: ranges instead of
// points, and the welds that stand behind them. It is a shop's own and no
// qualification under any code.
type Procedure struct {
	ID       string          `json:"id"`   // UUIDv7 of this revision
	Name     string          `json:"name"` // the same for all its revisions
	Revision int             `json:"revision"`
	At       time.Time       `json:"at"`
	Status   ProcedureStatus `json:"status"`
	Why      string          `json:"why"` // what this revision changed, or why it was retired

	Job      Job               `json:"job"`
	Settings Settings          `json:"settings"` // the middle
	Ranges   []ProcedureRange  `json:"ranges"`
	Passes   []Pass            `json:"passes"`
	From     []string          `json:"from"`   // marks of the welds that it was written from
	Tests    []string          `json:"tests"`  // marks of those that passed a bend or break test
	Fields   map[string]string `json:"fields"` // what else a procedure sheet asks for, by the name of the field
	Note     string            `json:"note"`
}

// ProcedureStatus says whether a revision is to be used.
type ProcedureStatus string

const (
	Current    ProcedureStatus = "current"
	Superseded ProcedureStatus = "superseded" // a later revision stands
	Retired    ProcedureStatus = "retired"
)

// ProcedureRange is one setting's range.
type ProcedureRange struct {
	Variable string   `json:"variable"` // JSON key of the setting, such as wire_speed_m_min
	Low      float64  `json:"low"`
	High     float64  `json:"high"`
	Source   []string `json:"source"` // ids; MATH where the welds themselves are the range
	Why      string   `json:"why"`
}

// Pass is one run of a procedure.
type Pass struct {
	Number    int      `json:"number"`
	Layer     Count    `json:"layer"` // zero: not written down
	What      string   `json:"what"`  // root, fill, cap, or the only one
	Wire      Wire     `json:"wire"`
	Tap       string   `json:"tap"`
	Knob      *float64 `json:"knob"`
	WireSpeed MPerMin  `json:"wire_speed_m_min"`
	Voltage   Volts    `json:"voltage_V"`
	Current   Amps     `json:"current_A"`
	Travel    MMPerMin `json:"travel_mm_min"`
	Polarity  Polarity `json:"polarity"`
}

// ProvedBy is how many coupons must pass a bend or break test before a procedure
// is more than a draft. A rule of this notebook: one good coupon may be luck.
const ProvedBy = 2

// Draft reports whether too few coupons stand behind the procedure.
func (p Procedure) Draft() bool { return len(p.Tests) < ProvedBy }

// Range returns the range of a variable, and whether there is one.
func (p Procedure) Range(variable string) (ProcedureRange, bool) {
	for _, r := range p.Ranges {
		if r.Variable == variable {
			return r, true
		}
	}
	return ProcedureRange{}, false
}

// MarshalJSON writes empty lists as lists, and says whether it is a draft.
func (p Procedure) MarshalJSON() ([]byte, error) {
	type plain Procedure
	q := plain(p)
	q.Ranges = append([]ProcedureRange{}, p.Ranges...)
	q.Passes = append([]Pass{}, p.Passes...)
	q.From, q.Tests = append([]string{}, p.From...), append([]string{}, p.Tests...)
	if q.Fields == nil {
		q.Fields = map[string]string{}
	}
	return json.Marshal(struct {
		plain
		Draft bool `json:"draft"`
	}{q, p.Draft()})
}

// Validate reports the first thing about the procedure that cannot be.
func (p Procedure) Validate() error {
	if name := strings.TrimSpace(p.Name); name == "" || len(name) > 60 {
		return Invalid("name", p.Name, "a procedure needs a short name", "any words up to 60 plain letters, such as: eighth tee on the bench")
	}
	if err := firstOf(plainText("name", p.Name, p.Why), noteText(p.Note), p.Job.Validate(), p.Settings.Validate()); err != nil {
		return err
	}
	for k, v := range p.Fields {
		if err := plainText("field", k, v); err != nil {
			return err
		}
		if len(v) > 400 {
			return Invalid(k, v, "longer than 400 letters", "a line is enough")
		}
	}
	for _, r := range p.Ranges {
		if !finite(r.Low) || !finite(r.High) || r.Low > r.High {
			return Invalid(r.Variable, fmt.Sprintf("%g to %g", r.Low, r.High), "not a range", "the lower end comes first")
		}
	}
	if len(p.Passes) > 100 {
		return Invalid("passes", fmt.Sprint(len(p.Passes)), "more passes than any bench joint has", "up to 100")
	}
	return nil
}
