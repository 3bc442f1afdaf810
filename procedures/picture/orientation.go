package picture

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/jpeg"
	"image/png"

	"golang.org/x/image/draw"
	"golang.org/x/image/math/f64"
)

// orientation is how a camera was held: 1 to 8 as in TIFF 6.0, tag 0x0112; 0 not
// said.
type orientation uint16

const upright orientation = 1

// orientationOf reads the orientation out of a TIFF header with its first list of
// tags; 0 where it says none that can be.
func orientationOf(tiff []byte) orientation {
	if len(tiff) < 8 {
		return 0
	}
	var order binary.ByteOrder
	switch string(tiff[:4]) {
	case "II*\x00":
		order = binary.LittleEndian
	case "MM\x00*":
		order = binary.BigEndian
	default:
		return 0
	}
	at := int64(order.Uint32(tiff[4:]))
	if at+2 > int64(len(tiff)) {
		return 0
	}
	tags := tiff[at+2:]
	for range order.Uint16(tiff[at:]) {
		if len(tags) < 12 {
			return 0
		}
		if order.Uint16(tags) == 0x0112 {
			if o := orientation(order.Uint16(tags[8:])); order.Uint16(tags[2:]) == 3 && o >= 1 && o <= 8 {
				return o
			}
			return 0
		}
		tags = tags[12:]
	}
	return 0
}

// apply turns a picture upright and writes it anew.
func (o orientation) apply(src image.Image, media string) (image.Image, []byte, error) {
	b := src.Bounds()
	w, h := float64(b.Dx()), float64(b.Dy())
	// Where a point x, y of the picture comes to: row 0 and column 0 of the file are
	// the side that TIFF names.
	to := map[orientation]f64.Aff3{
		2: {-1, 0, w, 0, 1, 0}, // top right
		3: {-1, 0, w, 0, -1, h},
		4: {1, 0, 0, 0, -1, h},
		5: {0, 1, 0, 1, 0, 0}, // left top
		6: {0, -1, h, 1, 0, 0},
		7: {0, -1, h, -1, 0, w},
		8: {0, 1, 0, -1, 0, w},
	}[o]
	size := image.Rect(0, 0, b.Dx(), b.Dy())
	if o >= 5 {
		size = image.Rect(0, 0, b.Dy(), b.Dx())
	}
	var dst draw.Image = image.NewRGBA(size)
	if media == "image/png" {
		dst = image.NewNRGBA(size) // keeps the colors of what can be seen through
	}
	draw.NearestNeighbor.Transform(dst, to, src, b, draw.Src, nil)
	var out bytes.Buffer
	var err error
	if media == "image/png" {
		err = png.Encode(&out, dst)
	} else {
		err = jpeg.Encode(&out, dst, &jpeg.Options{Quality: 92})
	}
	return dst, out.Bytes(), err
}
