// Package caution is the gate before any setting, and the cautions that go with
// a job. It reads words only: it knows no file, no clock and no notebook.
//
// # The rule in plain words
//
// Everything typed is read before it is parsed: the words, the stated use, the
// notes. Whole words are matched, in any case, singular or plural, with or
// without hyphens, in the common misspellings, and most of them in any order.
//
// Stops. No settings are given for:
//
//	weapon      anything that explodes or shoots, and what goes on a muzzle
//	container   a tank, drum, barrel, can, float or anything shut or once full of fuel
//	pressure    air and gas cylinders, extinguishers, boilers, hydraulic, gas and brake lines
//	solvent     chlorinated cleaner, brake cleaner, on the part or near it
//	wet         rain, a wet floor, damp gloves, lying on the work
//	breaker     upsized breakers, cheated plugs, bridged cut-outs, hot plugs
//	roll-cage, seat, suspension, frame, hitch   what keeps people on the road alive
//	held-up     jack posts, and what holds a car, a machine or a floor over somebody
//	tire, wheel tires, road wheels, lug nuts, spacers; heat bursts a tire on its rim
//	lifting     hooks that lift, chain, slings, jacks, hoists, stands
//	cadmium, lead-paint, galvanized, chrome, unknown-coating   until it is off
//	steel       cast iron, stainless, aluminum, spring, unknown metal, blades, gears, tools
//	which-hss   hss, where nothing says hollow section or high-speed steel
//
// Lesser cautions go along with settings: "defer" where another has the last
// word (people, building, trailer, confined, which-frame, which-gate), "care"
// for the rest (bed-rail, vehicle, paint, flammable, fire, indoors, gear).
//
// What makes a stop a lesser matter:
//
//   - Practice coupons, plainly said anywhere ("practice coupons for a hitch"):
//     roll-cage, seat, suspension, frame, hitch, held-up, wheel, lifting and
//     pressure become "defer". "Made from scrap", "coupons passed, now the real
//     one" and "practice on my truck frame" are no coupons.
//   - A harmless use, plainly stated in [Request.For] and nowhere else (a toy, a
//     sculpture, an ornament, a lawn cart): hitch, lifting, frame,
//     suspension and wheel become "care"; for the last three furniture counts as
//     well. Not if the stated use has a word of a load (tow, lift, carry, ride
//     ...), takes it back ("not a toy"), or a vehicle is named anywhere.
//   - A coating that is off ([procedures.Job] Stripped, or words such as "zinc
//     ground off") becomes "care". Not if it is said to be off in part, not yet,
//     or if it was the paint that came off.
//
// Nothing makes weapon, container, solvent, wet, breaker, tire or steel lesser.
// For these, and for the coatings while nothing is said of stripping, words that
// are added as a phrase of their own never take a stop away.
//
// Everyday phrases are not taken for dangers: a picture frame, a barrel hinge, a
// roller chain, a fish tank, a coat hook, "wet out". Such a phrase covers its
// own words and no more: "truck bed frame" is a vehicle's although "bed frame"
// is not, and "tank" stops although "fish tank" stands beside it.
//
// A stated use that no list knows, and that is not plainly harmless, gets the care
// unknown-use: the welder knows what hangs on the part, and no list does.
//
// The lists lean to stopping. A false stop costs a sentence; a missed one can
// cost a house. They are common practice, not taken from a standard, and no list
// is complete: a gate that is silent has not called a job harmless.
package caution
