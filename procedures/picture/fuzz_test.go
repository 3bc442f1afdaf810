package picture

import (
	"bytes"
	"image"
	"testing"
)

// FuzzClean feeds files of any kind: what is taken can be shown, is of the size that
// is said, carries no segment or chunk beside the picture, and is not changed by
// being cleaned again.
func FuzzClean(f *testing.F) {
	m := bead(16, 12)
	for _, held := range []uint16{0, 1, 6, 9} {
		f.Add(told(f, m, held))
		f.Add(pngTold(f, m, held))
	}
	f.Add(asJPEG(f, image.NewGray(image.Rect(0, 0, 9, 7))))
	f.Add([]byte("\x00\x00\x00\x18ftypheic"))
	f.Add([]byte(pngHead))
	f.Fuzz(func(t *testing.T, file []byte) {
		p, err := Clean(file)
		if err != nil {
			return
		}
		shown, _, err := image.Decode(bytes.NewReader(p.Data))
		if err != nil || shown.Bounds().Dx() != p.Width || shown.Bounds().Dy() != p.Height {
			t.Fatalf("a clean picture of %d x %d cannot be shown so: %v", p.Width, p.Height, err)
		}
		if _, err := Whole(p.Data); err != nil {
			t.Fatalf("a clean picture is not clean: %v", err)
		}
		for _, tell := range []string{"Exif\x00\x00", "http://ns.adobe.com", "ICC_PROFILE", "Photoshop 3.0", "tEXt", "zTXt", "iTXt", "eXIf", "tIME", "iCCP"} {
			if at := bytes.Index(p.Data, []byte(tell)); at >= 4 && len(p.Data) < 1<<16 && beside(p.Data, at) {
				t.Fatalf("a clean picture has a %q", tell)
			}
		}
		if v, err := p.Views(); err != nil || len(v.Thumb) == 0 {
			t.Fatalf("no small view: %v", err)
		}
	})
}

// beside reports whether what stands there begins the body of a segment for
// applications or a chunk, and is not by chance within the picture's own numbers.
func beside(file []byte, at int) bool {
	if Media(file) == "image/png" {
		for i := len(pngHead); i+12 <= len(file); {
			if i+4 == at {
				return true
			}
			i += 12 + int(file[i])<<24 + int(file[i+1])<<16 + int(file[i+2])<<8 + int(file[i+3])
		}
		return false
	}
	return file[at-4] == 0xff && file[at-3] >= markAPP1 && file[at-3] <= markAPPF
}
