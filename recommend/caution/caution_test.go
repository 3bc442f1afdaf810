package caution

import (
	"encoding/csv"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// row is a phrase of testdata/phrases.csv. Stops are the whole list; lesser are
// level:key pairs that must be among the lesser cautions, and with no stop and
// no lesser named there must be none.
type row struct {
	words, use    string
	stops, lesser []string
}

func phrases(t testing.TB) []row {
	t.Helper()
	f, err := os.Open("testdata/phrases.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	in := csv.NewReader(f)
	in.Comment = '#'
	records, err := in.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var rows []row
	for _, r := range records[1:] {
		rows = append(rows, row{r[0], r[1], list(r[2]), list(r[3])})
	}
	return rows
}

func list(cell string) []string {
	if cell == "" || cell == "none" {
		return nil
	}
	return strings.Split(cell, ";")
}

func keys(list []Caution) []string {
	var out []string
	for _, c := range list {
		out = append(out, c.Key)
	}
	return out
}

func TestPhrases(t *testing.T) {
	rows := phrases(t)
	if len(rows) < 200 {
		t.Fatalf("only %d phrases", len(rows))
	}
	for _, r := range rows {
		t.Run(r.words+"|"+r.use, func(t *testing.T) {
			stops, cares := Gate(Request{Words: r.words, For: r.use})
			if diff := cmp.Diff(r.stops, keys(stops)); diff != "" {
				t.Errorf("stops (-want +got):\n%s", diff)
			}
			var got []string
			for _, c := range cares {
				got = append(got, string(c.Level)+":"+c.Key)
			}
			for _, want := range r.lesser {
				if !slices.Contains(got, want) {
					t.Errorf("no %s in %v", want, got)
				}
			}
			if len(r.stops) == 0 && len(r.lesser) == 0 && len(got) > 0 {
				t.Errorf("cautions %v on a plain phrase", got)
			}
		})
	}
}
