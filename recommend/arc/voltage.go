package arc

import (
	"math"

	"beadwright/data"
	"beadwright/procedures"
)

// voltSpread is how far arc volts stray from the printed points: the sheet's own
// line through them misses by up to 0.3 V and its range for the wire differs by
// 0.5 V from its table.
const voltSpread = 0.5

// Voltage returns the arc voltage, in V, that goes with a current, by wire and
// weld. E71T-11 follows its data sheet, and E71T-GS the same with a wider range;
// solid wire follows the printed rows for its gas (CO2 or 80Ar/20CO2) and kind
// of weld; covered electrodes take the conventional line.
// Errors: [*procedures.InvalidError] for a current that no arc has,
// [*NoTableError] for a wire or gas without a table, [*RangeError] outside it.
func Voltage(w procedures.Wire, weld procedures.WeldType, i procedures.Amps) (Value, error) {
	if err := checkAmps(i); err != nil {
		return Value{}, err
	}
	size, ok := TradeSize(w.Diameter)
	switch {
	case w.Class == e71t11 && ok:
		return sheetVoltage(w, size, i)
	case w.Class == e71tgs && ok:
		return unprintedVoltage(w, size, i)
	case processOf(w) == procedures.GMAW:
		return gasVoltage(w, weld, i)
	case processOf(w) == procedures.SMAW:
		return LoadVoltage(procedures.SMAW, i)
	}
	return Value{}, noVoltage(w)
}

func noVoltage(w procedures.Wire) error {
	return &NoTableError{Quantity: "arc voltage", Of: w.String(),
		Have: []string{"E71T-11 and E71T-GS 0.030, 0.035 and 0.045 in", "solid wire with CO2 or 80Ar/20CO2", "covered electrodes"}}
}

// printedVoltage follows the data sheet of E71T-11; w is the wire asked about.
func printedVoltage(w procedures.Wire, size float64, i procedures.Amps) (Value, error) {
	out := Value{Unit: "V", Basis: data.Printed, Note: "data sheet of an E71T-11 wire, DCEN"}
	var points []point
	for _, r := range printedRows(size) {
		points = append(points, point{r.CurrentA, r.VoltageV})
		out.Basis, out.Source = Weakest(out.Basis, r.Basis), Together(out.Source, r.Source)
	}
	c, err := newCurve(points)
	if err != nil {
		return Value{}, noVoltage(w)
	}
	if !c.covers(float64(i)) {
		return Value{}, &RangeError{Quantity: "current of " + w.String(), Read: float64(i), Low: c.lowX(), High: c.highX(), Unit: "A", Source: out.Source}
	}
	out.Value = c.at(float64(i))
	out.Low, out.High = out.Value-voltSpread, out.Value+voltSpread
	return out, nil
}

func sheetVoltage(w procedures.Wire, size float64, i procedures.Amps) (Value, error) {
	if size == 0.030 {
		return thinWireVoltage(w, i)
	}
	return printedVoltage(w, size, i)
}

// thinWireVoltage: for 0.030 in only the range of volts is printed. The thinner
// wire takes the volts of 0.035 in, held inside its own range.
func thinWireVoltage(w procedures.Wire, i procedures.Amps) (Value, error) {
	out, err := printedVoltage(w, 0.035, i)
	if err != nil {
		return Value{}, err
	}
	for _, r := range data.SelfShieldedLimits() {
		if r.Class == e71t11 && r.DiameterIn == 0.030 && r.VoltageHighV > 0 {
			out.Value = min(max(out.Value, r.VoltageLowV), r.VoltageHighV)
			out.Low = max(out.Value-2*voltSpread, r.VoltageLowV)
			out.High = r.VoltageHighV
			out.Source = Together(out.Source, r.Source)
		}
	}
	out.Basis = Weakest(out.Basis, data.Computed)
	out.Note = "only 13 to 15 V is printed for 0.030 in: the 0.035 in row, held inside that range"
	return out, nil
}

// unprintedVoltage: nothing is printed for E71T-GS.
func unprintedVoltage(w procedures.Wire, size float64, i procedures.Amps) (Value, error) {
	out, err := sheetVoltage(w, size, i)
	if err != nil {
		return Value{}, err
	}
	line, err := LoadVoltage(procedures.FCAWS, i)
	if err != nil {
		return Value{}, err
	}
	out.Low, out.High = out.Low-voltSpread, max(out.High, line.Value)
	out.Basis, out.Source = data.Practice, Together(out.Source, line.Source, []string{"CP"})
	out.Note = "no figure for E71T-GS is in print: E71T-11 of that size, up to the conventional line"
	return out, nil
}

// gasVoltage reads the rows of solid wire for a gas and kind of weld. Each row is
// a span of current and of volts; the middles make the curve, and the spans the range.
func gasVoltage(w procedures.Wire, weld procedures.WeldType, i procedures.Amps) (Value, error) {
	rows := map[string][]data.GasStart{"CO2": data.CO2Starts(), "80Ar/20CO2": data.MixedGasStarts()}[w.Gas]
	if len(rows) == 0 {
		return Value{}, noVoltage(w)
	}
	out := Value{Unit: "V", Basis: data.Printed, Note: "middle of the printed rows for " + w.Gas}
	kind := "fillet"
	if weld == procedures.SquareGroove || weld == procedures.VGroove {
		kind = "square-groove"
	}
	var middle []point
	half, low, high := 0.0, math.Inf(1), 0.0
	for _, r := range rows {
		if r.Weld != kind {
			continue
		}
		x := (r.CurrentLowA + r.CurrentHighA) / 2
		middle = append(middle, point{x, (r.VoltageLowV + r.VoltageHighV) / 2})
		low, high = min(low, r.CurrentLowA), max(high, r.CurrentHighA)
		if math.Abs(x-float64(i)) <= (r.CurrentHighA-r.CurrentLowA)/2+10 {
			half = max(half, (r.VoltageHighV-r.VoltageLowV)/2)
		}
		out.Basis, out.Source = Weakest(out.Basis, r.Basis), Together(out.Source, r.Source)
	}
	c, err := newCurve(middle)
	if err != nil {
		return Value{}, noVoltage(w)
	}
	if float64(i) < low || float64(i) > high {
		return Value{}, &RangeError{Quantity: "current of " + w.String(), Read: float64(i), Low: low, High: high, Unit: "A", Source: out.Source}
	}
	out.Value = c.at(float64(i)) // held at the middle of the first and the last row to their ends
	half = max(half, voltSpread)
	out.Low, out.High = out.Value-half, out.Value+half
	return out, nil
}

// LoadVoltage returns the conventional load voltage, in V: the line on which
// power sources are rated, not a measurement of an arc. Range: up to 600 A.
// Source: IEC 60974-1, from memory. Errors: [*NoTableError], [*RangeError].
func LoadVoltage(p procedures.Process, i procedures.Amps) (Value, error) {
	if err := checkAmps(i); err != nil {
		return Value{}, err
	}
	for _, r := range data.LoadVoltages() {
		if r.Process != string(p) || r.Use != "conventional" {
			continue
		}
		if float64(i) < r.CurrentLowA || float64(i) > r.CurrentHighA {
			return Value{}, &RangeError{Quantity: "current", Read: float64(i), Low: r.CurrentLowA, High: r.CurrentHighA, Unit: "A", Source: r.Source}
		}
		low, high := r.InterceptLowV+r.SlopeVPerA*float64(i), r.InterceptHighV+r.SlopeVPerA*float64(i)
		return Value{Value: (low + high) / 2, Low: low, High: high, Unit: "V", Basis: r.Basis, Source: r.Source,
			Note: "conventional load voltage, the line that ratings are read on"}, nil
	}
	return Value{}, &NoTableError{Quantity: "conventional load voltage", Of: "process " + string(p), Have: []string{"114, 136, 135, 131", "111", "141"}}
}
