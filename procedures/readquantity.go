package procedures

import (
	"strconv"
	"strings"
)

// thickness starts a new part when the current one already has a thickness.
func (p *reader) thickness(t part) error {
	p.r.Sized = true
	cur := p.part()
	if cur.mm != 0 || cur.gauge != 0 || cur.pipe != "" {
		if len(p.parts) >= 4 {
			return Invalid("thickness", p.r.Job.Said, "more than two thicknesses", "a joint has two parts: 16ga plain to 1/8 plate")
		}
		p.parts = append(p.parts, part{})
		cur = p.part()
	}
	cur.mm, cur.gauge, cur.said, cur.pipe = t.mm, t.gauge, t.said, t.pipe
	return nil
}

// quantity reads a number and its unit at token i: a thickness, a gauge, a wire
// size, a gap or a length.
func (p *reader) quantity(i int) (int, error) {
	tok := p.tokens[i]
	if dims().MatchString(tok) {
		return 1, p.dimensions(tok)
	}
	v, isFraction, unit, ok := splitNumber(tok)
	if !ok {
		if strings.HasPrefix(tok, "-") && len(tok) > 1 {
			if _, _, _, ok := splitNumber(tok[1:]); ok {
				return 0, Invalid("thickness", tok, "a thickness cannot be negative", lengthHint)
			}
		}
		return 0, nil
	}
	n := 1
	if unit == "" && !isFraction && v == float64(int(v)) && i+1 < len(p.tokens) { // "1 1/4"
		if f, frac, u, ok := splitNumber(p.tokens[i+1]); ok && frac && f < 1 && v < 13 {
			v, isFraction, unit, n = v+f, true, u, 2
		}
	}
	at := func(k int) string {
		if i+k < len(p.tokens) && i+k >= 0 {
			return p.tokens[i+k]
		}
		return ""
	}
	if next := at(n); unit == "" && (gaugeWords[next] || lengthUnits[next] > 0) {
		unit, n = next, n+1
	}
	read := strings.Join(p.tokens[i:i+n], " ")
	if gaugeWords[unit] {
		if v != float64(int(v)) || v < 3 || v > 30 {
			return 0, Invalid("thickness", read, "not a gauge of sheet or tube", "gauges run from 3 to 30: 16ga plain, 11 gauge galvanized")
		}
		return n, p.thickness(part{gauge: int(v), said: read})
	}
	if d := metricWire(v, unit, p.units); d > 0 && p.r.Job.Diameter == 0 && (p.classAt(i+n) || p.afterClass == i) {
		p.r.Job.Diameter = d
		return n, nil
	}
	bareWire := unit == "" && wireSizes[tok] && at(n) != "wall" && at(n) != "thick" && at(n) != "sheet"
	if bareWire || at(n) == "wire" && p.r.Job.Diameter == 0 && v < 3 && lengthLike(unit) {
		d, err := ParseLength("wire", withUnit(v, unit), p.units)
		if bareWire {
			if v >= 1 {
				v /= 1000 // 030 and 035, as they are said
			}
			d, err = Inches(v), nil
		}
		if err != nil {
			return 0, err
		}
		if p.r.Job.Diameter != 0 && p.r.Job.Diameter != d {
			return 0, Invalid("wire", read, "two wire sizes were said", "say one of them, or write the wall as 0.035in wall")
		}
		p.r.Job.Diameter = d
		return n, nil
	}
	if isFraction {
		if p.slip = topHeavy("thickness", read, tok); p.slip != nil {
			p.r.Sized = true
			return n, nil
		}
	}
	if unit != "" && lengthUnits[unit] == 0 {
		return 0, nil // a number with a unit of something else
	}
	if unit == "" && !isFraction && v >= 1000 {
		return 0, nil // 4140 and its like: a number of a steel that is not in the table
	}
	if unit == "" && !isFraction && v >= 20 && v < 1000 && at(n) == "wall" {
		v, unit = v/1000, "in" // 120 wall: thousandths, as tube is sold
	}
	mm, err := ParseLength("thickness", withUnit(v, unit), p.units)
	if isFraction {
		if unit == "" {
			unit = "in" // nobody writes eighths of a millimetre
		}
		mm, err = ParseLength("thickness", withUnit(v, unit), p.units)
	}
	if err != nil {
		if bad, ok := err.(*InvalidError); ok {
			bad.Read = read
		}
		return 0, err
	}
	if m := p.vocab[at(n)]; m.field == "class" && ProcessOf(m.value, "") == SMAW {
		p.r.Job.Diameter = mm // 3/32 E6013: the size before an electrode is the electrode's
		return n, nil
	}
	switch {
	case p.gapAt == i:
		p.r.Job.Gap = mm
		return n, nil
	case at(n) == "gap" && p.smaller(i+n, v, unit): // 1/8 gap 1/16: a gap is no wider than the metal
	case at(n) == "gap" || at(n) == "root":
		p.r.Job.Gap = mm
		return n + 1, nil
	case at(n) == "long":
		p.r.Job.Length = mm
		return n + 1, nil
	case p.isPipe(i) && p.part().pipe == "":
		return n, p.thickness(part{pipe: nominal(mm), said: read + " pipe", mm: 0})
	}
	if err := thicknessInRange("thickness", read, mm); err != nil {
		return 0, err
	}
	return n, p.thickness(part{mm: mm, said: read})
}

// gap returns how many words at token i lead to the size of a gap, "gap of", and
// notes where that size stands; 0 where they do not.
func (p *reader) gap(i int) int {
	if p.tokens[i] != "gap" {
		return 0
	}
	n := 1
	for i+n < len(p.tokens) && (p.tokens[i+n] == "of" || p.tokens[i+n] == "is" || p.tokens[i+n] == "about") {
		n++
	}
	if i+n == len(p.tokens) {
		return 0
	}
	if _, _, _, ok := splitNumber(p.tokens[i+n]); !ok {
		return 0
	}
	p.gapAt = i + n
	return n
}

// smaller reports whether the word gap at token i is followed by a size smaller than
// v, in the same unit.
func (p *reader) smaller(i int, v float64, unit string) bool {
	if i+1 >= len(p.tokens) {
		return false
	}
	w, fraction, of, ok := splitNumber(p.tokens[i+1])
	if of == "" && fraction {
		of = "in"
	}
	return ok && of == unit && w < v
}

// metricWire reads a size that solid and cored wire is sold in by the millimetre;
// zero where it is none.
func metricWire(v float64, unit string, units Units) MM {
	if unit != "mm" && (unit != "" || units != Metric) {
		return 0
	}
	for _, d := range []float64{0.6, 0.8, 0.9, 1.0, 1.2} {
		if v == d {
			return MM(d)
		}
	}
	return 0
}

// classAt reports whether a wire class is named at token i.
func (p *reader) classAt(i int) bool {
	for n := min(3, len(p.tokens)-i); n > 0; n-- {
		if m, ok := p.vocab[strings.Join(p.tokens[i:i+n], " ")]; ok {
			return m.field == "class"
		}
	}
	return false
}

func lengthLike(unit string) bool { return unit == "" || lengthUnits[unit] > 0 }

func withUnit(v float64, unit string) string {
	return strings.TrimRight(strings.TrimRight(strconv.FormatFloat(v, 'f', 9, 64), "0"), ".") + unit
}

// isPipe reports whether the words near token i speak of schedule pipe, whose
// number is a nominal size and not a wall.
func (p *reader) isPipe(i int) bool {
	near := strings.Join(p.tokens[max(0, i-3):min(len(p.tokens), i+6)], " ")
	return strings.Contains(near, "sch") && strings.Contains(near, "40")
}

// nominal writes a pipe size as the tables do.
func nominal(v MM) string {
	s, _ := fraction(v)
	return s
}

// dimensions reads 2x2x1/8 (outside sizes, then wall) or 1-1/2x1/8 (width, thickness).
func (p *reader) dimensions(tok string) error {
	fields := strings.Split(tok, "x")
	last := fields[len(fields)-1]
	if strings.HasSuffix(last, "ga") {
		g, err := strconv.Atoi(strings.TrimSuffix(last, "ga"))
		if err != nil || g < 3 || g > 30 {
			return Invalid("thickness", tok, "not a gauge of sheet or tube", "gauges run from 3 to 30")
		}
		return p.thickness(part{gauge: g, said: tok})
	}
	if len(fields) == 2 && fields[0] == last {
		return Invalid("thickness", tok, "that is the outside size", "say the wall too: "+tok+"x1/8, or 11ga tube")
	}
	mm, err := ParseLength("thickness", last, p.units)
	if err != nil {
		return err
	}
	if err := thicknessInRange("thickness", tok, mm); err != nil {
		return err
	}
	return p.thickness(part{mm: mm, said: tok})
}
