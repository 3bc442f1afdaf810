package web

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"mime/multipart"
	"net"
	"net/http"
	"net/netip"
	"net/url"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"
)

// memoryPhones is a list of devices in memory.
type memoryPhones struct {
	mu   sync.Mutex
	list []Phone
}

func (p *memoryPhones) Phones() ([]Phone, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	return slices.Clone(p.list), nil
}

func (p *memoryPhones) Add(x Phone) error {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.list = append(p.list, x)
	return nil
}

func (p *memoryPhones) Remove(name string) (int, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	before := len(p.list)
	p.list = slices.DeleteFunc(p.list, func(x Phone) bool { return name == "all" || x.Name == name })
	return before - len(p.list), nil
}

// yard is a server on a network of its own: the address 127.0.0.2, which nobody is
// at home at.
type yard struct {
	t      *testing.T
	s      *Server
	bench  *recorder
	phones *memoryPhones
	report bytes.Buffer
	now    time.Time
	at     string // http://127.0.0.2:port
	host   string
}

// hit is what an attack got: the answer, and what of it was carried out.
func newYard(t *testing.T, o Options) *yard {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.2:0")
	if err != nil {
		t.Skip("this system has one loopback address alone: ", err)
	}
	y := &yard{t: t, bench: &recorder{}, phones: &memoryPhones{}, now: time.Date(2026, 5, 1, 12, 0, 0, 0, time.UTC), host: l.Addr().String()}
	o.LAN, o.Phones, o.Report, o.Hosts = true, y.phones, &y.report, append(o.Hosts, "127.0.0.2")
	o.Now = func() time.Time { return y.now }
	y.s = New(y.bench, o)
	y.at = "http://" + y.host
	server := y.s.HTTP()
	go server.Serve(l)
	t.Cleanup(func() { server.Close() })
	return y
}

// client follows no redirection and keeps no cookie.
var client = &http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}

func (y *yard) do(method, path, body string, headers ...string) *http.Response {
	y.t.Helper()
	r, err := http.NewRequest(method, y.at+path, strings.NewReader(body))
	if err != nil {
		y.t.Fatal(err)
	}
	for i := 0; i+1 < len(headers); i += 2 {
		if headers[i] == "Host" {
			r.Host = headers[i+1]
		} else {
			r.Header.Add(headers[i], headers[i+1])
		}
	}
	resp, err := client.Do(r)
	if err != nil {
		y.t.Fatalf("%s %s: %v", method, path, err)
	}
	y.t.Cleanup(func() { resp.Body.Close() })
	return resp
}

// post sends a form, as the page of this server does.
func (y *yard) post(path string, form url.Values, headers ...string) *http.Response {
	y.t.Helper()
	return y.do("POST", path, form.Encode(), append([]string{"Content-Type", "application/x-www-form-urlencoded", "Origin", y.at}, headers...)...)
}

// code is a link's one-time part.
func (y *yard) code() string {
	address, _ := y.s.Invite()
	u, err := url.Parse(address)
	if err != nil {
		y.t.Fatal(err)
	}
	return u.Query().Get("code")
}

// pair pairs a device and returns its cookie.
func (y *yard) pair(name string) *http.Cookie {
	y.t.Helper()
	r := y.post("/pair", url.Values{"code": {y.code()}, "name": {name}})
	if r.StatusCode != http.StatusSeeOther || len(r.Cookies()) != 1 {
		y.t.Fatalf("pairing: %d %s", r.StatusCode, heard(r))
	}
	return r.Cookies()[0]
}

func cookie(c *http.Cookie) string { return c.Name + "=" + c.Value }

// refused fails unless an attack was turned away with one of the statuses, and
// nothing was carried out.
func (y *yard) refused(what string, r *http.Response, statuses ...int) {
	y.t.Helper()
	if !slices.Contains(statuses, r.StatusCode) {
		y.t.Errorf("%s: %d, wanted %v", what, r.StatusCode, statuses)
	}
	if args := y.bench.last(); args != nil {
		y.t.Errorf("%s: %q was carried out", what, args)
	}
}

// TestPairing: the way in that there is.
func TestPairing(t *testing.T) {
	y := newYard(t, Options{})
	c := y.pair("phone")
	if !c.HttpOnly || c.SameSite != http.SameSiteStrictMode || c.Path != "/" || c.Domain != "" || len(c.Value) < 40 {
		t.Errorf("cookie %+v", c)
	}
	if r := y.do("GET", "/api/find", "", "Cookie", cookie(c)); r.StatusCode != 200 || y.bench.last() == nil {
		t.Errorf("paired, and not let in: %d", r.StatusCode)
	}
	sum := sha256.Sum256([]byte(c.Value))
	if all, _ := y.phones.Phones(); len(all) != 1 || all[0].Hash != hex.EncodeToString(sum[:]) || all[0].Name != "phone" {
		t.Errorf("kept %+v", all)
	}
	if again := y.pair("phone"); again.Value == c.Value {
		t.Error("two devices with one cookie")
	}
	if all, _ := y.phones.Phones(); all[1].Name != "phone 2" {
		t.Errorf("two devices of one name: %+v", all)
	}
	if strings.Contains(y.report.String(), c.Value) {
		t.Error("the terminal shows the cookie")
	}
}

// TestAttacks: each is refused, and nothing of it is carried out.
func TestAttacks(t *testing.T) {
	const job = "/api/find"
	for _, a := range []struct {
		name string
		try  func(t *testing.T, y *yard)
	}{
		{"DNS rebinding: another site's name made to point here", func(t *testing.T, y *yard) {
			c := y.pair("phone")
			for _, host := range []string{"evil.example", "evil.example:8173", "127.0.0.2.evil.example", "192.168.1.77", "0.0.0.0", "localhost.evil.example", "127.0.0.2:", "[::2]"} {
				y.refused(host, y.do("GET", job, "", "Host", host, "Cookie", cookie(c)), http.StatusMisdirectedRequest)
			}
		}},
		{"cross-origin POST with the cookie riding along", func(t *testing.T, y *yard) {
			c := y.pair("phone")
			for _, origin := range []string{"http://evil.example", "null", "https://evil.example", "http://127.0.0.2", "http://127.0.0.2:1", y.at + ".evil.example"} {
				y.refused(origin, y.do("POST", "/api/log", `{"words":["4"]}`, "Origin", origin, "Content-Type", "application/json", "Cookie", cookie(c)), http.StatusForbidden)
			}
			for _, site := range []string{"cross-site", "same-site"} {
				y.refused(site, y.do("POST", "/log", "rating=4", "Sec-Fetch-Site", site, "Content-Type", "application/x-www-form-urlencoded", "Cookie", cookie(c)), http.StatusForbidden)
			}
		}},
		{"cross-site GET that would write a suggestion down", func(t *testing.T, y *yard) {
			c := y.pair("phone")
			y.refused("img", y.do("GET", "/api/suggest?words=tee", "", "Sec-Fetch-Site", "cross-site", "Sec-Fetch-Mode", "no-cors", "Cookie", cookie(c)), http.StatusForbidden)
			y.refused("fetch", y.do("GET", "/api/suggest?words=tee", "", "Origin", "http://evil.example", "Cookie", cookie(c)), http.StatusForbidden)
		}},
		{"no pairing", func(t *testing.T, y *yard) {
			for _, path := range []string{"/", "/log", "/find", "/weld/A1", "/phones", "/api/find", "/api/suggest?words=tee", "/api/openapi.yaml", "/nothing", "/api/nothing"} {
				y.refused(path, y.do("GET", path, ""), http.StatusUnauthorized)
			}
			y.refused("POST /api/log", y.do("POST", "/api/log", `{"words":["4"]}`, "Content-Type", "application/json"), http.StatusUnauthorized)
			y.refused("POST /phones", y.post("/phones", url.Values{"name": {"all"}}), http.StatusUnauthorized)
		}},
		{"marks told apart by one who is not paired", func(t *testing.T, y *yard) {
			first := ""
			for i := range 50 {
				y.bench.answer = Result{0, []byte("{}")}
				if i%2 == 1 {
					y.bench.answer = Result{2, []byte(`{"error":{"code":"not_found","message":"x"}}`)}
				}
				r := y.do("GET", fmt.Sprintf("/api/welds/A%d", i+1), "")
				y.refused("mark", r, http.StatusUnauthorized)
				if body := heard(r); first == "" {
					first = body
				} else if body != first {
					t.Errorf("answers differ: %q %q", first, body)
				}
			}
		}},
		{"a forged cookie", func(t *testing.T, y *yard) {
			c := y.pair("phone")
			all, _ := y.phones.Phones()
			for _, value := range []string{"", "x", secret(phoneBytes), c.Value[:len(c.Value)-1], c.Value + "x", strings.ToUpper(c.Value), all[0].Hash, all[0].Name} {
				y.refused(value, y.do("GET", job, "", "Cookie", c.Name+"="+value), http.StatusUnauthorized)
			}
			y.refused("two at once", y.do("GET", job, "", "Cookie", c.Name+"=x; "+cookie(c)), http.StatusUnauthorized)
			y.refused("another name", y.do("GET", job, "", "Cookie", "session="+c.Value), http.StatusUnauthorized)
		}},
		{"an expired cookie", func(t *testing.T, y *yard) {
			c := y.pair("phone")
			y.now = y.now.Add(phoneLasts + time.Second)
			y.refused("old", y.do("GET", job, "", "Cookie", cookie(c)), http.StatusUnauthorized)
		}},
		{"a revoked cookie", func(t *testing.T, y *yard) {
			c, other := y.pair("phone"), y.pair("tablet")
			if r := y.post("/phones", url.Values{"name": {"phone"}}, "Cookie", cookie(other)); r.StatusCode != http.StatusSeeOther {
				t.Fatalf("not revoked: %d", r.StatusCode)
			}
			y.refused("revoked", y.do("GET", job, "", "Cookie", cookie(c)), http.StatusUnauthorized)
			if r := y.do("GET", job, "", "Cookie", cookie(other)); r.StatusCode != 200 {
				t.Errorf("the other was put out too: %d", r.StatusCode)
			}
		}},
		{"an expired link", func(t *testing.T, y *yard) {
			code := y.code()
			y.now = y.now.Add(linkLasts)
			y.refused("late", y.post("/pair", url.Values{"code": {code}}), http.StatusForbidden)
		}},
		{"a link used twice", func(t *testing.T, y *yard) {
			code := y.code()
			if r := y.post("/pair", url.Values{"code": {code}}); r.StatusCode != http.StatusSeeOther {
				t.Fatalf("the first: %d", r.StatusCode)
			}
			r := y.post("/pair", url.Values{"code": {code}})
			y.refused("the second", r, http.StatusForbidden)
			if len(r.Cookies()) > 0 {
				t.Error("a cookie all the same")
			}
		}},
		{"a link used twice at the same moment", func(t *testing.T, y *yard) {
			code := y.code()
			var group sync.WaitGroup
			got := make(chan int, 16)
			for range cap(got) {
				group.Go(func() { got <- y.post("/pair", url.Values{"code": {code}}).StatusCode })
			}
			group.Wait()
			close(got)
			in := 0
			for status := range got {
				if status == http.StatusSeeOther {
					in++
				}
			}
			if all, _ := y.phones.Phones(); in != 1 || len(all) != 1 {
				t.Errorf("%d got in, %d are on the list", in, len(all))
			}
		}},
		{"an older link after a new one", func(t *testing.T, y *yard) {
			code := y.code()
			y.code()
			y.refused("older", y.post("/pair", url.Values{"code": {code}}), http.StatusForbidden)
		}},
		{"a link opened by a preview before its owner", func(t *testing.T, y *yard) {
			code := y.code()
			for range 3 {
				if r := y.do("GET", "/pair?code="+url.QueryEscape(code), ""); r.StatusCode != 200 || len(r.Cookies()) > 0 {
					t.Errorf("looked at: %d, %v", r.StatusCode, r.Cookies())
				}
				y.do("HEAD", "/pair?code="+url.QueryEscape(code), "")
			}
			if r := y.post("/pair", url.Values{"code": {code}}); r.StatusCode != http.StatusSeeOther {
				t.Errorf("used up by looking: %d", r.StatusCode)
			}
		}},
		{"guessing links", func(t *testing.T, y *yard) {
			code := y.code()
			for range wrongOfOne {
				y.refused("guess", y.post("/pair", url.Values{"code": {secret(linkBytes)}}), http.StatusForbidden)
			}
			y.refused("even the right one", y.post("/pair", url.Values{"code": {code}}), http.StatusTooManyRequests)
			y.now = y.now.Add(lockedFor + time.Second)
			if r := y.post("/pair", url.Values{"code": {y.code()}}); r.StatusCode != http.StatusSeeOther {
				t.Errorf("locked out for good: %d", r.StatusCode)
			}
		}},
		{"a wrong, an old and a used link, only looked at", func(t *testing.T, y *yard) {
			look := func(code string) *http.Response {
				return y.do("GET", "/pair?code="+url.QueryEscape(code), "", "Accept", "text/html")
			}
			used, old := y.code(), ""
			if r := y.post("/pair", url.Values{"code": {used}}); r.StatusCode != http.StatusSeeOther {
				t.Fatalf("pairing: %d", r.StatusCode)
			}
			old = y.code()
			y.code()
			var said []string
			for what, code := range map[string]string{"wrong": secret(linkBytes), "used": used, "old": old, "cut off": used[:len(used)-1], "none": ""} {
				r := look(code)
				y.refused(what, r, http.StatusForbidden)
				page := heard(r)
				if strings.Contains(page, `name="name"`) {
					t.Errorf("a %s link is asked what the device is called: %s", what, page)
				}
				said = append(said, strings.ReplaceAll(page, url.QueryEscape(code), ""))
			}
			for _, page := range said[1:] {
				if page != said[0] {
					t.Errorf("what is wrong with a link is told:\n%s\n%s", said[0], page)
				}
			}
		}},
		{"guessing links by looking at them", func(t *testing.T, y *yard) {
			code := y.code()
			for range wrongOfOne {
				y.refused("guess", y.do("GET", "/pair?code="+secret(linkBytes), ""), http.StatusForbidden)
			}
			y.refused("looking at the right one", y.do("GET", "/pair?code="+url.QueryEscape(code), ""), http.StatusTooManyRequests)
			y.refused("using the right one", y.post("/pair", url.Values{"code": {code}}), http.StatusTooManyRequests)
		}},
		{"pairing by the address alone, with the code in the query", func(t *testing.T, y *yard) {
			y.refused("query", y.post("/pair?code="+url.QueryEscape(y.code()), url.Values{}), http.StatusForbidden)
		}},
		{"pairing from another site's page", func(t *testing.T, y *yard) {
			y.refused("form", y.do("POST", "/pair", url.Values{"code": {y.code()}}.Encode(), "Content-Type", "application/x-www-form-urlencoded", "Origin", "http://evil.example"), http.StatusForbidden)
		}},
		{"cookie fixation: the cookie of the attacker's choice", func(t *testing.T, y *yard) {
			mine := "beadwright=" + strings.Repeat("a", 43)
			r := y.post("/pair", url.Values{"code": {y.code()}}, "Cookie", mine)
			if r.StatusCode != http.StatusSeeOther || r.Cookies()[0].Value == strings.Repeat("a", 43) {
				t.Fatalf("%d %v", r.StatusCode, r.Cookies())
			}
			y.refused("fixed", y.do("GET", job, "", "Cookie", mine), http.StatusUnauthorized)
		}},
		{"path traversal among the files", func(t *testing.T, y *yard) {
			c := y.pair("phone")
			for _, path := range []string{"/static/../guard.go", "/static/%2e%2e/guard.go", "/static/..%2fguard.go", "/static/..%5cguard.go", "/static//etc/passwd", "/static/%2fetc%2fpasswd", "/static/", "/static", "/static/page.js%00.css", "/static/....//guard.go", "/templates/layout.html", "/.git/config", "/%2e%2e/%2e%2e/etc/passwd"} {
				r := y.do("GET", path, "", "Cookie", cookie(c))
				y.refused(path, r, 400, 404, 301, 307)
				if body := heard(r); strings.Contains(body, "package web") || strings.Contains(body, "root:") || strings.Contains(body, "<pre>\n<a ") {
					t.Errorf("%s: %.100s", path, body)
				}
				if to := r.Header.Get("Location"); to != "" && !strings.HasPrefix(to, "/") {
					t.Errorf("%s leads to %s", path, to)
				}
			}
		}},
		{"path traversal by a mark", func(t *testing.T, y *yard) {
			c := y.pair("phone")
			for _, mark := range []string{"..%2f..%2fetc%2fpasswd", "%2fetc%2fpasswd", "..%5c..", "--photo=%2fetc%2fpasswd", "-h"} {
				y.do("GET", "/api/welds/"+mark, "", "Cookie", cookie(c))
				said, _ := url.PathUnescape(mark)
				if args := y.bench.last(); !slices.Equal(args, []string{"show", "--", said}) {
					t.Errorf("%s: %q", mark, args)
				}
			}
		}},
		{"flags smuggled in as words, values and keys", func(t *testing.T, y *yard) {
			c := y.pair("phone")
			for _, w := range sly {
				body := fmt.Sprintf(`{"words":[%q],"note":%q}`, w, w)
				if r := y.do("POST", "/api/log", body, "Content-Type", "application/json", "Cookie", cookie(c)); r.StatusCode == 400 {
					continue // not JSON
				}
				if args := y.bench.last(); len(args) != 4 || args[0] != "log" || !strings.HasPrefix(args[1], "--note=") || args[2] != "--" {
					t.Errorf("%q: %q", w, args)
				}
			}
			for _, key := range []string{"notebook", "json", "photo", "rows", "batch", "help", "--notebook", "note=x --photo"} {
				y.refused(key, y.do("POST", "/api/log", fmt.Sprintf(`{%q:"x"}`, key), "Content-Type", "application/json", "Cookie", cookie(c)), 400)
				y.refused(key, y.do("GET", "/api/suggest?"+url.Values{key: {"x"}}.Encode(), "", "Cookie", cookie(c)), 400)
			}
		}},
		{"flags smuggled in by the forms of the pages", func(t *testing.T, y *yard) {
			c := y.pair("phone")
			for _, w := range sly {
				for _, form := range []struct {
					path   string
					values url.Values
				}{
					{"/log", url.Values{"rating": {w}, "words": {w}, "note": {w}, "tap": {w}, "knob": {w}, "symptom": {w}, "from": {w}, "token": {w}, "test": {w}, "result": {w}, "machine": {w}}},
					{"/duty", url.Values{"do": {w}, "machine": {w}, "after": {w}}}, {"/wire", url.Values{"name": {w}}}, {"/weld/A1", url.Values{"note": {w}, "rating": {w}, "symptom": {w}, "test": {w}, "result": {w}}},
					{"/strike/A1", url.Values{"why": {w}}}, {"/machine/x", url.Values{"name": {w}, "use": {w}}},
					{"/weld/A1", url.Values{"machine": {w}, "thickness": {w}, "joint": {w}, "position": {w}, "tap": {w}, "wire-speed": {w}, "not-symptom": {w}}}, {"/strike/A1", url.Values{"do": {"back"}, "why": {w}}},
					{"/machines", url.Values{"name": {w}, "taps": {w}, "taps_named": {w}, "output": {w}, "rated": {w}, "duty": {w}, "input": {w}, "breaker": {w}, "rebuilt": {w}, "knob": {w}, "max": {w}, "input-amps": {w}, "cord": {w}, "note": {w}, "process": {w}}},
					{"/machine/x/set", url.Values{"taps": {w}, "taps_named": {w}, "output": {w}, "rated": {w}, "duty": {w}, "input": {w}, "breaker": {w}, "knob": {w}, "max": {w}, "input-amps": {w}, "cord": {w}, "process": {w}}},
					{"/machine/x/change", url.Values{"what": {w}, "output": {w}, "rebuilt": {w}}}, {"/machine/x/change", url.Values{"rebuilt": {"now"}, "output": {w}, "state": {w}}}, {"/machine/x/change", url.Values{"rebuilt": {"before"}}},
					{"/machine/x/strike", url.Values{"do": {w}}}, {"/machine/x/rename", url.Values{"name": {w}}}, {"/wire/strike", url.Values{"name": {w}, "do": {w}}}, {"/wire/rename", url.Values{"of": {w}, "name": {w}}},
					{"/machine/x/rebuilt", url.Values{"ac": {w}, "capacitors": {w}, "cap-volts": {w}, "ripple-amps": {w}, "bleeder": {w}, "bleeder-watts": {w}, "diode": {w}, "rectifier": {w}, "fan": {w}, "thermostat": {w}, "mains": {w}, "note": {w}}},
					{"/machine/x/measure", url.Values{"tap": {w}, "open": {w}, "load": {w}, "amps": {w}, "knob": {w}}}, {"/machine/x/measure", url.Values{"do": {"undo"}, "number": {w, w}}},
					{"/machine/x/knob", url.Values{"tap": {w}, "mark": {w}, "length": {w}, "seconds": {w}}}, {"/machine/x/knob", url.Values{"do": {"undo"}, "number": {w}}},
					{"/procedures", url.Values{"name": {w}, "from": {w}, "for": {w}}}, {"/wire/add", url.Values{"size": {w}, "class": {w}, "wire": {w}, "weight": {w}, "name": {w}}}, {"/blind", url.Values{"picture": {w}, "rating": {w}, "note": {w}, "older": {w}}},
				} {
					y.bench.mu.Lock()
					y.bench.asked = nil
					y.bench.mu.Unlock()
					y.post(form.path, form.values, "Cookie", cookie(c))
					y.held(form.path, w)
				}
				for _, path := range []string{"/?words=", "/find?words=", "/remedy?words=", "/weld/", "/machine/", "/log?saved=", "/log?from=", "/blind?done=", "/blind?older=", "/machine/x/knob?mark=", "/machine/x/knob?wrote=", "/machine/x/measure?wrote=", "/machines/add?name=", "/?joint=", "/find?joint=", "/remedy?from="} {
					y.bench.mu.Lock()
					y.bench.asked = nil
					y.bench.mu.Unlock()
					y.do("GET", path+strings.ReplaceAll(url.QueryEscape(w), "+", "%20"), "", "Cookie", cookie(c))
					y.held(path, w)
				}
			}
		}},
		{"an oversized body", func(t *testing.T, y *yard) {
			c := y.pair("phone")
			y.refused("object", y.do("POST", "/api/log", `{"note":"`+strings.Repeat("x", formBytes)+`"}`, "Content-Type", "application/json", "Cookie", cookie(c)), http.StatusRequestEntityTooLarge)
			r := y.post("/log", url.Values{"rating": {"4"}, "note": {strings.Repeat("x", formBytes)}}, "Cookie", cookie(c))
			if args := y.bench.last(); slices.Contains(args, "log") && r.StatusCode < 400 {
				t.Errorf("form: %d", r.StatusCode)
			}
		}},
		{"a body without an end", func(t *testing.T, y *yard) {
			c := y.pair("phone")
			req, _ := http.NewRequest("POST", y.at+"/api/log", io.MultiReader(strings.NewReader(`{"note":"`), endless{}))
			req.Header.Set("Content-Type", "application/json")
			req.Header.Set("Cookie", cookie(c))
			r, err := client.Do(req)
			if err == nil { // cut off is as good
				y.refused("endless", r, http.StatusRequestEntityTooLarge)
				r.Body.Close()
			}
			if args := y.bench.last(); args != nil {
				t.Errorf("%q", args)
			}
		}},
		{"headers without an end", func(t *testing.T, y *yard) {
			conn, err := net.Dial("tcp", y.host)
			if err != nil {
				t.Fatal(err)
			}
			defer conn.Close()
			fmt.Fprintf(conn, "GET %s HTTP/1.1\r\nHost: %s\r\n", job, y.host)
			_, err = io.Copy(conn, io.LimitReader(endless{}, 4<<20))
			if err == nil {
				r, err := http.ReadResponse(bufio.NewReader(conn), nil)
				if err == nil && r.StatusCode != http.StatusRequestHeaderFieldsTooLarge && r.StatusCode != http.StatusBadRequest {
					t.Errorf("%d", r.StatusCode)
				}
			}
			if args := y.bench.last(); args != nil {
				t.Errorf("%q", args)
			}
		}},
		{"slow headers, slow bodies, and one who never reads", func(t *testing.T, y *yard) {
			h := y.s.HTTP()
			if h.ReadHeaderTimeout <= 0 || h.ReadHeaderTimeout > 10*time.Second || h.ReadTimeout <= 0 || h.WriteTimeout <= 0 || h.IdleTimeout <= 0 || h.MaxHeaderBytes > 64<<10 || h.MaxHeaderBytes <= 0 {
				t.Errorf("%+v", h)
			}
		}},
		{"method confusion", func(t *testing.T, y *yard) {
			c := y.pair("phone")
			for _, m := range []string{"DELETE", "PUT", "TRACE", "OPTIONS", "CONNECTX", "POST"} {
				y.refused(m, y.do(m, "/api/welds/A1", "", "Cookie", cookie(c)), 405)
			}
			y.refused("GET that writes", y.do("GET", "/api/log?words=4", "", "Cookie", cookie(c)), 405)
			y.refused("overridden", y.do("GET", "/api/welds/A1/strike", "", "Cookie", cookie(c), "X-HTTP-Method-Override", "POST"), 405)
			y.refused("overridden in a form", y.post("/api/welds/A1", url.Values{"_method": {"PATCH"}}, "Cookie", cookie(c)), 405)
		}},
		{"the wrong content type, which another site's form could send", func(t *testing.T, y *yard) {
			c := y.pair("phone")
			for _, kind := range []string{"text/plain", "application/x-www-form-urlencoded", "multipart/form-data; boundary=x", "", "application/jsonx", "text/json"} {
				y.refused(kind, y.do("POST", "/api/log", `{"words":["4"]}`, "Content-Type", kind, "Cookie", cookie(c)), http.StatusUnsupportedMediaType)
			}
		}},
		{"a file that is two things at once", func(t *testing.T, y *yard) {
			c := y.pair("phone")
			var b bytes.Buffer
			w := multipart.NewWriter(&b)
			_ = w.WriteField("rating", "4")
			f, _ := w.CreateFormFile("photo", "../../bead.jpg.html")
			_, _ = f.Write([]byte("GIF89a/*<script>alert(1)</script>*/=1;"))
			w.Close()
			y.do("POST", "/log", b.String(), "Content-Type", w.FormDataContentType(), "Origin", y.at, "Cookie", cookie(c))
			y.bench.mu.Lock()
			defer y.bench.mu.Unlock()
			for _, args := range y.bench.asked {
				for _, arg := range args {
					if strings.Contains(arg, "bead.jpg") || strings.Contains(arg, "..") {
						t.Errorf("the sender named a file: %q", args)
					}
				}
			}
			y.bench.asked = nil
		}},
		{"JSON said twice, or with what nobody knows", func(t *testing.T, y *yard) {
			c := y.pair("phone")
			for _, body := range []string{`{"rating":5,"rating":1}`, `{"rating":5,"ratings":1}`, `{"rating":{"a":1}}`, `{"rating":5}{"rating":1}`} {
				y.refused(body, y.do("POST", "/api/log", body, "Content-Type", "application/json", "Cookie", cookie(c)), 400)
			}
			y.refused("query", y.do("GET", "/api/suggest?joint=tee&joint=lap", "", "Cookie", cookie(c)), 400)
			y.refused("semicolon", y.do("GET", "/api/suggest?joint=tee;joint=lap", "", "Cookie", cookie(c)), 400)
		}},
		{"the cookie over http where there is https", func(t *testing.T, y *yard) {
			tls := newYard(t, Options{TLS: true})
			r := tls.post("/pair", url.Values{"code": {tls.code()}})
			if c := r.Cookies(); len(c) != 1 || !c[0].Secure || !strings.HasPrefix(c[0].Name, "__Host-") || c[0].Domain != "" || c[0].Path != "/" {
				t.Errorf("%+v", c)
			}
			if r.Header.Get("Strict-Transport-Security") == "" {
				t.Error("https is not kept to")
			}
			c := y.pair("phone") // and one got over http is worth nothing there
			tls.refused("http cookie", tls.do("GET", job, "", "Cookie", cookie(c)), http.StatusUnauthorized)
		}},
		{"a frame around the page, and what the browser may load", func(t *testing.T, y *yard) {
			c := y.pair("phone")
			for _, path := range []string{"/", "/log", "/api/find", "/static/style.css", "/nothing", "/pair"} {
				for _, as := range []string{"", cookie(c)} {
					h := y.do("GET", path, "", "Cookie", as).Header
					csp := h.Get("Content-Security-Policy")
					for _, want := range []string{"default-src 'none'", "frame-ancestors 'none'", "base-uri 'none'", "form-action 'self'", "script-src 'self';", "style-src 'self';"} {
						if !strings.Contains(csp, want) {
							t.Errorf("%s: %s is missing in %q", path, want, csp)
						}
					}
					if strings.Contains(csp, "unsafe") || strings.Contains(csp, "*") || h.Get("X-Frame-Options") != "DENY" || h.Get("Permissions-Policy") == "" || h.Get("Referrer-Policy") == "" || h.Get("Access-Control-Allow-Origin") != "" {
						t.Errorf("%s: %v", path, h)
					}
				}
			}
			y.bench.last()
		}},
		{"MIME sniffing", func(t *testing.T, y *yard) {
			c := y.pair("phone")
			for path, kind := range map[string]string{"/api/find": "application/json", "/static/style.css": "text/css; charset=utf-8", "/static/page.js": "text/javascript; charset=utf-8", "/api/openapi.yaml": "application/yaml", "/log": "text/html; charset=utf-8"} {
				h := y.do("GET", path, "", "Cookie", cookie(c)).Header
				if h.Get("X-Content-Type-Options") != "nosniff" || h.Get("Content-Type") != kind {
					t.Errorf("%s: %s, %s", path, h.Get("X-Content-Type-Options"), h.Get("Content-Type"))
				}
			}
			y.bench.last()
		}},
		{"script in what was written down", func(t *testing.T, y *yard) {
			c := y.pair("phone")
			const bad = `<script>alert(1)</script>"><img src=x onerror=alert(1)>`
			y.bench.answer = Result{0, fmt.Appendf(nil, `{"weld":{"mark":"A1","at":"2026-05-01T12:00:00Z","said":%[1]q,"spool":%[1]q,"struck":%[1]q,"job":{"said":%[1]q,"for":%[1]q,"machine":%[1]q},"settings":{"tap":%[1]q,"technique":%[1]q},"outcome":{"note":%[1]q,"symptoms":[%[1]q]}},
				"welds":[{"mark":"A1","job":{"said":%[1]q,"for":%[1]q},"outcome":{"note":%[1]q}}],"total":1,"amendments":[{"field":%[1]q,"old":%[1]q,"new":%[1]q}],"machines":[{"name":%[1]q,"note":%[1]q}],"spools":[{"name":%[1]q,"note":%[1]q}],"machine":{"name":%[1]q,"note":%[1]q}}`, bad)}
			for _, path := range []string{"/weld/A1", "/find?words=tee", "/log", "/log?saved=A1", "/machines", "/wire", "/machine/x", "/machine/x/set", "/machine/x/change", "/machine/x/rebuilt", "/machine/x/measure", "/machine/x/measure?wrote=" + url.QueryEscape(bad), "/machine/x/knob", "/machine/x/knob?tap=" + url.QueryEscape(bad) + "&mark=" + url.QueryEscape(bad), "/find?words=" + url.QueryEscape(bad), "/?words=" + url.QueryEscape(bad), "/pair?code=" + url.QueryEscape(bad), "/weld/" + url.PathEscape(bad), "/remedy?words=" + url.QueryEscape(bad)} {
				body := heard(y.do("GET", path, "", "Cookie", cookie(c)))
				if strings.Contains(body, "<script>alert") || strings.Contains(body, "<img src=x") {
					i := strings.Index(body, "alert(1)")
					t.Errorf("%s: ...%s...", path, body[max(0, i-80):min(len(body), i+80)])
				}
			}
			y.bench.last()
		}},
		{"script in the name of a device", func(t *testing.T, y *yard) {
			c := y.pair(`<script>alert(1)</script>`)
			if body := heard(y.do("GET", "/phones", "", "Cookie", cookie(c))); strings.Contains(body, "<script>alert") || !strings.Contains(body, "&lt;script&gt;") {
				t.Errorf("%.2000s", body)
			}
		}},
		{"header injection", func(t *testing.T, y *yard) {
			c := y.pair("phone")
			for _, r := range []*http.Response{
				y.post("/theme", url.Values{"theme": {"dark\r\nSet-Cookie: a=b"}, "back": {"/\r\nSet-Cookie: a=b"}}, "Cookie", cookie(c)),
				y.post("/phones", url.Values{"name": {"x\r\nSet-Cookie: a=b"}}, "Cookie", cookie(c)),
				y.do("GET", "/weld/A1%0d%0aSet-Cookie:%20a=b", "", "Cookie", cookie(c)),
				y.do("GET", "/?words=%0d%0aSet-Cookie:%20a=b", "", "Cookie", cookie(c)),
			} {
				for _, got := range r.Cookies() {
					if got.Name == "a" {
						t.Errorf("%v", r.Header)
					}
				}
			}
			y.bench.last()
		}},
		{"an open redirection", func(t *testing.T, y *yard) {
			c := y.pair("phone")
			for _, back := range []string{"//evil.example", "https://evil.example", `/\evil.example`, "javascript:alert(1)", "/\t/evil.example", "///evil.example"} {
				to := y.post("/theme", url.Values{"back": {back}}, "Cookie", cookie(c)).Header.Get("Location")
				if u, err := url.Parse(to); err != nil || u.Host != "" || u.Scheme != "" || strings.HasPrefix(to, "//") || strings.Contains(to, "evil") && !strings.HasPrefix(to, "/%09") {
					t.Errorf("%q leads to %q", back, to)
				}
			}
		}},
		{"lines of its own in the terminal", func(t *testing.T, y *yard) {
			y.pair("x\r\nbeadwright: all is well\x1b[2J\x1b]0;owned\x07\u202e\u0085")
			y.report.WriteString("")
			for line := range strings.Lines(y.report.String()) {
				if !strings.HasPrefix(line, "paired: ") || strings.ContainsAny(line, "\x1b\r\x07\u202e\u0085") {
					t.Errorf("%q", line)
				}
			}
		}},
		{"a device called all", func(t *testing.T, y *yard) {
			y.pair("all")
			if all, _ := y.phones.Phones(); all[0].Name == "all" {
				t.Error("to take it off the list would take all off")
			}
		}},
		{"a fault of the program that would show its inside", func(t *testing.T, y *yard) {
			s := New(&recorder{}, Options{Report: &y.report})
			h := s.guarded(http.HandlerFunc(func(http.ResponseWriter, *http.Request) { panic("the note of the user: secret") }))
			r := send(h, "GET", "/api/find", "")
			if body := heard(r); r.StatusCode != 500 || strings.Contains(body, "secret") || strings.Contains(body, "goroutine") || strings.Contains(body, ".go") {
				t.Errorf("%d %s", r.StatusCode, body)
			}
			if said := y.report.String(); strings.Contains(said, "secret") || !strings.Contains(said, "security_test") && !strings.Contains(said, "web.") {
				t.Errorf("the terminal: %s", said)
			}
		}},
		{"too many at once", func(t *testing.T, y *yard) {
			hold := make(chan struct{})
			in := make(chan struct{}, seats)
			s := New(&recorder{}, Options{})
			h := s.guarded(http.HandlerFunc(func(http.ResponseWriter, *http.Request) { in <- struct{}{}; <-hold }))
			var group sync.WaitGroup
			for range seats {
				group.Go(func() { send(h, "GET", "/api/find", "") })
			}
			for range seats {
				<-in
			}
			if r := send(h, "GET", "/api/find", ""); r.StatusCode != http.StatusServiceUnavailable {
				t.Errorf("one more: %d", r.StatusCode)
			}
			close(hold)
			group.Wait()
			if r := send(s, "GET", "/api/find", ""); r.StatusCode != 200 {
				t.Errorf("afterwards: %d", r.StatusCode)
			}
		}},
		{"the loopback's freedom claimed from the network", func(t *testing.T, y *yard) {
			for _, h := range []string{"X-Forwarded-For", "X-Real-IP", "Forwarded", "X-Forwarded-Host"} {
				y.refused(h, y.do("GET", job, "", h, "127.0.0.1"), http.StatusUnauthorized)
			}
			y.refused("Host", y.do("GET", job, "", "Host", "localhost"), http.StatusUnauthorized)
			y.refused("Host", y.do("GET", job, "", "Host", "127.0.0.1"), http.StatusUnauthorized)
		}},
		{"two lengths for one body", func(t *testing.T, y *yard) {
			c := y.pair("phone")
			conn, err := net.Dial("tcp", y.host)
			if err != nil {
				t.Fatal(err)
			}
			defer conn.Close()
			fmt.Fprintf(conn, "POST /api/log HTTP/1.1\r\nHost: %s\r\nCookie: %s\r\nContent-Type: application/json\r\nContent-Length: 2\r\nContent-Length: 17\r\n\r\n{\"words\":[\"4\"]}xx", y.host, cookie(c))
			r, err := http.ReadResponse(bufio.NewReader(conn), nil)
			if err == nil {
				y.refused("two lengths", r, 400)
			} else if !errors.Is(err, io.EOF) && !errors.Is(err, io.ErrUnexpectedEOF) {
				t.Log(err)
			}
		}},
	} {
		t.Run(a.name, func(t *testing.T) { a.try(t, newYard(t, Options{})) })
	}
}

// held fails where a word from outside became a flag, a command or a file in
// anything that was asked of the bench.
func (y *yard) held(path, word string) {
	y.t.Helper()
	y.bench.mu.Lock()
	defer y.bench.mu.Unlock()
	for _, args := range y.bench.asked {
		behind := false
		for i, arg := range args {
			switch {
			case behind:
			case arg == "--":
				behind = true
			case slices.Contains([]string{"--blind", "--kept", "--back", "--struck"}, arg): // which the handlers write, and no sly word is
			case strings.HasPrefix(arg, "--"):
				name, _, valued := strings.Cut(arg, "=")
				if !valued || slices.Contains([]string{"--notebook", "--json", "--batch", "--photo", "--rows", "--help"}, name) {
					y.t.Errorf("%s with %q: %q", path, word, args)
				}
			case i > 2 || strings.HasPrefix(arg, "-") || strings.ContainsAny(arg, "/ .\n\x00=") || arg == "":
				y.t.Errorf("%s with %q: %q", path, word, args)
			}
		}
	}
	y.bench.asked = nil
}

// endless is a header, or a text, without an end.
type endless struct{}

func (endless) Read(b []byte) (int, error) {
	for i := range b {
		b[i] = 'x'
	}
	return len(b), nil
}

// TestLimit: who guesses is locked out alone, unless many guess together.
func TestLimit(t *testing.T) {
	now := time.Date(2026, 5, 1, 12, 0, 0, 0, time.UTC)
	l := newLimit(func() time.Time { return now })
	one, two := netip.MustParseAddr("192.168.1.7"), netip.MustParseAddr("192.168.1.8")
	for range wrongOfOne {
		l.missed(one)
	}
	if !l.locked(one) || !l.locked(netip.MustParseAddr("::ffff:192.168.1.7")) || l.locked(two) {
		t.Error("the one who guessed is to be locked out, alone")
	}
	for i := range wrongOfOne {
		l.missed(netip.MustParseAddr(fmt.Sprintf("fd00::%x", i+1)))
	}
	if !l.locked(netip.MustParseAddr("fd00::ffff")) {
		t.Error("a network of addresses is one guesser")
	}
	for i := range wrongOfAll {
		l.missed(netip.AddrFrom4([4]byte{10, 0, byte(i), 1}))
	}
	if !l.locked(two) {
		t.Error("many guessers together are locked out")
	}
	for i := range 3 * addressesAt {
		l.missed(netip.AddrFrom4([4]byte{10, byte(i >> 8), byte(i), 1}))
	}
	if len(l.from) > addressesAt {
		t.Errorf("%d addresses are remembered", len(l.from))
	}
	now = now.Add(lockedFor + time.Second)
	if l.locked(one) || l.locked(two) {
		t.Error("locked out for good")
	}
}

// TestAlone: without --lan this computer needs no pairing, and there is none.
func TestAlone(t *testing.T) {
	b := &recorder{}
	s := New(b, Options{})
	if r := send(s, "GET", "/api/find", ""); r.StatusCode != 200 {
		t.Errorf("%d", r.StatusCode)
	}
	for _, method := range []string{"GET", "POST"} {
		if r := send(s, method, "/pair", ""); r.StatusCode != http.StatusNotFound || len(r.Cookies()) > 0 {
			t.Errorf("%s /pair: %d", method, r.StatusCode)
		}
	}
	for _, host := range []string{"localhost", "LOCALHOST:8173", "127.0.0.1", "[::1]:8173", "[::1]"} {
		if r := send(s, "GET", "/api/find", "", func(r *http.Request) { r.Host = host }); r.StatusCode != 200 {
			t.Errorf("%s: %d", host, r.StatusCode)
		}
	}
	named := New(b, Options{Hosts: []string{"shed.lan"}})
	if r := send(named, "GET", "/api/find", "", func(r *http.Request) { r.Host = "Shed.lan:8173" }); r.StatusCode != 200 {
		t.Errorf("named: %d", r.StatusCode)
	}
}

// TestNothingInline: no page has a script or a style of its own, which the
// browser would not run.
func TestNothingInline(t *testing.T) {
	names, err := filepath.Glob("templates/*.html")
	if err != nil || len(names) == 0 {
		t.Fatal(err)
	}
	for _, name := range names {
		body, err := files.ReadFile(filepath.ToSlash(name))
		if err != nil {
			t.Fatal(err)
		}
		page := strings.ToLower(string(body))
		for _, bad := range []string{"<style", " style=", " onclick=", " onload=", " onerror=", " onsubmit=", "javascript:", "<script>", "http://", "https://", "<iframe", "<base"} {
			if strings.Contains(page, bad) {
				t.Errorf("%s: %q", name, bad)
			}
		}
	}
}
