// Package web is the page for the phone in the garage, and its API. It knows no
// notebook and no recommender: whatever it is asked becomes a command with
// --json, which a [Bench] carries out, so that page, API and command line give
// one answer.
package web

import (
	"context"
	"net/http"
	"time"
)

// Bench does what the command line does, and answers with the same JSON. Several
// requests call it at once.
type Bench interface {
	// Do carries out a command: its words and flags as a shell would hand them
	// over, without --json. It reads no standard input and is never a terminal.
	Do(ctx context.Context, args ...string) Result
}

// Result is how a command ended.
type Result struct {
	Status int    // exit status of the command line: 0 done, 1 the world failed, 2 not understood, 3 no settings on purpose
	JSON   []byte // the one object of --json; an error too is one: {"error": {...}}
}

// Options change how the page is served.
type Options struct {
	Now func() time.Time // the clock; nil: time.Now
}

// Server is the page and its API: an [http.Handler].
type Server struct {
	bench Bench
	opts  Options
	mux   *http.ServeMux
}

// New makes the page over a bench.
func New(b Bench, o Options) *Server {
	if o.Now == nil {
		o.Now = time.Now
	}
	s := &Server{bench: b, opts: o, mux: http.NewServeMux()}
	s.pages(s.mux)
	return s
}

func (s *Server) ServeHTTP(w http.ResponseWriter, r *http.Request) { s.mux.ServeHTTP(w, r) }

// do carries out a command for a request. Callers build every flag as
// "--name=value" and put words from outside behind "--".
func (s *Server) do(r *http.Request, args ...string) Result { return s.bench.Do(r.Context(), args...) }
