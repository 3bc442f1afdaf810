package sheet

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"beadwright/procedures"
)

// Sort is what a [Value] is.
type Sort byte

// The sorts of JSON value.
const (
	Null   Sort = 'n'
	Bool   Sort = 'b'
	Number Sort = 'd'
	String Sort = 's'
	List   Sort = '['
	Object Sort = '{'
)

// Value is one JSON value and where it stands.
type Value struct {
	Sort   Sort
	Column int     // byte of the line, from 1
	Text   string  // a string's letters; else the value as written
	Items  []Value // of a list
	Fields []Field // of an object, in the order written

	raw string
}

// JSON is the value as written, without the space in it.
func (v *Value) JSON() []byte {
	var b bytes.Buffer
	_ = json.Compact(&b, []byte(v.raw)) // it was read
	return b.Bytes()
}

// Field is one key of an object.
type Field struct {
	Key    string
	Column int // of the key
	Value  Value
}

// Get returns the value of a key, or nil.
func (v *Value) Get(key string) *Value {
	for i := range v.Fields {
		if v.Fields[i].Key == key {
			return &v.Fields[i].Value
		}
	}
	return nil
}

// deepest is how far objects and lists may lie within one another.
const deepest = 40

// ParseLine reads one line of JSON Lines: an object. Text with control characters
// in it is refused, wherever it stands: it would drive a terminal that shows it.
// Errors: [*Error] with the line and the byte of it.
func ParseLine(line string, number int) (Value, error) { return new(Parser).Line(line, number) }

// Parser reads one line after another, as [ParseLine] does, with less to allocate:
// what it returns holds until the next one. The words in it are parts of the line.
type Parser struct {
	open, done []Field // of objects that are being read, one in the other; of those that were read
}

// Line is [ParseLine].
func (keep *Parser) Line(line string, number int) (Value, error) {
	p := parser{line: line, number: number, open: keep.open[:0], done: keep.done[:0]}
	p.space()
	v := p.value(0)
	p.space()
	if p.err == nil && v.Sort != Object {
		p.pos = v.Column - 1
		p.fail("a line holds one record in braces", `such as {"kind":"weld","schema":1, ...}`)
	}
	if p.err == nil && p.pos < len(p.line) {
		p.fail("there is something after the record", "one record a line")
	}
	keep.open, keep.done = p.open, p.done
	if p.err != nil {
		return Value{}, p.err
	}
	return v, nil
}

type parser struct {
	line        string
	pos, number int
	open, done  []Field
	err         error
}

// fail keeps the first error, at the place reached.
func (p *parser) fail(problem string, hints ...string) {
	if p.err == nil {
		read := p.line[min(p.pos, len(p.line)):]
		if len(read) > 40 {
			read = read[:40]
		}
		p.err = At(p.number, p.pos+1, "", procedures.Invalid("", strings.ToValidUTF8(read, "?"), problem, hints...))
	}
	p.pos = len(p.line)
}

func (p *parser) space() {
	for p.pos < len(p.line) && strings.IndexByte(" \t\r\n", p.line[p.pos]) >= 0 {
		p.pos++
	}
}

func (p *parser) next() byte {
	if p.pos < len(p.line) {
		return p.line[p.pos]
	}
	return 0
}

func (p *parser) value(depth int) Value {
	v := Value{Column: p.pos + 1}
	switch c := p.next(); {
	case depth > deepest:
		p.fail("braces within braces beyond all reason")
	case c == '{':
		v.Sort = Object
		p.object(&v, depth)
		v.raw = p.line[v.Column-1 : p.pos]
	case c == '[':
		v.Sort = List
		p.list(&v, depth)
		v.raw = p.line[v.Column-1 : p.pos]
	case c == '"':
		v.Sort, v.Text = String, p.text()
		v.raw = p.line[v.Column-1 : p.pos]
	case c == '-' || c >= '0' && c <= '9':
		v.Sort, v.Text = Number, p.numeral()
		v.raw = v.Text
	default:
		for _, w := range []string{"null", "true", "false"} {
			if strings.HasPrefix(p.line[p.pos:], w) {
				v.Sort, v.Text, v.raw = Bool, w, w
				if w == "null" {
					v.Sort = Null
				}
				p.pos += len(w)
				return v
			}
		}
		if p.pos == len(p.line) {
			p.fail("the line breaks off", "was the file cut short? Export it again")
		} else {
			p.fail("not JSON", `text stands in quotes, numbers as 3.175, and what is not known is left out`)
		}
	}
	return v
}

func (p *parser) object(v *Value, depth int) {
	p.pos++
	outer := len(p.open)
	defer func() {
		from := len(p.done)
		p.done = append(p.done, p.open[outer:]...) // those of an inner object stand where they stood
		v.Fields, p.open = slices.Clip(p.done[from:]), p.open[:outer]
	}()
	for first := true; ; first = false {
		p.space()
		if p.next() == '}' && first {
			break
		}
		f := Field{Column: p.pos + 1}
		if p.next() != '"' {
			p.expected("a key in quotes")
			return
		}
		f.Key = p.text()
		if p.err == nil && (&Value{Fields: p.open[outer:]}).Get(f.Key) != nil {
			p.pos = f.Column - 1
			p.fail("this key stands twice", "leave one of them out")
			return
		}
		p.space()
		if p.next() != ':' {
			p.expected("a colon")
			return
		}
		p.pos++
		p.space()
		f.Value = p.value(depth + 1)
		p.open = append(p.open, f)
		p.space()
		if p.next() != ',' {
			break
		}
		p.pos++
	}
	if p.next() != '}' {
		p.expected("a comma or the closing brace")
		return
	}
	p.pos++
}

func (p *parser) list(v *Value, depth int) {
	p.pos++
	for first := true; ; first = false {
		p.space()
		if p.next() == ']' && first {
			break
		}
		v.Items = append(v.Items, p.value(depth+1))
		p.space()
		if p.next() != ',' {
			break
		}
		p.pos++
	}
	if p.next() != ']' {
		p.expected("a comma or the closing bracket")
		return
	}
	p.pos++
}

// expected says what should stand here.
func (p *parser) expected(what string) {
	if p.pos >= len(p.line) {
		p.fail("the line breaks off", "was the file cut short? Export it again")
		return
	}
	p.fail("here should stand " + what)
}

// text reads a string. Most have no escapes and are a part of the line.
func (p *parser) text() string {
	start := p.pos
	plain := true
	for p.pos++; p.pos < len(p.line) && p.line[p.pos] != '"'; p.pos++ {
		switch c := p.line[p.pos]; {
		case c == '\\':
			plain = false
			p.pos++
		case c < ' ' || c == 0x7f:
			p.fail("a control character stands in a text", "write it without")
			return ""
		case c >= utf8.RuneSelf:
			r, n := utf8.DecodeRuneInString(p.line[p.pos:])
			if r == utf8.RuneError && n == 1 {
				p.fail("not text that can be read again", "letters of any language, as UTF-8")
				return ""
			}
			if unicode.IsControl(r) {
				p.fail("a control character stands in a text", "write it without")
				return ""
			}
			p.pos += n - 1
		}
	}
	if p.pos >= len(p.line) {
		p.pos = start
		p.fail("the text has no closing quote", "was the file cut short? Export it again")
		return ""
	}
	p.pos++
	raw := p.line[start:p.pos]
	if plain {
		return raw[1 : len(raw)-1]
	}
	var s string
	err := json.Unmarshal([]byte(raw), &s)
	bad := strings.IndexFunc(s, func(r rune) bool { return unicode.IsControl(r) && r != '\n' && r != '\t' })
	if err != nil || bad >= 0 {
		p.pos = start
		p.fail("a text with a backslash that means nothing here, or a control character", "write it without")
		return ""
	}
	return s
}

// numeral reads a number as JSON writes it.
func (p *parser) numeral() string {
	start := p.pos
	for p.pos < len(p.line) && strings.IndexByte("+-.0123456789eE", p.line[p.pos]) >= 0 {
		p.pos++
	}
	s := p.line[start:p.pos]
	if !json.Valid([]byte(s)) {
		p.pos = start
		p.fail(fmt.Sprintf("%q is not a number", s), "such as 3.175")
	}
	return s
}

// Lines cuts a file into its lines, from 1 on, and calls do for each that is not
// empty. A byte order mark at the front is no part of it.
func Lines(text string, do func(number int, line string) error) error {
	return LinesFrom(1, strings.TrimPrefix(text, "\ufeff"), do)
}

// LinesFrom is [Lines] for a part of a file, which begins with the line of that number.
func LinesFrom(number int, text string, do func(number int, line string) error) error {
	for ; len(text) > 0; number++ {
		line, rest, _ := strings.Cut(text, "\n")
		text = rest
		if len(strings.TrimSpace(line)) == 0 {
			continue
		}
		if err := do(number, line); err != nil {
			return err
		}
	}
	return nil
}

// Parts cuts a file between lines into about so many parts, none of them without a
// line that is not empty but where the file has none. A byte order mark at the front
// is in none.
func Parts(text string, about int) []Part {
	text = strings.TrimPrefix(text, "\ufeff")
	size := len(text)/max(about, 1) + 1
	var parts []Part
	for first := 1; len(text) > 0; {
		end := min(size, len(text))
		for {
			if i := strings.IndexByte(text[end-1:], '\n'); i >= 0 {
				end += i
			} else {
				end = len(text)
			}
			if end == len(text) || len(strings.TrimSpace(text[:end])) > 0 {
				break
			}
			end++
		}
		parts = append(parts, Part{First: first, Text: text[:end]})
		first += strings.Count(text[:end], "\n")
		text = text[end:]
	}
	return parts
}

// Part is some lines of a file.
type Part struct {
	First int // number of the first line
	Text  string
}

// ParseList reads a list that this package has written.
func ParseList(text string) (Value, error) {
	p := parser{line: text}
	v := p.value(0)
	return v, p.err
}
