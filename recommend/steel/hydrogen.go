package steel

import (
	"math"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/arc"
)

// HydrogenScale returns the class A (most) to E (least) of EN 1011-2 for
// diffusible hydrogen in ml per 100 g of weld metal. Bands run "over ... through".
// Range: above 0 to 100. Source: EN 1011-2 Table C.2, from memory.
func HydrogenScale(mlPer100g float64) (string, error) {
	if err := arc.Within("hydrogen", mlPer100g, 0.01, 100, "ml/100 g"); err != nil {
		return "", err
	}
	for _, r := range data.HydrogenScales() {
		if mlPer100g > r.OverMLPer100g && (r.ThroughMLPer100g == 0 || mlPer100g <= r.ThroughMLPer100g) {
			return r.Scale, nil
		}
	}
	return "", &arc.RangeError{Quantity: "hydrogen", Read: mlPer100g, Low: 0, High: 100, Unit: "ml/100 g"}
}

// hydrogenOf gives the hydrogen, in ml/100 g, behind the levels of the D1.1 annex.
// Source: from memory; H1 below 5 and H2 below 10 seen in print.
var hydrogenOf = map[string]float64{"H1": 5, "H2": 10, "H3": 30}

// Susceptibility returns the index 12*Pcm + log10(H) of the D1.1 annex on
// hydrogen control and its group A to G, for a level H1, H2 or H3.
// Range: Pcm 0.05 to 0.6 %; an index above 7 is [*arc.RangeError].
// Source: AWS D1.1 annex, from memory; one group seen in a printed example.
func Susceptibility(pcm float64, level string) (index float64, group string, err error) {
	if err := arc.Within("Pcm", pcm, 0.05, 0.6, "%"); err != nil {
		return 0, "", err
	}
	h, ok := hydrogenOf[level]
	if !ok {
		return 0, "", procedures.Invalid("hydrogen level", level, "not a level of the annex", "accepted: H1, H2, H3")
	}
	index = 12*pcm + math.Log10(h)
	for _, g := range []struct {
		through float64
		name    string
	}{{3, "A"}, {3.5, "B"}, {4, "C"}, {4.5, "D"}, {5, "E"}, {5.5, "F"}, {7, "G"}} {
		if index <= g.through+fine {
			return index, g.name, nil
		}
	}
	return index, "", &arc.RangeError{Quantity: "susceptibility index", Read: index, Low: 0, High: 7, Source: fromMemory}
}

// AnnexPreheat returns the preheat of the D1.1 annex on hydrogen control. Of its
// table only one cell was seen in print: high restraint, over 1-1/2 through 3 in,
// group D. Everything else is [*arc.NoTableError].
// Source: AWS forum on D1.1-2004 Table XI-2; the band of thickness from memory.
func AnnexPreheat(restraint string, t procedures.MM, group string) (Preheat, error) {
	if err := arc.Within("thickness", float64(t), 0.1, 300, "mm"); err != nil {
		return Preheat{}, err
	}
	if in := t.Inches(); restraint == "high" && group == "D" && in > 1.5+slack && in <= 3+slack {
		return Preheat{F: 300, C: 150, Basis: data.Printed, Source: []string{"PH-AWSF1"}, Note: "D1.1-2004 Table XI-2"}, nil
	}
	return Preheat{}, &arc.NoTableError{Quantity: "annex preheat", Of: "restraint " + restraint + ", group " + group,
		Have: []string{"restraint high, group D, over 1-1/2 through 3 in"}}
}
