package procedures

// The kinds of thing that a job is made of. Each is a short lower-case key that
// is stored, shown and typed; the empty key means "not said".
type (
	Joint    string
	WeldType string
	Position string
	Process  string
	Polarity string
	Coating  string
	Form     string
)

// Joints and welds as named in AWS A3.0.
const (
	Butt   Joint = "butt"
	Tee    Joint = "tee"
	Lap    Joint = "lap"
	Corner Joint = "corner"
	Edge   Joint = "edge"

	Fillet       WeldType = "fillet"
	SquareGroove WeldType = "square-groove"
	VGroove      WeldType = "v-groove"
	Plug         WeldType = "plug"
	EdgeWeld     WeldType = "edge"
	BeadOnPlate  WeldType = "bead-on-plate" // practice: a stringer on flat plate
)

// Positions as named in AWS A3.0; [Position.Codes] gives the AWS and ISO 6947 letters.
const (
	Flat         Position = "flat"
	Horizontal   Position = "horizontal"
	VerticalUp   Position = "vertical-up"
	VerticalDown Position = "vertical-down"
	Overhead     Position = "overhead"
)

// Processes: ISO 4063 numbers with the letters of AWS A3.0.
const (
	FCAWS Process = "114" // self-shielded flux-cored wire
	FCAWG Process = "136" // gas-shielded flux-cored wire
	GMAW  Process = "135" // solid wire with active gas
	SMAW  Process = "111" // covered electrode
)

const (
	DCEN Polarity = "dcen" // electrode (gun) negative
	DCEP Polarity = "dcep" // electrode (gun) positive
	AC   Polarity = "ac"
	DC   Polarity = "dc" // direct current, leads can be swapped: the machine offers both
)

// Coatings that change what may be welded. Bare means that the welder said so;
// the empty coating means that nothing was said.
const (
	Bare        Coating = "bare"
	Galvanized  Coating = "galvanized"
	Cadmium     Coating = "cadmium"
	LeadPaint   Coating = "lead-paint"
	Chrome      Coating = "chrome"
	Paint       Coating = "paint"
	MillScale   Coating = "mill-scale"
	Rust        Coating = "rust"
	OtherCoated Coating = "unknown-coating"
)

const (
	Plate Form = "plate"
	Sheet Form = "sheet"
	Tube  Form = "tube"
	Pipe  Form = "pipe"
	Angle Form = "angle"
	Bar   Form = "bar"
)

// Joints, Positions, Processes ... list the valid keys in the order shown to people.
func Joints() []Joint { return []Joint{Tee, Lap, Butt, Corner, Edge} }

// WeldTypes lists the weld types in the order shown to people.
func WeldTypes() []WeldType {
	return []WeldType{Fillet, SquareGroove, VGroove, Plug, EdgeWeld, BeadOnPlate}
}

// Positions lists the positions in the order shown to people.
func Positions() []Position {
	return []Position{Flat, Horizontal, VerticalUp, VerticalDown, Overhead}
}

// Processes lists the processes in the order shown to people.
func Processes() []Process { return []Process{FCAWS, FCAWG, GMAW, SMAW} }

// Polarities lists what a welding circuit can be set to.
func Polarities() []Polarity { return []Polarity{DCEN, DCEP, AC} }

// Coatings lists the coatings in the order shown to people.
func Coatings() []Coating {
	return []Coating{Bare, Galvanized, Paint, LeadPaint, Cadmium, Chrome, MillScale, Rust, OtherCoated}
}

// Letters returns the AWS letters of a process, such as FCAW-S, or "" if unknown.
func (p Process) Letters() string {
	switch p {
	case FCAWS:
		return "FCAW-S"
	case FCAWG:
		return "FCAW-G"
	case GMAW:
		return "GMAW"
	case SMAW:
		return "SMAW"
	}
	return ""
}

// Codes returns the AWS (1F..4G) and ISO 6947 (PA..PG) names of a position for
// a fillet or a groove weld. Both are "" for an unknown position.
// Source: ISO 6947 pairing summary; AWS pairing of PB..PD from memory.
func (p Position) Codes(w WeldType) (aws, iso string) {
	letter := "G"
	if w == Fillet {
		letter = "F"
	}
	switch p {
	case Flat:
		return "1" + letter, "PA"
	case Horizontal:
		if w == Fillet {
			return "2F", "PB"
		}
		return "2G", "PC"
	case VerticalUp:
		return "3" + letter + " up", "PF"
	case VerticalDown:
		return "3" + letter + " down", "PG"
	case Overhead:
		if w == Fillet {
			return "4F", "PD"
		}
		return "4G", "PE"
	}
	return "", ""
}

// DefaultWeld is the weld that a joint gets when nothing else was said.
func (j Joint) DefaultWeld() WeldType {
	switch j {
	case Tee, Lap:
		return Fillet
	case Corner:
		return Fillet
	case Butt:
		return SquareGroove
	case Edge:
		return EdgeWeld
	}
	return ""
}

func known[T comparable](v T, all []T) bool {
	for _, a := range all {
		if v == a {
			return true
		}
	}
	return false
}
