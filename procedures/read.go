package procedures

import (
	"fmt"
	"regexp"
	"sort"
	"strconv"
	"strings"
	"sync"
)

// Lexicon holds the facts that reading a job needs and that live in published
// tables. The caller fills it, so that this package knows no tables.
type Lexicon struct {
	SheetGauge func(gauge int, galvanized bool) (MM, bool)
	TubeGauge  func(gauge int) (MM, bool)
	PipeWall   func(nominal string) (MM, bool) // schedule 40, by nominal size such as "1-1/2"
	Steels     []SteelWords
}

// SteelWords are the everyday and the standard names of one steel.
type SteelWords struct {
	Key   string // grade key
	Group string // practical group
	Words []string
}

// Reading is a job read from words: what was understood, what was assumed
// because it was not said, and what was not understood.
type Reading struct {
	Job     Job
	Assumed []string // in words: "flat position"
	Unknown []string // words that mean nothing here
	Sized   bool     // a thickness was said, even where reading failed later
}

var words = sync.OnceValue(vocabulary)

// part is one of the two pieces while it is being read.
type part struct {
	mm      MM
	gauge   int
	said    string
	form    Form
	coating Coating
	pipe    string // nominal size
}

type reader struct {
	lex    Lexicon
	units  Units
	vocab  map[string]meaning
	steels map[string]SteelWords
	tokens []string
	parts  []part
	vert   bool   // "vertical" without up or down
	dir    string // "up" or "down" on its own
	r      Reading
	steel  SteelWords

	afterClass int // the token after a wire class; -1: none yet
}

// ReadJob reads a job from words in any order: "16ga tube to 1/8 plate lap
// vertical down". It never guesses silently: what it cannot settle comes back
// as an [InvalidError] with the question in its hint, and words it does not know
// come back in Unknown. It may return a job with parts missing.
func ReadJob(text string, units Units, lex Lexicon) (Reading, error) {
	p := &reader{lex: lex, units: units, vocab: words(), steels: map[string]SteelWords{}, tokens: tokenize(text), parts: []part{{}}, afterClass: -1}
	for _, s := range lex.Steels {
		for _, w := range s.Words {
			p.steels[phraseKey(w)] = s
		}
	}
	p.r.Job.Said = strings.Join(strings.Fields(text), " ")
	if err := p.read(); err != nil {
		return p.r, err
	}
	if err := p.settle(); err != nil {
		return p.r, err
	}
	return p.r, p.r.Job.Validate()
}

var (
	hyphen = regexp.MustCompile(`([a-z])-|-([a-z])`)
	dims   = regexp.MustCompile(`^([\d./-]+"?x)+[\d./-]+(in|mm|"|ga)?$`)
)

// tokenize splits text into lower-case words; hyphens inside words part them,
// hyphens inside numbers (1-1/4) stay.
func tokenize(text string) []string {
	t := tidy(text)
	t = hyphen.ReplaceAllString(t, "$1 $2")
	return strings.FieldsFunc(t, func(r rune) bool {
		return r == ' ' || r == ',' || r == ';' || r == '?' || r == '!' || r == '(' || r == ')' || r == ':'
	})
}

func phraseKey(s string) string { return strings.Join(tokenize(s), " ") }

func (p *reader) part() *part { return &p.parts[len(p.parts)-1] }

func (p *reader) read() error {
	for i := 0; i < len(p.tokens); {
		if n, err := p.phrase(i); n > 0 || err != nil {
			if err != nil {
				return err
			}
			i += n
			continue
		}
		n, err := p.quantity(i)
		if err != nil {
			return err
		}
		if n == 0 {
			p.r.Unknown = append(p.r.Unknown, p.tokens[i])
			n = 1
		}
		i += n
	}
	return nil
}

// phrase takes the longest known phrase at token i and returns how many tokens
// it used.
func (p *reader) phrase(i int) (int, error) {
	for n := min(5, len(p.tokens)-i); n > 0; n-- {
		key := strings.Join(p.tokens[i:i+n], " ")
		if in, ok := said[key]; ok {
			return n, p.thickness(part{mm: Inches(in), said: key})
		}
		if s, ok := p.steels[key]; ok {
			return n, p.setSteel(s, key)
		}
		m, ok := p.vocab[key]
		if !ok {
			continue
		}
		if m.field == "class" {
			p.afterClass = i + n
		}
		if m.field == "for" {
			return n + p.purpose(i+n), nil
		}
		return n, p.take(m, key)
	}
	return 0, nil
}

// purpose reads what follows "for" until words that say something of the job.
func (p *reader) purpose(i int) int {
	n := 0
	for ; i+n < len(p.tokens); n++ {
		if _, _, _, ok := splitNumber(p.tokens[i+n]); ok {
			break
		}
		m, ok := p.vocab[p.tokens[i+n]]
		if ok && m.field != "filler" && m.field != "part" && m.field != "to" {
			break
		}
		if _, ok := p.steels[p.tokens[i+n]]; ok {
			break
		}
	}
	p.r.Job.For = strings.TrimSpace(p.r.Job.For + " " + strings.Join(p.tokens[i:i+n], " "))
	return n
}

func (p *reader) take(m meaning, key string) error {
	j := &p.r.Job
	switch m.field {
	case "joint":
		return setOnce("joint", (*string)(&j.Joint), m.value, key)
	case "weld":
		return setOnce("weld", (*string)(&j.Weld), m.value, key)
	case "position":
		switch {
		case strings.HasSuffix(key, "f") && len(key) == 2:
			j.Weld = Fillet
		}
		if m.value == "vertical" {
			p.vert = true
			return nil
		}
		return setOnce("position", (*string)(&j.Position), m.value, key)
	case "direction":
		p.dir = m.value
	case "form":
		if p.part().form != "" {
			p.parts = append(p.parts, part{})
		}
		p.part().form = Form(m.value)
	case "coating":
		if c := Coating(m.value); worse(c, p.part().coating) {
			p.part().coating = c
		}
	case "stripped":
		j.Stripped = true
	case "process":
		return setOnce("process", (*string)(&j.Process), m.value, key)
	case "class":
		return setOnce("wire", &j.Class, m.value, key)
	case "gas":
		return setOnce("gas", &j.Gas, m.value, key)
	case "to":
		if *p.part() != (part{}) {
			p.parts = append(p.parts, part{})
		}
	case "part":
		j.For = strings.TrimSpace(j.For + " " + key)
	}
	return nil
}

// setOnce sets a field, and asks when two words disagree.
func setOnce(field string, to *string, v, read string) error {
	if *to != "" && *to != v {
		return Invalid(field, read, fmt.Sprintf("%s and %s were both said", *to, v), "say one of them")
	}
	*to = v
	return nil
}

func (p *reader) setSteel(s SteelWords, key string) error {
	if bareFinishes[key] && p.part().coating == "" {
		p.part().coating = Bare
	}
	if s.Key == "a653" {
		p.part().coating = Galvanized
	}
	switch {
	case p.steel.Key == "" || p.steel.Key == s.Key || p.steel.Key == "mild" && s.Group == p.steel.Group:
		p.steel = s
	case s.Key == "mild" && s.Group == p.steel.Group:
	case s.Group == "OUT" || s.Group == "unknown":
		p.steel = s // the worse of the two decides
	case p.steel.Group == "OUT" || p.steel.Group == "unknown":
	case s.Group == p.steel.Group:
		p.r.Assumed = append(p.r.Assumed, fmt.Sprintf("%s welds like %s (both group %s)", s.Key, p.steel.Key, s.Group))
	default:
		return Invalid("steel", key, fmt.Sprintf("%s and %s were both said", p.steel.Key, s.Key),
			"say the one that is harder to weld, or log two joints")
	}
	return nil
}

// thickness starts a new part when the current one already has a thickness.
func (p *reader) thickness(t part) error {
	p.r.Sized = true
	cur := p.part()
	if cur.mm != 0 || cur.gauge != 0 || cur.pipe != "" {
		if len(p.parts) == 2 {
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
	if dims.MatchString(tok) {
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
	if unit != "" && lengthUnits[unit] == 0 {
		return 0, nil // a number with a unit of something else
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
	case at(n) == "gap" || at(n) == "root":
		p.r.Job.Gap = mm
		return n + 1, nil
	case at(-1) == "gap":
		p.r.Job.Gap = mm
		return n, nil
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

// Complete fills in what a suggestion needs and was not said, and records each
// assumption. What cannot be assumed is asked for: thickness and joint.
func (r *Reading) Complete() error {
	j := &r.Job
	if j.Thickness == 0 {
		return Invalid("thickness", j.Said, "how thick is the metal?", "say it as 1/8, 3mm, 0.125in, 11ga plain: beadwright suggest 1/8 mild tee flat")
	}
	if j.Joint == "" && j.Weld != BeadOnPlate {
		if j.Weld == Fillet {
			j.Joint = Tee
			r.Assumed = append(r.Assumed, "tee joint (fillet weld)")
		} else {
			return Invalid("joint", j.Said, "which joint?", "say one of: tee, lap, butt, corner, edge")
		}
	}
	if j.Weld == "" {
		j.Weld = j.Joint.DefaultWeld()
	}
	if j.Position == "" {
		j.Position = Flat
		r.Assumed = append(r.Assumed, "flat position")
	}
	if j.Steel == "" {
		j.Steel, j.SteelGroup = "mild", "I"
		r.Assumed = append(r.Assumed, "mild steel")
	}
	return nil
}

// Nearest returns the known words closest to one that was not understood, best
// first, at most three.
func Nearest(word string, lex Lexicon) []string {
	word = strings.ToLower(word)
	type near struct {
		word string
		d    int
	}
	var found []near
	try := func(w string) {
		if strings.Contains(w, " ") || len(w) < 3 {
			return
		}
		if d := Distance(word, w); d <= 1+len(w)/6 && d < len(word) {
			found = append(found, near{w, d})
		}
	}
	for w, m := range words() {
		if m.field != "filler" && m.field != "to" && m.field != "for" {
			try(w)
		}
	}
	for _, s := range lex.Steels {
		for _, w := range s.Words {
			try(strings.ToLower(w))
		}
	}
	sort.Slice(found, func(a, b int) bool {
		return found[a].d < found[b].d || found[a].d == found[b].d && found[a].word < found[b].word
	})
	var out []string
	for _, f := range found {
		if !known(f.word, out) && len(out) < 3 {
			out = append(out, f.word)
		}
	}
	return out
}
