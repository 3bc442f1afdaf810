package main

import (
	"encoding/json"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"

	"beadwright/cmd/beadwright/web"
)

// apiOf is the API over a furnished notebook, and its own description.
func apiOf(t *testing.T) (*web.Server, *openapi3.T) {
	t.Helper()
	page := web.New(benchOn(t, shopNotebook(t)), web.Options{})
	_, body := call(page, "GET", "/api/openapi.yaml", "")
	doc, err := openapi3.NewLoader().LoadFromData(body)
	if err != nil {
		t.Fatal(err)
	}
	return page, doc
}

func call(page *web.Server, method, target, body string) (int, []byte) {
	r := httptest.NewRequest(method, target, strings.NewReader(body))
	r.Host = "localhost"
	if body != "" {
		r.Header.Set("Content-Type", "application/json")
	}
	w := httptest.NewRecorder()
	page.ServeHTTP(w, r)
	return w.Code, w.Body.Bytes()
}

// TestDescribedFlags: every value that the description offers is a flag of the
// command that it names, and is none that names a file.
func TestDescribedFlags(t *testing.T) {
	_, doc := apiOf(t)
	root := newRoot(&app{})
	for path, item := range doc.Paths.Map() {
		for method, op := range item.Operations() {
			words, ok := strings.CutPrefix(op.Description, "beadwright ")
			if !ok {
				continue
			}
			cmd, rest, err := root.Find(strings.Fields(words))
			if err != nil || len(rest) > 0 {
				t.Errorf("%s %s: there is no command %q", method, path, words)
				continue
			}
			var keys []string
			for _, p := range op.Parameters {
				if p.Value.In == "query" {
					keys = append(keys, p.Value.Name)
				}
			}
			if op.RequestBody != nil {
				for key := range op.RequestBody.Value.Content["application/json"].Schema.Value.Properties {
					keys = append(keys, key)
				}
			}
			for _, key := range keys {
				flag := cmd.Flag(strings.ReplaceAll(key, "_", "-"))
				switch {
				case key == "words":
				case flag == nil:
					t.Errorf("%s %s: beadwright %s has no flag for %q", method, path, words, key)
				case strings.Contains(flag.Usage, "FILE") || strings.Contains(flag.Usage, "`"):
					t.Errorf("%s %s: %q names a file", method, path, key)
				}
			}
		}
	}
}

// TestDescribedAnswers asks of every route, of the real program, and holds what it
// answers to the description.
func TestDescribedAnswers(t *testing.T) {
	page, doc := apiOf(t)
	asked := map[string]bool{}
	for _, c := range []struct {
		method, path, target, body string
		status                     int
	}{
		{"GET", "/api/version", "", "", 200},
		{"GET", "/api/suggest", "?words=" + url.QueryEscape("1/8 mild tee flat") + "&length=24in", "", 200},
		{"GET", "/api/suggest", "?words=" + url.QueryEscape("16ga lap vertical down"), "", 400},
		{"GET", "/api/suggest", "?words=" + url.QueryEscape("16ga plain lap vertical down&units=metric"), "", 400},
		{"GET", "/api/suggest", "?words=" + url.QueryEscape("1/8 tee for a trailer hitch"), "", 200},
		{"GET", "/api/suggest", "?words=" + url.QueryEscape("3/4 mild tee flat"), "", 200},
		{"GET", "/api/suggest", "?joint=banana", "", 400},
		{"GET", "/api/suggest", "?machine=nobody&words=" + url.QueryEscape("1/8 mild tee flat"), "", 404},
		{"GET", "/api/coupons", "?words=" + url.QueryEscape("1/8 mild tee flat") + "&scrap=" + url.QueryEscape("6x 2x4 1/8"), "", 200},
		{"GET", "/api/coupons", "?next=true&words=" + url.QueryEscape("1/8 mild tee flat"), "", 200},
		{"GET", "/api/coupons", "?board=true&words=" + url.QueryEscape("1/8 mild tee flat"), "", 200},
		{"GET", "/api/remedy", "?words=" + url.QueryEscape("bird poop"), "", 200},
		{"GET", "/api/remedy", "?from=A99&words=popping", "", 404},
		{"POST", "/api/log", "", `{"words":["4","bit of spatter"],"knob":4.5,"symptom":["popping"],"test":["bend=held"],"thirds":"3,4,4"}`, 201},
		{"POST", "/api/log", "", `{"words":["9"]}`, 400},
		{"POST", "/api/log", "", `{"rating":9}`, 400},
		{"GET", "/api/find", "?words=" + url.QueryEscape("1/8 tee"), "", 200},
		{"GET", "/api/find", "?words=zebra", "", 200},
		{"GET", "/api/find", "?rating=9", "", 400},
		{"GET", "/api/welds/{mark}", "A1", "", 200},
		{"GET", "/api/welds/{mark}", "A99", "", 404},
		{"GET", "/api/welds/{mark}/photos", "A1", "", 200},
		{"PATCH", "/api/welds/{mark}", "A1", `{"rating":3,"note":"a toe rolled over"}`, 200},
		{"PATCH", "/api/welds/{mark}", "A1", `{"rating":"six"}`, 400},
		{"POST", "/api/welds/{mark}/strike", "A3", `{"why":"wrong coupon"}`, 200},
		{"POST", "/api/welds/{mark}/strike", "A3", `{"why":"again"}`, 400},
		{"GET", "/api/procedures", "", "", 200},
		{"GET", "/api/procedures/{name}", "nobody", "", 400},
		{"GET", "/api/machines", "", "", 200},
		{"POST", "/api/machines/{name}", "other", `{"taps":"one,two"}`, 201},
		{"POST", "/api/machines/{name}", "other", `{}`, 400},
		{"GET", "/api/machines/{name}", "other", "", 200},
		{"GET", "/api/machines/{name}", "nobody", "", 404},
		{"PATCH", "/api/machines/{name}", "other", `{"rated":"90A"}`, 200},
		{"POST", "/api/machines/{name}/use", "shed", "", 200},
		{"POST", "/api/machines/{name}/change", "shed", `{"what":"rectifier fitted","output":"dcen","rebuilt":true}`, 200},
		{"GET", "/api/machines/{name}/knob", "shed", "", 200},
		{"GET", "/api/machines/{name}/circuit", "shed", "?breaker=20A&cord=" + url.QueryEscape("12awg 25ft"), 200},
		{"GET", "/api/machines/{name}/rebuilt", "shed", "", 200},
		{"GET", "/api/wire", "", "", 200},
		{"POST", "/api/wire", "", `{"words":["0.030","E71T-GS"],"name":"small"}`, 201},
		{"GET", "/api/wire/{name}", "small", "", 200},
		{"POST", "/api/wire/{name}/use", "small", "", 200},
		{"POST", "/api/wire/{name}/use", "nobody", "", 404},
		{"POST", "/api/duty/add", "", `{"words":["45s"]}`, 201},
		{"POST", "/api/duty/start", "", `{}`, 201},
		{"POST", "/api/duty/start", "", `{}`, 400},
		{"GET", "/api/duty", "?heat=true", "", 200},
		{"POST", "/api/duty/stop", "", `{}`, 200},
		{"POST", "/api/duty/trip", "", `{"after":"95s","air":"86F"}`, 201},
		{"GET", "/api/duty/trips", "", "", 200},
		{"GET", "/api/reckon/heat", "?volts=18&amps=90&travel=10ipm", "", 200},
		{"GET", "/api/reckon/travel", "?words=4in&words=in&words=24s", "", 200},
		{"GET", "/api/reckon/current", "?wire_speed=90ipm&wire=" + url.QueryEscape("0.035 E71T-11"), "", 200},
		{"GET", "/api/reckon/carbon", "?steel=a992", "", 200},
		{"GET", "/api/reckon/preheat", "?steel=a36&thickness=1in", "", 200},
		{"GET", "/api/reckon/fillet", "?leg=1/4", "", 200},
		{"GET", "/api/reckon/fillet", "?leg=-1", "", 400},
		{"GET", "/api/reckon/groove", "?thickness=1/8&gap=1/16", "", 200},
		{"GET", "/api/reckon/flaw", "?undercut=0.5mm&thickness=1/8", "", 200},
		{"GET", "/api/reckon/wire", "?wire_speed=90ipm&travel=10ipm", "", 200},
		{"GET", "/api/reckon/duty", "?rated=90A&duty=20%25&amps=70A", "", 200},
		{"GET", "/api/reckon/supply", "?input_amps=20A&duty=20%25&breaker=20A", "", 200},
		{"GET", "/api/reckon/cord", "?amps=20A&input=120V&cord=" + url.QueryEscape("12awg 25ft"), "", 200},
		{"GET", "/api/reckon/lead", "?length=20ft&amps=90&duty=20%25", "", 200},
		{"GET", "/api/reckon/smoothing", "?ac_volts=28&farads=0.1&ohms=100&amps=90&duty=20%25", "", 200},
		{"GET", "/api/reckon/shade", "?amps=80", "", 200},
		{"GET", "/api/reckon/gauge", "?words=16&words=plain", "", 200},
	} {
		target := c.path + c.target
		body := c.body
		if i := strings.Index(c.path, "{"); i >= 0 {
			end := strings.Index(c.path, "}")
			target = c.path[:i] + c.target + c.path[end+1:]
			if strings.HasPrefix(body, "?") {
				target, body = target+body, ""
			}
		}
		status, answer := call(page, c.method, target, body)
		name := c.method + " " + target + " " + body
		if status != c.status {
			t.Errorf("%s: %d, wanted %d: %s", name, status, c.status, answer)
			continue
		}
		op := doc.Paths.Find(c.path).GetOperation(c.method)
		asked[c.method+" "+c.path] = true
		response := op.Responses.Status(status)
		if response == nil {
			t.Errorf("%s: no answer is described for %d", name, status)
			continue
		}
		var v any
		if err := json.Unmarshal(answer, &v); err != nil {
			t.Errorf("%s: %v: %s", name, err, answer)
			continue
		}
		if err := response.Value.Content["application/json"].Schema.Value.VisitJSON(v, openapi3.MultiErrors()); err != nil {
			t.Errorf("%s: not as described: %v", name, err)
		}
		if body != "" {
			var said any
			if err := json.Unmarshal([]byte(body), &said); err != nil {
				t.Fatal(err)
			}
			if err := op.RequestBody.Value.Content["application/json"].Schema.Value.VisitJSON(said); err != nil {
				t.Errorf("%s: what was sent is not as described: %v", name, err)
			}
		}
	}
	for path, item := range doc.Paths.Map() {
		for method := range item.Operations() {
			if !asked[method+" "+path] && path != "/api/openapi.yaml" {
				t.Errorf("%s %s was not asked", method, path)
			}
		}
	}
}
