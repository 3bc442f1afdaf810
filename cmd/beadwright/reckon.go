package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/arc"
	"beadwright/recommend/caution"
)

// newReckon returns the command that does one sum and shows it.
func newReckon(a *app) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "reckon WHAT",
		Short: "Do one sum and show it",
		Long: `Do one sum and show it: the answer, the formula with your numbers put in, where it
comes from, how it was got, and what it does not cover.

A sum never reaches past the table or the range that its rule holds for. Such a
figure is left out and the answer says why; the other figures still come.

Exit status: 0 at least one answer given; 2 not understood or not valid; 3 none
given, on purpose: outside every table and rule that would answer it.`,
		Example: `  beadwright reckon heat --volts 18 --amps 90 --travel 10ipm
  beadwright reckon duty --rated 90A --duty 20% --amps 70A
  beadwright reckon gauge 16 tube`,
		Args: noSub("reckon"),
	}
	cmd.RunE = func(cmd *cobra.Command, _ []string) error { return cmd.Help() }
	cmd.AddCommand(newReckonHeat(a), newReckonCurrent(a), newReckonTravel(a), newReckonCarbon(a), newReckonPreheat(a),
		newReckonFillet(a), newReckonGroove(a), newReckonWire(a), newReckonDuty(a), newReckonSupply(a), newReckonCord(a),
		newReckonLead(a), newReckonSmoothing(a), newReckonShade(a), newReckonGauge(a), newReckonFlaw(a),
		newReckonAir(a), newReckonCooling(a), newReckonRebar(a), newReckonGroup(a))
	return cmd
}

// reckoning is one sum: what was put in, what came out and how, and what it
// leaves out.
type reckoning struct {
	What       string            `json:"reckon"`
	Inputs     inputs            `json:"inputs"`
	Assumed    []string          `json:"assumed"`
	Answers    []*figure         `json:"answers"`
	NotCovered []string          `json:"not_covered"`
	Cautions   []caution.Caution `json:"cautions"`
	Sources    map[string]string `json:"sources"`

	ctx   context.Context // of this one sum
	args  []string        // bare words, of a sum that takes some
	units procedures.Units
	err   error // the first input that could not be read
}

// figure is one answer of a sum. Value, Low and High are in Unit; all are nil
// where there is no number: an answer in words, or none given.
type figure struct {
	Name    string     `json:"name"`
	Value   *float64   `json:"value"`
	Low     *float64   `json:"low"`
	High    *float64   `json:"high"`
	Unit    string     `json:"unit"`
	Text    string     `json:"text"`    // as it is read aloud
	Formula string     `json:"formula"` // in words, then with the numbers put in
	Source  []string   `json:"source"`
	Basis   data.Basis `json:"basis"`
	Note    string     `json:"note"`
	Within  *bool      `json:"within,omitempty"` // of a measured size against a limit; else left out

	given bool
}

// sum makes a command that does one sum: what reads the flags and adds answers.
func (a *app) sum(cmd *cobra.Command, what func(r *reckoning) error) *cobra.Command {
	if cmd.Args == nil {
		cmd.Args = flagsOnly
	}
	a.completeSum(cmd)
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		units, err := a.units(cmd.Context())
		if err != nil {
			return err
		}
		r := &reckoning{ctx: cmd.Context(), args: args, What: cmd.Name(), units: units, Assumed: []string{}, Answers: []*figure{}, NotCovered: []string{}, Cautions: []caution.Caution{}, Sources: map[string]string{}}
		if err := what(r); err != nil {
			return err
		}
		return a.printReckoning(r)
	}
	return cmd
}

// meant are the flags that bare words of a sum are mostly meant for, in that order;
// where there is one, all the words are.
var meant = map[string][]string{"shade": {"amps"}, "cord": {"cord"}, "duty": {"rated", "duty", "amps"}, "heat": {"volts", "amps", "travel"}, "supply": {"amps", "volts", "input"},
	"fillet": {"leg"}, "preheat": {"thickness"}, "wire": {"wire-speed"}, "current": {"wire-speed"}, "carbon": {"steel"}}

// flagsOnly refuses bare words, and says them again with the flags they were meant for.
func flagsOnly(cmd *cobra.Command, args []string) error {
	if len(args) == 0 {
		return nil
	}
	flags := meant[cmd.Name()]
	if len(flags) == 1 {
		args = []string{strings.Join(args, " ")}
	}
	hint := "such as: " + strings.TrimSpace(strings.SplitN(cmd.Example, "\n", 2)[0])
	if len(flags) == len(args) {
		hint = "did you mean: " + cmd.CommandPath()
		for k, flag := range flags {
			hint += " --" + flag + " " + quote(args[k])
		}
	}
	return &usageError{err: fmt.Errorf("%s: each number goes behind its flag (read %q)", cmd.Name(), oneLine(strings.Join(args, " "))), hints: []string{hint, "all flags: " + cmd.CommandPath() + " --help"}}
}

// rule is a published formula by its key, for the sources of an answer.
func rule(key string) data.Row {
	for _, f := range data.Formulas() {
		if f.Key == key {
			return f.Row
		}
	}
	return data.Row{Source: []string{"MATH"}, Basis: data.Computed}
}

// exact is a value without a range, by a published formula.
func exact(v float64, unit string, row data.Row) arc.Value {
	return arc.Value{Value: v, Low: v, High: v, Unit: unit, Basis: row.Basis, Source: row.Source}
}

// add puts an answer down. formula says it in words and then with the numbers.
func (r *reckoning) add(name string, v arc.Value, formula string) *figure {
	f := r.words(name, r.say(v), v, formula)
	value, low, high := procedures.Round(v.Value), procedures.Round(v.Low), procedures.Round(v.High)
	f.Value, f.Low, f.High = &value, &low, &high
	return f
}

// least puts down what is asked for at the least, and most what is allowed at the most:
// told, neither is rounded past itself.
func (r *reckoning) least(name string, v arc.Value, formula string) *figure {
	f := r.add(name, v, formula)
	f.Text = r.sayOne(upward(v.Value), v.Unit)
	return f
}

func (r *reckoning) most(name string, v arc.Value, formula string) *figure {
	f := r.add(name, v, formula)
	f.Text = r.sayOne(downward(v.Value), v.Unit)
	return f
}

// words puts an answer down that is not a number.
func (r *reckoning) words(name, text string, v arc.Value, formula string) *figure {
	f := &figure{Name: name, Unit: v.Unit, Text: text, Formula: formula, Source: v.Source, Basis: v.Basis, Note: v.Note, given: true}
	if f.Source == nil {
		f.Source = []string{}
	}
	r.Answers = append(r.Answers, f)
	return f
}

// none puts down that no figure is given where a table or a rule ends. Every
// other error stops the sum.
func (r *reckoning) none(name string, err error) error {
	var out *arc.RangeError
	var no *arc.NoTableError
	v := arc.Value{}
	switch {
	case errors.As(err, &out):
		err, v.Source, v.Unit = out.In(r.units), out.Source, out.Unit
	case !errors.As(err, &no):
		return err
	}
	r.words(name, "none given: "+err.Error(), v, "").given = false
	return nil
}

// try puts down an answer, or that there is none.
func (r *reckoning) try(name string, v arc.Value, err error, formula string) (*figure, error) {
	if err != nil {
		return &figure{}, r.none(name, err)
	}
	return r.add(name, v, formula), nil
}

func (r *reckoning) caution(level caution.Level, key, text string, source ...string) {
	r.Cautions = append(r.Cautions, caution.Caution{Level: level, Key: key, Text: text, Source: source})
}

func (r *reckoning) uncovered(lines ...string) { r.NotCovered = append(r.NotCovered, lines...) }

// firstComes is the line of every sum whose answer goes into a circuit or a part.
func (r *reckoning) firstComes() {
	r.caution(caution.Defer, "first", "Local codes, the machine's manual and licensed trades come first.", "CP")
}

var basisWords = map[data.Basis]string{
	data.Printed: "as printed", data.Computed: "worked out here", data.Memory: "from memory, not checked against a copy",
	data.Practice: "common practice, no source", arc.OwnReadings: "your own readings",
}

// printReckoning shows a sum. Without a single figure it is no settings given.
func (a *app) printReckoning(r *reckoning) error {
	given := false
	slices.SortStableFunc(r.Cautions, func(a, b caution.Caution) int { return order(a.Level) - order(b.Level) })
	for _, f := range r.Answers {
		given = given || f.given
		r.cite(f.Source)
	}
	for _, c := range r.Cautions {
		r.cite(c.Source)
	}
	if a.json {
		if err := a.printJSON(r); err != nil {
			return err
		}
	} else {
		a.printSum(r)
	}
	if !given {
		return errNoSettings
	}
	return nil
}

// order puts a stop before everything else.
func order(l caution.Level) int {
	if l == caution.Stop {
		return 0
	}
	return 1
}

func (r *reckoning) cite(ids []string) {
	for _, id := range ids {
		r.Sources[id] = data.Cite(id)[0]
	}
}

func (a *app) printSum(r *reckoning) {
	a.line("read", r.Inputs.String())
	if len(r.Assumed) > 0 {
		a.line("assumed", strings.Join(r.Assumed, "; "))
	}
	noted := map[string]bool{} // what goes with several answers is read aloud once
	for _, f := range r.Answers {
		a.printf("\n")
		a.line("answer", f.Name+": "+f.Text)
		if strings.Contains(f.Formula, " = ") {
			a.line("sum", f.Formula)
		} else if f.Formula != "" {
			a.line("rule", f.Formula)
		}
		how := basisWords[f.Basis]
		if len(f.Source) > 0 {
			how = strings.TrimSpace(how + " [" + strings.Join(f.Source, " ") + "]")
		}
		if how != "" {
			a.line("got", how)
		}
		if f.Note != "" && !noted[f.Note] && !strings.Contains(f.Text, f.Note) {
			a.line("note", f.Note)
			noted[f.Note] = true
		}
	}
	if len(r.NotCovered) > 0 {
		a.printf("\nwhat this does not cover\n")
		for _, u := range r.NotCovered {
			a.bullet(u, nil)
		}
	}
	a.printCautions(r.Cautions)
	a.printSources(r.Sources)
}

// inputs are what was read, in the order it was said.
type inputs []input

type input struct {
	key   string // with its unit: current_A
	value any
	text  string
}

func (in inputs) String() string {
	var parts []string
	for _, i := range in {
		parts = append(parts, i.text)
	}
	return list(parts...)
}

// MarshalJSON writes an object, its keys in the order said.
func (in inputs) MarshalJSON() ([]byte, error) {
	var b strings.Builder
	for k, i := range in {
		if k > 0 {
			b.WriteByte(',')
		}
		v, err := json.Marshal(i.value)
		if err != nil {
			return nil, err
		}
		fmt.Fprintf(&b, "%q:%s", i.key, v)
	}
	return []byte("{" + b.String() + "}"), nil
}

// rowOf is where a value comes from.
func rowOf(v arc.Value) data.Row { return data.Row{Source: v.Source, Basis: v.Basis} }
