package arc

import (
	"math"
	"strings"

	"beadwright/data"
	"beadwright/procedures"
)

// Wire classes as the tables name them.
const (
	e71t11 = "E71T-11"
	e71tgs = "E71T-GS"
	solid  = "solid"
)

// printedSpread is how far the rows of the E71T-11 data sheet lie from the
// straight line through its own three data rows: 5 to 11 %.
const printedSpread = 0.10

// ruleSpread is the doubt about the wire-speed-per-ampere rule for solid wire,
// which is one family of manuals: common practice, no source.
const ruleSpread = 0.20

// ruleTopA is where the rule for solid wire stops: it was printed for small
// machines, and feeding runs away from it at higher current. Common practice, no source.
const ruleTopA = 200

// feed ties wire speed (in/min) to current (A) for one wire.
type feed struct {
	amps                curve   // rises strictly
	spread              float64 // share of the current
	ratioLow, ratioHigh float64 // in/min per A of a disagreeing source; 0: none
	limitLow, limitHigh float64 // in/min that the wire may be fed at; 0: not given
	basis               data.Basis
	source              []string
	note                string
}

// Current returns the current, in A, that a wire draws at a wire speed, at the
// usual electrode extension. E71T-11 follows its data sheet; 0.030 in E71T-11
// has no printed current and is worked out from 0.035 in by wire area; E71T-GS
// and solid wire rest on the rule of so many in/min for each ampere.
// Errors: [*procedures.InvalidError] for a speed that no feeder has,
// [*NoTableError] for a wire without a table, [*RangeError] outside it.
func Current(w procedures.Wire, s procedures.MPerMin) (Value, error) {
	if err := checkWireSpeed(s); err != nil {
		return Value{}, err
	}
	f, err := feedOf(w)
	if err != nil {
		return Value{}, err
	}
	x := s.InchesPerMin()
	if !f.amps.covers(x) {
		return Value{}, &RangeError{Quantity: "wire speed of " + w.String(), Read: x, Low: f.amps.lowX(), High: f.amps.highX(), Unit: "in/min", Source: f.source}
	}
	y := f.amps.at(x)
	low, high := y*(1-f.spread), y*(1+f.spread)
	if f.ratioLow > 0 {
		high = max(high, x/f.ratioLow)
	}
	if f.ratioHigh > 0 {
		low = min(low, x/f.ratioHigh)
	}
	return Value{Value: y, Low: low, High: high, Unit: "A", Basis: f.basis, Source: f.source, Note: f.note}, nil
}

// WireSpeed returns the wire speed, in m/min, that draws a current: the inverse
// of [Current], with the same errors. The range says which wire speeds may turn
// out to give that current, within what the wire may be fed at.
func WireSpeed(w procedures.Wire, i procedures.Amps) (Value, error) {
	if err := checkAmps(i); err != nil {
		return Value{}, err
	}
	f, err := feedOf(w)
	if err != nil {
		return Value{}, err
	}
	inv := f.amps.inverse()
	y := float64(i)
	if !inv.covers(y) {
		return Value{}, &RangeError{Quantity: "current of " + w.String(), Read: y, Low: inv.lowX(), High: inv.highX(), Unit: "A", Source: f.source}
	}
	x := inv.at(y)
	low, high := inv.at(y/(1+f.spread)), inv.at(y/(1-f.spread))
	if f.ratioLow > 0 {
		low = min(low, y*f.ratioLow)
	}
	if f.ratioHigh > 0 {
		high = max(high, y*f.ratioHigh)
	}
	if f.limitHigh > 0 {
		low, high = max(low, f.limitLow), min(high, f.limitHigh)
	}
	metric := func(ipm float64) float64 { return float64(procedures.InchesPerMin(ipm)) }
	return Value{Value: metric(x), Low: metric(low), High: metric(high), Unit: "m/min", Basis: f.basis, Source: f.source, Note: f.note}, nil
}

// CurrentRange returns the currents, in A, that [WireSpeed] answers for a wire:
// Low through High, with Value in the middle. Error: [*NoTableError].
func CurrentRange(w procedures.Wire) (Value, error) {
	f, err := feedOf(w)
	if err != nil {
		return Value{}, err
	}
	low, high := f.amps[0].y, f.amps[len(f.amps)-1].y
	return Value{Value: (low + high) / 2, Low: low, High: high, Unit: "A", Basis: f.basis, Source: f.source, Note: f.note}, nil
}

// feedOf finds what is known about a wire.
func feedOf(w procedures.Wire) (feed, error) {
	size, ok := TradeSize(w.Diameter)
	if ok {
		switch {
		case w.Class == e71t11 && size == 0.030:
			return derivedFeed()
		case w.Class == e71t11:
			if f, ok := printedFeed(size); ok {
				return f, nil
			}
		case w.Class == e71tgs:
			if f, ok := ruleFeed(e71tgs, size); ok {
				return f, nil
			}
		case processOf(w) == procedures.GMAW:
			if f, ok := ruleFeed(solid, size); ok {
				return f, nil
			}
		}
	}
	return feed{}, &NoTableError{Quantity: "current", Of: w.String(),
		Have: []string{"E71T-11 and E71T-GS 0.030, 0.035 and 0.045 in", "solid wire 0.023 to 0.045 in"}}
}

// processOf is the process of a wire that the tables speak of: a cored wire that
// wants a gas is no solid wire, and has no table here.
func processOf(w procedures.Wire) procedures.Process {
	p := procedures.ProcessOf(w.Class, w.Gas)
	switch {
	case p == procedures.GMAW && !strings.HasPrefix(w.Class, "ER"):
		return procedures.FCAWG
	case p == procedures.SMAW && strings.Contains(w.Class, "T-"): // E70T-4 is a wire
		return ""
	}
	return p
}

// TradeSize names a diameter as wire is sold, in inches; 0.8, 0.9 and 1.2 mm go
// by the inch size beside them. ok is false for a size between or beyond.
func TradeSize(d procedures.MM) (inch float64, ok bool) {
	const apart = 0.0024 // 1.2 mm is sold as 0.045 in and is 0.0472 in
	best := apart
	for _, s := range []float64{0.023, 0.024, 0.030, 0.035, 0.045} {
		if off := math.Abs(d.Inches() - s); off < best {
			best, inch, ok = off, s, true
		}
	}
	return inch, ok
}

func printedRows(size float64) []data.CurvePoint {
	var rows []data.CurvePoint
	for _, r := range data.SelfShieldedCurve() {
		if r.Class == e71t11 && r.DiameterIn == size {
			rows = append(rows, r)
		}
	}
	return rows
}

// printedFeed follows the data sheet of E71T-11 point by point.
func printedFeed(size float64) (feed, bool) {
	f := feed{spread: printedSpread, basis: data.Printed,
		note: "data sheet of an E71T-11 wire at its usual extension, DCEN; its own rows scatter by about 10 %"}
	var points []point
	for _, r := range printedRows(size) {
		points = append(points, point{r.WireSpeedInPerMin, r.CurrentA})
		f.basis, f.source = Weakest(f.basis, r.Basis), Together(f.source, r.Source)
	}
	c, err := newCurve(points)
	if err != nil {
		return feed{}, false
	}
	f.amps = c
	f.limitLow, f.limitHigh = feedLimits(size)
	return f, true
}

func feedLimits(size float64) (low, high float64) {
	for _, r := range data.SelfShieldedLimits() {
		if r.Class == e71t11 && r.DiameterIn == size {
			return r.WireSpeedLowInPerMin, r.WireSpeedHighInPerMin
		}
	}
	return 0, 0
}

// derivedFeed works out 0.030 in E71T-11: the same current melts the same metal,
// so the thinner wire runs faster by the ratio of the areas. The range reaches
// to the solid-wire rule, which is the only printed figure for this size.
func derivedFeed() (feed, error) {
	f, ok := printedFeed(0.035)
	rule, found := ratioOf(solid, 0.030)
	if !ok || !found {
		return feed{}, &NoTableError{Quantity: "current", Of: "0.030 E71T-11", Have: []string{"E71T-11 0.035 and 0.045 in"}}
	}
	f.amps = f.amps.stretch(math.Pow(0.035/0.030, 2))
	f.ratioLow, f.ratioHigh = rule.TypicalInPerMinA, rule.TypicalInPerMinA
	f.basis, f.source = data.Computed, Together(f.source, rule.Source)
	f.limitLow, f.limitHigh = feedLimits(0.030)
	f.note = "no current is printed for 0.030 in E71T-11: worked out from 0.035 in by wire area; the range reaches to the solid-wire rule"
	return f, nil
}

func ratioOf(class string, size float64) (data.WireSpeedRatio, bool) {
	for _, r := range data.WireSpeedPerAmpere() {
		if r.Class == class && r.DiameterIn == size {
			return r, true
		}
	}
	return data.WireSpeedRatio{}, false
}

// ruleFeed follows so many in/min for each ampere, over the currents that are
// printed for that kind and size of wire.
func ruleFeed(class string, size float64) (feed, bool) {
	r, ok := ratioOf(class, size)
	if !ok {
		return feed{}, false
	}
	f := feed{basis: r.Basis, source: r.Source, ratioLow: r.LowInPerMinA, ratioHigh: r.HighInPerMinA}
	var low, high float64
	if class == solid {
		low, high = printedSolidCurrents(size)
		f.spread = ruleSpread
		f.note = "rule of small-machine manuals for solid wire, one source; taken as good to 20 %"
	} else {
		like, err := feedOf(procedures.Wire{Class: e71t11, Diameter: procedures.Inches(size)})
		if err != nil {
			return feed{}, false
		}
		low, high = like.amps[0].y, like.amps[len(like.amps)-1].y
		f.source = Together(f.source, like.source)
		f.note = "no figure for E71T-GS is in print: solid-wire rule, while E71T-11 of the same size needs as little as 0.6 of that wire speed; find your own on a coupon"
		if f.ratioLow == 0 { // no second figure for this size: as wide as the sizes that have one
			if wide, ok := ratioOf(class, 0.035); ok {
				f.ratioLow = r.TypicalInPerMinA * wide.LowInPerMinA / wide.TypicalInPerMinA
			}
		}
		if f.ratioHigh == 0 {
			f.ratioHigh = r.TypicalInPerMinA
		}
	}
	if !(low < high) {
		return feed{}, false
	}
	f.amps = curve{{low * r.TypicalInPerMinA, low}, {high * r.TypicalInPerMinA, high}}
	return f, true
}

// printedSolidCurrents returns the lowest and highest current printed for solid
// wire of a size in the gas tables.
func printedSolidCurrents(size float64) (low, high float64) {
	const half = 0.055 // mm: 0.6 mm is sold as 0.023 and 0.024 in, 1.2 mm as 0.045 in
	mm := size * procedures.MMPerInch
	for _, rows := range [][]data.GasStart{data.CO2Starts(), data.MixedGasStarts()} {
		for _, r := range rows {
			if mm < r.DiameterLowMM-half || mm > r.DiameterHighMM+half {
				continue
			}
			if low == 0 || r.CurrentLowA < low {
				low = r.CurrentLowA
			}
			high = max(high, r.CurrentHighA)
		}
	}
	return low, min(high, ruleTopA)
}
