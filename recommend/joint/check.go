package joint

import (
	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/arc"
)

func checkThickness(field string, t procedures.MM) error {
	return arc.Within(field, float64(t), 0.1, 300, "mm")
}

func checkLeg(leg procedures.MM) error { return arc.Within("leg", float64(leg), 0.5, 100, "mm") }

func checkLength(l procedures.MM) error { return arc.Within("length", float64(l), 1, 1e6, "mm") }

func checkMass(grams float64) error { return arc.Within("weld metal", grams, 0.001, 1e7, "g") }

func first(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

// exact is a value without a range: a limit or a table cell.
func exact(v float64, unit string, row data.Row) arc.Value {
	return arc.Value{Value: v, Low: v, High: v, Unit: unit, Basis: row.Basis, Source: row.Source, Note: row.Note}
}

// fromInches is exact for a cell in inches, returned in millimetres.
func fromInches(in float64, row data.Row) arc.Value {
	return exact(float64(procedures.Inches(in)), "mm", row)
}

// sameLength compares lengths that may have passed through a conversion of
// units: a band that ends at 1/4 in includes 6.35 mm whatever its last digit.
const sameLength = 1e-6
