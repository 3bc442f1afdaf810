package main

import (
	"context"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"beadwright/procedures"
	"beadwright/recommend/caution"
	"beadwright/recommend/source"
)

type rebuiltOptions struct {
	ac, capacitors, capVolts, ripple, bleeder, bleederWatts, diode, rectifier, fan, thermostat, mains, note string
	amps                                                                                                    string
}

func newMachineRebuilt(a *app, names cobra.CompletionFunc) *cobra.Command {
	var o rebuiltOptions
	cmd := &cobra.Command{
		Use: "rebuilt [NAME]", Short: "The page of a machine rebuilt from AC to DC: volts, ripple, stored charge, heat, ratings (default the machine in use)", ValidArgsFunction: names,
		Long: `What the direct-current side of a machine does that was rebuilt from AC to DC: volts
with no load, ripple, what the capacitors store and how long they take to bleed, the
heat of bleeder and rectifier, and each of them against its rating. Flags write down
what was fitted; without flags it shows the page.

It is for checking and understanding what is there, from outside. Work inside the
case is for a qualified person; a rebuilt machine's listing and your insurance may be
void, and local rules apply.`,
		Example: `  beadwright machine rebuilt --ac 24V --capacitors 6x10000uF --cap-volts 63V --bleeder 100ohm --bleeder-watts 25W
  beadwright machine rebuilt --rectifier 200A --diode 1.1V --fan yes --thermostat no
  beadwright machine rebuilt --amps 70A`,
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.rebuilt(cmd.Context(), strings.Join(args, " "), o)
		},
	}
	f := cmd.Flags()
	f.StringVar(&o.ac, "ac", "", "AC of the transformer's tap with no load: 24V")
	f.StringVar(&o.capacitors, "capacitors", "", "all of them together: 60000uF, 0.06F, 6x10000uF")
	f.StringVar(&o.capVolts, "cap-volts", "", "their voltage rating: 63V")
	f.StringVar(&o.ripple, "ripple-amps", "", "their ripple-current rating, all together: 60A")
	f.StringVar(&o.bleeder, "bleeder", "", "the resistor across them: 100ohm")
	f.StringVar(&o.bleederWatts, "bleeder-watts", "", "what it is rated for: 25W")
	f.StringVar(&o.diode, "diode", "", "lost in one diode at welding current, by its data sheet: 1.1V")
	f.StringVar(&o.rectifier, "rectifier", "", "the rectifier's rating: 200A")
	f.StringVar(&o.fan, "fan", "", "does a fan blow on the rectifier: yes or no")
	f.StringVar(&o.thermostat, "thermostat", "", "has the rectifier a thermal switch of its own: yes or no")
	f.StringVar(&o.mains, "mains", "", "50 or 60 (Hz)")
	f.StringVar(&o.note, "note", "", "anything else")
	f.StringVar(&o.amps, "amps", "", "welding current to reckon with, not written down (default the last suggestion's, else the rated output): 80A")
	otherNames(f, map[string]string{"ac-volts": "ac", "farads": "capacitors", "ohms": "bleeder", "capacitance": "capacitors"})
	for _, flag := range []string{"fan", "thermostat"} {
		a.completes(cmd, flag, func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			return []string{"yes", "no"}, cobra.ShellCompDirectiveNoFileComp
		})
	}
	return cmd
}

// apply puts what the flags say into what is written down, and reports whether
// they said anything.
func (o rebuiltOptions) apply(b *procedures.Rebuild) (said bool, err error) {
	yesNo := func(field, s string, to **bool) error {
		v := strings.EqualFold(s, "yes")
		if !v && !strings.EqualFold(s, "no") {
			return procedures.Invalid(field, s, "yes or no?", "accepted: yes, no")
		}
		*to = &v
		return nil
	}
	for _, q := range []struct {
		s   string
		set func(s string) error
	}{
		{o.ac, volts("ac", &b.ACVolts)}, {o.capVolts, volts("cap-volts", &b.CapVolts)},
		{o.rectifier, amps("rectifier", &b.RectifierAmps)}, {o.ripple, amps("ripple-amps", &b.RippleAmps)},
		{o.capacitors, func(s string) (err error) {
			b.Farads, b.Capacitors, err = procedures.ParseFarads("capacitors", s)
			return err
		}},
		{o.bleeder, func(s string) (err error) { b.BleedOhms, err = procedures.ParseOhms("bleeder", s); return err }},
		{o.bleederWatts, func(s string) (err error) { b.BleedWatts, err = procedures.ParseWatts("bleeder-watts", s); return err }},
		{o.diode, func(s string) error {
			v, err := procedures.ParseDrop("diode", s)
			b.DiodeVolts = procedures.Volts(v)
			return err
		}},
		{o.mains, func(s string) (err error) { b.MainsHz, err = procedures.ParseHertz("mains", s); return err }},
		{o.fan, func(s string) error { return yesNo("fan", s, &b.Fan) }},
		{o.thermostat, func(s string) error { return yesNo("thermostat", s, &b.Thermostat) }},
		{o.note, func(s string) error { b.Note = s; return nil }},
	} {
		if q.s == "" {
			continue
		}
		said = true
		if err := q.set(q.s); err != nil {
			return said, err
		}
	}
	return said, b.Validate()
}

func (a *app) rebuilt(ctx context.Context, name string, o rebuiltOptions) error {
	m, _, err := a.written(ctx, name)
	if err != nil {
		return err
	}
	if !m.Rebuilt {
		return procedures.Invalid("rebuilt", m.Name, "this machine is not marked as rebuilt from AC to DC, so there is nothing to say of its inside",
			"if it was, mark it: beadwright machine change --what 'rectifier and capacitors fitted' --output dcen --rebuilt", "to do the sums alone: beadwright reckon smoothing")
	}
	b := procedures.Rebuild{}
	if m.Rebuild != nil {
		b = *m.Rebuild
	}
	said, err := o.apply(&b)
	if err != nil {
		return err
	}
	now, err := a.arcNow(ctx, m, o.amps)
	if err != nil {
		return err
	}
	if said {
		if m, err = a.nb.SetRebuild(ctx, m.Name, b); err != nil {
			return err
		}
	}
	page := source.RebuiltOf(m, now.amps)
	found, missing, err := page.Judge()
	if err != nil {
		return err
	}
	cautions := rebuiltCautions(m)
	worst := page.Verdict(found)
	if a.json {
		return a.printJSON(map[string]any{"machine": m.Name, "state": m.State.ID, "rebuild": b, "current_A": now.amps, "current_from": now.from, "open_V": page.Open, "verdict": worst, "text": rebuiltWords(worst, found),
			"wait_s": source.Bled(m), "findings": findings(found), "missing": a.missing(missing), "cautions": cautions, "sources": citedIn(found, cautions)})
	}
	a.line(strings.ToUpper(string(worst)), rebuiltWords(worst, found))
	a.forbiddenElsewhere(m, now, source.RebuiltPage)
	if said {
		a.printf("written down\n")
	}
	a.line("machine", stateLine(m))
	a.line("fitted", fitted(b))
	if t := source.Bled(m); t > 0 {
		a.line("wait", source.Lasting(t)+" after the plug is out, then measure")
	}
	a.line("at", list(now.text(), ifKnown("", float64(m.Duty), fmt.Sprintf("%.4g %% duty", float64(m.Duty))), ifKnown("", float64(page.Open), fmt.Sprintf("%.4g V measured with no arc", float64(page.Open)))))
	a.printCautions(cautions)
	a.printf("\n")
	a.printFindings(found)
	a.printMissing("not known, and where to read it", a.missing(missing))
	a.printSources(citedIn(found, cautions))
	return nil
}

// rebuiltWords is what to do, in the first line.
func rebuiltWords(worst source.Verdict, found []source.Finding) string {
	f, _ := worstFirst(found)
	switch worst {
	case source.DoNot:
		return "leave it unplugged until a qualified person has put that right: " + f.Text
	case source.Unknown:
		return "nobody can say yet whether it is within its ratings: too little is written down. Unplug, wait and measure before a hand goes near"
	case source.Fine:
		return "nothing is over its rating by what is written down; unplug, wait and measure before a hand goes near, all the same"
	}
	return "have a qualified person look at that: " + f.Text
}

func fitted(b procedures.Rebuild) string {
	pieces := ""
	if b.Capacitors > 0 {
		pieces = fmt.Sprintf("%.0f capacitors, ", float64(b.Capacitors))
	}
	answer := func(name string, v *bool) string {
		switch {
		case v == nil:
			return ""
		case *v:
			return name
		}
		return "no " + name
	}
	text := list(ifKnown("", float64(b.ACVolts), fmt.Sprintf("%.4g V AC", float64(b.ACVolts))),
		ifKnown("", b.Farads, fmt.Sprintf("%s%.4g F together", pieces, b.Farads)), ifKnown("", float64(b.CapVolts), fmt.Sprintf("rated %.4g V", float64(b.CapVolts))), ifKnown("", float64(b.RippleAmps), fmt.Sprintf("%.4g A of ripple", float64(b.RippleAmps))),
		ifKnown("", b.BleedOhms, "bleeder "+source.Ohms(b.BleedOhms)), ifKnown("", b.BleedWatts, fmt.Sprintf("of %.4g W", b.BleedWatts)),
		ifKnown("", float64(b.RectifierAmps), fmt.Sprintf("rectifier %.4g A", float64(b.RectifierAmps))), ifKnown("", float64(b.DiodeVolts), fmt.Sprintf("%.3g V a diode", float64(b.DiodeVolts))),
		answer("fan on the rectifier", b.Fan), answer("thermal switch on the rectifier", b.Thermostat), ifKnown("", b.MainsHz, fmt.Sprintf("%.0f Hz", b.MainsHz)), b.Note)
	if text == "" {
		return "nothing is written down yet"
	}
	return text
}

func rebuiltCautions(m procedures.Machine) []caution.Caution {
	all := []caution.Caution{}
	if c, ok := caution.StoredCharge(m); ok {
		all = append(all, c)
	}
	return append(all, caution.Caution{Level: caution.Defer, Key: "inside",
		Text:    "Modified mains equipment: work inside the case is for a qualified person, and this page says what is there, not how to build it. Enclosure, earth (ground) wire and thermal cut-out stay whole. Listing and insurance may be void; local rules apply.",
		Instead: "Never trust a bleeder: measure.", Source: []string{"CP"}})
}
