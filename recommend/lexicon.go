package recommend

import (
	"sync"

	"beadwright/data"
	"beadwright/procedures"
)

// Lexicon binds the reading of a welder's words to the published tables.
func Lexicon() procedures.Lexicon { return lexicon() }

var lexicon = sync.OnceValue(func() procedures.Lexicon {
	lex := procedures.Lexicon{
		SheetGauge: func(gauge int, galvanized bool) (procedures.MM, bool) {
			for _, g := range data.SheetGauges() {
				if g.Gauge == gauge {
					if galvanized {
						return procedures.Inches(g.GalvanizedIn), g.GalvanizedIn > 0
					}
					return procedures.Inches(g.UncoatedIn), true
				}
			}
			return 0, false
		},
		TubeGauge: func(gauge int) (procedures.MM, bool) {
			for _, w := range data.TubeWalls() {
				if w.Gauge == gauge {
					return procedures.Inches(w.WallIn), true
				}
			}
			return 0, false
		},
		PipeWall: func(nominal string) (procedures.MM, bool) {
			for _, p := range data.Pipes() {
				if p.Nominal == nominal {
					return procedures.Inches(p.WallIn), true
				}
			}
			return 0, false
		},
	}
	for _, s := range data.Steels() {
		lex.Steels = append(lex.Steels, procedures.SteelWords{Key: s.Key, Group: s.Group, Words: append([]string{s.Key}, s.Aliases...)})
	}
	return lex.Indexed()
})

// grade returns the row of a steel.
func grade(key string) (data.Steel, bool) {
	for _, s := range data.Steels() {
		if s.Key == key {
			return s, true
		}
	}
	return data.Steel{}, false
}
