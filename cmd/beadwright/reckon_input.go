package main

import (
	"context"
	"fmt"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/caution"
)

// The readers below take one flag each, keep what was read, and hold on to the
// first error. A flag not given is a zero.

// plain are flags whose unit says all.
var plain = map[string]bool{"amps": true, "volts": true, "watts": true, "joules": true, "seconds": true, "ohms": true, "farads": true, "wire": true}

func (r *reckoning) note(flag, unit string, value any, text string) {
	key := strings.ReplaceAll(flag, "-", "_")
	if unit != "" {
		key += "_" + unit
	}
	if !plain[flag] {
		text = strings.ReplaceAll(flag, "-", " ") + " " + text
	}
	r.Inputs = append(r.Inputs, input{key, value, text})
}

// take reads one flag, and remembers what it said.
func take[T ~float64](r *reckoning, flag, unit, s string, parse func() (T, error), show func(T) string) T {
	if s == "" || r.err != nil {
		return 0
	}
	v, err := parse()
	if err != nil {
		r.err = err
		return 0
	}
	r.note(flag, unit, procedures.Round(float64(v)), show(v))
	return v
}

// need asks for a flag that the sum cannot do without.
func (r *reckoning) need(flag, s string, hints ...string) {
	if s == "" && r.err == nil {
		r.err = procedures.Invalid(flag, "", "not given", hints...)
	}
}

// only refuses a flag that would be read and then not used.
func (r *reckoning) only(flag, s string, used bool, hints ...string) {
	if s != "" && !used && r.err == nil {
		r.err = procedures.Invalid(flag, s, "of no use without more, or beside what else was said", hints...)
	}
}

// assume says what was taken because it was not said.
func (r *reckoning) assume(format string, args ...any) {
	r.Assumed = append(r.Assumed, fmt.Sprintf(format, args...))
}

func (r *reckoning) amps(flag, s string) procedures.Amps {
	return take(r, flag, "A", s, func() (procedures.Amps, error) { return procedures.ParseAmps(flag, s) },
		func(v procedures.Amps) string { return num(float64(v)) + " A" })
}

func (r *reckoning) volts(flag, s string) procedures.Volts {
	return take(r, flag, "V", s, func() (procedures.Volts, error) { return procedures.ParseVolts(flag, s) },
		func(v procedures.Volts) string { return num(float64(v)) + " V" })
}

func (r *reckoning) percent(flag, s string) procedures.Percent {
	return take(r, flag, "percent", s, func() (procedures.Percent, error) { return procedures.ParsePercent(flag, s) },
		func(v procedures.Percent) string { return num(float64(v)) + " %" })
}

func (r *reckoning) length(flag, s string) procedures.MM {
	return take(r, flag, "mm", s, func() (procedures.MM, error) { return procedures.ParseLength(flag, s, r.units) }, r.sayLength)
}

func (r *reckoning) distance(flag, s string) procedures.MM {
	return take(r, flag, "mm", s, func() (procedures.MM, error) { return procedures.ParseDistance(flag, s, r.units) },
		func(v procedures.MM) string { return r.sayOne(float64(v), "mm of run") })
}

// thickness reads a gauge too, which asks what kind it is.
func (r *reckoning) thickness(flag, s string) procedures.MM {
	return take(r, flag, "mm", s, func() (procedures.MM, error) {
		t, _, _, err := new(jobFlags).part(flag, s, r.units)
		return t, err
	}, r.sayLength)
}

func (r *reckoning) sayLength(v procedures.MM) string { return procedures.FormatLength(v, r.units) }

func (r *reckoning) travel(flag, s string) procedures.MMPerMin {
	return take(r, flag, "mm_min", s, func() (procedures.MMPerMin, error) { return procedures.ParseTravel(s, r.units) },
		func(v procedures.MMPerMin) string { return r.sayOne(float64(v), "mm/min") })
}

func (r *reckoning) wireSpeed(flag, s string) procedures.MPerMin {
	return take(r, flag, "m_min", s, func() (procedures.MPerMin, error) { return procedures.ParseWireSpeed(s, r.units) },
		func(v procedures.MPerMin) string { return bothSpeeds(v, r.units) })
}

func (r *reckoning) grams(flag, s string) float64 {
	return take(r, flag, "g", s, func() (float64, error) { v, err := procedures.ParseGrams(flag, s); return float64(v), err },
		func(v float64) string { return r.sayOne(v, "g") })
}

// measure is a kind of amount that only sums ask for.
type measure struct {
	unit, key string
	per       map[string]float64 // unit as typed, in lower case, to unit
	hint      string
	zero      bool // may be nothing
}

var (
	joules  = measure{unit: "J", key: "J", per: map[string]float64{"": 1, "j": 1, "kj": 1000, "joules": 1}, hint: "90000J, 90kJ"}
	watts   = measure{unit: "W", key: "W", per: map[string]float64{"": 1, "w": 1, "watts": 1, "kw": 1000}, hint: "1620W, 1.6kW"}
	seconds = measure{unit: "s", key: "s", per: map[string]float64{"": 1, "s": 1, "sec": 1, "secs": 1, "second": 1, "seconds": 1, "min": 60, "minutes": 60}, hint: "24s, 2min"}
	farads  = measure{unit: "F", key: "F", per: map[string]float64{"": 1, "f": 1, "farad": 1, "farads": 1, "uf": 1e-6, "\u00b5f": 1e-6, "\u03bcf": 1e-6, "mfd": 1e-6}, hint: "0.06F, 60000uF"}
	left    = measure{unit: "V", key: "V", per: map[string]float64{"": 1, "v": 1, "volt": 1, "volts": 1}, hint: "5V, 0.5V"} // on a capacitor, below what an arc ever has
	ohms    = measure{unit: "ohm", key: "ohm", per: map[string]float64{"": 1, "ohm": 1, "ohms": 1, "\u03c9": 1, "k": 1000, "kohm": 1000, "kohms": 1000}, hint: "100ohm, 1kohm"}
	element = measure{unit: "%", key: "percent", per: map[string]float64{"": 1, "%": 1}, hint: "0.18, in per cent by weight as on the mill sheet", zero: true}
	gas     = measure{unit: "ml/100 g", key: "ml_per_100g", per: map[string]float64{"": 1, "ml": 1, "ml/100g": 1, "ml/100 g": 1}, hint: "5 or 10, in ml of hydrogen per 100 g of weld metal"}
	energy  = measure{unit: "kJ/mm", key: "kJ_mm", per: map[string]float64{"kj/mm": 1, "kj/in": 1 / procedures.MMPerInch, "kj/inch": 1 / procedures.MMPerInch}, hint: "1.0kJ/mm, 25kJ/in"}
	degrees = measure{unit: "degrees", key: "deg", per: map[string]float64{"": 1, "deg": 1, "degree": 1, "degrees": 1, "\u00b0": 1}, hint: "60, 60deg"}
	hertz   = measure{unit: "Hz", key: "Hz", per: map[string]float64{"": 1, "hz": 1}, hint: "60, 50Hz"}
	ksi     = measure{unit: "ksi", key: "ksi", per: map[string]float64{"": 1, "ksi": 1}, hint: "60, 70 or 80"}
	times   = measure{unit: "", key: "", per: map[string]float64{"": 1}, hint: "a plain number"}
)

var amount = procedures.Pattern(`^(\d{1,9}(?:\.\d{0,9})?|\.\d{1,9}) ?(.*)$`)

// parse reads an amount. No signs, exponents, NaN or Inf.
func (m measure) parse(field, s string) (float64, error) {
	read := amount().FindStringSubmatch(strings.Join(strings.Fields(strings.ToLower(s)), " "))
	hint := "accepted: " + m.hint
	if read == nil {
		return 0, procedures.Invalid(field, s, "not a usable number", hint)
	}
	v, _ := strconv.ParseFloat(read[1], 64)
	per, ok := m.per[read[2]]
	if !ok {
		return 0, procedures.Invalid(field, s, "not in a unit that is read here", hint)
	}
	if v == 0 && !m.zero {
		return 0, procedures.Invalid(field, s, "zero does not work here", hint)
	}
	return v * per, nil
}

func (r *reckoning) measure(flag, s string, m measure) float64 {
	return take(r, flag, m.key, s, func() (float64, error) { return m.parse(flag, s) },
		func(v float64) string { return r.sayOne(v, m.unit) })
}

// process reads a process by number, letters or everyday name.
func (r *reckoning) process(flag, s string) procedures.Process {
	if r.err != nil {
		return ""
	}
	if s == "" {
		r.assume("process %s", processName(procedures.FCAWS))
		return procedures.FCAWS
	}
	said := strings.ToLower(strings.Join(strings.Fields(strings.ReplaceAll(s, "-", " ")), " "))
	p, ok := map[string]procedures.Process{"flux core": procedures.FCAWS, "fluxcore": procedures.FCAWS, "gasless": procedures.FCAWS, "self shielded": procedures.FCAWS, "fcaw": procedures.FCAWS,
		"mig": procedures.GMAW, "mag": procedures.GMAW, "gmaw": procedures.GMAW, "stick": procedures.SMAW, "tig": "141"}[said]
	for _, row := range data.Processes() {
		if !ok && (said == row.Number || said == strings.ToLower(strings.ReplaceAll(row.Letters, "-", " "))) {
			p, ok = procedures.Process(row.Number), true
		}
	}
	if !ok {
		r.err = procedures.Invalid(flag, s, "not a welding process", "accepted: 114 (FCAW-S, flux-core), 136 (FCAW-G), 135 (GMAW, mig), 111 (SMAW, stick), 141 (GTAW, tig)")
		return ""
	}
	r.note(flag, "", string(p), processName(p))
	return p
}

func processName(p procedures.Process) string {
	for _, row := range data.Processes() {
		if row.Number == string(p) {
			return fmt.Sprintf("%s (%s)", p, row.Letters)
		}
	}
	return string(p)
}

// spool reads a wire by size and class or by the name of a spool; without one it
// takes the spool in use, else the example.
func (a *app) spool(ctx context.Context, r *reckoning, s string) procedures.Wire {
	if r.err != nil {
		return procedures.Wire{}
	}
	var job procedures.Job
	if s != "" {
		job.Wire, r.err = a.wire(ctx, s, r.units)
	} else {
		var id string
		id, _, r.err = a.fillWire(ctx, &job)
		if r.err == nil && id == "" {
			r.assume("wire %s", job.Wire)
		} else if r.err == nil {
			r.assume("wire %s, the spool in use", job.Wire)
		}
	}
	r.note("wire", "", job.Wire.String(), job.Wire.String())
	return job.Wire
}

// plate is the machine named, else the one in use, else none: the built-in
// example has no plate. A rebuilt one brings its stored-charge caution.
func (a *app) plate(ctx context.Context, r *reckoning, name string) procedures.Machine {
	if r.err != nil {
		return procedures.Machine{}
	}
	m, err := a.someMachine(ctx, name, "")
	if err != nil || m.Example {
		r.err = err
		return procedures.Machine{}
	}
	if c, ok := caution.StoredCharge(m); ok {
		r.Cautions = append(r.Cautions, c)
	}
	return m
}

// fromPlate is a figure of the machine's plate where the flag was not given.
func fromPlate[T ~float64](r *reckoning, m procedures.Machine, said, plate T, what, unit string) T {
	if said != 0 || plate == 0 || r.err != nil {
		return said
	}
	r.assume("%s %s %s, written down for %s", what, num(float64(plate)), unit, m.Name)
	return plate
}

// completeSum registers completion for the flags that name things.
func (a *app) completeSum(cmd *cobra.Command) {
	for flag, values := range map[string]func(*cobra.Command) []string{
		"steel":    func(*cobra.Command) []string { return steelKeys() },
		"position": func(*cobra.Command) []string { return keys(procedures.Positions()) },
		"process":  func(*cobra.Command) []string { return keys(procedures.Processes()) },
		"wire": func(cmd *cobra.Command) []string {
			return append(a.spoolNames(cmd.Context()), procedures.WireClasses()...)
		},
		"machine": func(cmd *cobra.Command) []string { return a.machineNames(cmd.Context()) },
	} {
		if cmd.Flags().Lookup(flag) != nil {
			a.completes(cmd, flag, func(cmd *cobra.Command, _ []string, _ string) ([]string, cobra.ShellCompDirective) {
				return values(cmd), cobra.ShellCompDirectiveNoFileComp
			})
		}
	}
}
