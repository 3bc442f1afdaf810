package data

// Basis says how a row's numbers were got.
type Basis string

const (
	Printed  Basis = "printed"  // read in print, in the source that the row names
	Computed Basis = "computed" // worked out from printed figures; the note says how
	Memory   Basis = "memory"   // from memory: check against the standard before relying on it
	Practice Basis = "practice" // common practice, no source
)

// Row is what every row of every table carries beside its facts.
type Row struct {
	Source []string `csv:"source"` // ids, keys of [Sources]; at least one
	Basis  Basis    `csv:"basis"`
	Note   string   `csv:"note,optional"` // our own words, ASCII, at most 160 characters; may be ""
}
