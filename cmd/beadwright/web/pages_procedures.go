package web

import "net/http"

func (s *Server) proceduresPage(w http.ResponseWriter, r *http.Request) {
	s.show(w, r, http.StatusOK, "procedures", page{Title: "Procedures", Here: "bench"})
}

func (s *Server) procedurePage(w http.ResponseWriter, r *http.Request) {
	s.trouble(w, r, http.StatusNotFound, "No procedure of that name is written down.")
}
