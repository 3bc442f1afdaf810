package web

import (
	"maps"
	"net/http"
	"slices"
	"strings"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"
)

func described(t testing.TB) *openapi3.T {
	t.Helper()
	doc, err := openapi3.NewLoader().LoadFromData(openAPI)
	if err != nil {
		t.Fatal(err)
	}
	if err := doc.Validate(t.Context()); err != nil {
		t.Fatal(err)
	}
	return doc
}

// TestDescribed holds the description to the routes, both ways: every route with
// all that it takes, and nothing that no route takes.
func TestDescribed(t *testing.T) {
	doc := described(t)
	known := map[string]route{"GET /api/openapi.yaml": {}, "POST " + apiPhotos: {}} // which are no command lines
	for _, rt := range routes() {
		known[rt.method+" "+rt.path] = rt
	}
	for path, item := range doc.Paths.Map() {
		for method, op := range item.Operations() {
			rt, ok := known[method+" "+path]
			if !ok {
				t.Errorf("%s %s is described and there is no such route", method, path)
				continue
			}
			delete(known, method+" "+path)
			if rt.command == nil {
				continue
			}
			if want := "beadwright " + strings.Join(rt.command, " "); op.Description != want {
				t.Errorf("%s %s: described as %q, is %q", method, path, op.Description, want)
			}
			status := rt.status
			if status == 0 {
				status = http.StatusOK
			}
			if op.Responses.Status(status) == nil {
				t.Errorf("%s %s: no answer is described for %d", method, path, status)
			}
			var named, said []string
			for _, p := range op.Parameters {
				if p.Value.In == "path" {
					named = append(named, p.Value.Name)
				} else {
					said = append(said, p.Value.Name)
				}
			}
			if op.RequestBody != nil {
				schema := op.RequestBody.Value.Content["application/json"].Schema.Value
				said = append(said, slices.Collect(maps.Keys(schema.Properties))...)
				if schema.AdditionalProperties.Has == nil || *schema.AdditionalProperties.Has {
					t.Errorf("%s %s: other keys are described as taken", method, path)
				}
			}
			slices.Sort(said)
			want := slices.Sorted(slices.Values(rt.keys()))
			if !slices.Equal(said, want) {
				t.Errorf("%s %s: described %v, takes %v", method, path, said, want)
			}
			if !slices.Equal(named, rt.named) {
				t.Errorf("%s %s: in the path %v, taken %v", method, path, named, rt.named)
			}
		}
	}
	for k := range known {
		t.Errorf("%s is not described", k)
	}
}
