package main

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"beadwright/procedures"
)

type machineFlags struct {
	taps, knob, output, rated, ratedVolts, duty, top, input, inputAmps, breaker, cord, wireRange, process, note string
	wall, outlet, plug                                                                                          string
	others                                                                                                      []string
	rebuilt, saidRebuilt                                                                                        bool // saidRebuilt: yes or no was said
}

// register declares the flags of a machine's record.
func (f *machineFlags) register(cmd *cobra.Command, a *app) {
	fl := cmd.Flags()
	fl.StringVar(&f.taps, "taps", "", "voltage switch from cold to hot, with volts under load if known: low=14.5V,high=17V")
	fl.StringVar(&f.knob, "knob", "", "scale of the wire-speed knob: 1..10 (leave out if it has no numbers)")
	fl.StringVar(&f.wireRange, "wire-range", "", "slowest..fastest wire: 40..340ipm")
	fl.StringVar(&f.output, "output", "", "ac, dcen, dcep, or dc where the leads can be swapped")
	fl.StringVar(&f.rated, "rated", "", "rated output: 90A")
	fl.StringVar(&f.ratedVolts, "rated-volts", "", "arc volts at the rated output: 18.5V")
	fl.StringVar(&f.duty, "duty", "", "duty cycle at the rated output: 20%")
	fl.StringVar(&f.top, "max", "", "highest output: 120A")
	fl.StringVar(&f.input, "input", "", "wall supply: 120V")
	fl.StringVar(&f.inputAmps, "input-amps", "", "from the plate: 20A")
	fl.StringVar(&f.breaker, "breaker", "", "the circuit's breaker: 20A")
	fl.StringVar(&f.cord, "cord", "", "extension cord: 12awg 25ft, or none")
	fl.StringVar(&f.wall, "wall", "", "copper in the wall: 12awg")
	fl.StringVar(&f.outlet, "outlet", "", "outlet: "+strings.Join(procedures.Outlets(), ", "))
	fl.StringVar(&f.plug, "plug", "", "plug on the machine's own cord: "+strings.Join(procedures.Plugs(), ", "))
	fl.StringArrayVar(&f.others, "other", nil, "what else runs on the circuit: fridge=3A, 360W; once for each, or none")
	fl.StringVar(&f.process, "process", "", "what it runs: 114,135,111 (default self-shielded wire only)")
	fl.BoolVar(&f.rebuilt, "rebuilt", false, "rebuilt by hand from AC to DC: holds a charge (taken so from a note such as bridge or capacitors, unless --rebuilt=false)")
	fl.StringVar(&f.note, "note", "", "anything else")
	a.completes(cmd, "output", func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		return []string{"ac", "dcen", "dcep", "dc"}, cobra.ShellCompDirectiveNoFileComp
	})
	completeNames(cmd, a, "outlet", procedures.Outlets())
	completeNames(cmd, a, "plug", procedures.Plugs())
	otherNames(fl, map[string]string{"volts": "input", "voltage": "input", "supply": "input"})
}

// otherNames lets flags be called by what people call them elsewhere.
func otherNames(fl *pflag.FlagSet, names map[string]string) {
	fl.SetNormalizeFunc(func(_ *pflag.FlagSet, name string) pflag.NormalizedName {
		if ours, ok := names[name]; ok {
			name = ours
		}
		return pflag.NormalizedName(name)
	})
}

// completeNames has a flag complete from a list.
func completeNames(cmd *cobra.Command, a *app, flag string, names []string) {
	a.completes(cmd, flag, func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		return names, cobra.ShellCompDirectiveNoFileComp
	})
}

// machine reads the flags into a new machine.
func (f machineFlags) machine(name string, units procedures.Units) (m procedures.Machine, err error) {
	m.Name = strings.TrimSpace(name)
	if m.Name == "" {
		return m, procedures.Invalid("name", "", "a machine needs a name", procedures.Way("any short name: beadwright machine add shed", "any short name will do: shed"))
	}
	if err := f.apply(&m, units); err != nil {
		return m, err
	}
	return m, m.Validate()
}

// apply puts what the flags say into a machine; what they do not say stays.
func (f machineFlags) apply(m *procedures.Machine, units procedures.Units) error {
	if f.output != "" {
		m.Output = procedures.Polarity(strings.ToLower(f.output))
	}
	if f.note != "" {
		m.Note = f.note
	}
	m.Rebuilt = m.Rebuilt || f.rebuilt
	if err := f.applyTaps(m); err != nil {
		return err
	}
	if f.knob != "" {
		lo, hi, ok := strings.Cut(strings.ReplaceAll(f.knob, "-", ".."), "..")
		a, errA := strconv.ParseFloat(strings.TrimSpace(lo), 64)
		b, errB := strconv.ParseFloat(strings.TrimSpace(hi), 64)
		if !ok || errA != nil || errB != nil || b <= a {
			return procedures.Invalid("knob", f.knob, "not a knob scale", "accepted: 1..10, 0-10; leave it out for a knob without numbers")
		}
		m.Knob.Min, m.Knob.Max = a, b
	}
	if err := f.applyWireRange(m, units); err != nil {
		return err
	}
	for _, q := range []struct {
		s   string
		set func(string) error
	}{
		{f.rated, amps("rated", &m.RatedAmps)},
		{f.top, amps("max", &m.MaxAmps)},
		{f.inputAmps, amps("input-amps", &m.InputAmps)},
		{f.breaker, breakerAmps(&m.Breaker)},
		{f.ratedVolts, volts("rated-volts", &m.RatedVolts)},
		{f.input, volts("input", &m.InputVolts)},
		{f.duty, duty(&m.Duty)},
		{f.cord, func(s string) (err error) { m.Cord, err = parseCord(s, units); return err }},
		{f.wall, func(s string) (err error) { m.Wall, err = parseWall(s); return err }},
		{f.outlet, func(s string) error { m.Outlet = strings.ToUpper(strings.TrimSpace(s)); return nil }},
		{f.plug, func(s string) error { m.Plug = strings.ToUpper(strings.TrimSpace(s)); return nil }},
	} {
		if q.s == "" {
			continue
		}
		if err := q.set(q.s); err != nil {
			return err
		}
	}
	if len(f.others) > 0 {
		m.Others = nil
		for _, s := range f.others {
			if strings.EqualFold(strings.TrimSpace(s), "none") && len(f.others) == 1 {
				break
			}
			l, err := parseLoad(s, m.InputVolts)
			if err != nil {
				return err
			}
			m.Others = append(m.Others, l)
		}
	}
	if f.process != "" {
		processes, err := parseProcesses(f.process)
		if err != nil {
			return err
		}
		m.Processes = processes
	}
	return direct(f.output, m.Rebuilt && m.Output == procedures.AC)
}

// applyTaps puts in the taps, coldest first. A tap that keeps its name keeps the
// volts that are not said anew.
func (f machineFlags) applyTaps(m *procedures.Machine) error {
	if f.taps == "" {
		return nil
	}
	taps, err := parseTaps(f.taps)
	if err != nil {
		return err
	}
	for i := range taps {
		if old, ok := m.Tap(taps[i].Name); ok {
			taps[i].Open = old.Open
			if taps[i].Load == 0 {
				taps[i].Load, taps[i].How = old.Load, old.How
			}
		}
	}
	m.Taps = taps
	return nil
}

func (f machineFlags) applyWireRange(m *procedures.Machine, units procedures.Units) error {
	if f.wireRange == "" {
		return nil
	}
	lo, hi, ok := strings.Cut(f.wireRange, "..")
	if !ok {
		return procedures.Invalid("wire-range", f.wireRange, "not a range of wire speeds", "accepted: 40..340ipm, 1..8 m/min")
	}
	unit := strings.TrimLeft(strings.TrimSpace(hi), "0123456789. ")
	if strings.TrimLeft(strings.TrimSpace(lo), "0123456789. ") == "" {
		lo += unit
	}
	var err error
	if m.WireMin, err = procedures.ParseWireSpeed(lo, units); err != nil {
		return err
	}
	if m.WireMax, err = procedures.ParseWireSpeed(hi, units); err != nil {
		return err
	}
	if m.WireMin >= m.WireMax {
		return procedures.Invalid("wire-range", f.wireRange, "the slowest comes first", "accepted: 40..340ipm, 1..8 m/min")
	}
	return nil
}

func parseProcesses(s string) (all []procedures.Process, err error) {
	for _, p := range strings.FieldsFunc(s, func(r rune) bool { return r == ',' || r == ' ' }) {
		process := procedures.Process("")
		for _, k := range procedures.Processes() {
			if p == string(k) || strings.EqualFold(p, k.Letters()) {
				process = k
			}
		}
		if process == "" {
			return nil, procedures.Invalid("process", p, "not a process this notebook knows", "accepted: 114 (FCAW-S), 136 (FCAW-G), 135 (GMAW), 111 (SMAW)")
		}
		all = append(all, process)
	}
	return all, nil
}

// notRebuilt is for words that sound like a rebuilt machine and mean none.
var notRebuilt = procedures.Way("nothing of the kind was built in: --rebuilt=false", "nothing of the kind was built in: press No below")

// direct refuses a machine that is said to be rebuilt to DC and to give AC.
func direct(output string, both bool) error {
	if !both {
		return nil
	}
	return procedures.Invalid("output", output, "a machine rebuilt from AC to DC gives direct current", procedures.Way("say which post the gun is on: --output dcen (minus) or dcep (plus), or dc where the leads can be swapped", "say which post the gun is on: minus, plus, or either"),
		notRebuilt)
}

func amps(field string, to *procedures.Amps) func(string) error {
	return func(s string) (err error) { *to, err = procedures.ParseAmps(field, s); return err }
}

// duty reads a duty cycle; a share of one is asked about, since none is below 1 %.
func duty(to *procedures.Percent) func(string) error {
	return func(s string) (err error) {
		*to, err = procedures.ParsePercent("duty", s)
		if err == nil && *to < 1 {
			return procedures.Invalid("duty", s, "less than 1 %", fmt.Sprintf("did you mean %g%%?", procedures.Round(100*float64(*to))), "a duty cycle is 1 to 100 %, such as 20")
		}
		return err
	}
}

// mostBreaker is the largest breaker that is believed to feed one welding outlet: above
// it the main one was read, and no supply would ever seem too small. Common practice, no
// source.
const mostBreaker = 100

func breakerAmps(to *procedures.Amps) func(string) error {
	return func(s string) error {
		err := amps("breaker", to)(s)
		if err == nil && *to > mostBreaker {
			return procedures.Invalid("breaker", s, "that is a main breaker", "read the one that feeds this outlet: 15 to 60 A in a house, 100 A at the most")
		}
		return err
	}
}

func volts(field string, to *procedures.Volts) func(string) error {
	return func(s string) (err error) { *to, err = procedures.ParseVolts(field, s); return err }
}

// parseTaps reads low,high or low=14.5V,high=17V.
func parseTaps(s string) ([]procedures.Tap, error) {
	var taps []procedures.Tap
	for part := range strings.SplitSeq(s, ",") {
		name, v, given := strings.Cut(part, "=")
		t := procedures.Tap{Name: strings.TrimSpace(name)}
		if t.Name == "" {
			if s == "" {
				return nil, nil
			}
			return nil, procedures.Invalid("taps", s, "a tap has no name", "accepted: low,high or low=14.5V,high=17V, the coldest first")
		}
		if given {
			load, err := procedures.ParseVolts("taps", v)
			if err != nil {
				return nil, err
			}
			t.Load, t.How = load, procedures.Measured
		}
		taps = append(taps, t)
	}
	if len(taps) == 1 && strings.Contains(taps[0].Name, " ") {
		return nil, procedures.Invalid("taps", s, "is that one tap or two?", "two want a comma between: low,high", "one of two words, a hyphen: low-heat")
	}
	return taps, nil
}

// gauged is a wire size as it is said or printed on a jacket, and what follows it:
// 12awg, #12, 12 gauge, 12/2, 16/3 50ft.
var gauged = procedures.Pattern(`^#?\s*(\d{1,2})(?:\s*(?:[/-]\s*\d)?\s*(?:awg|gauge|ga)|\s*[/-]\s*\d|\b)[\s,]*(.*)$`)

// splitGauge reads a wire size and returns what follows it.
func splitGauge(s string) (awg int, rest string, ok bool) {
	m := gauged().FindStringSubmatch(strings.ToLower(strings.TrimSpace(s)))
	if m == nil {
		return 0, "", false
	}
	awg, _ = strconv.Atoi(m[1])
	return awg, m[2], awg > 0
}

// parseWall reads the size of the copper in a wall: 12awg, 12/2.
func parseWall(s string) (procedures.Count, error) {
	awg, rest, ok := splitGauge(s)
	if !ok || rest != "" {
		return 0, procedures.Invalid("wall", s, "not a size of wire", "accepted: 14awg, 12awg, 10awg, 8awg, 6awg, copper")
	}
	return procedures.Count(awg), nil
}

var (
	cordWords   = procedures.Pattern(`\b(?:orange|yellow|black|green|outdoor|heavy|duty|extension|cord|long)\b`)
	lengthFirst = procedures.Pattern(`^(\d+(?:\.\d+)?\s*(?:ft|foot|feet|'|m|meters?))[\s,]+(#?\d{1,2}\s*(?:awg|gauge|ga|[/-]\s*\d))$`)
)

// cordInOrder turns "50 feet, orange, 16 gauge" round: its size first.
func cordInOrder(s string) string {
	plain := strings.Join(strings.FieldsFunc(cordWords().ReplaceAllString(strings.ToLower(s), " "), func(r rune) bool { return r == ' ' || r == ',' || r == '\t' }), " ")
	if m := lengthFirst().FindStringSubmatch(plain); m != nil {
		return m[2] + " " + m[1]
	}
	return plain
}

// unitOfRun asks for the unit of a cord or a lead: 25 would be inches elsewhere, and a
// twelfth of the volts lost is no answer.
func unitOfRun(field, said, length string) error {
	length = strings.TrimSpace(length)
	if length == "" || !strings.Contains("0123456789.", length[len(length)-1:]) {
		return nil
	}
	return procedures.Invalid(field, said, "is that feet or meters?", fmt.Sprintf("write %sft or %sm", length, length))
}

// parseCord reads "12awg 25ft", "16/3 50ft", or "none".
func parseCord(s string, units procedures.Units) (c procedures.Cord, err error) {
	if strings.EqualFold(strings.TrimSpace(s), "none") {
		return c, nil
	}
	hint := "accepted: size and length, such as: 12awg 25ft, 16/3 50ft; or none"
	n, length, ok := splitGauge(cordInOrder(s))
	if !ok {
		return c, procedures.Invalid("cord", s, "not understood as a cord", hint)
	}
	if err := unitOfRun("cord", s, length); err != nil {
		return c, err
	}
	l, err := procedures.ParseDistance("cord", length, units)
	if err != nil {
		return c, procedures.Invalid("cord", s, "how long is it?", hint)
	}
	if l < 100 || l > 100000 {
		return c, procedures.Invalid("cord", s, "not the length of a cord", "accepted: 0.1 to 100 m (up to 328 ft)")
	}
	return procedures.Cord{AWG: n, Length: l}, nil
}
