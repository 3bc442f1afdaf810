package store

import (
	"database/sql/driver"
	"encoding/base64"
	"errors"
	"fmt"

	"beadwright/procedures"
	"beadwright/procedures/picture"
	"beadwright/procedures/sheet"
)

// photoRecord is a photo with its picture, where that was read.
type photoRecord struct {
	withdrawn[procedures.Photo]
	Picture []byte
}

func photoTravels(p *photoRecord) []column {
	return append(photoColumns(&p.Rec),
		column{"", "picture", encoded{&p.Picture}},
		column{"struck", "struck", text[string]{&p.Struck}},
		column{"struck_at", "struck_at", moment{&p.StruckAt}})
}

// checkPhoto refuses a picture that is not the one spoken of, or that tells more
// than it shows.
func checkPhoto(p *photoRecord) error {
	if err := p.Rec.Validate(); err != nil || p.Picture == nil {
		return err
	}
	if sum := sumOf(p.Picture); sum != p.Rec.SHA256 {
		return procedures.Invalid("picture", "", "this is not the picture that its sum was taken of", "was the file changed? Export it again")
	}
	whole, err := picture.Whole(p.Picture)
	var bad *procedures.InvalidError
	if errors.As(err, &bad) {
		return procedures.Invalid("picture", "", bad.Problem, bad.Hints...)
	}
	if err == nil && (whole.Media != p.Rec.Media || whole.Width != p.Rec.Width || whole.Height != p.Rec.Height || len(p.Picture) != p.Rec.Bytes) {
		return procedures.Invalid("picture", "", fmt.Sprintf("it is %s of %d x %d pixels and %d bytes, and the record says otherwise", whole.Media, whole.Width, whole.Height, len(p.Picture)), "export it again")
	}
	return err
}

// readPicture fills in the picture of a photo.
func readPicture(tx *tx, p *photoRecord) error {
	return tx.get([]any{&p.Picture}, "SELECT file FROM pictures WHERE sha256 = ?", p.Rec.SHA256)
}

// mergePhotos puts in photos. Their views are made when they are first asked for, so
// that an import does not keep others from writing.
func mergePhotos(m *merging, k *kind[photoRecord]) error {
	for i := range k.got {
		p := &k.got[i].rec
		if p.Picture != nil {
			if _, err := m.run("INSERT INTO pictures (sha256, file) VALUES (?, ?) ON CONFLICT (sha256) DO NOTHING", p.Rec.SHA256, p.Picture); err != nil {
				return err
			}
			p.Picture = nil // the sum stands for it from here on
			continue
		}
		var n int
		if err := m.get([]any{&n}, "SELECT count(*) FROM pictures WHERE sha256 = ?", p.Rec.SHA256); err != nil {
			return err
		}
		if n == 0 {
			return m.at(k.got[i].line, "", procedures.Invalid("picture", "", "a photo without its picture", "was it taken out of the file? Export it again"))
		}
	}
	return mergePlain(m, k)
}

// encoded is a file, in JSON as base64. It stands in no column of its record's table.
type encoded struct{ p *[]byte }

func (c encoded) Value() (driver.Value, error) { return nil, nil }

func (c encoded) Scan(any) error {
	*c.p = nil
	return nil
}

func (c encoded) appendTo(b []byte) ([]byte, bool, error) {
	if *c.p == nil {
		return b, false, nil
	}
	b = base64.StdEncoding.AppendEncode(append(b, '"'), *c.p)
	return append(b, '"'), true, nil
}

func (c encoded) readFrom(v *sheet.Value, line int) (err error) {
	if v.Sort != sheet.String || v.Text == "" {
		return misplaced(v, line, "a picture as base64")
	}
	if *c.p, err = base64.StdEncoding.Strict().DecodeString(v.Text); err != nil {
		return sheet.At(line, v.Column, "", procedures.Invalid("", v.Text[:min(20, len(v.Text))], "not base64", "export it again"))
	}
	return nil
}
