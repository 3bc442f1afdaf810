package main

import (
	"bytes"
	"fmt"
	"image"
	"image/png"
	"io"
	"mime"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"testing/iotest"
	"time"

	"beadwright/cmd/beadwright/web"
	"beadwright/procedures"
	"beadwright/procedures/picture"
	"beadwright/procedures/store"
)

// counter is a shop whose notebook is as it was before each thing that the page is sent.
type counter struct {
	path  string
	whole []byte
}

func newCounter(t testing.TB) *counter {
	if info, err := os.Stat("/dev/shm"); err == nil && info.IsDir() {
		t.Setenv("TMPDIR", "/dev/shm") // in memory: thousands of runs, each with a disk to wait for
	}
	c := &counter{path: shop(t)}
	var err error
	if c.whole, err = os.ReadFile(c.path); err != nil {
		t.Fatal(err)
	}
	return c
}

// send sends a request to the page on the notebook as it was. No fault, no answer
// without its guards, nothing written where the answer was no, and a sound notebook
// whatever became of it; nb has it open once more, after the page has let go.
func (c *counter) send(t *testing.T, r *http.Request) (answer *http.Response, body []byte, nb *store.Notebook) {
	t.Helper()
	if err := os.WriteFile(c.path, c.whole, 0o600); err != nil {
		t.Fatal(err)
	}
	nb, err := store.Open(t.Context(), c.path, store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	var report strings.Builder
	b := &workbench{notebook: nb, path: c.path, now: time.Now, report: &report}
	w := httptest.NewRecorder()
	web.New(b, web.Options{Report: &report}).ServeHTTP(w, r)
	if r.MultipartForm != nil {
		_ = r.MultipartForm.RemoveAll() // as a server does once it has answered
	}
	b.settle()
	if err := nb.Close(); err != nil {
		t.Fatal(err)
	}
	answer = w.Result()
	body, _ = io.ReadAll(answer.Body)
	if answer.StatusCode >= 500 || strings.Contains(report.String(), "a fault of the program") {
		t.Fatalf("%d %.300s %s", answer.StatusCode, body, report.String())
	}
	if answer.Header.Get("Content-Security-Policy") == "" || answer.Header.Get("X-Content-Type-Options") != "nosniff" {
		t.Error("answered without its guards")
	}
	after, err := os.ReadFile(c.path)
	if err != nil {
		t.Fatal(err)
	}
	if answer.StatusCode >= 400 && !bytes.Equal(after, c.whole) {
		t.Errorf("%d %.300s: and the notebook has changed", answer.StatusCode, body)
	}
	if left, err := filepath.Glob(filepath.Join(filepath.Dir(c.path), "*")); err != nil || len(left) != 1 {
		t.Errorf("beside the notebook lies: %v %v", left, err)
	}
	if nb, err = store.Open(t.Context(), c.path, store.Options{}); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { nb.Close() })
	if wrong, err := nb.Check(t.Context()); err != nil || len(wrong) > 0 {
		t.Errorf("the notebook is not sound: %v %v", err, wrong)
	}
	return answer, body, nb
}

// saved checks that a weld whose form was answered with its mark is in the notebook as
// the form said it, and returns it.
func saved(t *testing.T, nb *store.Notebook, answer *http.Response, said func(string) string) (w procedures.Weld, photo string) {
	t.Helper()
	next, err := answer.Location()
	if err != nil || next.Path != "/log" {
		t.Fatalf("%d without its mark: %v", answer.StatusCode, err)
	}
	w, _, err = nb.Weld(t.Context(), next.Query().Get("saved"))
	if err != nil {
		t.Fatalf("%s was acknowledged and is gone: %v", next, err)
	}
	if n, err := strconv.Atoi(said("rating")); err == nil && int(w.Outcome.Rating) != n {
		t.Errorf("%s: rated %d, and is %d", w.Mark, n, w.Outcome.Rating)
	}
	for _, word := range strings.Fields(said("note")) {
		if !strings.Contains(w.Outcome.Note, word) {
			t.Errorf("%s: the note said %q, and is %q", w.Mark, said("note"), w.Outcome.Note)
		}
	}
	return w, next.Query().Get("photo")
}

// FuzzForm sends any form in parts, with pictures or without, to every address that
// takes a form. What is acknowledged is in the notebook: the weld with what was said of
// it, and every picture of the form, or the answer says that one is not.
func FuzzForm(f *testing.F) {
	for _, seed := range formSeeds() {
		f.Add(seed.target, seed.kind, seed.body)
	}
	c := newCounter(f)
	f.Fuzz(func(t *testing.T, target, kind string, body []byte) {
		u, err := url.ParseRequestURI(target)
		if err != nil || u.Host != "" || !strings.HasPrefix(u.Path, "/") || len(body) > 1<<16 {
			return
		}
		r, err := http.NewRequest("POST", "http://127.0.0.1:8173"+target, bytes.NewReader(body))
		if err != nil {
			return
		}
		r.RequestURI = target
		r.Header.Set("Content-Type", kind)
		answer, text, nb := c.send(t, r)
		if answer.StatusCode >= 400 {
			return
		}
		form := partsOf(kind, body)
		said := func(name string) string {
			if form == nil || len(form.Value[name]) == 0 {
				return ""
			}
			return form.Value[name][0]
		}
		var mark, trouble string
		switch {
		case u.Path == "/log":
			var w procedures.Weld
			w, trouble = saved(t, nb, answer, said)
			mark = w.Mark
		case u.Path == "/weld/A1/photo", u.Path == "/api/welds/A1/photos":
			mark = "A1"
			if form == nil || len(form.File["photo"]) == 0 {
				t.Errorf("%d %.300s: without a picture", answer.StatusCode, text)
			}
		}
		if mark != "" && form != nil && trouble == "" {
			hasPictures(t, nb, mark, form.File["photo"])
		}
	})
}

// TestHalfForms lets the line break while a form is sent: half of one is not taken for
// all of it.
func TestHalfForms(t *testing.T) {
	c := newCounter(t)
	for _, seed := range formSeeds() {
		for _, at := range []int{0, 1, len(seed.body) / 2, len(seed.body) - 5} { // the last line, "--x--", begins there
			t.Run(fmt.Sprintf("%s %d of %d", seed.target, at, len(seed.body)), func(t *testing.T) {
				r, err := http.NewRequest("POST", "http://127.0.0.1:8173"+seed.target, io.MultiReader(bytes.NewReader(seed.body[:at]), iotest.ErrReader(io.ErrUnexpectedEOF)))
				if err != nil {
					t.Fatal(err)
				}
				r.ContentLength = int64(len(seed.body))
				r.Header.Set("Content-Type", seed.kind)
				if answer, body, _ := c.send(t, r); answer.StatusCode < 400 {
					t.Errorf("%d %.100s", answer.StatusCode, body)
				}
			})
		}
	}
}

// hasPictures checks that a weld has every picture of a form.
func hasPictures(t *testing.T, nb *store.Notebook, mark string, files []*multipart.FileHeader) {
	t.Helper()
	list, err := nb.Photos(t.Context(), mark)
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range files {
		if file.Size == 0 {
			continue
		}
		in, err := file.Open()
		if err != nil {
			t.Fatal(err)
		}
		b, err := io.ReadAll(in)
		in.Close()
		if err != nil {
			t.Fatal(err)
		}
		clean, err := picture.Clean(b)
		if err != nil {
			t.Errorf("%s: %q was taken for a picture: %v", mark, b, err)
			continue
		}
		found := false
		for _, p := range list {
			_, data, err := nb.PhotoData(t.Context(), p.ID, procedures.WholePhoto)
			found = found || err == nil && bytes.Equal(data, clean.Data)
		}
		if !found {
			t.Errorf("%s: a picture of %d bytes was acknowledged, and is not among %v", mark, len(b), list)
		}
	}
}

// partsOf reads a form in parts; nil: it is none, or not whole.
func partsOf(kind string, body []byte) *multipart.Form {
	media, params, err := mime.ParseMediaType(kind)
	if err != nil || media != "multipart/form-data" {
		return nil
	}
	form, err := multipart.NewReader(bytes.NewReader(body), params["boundary"]).ReadForm(1 << 20)
	if err != nil {
		return nil
	}
	return form
}

// sent is a form in parts.
type sent struct {
	target, kind string
	body         []byte
}

// formSeeds are forms as phones send them, and such as none does.
func formSeeds() (all []sent) {
	photo := camera(8, 6, 3)
	var b bytes.Buffer
	if err := png.Encode(&b, image.NewGray(image.Rect(0, 0, 3, 2))); err != nil {
		panic(err) // into memory
	}
	add := func(target string, fields map[string]string, files ...[]byte) *sent {
		var b bytes.Buffer
		w := multipart.NewWriter(&b)
		_ = w.SetBoundary("x")
		names := []string{}
		for name := range fields {
			names = append(names, name)
		}
		slices.Sort(names)
		for _, name := range names {
			_ = w.WriteField(name, fields[name])
		}
		for i, file := range files {
			part, _ := w.CreateFormFile("photo", fmt.Sprintf("IMG_%04d.jpg", i))
			_, _ = part.Write(file)
		}
		_ = w.Close()
		all = append(all, sent{target, w.FormDataContentType(), b.Bytes()})
		return &all[len(all)-1]
	}
	log := map[string]string{"rating": "4", "symptom": "spatter", "tap": "high", "knob": "4.5", "note": "corner, 2nd try", "token": "01900000-0000-7000-8000-000000000001", "from": "A1"}
	add("/log", log)
	add("/log", log, photo)
	add("/log", log, photo, b.Bytes())
	add("/log", log, nil)
	add("/log", log, photo[:len(photo)/2])
	add("/log", map[string]string{"words": "1/8 mild tee flat", "rating": "2", "test": "bend", "result": "held", "age_seconds": "7200"}, photo)
	add("/log", map[string]string{"rating": "6", "knob": "\x00"}, photo)
	cut := add("/log", log, photo)
	cut.body = cut.body[:len(cut.body)-40]
	bare := add("/log", log)
	bare.kind = "multipart/form-data"
	add("/weld/A1/photo", map[string]string{"role": "before"}, photo)
	add("/weld/A1/photo", nil, photo, b.Bytes())
	add("/weld/A1/photo", nil, photo, photo)
	add("/weld/A1/photo", nil, photo, []byte("not a picture"))
	add("/weld/A1/photo", map[string]string{"role": "sideways"}, photo)
	add("/weld/A1/photo", nil)
	add("/weld/B7/photo", nil, photo)
	add("/api/welds/A1/photos", map[string]string{"role": "back"}, photo)
	add("/api/welds/A1/photos", nil, photo, photo)
	add("/api/log", log)
	add("/strike/A1", map[string]string{"why": "wrong"})
	cut = add("/strike/A1", map[string]string{"why": "wrong"})
	cut.body = cut.body[:20]
	add("/weld/A1", map[string]string{"rating": "3", "note": "later"})
	add("/weld/A1/test", map[string]string{"kind": "break", "q_edge": "no"})
	add("/weld/A1/followup", map[string]string{"do": "failed", "note": "toe"})
	add("/weld/A1/rate", map[string]string{"rating": "3"})
	add("/machine/shed", map[string]string{"use": "1"})
	add("/duty", map[string]string{"do": "start"})
	add("/wire", map[string]string{"name": "x"})
	add("/wire/add", map[string]string{"wire": "0.030 E71T-GS", "weight": "2lb"})
	add("/machines", map[string]string{"name": "big blue", "taps": "low,high", "output": "dcen"})
	add("/machine/shed/set", map[string]string{"max": "120A"})
	add("/procedures", map[string]string{"name": "leg", "from": "A1"})
	add("/units", map[string]string{"units": "metric", "back": "/find"})
	return all
}
