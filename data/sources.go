package data

import (
	"fmt"
	"sync"
)

// Source is a place that a fact was read in.
type Source struct {
	ID       string `csv:"id"`
	Citation string `csv:"citation"`
	Edition  string `csv:"edition,optional"` // edition, table or clause
	// Trust is A (standard, regulation, government text or textbook), B (good
	// second-hand), C (weak or interested, count once), exact (arithmetic),
	// memory, or none (common practice).
	Trust  string `csv:"trust"`
	Remark string `csv:"remark,optional"`
}

// String gives a citation to show beside a number, such as
// "29 CFR 1910.133(a)(5)" or "AISC 360, 2005, Tables J2.4 and J2.2b".
func (s Source) String() string {
	if s.Edition == "" {
		return s.Citation
	}
	return s.Citation + ", " + s.Edition
}

var sourceRows = table[Source]("sources.csv")

// Sources returns every source by id.
func Sources() map[string]Source { return sources() }

var sources = sync.OnceValue(func() map[string]Source {
	m := make(map[string]Source, len(sourceRows()))
	for _, s := range sourceRows() {
		m[s.ID] = s
	}
	return m
})

// Cite turns source ids into citations for people, in the order given.
// An id that is not in [Sources] comes back as `unknown source "id"`.
func Cite(ids ...string) []string {
	out := make([]string, len(ids))
	for i, id := range ids {
		if s, ok := Sources()[id]; ok {
			out[i] = s.String()
		} else {
			out[i] = fmt.Sprintf("unknown source %q", id)
		}
	}
	return out
}
