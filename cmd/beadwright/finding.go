package main

import (
	"fmt"
	"strings"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/arc"
	"beadwright/recommend/caution"
	"beadwright/recommend/source"
)

// finding is a [source.Finding] as JSON shows it. Numbers are nil where it is in
// words only.
type finding struct {
	Key     string         `json:"key"`
	Verdict source.Verdict `json:"verdict"`
	Value   *float64       `json:"value"`
	Low     *float64       `json:"low"`
	High    *float64       `json:"high"`
	Unit    string         `json:"unit"`
	Text    string         `json:"text"`
	Basis   data.Basis     `json:"basis"`
	Source  []string       `json:"source"`
}

func findings(all []source.Finding) []finding {
	out := make([]finding, len(all))
	for k, f := range all {
		out[k] = finding{Key: f.Key, Verdict: f.Verdict, Unit: f.Figure.Unit, Text: f.Text, Basis: f.Figure.Basis, Source: append([]string{}, f.Source...)}
		if f.Figure.Unit != "" {
			v, low, high := procedures.Round(f.Figure.Value), procedures.Round(f.Figure.Low), procedures.Round(f.Figure.High)
			out[k].Value, out[k].Low, out[k].High = &v, &low, &high
		}
	}
	return out
}

// printFindings shows what was found, what is wrong first.
func (a *app) printFindings(all []source.Finding) {
	for _, bad := range []bool{true, false} {
		for _, f := range all {
			if wrong(f.Verdict) != bad {
				continue
			}
			text := f.Text
			if bad || f.Verdict == source.Unknown {
				text = strings.ToUpper(string(f.Verdict)) + ": " + text
			}
			if how := basisWords[f.Figure.Basis]; f.Figure.Basis == data.Memory || f.Figure.Basis == data.Practice {
				text += " (" + how + ")"
			}
			a.bullet(text, f.Source)
		}
	}
}

func wrong(v source.Verdict) bool {
	return v == source.Marginal || v == source.WillTrip || v == source.DoNot
}

func (a *app) printMissing(title string, all []source.Missing) {
	if len(all) == 0 {
		return
	}
	a.printf("\n%s\n", title)
	for _, m := range all {
		a.bullet(m.What+": "+m.Where, nil)
	}
}

// citedIn is the citation of every source shown, by id.
func citedIn(all []source.Finding, cautions []caution.Caution) map[string]string {
	var ids []string
	for _, f := range all {
		ids = arc.Together(ids, f.Source)
	}
	for _, c := range cautions {
		ids = arc.Together(ids, c.Source)
	}
	out := map[string]string{}
	for _, id := range ids {
		out[id] = data.Cite(id)[0]
	}
	return out
}

// worstFirst is the worst finding, for the first line of a page; false where
// nothing is wrong.
func worstFirst(all []source.Finding) (source.Finding, bool) {
	worst := source.Worst(all)
	for _, f := range all {
		if f.Verdict == worst && wrong(worst) {
			return f, true
		}
	}
	return source.Finding{}, false
}

// electric is the caution of every page that is measured round live parts.
func electric(m procedures.Machine) []caution.Caution {
	all := []caution.Caution{{Level: caution.Care, Key: "probing",
		Text:    "Measure from outside and on the welding side only: posts, gun, clamp, work. Dry gloves, probes clipped on before the trigger is pulled, hands off while it is live, and a helper who reads the meter.",
		Instead: "Wall volts by a plug-in meter at the outlet. Never open the machine, a plug or an outlet to reach them: that is for a qualified person.", Source: []string{"CP"}}}
	if c, ok := caution.StoredCharge(m); ok {
		all = append([]caution.Caution{c}, all...)
	}
	return all
}

// meter says what to turn the meter to for the machine's output.
func meter(m procedures.Machine) string {
	switch m.Output {
	case procedures.AC:
		return "a true-RMS meter on AC volts"
	case "":
		return "the meter on DC volts, or true-RMS AC if the machine gives AC"
	}
	return "the meter on DC volts"
}

func stateLine(m procedures.Machine) string {
	return fmt.Sprintf("%s, state %d (%s)", m.Name, m.State.Number, m.State.What)
}
