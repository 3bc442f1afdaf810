package paper

import (
	"bytes"
	"encoding/xml"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"gonum.org/v1/plot/vg/draw"

	"beadwright/procedures"
)

// sample is a document with a block of every kind.
func sample(page Page) Document {
	p := joints()["a tee"]
	return Document{Title: "Eighth tee <on> the bench", Lead: []string{"HIGH, knob 4 1/2 | practice"}, Page: page, Foot: "Practice aid.",
		Blocks: []Block{
			Heading("Settings"), Fields{{"wire", "0.035 E71T-11"}, {"backing & what it is of", ""}},
			Drawing{func(c draw.Canvas) { Sketch(c, p, procedures.US) }, "a tee"},
			Words{Text: "Slag off.", Strong: true}, Words{Text: "first", Item: true}, Words{Text: "second", Item: true},
			Table{Head: []string{"thickness", "stands on"}, Rows: []Row{{Cells: []string{"1/8 in", "PROVED A7"}, Strong: true}, {Cells: []string{"16 ga", "table"}}}},
			Table{Head: []string{"mark", "note"}, Rows: []Row{{Cells: []string{"A8", ""}}}, Share: []float64{1. / 4, 3. / 4}, Lines: 2},
			Tags{{Mark: "A7", Lines: []string{"1/8 tee", "HIGH"}}, {Mark: "A8"}, {Mark: "A9"}},
		}}
}

// objects counts the pages of a PDF by its page objects.
var pageObject = regexp.MustCompile(`/Type /Page\b[^s]`)

func countPages(t *testing.T, pdf []byte) int {
	t.Helper()
	n := len(pageObject.FindAll(pdf, -1))
	if tool, err := exec.LookPath("pdfinfo"); err == nil { // where another reader is at hand, it must agree
		file := filepath.Join(t.TempDir(), "page.pdf")
		if err := os.WriteFile(file, pdf, 0o600); err != nil {
			t.Fatal(err)
		}
		out, err := exec.Command(tool, file).Output()
		if err != nil {
			t.Fatal(err)
		}
		var told int
		for _, l := range strings.Split(string(out), "\n") {
			if rest, ok := strings.CutPrefix(l, "Pages:"); ok {
				told = int(strings.TrimSpace(rest)[0] - '0')
			}
		}
		if told != n {
			t.Errorf("pdfinfo counts %d pages, the page objects are %d", told, n)
		}
	}
	return n
}

func TestFormats(t *testing.T) {
	d := sample(Letter)
	for _, format := range Formats() {
		got, err := d.As(format)
		if err != nil {
			t.Fatal(format, err)
		}
		again, _ := d.As(format)
		if !bytes.Equal(got, again) {
			t.Errorf("%s: two pages of one document differ", format)
		}
		if format == "pdf" {
			if n := countPages(t, got); n < 1 || n > 2 {
				t.Errorf("%d pages", n)
			}
			continue
		}
		for _, want := range []string{"wire", "0.035 E71T-11", "PROVED A7", "Practice aid."} {
			if !strings.Contains(string(got), want) {
				t.Errorf("%s lacks %q", format, want)
			}
		}
	}
	if _, err := d.As("docx"); err == nil {
		t.Error("docx was written")
	}
}

// TestHTML holds the page to what it promises: well formed, nothing from outside, no
// script, what was typed not taken for markup.
func TestHTML(t *testing.T) {
	page, err := sample(A6).As("html")
	if err != nil {
		t.Fatal(err)
	}
	dec := xml.NewDecoder(bytes.NewReader(page))
	dec.Strict, dec.AutoClose, dec.Entity = false, xml.HTMLAutoClose, xml.HTMLEntity
	for {
		tok, err := dec.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		start, ok := tok.(xml.StartElement)
		if !ok {
			continue
		}
		if start.Name.Local == "script" || start.Name.Local == "on" {
			t.Errorf("there is an element %s", start.Name.Local)
		}
		for _, a := range start.Attr {
			if a.Name.Local == "src" || a.Name.Local == "href" || strings.HasPrefix(a.Name.Local, "on") {
				t.Errorf("%s has %s", start.Name.Local, a.Name.Local)
			}
		}
	}
	for _, want := range []string{"Eighth tee &lt;on&gt; the bench", "size: A6 landscape", "<svg", `<tr class="strong"><td>1/8 in</td>`, `<span class="blank">`} {
		if !strings.Contains(string(page), want) {
			t.Errorf("the page lacks %q", want)
		}
	}
	if strings.Contains(string(page), "url(") || strings.Contains(string(page), "@import") {
		t.Error("the style asks for something outside")
	}
}

// TestOnePage makes a card fuller and fuller: it stays one page with smaller letters,
// and is refused rather than cut off where they would be too small.
func TestOnePage(t *testing.T) {
	for _, page := range []Page{A6, ThreeFive} {
		refused := false
		for rows := 1; rows <= 60; rows += 5 {
			d := Document{Title: "Card", Page: page, Foot: "Practice aid."}
			table := Table{Head: []string{"thickness", "set"}}
			for range rows {
				table.Rows = append(table.Rows, Row{Cells: []string{"1/8 in", "HIGH 4 1/2"}})
			}
			d.Blocks = []Block{table}
			got, err := d.As("pdf")
			if err != nil {
				refused = true
				continue
			}
			if refused {
				t.Errorf("%d rows were refused, and more were not", rows)
			}
			if n := countPages(t, got); n != 1 {
				t.Errorf("%d rows on %s take %d pages", rows, page.Name, n)
			}
		}
		if !refused {
			t.Errorf("60 rows were squeezed onto %s", page.Name)
		}
	}
}

func TestWrap(t *testing.T) {
	for _, c := range []struct {
		in   string
		n    int
		want string
	}{
		{"", 5, ""}, {"one two three", 7, "one two|three"}, {"abcdefgh", 3, "abc|def|gh"}, {"a  b", 10, "a b"},
	} {
		if got := strings.Join(wrap(c.in, c.n), "|"); got != c.want {
			t.Errorf("wrap(%q, %d) = %q, want %q", c.in, c.n, got, c.want)
		}
	}
}

// TestWidths sets the fonts that the layout measures with against the widths of
// Helvetica as its maker printed them (Adobe Core 14 metrics, in thousandths of the
// size: as the PDF library has them), letter by letter.
func TestWidths(t *testing.T) {
	c := newCanvas("", time.Unix(0, 0), 100, 100)
	for _, heavy := range []bool{false, true} {
		s := letters(100, heavy)
		style := map[bool]string{true: "B"}[heavy]
		c.doc.SetFont("Helvetica", style, 100)
		for r := rune(' '); r <= '~'; r++ {
			measured, printed := s.Width(string(r)).Points(), c.doc.GetStringWidth(string(r))
			if math.Abs(measured-printed) > 1.2 {
				t.Errorf("%q, bold %v: measured %.1f, printed %.1f", r, heavy, measured, printed)
			}
		}
	}
}

// TestAlertComesFirst: what outweighs all else stands above the title, in every format.
func TestAlertComesFirst(t *testing.T) {
	d := sample(A4)
	d.Alert = []string{"FAILED IN USE: popped off"}
	for _, format := range Formats() {
		b, err := d.As(format)
		if err != nil {
			t.Fatal(err)
		}
		page := b
		if format == "html" {
			page = b[bytes.Index(b, []byte("<body>")):]
		}
		alert := bytes.Index(page, []byte("FAILED IN USE: popped off"))
		title := bytes.Index(bytes.ToLower(page), []byte("eighth tee"))
		if format == "pdf" { // its title stands in the head of the file as well
			title = bytes.Index(page, []byte("(Eighth tee <on> the bench) Tj"))
		}
		if alert < 0 || title < 0 || alert > title {
			t.Errorf("%s: alert at %d, title at %d", format, alert, title)
		}
	}
}

// TestTagsLoseNoLine: a tag with more to say than fits is made higher.
func TestTagsLoseNoLine(t *testing.T) {
	lines := make([]string, 30)
	for i := range lines {
		lines[i] = strings.Repeat("word ", i+1)
	}
	lines[29] = "the last of them"
	d := Document{Title: "Coupon tags", Page: A4, Blocks: []Block{Tags{{Mark: "A1", Lines: []string{"short"}}, {Mark: "A2", Lines: lines[20:]}}}}
	b, err := d.As("pdf")
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Contains(b, []byte("the last of them")) {
		t.Error("the last line of a long tag is not on the page")
	}
}
