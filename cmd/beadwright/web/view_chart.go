package web

import (
	"math"
	"strings"

	"beadwright/procedures"
)

// knobChart is a drawing of a knob's run-outs: a point for each mark and tap, and
// a line from the slowest to the fastest run. It joins no points, since between
// them only the command's own curve may speak. Lengths are units of the drawing.
type knobChart struct {
	W, H, Left, Bottom float64
	Marks, Speeds      []tick
	Points             []chartPoint
	Taps               []chartPoint // what each shape means
}

// tick is a number on an axis.
type tick struct {
	At   float64
	Text string
}

// chartPoint is a mark run out, or an entry of what the shapes mean.
type chartPoint struct {
	X, Y, Low, High float64
	Square          bool // of the second tap
	Tap             string
}

// drawKnob lays out the drawing; nil where fewer than two marks were run out.
func drawKnob(knob procedures.Knob, curve []knobPoint) *knobChart {
	if len(curve) < 2 {
		return nil
	}
	c := &knobChart{W: 320, H: 232, Left: 44, Bottom: 176}
	low, high, fastest := knob.Min, knob.Max, 0.0
	for _, p := range curve {
		low, high, fastest = min(low, p.Mark), max(high, p.Mark), max(fastest, p.Speed.InchesPerMin(), p.High.InchesPerMin())
	}
	if high <= low || fastest <= 0 {
		return nil
	}
	step := 25.0
	for fastest/step > 5 {
		step *= 2
	}
	top := step * math.Ceil(fastest/step)
	x := func(mark float64) float64 { return c.Left + 12 + (mark-low)/(high-low)*(c.W-c.Left-28) }
	y := func(v procedures.MPerMin) float64 { return c.Bottom - v.InchesPerMin()/top*(c.Bottom-28) }
	for v := 0.0; v <= top; v += step {
		c.Speeds = append(c.Speeds, tick{y(procedures.InchesPerMin(v)), number(v, 0)})
	}
	every := math.Max(1, math.Ceil((high-low)/10))
	for m := math.Ceil(low); m <= high; m += every {
		c.Marks = append(c.Marks, tick{x(m), number(m, 0)})
	}
	var taps []string
	for _, p := range curve {
		if len(taps) == 0 || taps[len(taps)-1] != p.Tap {
			taps = append(taps, p.Tap)
			c.Taps = append(c.Taps, chartPoint{X: c.Left + float64(len(taps)-1)*110 + 8, Y: c.H - 10, Square: len(taps) > 1, Tap: strings.ToUpper(p.Tap)})
		}
		c.Points = append(c.Points, chartPoint{X: x(p.Mark), Y: y(p.Speed), Low: y(p.Low), High: y(p.High), Square: len(taps) > 1, Tap: p.Tap})
	}
	return c
}

// Chart draws the machine's knob.
func (v machineView) Chart() *knobChart { return drawKnob(v.Knob, v.Curve) }
