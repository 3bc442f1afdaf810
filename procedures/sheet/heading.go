package sheet

import (
	"slices"
	"strings"

	"beadwright/procedures"
)

// Heading is a column of a spreadsheet: what it is called there, and which of the
// notebook's fields it fills.
type Heading struct {
	Name  string `json:"column"` // as it stands in the sheet
	Place int    `json:"number"` // from 1
	Field string `json:"field"`  // "" where it means nothing here
	Unit  string `json:"unit"`   // in the heading; "" none
	Left  bool   `json:"left"`   // out, as the map says

	col *column
}

// unitsOf are the units that a heading may name, and what a bare number in the
// column then means.
var unitsOf = map[string]string{
	"in": "in", "inch": "in", "inches": "in", `"`: "in", "mm": "mm", "cm": "cm", "thou": "thou", "ft": "ft",
	"ipm": "in/min", "in/min": "in/min", "inches/min": "in/min", "in per min": "in/min", "inches per minute": "in/min", "m/min": "m/min", "mm/min": "mm/min", "cm/min": "cm/min", "mm/s": "mm/s",
	"v": "V", "volt": "V", "volts": "V", "vdc": "V", "a": "A", "amp": "A", "amps": "A", "s": "s", "sec": "s", "seconds": "s", "c": "C", "f": "F",
	"1-5": "", "1 to 5": "", "1..5": "", "no": "", "utc": "",
}

// readHeading tells what a column is: by the map first, then by what the trade and
// people call such a column.
func readHeading(name string, place int, maps map[string]string) (Heading, error) {
	h := Heading{Name: strings.TrimSpace(name), Place: place}
	key := normal(name)
	if i := strings.IndexAny(key, "([,"); i > 0 {
		unit := strings.Trim(strings.TrimSpace(key[i:]), "()[], ")
		if u, ok := unitsOf[unit]; ok {
			h.Unit, key = u, strings.TrimSpace(key[:i])
		}
	} else if i := strings.LastIndexByte(key, ' '); i > 0 && len(key)-i > 2 {
		if u := unitsOf[key[i+1:]]; u != "" && !named(key) {
			h.Unit, key = u, strings.TrimSpace(key[:i])
		}
	}
	wanted, mapped := maps[normal(name)]
	if !mapped {
		wanted, mapped = maps[key]
	}
	for i := range columns {
		c := &columns[i]
		if mapped && (normal(wanted) == c.name || slices.Contains(c.called, normal(wanted))) || !mapped && (key == c.name || slices.Contains(c.called, key)) {
			h.Field, h.col = c.name, c
			return h, nil
		}
	}
	h.Left = wanted == "-"
	if mapped && !h.Left {
		return h, procedures.Invalid("map", name+"="+wanted, "not a field of a weld", "accepted: "+strings.Join(Fields(), ", ")+", or - to leave the column out")
	}
	return h, nil
}

func named(key string) bool {
	for _, c := range columns {
		if key == c.name || slices.Contains(c.called, key) {
			return true
		}
	}
	return false
}

// normal writes a heading without regard to case, spacing, dots and underscores.
func normal(s string) string {
	s = strings.NewReplacer("_", " ", ".", " ", ":", " ", "#", " ", "/ ", "/").Replace(strings.ToLower(s))
	return strings.Join(strings.Fields(s), " ")
}

// Fields lists what a column can be, for a hint.
func Fields() []string {
	var all []string
	for _, c := range columns {
		all = append(all, c.name)
	}
	return all
}

// ParseMap reads "Their column=ours", and puts it into maps.
func ParseMap(s string, maps map[string]string) error {
	i := strings.LastIndexByte(s, '=')
	if i < 1 || strings.TrimSpace(s[i+1:]) == "" {
		return procedures.Invalid("map", s, "cannot be read as a column and what it is", `write: --map "Their column=thickness"`, "ours are: "+strings.Join(Fields(), ", ")+", or - to leave the column out")
	}
	from, to := strings.TrimSpace(s[:i]), strings.TrimSpace(s[i+1:])
	if to != "-" && !named(normal(to)) {
		return procedures.Invalid("map", s, "not a field of a weld", "accepted: "+strings.Join(Fields(), ", ")+", or - to leave the column out")
	}
	maps[normal(from)] = to
	return nil
}
