package data

// WeldPosition pairs the names of a welding position.
type WeldPosition struct {
	ISO      string   `csv:"iso"`      // ISO 6947: PA..PJ, H-L045
	AWS      []string `csv:"aws"`      // 1G, 1F ...
	Position string   `csv:"position"` // flat, horizontal, vertical-up, vertical-down, overhead, pipe-up, pipe-down, inclined-up
	Weld     string   `csv:"weld"`     // fillet, groove, any
	Row
}

// WeldProcess pairs the ISO 4063 number of a process with its AWS letters.
type WeldProcess struct {
	Number  string `csv:"number"`
	Name    string `csv:"name"`
	Letters string `csv:"letters"`
	Row
}

// ProcedureField is an entry of a welding procedure sheet.
type ProcedureField struct {
	Group string `csv:"field_group"`
	Field string `csv:"field"`
	ISO   string `csv:"iso_15609_1"` // yes, no, or when
	AWS   string `csv:"aws_d1_1"`    // yes, no, or when
	Row
}

// Formula is a published formula, so that a result can cite it.
type Formula struct {
	Key     string `csv:"key"`
	Formula string `csv:"formula"`        // units are named in it
	Valid   string `csv:"valid,optional"` // where it holds
	Row
}

// Remedy is one cause of a fault and what cures it.
type Remedy struct {
	Symptoms []string `csv:"symptoms"`       // short keys: burn-through, porosity ...
	Process  string   `csv:"process"`        // wire, covered, any
	Seen     string   `csv:"seen"`           // what the welder sees
	Cause    string   `csv:"cause,optional"` // "": the source gives none
	Cure     string   `csv:"cure"`
	Row
}

// BeadSign is what a good or a bad bead looks or sounds like while it is made.
type BeadSign struct {
	Sense string `csv:"sense"` // look, sound
	Good  bool   `csv:"good"`
	Sign  string `csv:"sign"`
	Row
}

var (
	positions       = table[WeldPosition]("positions.csv")
	processes       = table[WeldProcess]("processes.csv")
	procedureFields = table[ProcedureField]("procedure_fields.csv")
	formulas        = table[Formula]("formulas.csv")
	remedies        = table[Remedy]("remedies.csv")
	beadSigns       = table[BeadSign]("bead_signs.csv")
)

// Positions returns welding positions by ISO letters.
func Positions() []WeldPosition { return positions() }

// Processes returns welding processes by number.
func Processes() []WeldProcess { return processes() }

// ProcedureFields returns what a procedure sheet holds, in order.
func ProcedureFields() []ProcedureField { return procedureFields() }

// Formulas returns published formulas by key.
func Formulas() []Formula { return formulas() }

// Remedies returns causes and cures of faults, facts only: the order in which to
// try them depends on the job.
func Remedies() []Remedy { return remedies() }

// BeadSigns returns what good and bad beads look and sound like.
func BeadSigns() []BeadSign { return beadSigns() }
