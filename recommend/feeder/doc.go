// Package feeder holds the arithmetic of the wire feeder, from what a welder
// measures on it: the wire speed at each mark of the knob, by timed run-outs; and
// the wire it fed, by arc time: what the spool has left, how old the tip is.
//
// A curve speaks only between the outermost marks measured; beyond them it
// answers with [*arc.RangeError]. What was measured in another place (another
// tap, an earlier state of the machine) may stand in, and says so.
//
//	CurveOf, Curve, Point    wire speed by mark, and the mark for a wire speed
//	Own                      the same from run-outs of one state and tap alone
//	Timing                   what a thumb on a stopwatch costs
//	Curve.Next, Step         which mark to run out next, and why
//	Records, Feed, Fed       wire fed by welds and run-outs
//	Spool, Left, Stale       what is left on a spool, since it was opened or weighed
//	TipOf, Tip               age of the contact tip, and how long those before it lasted
package feeder
