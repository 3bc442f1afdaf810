// Package picture takes in the photos of a notebook: it tells by content what a
// file is, takes out everything that is not the picture itself, turns it upright
// and makes smaller views of it. It is pure: bytes in, bytes out.
//
// What a camera writes beside the picture (place, time, device, maker's notes, a
// small copy, comments, a film behind the end) is left out by taking over only
// what is needed to show it, and not by looking for what is known to tell. Sources:
// JPEG is ITU-T T.81 (ISO/IEC 10918-1) with the JFIF segment of T.871, PNG is the
// W3C's Portable Network Graphics specification (ISO/IEC 15948), the orientation is
// tag 0x0112 of TIFF 6.0, which Exif (CIPA DC-008) uses.
package picture

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/jpeg"
	"image/png"
	"io"
	"strings"

	"beadwright/procedures"
)

// What is taken. MostPixels keeps a small file from filling the memory: cameras of
// 50 MP give up to 8192 x 6144. Design choices, as are the sides of the views.
const (
	MostPixels = 50 << 20
	ViewSide   = 1600 // longest side of what a screen is sent, in pixels
	ThumbSide  = 320  // longest side of what a list shows
	longest    = 1 << 15
)

// Picture is a picture without anything beside it.
type Picture struct {
	Media         string // image/jpeg or image/png
	Width, Height int    // in pixels, as it is to be looked at
	Data          []byte // the file

	shown image.Image
}

// Clean takes a picture out of a file. It is taken over bit by bit where it stands
// upright, and else turned and written anew. Errors: InvalidError for what is no
// JPEG or PNG, is cut off, damaged or too large.
func Clean(file []byte) (Picture, error) {
	p := Picture{Media: Media(file)}
	if err := admit(p.Media, file); err != nil {
		return p, err
	}
	alone, decode, config := jpegAlone, jpeg.Decode, jpeg.DecodeConfig
	if p.Media == "image/png" {
		alone, decode, config = pngAlone, png.Decode, png.DecodeConfig
	}
	head, err := config(bytes.NewReader(file))
	if err != nil {
		return p, broken(err)
	}
	if head.Width > longest || head.Height > longest || head.Width*head.Height > MostPixels {
		return p, refuse(fmt.Sprintf("a picture of %d x %d is too large to be taken apart", head.Width, head.Height),
			"up to 50 megapixels, and 32768 on a side", smaller)
	}
	var turn orientation
	if p.Data, turn, err = alone(file); err != nil {
		return p, broken(err)
	}
	if p.shown, err = decode(bytes.NewReader(p.Data)); err != nil { // all of it, so that what is cut off is seen now
		return p, broken(err)
	}
	if turn > upright {
		if p.shown, p.Data, err = turn.apply(p.shown, p.Media); err != nil {
			return p, err
		}
	}
	if len(p.Data) > procedures.LargestPhoto {
		return p, tooLarge(len(p.Data))
	}
	p.Width, p.Height = p.shown.Bounds().Dx(), p.shown.Bounds().Dy()
	return p, nil
}

// Whole is [Clean] for a file that was cleaned before: it refuses one in which
// anything was put beside the picture since. Errors: InvalidError.
func Whole(file []byte) (Picture, error) {
	p, err := Clean(file)
	if err == nil && !bytes.Equal(p.Data, file) {
		err = refuse("there is something beside the picture, which may tell of place and device", "put the picture in anew: beadwright photo add MARK FILE")
	}
	return p, err
}

// Media tells by its first bytes what a file is, as far as people mistake it for a
// picture that can be kept; "" for anything else.
func Media(file []byte) string {
	for _, m := range []struct {
		media string
		at    int
		magic string
	}{
		{"image/jpeg", 0, "\xff\xd8\xff"}, {"image/png", 0, pngHead}, {"image/gif", 0, "GIF8"}, {"image/webp", 8, "WEBP"}, {"image/bmp", 0, "BM"},
		{"image/tiff", 0, "II*\x00"}, {"image/tiff", 0, "MM\x00*"}, {"application/pdf", 0, "%PDF"},
		{"image/heic", 4, "ftypheic"}, {"image/heic", 4, "ftypheix"}, {"image/heic", 4, "ftyphevc"}, {"image/heic", 4, "ftypmif1"}, {"image/heic", 4, "ftypmsf1"}, {"image/avif", 4, "ftypavif"},
		{"video/mp4", 4, "ftyp"},
	} {
		if len(file) >= m.at && bytes.HasPrefix(file[m.at:], []byte(m.magic)) {
			return m.media
		}
	}
	if start := file[:min(len(file), 512)]; bytes.Contains(start, []byte("<svg")) {
		return "image/svg+xml"
	}
	return ""
}

// names are what people call the kinds of file that are not kept.
var names = map[string]string{"image/gif": "a GIF", "image/webp": "a WebP picture", "image/bmp": "a BMP picture", "image/tiff": "a TIFF picture or a raw one",
	"application/pdf": "a PDF", "image/avif": "an AVIF picture", "video/mp4": "a film", "image/svg+xml": "a drawing (SVG), not a photo"}

const (
	phoneHint = "on a phone: in the camera's settings choose JPEG (on some it is called most compatible), then take it again"
	shareHint = "or open it in any picture program and save it as JPEG"
	smaller   = "set the camera to a smaller size; 12 megapixels show every pore"
)

func admit(media string, file []byte) error {
	switch {
	case len(file) == 0:
		return refuse("there is nothing in it", "a picture of up to 20 MB, JPEG or PNG")
	case len(file) > procedures.LargestPhoto:
		return tooLarge(len(file))
	case media == "image/jpeg" || media == "image/png":
		return nil
	case media == "image/heic":
		return refuse("this is HEIC, which few programs can read", phoneHint, shareHint)
	case names[media] != "":
		return refuse("this is "+names[media], "accepted: JPEG and PNG, whatever the file is called", phoneHint, shareHint)
	}
	return refuse("this is no picture, whatever it is called", "accepted: JPEG and PNG", phoneHint)
}

func tooLarge(size int) error {
	return refuse(fmt.Sprintf("%.1f MB is more than is kept", float64(size)/(1<<20)), "up to 20 MB", smaller)
}

func refuse(problem string, hints ...string) error {
	return procedures.Invalid("photo", "", problem, hints...)
}

// broken says that the picture cannot be shown, in the words of whoever found out.
func broken(err error) error {
	var bad *procedures.InvalidError
	var jpegKind jpeg.UnsupportedError
	var pngKind png.UnsupportedError
	switch {
	case errors.As(err, &bad):
		return err
	case errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF):
		return refuse("the picture is cut off", "copy it from the camera again, whole")
	case errors.As(err, &jpegKind) || errors.As(err, &pngKind):
		return refuse("a kind of picture that hardly any program reads ("+reason(err)+")", shareHint[len("or "):])
	}
	return refuse("the picture is damaged ("+reason(err)+")", "copy it from the camera again", shareHint)
}

// reason is an error of a decoder without the decoder's name.
func reason(err error) string {
	_, after, ok := strings.Cut(err.Error(), ": ")
	if !ok {
		return err.Error()
	}
	return after
}
