package paper

import (
	"fmt"
	"strings"
	"time"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Document is what a sheet says, in blocks from top to bottom.
type Document struct {
	Alert  []string // lines above the title, for what outweighs all that follows
	Title  string
	Lead   []string // lines below the title, large
	Link   string   // where the page shows it, as a square to point a camera at; "": nowhere
	Blocks []Block
	Foot   string // at the foot of every page
	Page   Page
	At     time.Time // when it was made
}

// Block is a part of a document: [Heading], [Words], [Fields], [Table], [Drawing]
// or [Tags].
type Block interface{ block() }

// Heading begins a part.
type Heading string

// Words is a paragraph.
type Words struct {
	Text   string
	Strong bool
	Item   bool // one of a list
}

// Fields are names with values. One that is not known keeps its place, to be filled
// in with a pen.
type Fields []Field

// Field is a name and a value; "" is blank.
type Field struct{ Name, Value string }

// Table is rows below a head.
type Table struct {
	Head  []string
	Rows  []Row
	Share []float64 // of the width, a column each; nil: by what is in them
	Lines int       // of writing a row has room for; 0: as many as its words take
}

// Row is a row of a table. A strong one is set in bold, and says in words why.
type Row struct {
	Cells  []string
	Strong bool
}

// Drawing is a picture of [SketchWidth] to [SketchHeight], and what it shows, in
// words, where no picture can be.
type Drawing struct {
	Draw  func(draw.Canvas)
	Words string
}

// Tags are cut apart and tied or glued to coupons.
type Tags []Tag

// Tag is one: its mark large, then lines.
type Tag struct {
	Mark  string
	Lines []string
	Link  string // as that of a document
}

func (Heading) block() {}
func (Words) block()   {}
func (Fields) block()  {}
func (Table) block()   {}
func (Drawing) block() {}
func (Tags) block()    {}

// Page is a size of paper.
type Page struct {
	Name          string    // as CSS names or measures it
	Width, Height vg.Length // points
	Edge          vg.Length // margin
	Letter        vg.Length // size of the text
	Least         vg.Length // smallest that the text may become so that all fits on one page; 0: more pages
}

// Papers. A letter and an A4 sheet print on either kind of printer.
var (
	Letter     = Page{Name: "letter", Width: 8.5 * vg.Inch, Height: 11 * vg.Inch, Edge: 0.6 * vg.Inch, Letter: 10.5}
	A4         = Page{Name: "A4", Width: 210 * vg.Millimeter, Height: 297 * vg.Millimeter, Edge: 15 * vg.Millimeter, Letter: 10.5}
	A6         = Page{Name: "A6 landscape", Width: 148 * vg.Millimeter, Height: 105 * vg.Millimeter, Edge: 5 * vg.Millimeter, Letter: 12, Least: 6}
	ThreeFive  = Page{Name: "5in 3in", Width: 5 * vg.Inch, Height: 3 * vg.Inch, Edge: 0.16 * vg.Inch, Letter: 11, Least: 5.5}
	LetterWide = Page{Name: "letter landscape", Width: 11 * vg.Inch, Height: 8.5 * vg.Inch, Edge: 0.45 * vg.Inch, Letter: 10.5}
	A4Wide     = Page{Name: "A4 landscape", Width: 297 * vg.Millimeter, Height: 210 * vg.Millimeter, Edge: 12 * vg.Millimeter, Letter: 10.5}
)

// Formats are the endings of the files that a document can be written to.
func Formats() []string { return []string{"txt", "md", "html", "pdf"} }

// As writes the document in a format of [Formats].
func (d Document) As(format string) ([]byte, error) {
	switch format {
	case "txt":
		return []byte(d.text()), nil
	case "md":
		return []byte(d.markdown()), nil
	case "html":
		return d.html()
	case "pdf":
		return d.pdf()
	}
	return nil, fmt.Errorf("a page is %s, not %q", strings.Join(Formats(), ", "), format)
}
