package web

import (
	"bytes"
	"encoding/json"
	"io"
	"slices"
	"strconv"
	"unicode/utf8"
)

// unfitError is JSON that says what is not taken.
type unfitError struct{ key, problem string }

func (e *unfitError) Error() string { return e.problem }

// readObject reads one JSON object of words, numbers, true and false, as the words
// that a command line has for them; null is not said. Lists of words are taken
// under the keys named. A key twice, anything deeper and anything behind the
// object is refused: two readers could take it for two things.
func readObject(r io.Reader, lists []string) (map[string][]string, error) {
	body, err := io.ReadAll(r)
	if err != nil {
		return nil, err
	}
	if !utf8.Valid(body) {
		return nil, &unfitError{"", "not UTF-8"}
	}
	d := json.NewDecoder(bytes.NewReader(body))
	d.UseNumber()
	if t, err := d.Token(); err != nil {
		return nil, err
	} else if t != json.Delim('{') {
		return nil, &unfitError{"", "not one JSON object"}
	}
	said, seen := map[string][]string{}, map[string]bool{}
	for d.More() {
		t, err := d.Token()
		if err != nil {
			return nil, err
		}
		key := t.(string) // the decoder takes nothing else for a key
		if seen[key] {
			return nil, &unfitError{plain(key, 40), "said twice"}
		}
		seen[key] = true
		values, err := readValue(d, key, slices.Contains(lists, key))
		if err != nil {
			return nil, err
		}
		if values != nil {
			said[key] = values
		}
	}
	if _, err := d.Token(); err != nil { // the end of the object
		return nil, err
	}
	if _, err := d.Token(); err != io.EOF {
		return nil, &unfitError{"", "something stands behind the object"}
	}
	return said, nil
}

// readValue is the words that a value stands for; nil for null.
func readValue(d *json.Decoder, key string, list bool) ([]string, error) {
	t, err := d.Token()
	if err != nil {
		return nil, err
	}
	if t == json.Delim('[') && list {
		values := []string{}
		for d.More() {
			t, err := d.Token()
			if err != nil {
				return nil, err
			}
			v, ok := word(t)
			if !ok {
				return nil, &unfitError{plain(key, 40), "not a list of words"}
			}
			values = append(values, v)
		}
		_, err := d.Token()
		return values, err
	}
	if t == nil {
		return nil, nil
	}
	v, ok := word(t)
	if !ok {
		return nil, &unfitError{plain(key, 40), "not one value"}
	}
	return []string{v}, nil
}

// word is a value as a command line says it.
func word(t json.Token) (string, bool) {
	switch t := t.(type) {
	case string:
		return t, true
	case json.Number:
		return t.String(), true
	case bool:
		return strconv.FormatBool(t), true
	}
	return "", false
}
