package web

import (
	"crypto/rand"
	"crypto/sha256"
	"crypto/subtle"
	"encoding/base64"
	"encoding/hex"
	"fmt"
	"net/http"
	"net/netip"
	"net/url"
	"slices"
	"strings"
	"sync"
	"time"
)

// Phone is a device that may ask from the network. What it shows to be known is a
// random number that it alone has; here is only its hash.
type Phone struct {
	Name  string    `json:"name"`
	Since time.Time `json:"since"`
	Hash  string    `json:"sha256"` // of the cookie, in hexadecimal
}

// Phones keeps the devices that were paired. Several goroutines and programs use
// it at once.
type Phones interface {
	Phones() ([]Phone, error)
	Add(Phone) error
	Remove(name string) (removed int, err error) // "all": every one
}

const (
	pairPath   = "/pair"
	linkLasts  = 5 * time.Minute
	phoneLasts = 180 * 24 * time.Hour
	linkBytes  = 18 // 144 bits
	phoneBytes = 32
)

// pairing is the one link that is open, if any: its hash, and until when.
type pairing struct {
	mu    sync.Mutex
	hash  [sha256.Size]byte
	until time.Time
	limit *limit
}

// Invite opens a new link for one device and closes the one before. It returns the
// address to open, without scheme and host, and until when it holds.
func (s *Server) Invite() (address string, until time.Time) {
	code := secret(linkBytes)
	s.pairs.mu.Lock()
	defer s.pairs.mu.Unlock()
	s.pairs.hash = sha256.Sum256([]byte(code))
	s.pairs.until = s.opts.Now().Add(linkLasts)
	return pairPath + "?code=" + url.QueryEscape(code), s.pairs.until
}

// take uses the link up, if the code is that of the open one.
func (p *pairing) take(code string, now time.Time) bool {
	p.mu.Lock()
	defer p.mu.Unlock()
	right := p.right(code, now)
	if right {
		p.until = time.Time{}
	}
	return right
}

// open reports whether the code is that of the open link. It uses nothing up.
func (p *pairing) open(code string, now time.Time) bool {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.right(code, now)
}

// right compares in a time that tells nothing. It is called under the lock.
func (p *pairing) right(code string, now time.Time) bool {
	given := sha256.Sum256([]byte(code))
	return subtle.ConstantTimeCompare(given[:], p.hash[:]) == 1 && now.Before(p.until)
}

// secret is a random number of so many bytes, in letters that an address may hold.
func secret(bytes int) string {
	b := make([]byte, bytes)
	_, _ = rand.Read(b) // never fails
	return base64.RawURLEncoding.EncodeToString(b)
}

func (s *Server) cookieName() string {
	if s.opts.TLS {
		return "__Host-beadwright" // which a browser takes from https and from this very host alone
	}
	return "beadwright"
}

// paired is the device that asks, if it is one.
func (s *Server) paired(r *http.Request) (Phone, bool) {
	cookies := r.CookiesNamed(s.cookieName())
	if s.opts.Phones == nil || len(cookies) != 1 {
		return Phone{}, false
	}
	all, err := s.opts.Phones.Phones()
	if err != nil {
		s.tell("beadwright: the list of paired devices cannot be read, so none is known: %v", err)
		return Phone{}, false
	}
	sum := sha256.Sum256([]byte(cookies[0].Value))
	given := []byte(hex.EncodeToString(sum[:]))
	var found Phone
	ok := false
	for _, p := range all { // all of them, so that the time taken tells nothing
		if subtle.ConstantTimeCompare(given, []byte(p.Hash)) == 1 && s.opts.Now().Before(p.Since.Add(phoneLasts)) {
			found, ok = p, true
		}
	}
	return found, ok
}

// pairPages adds the way to pair a device, and the list of those that are.
func (s *Server) pairPages(mux *http.ServeMux) {
	mux.HandleFunc("GET "+pairPath, s.pairPage)
	mux.HandleFunc("POST "+pairPath, s.pair)
	mux.HandleFunc("GET /phones", s.phonesPage)
	mux.HandleFunc("POST /phones", s.revoke)
}

// pairPage only asks: what looks a link over before a person opens it (a preview,
// a scanner) must not use it up. A wrong link is refused here already, and counts as
// a guess as it does where it is used.
func (s *Server) pairPage(w http.ResponseWriter, r *http.Request) {
	if !s.opts.LAN {
		s.trouble(w, r, http.StatusNotFound, "This page is served to this computer alone. For the phone in the garage: beadwright serve --lan")
		return
	}
	code := r.URL.Query().Get("code")
	if s.admitted(w, r, code, s.pairs.open) {
		s.show(w, r, http.StatusOK, "pair", page{Title: "Pair this device", Body: code})
	}
}

// admitted reports whether a link is good, and answers where it is not: the same for
// every link that is not, whatever is wrong with it.
func (s *Server) admitted(w http.ResponseWriter, r *http.Request, code string, good func(code string, now time.Time) bool) bool {
	from := remote(r)
	switch {
	case s.pairs.limit.locked(from):
		w.Header().Set("Retry-After", fmt.Sprint(int(lockedFor.Seconds())))
		s.trouble(w, r, http.StatusTooManyRequests, "Too many wrong links. Wait ten minutes, then have the terminal show a new one.")
		return false
	case !good(code, s.opts.Now()):
		if code != "" { // nothing is no guess
			s.pairs.limit.missed(from)
		}
		s.trouble(w, r, http.StatusForbidden, "This link is used up, too old, or not one of ours. A link pairs one device within five minutes: press Enter in the terminal where beadwright serve --lan runs, and open the new one.")
		return false
	}
	return true
}

func (s *Server) pair(w http.ResponseWriter, r *http.Request) {
	switch {
	case !s.opts.LAN || s.opts.Phones == nil:
		s.pairPage(w, r)
		return
	case !s.admitted(w, r, r.PostFormValue("code"), s.pairs.take):
		return
	}
	all, err := s.opts.Phones.Phones()
	token := secret(phoneBytes)
	sum := sha256.Sum256([]byte(token))
	phone := Phone{Name: freeName(plain(r.PostFormValue("name"), 40), all), Since: s.opts.Now().UTC(), Hash: hex.EncodeToString(sum[:])}
	if err == nil {
		err = s.opts.Phones.Add(phone)
	}
	if err != nil {
		s.tell("beadwright: a device could not be paired: %v", err)
		s.trouble(w, r, http.StatusInternalServerError, "The pairing could not be written down, so it was not done. The terminal says why.")
		return
	}
	s.tell("paired: %s. To undo: beadwright serve --revoke %q", phone.Name, phone.Name)
	http.SetCookie(w, &http.Cookie{Name: s.cookieName(), Value: token, Path: "/", HttpOnly: true, Secure: s.opts.TLS, SameSite: http.SameSiteStrictMode, MaxAge: int(phoneLasts.Seconds())})
	w.Header().Set("Cache-Control", "no-store")
	http.Redirect(w, r, "/", http.StatusSeeOther)
}

// freeName is the name wanted, with a number where another device has it.
func freeName(wanted string, all []Phone) string {
	if wanted == "" || strings.EqualFold(wanted, "all") {
		wanted = "phone"
	}
	name := wanted
	for n := 2; slices.ContainsFunc(all, func(p Phone) bool { return strings.EqualFold(p.Name, name) }); n++ {
		name = fmt.Sprintf("%s %d", wanted, n)
	}
	return name
}

// phonesView is the list of paired devices.
type phonesView struct {
	Phones []Phone
	Here   string // the one that looks
	LAN    bool
}

func (s *Server) phonesPage(w http.ResponseWriter, r *http.Request) {
	v := phonesView{LAN: s.opts.LAN}
	if s.opts.Phones != nil {
		all, err := s.opts.Phones.Phones()
		if err != nil {
			s.trouble(w, r, http.StatusInternalServerError, "The list of paired devices cannot be read.")
			return
		}
		v.Phones = all
	}
	if p, ok := s.paired(r); ok {
		v.Here = p.Name
	}
	s.show(w, r, http.StatusOK, "phones", page{Title: "Paired devices", Here: "phones", Body: v})
}

func (s *Server) revoke(w http.ResponseWriter, r *http.Request) {
	name := r.PostFormValue("name")
	if s.opts.Phones == nil || name == "" {
		s.trouble(w, r, http.StatusNotFound, "There is no such device.")
		return
	}
	switch n, err := s.opts.Phones.Remove(name); {
	case err != nil:
		s.tell("beadwright: a pairing could not be undone: %v", err)
		s.trouble(w, r, http.StatusInternalServerError, "The pairing could not be undone. The terminal says why.")
	case n == 0:
		s.trouble(w, r, http.StatusNotFound, "There is no such device.")
	default:
		s.tell("no longer paired: %s", name)
		http.Redirect(w, r, "/phones", http.StatusSeeOther)
	}
}

// remote is the address that a request came from.
func remote(r *http.Request) netip.Addr {
	a, err := netip.ParseAddrPort(r.RemoteAddr)
	if err != nil {
		return netip.Addr{}
	}
	return a.Addr()
}
