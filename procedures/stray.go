package procedures

import (
	"slices"
	"strings"
	"sync"
)

// Words that are said of a bead, and of other things as well: the arc pops and so
// does an outlet, a bead is cold and so is a garage. (Common practice, no source.)
var (
	heatWords  = stemSet("hot cold too")
	looseWords = stemSet(`hot cold too pop popping crackling crack cracking sound snap hissing flaring roaring whoosh loud bang bubbles foam hole pits split open melt burn burned blow through
		fell drop away eat right sparks everywhere fireworks flicker surge little tiny small break off clean came knock twist buckle out back drips in on`)
)

// What else they are said of: what a welder wears, the machine with what feeds it,
// and what only words of heat are said of.
var (
	wornThings  = setOf("glove gloves boot boots shoe shoes sock socks sleeve sleeves shirt pants jeans jacket apron helmet lens hose bottle lighter")
	benchThings = setOf(`plug plugs outlet outlets receptacle cord cords breaker breakers prong prongs adapter insulation machine welder transformer cabinet vent vents fan capacitor capacitors rectifier
		lights lamp lamps bulb grinder handle trigger`)
	warmThings = setOf("gun torch clamp cable cables lug garage shop barn basement room house floor day days morning evening night weather winter summer coffee beer")
)

// beadWords name the bead itself.
var beadWords = setOf("bead beads weld welds puddle arc toe toes root")

// joins are the words at which another clause may begin.
var joins = setOf("and but then though while so because plus")

// stemSet is [setOf] with the stems of the words.
func stemSet(words string) func() map[string]bool {
	return sync.OnceValue(func() map[string]bool {
		m := map[string]bool{}
		for w := range setOf(words)() {
			m[stemOf(w)] = true
		}
		return m
	})
}

// strays tells words said of something else from words said of the bead.
type strays struct {
	words  []string     // of the text, without the signs about them
	clause []int        // of each word
	grave  map[int]bool // clauses in which a danger is told
	aside  map[int]bool // words that name nothing: the plug of a plug weld
}

// straysOf reads a text of which the dangers were heard.
func straysOf(text string, said *speech, dangers []hit) strays {
	s := strays{words: plainWords(text), grave: map[int]bool{}, aside: map[int]bool{}}
	s.clause = clauses(text, s.words)
	told := map[int]bool{}
	for _, h := range dangers {
		for _, i := range h.places {
			told[i] = true
			s.grave[s.clause[said.words[i].at]] = true
		}
	}
	for i, w := range said.words {
		s.aside[w.at] = w.used && !told[i]
	}
	return s
}

// clauses numbers the clause of each word.
func clauses(text string, words []string) []int {
	ends, n := map[int]bool{}, 0
	for _, piece := range strings.FieldsFunc(strings.ReplaceAll(text, ". ", ", "), func(r rune) bool { return strings.ContainsRune(",;:!?()\n", r) }) {
		n += len(tokenize(piece))
		ends[n] = true
	}
	of, now := make([]int, len(words)), 0
	for i, w := range words {
		degree := w == "so" && i+1 < len(words) && heatWords()[stemOf(words[i+1])] // "so hot" is no clause of its own
		if joins()[w] && !degree || n == len(words) && ends[i] {
			now++
		}
		of[i] = now
	}
	return of
}

// whose is what loose words are said of, as far as can be told.
type whose int

const (
	ofBead  whose = iota
	ofBench       // perhaps the machine's: as a symptom it is asked, not taken
	ofOther       // a danger's, a glove's, a garage's
)

// of tells what the words at some places are said of. A danger that is told in a
// text has the loose words of its clause, and perhaps those of other clauses that do
// not name the bead; the machine has the words of heat likewise. A plug that smells
// hot moves no wire speed.
func (s strays) of(at []int) whose {
	heat := true
	for _, i := range at {
		stem := stemOf(s.words[i])
		if !fillers()[s.words[i]] && !looseWords()[stem] {
			return ofBead
		}
		heat = heat && (fillers()[s.words[i]] || heatWords()[stem])
	}
	from, to := s.clause[slices.Min(at)], s.clause[slices.Max(at)]
	near, bead, bench := false, false, false
	for j, w := range s.words {
		if s.aside[j] || slices.Contains(at, j) {
			continue
		}
		bench = bench || benchThings()[w]
		if s.clause[j] < from || s.clause[j] > to {
			continue
		}
		if s.grave[s.clause[j]] || wornThings()[w] || heat && warmThings()[w] {
			return ofOther
		}
		near = near || benchThings()[w]
		bead = bead || beadWords()[w]
	}
	if near || !bead && (len(s.grave) > 0 || heat && bench) {
		return ofBench
	}
	return ofBead
}
