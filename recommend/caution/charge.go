package caution

import (
	"fmt"

	"beadwright/procedures"
	"beadwright/recommend/source"
)

// StoredCharge returns the caution of a machine that was rebuilt from AC to DC,
// for every page that shows such a machine, and whether this is one. It names how
// long to wait, where what was fitted is written down.
//
// Energy and not voltage is what it warns of: the rules for stored charge begin
// at 60 V (IEC 60204-1, 6.2.4) or 50 V (NEC 460.6), and the DC side of a 120 V
// machine lies below that from the start. Half of C V squared at 0.1 F and 38 V
// is 72 J.
func StoredCharge(m procedures.Machine) (Caution, bool) {
	if !m.Rebuilt {
		return Caution{}, false
	}
	return Caution{Care, "stored-charge",
		"Unplug it, " + wait(m) + ", then measure below 5 V between gun and clamp before a hand goes near: it holds a charge after switch and plug, and low voltage doesn't mean harmless.",
		"Inside is for a qualified person.",
		[]string{"RC-60204", "MATH", "CP"}}, true
}

// wait says how long to wait after the plug is out.
func wait(m procedures.Machine) string {
	if t := source.Bled(m); t > 0 {
		return fmt.Sprintf("wait %s (the bleed time at the worst)", source.Lasting(t))
	}
	return "wait the bleed time (not known until what was fitted is written down)"
}

// LiveWire says what makes the wire dead on a machine before a hand goes to it: for
// every text that has one cut at the tip, change it, or thread a spool.
func LiveWire(m procedures.Machine) string {
	if !m.Rebuilt {
		return "Switch the machine off before you cut at the tip, for many guns are live whenever it is on, not only while the trigger is pulled."
	}
	return "Letting go of the trigger does not make the wire dead on this machine, nor does its switch: it stays live until it is bled. Switch off, plug out, " + wait(m) + ", measure below 5 V between gun and clamp, then cut."
}
