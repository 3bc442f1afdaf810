package caution

import (
	"slices"
	"sync"

	"beadwright/procedures"
)

// bareMetal is which coatings are off, as far as was said.
type bareMetal struct {
	all   bool
	named []string // keys
}

func (b bareMetal) covers(key string) bool { return b.all || slices.Contains(b.named, key) }

// stripping are the phrases that say a coating is off.
type stripping struct {
	any     matcher            // whichever it is: "ground off", "stripped"
	named   map[string]matcher // one of them: "zinc ground off"
	others  matcher            // what is no coating: "rust ground off"
	before  matcher            // takes it back up to three words later: "not stripped"
	after   matcher            // takes it back up to three words before: "stripped on one side"
	unready matcher            // takes it back wherever it stands
}

var strippings = sync.OnceValue(func() stripping {
	return stripping{
		any: newMatcher(`stripped, ground|sanded|blasted|filed off|back|clean, bare|bright|shiny metal|steel, taken off, `+goneFrom(`coating|plating|finish`),
			`stripped thread|screw|bolt|wire|gear, wire stripped`),
		named: map[string]matcher{
			string(procedures.Galvanized):  newMatcher(goneFrom(`zinc|galvanized`), ``),
			string(procedures.Cadmium):     newMatcher(goneFrom(`cadmium|cad`), ``),
			string(procedures.LeadPaint):   newMatcher(goneFrom(`lead|leadpaint`)+`, `+goneFrom(`lead ~ paint`), ``),
			string(procedures.Chrome):      newMatcher(goneFrom(`chrome|chromium`), ``),
			string(procedures.OtherCoated): newMatcher(goneFrom(`nickel|tin|teflon`), ``),
			string(procedures.Paint):       newMatcher(goneFrom(`paint|primer|powdercoat`)+`, `+goneFrom(`powder coat`), `lead ~ paint`),
		},
		others: newMatcher(goneFrom(`rust|scale|grease|oil|dirt`), ``),
		before: newMatcher(`not, no, isnt, wasnt, arent, havent, hasnt, dont, didnt, never, without, need, will, going, gonna, plan, before, until, if, should, must
			can, cant, cannot, could, half, partly, partially, mostly, some, tried, trying, almost, nearly, to be, have to, only`, ``),
		after:   newMatcher(`one side, only, partly, mostly, not, except, yet, later, soon, tomorrow`, `not rusty|oily`),
		unready: newMatcher(`not yet, unstripped, still galvanized|coated|plated|chrome|on, yet to`, ``),
	}
})

// goneFrom lists the ways to say that a coating is off.
func goneFrom(names string) string {
	const gone, took = `stripped|removed|off|gone|ground|sanded|blasted|dissolved`, `stripped|removed|sanded|ground|dissolved|took|blasted`
	return names + ` ~ ` + gone + `, ` + names + ` is|was|has|been|all|fully ~ ` + gone + `, ` + names + ` has|have been ` + gone + `, ` +
		took + ` ~ ` + names + `, ` + took + ` off|away|all ~ ` + names
}

// strippedOf reads which coatings are off. Any doubt leaves them all on. The
// job's own mark counts only where the words say nothing of stripping, since
// "galvanized, paint stripped" leaves the zinc on.
func strippedOf(text []token, j procedures.Job) bareMetal {
	s := strippings()
	var out bareMetal
	if s.unready.in(text) {
		return out
	}
	general, other := s.any.places(text, false), s.others.places(text, false)
	said := slices.Concat(general, other)
	taken := map[int]bool{} // words that were said of one coating
	take := func(spans [][]int) {
		for _, span := range spans {
			for _, at := range span {
				taken[at] = true
			}
		}
	}
	take(other)
	for key, m := range s.named {
		if spans := m.places(text, false); len(spans) > 0 {
			out.named = append(out.named, key)
			said = append(said, spans...)
			take(spans)
		}
	}
	for _, span := range general {
		out.all = out.all || !slices.ContainsFunc(span, func(at int) bool { return taken[at] })
	}
	if near(text, said, s.before.places(text, false), s.after.places(text, false)) {
		return bareMetal{}
	}
	out.all = out.all || j.Stripped && len(said) == 0
	return out
}

// near reports whether one of the spans has, within three words and no pause, a
// word of those before it or of those after it.
func near(text []token, spans, before, after [][]int) bool {
	ends, starts := map[int]bool{}, map[int]bool{}
	for _, b := range before {
		ends[b[len(b)-1]] = true
	}
	for _, a := range after {
		starts[a[0]] = true
	}
	for _, span := range spans {
		for i := span[0]; i > max(0, span[0]-gap) && !text[i].pause && text[i-1].word != wall; i-- {
			if ends[i-1] {
				return true
			}
		}
		last := span[len(span)-1]
		for i := last + 1; i < len(text) && i <= last+gap && !text[i].pause && text[i].word != wall; i++ {
			if starts[i] {
				return true
			}
		}
	}
	return false
}
