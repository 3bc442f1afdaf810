package recommend

import (
	"time"

	"beadwright/procedures"
	"beadwright/recommend/caution"
)

// Verdict says how well a suggestion is founded.
type Verdict string

const (
	Proved  Verdict = "proved"  // an own weld of a like job, same machine state, passed a bend or break test
	Inside  Verdict = "inside"  // inside the tables and the machine's reach
	Edge    Verdict = "edge"    // near a limit: more passes, a bevel, a coupon first
	Outside Verdict = "outside" // outside every table and all own evidence: no settings
	Refused Verdict = "refused" // on the stop list: no settings
)

// Request is what is asked: a complete job (see [procedures.Reading.Complete]),
// the machine it is to be done on, and everything that was said of it.
type Request struct {
	Job     procedures.Job
	Machine procedures.Machine
	Words   string           // all the words typed, for the safety gate
	For     string           // the use, where it was stated apart from the words
	Last    *procedures.Weld // the last weld on the machine, with its note; nil: none, or not known
	Shop    Shop             // the machines of the history; the one asked about may be left out
	Spool   string           // id of the spool in the machine; "": not known
	Now     time.Time        // so that today's beads on this job count as such; zero: none do
	Units   procedures.Units // for the wording of reasons; zero: us
}

// History is the welds that stand in the notebook. Struck welds do not belong here.
type History []procedures.Weld

// Suggestion is the answer. With verdict [Outside] or [Refused] it holds no
// settings.
type Suggestion struct {
	ID       string              `json:"id"`
	Verdict  Verdict             `json:"verdict"`
	Job      procedures.Job      `json:"job"`
	Settings procedures.Settings `json:"settings"`
	Range    Range               `json:"range"`
	Table    Table               `json:"table"`
	Evidence Evidence            `json:"evidence"`
	Expect   Expect              `json:"expect"`
	Because  []Reason            `json:"because"`
	Near     []string            `json:"near"` // the limits that make it [Edge]
	Lead     []Reason            `json:"-"`    // of Because: where the wire speed comes from
	Cautions []caution.Caution   `json:"cautions"`
}

// Given reports whether the suggestion holds settings.
func (s Suggestion) Given() bool { return s.Verdict != Outside && s.Verdict != Refused }

// Range is where the right setting lies with the probability named, as far as
// the tables' disagreement, the knob and the own welds tell.
type Range struct {
	WireSpeed   [2]procedures.MPerMin `json:"wire_speed_m_min"`
	Knob        *[2]float64           `json:"knob"`
	KnobSaid    string                `json:"knob_text"`
	Current     [2]procedures.Amps    `json:"current_A"`
	Voltage     [2]procedures.Volts   `json:"voltage_V"`
	Probability procedures.Share      `json:"probability"`
}

// Table is what the published tables alone give.
type Table struct {
	WireSpeed procedures.MPerMin `json:"wire_speed_m_min"`
	Current   procedures.Amps    `json:"current_A"`
	Source    []string           `json:"source"`
}

// Evidence is what the welder's own welds say.
type Evidence struct {
	Good         int      `json:"good"`     // welds like it
	SameJob      int      `json:"same_job"` // of them of this joint and position and about this thickness
	Failed       int      `json:"failed"`
	FailedTests  []string `json:"failed_tests"`  // marks of welds of this very job that failed a test, or in use
	BeforeChange bool     `json:"before_change"` // the good ones were all made on another machine or before this one was changed
	LikeMarks    []string `json:"like_marks"`
	ShiftPercent float64  `json:"shift_percent"` // of the table's wire speed
	SetBy        string   `json:"set_by"`        // mark of the weld whose passed test set the wire speed, against table and range; "" none
	ProvedBy     string   `json:"proved_by"`     // mark of the weld whose test proves it; "" none
	KnobBy       string   `json:"knob_by"`       // mark of the weld whose passed test gives the mark of the knob; "" none
	ProofFaded   string   `json:"proof_faded"`   // mark of the weld whose test proved it once, and why it does no more
	Parts        []Part   `json:"parts"`         // where the shift comes from, the largest first
}

// Part is how far one group of effects moves the wire speed from the table's.
type Part struct {
	From    string  `json:"from"` // this machine, this joint, your own way ...
	Percent float64 `json:"percent"`
}

// Expect is what the settings should lead to.
type Expect struct {
	ArcEnergy      kJPerMM            `json:"arc_energy_kJ_mm"` // what US codes call heat input
	HeatInput      kJPerMM            `json:"heat_input_kJ_mm"` // EN 1011-1: times k
	Deposition     kgPerHour          `json:"deposition_kg_h"`
	WirePerMetre   grams              `json:"wire_g_per_m"` // of finished weld, all passes
	ArcSeconds     procedures.Seconds `json:"arc_seconds_per_10_min"`
	ArcHow         procedures.How     `json:"arc_seconds_how"` // measured: by own cut-outs; table: by the plate
	Rest           procedures.Seconds `json:"rest_seconds"`    // after that much arc
	JobArc         procedures.Seconds `json:"job_arc_seconds"`
	JobWire        grams              `json:"job_wire_g"`
	ShadeMin       procedures.Count   `json:"shade_min"`
	ShadeSuggested procedures.Count   `json:"shade_suggested"`
	Supply         procedures.Amps    `json:"supply_A"`
	Bead           procedures.MM      `json:"bead_leg_mm"` // leg of one pass, by volume balance
}

// Reason is one step of the answer in plain words, with the ids of its sources.
type Reason struct {
	Text   string   `json:"text"`
	Source []string `json:"source"`
}

type (
	kJPerMM   float64
	kgPerHour float64
	grams     float64
)

func (v kJPerMM) MarshalJSON() ([]byte, error)   { return procedures.MM(v).MarshalJSON() }
func (v kgPerHour) MarshalJSON() ([]byte, error) { return procedures.MM(v).MarshalJSON() }
func (v grams) MarshalJSON() ([]byte, error)     { return procedures.MM(v).MarshalJSON() }
