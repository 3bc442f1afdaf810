package source

import (
	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/arc"
)

func first(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

func checkAmps(field string, i procedures.Amps) error {
	return arc.Within(field, float64(i), 0.1, 2000, "A")
}

func checkDuty(d procedures.Percent) error {
	return arc.Within("duty cycle", float64(d), 1, 100, "%")
}

func exact(v float64, unit string, row data.Row) arc.Value {
	return arc.Value{Value: v, Low: v, High: v, Unit: unit, Basis: row.Basis, Source: row.Source, Note: row.Note}
}
