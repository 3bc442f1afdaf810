package procedures

import (
	"encoding/json"
	"fmt"
)

// Rebuild is the direct-current side that somebody fitted to a machine by hand.
// Zero quantities are not known.
type Rebuild struct {
	ACVolts       Volts   `json:"ac_V"` // rms of the transformer's tap with no load
	Farads        float64 `json:"capacitance_F"`
	Capacitors    Count   `json:"capacitors"`     // side by side, that make up the capacitance
	CapVolts      Volts   `json:"capacitor_V"`    // their voltage rating
	RippleAmps    Amps    `json:"ripple_A"`       // their ripple-current rating, all together
	BleedOhms     float64 `json:"bleeder_ohm"`    // across the capacitors; zero: none, or not known
	BleedWatts    float64 `json:"bleeder_W"`      // what the resistor may turn into heat
	DiodeVolts    Volts   `json:"diode_V"`        // lost in one diode at welding current
	RectifierAmps Amps    `json:"rectifier_A"`    // its rating
	Fan           *bool   `json:"rectifier_fan"`  // blows on the rectifier; nil: not said
	Thermostat    *bool   `json:"rectifier_stat"` // the rectifier has a thermal switch of its own; nil: not said
	MainsHz       float64 `json:"mains_Hz"`
	Note          string  `json:"note"`
}

// MarshalJSON writes null for what is not known.
func (b Rebuild) MarshalJSON() ([]byte, error) {
	type plain Rebuild
	return json.Marshal(struct {
		plain
		Farads     jsonQuantity `json:"capacitance_F"`
		BleedOhms  jsonQuantity `json:"bleeder_ohm"`
		BleedWatts jsonQuantity `json:"bleeder_W"`
		MainsHz    jsonQuantity `json:"mains_Hz"`
	}{plain(b), jsonQuantity(b.Farads), jsonQuantity(b.BleedOhms), jsonQuantity(b.BleedWatts), jsonQuantity(b.MainsHz)})
}

// jsonQuantity is a quantity without a type of its own.
type jsonQuantity float64

func (v jsonQuantity) MarshalJSON() ([]byte, error) { return jsonNumber(float64(v)) }

// Validate reports the first thing about the rebuild that cannot be.
func (b Rebuild) Validate() error {
	if err := plainText("note", b.Note); err != nil {
		return err
	}
	for _, q := range []struct {
		field  string
		v      float64
		lo, hi float64
		hint   string
	}{
		{"ac", float64(b.ACVolts), 5, 200, "5 to 200 V AC, measured at the transformer with no load"},
		{"capacitors", b.Farads, 1e-6, 10, "all of them together, 1 uF to 10 F: 60000uF, 0.06F, or 6x10000uF"},
		{"capacitors", float64(b.Capacitors), 1, 100, "1 to 100 capacitors side by side"},
		{"capacitor volts", float64(b.CapVolts), 5, 1000, "5 to 1000 V, printed on the can"},
		{"ripple amps", float64(b.RippleAmps), 0.1, 10000, "0.1 to 10000 A, from the data sheet, all together"},
		{"bleeder", b.BleedOhms, 0.1, 1e8, "0.1 ohm to 100 Mohm: 100ohm"},
		{"bleeder watts", b.BleedWatts, 0.1, 10000, "0.1 to 10000 W, printed on the resistor"},
		{"diode volts", float64(b.DiodeVolts), 0.2, 3, "0.2 to 3 V a diode; about 1.1 V at welding current"},
		{"rectifier amps", float64(b.RectifierAmps), 1, 5000, "1 to 5000 A, printed on the rectifier"},
		{"mains", b.MainsHz, 40, 400, "50 or 60 Hz"},
	} {
		if q.v != 0 && (!finite(q.v) || q.v < q.lo || q.v > q.hi) {
			return Invalid(q.field, fmt.Sprint(q.v), "out of reach", "accepted: "+q.hint)
		}
	}
	return nil
}
