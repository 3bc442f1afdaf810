package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"image"
	"image/png"
	"mime/multipart"
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
	path := shopNotebook(t)
	typed(t, path, "procedure", "write", "cart-tee", "--from", "A2,A1")
	page := web.New(benchOn(t, path), web.Options{})
	for _, mark := range []string{"A1", "A2"} {
		if status, body := sendPhoto(t, page, mark, "bead", tinyPicture(t)); status != 201 {
			t.Fatalf("a picture: %d: %s", status, body)
		}
	}
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

// tinyPicture is a PNG of 2 by 2.
func tinyPicture(t *testing.T) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, image.NewRGBA(image.Rect(0, 0, 2, 2))); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// sendPhoto sends a picture of a weld as a form; no picture at all where it is nil.
func sendPhoto(t *testing.T, page *web.Server, mark, role string, picture []byte) (int, []byte) {
	t.Helper()
	var form bytes.Buffer
	m := multipart.NewWriter(&form)
	if picture != nil {
		part, err := m.CreateFormFile("photo", "../../etc/bead.png")
		if err != nil {
			t.Fatal(err)
		}
		part.Write(picture)
	}
	if err := errors.Join(m.WriteField("role", role), m.Close()); err != nil {
		t.Fatal(err)
	}
	r := httptest.NewRequest("POST", "/api/welds/"+mark+"/photos", &form)
	r.Host = "localhost"
	r.Header.Set("Content-Type", m.FormDataContentType())
	w := httptest.NewRecorder()
	page.ServeHTTP(w, r)
	return w.Code, w.Body.Bytes()
}

// TestDescribedPhoto sends pictures and what is none, and holds the answers to the
// description.
func TestDescribedPhoto(t *testing.T) {
	page, doc := apiOf(t)
	for _, c := range []struct {
		name, mark, role string
		picture          []byte
		status           int
	}{
		{"a picture", "A3", "fracture", tinyPicture(t), 201},
		{"the same again", "A3", "fracture", tinyPicture(t), 201},
		{"the same as another", "A3", "back", tinyPicture(t), 400},
		{"no role said, a bead", "A1", "", tinyPicture(t), 201},
		{"no such role", "A3", "arc", tinyPicture(t), 400},
		{"no such weld", "A99", "bead", tinyPicture(t), 404},
		{"no picture", "A3", "bead", nil, 400},
		{"nothing in it", "A3", "bead", []byte{}, 400},
		{"a script", "A3", "bead", []byte("<script>alert(1)</script>"), 400},
	} {
		status, body := sendPhoto(t, page, c.mark, c.role, c.picture)
		if status != c.status {
			t.Errorf("%s: %d, wanted %d: %s", c.name, status, c.status, body)
			continue
		}
		var v any
		if err := json.Unmarshal(body, &v); err != nil {
			t.Fatalf("%s: %v: %s", c.name, err, body)
		}
		schema := doc.Paths.Find("/api/welds/{mark}/photos").Post.Responses.Status(status).Value.Content["application/json"].Schema
		if err := schema.Value.VisitJSON(v, openapi3.MultiErrors()); err != nil || len(undescribed(schema, v, "")) > 0 {
			t.Errorf("%s: not as described: %v %s: %s", c.name, err, undescribed(schema, v, ""), body)
		}
	}
	if status, _ := call(page, "POST", "/api/welds/A3/photos", `{"photo":"/etc/passwd"}`); status != 415 {
		t.Errorf("an object in the place of a form: %d", status)
	}
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
			words, _, _ = strings.Cut(words, " --") // a switch that the route presses itself
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
	old := oldPicture(t, page)
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
		{"GET", "/api/find", "?machine=shed&state=1", "", 200},
		{"GET", "/api/find", "?machine=shed&state=2", "", 400},
		{"GET", "/api/find", "?rating=9", "", 400},
		{"GET", "/api/welds/{mark}", "A1", "", 200},
		{"GET", "/api/welds/{mark}", "A99", "", 404},
		{"GET", "/api/welds/{mark}/photos", "A1", "", 200},
		{"GET", "/api/welds/{mark}/test/{kind}", "A1/break", "", 200},
		{"GET", "/api/welds/{mark}/test/{kind}", "A1/hammer", "", 400},
		{"POST", "/api/welds/{mark}/test/{kind}", "A1/break", `{"answers":"edge=no folded=no parent=no fused=yes","hole":["1/16","1/16"],"length":"4in"}`, 200},
		{"POST", "/api/welds/{mark}/test/{kind}", "A1/bend", `{"answers":"maybe"}`, 400},
		{"POST", "/api/welds/{mark}/test/{kind}", "A99/bend", `{"answers":"no"}`, 404},
		{"GET", "/api/welds/{mark}/look", "A1", "", 200},
		{"POST", "/api/welds/{mark}/look", "A1", `{"answers":"no yes no yes no no no no yes no"}`, 200},
		{"POST", "/api/welds/{mark}/look", "A1", `{"answers":"no"}`, 400},
		{"POST", "/api/welds/{mark}/followup", "A2", `{"words":["failed","cracked along the toe"],"at":"2026-09-12"}`, 400},
		{"POST", "/api/welds/{mark}/followup", "A2", `{"words":["failed","cracked along the toe"]}`, 201},
		{"POST", "/api/welds/{mark}/followup", "A2", `{"words":["perhaps"]}`, 400},
		{"POST", "/api/welds/{mark}/followup", "A99", `{"words":["held"]}`, 404},
		{"GET", "/api/followup", "", "", 200},
		{"GET", "/api/welds/{mark}", "A2", "", 200},
		{"POST", "/api/welds/{mark}/followup/strike", "A2", `{"strike":"another shelf"}`, 200},
		{"GET", "/api/blind", "", "", 200},
		{"GET", "/api/blind", "?older=never", "", 400},
		{"POST", "/api/blind/{picture}", old, `{"words":["6"]}`, 400},
		{"POST", "/api/blind/{picture}", "nothing", `{"words":["3"]}`, 400},
		{"POST", "/api/blind/{picture}", old, `{"words":["3"],"note":"a toe rolled over"}`, 201},
		{"GET", "/api/blind", "", "", 200},
		{"POST", "/api/welds/{mark}/rate", "A2", `{"words":["3"],"note":"a toe rolled over"}`, 201},
		{"POST", "/api/welds/{mark}/rate", "A2", `{"words":["6"]}`, 400},
		{"GET", "/api/rate", "?older=8w", "", 200},
		{"GET", "/api/welds/{mark}", "A2", "", 200},
		{"POST", "/api/welds/{mark}/rate/strike", "A2", `{"strike":"wrong picture"}`, 200},
		{"GET", "/api/remedy", "?from=A2", "", 200},
		{"GET", "/api/remedy", "?words=" + url.QueryEscape("the slag falls off by itself"), "", 200},
		{"GET", "/api/remedy", "?words=" + url.QueryEscape("smoke from the plug"), "", 200},
		{"PATCH", "/api/welds/{mark}", "A1", `{"rating":3,"note":"a toe rolled over"}`, 200},
		{"PATCH", "/api/welds/{mark}", "A1", `{"rating":"six"}`, 400},
		{"POST", "/api/welds/{mark}/strike", "A3", `{"why":"wrong coupon"}`, 200},
		{"POST", "/api/welds/{mark}/strike", "A3", `{"why":"again"}`, 400},
		{"POST", "/api/welds/{mark}/strike", "A3", `{"back":true}`, 200},
		{"POST", "/api/welds/{mark}/strike", "A3", `{"back":true}`, 400},
		{"PATCH", "/api/welds/{mark}", "A3", `{"machine":"shed","not_symptom":["burn-through"]}`, 200},
		{"PATCH", "/api/welds/{mark}", "A3", `{"not_symptom":["burn-through"]}`, 400},
		{"GET", "/api/procedures", "", "", 200},
		{"GET", "/api/procedures/{name}", "nobody", "", 404},
		{"GET", "/api/procedures/{name}", "cart-tee", "", 200},
		{"GET", "/api/machines", "", "", 200},
		{"POST", "/api/machines/{name}", "other", `{"taps":"one,two"}`, 201},
		{"POST", "/api/machines/{name}", "other", `{}`, 400},
		{"GET", "/api/machines/{name}", "other", "", 200},
		{"GET", "/api/machines/{name}", "nobody", "", 404},
		{"PATCH", "/api/machines/{name}", "other", `{"rated":"90A"}`, 200},
		{"POST", "/api/machines/{name}/use", "shed", "", 200},
		{"POST", "/api/machines/{name}/change", "shed", `{"what":"rectifier fitted","output":"dcen","rebuilt":true}`, 200},
		{"GET", "/api/machines/{name}/knob", "shed", "", 200},
		{"POST", "/api/machines/{name}/knob", "shed", `{"mark":5,"tap":"high","length":["42in","41.5in","24in"],"seconds":["10"]}`, 201},
		{"POST", "/api/machines/{name}/knob", "shed", `{"mark":5,"tap":"high","length":["63in"],"seconds":["15"],"short_length":["20in"],"short_seconds":["5"]}`, 201},
		{"POST", "/api/machines/{name}/knob", "shed", `{"mark":5,"tap":"banana","length":["42in"],"seconds":["10"]}`, 400},
		{"POST", "/api/machines/{name}/knob", "nobody", `{"mark":5,"length":["42in"],"seconds":["10"]}`, 404},
		{"POST", "/api/machines/{name}/knob/strike", "shed", `{"strike":"3","why":"let go too late"}`, 200},
		{"POST", "/api/machines/{name}/knob/strike", "shed", `{"strike":"many"}`, 400},
		{"GET", "/api/machines/{name}/knob", "shed", "", 200},
		{"GET", "/api/machines/{name}/circuit", "shed", "?breaker=20A&cord=" + url.QueryEscape("12awg 25ft"), 200},
		{"GET", "/api/machines/{name}/rebuilt", "shed", "", 200},
		{"POST", "/api/machines/{name}/strike", "other", `{"why":"sold"}`, 200},
		{"POST", "/api/machines/{name}/strike", "other", `{}`, 400},
		{"POST", "/api/machines/{name}/use", "other", "", 400},
		{"GET", "/api/machines", "?struck=true", "", 200},
		{"GET", "/api/machines/{name}", "other", "", 200},
		{"POST", "/api/machines/{name}/strike", "other", `{"back":true}`, 200},
		{"POST", "/api/machines/{name}/strike", "nobody", `{"back":true}`, 404},
		{"POST", "/api/machines/{name}/rename", "other", `{"words":["the other one"]}`, 200},
		{"POST", "/api/machines/{name}/rename", "other", `{"words":["the other one"]}`, 404},
		{"POST", "/api/machines/{name}/rename", "the%20other%20one", `{"words":["SHED"]}`, 400},
		{"GET", "/api/wire", "", "", 200},
		{"POST", "/api/wire", "", `{"words":["0.030","E71T-GS"],"name":"small"}`, 201},
		{"GET", "/api/wire/{name}", "small", "", 200},
		{"POST", "/api/wire/{name}/use", "small", "", 200},
		{"POST", "/api/wire/{name}/use", "nobody", "", 404},
		{"POST", "/api/wire/{name}/strike", "small", `{}`, 200},
		{"GET", "/api/wire", "?struck=true", "", 200},
		{"POST", "/api/wire/{name}/use", "small", "", 400},
		{"POST", "/api/wire/{name}/strike", "small", `{"back":true}`, 200},
		{"POST", "/api/wire/{name}/strike", "small", `{"back":true}`, 400},
		{"POST", "/api/wire/{name}/strike", "nobody", `{}`, 404},
		{"POST", "/api/wire/{name}/rename", "small", `{"words":["the small one"]}`, 200},
		{"POST", "/api/wire/{name}/rename", "small", `{"words":["x"]}`, 404},
		{"POST", "/api/wire/{name}/rename", "the%20small%20one", `{}`, 400},
		{"POST", "/api/wire/{name}/use", "the%20small%20one", "", 200},
		{"POST", "/api/duty/add", "", `{"words":["45s"]}`, 201},
		{"POST", "/api/duty/start", "", `{}`, 201},
		{"POST", "/api/duty/start", "", `{}`, 400},
		{"GET", "/api/duty", "?heat=true", "", 200},
		{"POST", "/api/duty/stop", "", `{}`, 200},
		{"POST", "/api/duty/trip", "", `{"after":"95s","air":"86F"}`, 201},
		{"GET", "/api/duty/trips", "", "", 200},
		{"GET", "/api/units", "", "", 200},
		{"POST", "/api/units", "", `{"words":["metric"]}`, 200},
		{"POST", "/api/units", "", `{"words":["furlongs"]}`, 400},
		{"POST", "/api/units", "", `{"words":["us"]}`, 200},
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
		{"GET", "/api/reckon/air", "?width=12ft&length=22ft&height=8ft&welders=2&hood=8in&partitions=true", "", 200},
		{"GET", "/api/reckon/air", "?width=12ft", "", 400},
		{"GET", "/api/reckon/cooling", "?heat=0.5kJ/mm&thickness=1/8&preheat=100C&bead=tee", "", 200},
		{"GET", "/api/reckon/cooling", "?heat=much&thickness=1/8", "", 400},
		{"GET", "/api/reckon/rebar", "?bar=4&steel=a706", "", 200},
		{"GET", "/api/reckon/rebar", "?bar=8&c=0.30&mn=0.90", "", 200},
		{"GET", "/api/reckon/rebar", "?bar=4.5", "", 400},
		{"GET", "/api/reckon/group", "?welder=" + url.QueryEscape("20A 20%") + "&welder=" + url.QueryEscape("4x 25A 40%"), "", 200},
		{"GET", "/api/reckon/group", "?welder=banana", "", 400},
		{"GET", "/api/reckon/gauge", "?words=16&words=plain", "", 200},
	} {
		target := c.path + c.target
		body := c.body
		if i := strings.Index(c.path, "{"); i >= 0 {
			end := strings.Index(c.path, "}")
			if last := strings.LastIndex(c.path, "}"); last > end { // two of them, with what stands between
				which, kind, _ := strings.Cut(c.target, "/")
				target = c.path[:i] + which + c.path[end+1:strings.LastIndex(c.path, "{")] + kind + c.path[last+1:]
			} else {
				target = c.path[:i] + c.target + c.path[end+1:]
			}
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
		schema := response.Value.Content["application/json"].Schema
		if err := schema.Value.VisitJSON(v, openapi3.MultiErrors()); err != nil {
			t.Errorf("%s: not as described: %v", name, err)
		}
		for _, key := range undescribed(schema, v, "") {
			t.Errorf("%s: %s is not described", name, key)
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
			if !asked[method+" "+path] && method+" "+path != "POST /api/welds/{mark}/photos" && path != "/api/openapi.yaml" {
				t.Errorf("%s %s was not asked", method, path)
			}
		}
	}
}

// oldPicture is the picture of a bead that was rated long ago, as it comes up to be
// rated blind: with nothing that tells which bead it is.
func oldPicture(t *testing.T, page *web.Server) (id string) {
	t.Helper()
	var logged struct{ Mark string }
	_, body := call(page, "POST", "/api/log", `{"words":["4","1/8","mild","tee","flat"],"at":"2026-03-01","note":"the gate"}`)
	if err := json.Unmarshal(body, &logged); err != nil || logged.Mark == "" {
		t.Fatalf("%v: %s", err, body)
	}
	if status, body := sendPhoto(t, page, logged.Mark, "bead", tinyPicture(t)); status != 201 {
		t.Fatalf("a picture: %d: %s", status, body)
	}
	var shown struct{ Picture string }
	_, body = call(page, "GET", "/api/blind", "")
	if err := json.Unmarshal(body, &shown); err != nil || shown.Picture == "" {
		t.Fatalf("no old bead is shown: %v: %s", err, body)
	}
	for _, told := range []string{logged.Mark, "the gate", "mild"} {
		if strings.Contains(string(body), `"`+told) {
			t.Errorf("not blind, for it tells %q: %s", told, body)
		}
	}
	return shown.Picture
}

// undescribed are the keys of an answer that its description does not have. An
// object described without its keys may hold any.
func undescribed(schema *openapi3.SchemaRef, v any, at string) (keys []string) {
	if schema == nil {
		return nil
	}
	for _, part := range schema.Value.AllOf {
		keys = append(keys, undescribed(part, v, at)...)
	}
	switch v := v.(type) {
	case []any:
		for _, one := range v {
			keys = append(keys, undescribed(schema.Value.Items, one, at+"[]")...)
		}
	case map[string]any:
		for key, value := range v {
			switch property := schema.Value.Properties[key]; {
			case property != nil:
				keys = append(keys, undescribed(property, value, at+"."+key)...)
			case len(schema.Value.Properties) > 0:
				keys = append(keys, at+"."+key)
			}
		}
	}
	return keys
}

// TestDescribedTwin: an advice with a twin and with good signs, which most have not,
// is as described too.
func TestDescribedTwin(t *testing.T) {
	page, doc := apiOf(t)
	schema := doc.Components.Schemas["Advice"]
	_, logged := call(page, "POST", "/api/log", `{"words":["2","1/8","mild","tee","flat"],"tap":"high","knob":5,"wire_speed":"105ipm","symptom":["cold-bead"]}`)
	var made struct{ Mark string }
	if err := json.Unmarshal(logged, &made); err != nil || made.Mark == "" {
		t.Fatalf("%v: %s", err, logged)
	}
	for target, has := range map[string]string{
		"/api/remedy?from=" + made.Mark:                                    `"twin": "A2"`,
		"/api/remedy?words=" + url.QueryEscape("sounds like frying bacon"): `"key": "steady-sound"`,
	} {
		status, answer := call(page, "GET", target, "")
		var v any
		if err := json.Unmarshal(answer, &v); err != nil || status != 200 {
			t.Fatalf("%s: %d: %v: %s", target, status, err, answer)
		}
		if !strings.Contains(string(answer), has) {
			t.Errorf("%s: no %s in %s", target, has, answer)
		}
		if err := schema.Value.VisitJSON(v, openapi3.MultiErrors()); err != nil || len(undescribed(schema, v, "")) > 0 {
			t.Errorf("%s: not as described: %v %q", target, err, undescribed(schema, v, ""))
		}
	}
}
