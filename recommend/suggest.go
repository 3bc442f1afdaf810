package recommend

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"beadwright/procedures"
	"beadwright/recommend/caution"
)

// Suggest answers a request: gate, table, own welds, limits, physics, reasons.
// Verdicts [Refused] and [Outside] hold no settings and say what to do instead;
// they are answers, not errors.
//
// Errors: [*procedures.InvalidError] where the job is not complete or cannot be.
// With an empty history the wire speed is exactly the table's.
func Suggest(r Request, h History) (Suggestion, error) {
	return answer(r, h, func() *memory { return recall(r, h) })
}

// answer is Suggest with the memory of the kind of job handed in, since a curve
// asks for many jobs of one kind.
func answer(r Request, h History, past func() *memory) (Suggestion, error) {
	s, err := suggest(r, h, past)
	if s.Table.Source == nil {
		s.Table.Source = []string{}
	}
	for i := range s.Because {
		if s.Because[i].Source == nil {
			s.Because[i].Source = []string{} // our own welds and arithmetic
		}
	}
	return s, err
}

// suggest is [Suggest]; past makes the model of own welds, which is not asked for where the
// gate, the machine or the tables already end the matter.
func suggest(r Request, h History, past func() *memory) (Suggestion, error) {
	s := Suggestion{Verdict: Inside, Job: r.Job, Evidence: Evidence{FailedTests: []string{}, LikeMarks: []string{}, Parts: []Part{}}, Because: []Reason{}, Near: []string{}, Cautions: []caution.Caution{}}
	stops, cares := caution.Gate(caution.Request{Words: r.Words, For: r.For, Job: r.Job})
	if len(stops) > 0 {
		s.Verdict, s.Cautions = Refused, append(stops, cares...)
		return s, nil
	}
	if err := complete(r); err != nil {
		return s, err
	}
	s.Job.Machine, s.Job.State = machineKey(r.Machine)
	s.Cautions = append(s.Cautions, cares...)

	if !r.Machine.Runs(r.Job.Process) {
		return s.refuse(&outside{text: fmt.Sprintf("the machine %s is not set up for %s (%s)", r.Machine.Name, r.Job.Process.Letters(), r.Job.Wire),
			instead: "use a wire that the machine runs, or write down the machine that runs it"}, cares), nil
	}
	if stop := hopeless(r); stop != nil {
		return s.refuse(stop, cares), nil
	}
	first, err := tableStart(r)
	own := own{broken: broken(r, h), marks: []string{}}
	own.passed, own.broke = proof(r, h)
	own.dials = knobProofs(r, h)
	var none *outside
	switch {
	case errors.As(err, &none):
		if own.passed == nil {
			return s.refuse(none, cares), nil
		}
		first, own.alone = ownStart(*own.passed, none), true
		if why := faded(r, *own.passed); why != "" {
			first.reasons = append(first.reasons, Reason{"that test " + why + ": weld and break one fresh coupon first", nil})
		}
		s.Verdict = Edge
	case err != nil:
		return s, err
	}
	s.Table = Table{procedures.MPerMin(first.wireSpeed.Value), procedures.Amps(first.current.Value), first.source}
	s.lead(first.reasons...)
	if first.edge {
		s.Verdict, s.Near = Edge, append(s.Near, first.held)
	}

	tap := s.tap(r, first)
	if first.wireSpeed.Value > 0 && !own.alone {
		if own, err = own.learn(r, past(), first, tap); errors.As(err, &none) {
			return s.refuse(none, cares), nil
		} else if err != nil {
			return s, err
		}
	}
	if stop := s.set(r, first, own); stop != nil {
		return s.refuse(stop, cares), nil
	}
	if w := failedAt(r, h, s.Settings); w != nil {
		s.lower(nil, "%s failed at this setting (%s)", w.Mark, failure(*w))
	}
	s.lay(r, first)
	if stop := s.pass(r); stop != nil {
		return s.refuse(stop, cares), nil
	}
	if stop := s.forbidden(r); stop != nil {
		return s.forbid(stop, cares, r.Machine), nil
	}
	s.power(r)
	s.joint(r)
	s.judge(r, own)
	s.Cautions = append(s.Cautions, caution.Standing(s.Job, s.brightest(r), r.Machine)...)
	if c, ok := lastDanger(r); ok {
		s.Cautions = slices.Insert(s.Cautions, 0, c)
	}
	return s, nil
}

// complete refuses a job that lacks what an answer needs.
func complete(r Request) error {
	j := r.Job
	switch {
	case j.Thickness == 0:
		return procedures.Invalid("thickness", j.Said, "how thick is the metal?", "say it as 1/8, 3mm, 0.125in, 11ga plain")
	case j.Joint == "" && j.Weld != procedures.BeadOnPlate:
		return procedures.Invalid("joint", j.Said, "which joint?", "say one of: tee, lap, butt, corner, edge")
	case j.Class == "" || j.Diameter == 0:
		return procedures.Invalid("wire", j.Wire.String(), "which wire, and how thick?", "both are printed on the spool: 0.035 E71T-11, 0.030 E71T-GS")
	case j.Position == "" || j.Steel == "" || j.Process == "" || j.Weld == "":
		return procedures.Invalid("job", j.Said, "the job is not complete", "say thickness, steel, joint and position")
	}
	return j.Validate()
}

// hopeless says why no setting of any table fits a job; nil where one may.
func hopeless(r Request) *outside {
	j, most := r.Job, say(r, procedures.Inches(3.0/16))
	g, _ := grade(j.Steel)
	switch ratio := j.Thicker() / j.Thinner(); {
	case g.Group == "III" && g.PreheatLowHydrogen == "":
		return &outside{text: fmt.Sprintf("%s hardens beside the weld (group III) and the tables are for mild steel", g.Name),
			instead: "it wants preheat (about 200 to 400 F, and more above CE 0.60; from memory), dry low-hydrogen electrodes and slow cooling, by a procedure for that very steel: ask a shop that welds it", source: []string{"MEM"}}
	case ratio >= 2*unlike:
		return &outside{text: fmt.Sprintf("one part is %.0f times as thick as the other, and no one setting melts both", float64(ratio)),
			instead: "use a heavier tube or sheet, weld to a thin tab that is bolted to the thick part, or take it to a shop", source: []string{"CP"}}
	case j.Gap > j.Thinner():
		return &outside{text: fmt.Sprintf("the gap, %s, is wider than the metal is thick, %s: that is a hole, not a joint", say(r, j.Gap), say(r, j.Thinner())),
			instead: "refit it, or weld in a filler strip of the same steel", source: []string{"CP"}}
	case j.Process == procedures.FCAWS && j.Weld == procedures.SquareGroove && j.Thinner() > procedures.Inches(0.1875)+0.01:
		return &outside{text: "a square butt thicker than " + most + " does not melt through with a small flux-core arc: two beads would lie on a closed seam",
			instead: "bevel it (say v-groove), lap it, or take it to a shop", source: []string{"CP"}}
	case j.Process == procedures.FCAWS && j.Position == procedures.VerticalDown && j.Thinner() > procedures.Inches(0.1875)+0.01:
		return &outside{text: "downhill is for thin metal: on more than " + most + " the puddle runs ahead and laps over without melting in",
			instead: "run it uphill, or turn it flat", source: []string{"CP"}}
	}
	return nil
}

// machineKey is how welds name a machine and its state. Welds made before a
// machine was written down name none, and so does the built-in example.
func machineKey(m procedures.Machine) (name, state string) {
	if m.Example {
		return "", ""
	}
	return m.Name, m.State.ID
}

// refuse turns the answer into one without settings, and with none of what was
// said of settings.
func (s Suggestion) refuse(o *outside, cares []caution.Caution) Suggestion {
	s.Verdict = Outside
	s.Settings = procedures.Settings{}
	s.Range, s.Table, s.Expect, s.Near = Range{}, Table{}, Expect{}, []string{}
	if o.source == nil {
		o.source = []string{}
	}
	s.Because = []Reason{{o.text, o.source}}
	s.Cautions = append([]caution.Caution{{Level: caution.Stop, Key: "outside", Text: sentence(o.text), Instead: sentence(o.instead), Source: o.source}}, cares...)
	return s
}

// sentence gives a clause its capital and its full stop.
func sentence(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + strings.TrimSuffix(s[1:], ".") + "."
}

// care adds a caution of the mildest level.
func (s *Suggestion) care(key, text string, source ...string) {
	s.Cautions = append(s.Cautions, caution.Caution{Level: caution.Care, Key: key, Text: text, Source: source})
}

// because adds a reason.
func (s *Suggestion) because(source []string, format string, args ...any) {
	s.Because = append(s.Because, Reason{fmt.Sprintf(format, args...), source})
}

// lead adds reasons that say where the wire speed comes from.
func (s *Suggestion) lead(reasons ...Reason) {
	s.Lead = append(s.Lead, reasons...)
	s.Because = append(s.Because, reasons...)
}

// lower moves the verdict to the edge and says why.
func (s *Suggestion) lower(source []string, format string, args ...any) {
	s.Verdict = Edge
	s.because(source, format, args...)
	if text := s.Because[len(s.Because)-1].Text; !slices.Contains(s.Near, text) {
		s.Near = append(s.Near, text)
	}
}
