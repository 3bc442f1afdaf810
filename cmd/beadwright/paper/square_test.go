package paper

import (
	"bytes"
	"image"
	"strings"
	"testing"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/qrcode"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgimg"
)

const link = "http://192.168.1.5:8173/weld/01a21a71-06c2-7b48-a353-943afe71cbdd"

// readSquare reads a picture as a phone's camera does.
func readSquare(t *testing.T, picture image.Image) string {
	t.Helper()
	bits, err := gozxing.NewBinaryBitmapFromImage(picture)
	if err != nil {
		t.Fatal(err)
	}
	got, err := qrcode.NewQRCodeReader().Decode(bits, nil)
	if err != nil {
		t.Fatal("it cannot be read: ", err)
	}
	return got.GetText()
}

// TestSquare: a square as large as it is printed, looked at with the dots of an ordinary
// printer, is read by another program than wrote it; with a drop of slag on it too.
func TestSquare(t *testing.T) {
	to := vgimg.NewWith(vgimg.UseWH(squareSide, squareSide), vgimg.UseDPI(300))
	c := draw.NewCanvas(to, squareSide, squareSide)
	if err := square(c, link); err != nil {
		t.Fatal(err)
	}
	if got := readSquare(t, to.Image()); got != link {
		t.Errorf("it reads %q, want %q", got, link)
	}
	spot := vg.Point{X: squareSide * 0.6, Y: squareSide * 0.55}
	const drop = vg.Millimeter
	c.FillPolygon(ink, []vg.Point{{X: spot.X - drop, Y: spot.Y - drop}, {X: spot.X + drop, Y: spot.Y - drop}, {X: spot.X + drop, Y: spot.Y + drop}, {X: spot.X - drop, Y: spot.Y + drop}})
	if got := readSquare(t, to.Image()); got != link {
		t.Errorf("with a drop of 2 mm on it it reads %q, want %q", got, link)
	}
}

// TestSquares: a link is on every sheet, as a square or in words; one that no square
// holds is refused and not left out.
func TestSquares(t *testing.T) {
	d := sample(A6)
	d.Link = link
	d.Blocks = append(d.Blocks, Tags{{Mark: "A9", Link: link + "9"}})
	for format, want := range map[string]string{"txt": "\n" + link + "\n", "md": "\n" + link + "\n", "html": `<figure class="square" role="img" aria-label="code of the link ` + link + `"><svg`} {
		got, err := d.As(format)
		if err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(string(got), want) {
			t.Errorf("%s: no %q", format, want)
		}
	}
	d.Page.Least = 0
	with, err := d.As("pdf")
	if err != nil {
		t.Fatal(err)
	}
	d.Link = ""
	without, err := d.As("pdf")
	if err != nil {
		t.Fatal(err)
	}
	if a, b := bytes.Count(with, []byte("\nf\n")), bytes.Count(without, []byte(" f\n")); a < b+200 {
		t.Errorf("%d filled fields with the square, %d without", a, b)
	}
	d.Link = strings.Repeat("x", 4000)
	for _, format := range []string{"html", "pdf"} {
		if _, err := d.As(format); err == nil {
			t.Errorf("%s: a link of 4,000 letters was taken", format)
		}
	}
}
