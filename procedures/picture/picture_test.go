package picture

import (
	"bytes"
	"encoding/binary"
	"errors"
	"hash/crc32"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"slices"
	"strings"
	"testing"

	"beadwright/procedures"
)

func cleaned(t *testing.T, file []byte) Picture {
	t.Helper()
	p, err := Clean(file)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// TestTellsNothing: of files that tell all that a file can, nothing is left but the
// picture, the same to the last bit.
func TestTellsNothing(t *testing.T) {
	m := bead(64, 48)
	for _, c := range []struct {
		name        string
		file, plain []byte
		media       string
	}{
		{"jpeg", told(t, m, 1), withSegments(asJPEG(t, m), jfif), "image/jpeg"},
		{"png", pngTold(t, m, 1), asPNG(t, m), "image/png"},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := cleaned(t, c.file)
			if p.Media != c.media || p.Width != 64 || p.Height != 48 {
				t.Errorf("%s of %d x %d", p.Media, p.Width, p.Height)
			}
			for _, s := range secrets {
				if !bytes.Contains(c.file, []byte(s)) && !strings.HasPrefix(s, "thumb") && c.name == "jpeg" {
					t.Errorf("the file to be cleaned does not tell %q", s)
				}
				if bytes.Contains(p.Data, []byte(s)) {
					t.Errorf("the clean file tells %q", s)
				}
			}
			was, _, err := image.Decode(bytes.NewReader(c.plain))
			if err != nil {
				t.Fatal(err)
			}
			is, _, err := image.Decode(bytes.NewReader(p.Data))
			if err != nil {
				t.Fatal(err)
			}
			if !alike(was, is, 0) {
				t.Error("the picture itself has changed")
			}
			if _, err := Whole(p.Data); err != nil {
				t.Errorf("cleaned once, and not clean: %v", err)
			}
			if _, err := Whole(c.file); err == nil {
				t.Error("what tells everything passed for clean")
			}
			again := cleaned(t, p.Data)
			if !bytes.Equal(again.Data, p.Data) {
				t.Error("cleaned twice is not cleaned once")
			}
		})
	}
}

// TestSegmentsLeft: what a clean file consists of, read by its length bytes alone.
func TestSegmentsLeft(t *testing.T) {
	p := cleaned(t, told(t, bead(40, 40), 1))
	var marks []byte
	for b := p.Data[2:]; ; {
		marks = append(marks, b[1])
		if b[1] == markSOS {
			if !bytes.HasSuffix(b, []byte{0xff, markEOI}) {
				t.Error("something stands behind the end")
			}
			break
		}
		b = b[2+int(binary.BigEndian.Uint16(b[2:])):]
	}
	for _, m := range marks {
		if m >= markAPP1 && m <= markAPPF || m == markCOM {
			t.Errorf("a segment %x is left", m)
		}
	}
	if marks[0] != markAPP0 || slices.Index(marks[1:], markAPP0) >= 0 {
		t.Errorf("segments %x: one that says how the numbers are colors comes first", marks)
	}

	var kinds []string
	for b := cleaned(t, pngTold(t, bead(40, 40), 1)).Data[8:]; len(b) > 0; b = b[12+binary.BigEndian.Uint32(b):] {
		kinds = append(kinds, string(b[4:8]))
	}
	if got := strings.Join(kinds, " "); got != "IHDR gAMA IDAT IEND" {
		t.Errorf("chunks %s", got)
	}
}

// TestUpright: held in each of the eight ways of TIFF 6.0 (tag 0x0112: the side that
// is row 0, and the side that is column 0), a picture comes out upright.
func TestUpright(t *testing.T) {
	want := bead(48, 32)
	// at says where in the file the point x, y of a picture of w x h is found.
	at := map[uint16]func(x, y, w, h int) (column, row int){
		1: func(x, y, w, h int) (int, int) { return x, y },                 // top, left
		2: func(x, y, w, h int) (int, int) { return w - 1 - x, y },         // top, right
		3: func(x, y, w, h int) (int, int) { return w - 1 - x, h - 1 - y }, // bottom, right
		4: func(x, y, w, h int) (int, int) { return x, h - 1 - y },         // bottom, left
		5: func(x, y, w, h int) (int, int) { return y, x },                 // left, top
		6: func(x, y, w, h int) (int, int) { return y, w - 1 - x },         // right, top
		7: func(x, y, w, h int) (int, int) { return h - 1 - y, w - 1 - x }, // right, bottom
		8: func(x, y, w, h int) (int, int) { return h - 1 - y, x },         // left, bottom
	}
	for held, place := range at {
		w, h := 48, 32
		size := image.Rect(0, 0, w, h)
		if held >= 5 {
			size = image.Rect(0, 0, h, w)
		}
		file := image.NewRGBA(size)
		for y := range h {
			for x := range w {
				column, row := place(x, y, w, h)
				file.SetRGBA(column, row, want.RGBAAt(x, y))
			}
		}
		for _, c := range []struct {
			name string
			p    Picture
			off  int
		}{{"jpeg", cleaned(t, told(t, file, held)), 40}, {"png", cleaned(t, pngTold(t, file, held)), 0}} {
			if c.p.Width != w || c.p.Height != h {
				t.Errorf("%s held as %d comes out as %d x %d", c.name, held, c.p.Width, c.p.Height)
				continue
			}
			got, _, err := image.Decode(bytes.NewReader(c.p.Data))
			if err != nil {
				t.Fatal(err)
			}
			if !alike(want, got, c.off) {
				t.Errorf("%s held as %d does not come out upright", c.name, held)
			}
			if !bytes.Equal(cleaned(t, c.p.Data).Data, c.p.Data) {
				t.Errorf("%s held as %d is turned again", c.name, held)
			}
		}
	}
}

// alike compares pictures point by point: each color within off of 255.
func alike(a, b image.Image, off int) bool {
	if a.Bounds().Size() != b.Bounds().Size() {
		return false
	}
	d := b.Bounds().Min.Sub(a.Bounds().Min)
	for y := a.Bounds().Min.Y; y < a.Bounds().Max.Y; y++ {
		for x := a.Bounds().Min.X; x < a.Bounds().Max.X; x++ {
			p, q := color.RGBAModel.Convert(a.At(x, y)).(color.RGBA), color.RGBAModel.Convert(b.At(x+d.X, y+d.Y)).(color.RGBA)
			if apart(p.R, q.R) > off || apart(p.G, q.G) > off || apart(p.B, q.B) > off {
				return false
			}
		}
	}
	return true
}

func apart(a, b uint8) int { return max(int(a)-int(b), int(b)-int(a)) }

// TestColorsKept: what says how numbers are colors stays where a picture needs it.
func TestColorsKept(t *testing.T) {
	plain := asJPEG(t, bead(32, 32))
	// The same numbers, once said to be red, green and blue.
	rgb := withSegments(plain, segment(markAPPE, "Adobe\x00\x64maker\x00"))
	for _, file := range [][]byte{plain, rgb, withSegments(plain, segment(markAPP0, "JFIF\x00\x01\x02\x00\x00\x01\x00\x01\x00\x00"))} {
		was, err := jpeg.Decode(bytes.NewReader(file))
		if err != nil {
			t.Fatal(err)
		}
		p := cleaned(t, file)
		is, err := jpeg.Decode(bytes.NewReader(p.Data))
		if err != nil {
			t.Fatal(err)
		}
		if !alike(was, is, 0) || bytes.Contains(p.Data, []byte("make")) {
			t.Error("the colors changed, or more than they was kept")
		}
	}
	see := image.NewNRGBA(image.Rect(0, 0, 9, 9))
	see.SetNRGBA(4, 4, color.NRGBA{200, 10, 10, 128})
	got, err := png.Decode(bytes.NewReader(cleaned(t, asPNG(t, see)).Data))
	if err != nil || got.At(4, 4) != (color.NRGBA{200, 10, 10, 128}) {
		t.Errorf("what can be seen through came out as %v, %v", got.At(4, 4), err)
	}
	few := image.NewPaletted(image.Rect(0, 0, 9, 9), color.Palette{color.Transparent, color.White, color.NRGBA{9, 8, 7, 255}})
	few.SetColorIndex(3, 3, 2)
	if got, err := png.Decode(bytes.NewReader(cleaned(t, asPNG(t, few)).Data)); err != nil || !alike(few, got, 0) {
		t.Errorf("a picture of few colors changed: %v", err)
	}
}

// TestRefused: what is no whole JPEG or PNG is refused with a word on what it is, and
// a hint.
func TestRefused(t *testing.T) {
	jpg, pic := asJPEG(t, bead(64, 64)), asPNG(t, bead(64, 64))
	sized := func(w, h uint32) []byte {
		b := bytes.Clone(pic)
		binary.BigEndian.PutUint32(b[16:], w)
		binary.BigEndian.PutUint32(b[20:], h)
		binary.BigEndian.PutUint32(b[29:], crc32.ChecksumIEEE(b[12:29]))
		return b
	}
	largeJPEG := bytes.Clone(jpg)
	frame := bytes.Index(jpg, []byte{0xff, markSOF0})
	copy(largeJPEG[frame+5:], []byte{0x80, 0x00, 0x80, 0x00})
	flipped := bytes.Clone(pic)
	flipped[len(flipped)-20] ^= 0xff
	for _, c := range []struct {
		name string
		file []byte
		want string
	}{
		{"empty", nil, "nothing in it"},
		{"text", []byte("a fine bead"), "no picture, whatever it is called"},
		{"heic", []byte("\x00\x00\x00\x18ftypheic\x00\x00\x00\x00mif1heic"), "HEIC"},
		{"film", []byte("\x00\x00\x00\x18ftypisom\x00\x00\x00\x00"), "a film"},
		{"gif", []byte("GIF89a\x01\x00\x01\x00\x00\x00\x00;"), "a GIF"},
		{"webp", []byte("RIFF\x10\x00\x00\x00WEBPVP8 "), "a WebP"},
		{"raw", []byte("II*\x00\x08\x00\x00\x00"), "TIFF"},
		{"svg", []byte(`<?xml version="1.0"?><svg xmlns="http://www.w3.org/2000/svg"><script>1</script></svg>`), "SVG"},
		{"pdf", []byte("%PDF-1.7"), "a PDF"},
		{"a picture behind something else", append([]byte("GIF89a=1;"), jpg...), "a GIF"},
		{"a page before a picture", append([]byte("<!doctype html><script>1</script>"), pic...), "no picture"},
		{"jpeg, its head alone", jpg[:20], "cut off"},
		{"jpeg cut in the frame", jpg[:frame+6], "cut off"},
		{"jpeg cut in the picture", jpg[:len(jpg)-40], "cut off"},
		{"jpeg without its end", jpg[:len(jpg)-2], "cut off"},
		{"jpeg of nothing", []byte{0xff, markSOI, 0xff, markEOI}, "damaged"},
		{"jpeg that claims to be huge", largeJPEG, "32768 x 32768 is too large"},
		{"png cut in the picture", pic[:len(pic)-40], "cut off"},
		{"png without its end", pic[:len(pic)-12], "cut off"},
		{"png that claims to be huge", sized(30000, 30000), "30000 x 30000 is too large"},
		{"png just past the limit", sized(8192, 6401), "too large"},
		{"png that claims more than there is", sized(64, 65), "not enough pixel data"},
		{"png that holds more than it claims", sized(64, 63), "too much pixel data"},
		{"png with a bit turned over", flipped, "a sum in it"},
		{"more than 20 MB", append(bytes.Clone(jpg), make([]byte, procedures.LargestPhoto)...), "more than is kept"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := Clean(c.file)
			var bad *procedures.InvalidError
			if !errors.As(err, &bad) || !strings.Contains(bad.Error(), c.want) {
				t.Fatalf("want %q, got %v", c.want, err)
			}
			if len(bad.Hints) == 0 || bad.Field != "photo" {
				t.Errorf("no hint, or not of the photo: %+v", bad)
			}
		})
	}
}

// TestHiddenStream: what hides behind the compressed picture, in the chunk that
// holds it or in one of its own, is not taken along.
func TestHiddenStream(t *testing.T) {
	pic := asPNG(t, bead(20, 20))
	at := bytes.Index(pic, []byte("IDAT")) - 4
	n := binary.BigEndian.Uint32(pic[at:])
	data := pic[at+8 : at+8+int(n)]
	for name, parts := range map[string][]string{
		"in the same chunk": {string(data) + "Jane Doe"}, "in one of its own": {string(data), "Jane Doe"}, "cut in three": {string(data[:7]), string(data[7:]), "Jane Doe"},
	} {
		file := bytes.Clone(pic[:at])
		for _, p := range parts {
			file = chunk(file, "IDAT", []byte(p))
		}
		file = chunk(file, "IEND", nil)
		if p := cleaned(t, file); !bytes.Equal(p.Data, pic) {
			t.Errorf("hidden %s: the clean file is not the plain one", name)
		}
	}
}

// TestViews: a large picture gets a view for the screen, every picture a small one;
// none is ever larger than its picture.
func TestViews(t *testing.T) {
	for _, c := range []struct{ w, h, viewW, viewH, thumbW, thumbH int }{
		{2400, 1800, 1600, 1200, 320, 240}, {1200, 3000, 640, 1600, 128, 320}, {1600, 1200, 0, 0, 320, 240}, {100, 80, 0, 0, 100, 80}, {4000, 2, 1600, 1, 320, 1},
	} {
		p := cleaned(t, asJPEG(t, bead(c.w, c.h)))
		v, err := p.Views()
		if err != nil {
			t.Fatal(err)
		}
		if c.viewW == 0 && v.View != nil {
			t.Errorf("%d x %d has a view of its own", c.w, c.h)
		}
		for _, s := range []struct {
			file []byte
			w, h int
		}{{v.View, c.viewW, c.viewH}, {v.Thumb, c.thumbW, c.thumbH}} {
			if s.w == 0 {
				continue
			}
			m, err := jpeg.Decode(bytes.NewReader(s.file))
			if err != nil {
				t.Fatal(err)
			}
			if got := m.Bounds().Size(); got != (image.Point{s.w, s.h}) {
				t.Errorf("%d x %d: %v, want %d x %d", c.w, c.h, got, s.w, s.h)
			}
			if Media(s.file) != "image/jpeg" {
				t.Error("a view is no JPEG")
			}
		}
		// A point of the white corner, and one in the middle of the gradient.
		m, _ := jpeg.Decode(bytes.NewReader(v.Thumb))
		if c.thumbH < 8 {
			continue
		}
		corner := color.RGBAModel.Convert(m.At(c.thumbW/8, c.thumbH/8)).(color.RGBA)
		middle := color.RGBAModel.Convert(m.At(c.thumbW/2, c.thumbH/2)).(color.RGBA)
		if apart(corner.R, 250) > 12 || apart(middle.R, 127) > 12 || apart(middle.G, 127) > 12 || apart(middle.B, 90) > 12 {
			t.Errorf("%d x %d: the small one shows %v and %v", c.w, c.h, corner, middle)
		}
	}
	see := image.NewNRGBA(image.Rect(0, 0, 400, 400)) // all can be seen through
	v, err := cleaned(t, asPNG(t, see)).Views()
	if err != nil {
		t.Fatal(err)
	}
	if m, _ := jpeg.Decode(bytes.NewReader(v.Thumb)); apart(color.RGBAModel.Convert(m.At(9, 9)).(color.RGBA).R, 255) > 2 {
		t.Error("what can be seen through is not white")
	}
}

func BenchmarkClean(b *testing.B) {
	for _, c := range []struct {
		name string
		held uint16
	}{{"upright", 1}, {"turned", 6}} {
		file := told(b, bead(4000, 3000), c.held)
		b.Run(c.name, func(b *testing.B) {
			for b.Loop() {
				p, err := Clean(file)
				if err != nil {
					b.Fatal(err)
				}
				if _, err := p.Views(); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
