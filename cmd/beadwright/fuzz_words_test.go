package main

import (
	"errors"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"beadwright/procedures"
)

// FuzzWords hands any text to everything that reads the value of a flag: each takes
// it, or says what it would take.
func FuzzWords(f *testing.F) {
	for _, s := range []string{"4+", "2..3", "30d", "2026-01-31", "yesterday", "10 min ago", "low=14V,high=17V", "14 awg 25 ft", "12/2", "fridge 6A", "heater=1500W", "mig,stick", "2x 3x4 1/8 mild", "3 of 12x2in 14ga mild", "before=bead.jpg", "leg=1/4", "dcen", "2F", "0.035 E71T-11", "1e999", "½", "", "\x00", "-1", "25 ft 4 awg"} {
		f.Add(s)
	}
	now := time.Date(2026, 1, 31, 12, 0, 0, 0, time.UTC)
	a := &app{now: func() time.Time { return now }}
	f.Fuzz(func(t *testing.T, s string) {
		for _, units := range []procedures.Units{procedures.US, procedures.Metric} {
			lo, hi, ratings := parseRatings(s)
			if ratings == nil && (lo < 0 || hi > 5) {
				t.Errorf("ratings %q: %d to %d", s, lo, hi)
			}
			taps, tapsErr := parseTaps(s)
			if tapsErr == nil && len(taps) == 0 && s != "" {
				t.Errorf("taps %q: none", s)
			}
			wire, wireErr := parseWire(s, units)
			if wireErr == nil && wire.Diameter < 0 {
				t.Errorf("wire %q: %+v", s, wire)
			}
			rating, ratingErr := parseRating(s)
			if ratingErr == nil && (rating < 1 || rating > 5) {
				t.Errorf("rating %q: %d", s, rating)
			}
			for what, err := range map[string]error{
				"ratings": ratings, "taps": tapsErr, "wire": wireErr, "rating": ratingErr,
				"since": second(a.parseSince(s)), "time": second(parseTime("at", s, now)), "polarity": second(parsePolarity(s)),
				"processes": second(parseProcesses(s)), "wall": second(parseWall(s)), "cord": second(parseCord(s, units)), "load": second(parseLoad(s, 120)),
				"lead": second(parseLead("lead", s, units)), "position": second(readPosition(s, units)),
				"scrap": second(readScrap([]string{s}, units)), "photos": second(readShots([]string{s})), "fields": readFields(map[string]string{}, []string{s}),
			} {
				var bad *procedures.InvalidError
				var file *fileFailure // of the world, not of the words, but told alike
				if errors.As(err, &file) {
					err = file.said
				}
				if err != nil && (!errors.As(err, &bad) || len(bad.Hints) == 0) {
					t.Errorf("%s %q: %v (%T), without a hint", what, s, err, err)
				}
			}
		}
	})
}

func second[T any](_ T, err error) error { return err }

// FuzzRows reads any file as a paper log that was typed in: its rows, each of cells
// that the head names, or a refusal with a hint.
func FuzzRows(f *testing.F) {
	for _, s := range []string{"mark,job,rating,note\nA1,1/8 mild tee,4,\n,,3,ditto\n", "mark;rating\nA1;4\n", "\xef\xbb\xbfrating\tnote\n4\tcorner\n", "rating,rating\n4,4\n", "rating\n\"", "", "\n", "rating\n4,5\n"} {
		f.Add([]byte(s))
	}
	file := filepath.Join(f.TempDir(), "log.csv")
	f.Fuzz(func(t *testing.T, text []byte) {
		if err := os.WriteFile(file, text, 0o600); err != nil {
			t.Fatal(err)
		}
		rows, err := readRows(file)
		var bad *procedures.InvalidError
		if err != nil && (!errors.As(err, &bad) || len(bad.Hints) == 0) {
			t.Errorf("%q: %v (%T), without a hint", text, err, err)
		}
		if err == nil && (len(rows) == 0 || slices.ContainsFunc(rows, func(r sheetRow) bool { return len(r.cells) == 0 })) {
			t.Errorf("%q: %v", text, rows)
		}
	})
}

// FuzzPhones reads any file as the list of paired devices: a list, or a failure of the
// file; and what is added to a list that can be read is on it.
func FuzzPhones(f *testing.F) {
	for _, s := range []string{"[]", `[{"name":"phone","since":"2026-01-31T12:00:00Z"}]`, "null", "{}", "[null]", `[{"name":1}]`, "", "\x00"} {
		f.Add([]byte(s))
	}
	file := filepath.Join(f.TempDir(), "n.db")
	f.Fuzz(func(t *testing.T, text []byte) {
		if err := os.WriteFile(file+".phones", text, 0o600); err != nil {
			t.Fatal(err)
		}
		list, err := newPhones(file).Phones()
		if err != nil {
			if list != nil {
				t.Errorf("%q: %v and %v", text, list, err)
			}
			return
		}
		n, err := newPhones(file).Remove("all")
		if left, after := newPhones(file).Phones(); err != nil || after != nil || n != len(list) || len(left) > 0 {
			t.Errorf("%q: %d of %d taken off, %d left: %v %v", text, n, len(list), len(left), err, after)
		}
	})
}
