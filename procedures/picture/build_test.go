package picture

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"testing"
)

// secrets are what a camera or a phone writes beside a picture, as it stands in the
// files that these tests build.
var secrets = []string{"ACME Camera Works", "PocketCam 9", "N47.3769", "serial 0123456789", "maker's own", "GPSLatitude", "xmpmeta", "Jane Doe", "My Workshop, 12 Elm St", "2026:05:01 14:30:00", "thumbnail of what was cut off", "PK\x03\x04", "profile by ACME"}

// bead is a picture with a gradient, a line across and a corner of its own.
func bead(w, h int) *image.RGBA {
	m := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			c := color.RGBA{uint8(255 * x / w), uint8(255 * y / h), 90, 255}
			if x < w/4 && y < h/4 {
				c = color.RGBA{250, 250, 250, 255}
			}
			m.SetRGBA(x, y, c)
		}
	}
	return m
}

func asJPEG(t testing.TB, m image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, m, &jpeg.Options{Quality: 95}); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func asPNG(t testing.TB, m image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, m); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// segment is one of a JPEG.
func segment(mark byte, body string) []byte {
	n := len(body) + 2
	return append([]byte{0xff, mark, byte(n >> 8), byte(n)}, body...)
}

// exif is a TIFF header with tags: orientation, maker, model, place, the time, a
// maker's note and a small copy behind them.
func exif(order binary.AppendByteOrder, held uint16) string {
	var b []byte
	if order == binary.AppendByteOrder(binary.LittleEndian) {
		b = append(b, "II"...)
	} else {
		b = append(b, "MM"...)
	}
	b = order.AppendUint16(b, 42)
	b = order.AppendUint32(b, 8)
	texts := []struct {
		tag  uint16
		text string
	}{{0x010f, "ACME Camera Works\x00"}, {0x0110, "PocketCam 9\x00"}, {0x0132, "2026:05:01 14:30:00\x00"}, {0x927c, "maker's own, serial 0123456789\x00"}, {0x8825, "GPSLatitude N47.3769\x00"}}
	b = order.AppendUint16(b, uint16(len(texts)+1))
	at := uint32(8 + 2 + 12*(len(texts)+1) + 4)
	var tail []byte
	for i, x := range texts {
		if i == 2 { // tags stand in order of their numbers
			b = order.AppendUint16(b, 0x0112)
			b = order.AppendUint16(b, 3)
			b = order.AppendUint32(b, 1)
			b = order.AppendUint16(b, held)
			b = order.AppendUint16(b, 0)
		}
		b = order.AppendUint16(b, x.tag)
		b = order.AppendUint16(b, 2)
		b = order.AppendUint32(b, uint32(len(x.text)))
		b = order.AppendUint32(b, at+uint32(len(tail)))
		tail = append(tail, x.text...)
	}
	b = order.AppendUint32(b, 0)
	return string(append(append(b, tail...), "thumbnail of what was cut off"...))
}

// withSegments puts segments behind the start of a JPEG.
func withSegments(file []byte, segments ...[]byte) []byte {
	out := bytes.Clone(file[:2])
	for _, s := range segments {
		out = append(out, s...)
	}
	return append(out, file[2:]...)
}

// told is a JPEG that tells all that one can, held in a way.
func told(t testing.TB, m image.Image, held uint16) []byte {
	file := withSegments(asJPEG(t, m),
		segment(markAPP0, "JFIF\x00\x01\x02\x01\x00\x48\x00\x48\x01\x01abc"+"thumbnail of what was cut off"),
		segment(markAPP0, "JFXX\x00\x10thumbnail of what was cut off"),
		segment(markAPP1, "Exif\x00\x00"+exif(binary.BigEndian, held)),
		segment(markAPP1, "http://ns.adobe.com/xap/1.0/\x00<x:xmpmeta>Jane Doe</x:xmpmeta>"),
		segment(0xe2, "ICC_PROFILE\x00\x01\x01profile by ACME"),
		segment(0xe2, "MPF\x00maker's own"),
		segment(0xed, "Photoshop 3.0\x008BIM My Workshop, 12 Elm St"),
		segment(0xef, "serial 0123456789"),
		segment(markCOM, "taken by Jane Doe, My Workshop, 12 Elm St"))
	return append(file, "PK\x03\x04 N47.3769 a film, another picture, an archive"...)
}

// pngTold is a PNG that tells all that one can.
func pngTold(t testing.TB, m image.Image, held uint16) []byte {
	file := asPNG(t, m)
	head := len(pngHead) + 25 // and IHDR
	out := bytes.Clone(file[:head])
	out = chunk(out, "gAMA", []byte{0, 0, 0xb1, 0x8f})
	out = chunk(out, "tEXt", []byte("Author\x00Jane Doe"))
	out = chunk(out, "zTXt", []byte("Comment\x00\x00maker's own"))
	out = chunk(out, "iTXt", []byte("XML:com.adobe.xmp\x00\x00\x00\x00\x00<x:xmpmeta>Jane Doe</x:xmpmeta>"))
	out = chunk(out, "eXIf", []byte(exif(binary.LittleEndian, held)))
	out = chunk(out, "tIME", []byte{0x07, 0xea, 5, 1, 14, 30, 0})
	out = chunk(out, "iCCP", []byte("profile by ACME\x00\x00"))
	out = chunk(out, "prVW", []byte("thumbnail of what was cut off"))
	body := file[head : len(file)-12]
	out = append(out, body...)
	out = chunk(out, "tEXt", []byte("Software\x00PocketCam 9 of ACME Camera Works"))
	out = chunk(out, "IEND", nil)
	return append(out, "PK\x03\x04 N47.3769"...)
}
