package web

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"html/template"
	"io/fs"
	"net/http"
	"path"
	"slices"
	"strings"
	"sync"

	"beadwright/procedures"
	"beadwright/recommend/caution"
)

//go:embed templates static
var files embed.FS

// page is what every page hands to the layout.
type page struct {
	Title   string            // of the tab, and the first heading
	Here    string            // which entry of the menu it is: ask, log, duty, find, remedy, bench
	Theme   string            // light, dark, contrast; "" as the phone is set
	Back    string            // where the switch of looks returns to
	Outside bool              // whoever looks is not let in: no menu, for it leads nowhere
	LAN     bool              // devices can be paired
	Units   measures          // that quantities are said in
	Charges []caution.Caution // stored charge of every rebuilt machine shown
	Body    any
}

// templates are the pages by units and name, each with the layout and the parts
// around it. Only a program that serves them reads them.
var templates = sync.OnceValue(func() map[measures]map[string]*template.Template {
	return map[measures]map[string]*template.Template{measures(procedures.US): readTemplates(measures(procedures.US)), measures(procedures.Metric): readTemplates(measures(procedures.Metric))}
})

func readTemplates(m measures) map[string]*template.Template {
	shared := template.Must(template.New("").Funcs(words(m)).ParseFS(files, "templates/layout.html", "templates/part_*.html"))
	all := map[string]*template.Template{}
	names, err := fs.Glob(files, "templates/page_*.html")
	if err != nil {
		panic(err) // the pattern is written above
	}
	for _, name := range names {
		t := template.Must(template.Must(shared.Clone()).ParseFS(files, name))
		all[strings.TrimSuffix(strings.TrimPrefix(path.Base(name), "page_"), ".html")] = t
	}
	return all
}

// wordless are the pages that show no quantity, and may be shown to anybody.
var wordless = map[string]bool{"trouble": true, "pair": true, "phones": true}

// pages adds the HTML pages.
func (s *Server) pages(mux *http.ServeMux) {
	mux.HandleFunc("GET /{$}", s.askPage)
	mux.HandleFunc("GET /log", s.logPage)
	mux.HandleFunc("POST /log", s.logWeld)
	mux.HandleFunc("GET /duty", s.dutyPage)
	mux.HandleFunc("POST /duty", s.dutyDo)
	mux.HandleFunc("GET /find", s.findPage)
	mux.HandleFunc("GET /weld/{mark}", s.weldPage)
	mux.HandleFunc("POST /weld/{mark}", s.amendWeld)
	mux.HandleFunc("POST /strike/{mark}", s.strikeWeld)
	mux.HandleFunc("GET /weld/{mark}/test", s.testPage)
	mux.HandleFunc("POST /weld/{mark}/test", s.testPage)
	mux.HandleFunc("GET /weld/{mark}/look", s.lookPage)
	mux.HandleFunc("POST /weld/{mark}/look", s.lookPage)
	mux.HandleFunc("POST /weld/{mark}/followup", s.inTurn(s.followUp))
	mux.HandleFunc("POST /weld/{mark}/rate", s.inTurn(s.rateAgain))
	mux.HandleFunc("GET /blind", s.blindPage)
	mux.HandleFunc("POST /blind", s.rateBlind)
	mux.HandleFunc("GET /machines", s.machinesPage)
	mux.HandleFunc("GET /machines/add", s.machineFormPage)
	mux.HandleFunc("POST /machines", s.addMachine)
	mux.HandleFunc("GET /machine/{name}", s.machinePage)
	mux.HandleFunc("POST /machine/{name}", s.useMachine)
	mux.HandleFunc("POST /machine/{name}/strike", s.strikeMachine)
	mux.HandleFunc("POST /machine/{name}/rename", s.renameMachine)
	mux.HandleFunc("GET /machine/{name}/set", s.setFormPage)
	mux.HandleFunc("POST /machine/{name}/set", s.setMachine)
	mux.HandleFunc("GET /machine/{name}/change", s.changeFormPage)
	mux.HandleFunc("POST /machine/{name}/change", s.inTurn(s.changeMachine))
	mux.HandleFunc("GET /machine/{name}/rebuilt", s.fittedFormPage)
	mux.HandleFunc("POST /machine/{name}/rebuilt", s.writeFitted)
	mux.HandleFunc("GET /machine/{name}/measure", s.meterFormPage)
	mux.HandleFunc("POST /machine/{name}/measure", s.inTurn(s.writeReadings))
	mux.HandleFunc("GET /machine/{name}/knob", s.knobPage)
	mux.HandleFunc("POST /machine/{name}/knob", s.inTurn(s.runOut))
	mux.HandleFunc("GET /wire", s.wirePage)
	mux.HandleFunc("POST /wire", s.useWire)
	mux.HandleFunc("POST /wire/add", s.addSpool)
	mux.HandleFunc("POST /wire/strike", s.strikeSpool)
	mux.HandleFunc("POST /wire/rename", s.renameSpool)
	mux.HandleFunc("GET /remedy", s.remedyPage)
	mux.HandleFunc("GET /procedures", s.proceduresPage)
	mux.HandleFunc("POST /procedures", s.writeProcedure)
	mux.HandleFunc("GET /procedure/{name}", s.procedurePage)
	mux.HandleFunc("POST /theme", setTheme)
	mux.HandleFunc("POST /units", s.setUnits)
	mux.HandleFunc("GET /static/{file}", static)
	mux.HandleFunc("/", func(w http.ResponseWriter, r *http.Request) {
		s.trouble(w, r, http.StatusNotFound, "There is no such page here.")
	})
}

// inTurn is for forms that look at what was written down since their page was shown:
// pressed twice, the second comes after the first and not beside it.
func (s *Server) inTurn(form http.HandlerFunc) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		s.turns.Lock()
		defer s.turns.Unlock()
		form(w, r)
	}
}

// show renders a page. What cannot be rendered whole is not sent in part.
func (s *Server) show(w http.ResponseWriter, r *http.Request, status int, name string, p page) {
	p.Theme, p.LAN, p.Outside = themeOf(r), s.opts.LAN, !s.inside(r)
	p.Back = r.URL.RequestURI()
	if r.Method != http.MethodGet {
		p.Back = r.URL.Path
	}
	p.Units = measures(procedures.US)
	if !wordless[name] {
		p.Units = s.measures(r)
	}
	var b bytes.Buffer
	if err := templates()[p.Units][name].ExecuteTemplate(&b, "layout", p); err != nil {
		http.Error(w, "This page could not be made: "+err.Error(), http.StatusInternalServerError)
		return
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.Header().Set("Cache-Control", "no-store") // a page kept by the phone would carry a token that is spent
	w.WriteHeader(status)
	_, _ = w.Write(unparted(b.Bytes()))
}

// tagged finds a tag with the words behind it; mixed finds a mixed number.
var (
	tagged = procedures.Pattern(`<[^<>]*>[^<]+`)
	mixed  = procedures.Pattern(`(\d) (\d{1,2}/\d)`)
)

// unparted keeps a line of a page from ending within a mixed number, as
// [procedures.Words] does on paper. What a form sends back stays as it is.
func unparted(page []byte) []byte {
	return tagged().ReplaceAllFunc(page, func(b []byte) []byte {
		tag, words, _ := bytes.Cut(b, []byte(">"))
		for _, name := range []string{"<textarea", "<option", "<script", "<style"} {
			if bytes.HasPrefix(tag, []byte(name)) {
				return b
			}
		}
		return slices.Concat(tag, []byte(">"), mixed().ReplaceAll(words, []byte("$1\u00a0$2")))
	})
}

// trouble shows a page that says what is wrong, or plain text where no page is
// wanted.
func (s *Server) trouble(w http.ResponseWriter, r *http.Request, status int, sentence string) {
	s.fail(w, r, status, failure{Message: sentence}, "")
}

// fail shows what a command refused, with what would be accepted. here is the
// menu's entry.
func (s *Server) fail(w http.ResponseWriter, r *http.Request, status int, f failure, here string) {
	switch {
	case wantsJSON(r):
		writeJSON(w, status, map[string]failure{"error": f})
	case r.Header.Get("Accept") != "" && !strings.Contains(r.Header.Get("Accept"), "html") && !strings.Contains(r.Header.Get("Accept"), "*/*"):
		http.Error(w, f.Message, status)
	default:
		s.show(w, r, status, "trouble", page{Title: "That did not work", Here: here, Body: f})
	}
}

// failure is an error as the command line says it.
type failure struct {
	Code    string `json:"code"`
	Field   string `json:"field"`
	Message string `json:"message"`
	Hint    string `json:"hint"`
}

// Of reports whether a field is the one that was not taken.
func (f *failure) Of(name string) bool { return f != nil && f.Field == name }

// Hints are the hints one by one.
func (f failure) Hints() []string {
	return slices.DeleteFunc(strings.Split(f.Hint, "; "), func(h string) bool { return h == "" })
}

// read decodes the object of a command into v. ok is false where the command
// failed; then f says how, and status is the HTTP status for it.
func (res Result) read(v any) (f failure, status int, ok bool) {
	if res.Status != 0 && res.Status != 3 {
		var e struct{ Error failure }
		if err := json.Unmarshal(res.JSON, &e); err != nil || e.Error.Message == "" {
			e.Error = failure{Code: "failed", Message: "the notebook gave no answer that can be read"}
		}
		switch {
		case e.Error.Code == "not_found":
			return e.Error, http.StatusNotFound, false
		case res.Status == 2:
			return e.Error, http.StatusUnprocessableEntity, false
		}
		return e.Error, http.StatusInternalServerError, false
	}
	if err := json.Unmarshal(res.JSON, v); err != nil {
		return failure{Code: "failed", Message: "the notebook gave an answer that cannot be read: " + err.Error()}, http.StatusInternalServerError, false
	}
	return failure{}, http.StatusOK, true
}

func wantsJSON(r *http.Request) bool {
	return strings.HasPrefix(r.Header.Get("Accept"), "application/json")
}

func writeJSON(w http.ResponseWriter, status int, v any) {
	w.Header().Set("Content-Type", "application/json")
	w.Header().Set("Cache-Control", "no-store")
	w.WriteHeader(status)
	_ = json.NewEncoder(w).Encode(v)
}

// flag is one flag of a command, or none where the value is empty. The value is
// never a word of its own, so it cannot be taken for another flag.
func flag(name, value string) []string {
	if value = strings.TrimSpace(value); value == "" {
		return nil
	}
	return []string{"--" + name + "=" + value}
}

// themes are the looks to choose from besides the phone's own.
var themes = []string{"light", "dark", "contrast"}

func themeOf(r *http.Request) string {
	c, err := r.Cookie("theme")
	if err != nil {
		return ""
	}
	for _, t := range themes {
		if c.Value == t {
			return t
		}
	}
	return ""
}

// setTheme keeps the look that was chosen for a year, on this phone alone.
func setTheme(w http.ResponseWriter, r *http.Request) {
	c := &http.Cookie{Name: "theme", Value: r.FormValue("theme"), Path: "/", HttpOnly: true, SameSite: http.SameSiteStrictMode, MaxAge: 365 * 24 * 3600}
	if c.Value != "light" && c.Value != "dark" && c.Value != "contrast" {
		c.Value, c.MaxAge = "", -1
	}
	http.SetCookie(w, c)
	http.Redirect(w, r, local(r.FormValue("back")), http.StatusSeeOther)
}

// setUnits sets what the notebook says quantities in, for everybody who opens it.
func (s *Server) setUnits(w http.ResponseWriter, r *http.Request) {
	var set struct{}
	if f, status, ok := s.do(r, "units", "--", r.FormValue("units")).read(&set); !ok {
		s.fail(w, r, status, f, "")
		return
	}
	http.Redirect(w, r, local(r.FormValue("back")), http.StatusSeeOther)
}

// local is an address of this server, else the first page.
func local(back string) string {
	if !strings.HasPrefix(back, "/") || strings.HasPrefix(back, "//") || strings.ContainsFunc(back, func(r rune) bool { return r == '\\' || r < ' ' }) {
		return "/"
	}
	return back
}

// statics are the files beside the pages, by name.
var statics = sync.OnceValue(readStatics)

type staticFile struct {
	body      []byte
	kind, tag string
}

// slim leaves out what only a reader of the file wants: what a line is set in by, and
// lines that are a remark alone. No string in these files goes over a line.
func slim(body []byte) []byte {
	var b bytes.Buffer
	for line := range bytes.Lines(body) {
		line = bytes.TrimLeft(line, " \t")
		if len(bytes.TrimSpace(line)) > 0 && !bytes.HasPrefix(line, []byte("//")) {
			b.Write(line)
		}
	}
	return b.Bytes()
}

func readStatics() map[string]staticFile {
	kinds := map[string]string{".css": "text/css; charset=utf-8", ".js": "text/javascript; charset=utf-8", ".svg": "image/svg+xml"}
	all := map[string]staticFile{}
	entries, err := files.ReadDir("static")
	if err != nil {
		panic(err) // embedded above
	}
	for _, e := range entries {
		body, err := files.ReadFile("static/" + e.Name())
		if err != nil {
			panic(err)
		}
		body = slim(body)
		sum := sha256.Sum256(body)
		all[e.Name()] = staticFile{body, kinds[path.Ext(e.Name())], hex.EncodeToString(sum[:6])}
	}
	return all
}

// static serves a file that was built in. Its address names its content, so a
// phone may keep it.
func static(w http.ResponseWriter, r *http.Request) {
	f, ok := statics()[r.PathValue("file")]
	if !ok {
		http.NotFound(w, r)
		return
	}
	w.Header().Set("Content-Type", f.kind)
	w.Header().Set("ETag", `"`+f.tag+`"`)
	keep := "no-cache"
	if r.URL.Query().Get("v") == f.tag {
		keep = "public, max-age=31536000, immutable"
	}
	w.Header().Set("Cache-Control", keep)
	if r.Header.Get("If-None-Match") == `"`+f.tag+`"` {
		w.WriteHeader(http.StatusNotModified)
		return
	}
	_, _ = w.Write(f.body)
}

// address is where a built-in file is.
func address(name string) (string, error) {
	f, ok := statics()[name]
	if !ok {
		return "", fmt.Errorf("no file %q beside the pages", name)
	}
	return "/static/" + name + "?v=" + f.tag, nil
}
