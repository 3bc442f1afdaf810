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
// size, a gap or a length. It returns how many tokens that took; 0 where it is none.
func (p *reader) quantity(i int) (int, error) {
	tok := p.tokens[i]
	if dims().MatchString(tok) {
		return 1, p.dimensions(i)
	}
	s, ok := p.sizeAt(i)
	if !ok {
		if _, _, _, negative := splitNumber(strings.TrimPrefix(tok, "-")); negative {
			return 0, Invalid("thickness", tok, "a thickness cannot be negative", lengthHint)
		}
		return 0, nil
	}
	if gaugeWords[s.unit] {
		return s.tokens, p.gauge(s)
	}
	if taken, err := p.wireSize(i, s); taken || err != nil {
		return s.tokens, err
	}
	if s.fraction {
		if p.slip = topHeavy("thickness", s.read, tok); p.slip != nil {
			p.r.Sized = true
			return s.tokens, nil
		}
	}
	whole := s.unit == "" && !s.fraction
	switch {
	case s.unit != "" && lengthUnits[s.unit] == 0:
		return 0, nil // a number with a unit of something else
	case whole && s.v >= 1000:
		return 0, nil // 4140 and its like: a number of a steel that is not in the table
	case whole && s.v >= 20 && p.token(i+s.tokens) == "wall":
		s.v, s.unit = s.v/1000, "in" // 120 wall: thousandths, as tube is sold
	case s.unit == "" && s.fraction:
		s.unit = "in" // nobody writes eighths of a millimetre
	}
	return p.length(i, s)
}

// size is a number as it was typed, and its unit where one was said.
type size struct {
	v        float64
	fraction bool
	unit     string // "" none
	tokens   int    // that it takes
	read     string // as typed
}

// sizeAt reads a number and its unit at token i; false where there is no number.
func (p *reader) sizeAt(i int) (s size, ok bool) {
	s.tokens = 1
	if s.v, s.fraction, s.unit, ok = splitNumber(p.tokens[i]); !ok {
		return s, false
	}
	if s.unit == "" && !s.fraction && s.v == float64(int(s.v)) && s.v < 13 { // "1 1/4"
		if f, fraction, unit, ok := splitNumber(p.token(i + 1)); ok && fraction && f < 1 {
			s.v, s.fraction, s.unit, s.tokens = s.v+f, true, unit, 2
		}
	}
	if next := p.token(i + s.tokens); s.unit == "" && (gaugeWords[next] || lengthUnits[next] > 0) {
		s.unit = next
		s.tokens++
	}
	s.read = strings.Join(p.tokens[i:i+s.tokens], " ")
	return s, true
}

// token is the word at i; "" past the end.
func (p *reader) token(i int) string {
	if i < len(p.tokens) {
		return p.tokens[i]
	}
	return ""
}

// gauge puts down a gauge of sheet or tube.
func (p *reader) gauge(s size) error {
	if s.v != float64(int(s.v)) || s.v < 3 || s.v > 30 {
		return Invalid("thickness", s.read, "not a gauge of sheet or tube", "gauges run from 3 to 30: 16ga plain, 11 gauge galvanized")
	}
	return p.thickness(part{gauge: int(s.v), said: s.read})
}

// wireSize puts down a size at token i that is the wire's: one that wire is sold in, or
// one that the word wire follows. It returns false where it is none.
func (p *reader) wireSize(i int, s size) (bool, error) {
	after := i + s.tokens
	if d := metricWire(s.v, s.unit, p.units); d > 0 && p.r.Job.Diameter == 0 && (p.classAt(after) || p.afterClass == i) {
		p.r.Job.Diameter = d
		return true, nil
	}
	next := p.token(after)
	sold := s.unit == "" && wireSizes[p.tokens[i]] && next != "wall" && next != "thick" && next != "sheet"
	if !sold && (next != "wire" || p.r.Job.Diameter != 0 || s.v >= 3 || !lengthLike(s.unit)) {
		return false, nil
	}
	var d MM
	if sold {
		if s.v >= 1 {
			s.v /= 1000 // 030 and 035, as they are said
		}
		d = Inches(s.v)
	} else {
		var err error
		if d, err = ParseLength("wire", withUnit(s.v, s.unit), p.units); err != nil {
			return false, err
		}
	}
	if p.r.Job.Diameter != 0 && p.r.Job.Diameter != d {
		return false, Invalid("wire", s.read, "two wire sizes were said", "say one of them, or write the wall as 0.035in wall")
	}
	p.r.Job.Diameter = d
	return true, nil
}

// length puts down the length at token i as what the words beside it make of it: the
// size of an electrode, a gap, the length of the bead, a size of pipe; else a thickness.
// It returns how many tokens that took.
func (p *reader) length(i int, s size) (int, error) {
	mm, err := ParseLength("thickness", withUnit(s.v, s.unit), p.units)
	if err != nil {
		if bad, ok := err.(*InvalidError); ok {
			bad.Read = s.read
		}
		return 0, err
	}
	after := i + s.tokens
	next := p.token(after)
	if m := p.vocab[next]; m.field == "class" && ProcessOf(m.value, "") == SMAW {
		p.r.Job.Diameter = mm // 3/32 E6013: the size before an electrode is the electrode's
		return s.tokens, nil
	}
	switch {
	case p.gapAt == i:
		p.r.Job.Gap = mm
		return s.tokens, nil
	case next == "gap" && p.smaller(after, s): // 1/8 gap 1/16: a gap is no wider than the metal
	case next == "gap" || next == "root":
		p.r.Job.Gap = mm
		return s.tokens + 1, nil
	case next == "long":
		p.r.Job.Length = mm
		return s.tokens + 1, nil
	case p.isPipe(i) && p.part().pipe == "":
		return s.tokens, p.thickness(part{pipe: nominal(mm), said: s.read + " pipe"})
	}
	if err := thicknessInRange("thickness", s.read, mm); err != nil {
		return 0, err
	}
	return s.tokens, p.thickness(part{mm: mm, said: s.read})
}

// sized reports whether a size stands among the tokens from one to another.
func (p *reader) sized(from, to int) bool {
	for i := from; i < to; i++ {
		if s, ok := p.sizeAt(i); ok && (s.unit == "" || gaugeWords[s.unit] || lengthUnits[s.unit] > 0) {
			return true
		}
	}
	return false
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
// s, in the same unit.
func (p *reader) smaller(i int, s size) bool {
	v, fraction, unit, ok := splitNumber(p.token(i + 1))
	if unit == "" && fraction {
		unit = "in"
	}
	return ok && unit == s.unit && v < s.v
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
func (p *reader) dimensions(i int) error {
	tok := p.tokens[i]
	fields := strings.Split(tok, "x")
	last := fields[len(fields)-1]
	if strings.HasSuffix(last, "ga") {
		g, err := strconv.Atoi(strings.TrimSuffix(last, "ga"))
		if err != nil || g < 3 || g > 30 {
			return Invalid("thickness", tok, "not a gauge of sheet or tube", "gauges run from 3 to 30")
		}
		return p.thickness(part{gauge: g, said: tok})
	}
	if len(fields) == 2 && fields[0] == last && p.sized(i+1, len(p.tokens)) {
		return nil // 1x1 16ga tube: the wall comes behind
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
