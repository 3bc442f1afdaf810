// Package steel holds what the steel asks of a weld: its grade and practical
// weldability group, carbon equivalents from a mill sheet, whether two steels are
// alike enough to learn from one another, and preheat.
//
// A lookup returns an [arc.Value] or a plain struct with its sources; outside a
// table the answer is [*arc.RangeError] or [*arc.NoTableError]; input that cannot be is
// refused with [*procedures.InvalidError].
//
//	Find                                     grade from its everyday or standard name
//	Composition                              a mill sheet, in per cent by weight
//	CE, IIW, AWS, Pcm, CET, A706, Z662 ...   carbon equivalents
//	GroupOf, GroupByCE                       practical group I, II, III, OUT, unknown
//	Compare                                  are two steels alike, and why
//	D11Category, D11Preheat, LowHydrogen     least preheat of AWS D1.1, by band of thickness
//	RebarPreheat                             least preheat of AWS D1.4
//	MethodB, MethodBParts, MethodBCET        preheat of EN 1011-2 method B, inside its limits only
//	HydrogenScale, Susceptibility, AnnexPreheat   hydrogen classes and the D1.1 annex
//	CombinedThickness, CoolingTime           heat flow of EN 1011-2, from memory
package steel
