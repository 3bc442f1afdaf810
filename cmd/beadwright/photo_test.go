package main

import (
	"bytes"
	"context"
	"encoding/json"
	"image"
	"image/color"
	"image/jpeg"
	"io"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"

	"beadwright/cmd/beadwright/web"
	"beadwright/procedures"
	"beadwright/procedures/store"
)

// camera is a JPEG that tells where and with what it was taken.
func camera(w, h, seed int) []byte {
	m := image.NewGray(image.Rect(0, 0, w, h))
	for i := range m.Pix {
		m.Pix[i] = color.Gray{uint8(i*seed + i/w)}.Y
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, m, nil); err != nil {
		panic(err) // into memory
	}
	told := "\xff\xe1\x00\x23Exif\x00\x00GPSLatitude N47.3769 PocketC"
	return append(append(bytes.Clone(b.Bytes()[:2]), told...), b.Bytes()[2:]...)
}

// shootCommand writes a picture that differs from others by its seed: shoot FILE SEED
func shootCommand(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: shoot FILE SEED")
	}
	seed, err := strconv.Atoi(args[1])
	ts.Check(err)
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), camera(400, 300, seed), 0o600))
}

// rememberCommand keeps a value of the last standard output, as json finds it, in a
// variable: remember NAME PATH
func rememberCommand(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: remember NAME PATH")
	}
	doc, err := oneObject(ts.ReadFile("stdout"))
	ts.Check(err)
	v, err := at(doc, args[1])
	ts.Check(err)
	s, ok := v.(string)
	if !ok {
		ts.Fatalf("%s is no text: %v", args[1], v)
	}
	ts.Setenv(args[0], s)
}

// TestPageOfPhotos puts pictures in through the page, as a phone's browser does, and
// gets them back.
func TestPageOfPhotos(t *testing.T) {
	path := filepath.Join(t.TempDir(), "n.db")
	nb, err := store.Open(context.Background(), path, store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer nb.Close()
	w, err := nb.AddWeld(context.Background(), procedures.Weld{Outcome: procedures.Outcome{Rating: 4}})
	if err != nil {
		t.Fatal(err)
	}
	b := &workbench{notebook: nb, path: path, now: time.Now, report: io.Discard}
	ts := httptest.NewServer(web.New(b, web.Options{}))
	defer ts.Close()
	client := &http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}

	send := func(to, accept string, fields map[string]string, files ...[]byte) (*http.Response, string) {
		t.Helper()
		var body bytes.Buffer
		form := multipart.NewWriter(&body)
		for name, value := range fields {
			_ = form.WriteField(name, value)
		}
		for _, file := range files {
			part, err := form.CreateFormFile("photo", "../../etc/passwd.jpg")
			if err != nil {
				t.Fatal(err)
			}
			_, _ = part.Write(file)
		}
		form.Close()
		req, err := http.NewRequest("POST", ts.URL+to, &body)
		if err != nil {
			t.Fatal(err)
		}
		req.Header.Set("Content-Type", form.FormDataContentType())
		req.Header.Set("Accept", accept)
		return fetch(t, client, req)
	}
	get := func(at string) (*http.Response, string) {
		t.Helper()
		req, err := http.NewRequest("GET", ts.URL+at, nil)
		if err != nil {
			t.Fatal(err)
		}
		return fetch(t, client, req)
	}

	file := camera(2000, 1000, 1)
	res, body := send("/weld/A1/photo", "text/html", map[string]string{"role": "fracture"}, file)
	if res.StatusCode != http.StatusSeeOther || res.Header.Get("Location") != "/weld/A1" {
		t.Fatalf("%s: %s", res.Status, body)
	}
	photos, err := nb.Photos(context.Background(), w.ID)
	if err != nil || len(photos) != 1 || photos[0].Role != procedures.FracturePhoto {
		t.Fatalf("kept: %+v, %v", photos, err)
	}
	id := photos[0].ID
	for query, wide := range map[string]int{"": 1600, "?size=thumb": 320, "?size=whole": 2000} {
		res, body := get("/photo/" + id + query)
		if res.StatusCode != http.StatusOK || res.Header.Get("Content-Type") != "image/jpeg" || res.Header.Get("X-Content-Type-Options") != "nosniff" {
			t.Errorf("%q: %s, %v", query, res.Status, res.Header)
		}
		if m, err := jpeg.DecodeConfig(strings.NewReader(body)); err != nil || m.Width != wide {
			t.Errorf("%q is %d wide, %v", query, m.Width, err)
		}
		if strings.Contains(body, "GPS") {
			t.Errorf("%q tells the place", query)
		}
	}
	for _, at := range []string{"/photo/" + id + "?size=huge", "/photo/A1", "/photo/0192d4a0-0000-7000-8000-000000000000", "/photo/..%2f..%2fetc%2fpasswd"} {
		if res, body := get(at); res.StatusCode != http.StatusNotFound || strings.HasPrefix(res.Header.Get("Content-Type"), "image/") {
			t.Errorf("%s: %s %s", at, res.Status, body)
		}
	}
	if res, body := get("/weld/A1"); res.StatusCode != http.StatusOK || !strings.Contains(body, `href="/photo/`+id+`"`) || !strings.Contains(body, `src="/photo/`+id+`?size=thumb"`) || !strings.Contains(body, `action="/weld/A1/photo"`) {
		t.Errorf("the page of the weld does not show it: %s", res.Status)
	}

	// Sent twice it is one; JSON for the script of the page.
	res, body = send("/weld/A1/photo", "application/json", map[string]string{"role": "fracture"}, file)
	var kept struct {
		Mark   string
		Photos []procedures.Photo
	}
	if err := json.Unmarshal([]byte(body), &kept); err != nil || res.StatusCode != http.StatusOK || kept.Mark != "A1" || len(kept.Photos) != 1 || kept.Photos[0].ID != id {
		t.Errorf("%s: %s", res.Status, body)
	}

	for _, c := range []struct {
		to     string
		role   string
		files  [][]byte
		status int
		want   string
	}{
		{"/weld/A1/photo", "", [][]byte{[]byte("\x00\x00\x00\x18ftypheic\x00\x00\x00\x00")}, 422, "HEIC"},
		{"/weld/A1/photo", "", [][]byte{[]byte(`<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>`)}, 422, "SVG"},
		{"/weld/A1/photo", "", [][]byte{file[:len(file)/2]}, 422, "cut off"},
		{"/weld/A1/photo", "front", [][]byte{camera(9, 9, 2)}, 422, "not what a picture shows"},
		{"/weld/A1/photo", "", nil, 422, "no picture was chosen"},
		{"/weld/B7/photo", "", [][]byte{camera(9, 9, 2)}, 404, "not found"},
		{"/weld/A1/photo", "", [][]byte{make([]byte, 22<<20)}, 413, "more was sent than is taken"},
	} {
		for _, accept := range []string{"application/json", "text/html"} {
			res, body := send(c.to, accept, map[string]string{"role": c.role}, c.files...)
			if res.StatusCode != c.status || !strings.Contains(strings.ToLower(body), strings.ToLower(c.want)) {
				t.Errorf("%s with %q as %s: %s, want %d and %q:\n%.300s", c.to, c.role, accept, res.Status, c.status, c.want, body)
			}
		}
	}

	// A weld logged with a picture; what is wrong with one does not undo the weld.
	if r := b.Do(context.Background(), "suggest", "--", "1/8", "mild", "tee", "flat", "0.035", "E71T-11"); r.Status != 0 {
		t.Fatalf("%s", r.JSON)
	}
	words := map[string]string{"rating": "4"}
	if res, body := send("/log", "application/json", words, camera(60, 40, 3)); res.StatusCode != http.StatusOK || strings.Contains(body, "photo=") {
		t.Errorf("%s: %s", res.Status, body)
	}
	if photos, err := nb.Photos(context.Background(), "A2"); err != nil || len(photos) != 1 || photos[0].Role != procedures.BeadPhoto {
		t.Errorf("logged with %+v, %v", photos, err)
	}
	res, body = send("/log", "application/json", words, []byte("GIF89a"))
	var made struct{ Mark, Next string }
	if err := json.Unmarshal([]byte(body), &made); err != nil || res.StatusCode != http.StatusOK || made.Mark != "A3" {
		t.Fatalf("%s: %s", res.Status, body)
	}
	if _, page := get(made.Next); !strings.Contains(page, "The picture was not kept") || !strings.Contains(page, "GIF") {
		t.Error("nobody is told that the picture was not kept")
	}
	// Of two pictures that come with one form both are kept, or neither.
	for n, files := range map[int][][]byte{2: {camera(60, 40, 4), camera(60, 40, 5)}, 0: {camera(60, 40, 6), []byte("GIF89a")}} {
		if _, body = send("/log", "application/json", words, files...); json.Unmarshal([]byte(body), &made) != nil {
			t.Fatal(body)
		}
		if photos, err := nb.Photos(context.Background(), made.Mark); err != nil || len(photos) != n {
			t.Errorf("%d pictures of %s kept, want %d (error %v)", len(photos), made.Mark, n, err)
		}
	}
}

func fetch(t *testing.T, client *http.Client, req *http.Request) (*http.Response, string) {
	t.Helper()
	res, err := client.Do(req)
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	body, err := io.ReadAll(res.Body)
	if err != nil {
		t.Fatal(err)
	}
	return res, string(body)
}
