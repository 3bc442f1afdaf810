package web

import (
	"errors"
	"fmt"
	"mime"
	"net"
	"net/http"
	"net/netip"
	"runtime"
	"slices"
	"strings"
	"unicode"
)

// headers go with every answer: nothing from elsewhere, nothing inline, in no
// frame of anybody's, and nothing is guessed about a file.
var headers = map[string]string{
	"Content-Security-Policy": "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; connect-src 'self'; " +
		"form-action 'self'; base-uri 'none'; frame-ancestors 'none'",
	"X-Content-Type-Options":       "nosniff",
	"X-Frame-Options":              "DENY",
	"Referrer-Policy":              "same-origin", // with less, a browser says of our own forms that they come from nowhere
	"Cross-Origin-Opener-Policy":   "same-origin",
	"Cross-Origin-Resource-Policy": "same-origin",
	"Permissions-Policy":           "camera=(), microphone=(), geolocation=(), payment=(), usb=(), bluetooth=()",
}

// guarded puts a handler behind everything that a request must pass: the order is
// from what costs least to know.
func (s *Server) guarded(next http.Handler) http.Handler {
	cross := http.NewCrossOriginProtection()
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		defer s.recovered(w)
		for name, value := range headers {
			w.Header().Set(name, value)
		}
		if s.opts.TLS {
			w.Header().Set("Strict-Transport-Security", "max-age=31536000")
		}
		switch {
		case !s.ours(r.Host):
			// The name of another site, made to point here: the browser takes the page
			// for that site's own.
			s.refuse(w, r, http.StatusMisdirectedRequest, "forbidden", "this page does not go by that name", "open it by the address that the terminal shows, or name it: beadwright serve --host NAME")
		case foreign(r) || cross.Check(r) != nil:
			// Of a page of another site, whatever the method: a question is written
			// down too.
			s.refuse(w, r, http.StatusForbidden, "forbidden", "another site's page asked for this; nothing was done", "open the address itself")
		case !s.known(r):
			s.refuse(w, r, http.StatusUnauthorized, "unpaired", "this device is not paired with the notebook", "have the terminal show a new link, and open it here: press Enter where beadwright serve --lan runs")
		default:
			select {
			case s.seats <- struct{}{}:
				defer func() { <-s.seats }()
				if s.fits(w, r) {
					next.ServeHTTP(w, r)
				}
			default:
				w.Header().Set("Retry-After", "1")
				s.refuse(w, r, http.StatusServiceUnavailable, "busy", "too much is asked at once", "ask again in a second")
			}
		}
	})
}

// fits reports whether what is sent is no more than is taken. A form is read here,
// whole: half of one must not be taken for all of it. The API takes none but where
// pictures are.
func (s *Server) fits(w http.ResponseWriter, r *http.Request) bool {
	most := bodyLimit(r)
	r.Body = http.MaxBytesReader(w, r.Body, most)
	if r.ContentLength > most {
		return s.whole(w, r, &http.MaxBytesError{Limit: most})
	}
	return strings.HasPrefix(r.URL.Path, "/api/") || s.whole(w, r, readForm(r))
}

// whole reports whether a form came through whole, and refuses what did not.
func (s *Server) whole(w http.ResponseWriter, r *http.Request, err error) bool {
	var large *http.MaxBytesError
	switch {
	case errors.As(err, &large):
		s.refuse(w, r, http.StatusRequestEntityTooLarge, "not_understood", "more was sent than is taken, and nothing was done", "up to 1 MB; a picture up to 20 MB")
	case err != nil:
		s.refuse(w, r, http.StatusBadRequest, "not_understood", "the form did not come through whole, and nothing was done", "send it again")
	}
	return err == nil
}

// readForm reads what is sent, where it is a form.
func readForm(r *http.Request) error {
	switch {
	case r.Method != http.MethodPost:
	case formKind(r) == plainForm:
		return r.ParseForm()
	case formKind(r) == formInParts:
		return r.ParseMultipartForm(formBytes)
	}
	return nil
}

// How browsers send forms.
const (
	plainForm   = "application/x-www-form-urlencoded"
	formInParts = "multipart/form-data"
)

func formKind(r *http.Request) string {
	kind, _, _ := mime.ParseMediaType(r.Header.Get("Content-Type")) // "" where it is nothing
	return kind
}

// bodyLimit is how much a request may send. Only a form with a picture, which a
// browser sends in parts, may be large.
func bodyLimit(r *http.Request) int64 {
	if r.Method == http.MethodPost && formKind(r) == formInParts {
		return photoBytes
	}
	return formBytes
}

// ours reports whether a Host header is a name of this server: a page of another
// site whose name was made to point here must not be taken for it.
func (s *Server) ours(host string) bool {
	name, port, err := net.SplitHostPort(host)
	if err != nil {
		name = strings.TrimSuffix(strings.TrimPrefix(host, "["), "]")
	} else if port == "" {
		return false
	}
	if name = strings.ToLower(name); name == "localhost" || name == "127.0.0.1" || name == "::1" {
		return true
	}
	return name != "" && slices.ContainsFunc(s.opts.Hosts, func(h string) bool { return strings.EqualFold(h, name) })
}

// foreign reports whether a browser says that a page of another site asks. Those
// that say nothing of it are caught by their Origin, where one is sent.
func foreign(r *http.Request) bool {
	switch r.Header.Get("Sec-Fetch-Site") {
	case "cross-site", "same-site":
		return true
	}
	o := r.Header.Get("Origin")
	return o != "" && o != "http://"+r.Host && o != "https://"+r.Host
}

// known reports whether the one who asks may: at this very computer, or paired.
// The files beside the pages hold nothing of the notebook, and the way to be paired
// must be open.
func (s *Server) known(r *http.Request) bool {
	return r.URL.Path == pairPath || strings.HasPrefix(r.URL.Path, "/static/") || s.inside(r)
}

// inside reports whether the one who asks may see the notebook.
func (s *Server) inside(r *http.Request) bool {
	if !s.opts.LAN || fromHere(r) {
		return true
	}
	_, ok := s.paired(r)
	return ok
}

// fromHere reports whether a request was made at this computer: it came in at
// 127.0.0.1 or ::1. At the address for the network even this computer is a stranger.
func fromHere(r *http.Request) bool {
	at, ok := r.Context().Value(http.LocalAddrContextKey).(net.Addr)
	if !ok {
		return false
	}
	here, err := netip.ParseAddrPort(at.String())
	return err == nil && (here.Addr().Unmap() == netip.AddrFrom4([4]byte{127, 0, 0, 1}) || here.Addr() == netip.IPv6Loopback())
}

// refuse answers a request that is not let in: in the words of an error of --json,
// with a page where a browser shows one, else in plain text.
func (s *Server) refuse(w http.ResponseWriter, r *http.Request, status int, code, message, hint string) {
	w.Header().Set("Cache-Control", "no-store")
	if strings.HasPrefix(r.URL.Path, "/api/") || strings.HasPrefix(r.Header.Get("Accept"), "application/json") {
		writeError(w, status, apiError{Code: code, Message: message, Hint: hint})
		return
	}
	if strings.Contains(r.Header.Get("Accept"), "text/html") {
		s.show(w, r, status, "trouble", page{Title: "Not let in", Body: failure{Message: sentence(message), Hint: sentence(hint)}})
		return
	}
	w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	w.WriteHeader(status)
	fmt.Fprintf(w, "%s\n%s\n", sentence(message), sentence(hint))
}

// sentence gives a clause its capital and its full stop.
func sentence(s string) string { return strings.ToUpper(s[:1]) + s[1:] + "." }

// recovered turns a fault of the program into an answer, and tells the terminal
// where it was and nothing of what was sent.
func (s *Server) recovered(w http.ResponseWriter) {
	fault := recover()
	if fault == nil {
		return
	}
	if fault == http.ErrAbortHandler {
		panic(fault)
	}
	what := fmt.Sprintf("%T", fault)
	if err, ok := fault.(runtime.Error); ok {
		what = err.Error()
	}
	s.tell("beadwright: a fault of the page, not of yours (%s) at %s", what, strings.Join(trace(), ", "))
	w.Header().Set("Cache-Control", "no-store")
	writeError(w, http.StatusInternalServerError, apiError{Code: "failed", Message: "a fault of the program, not of yours; nothing half-written was kept", Hint: "do it again; the terminal that serves this page says more"})
}

// trace names the functions that a fault came through.
func trace() (at []string) {
	pcs := make([]uintptr, 64)
	frames := runtime.CallersFrames(pcs[:runtime.Callers(2, pcs)])
	for {
		f, more := frames.Next()
		if strings.Contains(f.Function, "beadwright") {
			at = append(at, fmt.Sprintf("%s:%d", f.Function[strings.LastIndex(f.Function, "/")+1:], f.Line))
		}
		if !more || len(at) == 12 {
			return at
		}
	}
}

// plain is a text fit for one line of a terminal, no longer than so many letters.
func plain(s string, most int) string {
	out := make([]rune, 0, most)
	for _, r := range s {
		if len(out) == most {
			break
		}
		if !unicode.IsGraphic(r) || unicode.Is(unicode.Bidi_Control, r) {
			r = ' '
		}
		out = append(out, r)
	}
	return strings.Join(strings.Fields(string(out)), " ")
}
