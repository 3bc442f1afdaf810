// Package source holds the arithmetic of the power source and what hangs on it:
// duty cycle, supply circuit, cord, welding leads, the direct-current side of a
// rebuilt machine, eye shade and ventilation.
//
// A lookup returns an [arc.Value] with its source; outside a table the answer is
// [*arc.RangeError]; input that cannot be is refused with [*procedures.InvalidError].
//
//	DutyAt, CurrentAt, ArcSeconds, RestAfter, Rolling   duty cycle
//	Allow, Spells, Spend, PaidAfter, Warmth             duty clock: plate, own cut-outs, rest
//	SupplyConductor, Multiplier, EffectiveCurrent, Group,
//	Overcurrent, NextBreaker, ReceptacleLoad            supply circuit (NEC 630)
//	Drop, DropPercent, CordDrop, CordAmpacity           cords
//	LeadDrop, LeadArea, LeadSize                        welding leads
//	OpenCircuitLimits, ResidualRules                    voltage limits
//	PeakOf, Bridge, HalfWave, Ripple, BridgeHeat        rectifier and capacitor
//	Bank, BleedTime, BleedOhms, VoltageAfter ...        stored charge
//	FindLosses, Probes, Piece                           where the volts go between posts and arc
//	Circuit.Judge, LineSag                              the house circuit, held against print and readings
//	Rebuilt.Judge                                       the page of a machine rebuilt from AC to DC
//	Finding, Verdict, Worst, Missing                    what those three say
//	Body                                                first-order heating, for a picture only
//	Shade                                               eye protection
//	Ventilation                                         room and air
package source
