// Package web is the page for the phone in the garage, and its API. It knows no
// notebook and no recommender: whatever it is asked becomes a command with
// --json, which a [Bench] carries out, so that page, API and command line give
// one answer.
//
// What comes from outside is a word behind "--" or the value behind a "--name="
// that is written here; it never names a command, a flag or a file.
package web

import (
	"context"
	"fmt"
	"io"
	"log"
	"net"
	"net/http"
	"slices"
	"sync"
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

// Options change how the page is served. The zero value serves this computer
// alone.
type Options struct {
	Now    func() time.Time // the clock; nil: time.Now
	Hosts  []string         // names and addresses that the page may be asked for by, besides 127.0.0.1, localhost and ::1; without a port
	LAN    bool             // other devices may ask, once they are paired
	Phones Phones           // those that are; nil: none, and none can be
	TLS    bool             // it is served by https: cookies go by it alone
	Report io.Writer        // what the program's own terminal is told, a line at a time; nil: nothing
}

// Server is the page and its API: an [http.Handler].
type Server struct {
	bench Bench
	opts  Options
	guard http.Handler // what every request passes first
	pairs pairing
	turns sync.Mutex    // see inTurn
	seats chan struct{} // one for each request that may be answered at once
}

// The limits of one request. Design choices.
const (
	seats       = 32
	formBytes   = 1 << 20  // of a form or an object
	photoBytes  = 21 << 20 // of a form with a picture
	answerTime  = 30 * time.Second
	headerBytes = 16 << 10
)

// New makes the page over a bench.
func New(b Bench, o Options) *Server {
	if o.Now == nil {
		o.Now = time.Now
	}
	if o.Report == nil {
		o.Report = io.Discard
	}
	s := &Server{bench: b, opts: o, seats: make(chan struct{}, seats)}
	s.pairs.limit = newLimit(o.Now)
	mux := http.NewServeMux()
	s.pages(mux)
	s.pairPages(mux)
	s.photoPages(mux)
	s.api(mux)
	s.guard = s.guarded(mux)
	return s
}

// ServeHTTP answers one request, if it passes the guard.
func (s *Server) ServeHTTP(w http.ResponseWriter, r *http.Request) { s.guard.ServeHTTP(w, r) }

// HTTP is the server to listen with: it gives up on who sends or takes nothing.
func (s *Server) HTTP() *http.Server {
	return &http.Server{
		Handler:           s,
		ReadHeaderTimeout: 5 * time.Second,
		ReadTimeout:       60 * time.Second, // a picture over a bad wireless line
		WriteTimeout:      60 * time.Second,
		IdleTimeout:       2 * time.Minute,
		MaxHeaderBytes:    headerBytes,
		ErrorLog:          log.New(io.Discard, "", 0), // it would name addresses and what was sent
		BaseContext:       func(net.Listener) context.Context { return context.Background() },
	}
}

// do carries out a command for a page, whose hints say what to press there. Callers
// build every flag as "--name=value" and put words from outside behind "--".
func (s *Server) do(r *http.Request, args ...string) Result {
	return s.carryOut(r, slices.Insert(slices.Clone(args), 1, "--pressed")...)
}

// carryOut carries out a command for a request, as it was typed.
func (s *Server) carryOut(r *http.Request, args ...string) Result {
	ctx, cancel := context.WithTimeout(r.Context(), answerTime)
	defer cancel()
	return s.bench.Do(ctx, args...)
}

// tell writes a line to the program's own terminal. Nothing that came from outside
// can move the cursor there or begin a line.
func (s *Server) tell(format string, args ...any) {
	fmt.Fprintln(s.opts.Report, plain(fmt.Sprintf(format, args...), 300))
}
