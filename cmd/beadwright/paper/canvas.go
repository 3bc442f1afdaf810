package paper

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"io"
	"math"
	"strconv"
	"time"

	"codeberg.org/go-pdf/fpdf"

	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
)

// canvas draws on the pages of a PDF. Its letters are Helvetica, which every reader
// and printer has, so nothing is embedded; the fonts that the layout measures with
// are as wide, letter by letter (TestWidths).
type canvas struct {
	doc           *fpdf.Fpdf
	width, height vg.Length
	latin         func(string) string
	pictures      int
	wide          vg.Length // of lines
}

// newCanvas begins a PDF made at a time, which goes into its description; a zero time
// is written as the beginning of 1970, so that equal pages are equal files.
func newCanvas(title string, at time.Time, width, height vg.Length) *canvas {
	if at.IsZero() {
		at = time.Unix(0, 0).UTC()
	}
	doc := fpdf.NewCustom(&fpdf.InitType{UnitStr: "pt", Size: fpdf.SizeType{Wd: width.Points(), Ht: height.Points()}})
	doc.SetMargins(0, 0, 0)
	doc.SetAutoPageBreak(false, 0)
	doc.SetCompression(false) // a few kilobytes, and can be searched
	doc.SetCatalogSort(true)
	doc.SetCreationDate(at)
	doc.SetModificationDate(at)
	doc.SetTitle(title, true)
	c := &canvas{doc: doc, width: width, height: height, latin: doc.UnicodeTranslatorFromDescriptor("")}
	c.page()
	return c
}

// page begins another page.
func (c *canvas) page() {
	c.doc.AddPage()
	vg.Initialize(c)
}

// WriteTo writes the PDF.
func (c *canvas) WriteTo(w io.Writer) (int64, error) {
	var b bytes.Buffer
	if err := c.doc.Output(&b); err != nil {
		return 0, err
	}
	return b.WriteTo(w)
}

func (c *canvas) Size() (vg.Length, vg.Length) { return c.width, c.height }

// place turns a place on the page, from its lower left, into one from its upper left.
func (c *canvas) place(p vg.Point) (x, y float64) { return p.X.Points(), (c.height - p.Y).Points() }

func (c *canvas) SetLineWidth(w vg.Length) {
	c.wide = w
	c.doc.SetLineWidth(w.Points())
}

func (c *canvas) SetLineDash(dashes []vg.Length, offset vg.Length) {
	all := make([]float64, len(dashes))
	for i, d := range dashes {
		all[i] = d.Points()
	}
	c.doc.SetDashPattern(all, offset.Points())
}

func (c *canvas) SetColor(k color.Color) {
	if k == nil {
		k = color.Black
	}
	r, g, b, _ := k.RGBA()
	red, green, blue := int(r>>8), int(g>>8), int(b>>8)
	c.doc.SetDrawColor(red, green, blue)
	c.doc.SetFillColor(red, green, blue)
	c.doc.SetTextColor(red, green, blue)
}

func (c *canvas) Rotate(radians float64) {
	c.doc.TransformRotate(radians*180/math.Pi, 0, c.height.Points())
}
func (c *canvas) Translate(p vg.Point) { c.doc.TransformTranslate(p.X.Points(), -p.Y.Points()) }
func (c *canvas) Scale(x, y float64) {
	c.doc.TransformScale(x*100, y*100, 0, c.height.Points())
}
func (c *canvas) Push() { c.doc.TransformBegin() }
func (c *canvas) Pop()  { c.doc.TransformEnd() }

func (c *canvas) Stroke(p vg.Path) {
	if c.wide > 0 {
		c.path(p, "D")
	}
}

func (c *canvas) Fill(p vg.Path) { c.path(p, "F") }

func (c *canvas) path(p vg.Path, how string) {
	for _, s := range p {
		switch s.Type {
		case vg.MoveComp:
			c.doc.MoveTo(c.place(s.Pos))
		case vg.LineComp:
			c.doc.LineTo(c.place(s.Pos))
		case vg.ArcComp:
			const n = 24 // lines for an arc: finer than print at these sizes
			for i := 0; i <= n; i++ {
				a := s.Start + s.Angle*float64(i)/n
				x, y := c.place(vg.Point{X: s.Pos.X + s.Radius*vg.Length(math.Cos(a)), Y: s.Pos.Y + s.Radius*vg.Length(math.Sin(a))})
				c.doc.LineTo(x, y)
			}
		case vg.CurveComp:
			x, y := c.place(s.Pos)
			ax, ay := c.place(s.Control[0])
			if len(s.Control) == 1 {
				c.doc.CurveTo(ax, ay, x, y)
				continue
			}
			bx, by := c.place(s.Control[1])
			c.doc.CurveBezierCubicTo(ax, ay, bx, by, x, y)
		case vg.CloseComp:
			c.doc.ClosePath()
		}
	}
	c.doc.DrawPath(how)
}

// FillString writes in the letters of Western Europe; others become points.
func (c *canvas) FillString(f font.Face, at vg.Point, words string) {
	style := ""
	if f.Font.Weight == bold {
		style = "B"
	}
	c.doc.SetFont("Helvetica", style, f.Font.Size.Points())
	x, y := c.place(at)
	c.doc.Text(x, y, c.latin(words))
}

func (c *canvas) DrawImage(r vg.Rectangle, picture image.Image) {
	var b bytes.Buffer
	if err := png.Encode(&b, picture); err != nil {
		c.doc.SetError(err)
		return
	}
	c.pictures++
	name, how := strconv.Itoa(c.pictures), fpdf.ImageOptions{ImageType: "png"}
	c.doc.RegisterImageOptionsReader(name, how, &b)
	x, y := c.place(vg.Point{X: r.Min.X, Y: r.Max.Y})
	c.doc.ImageOptions(name, x, y, r.Size().X.Points(), r.Size().Y.Points(), false, how, 0, "")
}
