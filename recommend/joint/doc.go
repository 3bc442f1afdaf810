// Package joint holds the arithmetic of the joint: sizes, areas, passes, weld
// metal, wire, and what a finished weld is looked over for.
//
// Lengths are millimetres, areas mm2, masses grams. A lookup returns an
// [arc.Value] with its source; outside a table the answer is [*arc.RangeError]; a
// number that no joint has is refused with [*procedures.InvalidError].
//
//	Throat, ThroatUnequal, LegForThroat            throat of a fillet
//	FilletArea, FilletAreaUnequal, SquareArea, BevelArea,
//	VGroove, CapArea                               cross-sections of weld metal
//	MinFillet, MaxFilletAlongEdge, MaxSinglePass, MaxRootPass,
//	MaxFillPass, MinFilletLength, ConvexityLimit   sizes
//	Passes, FilletPasses, GroovePasses             passes
//	Mass, MassPerMetre, WireNeeded, ArcTime, TotalTime, SpoolLeft,
//	DepositPerHour, LabourPerKg, ElectrodePerKg    weld metal, wire, time, cost
//	CompareThickness                               unequal parts
//	FilletShear, ButtLoad                          for information only
//	SheetThickness, TubeWall, PipeWall, PipeOutside,
//	SheetWeight, PipeWeight                        gauge and wall lookups
//	UndercutLimit, UndersizeAllowed, Porosity, BendTest, FilletBreak   looking over (AWS D1.1)
//	Imperfection                                   limits of ISO 5817
//	Judge, Flaw, Judged                            measured flaws against both
//	RangeAround, ProcedureRange                    ranges of a procedure, rounded inward
package joint
