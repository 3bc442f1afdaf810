package web

import "net/http"

// pages adds the HTML pages.
func (s *Server) pages(mux *http.ServeMux) {}
