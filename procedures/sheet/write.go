package sheet

import (
	"encoding/json"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Line builds one record, key by key. Keys with points in them ("job.steel") go
// into an object of their own; those of one object must follow one another.
type Line struct {
	b    []byte
	path string // of the object that is open, with its point
}

// Begin starts a record anew.
func (l *Line) Begin() { l.b, l.path = append(l.b[:0], '{'), "" }

// End closes the record and returns it without a line break. It is good until the
// next Begin.
func (l *Line) End() []byte {
	l.into("")
	return append(l.b, '}')
}

// Key writes a key and leaves the value to be appended to what is returned, and
// handed back to [Line.Put].
func (l *Line) Key(key string) []byte {
	path, name := "", key
	if i := strings.LastIndexByte(key, '.'); i >= 0 {
		path, name = key[:i+1], key[i+1:]
	}
	l.into(path)
	l.comma()
	return append(AppendText(l.b, name), ':')
}

// Put takes back what Key gave out, with the value at its end.
func (l *Line) Put(b []byte) { l.b = b }

// Text writes a key and a text.
func (l *Line) Text(key, s string) { l.Put(AppendText(l.Key(key), s)) }

// Int writes a key and a whole number.
func (l *Line) Int(key string, n int64) { l.Put(strconv.AppendInt(l.Key(key), n, 10)) }

func (l *Line) comma() {
	if last := l.b[len(l.b)-1]; last != '{' && last != '[' {
		l.b = append(l.b, ',')
	}
}

// into opens and closes objects until the one of that path is open. One level is
// all that records need.
func (l *Line) into(path string) {
	if path == l.path {
		return
	}
	if l.path != "" {
		l.b = append(l.b, '}')
	}
	l.path = path
	if path != "" {
		l.comma()
		l.b = append(append(AppendText(l.b, strings.TrimSuffix(path, ".")), ':'), '{')
	}
}

// AppendFloat writes a number with no more digits than bring it back unchanged.
func AppendFloat(b []byte, v float64) []byte {
	if v != 0 && (v < 1e-6 && v > -1e-6 || v >= 1e15 || v <= -1e15) {
		return strconv.AppendFloat(b, v, 'g', -1, 64)
	}
	return strconv.AppendFloat(b, v, 'f', -1, 64)
}

// AppendText writes a text in quotes.
func AppendText(b []byte, s string) []byte {
	for i := 0; i < len(s); i++ {
		if c := s[i]; c < ' ' || c == '"' || c == '\\' || c == 0x7f || c >= utf8.RuneSelf {
			var buf strings.Builder
			enc := json.NewEncoder(&buf)
			enc.SetEscapeHTML(false)
			_ = enc.Encode(s) // a string always encodes
			return append(b, strings.TrimSuffix(buf.String(), "\n")...)
		}
	}
	return append(append(append(b, '"'), s...), '"')
}
