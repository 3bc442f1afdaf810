package procedures

import (
	"fmt"
	"strings"
)

// Job is one joint to be welded: what the piece is, not how the machine is set.
type Job struct {
	Said string `json:"said"` // the words as typed, kept beside what was understood

	Steel          string `json:"steel"`       // grade key of the steels table, such as "mild" or "a36"
	SteelGroup     string `json:"steel_group"` // practical group: I, II, III, OUT, unknown
	Thickness      MM     `json:"thickness_mm"`
	OtherThickness MM     `json:"other_thickness_mm"` // zero: not said; see [Job.Thinner]
	ThicknessSaid  string `json:"thickness_said"`
	OtherSaid      string `json:"other_thickness_said"`
	Form           Form   `json:"form"` // plate, sheet, tube ... of the first part
	OtherForm      Form   `json:"other_form"`

	Joint    Joint    `json:"joint"`
	Weld     WeldType `json:"weld"`
	Position Position `json:"position"`
	Gap      MM       `json:"gap_mm"` // root opening; zero: tight or not said
	Coating  Coating  `json:"coating"`
	Stripped bool     `json:"coating_stripped"` // taken well back from the weld
	Length   MM       `json:"length_mm"`        // of weld wanted, all pieces together; zero: not said
	For      string   `json:"for"`              // what the part is for, as said

	Wire
	Process Process `json:"process"`
	Machine string  `json:"machine"` // name
	State   string  `json:"state"`   // id of the machine's state
}

// Wire is a consumable by class and size. It carries no maker's name.
type Wire struct {
	Class    string `json:"wire_class"` // AWS class: E71T-11, E71T-GS, ER70S-6, E6013 ...
	Diameter MM     `json:"wire_diameter_mm"`
	Gas      string `json:"wire_gas"` // "", "CO2", "80Ar/20CO2"
}

// String writes a wire as welders do: "0.035 E71T-11".
func (w Wire) String() string {
	var parts []string
	if w.Diameter > 0 {
		parts = append(parts, formatDiameter(w.Diameter))
	}
	if w.Class != "" {
		parts = append(parts, w.Class)
	}
	if w.Gas != "" {
		parts = append(parts, "with "+w.Gas)
	}
	return strings.Join(parts, " ")
}

// formatDiameter keeps the third decimal of an inch, which is how wire is sold.
func formatDiameter(d MM) string { return fmt.Sprintf("%.3f", d.Inches()) }

// Thinner returns the lesser of the two thicknesses: it limits the heat.
func (j Job) Thinner() MM {
	if j.OtherThickness > 0 && j.OtherThickness < j.Thickness {
		return j.OtherThickness
	}
	return j.Thickness
}

// Thicker returns the greater of the two thicknesses: it limits the fusion.
func (j Job) Thicker() MM {
	return max(j.Thickness, j.OtherThickness)
}

// Validate reports the first thing about the job that cannot be. A job may be
// incomplete (search asks with parts of a job); what it holds must make sense.
func (j Job) Validate() error {
	for _, t := range []struct {
		field string
		v     MM
		said  string
	}{{"thickness", j.Thickness, j.ThicknessSaid}, {"other thickness", j.OtherThickness, j.OtherSaid}} {
		if t.v == 0 {
			continue
		}
		if !finite(float64(t.v)) || t.v < smallestMM || t.v > absurdMM {
			return Invalid(t.field, t.said, "not a thickness of metal",
				"accepted: 0.1 mm to 300 mm, written as 1/8, 0.125in, 3mm, 11ga plain, eighth")
		}
	}
	switch {
	case j.Joint != "" && !known(j.Joint, Joints()):
		return Invalid("joint", string(j.Joint), "not a joint this notebook knows", "accepted: "+list(Joints()))
	case j.Weld != "" && !known(j.Weld, WeldTypes()):
		return Invalid("weld", string(j.Weld), "not a weld this notebook knows", "accepted: "+list(WeldTypes()))
	case j.Position != "" && !known(j.Position, Positions()):
		return Invalid("position", string(j.Position), "not a position this notebook knows",
			"accepted: "+list(Positions())+", or 1F..4G, PA..PG")
	case j.Process != "" && !known(j.Process, Processes()):
		return Invalid("process", string(j.Process), "not a process this notebook knows", "accepted: 114 (FCAW-S), 136 (FCAW-G), 135 (GMAW), 111 (SMAW)")
	case j.Coating != "" && !known(j.Coating, Coatings()):
		return Invalid("coating", string(j.Coating), "not a coating this notebook knows", "accepted: "+list(Coatings()))
	case !finite(float64(j.Gap)) || j.Gap < 0 || j.Gap > 25:
		return Invalid("gap", fmt.Sprint(float64(j.Gap)), "a gap is 0 to 25 mm (1 in)", "measure the widest place with a drill shank or feeler")
	case !finite(float64(j.Length)) || j.Length < 0 || j.Length > 1e6:
		return Invalid("length", fmt.Sprint(float64(j.Length)), "a weld length is more than 0 and at most 1 km", "write 24in or 600mm")
	case j.Wire.Diameter != 0 && (!finite(float64(j.Wire.Diameter)) || j.Wire.Diameter < 0.3 || j.Wire.Diameter > 8):
		return Invalid("wire", fmt.Sprint(float64(j.Wire.Diameter)), "a wire or electrode is 0.3 to 8 mm thick (0.012 to 5/16 in)", "write 0.030, 0.035in, 0.9mm")
	}
	return nil
}

// list joins keys for a message.
func list[T ~string](keys []T) string {
	s := make([]string, len(keys))
	for i, k := range keys {
		s[i] = string(k)
	}
	return strings.Join(s, ", ")
}
