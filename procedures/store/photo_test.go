package store_test

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"errors"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"beadwright/procedures"
	"beadwright/procedures/store"
)

// shot is a JPEG as a camera writes it, with what it tells besides.
func shot(t testing.TB, w, h int, seed uint8) []byte {
	t.Helper()
	m := image.NewGray(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			m.SetGray(x, y, color.Gray{uint8(x*3+y*5) ^ seed*16})
		}
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, m, nil); err != nil {
		t.Fatal(err)
	}
	told := "\xff\xe1\x00\x1eExif\x00\x00GPSLatitude N47.3769 12"
	return append(append(bytes.Clone(b.Bytes()[:2]), told...), b.Bytes()[2:]...)
}

func sumOf(file []byte) string {
	sum := sha256.Sum256(file)
	return hex.EncodeToString(sum[:])
}

// drawing is a PNG that is as good as a photo.
func drawing(t testing.TB) []byte {
	t.Helper()
	m := image.NewPaletted(image.Rect(0, 0, 20, 10), color.Palette{color.White, color.Black})
	m.SetColorIndex(5, 5, 1)
	var b bytes.Buffer
	if err := png.Encode(&b, m); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestPhotos(t *testing.T) {
	at := time.Date(2026, 10, 5, 9, 0, 0, 0, time.UTC)
	path := filepath.Join(t.TempDir(), "n.db")
	n := open(t, path, store.Options{Now: clock(at)})
	ctx := t.Context()
	w := must(n.AddWeld(ctx, bead()))(t)
	before := must(n.Version(ctx))(t)

	file := shot(t, 640, 480, 1)
	p := must(n.AddPhoto(ctx, "a1", procedures.BeadPhoto, file))(t)
	if p.Weld != w.ID || p.ID == "" || p.At.Before(at) || p.Width != 640 || p.Height != 480 || p.Media != "image/jpeg" || p.Bytes >= len(file) {
		t.Errorf("kept as %+v", p)
	}
	media, data, err := n.PhotoData(ctx, p.ID, procedures.WholePhoto)
	if err != nil || media != "image/jpeg" || len(data) != p.Bytes || bytes.Contains(data, []byte("GPS")) {
		t.Errorf("read as %s of %d bytes, %v", media, len(data), err)
	}
	for _, c := range []struct {
		size procedures.PhotoSize
		w    int
	}{{procedures.PhotoView, 640}, {procedures.PhotoThumb, 320}} {
		media, data, err := n.PhotoData(ctx, store.ShortID(p.ID), c.size)
		if err != nil || media != "image/jpeg" {
			t.Fatal(media, err)
		}
		if m, err := jpeg.DecodeConfig(bytes.NewReader(data)); err != nil || m.Width != c.w {
			t.Errorf("%s is %d wide, %v", c.size, m.Width, err)
		}
	}

	// The same picture is one, in whatever file it came.
	if again := must(n.AddPhoto(ctx, w.ID, procedures.BeadPhoto, data))(t); again != p {
		t.Errorf("the same picture again is %+v", again)
	}
	refusedWith(t, "this very picture", func() error { _, err := n.AddPhoto(ctx, "A1", procedures.BackPhoto, file); return err })
	other := must(n.AddPhoto(ctx, "A1", procedures.FracturePhoto, drawing(t)))(t)
	if list := must(n.Photos(ctx, "A1"))(t); len(list) != 2 || list[0] != p || list[1] != other {
		t.Errorf("listed: %+v", list)
	}

	// Withdrawn, it is listed no more, and can be put in anew.
	must(n.StrikePhoto(ctx, p.ID, "out of focus"))(t)
	if list := must(n.Photos(ctx, ""))(t); len(list) != 1 || list[0] != other {
		t.Errorf("listed: %+v", list)
	}
	for _, try := range []func() error{
		func() error { _, err := n.Photo(ctx, p.ID); return err },
		func() error { _, _, err := n.PhotoData(ctx, p.ID, procedures.PhotoThumb); return err },
		func() error { _, err := n.StrikePhoto(ctx, p.ID, "again"); return err },
		func() error { _, err := n.AddPhoto(ctx, "B7", procedures.BeadPhoto, file); return err },
		func() error { _, err := n.Photos(ctx, "B7"); return err },
	} {
		if err := try(); !errors.Is(err, procedures.ErrNotFound) {
			t.Errorf("want not found, got %v", err)
		}
	}
	if anew := must(n.AddPhoto(ctx, "A1", procedures.BackPhoto, file))(t); anew.ID == p.ID || anew.Role != procedures.BackPhoto {
		t.Errorf("put in anew as %+v", anew)
	}

	refusedWith(t, "HEIC", func() error {
		_, err := n.AddPhoto(ctx, "A1", procedures.BeadPhoto, []byte("\x00\x00\x00\x18ftypheic"))
		return err
	})
	refusedWith(t, "not what a picture shows", func() error { _, err := n.AddPhoto(ctx, "A1", "front", file); return err })
	refusedWith(t, "why it is withdrawn", func() error { _, err := n.StrikePhoto(ctx, other.ID, " "); return err })
	refusedWith(t, "not a size", func() error { _, _, err := n.PhotoData(ctx, other.ID, "large"); return err })
	refusedWith(t, "not the id of a photo", func() error { _, err := n.Photo(ctx, "A1"); return err })
	must(n.StrikeWeld(ctx, "A1", "wrong plate"))(t)
	refusedWith(t, "this weld was struck", func() error { _, err := n.AddPhoto(ctx, "A1", procedures.BeadPhoto, file); return err })

	if now := must(n.Version(ctx))(t); now.Welds != before.Welds || now.Corrections != before.Corrections+1 || now.Revision != before.Revision { // the weld struck
		t.Errorf("photos made others read the welds again: %v, then %v", before, now)
	}
	if wrong := must(n.Check(ctx))(t); len(wrong) > 0 {
		t.Error(wrong)
	}
}

func refusedWith(t *testing.T, want string, do func() error) {
	t.Helper()
	var bad *procedures.InvalidError
	if err := do(); !errors.As(err, &bad) || !strings.Contains(bad.Error(), want) || len(bad.Hints) == 0 {
		t.Errorf("want a refusal with %q and a hint, got %v", want, err)
	}
}

// TestPhotoKeptOnce: a picture on two welds lies in the file once.
func TestPhotoKeptOnce(t *testing.T) {
	path := filepath.Join(t.TempDir(), "n.db")
	n := open(t, path, store.Options{})
	ctx := t.Context()
	for range 2 {
		w := must(n.AddWeld(ctx, bead()))(t)
		must(n.AddPhoto(ctx, w.Mark, procedures.BeadPhoto, shot(t, 64, 64, 1)))(t)
	}
	var photos, pictures int
	if err := raw(t, path).QueryRow("SELECT (SELECT count(*) FROM photos), (SELECT count(*) FROM pictures)").Scan(&photos, &pictures); err != nil || photos != 2 || pictures != 1 {
		t.Errorf("%d photos, %d pictures, %v", photos, pictures, err)
	}
}

// TestPhotosRerated: a bead whose picture lies in the notebook comes up to be rated
// again, as one with a path does.
func TestPhotosRerated(t *testing.T) {
	at := time.Date(2026, 3, 1, 12, 0, 0, 0, time.UTC)
	n := open(t, filepath.Join(t.TempDir(), "n.db"), store.Options{Now: clock(at)})
	ctx := t.Context()
	for range 3 {
		w := bead()
		w.Outcome.Rating, w.Outcome.Photo = 4, ""
		must(n.AddWeld(ctx, w))(t)
	}
	p := must(n.AddPhoto(ctx, "A1", procedures.BeadPhoto, shot(t, 64, 64, 1)))(t)
	must(n.AddPhoto(ctx, "A2", procedures.BackPhoto, shot(t, 64, 64, 1)))(t)
	then := at.AddDate(0, 2, 0)
	if list := must(n.ToRerate(ctx, then))(t); len(list) != 1 || list[0].Mark != "A1" {
		t.Errorf("to be rated: %v", list)
	}
	must(n.AddRerating(ctx, procedures.Rerating{Weld: "A1", Rating: 3}))(t)
	refusedWith(t, "no picture to look at", func() error { _, err := n.AddRerating(ctx, procedures.Rerating{Weld: "A2", Rating: 3}); return err })
	must(n.StrikePhoto(ctx, p.ID, "another bead"))(t)
	if list := must(n.ToRerate(ctx, then))(t); len(list) != 0 {
		t.Errorf("to be rated without a picture: %v", list)
	}
}

// TestPhotosTravel: photos go to another notebook with their pictures, once; what
// either side withdrew stays withdrawn; views are made where they are asked for.
func TestPhotosTravel(t *testing.T) {
	n, ctx := fresh(t), t.Context()
	must(n.AddWeld(ctx, bead()))(t)
	p := must(n.AddPhoto(ctx, "A1", procedures.BeadPhoto, shot(t, 2000, 40, 1)))(t)
	gone := must(n.AddPhoto(ctx, "A1", procedures.BackPhoto, drawing(t)))(t)
	file := exported(t, n)

	other := fresh(t)
	imported(t, other, file)
	if got := exported(t, other); got != file {
		t.Errorf("not the same file (-first +second):\n%s", same(strings.Split(file, "\n"), strings.Split(got, "\n")))
	}
	for _, size := range []procedures.PhotoSize{procedures.WholePhoto, procedures.PhotoView, procedures.PhotoThumb} {
		m1, d1, err1 := n.PhotoData(ctx, p.ID, size)
		m2, d2, err2 := other.PhotoData(ctx, p.ID, size)
		if err1 != nil || err2 != nil || m1 != m2 || !bytes.Equal(d1, d2) {
			t.Errorf("the %s differs: %v, %v", size, err1, err2)
		}
	}
	must(n.StrikePhoto(ctx, gone.ID, "the front"))(t)
	must(other.AddPhoto(ctx, "A1", procedures.BeadPhoto, shot(t, 30, 40, 3)))(t)
	a, b := exported(t, n), exported(t, other)
	imported(t, n, b)
	imported(t, other, a)
	if diff := same(exported(t, n), exported(t, other)); diff != "" {
		t.Errorf("put together in either order they differ:\n%s", diff)
	}
	if list := must(other.Photos(ctx, "A1"))(t); len(list) != 2 {
		t.Errorf("%d photos stand", len(list))
	}
	if r := imported(t, n, b); r.Changes() {
		t.Errorf("the same file a second time changed something: %+v", r)
	}

	// A file without the pictures of photos that are here will do; elsewhere not.
	at := strings.Index(file, `,"picture":"`)
	end := at + len(`,"picture":"`) + strings.Index(file[at+len(`,"picture":"`):], `"`) + 1
	bare := file[:at] + file[end:]
	imported(t, n, bare)
	if e := refused(t, fresh(t), bare); !strings.Contains(e.Error(), "a photo without its picture") {
		t.Error(e)
	}
	// Nor does a picture that tells more than it shows, or another one.
	picture := file[at+len(`,"picture":"`) : end-1]
	for want, with := range map[string]string{
		"not the picture that its sum": base64.StdEncoding.EncodeToString(shot(t, 30, 40, 9)),
		"not base64":                   picture[:len(picture)-3] + "?" + picture[len(picture)-2:],
	} {
		if e := refused(t, fresh(t), strings.Replace(file, picture, with, 1)); !strings.Contains(e.Error(), want) || e.Column < 2 {
			t.Errorf("want %q, got %v", want, e)
		}
	}
	told := shot(t, 2000, 40, 1)
	sneaked := strings.Replace(file, picture, base64.StdEncoding.EncodeToString(told), 1)
	sneaked = strings.ReplaceAll(sneaked, p.SHA256, sumOf(told))
	if e := refused(t, fresh(t), sneaked); !strings.Contains(e.Error(), "something beside the picture") {
		t.Error(e)
	}
}

// TestPhotoRotted: a check finds a picture whose bytes are not those put in.
func TestPhotoRotted(t *testing.T) {
	path := filepath.Join(t.TempDir(), "n.db")
	n, ctx := open(t, path, store.Options{}), t.Context()
	must(n.AddWeld(ctx, bead()))(t)
	p := must(n.AddPhoto(ctx, "A1", procedures.BeadPhoto, drawing(t)))(t)
	if faults, _, err := n.Audit(ctx, nil); err != nil || len(faults) > 0 {
		t.Fatal(faults, err)
	}
	if _, err := raw(t, path).Exec("UPDATE pictures SET file = zeroblob(length(file))"); err != nil {
		t.Fatal(err)
	}
	faults, _, err := n.Audit(ctx, nil)
	if err != nil || len(faults) != 1 || !strings.Contains(faults[0].Record, p.ID) || !strings.Contains(faults[0].Problem, "not the one that was put in") {
		t.Errorf("found %v, %v", faults, err)
	}
}
