package web

import (
	"context"
	"io"
	"mime/multipart"
	"net/http"
	"net/url"
	"slices"
	"strconv"

	"beadwright/procedures"
)

// Album is a bench that keeps pictures. A bench that is none has no page for them.
type Album interface {
	// AddPhotos keeps pictures of a weld, all of them or none, and answers with its
	// mark and photos.
	AddPhotos(ctx context.Context, mark, role string, files ...[]byte) Result
	// PhotoData reads a picture: whole, view or thumb. media is image/jpeg or
	// image/png; the result says whether there is one.
	PhotoData(ctx context.Context, id, size string) (media string, data []byte, r Result)
}

// photoPages adds the pages of pictures.
func (s *Server) photoPages(mux *http.ServeMux) {
	album, ok := s.bench.(Album)
	if !ok {
		return
	}
	mux.HandleFunc("GET /photo/{id}", func(w http.ResponseWriter, r *http.Request) { s.photo(w, r, album) })
	mux.HandleFunc("POST /weld/{mark}/photo", func(w http.ResponseWriter, r *http.Request) { s.addPhoto(w, r, album) })
	mux.HandleFunc("POST "+apiPhotos, func(w http.ResponseWriter, r *http.Request) { s.takePhoto(w, r, album) })
}

// apiPhotos is where the API takes a picture: the one route that is sent a form, and
// is no command line, since that would name a file.
const apiPhotos = "/api/welds/{mark}/photos"

// takePhoto keeps the picture that the API is sent.
func (s *Server) takePhoto(w http.ResponseWriter, r *http.Request, album Album) {
	if !s.whole(w, r, readForm(r)) {
		return
	}
	if r.MultipartForm == nil {
		writeError(w, http.StatusUnsupportedMediaType, apiError(notInParts))
		return
	}
	files := r.MultipartForm.File["photo"]
	if len(files) != 1 || files[0].Size == 0 {
		writeError(w, http.StatusBadRequest, apiError{Code: "invalid", Field: "photo", Message: "not one picture", Hint: "a form with one picture under the name photo"})
		return
	}
	res := keep(r, album, r.PathValue("mark"), r.PostFormValue("role"), files)
	w.Header().Set("Content-Type", "application/json")
	w.Header().Set("Cache-Control", "no-store")
	w.WriteHeader(route{status: http.StatusCreated}.answer(res))
	_, _ = w.Write(res.JSON)
}

// photo sends a picture. It never changes, so a phone may keep it.
func (s *Server) photo(w http.ResponseWriter, r *http.Request, album Album) {
	size := r.URL.Query().Get("size")
	if size == "" {
		size = string(procedures.PhotoView)
	}
	ctx, cancel := context.WithTimeout(r.Context(), answerTime)
	defer cancel()
	media, data, res := album.PhotoData(ctx, r.PathValue("id"), size)
	if res.Status != 0 {
		f, status, _ := res.read(nil)
		if status == http.StatusUnprocessableEntity {
			status = http.StatusNotFound
		}
		http.Error(w, f.Message, status)
		return
	}
	if media != "image/jpeg" && media != "image/png" {
		http.Error(w, "This is no picture.", http.StatusInternalServerError)
		return
	}
	w.Header().Set("Content-Type", media)
	w.Header().Set("Content-Length", strconv.Itoa(len(data)))
	w.Header().Set("Cache-Control", "private, max-age=86400, immutable")
	_, _ = w.Write(data)
}

// addPhoto keeps the picture of a form.
func (s *Server) addPhoto(w http.ResponseWriter, r *http.Request, album Album) {
	mark := r.PathValue("mark")
	if r.MultipartForm == nil {
		s.fail(w, r, http.StatusUnsupportedMediaType, notInParts, "find")
		return
	}
	files := r.MultipartForm.File["photo"]
	if len(files) == 0 || len(files) == 1 && files[0].Size == 0 {
		f := failure{Code: "invalid", Field: "photo", Message: "no picture was chosen", Hint: "press the field above the button, and take one or choose one"}
		if wantsJSON(r) {
			s.fail(w, r, http.StatusUnprocessableEntity, f, "find")
			return
		}
		s.showWeld(w, r, http.StatusUnprocessableEntity, &f)
		return
	}
	res := keep(r, album, mark, r.PostFormValue("role"), files)
	if res.Status != 0 {
		f, status, _ := res.read(nil)
		if status == http.StatusUnprocessableEntity && !wantsJSON(r) {
			s.showWeld(w, r, status, &f)
			return
		}
		s.fail(w, r, status, f, "find")
		return
	}
	if wantsJSON(r) {
		w.Header().Set("Content-Type", "application/json")
		w.Header().Set("Cache-Control", "no-store")
		_, _ = w.Write(res.JSON)
		return
	}
	http.Redirect(w, r, "/weld/"+url.PathEscape(mark), http.StatusSeeOther)
}

// notInParts is what a form without parts is told: no picture comes in one.
var notInParts = failure{Code: "not_understood", Field: "photo", Message: "not sent as a form with a picture", Hint: "use the form on the page"}

// keep hands the pictures of a form to the album.
func keep(r *http.Request, album Album, mark, role string, files []*multipart.FileHeader) Result {
	pictures := make([][]byte, len(files))
	for i, file := range files {
		f, err := file.Open()
		if err == nil {
			pictures[i], err = io.ReadAll(io.LimitReader(f, procedures.LargestPhoto+1))
			f.Close()
		}
		if err != nil {
			return Result{Status: 1, JSON: []byte(`{"error":{"code":"failed","field":"photo","message":"the picture could not be read as it came in","hint":"send it again"}}`)}
		}
	}
	ctx, cancel := context.WithTimeout(r.Context(), answerTime)
	defer cancel()
	return album.AddPhotos(ctx, mark, role, pictures...)
}

// photosOf keeps the pictures that came with the form of a weld just written down, all
// of them or none. What is wrong with one does not undo the weld: it is told.
func (s *Server) photosOf(r *http.Request, mark string) (trouble string) {
	album, ok := s.bench.(Album)
	if !ok || r.MultipartForm == nil {
		return ""
	}
	files := slices.DeleteFunc(slices.Clone(r.MultipartForm.File["photo"]), func(f *multipart.FileHeader) bool { return f.Size == 0 }) // a field left empty
	if len(files) == 0 {
		return ""
	}
	if res := keep(r, album, mark, "", files); res.Status != 0 {
		f, _, _ := res.read(nil)
		return f.Message
	}
	return ""
}
