package source

import (
	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/arc"
)

// Eyes is the filter for an arc.
type Eyes struct {
	Minimum   int  // 29 CFR 1910.133
	Suggested int  // ANSI Z49.1, the darker end where a span is printed; never below Minimum
	Practice  bool // none is printed at that current: Suggested is common practice, no source
	Source    []string
	Note      string
}

// practiceShade is where people begin where no shade is printed, below 60 A: a shade
// 9 is usual, darker for those whom it dazzles. Common practice, no source.
const practiceShade = 9

// shadeWords goes with every shade. Source: 29 CFR 1910.133 note.
const shadeWords = "begin with a shade too dark to see the pool, then go lighter, never below the minimum"

// Shade returns the minimum and the suggested filter shade for a process at a
// current. Where two rows meet the darker one counts. Where the rows
// have no suggestion there is none in print, and Suggested is common practice. TIG is process 141.
// Range: up to 500 A (550 A for covered electrodes). Errors: [*arc.NoTableError]
// for another process, [*arc.RangeError].
// Source: 29 CFR 1910.133(a)(5), ANSI Z49.1.
func Shade(p procedures.Process, i procedures.Amps) (Eyes, error) {
	if err := checkAmps("current", i); err != nil {
		return Eyes{}, err
	}
	operation, ok := map[procedures.Process]string{procedures.FCAWS: "GMAW/FCAW", procedures.FCAWG: "GMAW/FCAW", procedures.GMAW: "GMAW/FCAW", "131": "GMAW/FCAW",
		procedures.SMAW: "SMAW", "141": "GTAW"}[p]
	if !ok {
		return Eyes{}, &arc.NoTableError{Quantity: "shade", Of: "process " + string(p), Have: []string{"114, 136, 135, 131", "111", "141"}}
	}
	out := Eyes{Note: shadeWords}
	var top float64
	var from []string
	for _, r := range data.EyeShades() {
		if r.Operation != operation {
			continue
		}
		top, from = max(top, r.ThroughA), r.Source
		if float64(i) >= r.FromA && float64(i) <= r.ThroughA {
			out.Minimum, out.Suggested = max(out.Minimum, r.Minimum), max(out.Suggested, r.Suggested)
			out.Source = arc.Together(out.Source, r.Source)
		}
	}
	if out.Minimum == 0 {
		return Eyes{}, &arc.RangeError{Quantity: "current", Read: float64(i), Low: 0, High: top, Unit: "A", Source: from}
	}
	if out.Suggested == 0 {
		out.Practice, out.Suggested = true, practiceShade
		out.Source = arc.Together(out.Source, []string{"CP"})
	}
	out.Suggested = max(out.Suggested, out.Minimum)
	return out, nil
}
