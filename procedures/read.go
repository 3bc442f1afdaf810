package procedures

import (
	"fmt"
	"slices"
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

	index map[string]SteelWords // of Steels by their words; see [Lexicon.Indexed]
}

// Indexed returns the lexicon with its steels indexed, so that reading need not do
// it each time.
func (l Lexicon) Indexed() Lexicon {
	l.index = map[string]SteelWords{}
	for _, s := range l.Steels {
		for _, w := range s.Words {
			l.index[phraseKey(w)] = s
		}
	}
	return l
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

	afterClass int   // the token after a wire class; -1: none yet
	slip       error // a size that is a slip: what else was said is read first, and asked with it
	gapAt      int   // token of the size that the word gap leads to; -1: none
}

// ReadJob reads a job from words in any order: "16ga tube to 1/8 plate lap
// vertical down". It never guesses silently: what it cannot settle comes back
// as an [InvalidError] with the question in its hint, and words it does not know
// come back in Unknown. It may return a job with parts missing.
func ReadJob(text string, units Units, lex Lexicon) (Reading, error) {
	if lex.index == nil {
		lex = lex.Indexed()
	}
	p := &reader{lex: lex, units: units, vocab: words(), steels: lex.index, tokens: tokenize(acrossSizes(text)), parts: []part{{}}, afterClass: -1, gapAt: -1}
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
	hyphen = Pattern(`([a-z])-|-([a-z])`)
	glued  = Pattern(`(\d)(e71|er70)`) // 0.035E71T-11
	dims   = Pattern(`^([\d./-]+"?x)+[\d./-]+(in|mm|"|ga)?$`)
)

var (
	crossed = Pattern(`([\d/"]) +[xX] +(\d)`)
	mixed   = Pattern(`(\d) +(\d+/\d+"?[xX])`)
)

// acrossSizes writes 1 1/2 x 1 1/2 x 1/8 in one word, as the sizes of a section are read.
func acrossSizes(text string) string {
	if !strings.ContainsAny(text, "xX") || !hasDigit(text) {
		return text
	}
	for range 2 { // 1 x 1 x 1/8: what one match ends with begins the next
		text = crossed().ReplaceAllString(text, "${1}x${2}")
	}
	return mixed().ReplaceAllString(text, "$1-$2")
}

// tokenize splits text into lower-case words; hyphens inside words part them,
// hyphens inside numbers (1-1/4) stay.
func tokenize(text string) []string {
	t := tidy(text)
	if strings.Contains(t, "-") {
		t = hyphen().ReplaceAllString(t, "$1 $2")
	}
	if hasDigit(t) {
		t = glued().ReplaceAllString(t, "$1 $2")
	}
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
		if n := p.gap(i); n > 0 {
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
	return p.slip
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
	n, tail := 0, ""
	for ; i+n < len(p.tokens); n++ {
		if _, _, _, ok := splitNumber(p.tokens[i+n]); ok {
			break
		}
		m, ok := p.vocab[p.tokens[i+n]]
		if m.field == "direction" && n > 0 && !slices.Contains(p.tokens, "vertical") && !slices.Contains(p.tokens, "vert") {
			continue // a tie down, a pull up bar
		}
		if m.field == "form" && n > 0 {
			tail = " " + p.tokens[i+n] // monkey bars: it is the metal's form as well
		}
		if ok && m.field != "filler" && m.field != "part" && m.field != "to" {
			break
		}
		if _, ok := p.steels[p.tokens[i+n]]; ok {
			break
		}
	}
	p.r.Job.For = strings.TrimSpace(p.r.Job.For + " " + strings.Join(p.tokens[i:i+n], " ") + tail)
	return n
}

// take puts down what a phrase means; key is the phrase as it stands in the vocabulary.
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
			return Invalid("joint", j.Said, "which joint?", "tee (like a T), lap (one on top of the other), butt (end to end), corner (an outside corner), edge")
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
