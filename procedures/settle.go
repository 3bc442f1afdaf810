package procedures

import (
	"fmt"
	"slices"
)

// coatingRank orders coatings by how much they forbid.
var coatingRank = map[Coating]int{"": 0, Bare: 1, MillScale: 2, Rust: 3, Paint: 4, OtherCoated: 5, Chrome: 6, Galvanized: 7, LeadPaint: 8, Cadmium: 9}

func worse(a, b Coating) bool { return coatingRank[a] > coatingRank[b] }

// settle resolves what needs the whole sentence: gauges, vertical, coatings.
func (p *reader) settle() error {
	j := &p.r.Job
	if p.vert || p.dir != "" {
		switch {
		case j.Position == VerticalUp || j.Position == VerticalDown:
		case p.vert && p.dir != "":
			j.Position = Position("vertical-" + p.dir)
		case p.vert:
			return Invalid("position", "vertical", "vertical: up or down?", "say vertical up or vertical down",
				"thin sheet is mostly run down, 1/8 in and thicker up (common practice, no source)")
		default:
			p.r.Unknown = append(p.r.Unknown, p.dir)
		}
	}
	p.outsides()
	for _, q := range p.parts {
		if worse(q.coating, j.Coating) {
			j.Coating = q.coating
		}
	}
	for i := range p.parts {
		if err := p.resolve(&p.parts[i]); err != nil {
			return err
		}
	}
	if err := p.pair(); err != nil {
		return err
	}
	if p.steel.Key != "" {
		j.Steel, j.SteelGroup = p.steel.Key, p.steel.Group
	}
	if j.Joint == "" {
		switch j.Weld {
		case SquareGroove, VGroove:
			j.Joint = Butt
		case Plug:
			j.Joint = Lap
		}
	}
	if j.Process == "" {
		j.Process = ProcessOf(j.Class, j.Gas)
	}
	return nil
}

// outsides drops the outside size of a tube whose wall was said too: 2in 11ga tube.
func (p *reader) outsides() {
	tube := slices.ContainsFunc(p.parts, func(q part) bool { return q.form == Tube })
	sized := 0
	for _, q := range p.parts {
		if q.mm != 0 || q.gauge != 0 {
			sized++
		}
	}
	if tube && sized > 1 {
		for i := range p.parts {
			if next := i + 1; p.parts[i].mm > 12 && next < len(p.parts) && p.parts[i].pipe == "" && (p.parts[i].form == Tube || p.parts[next].form == Tube) {
				if p.parts[next].form == "" {
					p.parts[next].form = Tube
				}
				p.parts = slices.Delete(p.parts, i, next)
				return
			}
		}
	}
}

// resolve turns a gauge or a pipe size into a thickness.
func (p *reader) resolve(q *part) error {
	switch {
	case q.gauge != 0 && q.form == Tube:
		t, ok := p.lex.TubeGauge(q.gauge)
		if !ok {
			return Invalid("thickness", q.said, "no such gauge in the table of tube walls", "tube walls run from 7 to 22 gauge; or measure the wall: 0.065in wall tube")
		}
		q.mm, q.said = t, q.said+" tube"
	case q.gauge != 0 && q.form == Pipe:
		return Invalid("thickness", q.said, "pipe goes by schedule, not by gauge", "say the wall (0.133in wall), or the size: 1in sch 40 pipe")
	case q.gauge != 0:
		c := q.coating
		if c == "" || c == Rust || c == Paint || c == MillScale {
			c = p.r.Job.Coating
		}
		if c != Bare && c != Galvanized {
			return Invalid("thickness", q.said, fmt.Sprintf("%d gauge: plain or galvanized?", q.gauge),
				fmt.Sprintf("the two differ in thickness, and zinc fume is a reason to stop: say %dga plain, %dga galvanized, or %dga tube", q.gauge, q.gauge, q.gauge))
		}
		t, ok := p.lex.SheetGauge(q.gauge, c == Galvanized)
		if !ok {
			return Invalid("thickness", q.said, "no such gauge in the table of sheet", "sheet gauges run from 3 to 30 (galvanized 8 to 30); or measure: 0.060in")
		}
		q.mm = t
		if c == Galvanized {
			q.said += " galvanized"
		} else {
			q.said += " plain"
		}
	case q.pipe != "":
		t, ok := p.lex.PipeWall(q.pipe)
		if !ok {
			return Invalid("thickness", q.said, "no such size in the table of schedule 40 pipe", "1/2, 3/4, 1, 1-1/4, 1-1/2, 2, 2-1/2, 3, 3-1/2, 4; or say the wall")
		}
		q.mm, q.form = t, Pipe
	case q.mm > 12 && q.form == Tube:
		return Invalid("thickness", q.said, "that looks like the outside of the tube", "say the wall: 16ga tube, 0.065in wall, 1x1x0.065 tube")
	case q.mm > 12 && q.form == Pipe && !slices.Contains(p.tokens, "wall"):
		return Invalid("thickness", q.said, "that looks like the size of the pipe: how thick is its wall?", "say the wall: 1/8 wall, or the schedule: "+q.said+" sch 40 pipe")
	}
	return nil
}

// pair puts the parts into the job; a part with no thickness takes the other's
// when both are of one form, else it is asked for.
func (p *reader) pair() error {
	j := &p.r.Job
	var full []part
	var empty *part
	for i, q := range p.parts {
		switch {
		case q.mm != 0:
			full = append(full, q)
		case q.form != "":
			empty = &p.parts[i]
		}
	}
	if len(full) > 2 {
		return Invalid("thickness", j.Said, "more than two thicknesses", "a joint has two parts: 16ga plain to 1/8 plate")
	}
	if empty != nil && len(full) == 1 && full[0].form != "" && full[0].form != empty.form {
		return Invalid("thickness", j.Said, fmt.Sprintf("how thick is the %s?", empty.form), fmt.Sprintf("say it beside the word: 1/8 %s", empty.form))
	}
	if len(full) > 0 {
		j.Thickness, j.ThicknessSaid, j.Form = full[0].mm, full[0].said, full[0].form
		if j.Form == "" && empty != nil {
			j.Form = empty.form
		}
	}
	if len(full) == 2 {
		j.OtherThickness, j.OtherSaid, j.OtherForm = full[1].mm, full[1].said, full[1].form
	}
	return nil
}
