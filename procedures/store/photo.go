package store

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"
	"strings"

	"beadwright/procedures"
	"beadwright/procedures/picture"
)

func photoColumns(p *procedures.Photo) []column {
	return []column{
		{"id", "id", text[string]{&p.ID}},
		{"weld", "weld", text[string]{&p.Weld}},
		{"at", "at", moment{&p.At}},
		{"role", "role", text[procedures.PhotoRole]{&p.Role}},
		{"media", "media", text[string]{&p.Media}},
		{"bytes", "bytes", whole[int]{&p.Bytes}},
		{"width_px", "width_px", whole[int]{&p.Width}},
		{"height_px", "height_px", whole[int]{&p.Height}},
		{"sha256", "sha256", text[string]{&p.SHA256}},
	}
}

// AddPhoto keeps a picture of a weld, given by its mark or id: what the file tells
// besides is left out, see [picture.Clean]. file is what a camera wrote, JPEG or
// PNG. A picture that the weld has already is that one. Errors: InvalidError for
// what is no such picture, or where the weld is struck or has the picture as one of
// something else; wraps [procedures.ErrNotFound].
func (n *Notebook) AddPhoto(ctx context.Context, weld string, role procedures.PhotoRole, file []byte) (procedures.Photo, error) {
	p, err := TakePhoto(role, file)
	if err != nil {
		return procedures.Photo{}, err
	}
	kept, err := n.AddPhotos(ctx, weld, p)
	if err != nil {
		return procedures.Photo{}, err
	}
	return kept[0], nil
}

// NewPhoto is a picture that is to be kept.
type NewPhoto struct {
	procedures.Photo        // without weld, id and time
	file             []byte // as it is kept
	views            picture.Views
}

// TakePhoto takes a picture out of a file, for [Notebook.AddPhotos]. Errors as of
// [Notebook.AddPhoto].
func TakePhoto(role procedures.PhotoRole, file []byte) (NewPhoto, error) {
	clean, err := picture.Clean(file)
	if err != nil {
		return NewPhoto{}, err
	}
	views, err := clean.Views()
	if err != nil {
		return NewPhoto{}, err
	}
	p := procedures.Photo{Role: role, Media: clean.Media, Bytes: len(clean.Data), Width: clean.Width, Height: clean.Height, SHA256: sumOf(clean.Data)}
	return NewPhoto{p, clean.Data, views}, p.Validate()
}

// AddPhotos is [Notebook.AddPhoto] for several pictures of one weld: all of them are
// kept, or none.
func (n *Notebook) AddPhotos(ctx context.Context, weld string, list ...NewPhoto) (photos []procedures.Photo, err error) {
	err = n.aside(ctx, func(tx *tx) error {
		w, _, err := tx.byMark(weld)
		if err != nil {
			return err
		}
		if w.Struck != "" {
			return procedures.Invalid("weld", w.Mark, "this weld was struck: "+w.Struck, "name one that stands: beadwright find")
		}
		photos, err = tx.addPhotos(w, list)
		return err
	})
	if err != nil {
		return nil, err
	}
	return photos, nil
}

// addPhotos keeps pictures of a weld that stands.
func (tx *tx) addPhotos(w procedures.Weld, list []NewPhoto) (photos []procedures.Photo, err error) {
	photos = make([]procedures.Photo, len(list))
	for i := range list {
		if photos[i], err = tx.addPhoto(w, list[i]); err != nil {
			return nil, err
		}
	}
	return photos, nil
}

// addPhoto keeps a picture of a weld; one that it has already is that one.
func (tx *tx) addPhoto(w procedures.Weld, is NewPhoto) (procedures.Photo, error) {
	p := is.Photo
	had, err := tx.photos("struck IS NULL AND weld = ? AND sha256 = ?", w.ID, p.SHA256)
	if err != nil {
		return p, err
	}
	if len(had) > 0 {
		if had[0].Role != p.Role {
			return p, procedures.Invalid("role", string(p.Role), fmt.Sprintf("%s has this very picture, as one of: %s", w.Mark, had[0].Role),
				"withdraw that one first: beadwright photo strike "+ShortID(had[0].ID))
		}
		return had[0], nil
	}
	p.Weld, p.At = w.ID, tx.now
	if err := giveID(&p.ID); err != nil {
		return p, err
	}
	if err := tx.exec("INSERT INTO pictures (sha256, thumb, view, file) VALUES (?, ?, ?, ?) ON CONFLICT (sha256) DO NOTHING", p.SHA256, is.views.Thumb, is.views.View, is.file); err != nil {
		return p, err
	}
	_, err = tx.insert("photos", photoColumns(&p)...)
	return p, err
}

func sumOf(file []byte) string {
	sum := sha256.Sum256(file)
	return hex.EncodeToString(sum[:])
}

// ShortID is the end of an id, by which a person can name a photo.
func ShortID(id string) string { return id[max(0, len(id)-8):] }

// Photos lists the pictures of a weld, given by its mark or id, "" of all welds that
// stand, from the oldest on, without withdrawn ones. The pictures themselves are not
// read. Errors: wraps [procedures.ErrNotFound].
func (n *Notebook) Photos(ctx context.Context, weld string) (list []procedures.Photo, err error) {
	err = n.read(ctx, func(tx *tx) error {
		if weld == "" {
			list, err = tx.photos("struck IS NULL AND weld IN (SELECT id FROM welds WHERE struck IS NULL)")
			return err
		}
		w, _, err := tx.byMark(weld)
		if err == nil {
			list, err = tx.photos("struck IS NULL AND weld = ?", w.ID)
		}
		return err
	})
	return list, err
}

// photos lists photos from the oldest on. Two notebooks that were put together may
// both have had one picture: it is listed once.
func (tx *tx) photos(where string, args ...any) (list []procedures.Photo, err error) {
	var p procedures.Photo
	cols := photoColumns(&p)
	seen := map[[2]string]bool{}
	err = tx.each(func(r scanner) error {
		if err := r.Scan(cells(cols)...); err != nil {
			return err
		}
		if one := [2]string{p.Weld, p.SHA256}; !seen[one] {
			seen[one], list = true, append(list, p)
		}
		return nil
	}, "SELECT "+names(cols)+" FROM photos WHERE "+where+" ORDER BY at, id", args...)
	return list, err
}

// photo finds a photo that stands by its id, or by an end of it that no other has.
func (tx *tx) photo(id string) (p procedures.Photo, err error) {
	typed := id
	id = strings.ToLower(strings.TrimSpace(id))
	if len(id) < 6 || strings.Trim(id, "0123456789abcdef-") != "" {
		return p, procedures.Invalid("photo", typed, "not the id of a photo", "as listed by: beadwright photo list MARK")
	}
	where := "struck IS NULL AND id = ?1"
	if len(id) < 36 {
		where = "struck IS NULL AND substr(id, -length(?1)) = ?1"
	}
	list, err := tx.photos(where, id)
	switch {
	case err != nil:
		return p, err
	case len(list) == 0:
		return p, fmt.Errorf("photo %s: %w", id, procedures.ErrNotFound)
	case len(list) > 1:
		return p, procedures.Invalid("photo", id, fmt.Sprintf("%d photos end so", len(list)), "write more of it: "+list[0].ID)
	}
	return list[0], nil
}

// Photo finds a photo that stands by its id, or by at least six letters of its end.
// Errors: wraps [procedures.ErrNotFound]; InvalidError where several end so.
func (n *Notebook) Photo(ctx context.Context, id string) (p procedures.Photo, err error) {
	err = n.read(ctx, func(tx *tx) error {
		p, err = tx.photo(id)
		return err
	})
	return p, err
}

// PhotoData reads a picture, whole or as a view of it; id as for [Notebook.Photo].
// media says what data is: image/jpeg or image/png. Views that an import has left to
// be made are made now. Errors: as for Photo.
func (n *Notebook) PhotoData(ctx context.Context, id string, size procedures.PhotoSize) (media string, data []byte, err error) {
	if sizes := []procedures.PhotoSize{procedures.WholePhoto, procedures.PhotoView, procedures.PhotoThumb}; !slices.Contains(sizes, size) {
		return "", nil, procedures.Invalid("size", string(size), "not a size of a picture", "accepted: whole, view, thumb")
	}
	var p procedures.Photo
	made := true
	err = n.read(ctx, func(tx *tx) error {
		if p, err = tx.photo(id); err != nil {
			return err
		}
		query := "SELECT 1, file FROM pictures WHERE sha256 = ?"
		switch size {
		case procedures.PhotoThumb:
			query = "SELECT thumb IS NOT NULL, thumb FROM pictures WHERE sha256 = ?"
		case procedures.PhotoView:
			query = "SELECT thumb IS NOT NULL, view FROM pictures WHERE sha256 = ?"
		}
		return tx.get([]any{&made, &data}, query, p.SHA256)
	})
	switch {
	case err != nil:
		return "", nil, err
	case !made:
		return n.makeViews(ctx, p, size)
	case data == nil: // the picture is no larger than a view
		return n.PhotoData(ctx, p.ID, procedures.WholePhoto)
	case size == procedures.WholePhoto:
		return p.Media, data, nil
	}
	return "image/jpeg", data, nil
}

// makeViews makes the views of a picture, and keeps them where it can.
func (n *Notebook) makeViews(ctx context.Context, p procedures.Photo, size procedures.PhotoSize) (media string, data []byte, err error) {
	media, data, err = n.PhotoData(ctx, p.ID, procedures.WholePhoto)
	if err != nil {
		return "", nil, err
	}
	clean, err := picture.Clean(data)
	if err != nil {
		return "", nil, err
	}
	views, err := clean.Views()
	if err != nil {
		return "", nil, err
	}
	if !n.readOnly {
		if err := n.aside(ctx, func(tx *tx) error {
			return tx.exec("UPDATE pictures SET thumb = ?, view = ? WHERE sha256 = ?", views.Thumb, views.View, p.SHA256)
		}); err != nil {
			return "", nil, err
		}
	}
	switch {
	case size == procedures.PhotoThumb:
		return "image/jpeg", views.Thumb, nil
	case views.View != nil:
		return "image/jpeg", views.View, nil
	}
	return media, data, nil
}

// StrikePhoto withdraws a photo: it is kept, and listed no more; id as for
// [Notebook.Photo]. why says why. Errors: as for Photo; InvalidError without a
// reason.
func (n *Notebook) StrikePhoto(ctx context.Context, id, why string) (p procedures.Photo, err error) {
	if why, err = reason(why); err != nil {
		return p, err
	}
	err = n.aside(ctx, func(tx *tx) error {
		if p, err = tx.photo(id); err != nil {
			return err
		}
		return tx.exec("UPDATE photos SET struck = ?, struck_at = ? WHERE weld = ? AND sha256 = ? AND struck IS NULL", why, formatTime(tx.now), p.Weld, p.SHA256)
	})
	return p, err
}
