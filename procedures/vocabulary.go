package procedures

import (
	"strings"
)

// meaning is what a word or phrase stands for in a job.
type meaning struct {
	field string // joint, weld, position, form, coating, process, class, gas, part, filler ...
	value string
}

// vocabulary maps phrases, written in lower case with spaces for hyphens, to
// what they mean. Trade words and everyday words stand side by side.
func vocabulary() map[string]meaning {
	v := map[string]meaning{}
	add := func(field, value, phrases string) {
		for p := range strings.SplitSeq(phrases, ",") {
			v[strings.TrimSpace(p)] = meaning{field, value}
		}
	}
	add("joint", "tee", "tee, t, tee joint, t joint, inside corner, corner where they meet, tjoint")
	add("joint", "lap", "lap, lap joint, overlap, overlapped, overlapping, patch, lapp")
	add("joint", "butt", "butt, butt joint, but joint, end to end, seam, butted, butt weld")
	add("joint", "corner", "corner, outside corner, corner outside, box corner, corner joint, open corner")
	add("joint", "edge", "edge, edge joint")
	add("weld", "fillet", "fillet, fillet weld, filet, fillett")
	add("weld", "square-groove", "square groove, square butt")
	add("weld", "v-groove", "v groove, vee groove, vee, bevel, beveled, bevelled, single v")
	add("weld", "plug", "plug, plug weld, rosette, hole weld")
	add("weld", "bead-on-plate", "bead on plate, stringer, stringers, stringer bead, pad of beads, practice bead")
	add("position", "flat", "flat, flat position, downhand, on the bench, 1f, 1g, pa")
	add("position", "horizontal", "horizontal, horizontal position, sideways, on the wall, horizontle, 2f, 2g, pb, pc")
	add("position", "vertical", "vertical, verticle, vert, 3f, 3g")
	add("position", "vertical-up", "vertical up, verticle up, vert up, uphill, up hill, uphand, upward, 3f up, 3g up, pf, vertical upward")
	add("position", "vertical-down", "vertical down, verticle down, vert down, downhill, down hill, downward, 3f down, 3g down, pg, vertical downward")
	add("position", "overhead", "overhead, over head, upside down, under the car, 4f, 4g, pd, pe")
	add("direction", "up", "up, going up")
	add("direction", "down", "down, going down")
	add("form", "plate", "plate, plates, flat plate")
	add("form", "sheet", "sheet, sheets, sheet metal, sheetmetal, sheet steel")
	add("form", "tube", "tube, tubes, tubing, square tube, square tubing, round tube, box section, rectangular tube, hollow section, exhaust pipe, exhaust tube, exhaust, conduit")
	add("form", "pipe", "pipe, pipes, piping, schedule 40 pipe, sch 40 pipe, sch40 pipe, schedule 40, sch 40, sch40")
	add("form", "angle", "angle, angles")
	add("form", "bar", "bar, bars, flat bar, strap, flat stock, strip, channel, rod")
	add("coating", "bare", "plain, bare, uncoated, black, plain steel, bare steel, clean, no coating, bright")
	add("coating", "galvanized", "galvanized, galvanised, galv, galvy, galvinized, galvenized, zinc, zinc coated, zinc plated, hot dip, hot dipped")
	add("coating", "paint", "painted, paint, primer, primed, primered, old paint, powder coated, powdercoat, powder coat")
	add("coating", "lead-paint", "lead paint, lead painted, old lead paint")
	add("coating", "cadmium", "cadmium, cadmium plated, cad plated")
	add("coating", "chrome", "chrome, chromed, chrome plated")
	add("coating", "mill-scale", "mill scale, millscale, scale")
	add("coating", "rust", "rusty, rust, rusted")
	add("coating", "unknown-coating", "plated, unknown coating, coated")
	add("stripped", "yes", "stripped, ground off, ground clean, ground back, ground to bare metal, coating off, coating removed, zinc removed, zinc off, paint removed, cleaned to bare metal, sanded off, stripped back, galv removed, galv ground off")
	add("process", "114", "flux core, fluxcore, flux cored, fluxcored, gasless, gasless mig, self shielded, fcaw s, fcaw, 114, flux core wire")
	add("process", "135", "gmaw, solid wire, mig with gas, 135")
	add("process", "111", "stick, smaw, covered electrode, 111, stick welder, arc rod")
	add("process", "136", "136, dual shield, fcaw g")
	add("class", "E71T-11", "e71t 11, e71t11, 71t 11, 71t11, t 11, t11, e71 t11")
	add("class", "E71T-GS", "e71t gs, e71tgs, 71t gs, 71tgs, gs, t gs, e71 tgs")
	add("class", "ER70S-6", "er70s 6, er70s6, 70s 6, 70s6, s6")
	for _, c := range []string{"E6010", "E6011", "E6012", "E6013", "E7014", "E7018", "E7024"} {
		add("class", c, strings.ToLower(c)+", "+c[1:])
	}
	add("gas", "CO2", "co2, straight co2, carbon dioxide, c100")
	add("gas", "80Ar/20CO2", "80/20, 80ar/20co2, 80ar 20co2, mixed gas, argon mix, c20")
	add("gas", "75Ar/25CO2", "c25, 75/25, 75ar 25co2, 75 25")
	add("to", "", "to, onto, against, into")
	add("for", "", "for, its for, it's for")
	add("filler", "", "a, an, the, my, old, thin, thick, bit, bits, scrap, shop, some, this, that, of, with, and, on, in, at, is, lying, laying, laid, it, i, im, i'm, want, need, to weld, weld, welding, welded, weld a, please, "+
		"inch, inches, steel, metal, thick, thickness, joint, position, wire, wall, using, use, both, same, piece, pieces, part, run, bead, beads, what, do, set, settings, setting, should, how, mig, welder, two, together, single pass, pass, or so, about")
	add("part", "", "bracket, brackets, gate, cart, shelf, shelves, table, bench, stand, hinge, hinges, legs, leg, rack, box, hook, grate, grill, sculpture, art, toy, toolbox, frame, planter, fire pit, firepit, handle, gusset, gussets, tab, tabs, mount, mounts, cover, hood, picture, picture frame, pin, pins, door, bed, chair, stool, trellis, holder, hanger, cart frame, rail, arm, foot, feet, base, post, basket, mower deck, deck, tray, clip, ring, knob")
	return v
}

// bareFinishes are words for stock that is sold without a coating: they answer
// "plain or galvanized?" beside naming a steel.
var bareFinishes = map[string]bool{"cold rolled": true, "crs": true, "hot rolled": true, "hrs": true, "cold rolled steel": true, "hot rolled steel": true, "a1008": true, "a1011": true}

// wireSizes are the decimals of an inch that wire is sold in. Bare, they mean
// wire and not a wall thickness.
var wireSizes = map[string]bool{"0.023": true, "0.024": true, "0.025": true, "0.030": true, "0.03": true, "0.035": true, "0.045": true, "0.052": true,
	"023": true, "024": true, "030": true, "035": true, "045": true, ".023": true, ".024": true, ".025": true, ".030": true, ".03": true, ".035": true, ".045": true, ".052": true}

var gaugeWords = map[string]bool{"ga": true, "ga.": true, "gauge": true, "gage": true, "guage": true, "gauges": true, "g": true, "gua": true}

// coveredElectrode is how AWS A5.1 names a covered electrode: E6010 ... E7028.
// A cored wire has a T in it: E71T-11.
var coveredElectrode = Pattern(`^E[67]0[0-9]{2}$`)

// ProcessOf returns the process that a wire class belongs to, given its gas.
// It is "" for a class that this notebook does not know.
func ProcessOf(class, gas string) Process {
	switch {
	case class == "E71T-11" || class == "E71T-GS":
		return FCAWS
	case class == "ER70S-6":
		return GMAW
	case coveredElectrode().MatchString(class):
		return SMAW
	case gas != "":
		return GMAW
	}
	return ""
}

// WireClasses lists the classes known, in the order shown to people.
func WireClasses() []string {
	return []string{"E71T-11", "E71T-GS", "ER70S-6", "E6010", "E6011", "E6012", "E6013", "E7014", "E7018", "E7024"}
}
