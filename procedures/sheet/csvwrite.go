package sheet

import (
	"encoding/csv"
	"io"
	"strconv"
	"strings"

	"beadwright/procedures"
)

// Write writes welds as a spreadsheet, one a row, with the units in the headings.
// spool names the spool of an id. A text that a spreadsheet would take for a
// formula gets an apostrophe in front, which [Read] takes off again.
func Write(w io.Writer, welds []procedures.Weld, spool map[string]string, units procedures.Units) error {
	out := csv.NewWriter(w)
	var cols []*column
	var head []string
	for i := range columns {
		c := &columns[i]
		if c.name == "job" { // a sentence, which the other columns say
			continue
		}
		cols, head = append(cols, c), append(head, c.name+unitOf(c.name, units))
	}
	if err := out.Write(head); err != nil {
		return err
	}
	for _, weld := range welds {
		l := &line{weld, spool[weld.Spool], units == procedures.Metric}
		var cells []string
		for _, c := range cols {
			s := c.write(l)
			if s != "" && strings.IndexByte("=+-@", s[0]) >= 0 {
				s = "'" + s
			}
			cells = append(cells, s)
		}
		if err := out.Write(cells); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

// unitOf is what a heading says of its unit.
func unitOf(name string, units procedures.Units) string {
	switch name {
	case "thickness", "other thickness", "gap", "length", "wire size", "stick-out", "leg":
		if units == procedures.Metric {
			return " (mm)"
		}
		return " (in)"
	case "wire speed":
		if units == procedures.Metric {
			return " (m/min)"
		}
		return " (in/min)"
	case "travel":
		if units == procedures.Metric {
			return " (mm/min)"
		}
		return " (in/min)"
	case "volts":
		return " (V)"
	case "amps":
		return " (A)"
	case "arc time":
		return " (s)"
	case "rating":
		return " (1-5)"
	case "date":
		return " (UTC)"
	}
	return ""
}

func (w *line) length(v procedures.MM) string {
	if w.metric {
		return known(float64(v))
	}
	return known(v.Inches())
}

func (w *line) rate(metric, us float64) string {
	if w.metric {
		return known(metric)
	}
	return known(us)
}

// known writes a quantity, "" where it is not known.
func known(v float64) string {
	if v == 0 {
		return ""
	}
	return decimal(v)
}

// decimal writes nine decimals at the most: so many are read, and they bring back
// the six digits in which quantities are exchanged, whatever the units.
func decimal(v float64) string {
	return strings.TrimSuffix(strings.TrimRight(strconv.FormatFloat(v, 'f', 9, 64), "0"), ".")
}
