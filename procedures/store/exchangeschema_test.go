package store

import (
	"bytes"
	"context"
	"encoding/json"
	goflag "flag"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"beadwright/procedures"
)

// schemaOf describes a record of these columns.
func schemaOf(kind string, cols []column, required ...string) map[string]any {
	props := map[string]any{}
	if kind != "" {
		props["kind"] = map[string]any{"const": kind}
		props["schema"] = map[string]any{"type": "integer", "minimum": 1, "maximum": Schema}
		required = append([]string{"kind", "schema"}, required...)
	}
	for _, c := range cols {
		into := props
		name := c.field
		if object, rest, ok := strings.Cut(c.field, "."); ok {
			if props[object] == nil {
				props[object] = map[string]any{"type": "object", "additionalProperties": false, "properties": map[string]any{}}
			}
			into, name = props[object].(map[string]any)["properties"].(map[string]any), rest
		}
		into[name] = schemaOfCell(c)
	}
	s := map[string]any{"type": "object", "additionalProperties": false, "properties": props}
	if len(required) > 0 {
		s["required"] = required
	}
	return s
}

var enums = map[string]any{
	"Joint": procedures.Joints(), "WeldType": procedures.WeldTypes(), "Position": procedures.Positions(), "Process": procedures.Processes(), "Coating": procedures.Coatings(),
	"Polarity":        []procedures.Polarity{procedures.DCEN, procedures.DCEP, procedures.AC, procedures.DC},
	"StateKind":       []procedures.StateKind{procedures.Original, procedures.Output, procedures.Feed},
	"MeasurementKind": procedures.MeasurementKinds(),
}

func schemaOfCell(c column) map[string]any {
	name, of, _ := strings.Cut(strings.TrimSuffix(reflect.TypeOf(c.cell).Name(), "]"), "[")
	of = of[strings.LastIndexByte(of, '.')+1:]
	text := map[string]any{"type": "string"}
	if e, ok := enums[of]; ok {
		text["enum"] = e
	}
	switch name {
	case "number", "optional", "figure":
		return map[string]any{"type": "number"}
	case "whole":
		return map[string]any{"type": "integer"}
	case "text":
		if c.field == "id" {
			return map[string]any{"type": "string", "pattern": "^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$"}
		}
		return text
	case "encoded":
		return map[string]any{"type": "string", "contentEncoding": "base64"}
	case "flag", "answer", "retired":
		return map[string]any{"type": "boolean"}
	case "moment":
		return map[string]any{"type": "string", "format": "date-time"}
	case "raw":
		return map[string]any{"description": "the whole answer that was given, as suggest --json prints it"}
	case "object":
		return map[string]any{"type": "object", "additionalProperties": map[string]any{"type": "string"}}
	case "words", "keys":
		return map[string]any{"type": "array", "items": text}
	case "thirds":
		return map[string]any{"type": "array", "minItems": 3, "maxItems": 3, "items": map[string]any{"type": "integer", "minimum": 0, "maximum": 5}}
	case "items":
		return map[string]any{"type": "array", "items": map[string]any{"type": "object"}}
	case "several":
		return map[string]any{"type": "array", "items": schemaOf("", c.cell.(interface{ shape() []column }).shape())}
	}
	panic("no schema for " + name)
}

// shape are the columns of one of several.
func (c several[T]) shape() []column { return c.bind(new(T)) }

func describe[T any](kinds map[string]any, k *kind[T], required ...string) {
	kinds[k.name] = schemaOf(k.name, k.bind(new(T)), required...)
}

func wholeSchema() []byte {
	l := newLuggage()
	kinds := map[string]any{
		"header":  schemaOf("header", []column{{"", "records", whole[int]{new(int)}}}, "records"),
		"setting": schemaOf("setting", []column{{"", "key", text[string]{new(string)}}, {"", "value", text[string]{new(string)}}}, "key", "value"),
	}
	describe(kinds, &l.machines, "id", "name", "states")
	describe(kinds, &l.spools, "id", "name", "wire_class", "wire_diameter_mm")
	describe(kinds, &l.suggestions, "id", "at", "verdict")
	describe(kinds, &l.welds, "id", "at")
	describe(kinds, &l.runOuts, "id", "number", "at", "machine", "state", "mark", "length_mm", "seconds")
	describe(kinds, &l.readings, "id", "number", "at", "what", "value")
	describe(kinds, &l.cutOuts, "id", "number", "at", "machine", "state", "arc_seconds")
	describe(kinds, &l.arcs, "id", "machine", "state", "start", "stop")
	describe(kinds, &l.reratings, "id", "at", "weld", "rating")
	describe(kinds, &l.followUps, "id", "at", "weld", "held")
	describe(kinds, &l.photos, "id", "at", "weld", "media", "sha256", "picture")
	describe(kinds, &l.procedures, "id", "name", "revision", "at")
	one := []any{map[string]any{"$ref": "#/$defs/header"}}
	for _, k := range l.all() {
		one = append(one, map[string]any{"$ref": "#/$defs/" + k.label()})
	}
	doc := map[string]any{
		"$schema":     "https://json-schema.org/draft/2020-12/schema",
		"title":       "One line of a welding notebook's export",
		"description": fmt.Sprintf("A file is a header line and then one record a line, version %d. What is not known is left out. The ending of a key is its unit; times are RFC 3339; a record names others by their ids, and its machine by name.", Schema),
		"oneOf":       one,
		"$defs":       kinds,
	}
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", " ")
	if err := enc.Encode(doc); err != nil {
		panic(err)
	}
	return b.Bytes()
}

// TestExchangeSchema: the schema that is shipped is that of the records, and every
// line of every notebook kept fits it. Run with -update after a key was added.
func TestExchangeSchema(t *testing.T) {
	if f := goflag.Lookup("update"); f != nil && f.Value.String() == "true" {
		if err := os.WriteFile("exchange.schema.json", wholeSchema(), 0o644); err != nil {
			t.Fatal(err)
		}
		exchangeSchema = wholeSchema()
	}
	if !bytes.Equal(exchangeSchema, wholeSchema()) {
		t.Fatal("exchange.schema.json is not what the records have: go test ./procedures/store -run TestExchangeSchema -update, and raise Schema where a released key changed")
	}
	var doc map[string]any
	if err := json.Unmarshal(exchangeSchema, &doc); err != nil {
		t.Fatal(err)
	}
	kept, err := filepath.Glob("../../testdata/notebooks/*.db")
	if err != nil || len(kept) == 0 {
		t.Fatal(kept, err)
	}
	seen := map[string]bool{}
	for _, name := range kept {
		b, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		path := filepath.Join(t.TempDir(), "n.db")
		if err := os.WriteFile(path, b, 0o600); err != nil {
			t.Fatal(err)
		}
		n, err := Open(context.Background(), path, Options{})
		if err != nil {
			t.Fatal(err)
		}
		var out bytes.Buffer
		_, err = n.Export(context.Background(), &out, nil)
		if err != nil || n.Close() != nil {
			t.Fatal(err)
		}
		for i, line := range strings.Split(strings.TrimSpace(out.String()), "\n") {
			var v map[string]any
			if err := json.Unmarshal([]byte(line), &v); err != nil {
				t.Fatal(err)
			}
			kind, _ := v["kind"].(string)
			seen[kind] = true
			def, ok := doc["$defs"].(map[string]any)[kind].(map[string]any)
			if !ok {
				t.Fatalf("no schema for %q", kind)
			}
			if wrong := misfit(def, v, kind); wrong != "" {
				t.Errorf("%s, line %d: %s", filepath.Base(name), i+1, wrong)
			}
		}
	}
	for kind := range doc["$defs"].(map[string]any) {
		if !seen[kind] {
			t.Errorf("no notebook kept has a %s", kind)
		}
	}
	if misfit(doc["$defs"].(map[string]any)["weld"].(map[string]any), map[string]any{"kind": "weld", "schema": 1.0, "id": "x", "at": "", "job": map[string]any{"joint": "zigzag"}}, "") == "" {
		t.Error("a weld that cannot be fits the schema")
	}
}

// misfit says where a value does not fit a schema, as far as this schema goes: type,
// const, enum, bounds, properties, required, items.
func misfit(s map[string]any, v any, path string) string {
	if c, ok := s["const"]; ok && c != v {
		return fmt.Sprintf("%s is %v, want %v", path, v, c)
	}
	if e, ok := s["enum"].([]any); ok && !slices.Contains(e, v) {
		return fmt.Sprintf("%s: %v is none of %v", path, v, e)
	}
	is := map[string]bool{}
	switch x := v.(type) {
	case map[string]any:
		is["object"] = true
	case []any:
		is["array"] = true
	case string:
		is["string"] = true
	case bool:
		is["boolean"] = true
	case float64:
		is["number"], is["integer"] = true, x == float64(int64(x))
		if lo, ok := s["minimum"].(float64); ok && x < lo {
			return fmt.Sprintf("%s: %v is below %v", path, x, lo)
		}
		if hi, ok := s["maximum"].(float64); ok && x > hi {
			return fmt.Sprintf("%s: %v is above %v", path, x, hi)
		}
	}
	if want, ok := s["type"].(string); ok && !is[want] {
		return fmt.Sprintf("%s is %T, want %s", path, v, want)
	}
	if object, ok := v.(map[string]any); ok {
		props, _ := s["properties"].(map[string]any)
		if need, ok := s["required"].([]any); ok {
			for _, key := range need {
				if _, there := object[key.(string)]; !there {
					return fmt.Sprintf("%s has no %v", path, key)
				}
			}
		}
		for key, x := range object {
			sub, ok := props[key].(map[string]any)
			if !ok {
				if s["additionalProperties"] == false {
					return fmt.Sprintf("%s has a stray key %s", path, key)
				}
				continue
			}
			if wrong := misfit(sub, x, path+"."+key); wrong != "" {
				return wrong
			}
		}
	}
	if list, ok := v.([]any); ok {
		for i, x := range list {
			if sub, ok := s["items"].(map[string]any); ok {
				if wrong := misfit(sub, x, fmt.Sprintf("%s[%d]", path, i)); wrong != "" {
					return wrong
				}
			}
		}
	}
	return ""
}
