package paper

import (
	"bytes"

	"github.com/skip2/go-qrcode"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgsvg"
)

// squareSide is the side of a square to point a camera at. The links of records take
// 45 fields of it with the border, so that a field is 0.4 mm: common practice, no source,
// is 0.3 mm and more for a phone at a hand's breadth.
const squareSide = 18 * vg.Millimeter

// square draws a link as a two-dimensional code (ISO/IEC 18004) in a canvas that is as
// wide as high. A shop is dirty: a seventh of it may be gone (level M). Error: the link is
// longer than such a code can hold.
func square(c draw.Canvas, link string) error {
	code, err := qrcode.New(link, qrcode.Medium)
	if err != nil {
		return err
	}
	rows := code.Bitmap() // with the white border that belongs to it
	field := (c.Max.X - c.Min.X) / vg.Length(len(rows))
	for i, row := range rows {
		low := c.Max.Y - field*vg.Length(i+1)
		for from := 0; from < len(row); {
			to := from
			for to < len(row) && row[to] {
				to++
			}
			if to > from { // one rectangle for those side by side: no white hairlines between
				left, right := c.Min.X+field*vg.Length(from), c.Min.X+field*vg.Length(to)
				c.FillPolygon(ink, []vg.Point{{X: left, Y: low}, {X: right, Y: low}, {X: right, Y: low + field}, {X: left, Y: low + field}})
			}
			from = to + 1
		}
	}
	return nil
}

// squareSVG is a square as a picture in a page.
func squareSVG(link string) ([]byte, error) {
	svg := vgsvg.New(squareSide, squareSide)
	if err := square(draw.NewCanvas(svg, squareSide, squareSide), link); err != nil {
		return nil, err
	}
	var b bytes.Buffer
	_, err := svg.WriteTo(&b)
	return inline(b.Bytes()), err
}
