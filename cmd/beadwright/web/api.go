package web

import (
	_ "embed"
	"encoding/json"
	"errors"
	"mime"
	"net/http"
	"net/url"
	"slices"
	"strings"
)

// openAPI describes every route under /api/, what it takes and what it answers.
//
//go:embed openapi.yaml
var openAPI []byte

// apiError is an error as --json shows it.
type apiError struct {
	Code    string `json:"code"`
	Field   string `json:"field"`
	Message string `json:"message"`
	Hint    string `json:"hint"`
}

// route is one way to ask for a command. Everything that may be said is listed:
// values become flags by name, the words and what the path holds stand behind
// "--". A name in JSON and in a query has "_" where the flag has "-".
type route struct {
	method, path string
	command      []string // as written on a command line
	status       int      // where all went well; 0: 200
	named        []string // wildcards of the path, in the order in which the command takes them
	flags        []string // with one value
	lists        []string // that may be given several times
	switches     []string // true or false
	words        bool     // free words
}

// api adds every route of the API.
func (s *Server) api(mux *http.ServeMux) {
	for _, rt := range routes() {
		mux.HandleFunc(rt.method+" "+rt.path, func(w http.ResponseWriter, r *http.Request) { s.carry(w, r, rt) })
	}
	mux.HandleFunc("GET /api/openapi.yaml", func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "application/yaml")
		w.Header().Set("Cache-Control", "no-cache")
		_, _ = w.Write(openAPI)
	})
	mux.HandleFunc("/api/", func(w http.ResponseWriter, r *http.Request) {
		for _, rt := range routes() { // known by another method?
			probe := *r
			probe.Method = rt.method
			if _, pattern := mux.Handler(&probe); pattern == rt.method+" "+rt.path {
				w.Header().Add("Allow", rt.method)
			}
		}
		if allow := w.Header().Values("Allow"); len(allow) > 0 {
			w.Header().Set("Allow", strings.Join(slices.Compact(allow), ", "))
			writeError(w, http.StatusMethodNotAllowed, apiError{Code: "not_understood", Message: "not by this method", Hint: "accepted: " + w.Header().Get("Allow")})
			return
		}
		writeError(w, http.StatusNotFound, apiError{Code: "not_found", Message: "there is no such address", Hint: "what there is: /api/openapi.yaml"})
	})
}

// carry turns a request into its command and answers with what that says.
func (s *Server) carry(w http.ResponseWriter, r *http.Request, rt route) {
	args, bad := rt.args(r)
	if bad != nil {
		status := bad.status
		if status == 0 {
			status = http.StatusBadRequest
		}
		writeError(w, status, bad.apiError)
		return
	}
	res := s.carryOut(r, args...)
	w.Header().Set("Content-Type", "application/json")
	w.Header().Set("Cache-Control", "no-store")
	w.WriteHeader(rt.answer(res))
	_, _ = w.Write(res.JSON)
}

// answer is the HTTP status for the exit status of a command.
func (rt route) answer(res Result) int {
	switch res.Status {
	case 0:
		if rt.status != 0 {
			return rt.status
		}
		return http.StatusOK
	case 3: // no settings on purpose is an answer
		return http.StatusOK
	}
	var e struct{ Error apiError }
	_ = json.Unmarshal(res.JSON, &e)
	switch {
	case e.Error.Code == "not_found":
		return http.StatusNotFound
	case res.Status == 2:
		return http.StatusBadRequest
	case e.Error.Code == "locked":
		return http.StatusServiceUnavailable
	case e.Error.Code == "full":
		return http.StatusInsufficientStorage
	}
	return http.StatusInternalServerError
}

// refusal is a request that does not become a command.
type refusal struct {
	apiError
	status int // 0: 400
}

func refused(field, message, hint string) *refusal {
	return &refusal{apiError: apiError{Code: "not_understood", Field: field, Message: message, Hint: hint}}
}

// args is the command line of a request. It is the one place where what comes from
// outside becomes an argument.
func (rt route) args(r *http.Request) ([]string, *refusal) {
	said, bad := rt.said(r)
	if bad != nil {
		return nil, bad
	}
	args := slices.Clone(rt.command)
	for _, name := range append([]string{"units"}, rt.flags...) {
		key := under(name)
		if v, ok := said[key]; ok {
			if len(v) != 1 {
				return nil, refused(key, "said more than once", "say it once")
			}
			args = append(args, "--"+name+"="+v[0])
			delete(said, key)
		}
	}
	for _, name := range rt.lists {
		for _, v := range said[under(name)] {
			args = append(args, "--"+name+"="+v)
		}
		delete(said, under(name))
	}
	for _, name := range rt.switches {
		if v, ok := said[under(name)]; ok {
			if len(v) != 1 || v[0] != "true" && v[0] != "false" {
				return nil, refused(under(name), "neither true nor false", "accepted: true, false")
			}
			args = append(args, "--"+name+"="+v[0])
			delete(said, under(name))
		}
	}
	args = append(args, "--")
	for _, name := range rt.named {
		args = append(args, r.PathValue(name))
	}
	if rt.words {
		args = append(args, said["words"]...)
		delete(said, "words")
	}
	for key := range said {
		return nil, refused(plain(key, 40), "not something to say here", "accepted: "+strings.Join(rt.keys(), ", "))
	}
	return args, nil
}

// said is what a request says, by key: of a question in the query, of anything else
// in one JSON object. An empty value of a query, as a form sends it, is not said.
func (rt route) said(r *http.Request) (map[string][]string, *refusal) {
	query, err := url.ParseQuery(r.URL.RawQuery)
	if err != nil {
		return nil, refused("", "the query cannot be read", "write it as name=value&name=value, with % and two hex digits for every other sign")
	}
	if rt.method == http.MethodGet {
		for key, values := range query {
			if values = slices.DeleteFunc(values, func(v string) bool { return v == "" }); len(values) == 0 {
				delete(query, key)
			} else {
				query[key] = values
			}
		}
		return query, nil
	}
	if len(query) > 0 {
		return nil, refused("", "something is said in the address", "say it in the JSON object that is sent")
	}
	kind, _, err := mime.ParseMediaType(r.Header.Get("Content-Type"))
	if err != nil || kind != "application/json" {
		if r.ContentLength == 0 {
			return map[string][]string{}, nil
		}
		bad := refused("", "not sent as JSON", "send one JSON object, with Content-Type: application/json")
		bad.status = http.StatusUnsupportedMediaType
		return nil, bad
	}
	said, err := readObject(r.Body, append(under2(rt.lists), "words"))
	var large *http.MaxBytesError
	var unfit *unfitError
	switch {
	case errors.As(err, &large):
		bad := refused("", "more was sent than is taken", "up to 1 MB")
		bad.status = http.StatusRequestEntityTooLarge
		return nil, bad
	case errors.As(err, &unfit):
		return nil, refused(unfit.key, unfit.problem, "send one JSON object whose values are words, numbers, true or false; lists only where several may be said")
	case err != nil:
		return nil, refused("", "not JSON", "send one JSON object")
	}
	return said, nil
}

// under is the key of a flag.
func under(flag string) string { return strings.ReplaceAll(flag, "-", "_") }

func under2(flags []string) []string {
	keys := make([]string, len(flags))
	for i, f := range flags {
		keys[i] = under(f)
	}
	return keys
}

// keys are what may be said, for a hint.
func (rt route) keys() []string {
	keys := under2(slices.Concat(rt.flags, rt.lists, rt.switches))
	if rt.words {
		keys = append(keys, "words")
	}
	return append(keys, "units")
}

func writeError(w http.ResponseWriter, status int, e apiError) {
	writeJSON(w, status, map[string]any{"error": map[string]any{"code": e.Code, "field": orNull(e.Field), "message": e.Message, "hint": orNull(e.Hint)}})
}

// orNull is null for a word that is not known, as --json has it.
func orNull(s string) any {
	if s == "" {
		return nil
	}
	return s
}
