package sheet

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// TestParts: a file read in parts has the lines of the whole, each under its number.
func TestParts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringOfN(rapid.SampledFrom([]rune("a \r\n\n\n")), 0, 60, -1).Draw(t, "text")
		if rapid.Bool().Draw(t, "mark") {
			text = "\ufeff" + text
		}
		var want, got []string
		into := func(list *[]string) func(int, string) error {
			return func(number int, line string) error {
				*list = append(*list, fmt.Sprintf("%d %q", number, line))
				return nil
			}
		}
		_ = Lines(text, into(&want))
		parts := Parts(text, rapid.IntRange(1, 9).Draw(t, "parts"))
		for i, p := range parts {
			_ = LinesFrom(p.First, p.Text, into(&got))
			if i < len(parts)-1 && len(strings.TrimSpace(p.Text)) == 0 {
				t.Fatalf("part %d of %q is empty", i, text)
			}
		}
		if fmt.Sprint(got) != fmt.Sprint(want) {
			t.Fatalf("%q: %v, want %v", text, got, want)
		}
	})
}

// TestParser: what was read of lines before makes no difference.
func TestParser(t *testing.T) {
	var p Parser
	for range 3 {
		for _, l := range []string{`{"a":{"b":[{"c":1},{"d":2,"e":3}],"f":"g"},"h":null}`, `{"x":{"y":{"z":1,"w":[{}]}},"v":2}`, `{"k":`, `{}`, `{"k":1,"k":2}`, `{"k":{"k":1}}`} {
			want, wantErr := ParseLine(l, 2)
			got, err := p.Line(l, 2)
			if fmt.Sprintf("%+v", got) != fmt.Sprintf("%+v", want) || fmt.Sprint(err) != fmt.Sprint(wantErr) {
				t.Errorf("%s: %+v (%v), want %+v (%v)", l, got, err, want, wantErr)
			}
		}
	}
}
