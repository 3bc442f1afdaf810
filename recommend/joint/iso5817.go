package joint

import (
	"fmt"
	"math"
	"strings"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/arc"
)

// Limit is what ISO 5817 lets pass of one imperfection at one quality level.
type Limit struct {
	Name  string
	Rule  string    // none (not permitted), limit, short (short imperfections only), use (depends on use)
	Of    string    // what size means: t plate thickness, s weld thickness, a throat, b width; "" if nothing
	Value arc.Value // mm; 0 where Rule is none or use
}

// Imperfection returns the limit of ISO 5817 for an imperfection by its ISO 6520-1
// number (502, 503, 5011 ...), weld (fillet or a butt weld), level B, C or D, plate
// thickness, and the size that its rule depends on (see Limit.Of; the thickness is
// taken for t). The limit is h0 + factor*size and never over its cap.
// Range: thickness 0.5 to 300 mm, below it [*arc.RangeError]; size 0.5 to 300 mm
// where the rule needs one, else 0. Rows differ in edition: see the sources.
// Source: ISO 5817:2014 and 2007 Table 1, EN 25817:1992.
func Imperfection(number string, w procedures.WeldType, level string, thickness, size procedures.MM) (Limit, error) {
	if err := checkThickness("thickness", thickness); err != nil {
		return Limit{}, err
	}
	if thickness < 0.5 {
		return Limit{}, &arc.RangeError{Quantity: "thickness", Read: float64(thickness), Low: 0.5, High: math.Inf(1), Unit: "mm", Source: []string{"AC-5817-14"}}
	}
	weld := "butt"
	if w == procedures.Fillet {
		weld = "fillet"
	}
	for _, r := range data.ImperfectionLimits() {
		if !numbered(r.Number, number) || r.Level != level || r.Weld != "any" && r.Weld != weld {
			continue
		}
		if float64(thickness) <= r.OverMM || r.ThroughMM > 0 && float64(thickness) > r.ThroughMM {
			continue
		}
		out := Limit{Name: r.Name, Rule: r.Rule, Of: r.Of, Value: exact(0, "mm", r.Row)}
		if r.Rule == "none" || r.Rule == "use" {
			return out, nil
		}
		x := size
		if r.Of == "t" {
			x = thickness
		}
		if err := arc.Within("size ("+r.Of+")", float64(x), 0.5, 300, "mm"); err != nil {
			return Limit{}, err
		}
		h := r.H0MM + r.Factor*float64(x)
		if r.MaxMM > 0 {
			h = min(h, r.MaxMM)
		}
		out.Value = exact(h, "mm", r.Row)
		return out, nil
	}
	return Limit{}, procedures.Invalid("imperfection", fmt.Sprintf("%s, %s, level %s", number, weld, level), "no row for it",
		"accepted: ISO 6520-1 numbers such as 502, 503, 5011, 2017; levels B, C, D")
}

// numbered matches 5011 with the row "5011/5012".
func numbered(row, asked string) bool {
	for _, n := range strings.Split(row, "/") {
		if n == asked {
			return true
		}
	}
	return false
}
