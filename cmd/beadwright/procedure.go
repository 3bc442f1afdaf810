package main

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/procedures/store"
	"beadwright/recommend"
)

func newProcedure(a *app) *cobra.Command {
	cmd := &cobra.Command{Use: "procedure", Short: "Write down a way of welding a joint that repeats: ranges, passes, tests", Args: noSub("procedure")}
	cmd.RunE = func(cmd *cobra.Command, _ []string) error { return cmd.Help() }
	names := func(cmd *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
		return a.procedureNames(cmd.Context()), cobra.ShellCompDirectiveNoFileComp
	}
	retireWhy := ""
	retire := &cobra.Command{Use: "retire NAME --why REASON", Short: "Take a procedure out of use; it is kept", Args: cobra.MinimumNArgs(1), ValidArgsFunction: names,
		Example: "  beadwright procedure retire \"eighth tee\" --why \"another wire now\"",
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.retireProcedure(cmd.Context(), strings.Join(args, " "), retireWhy)
		}}
	retire.Flags().StringVar(&retireWhy, "why", "", "the reason, for later")
	list := &cobra.Command{Use: "list", Short: "All procedures, each in its last revision", Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error { return a.listProcedures(cmd.Context()) }}
	revision := 0
	show := &cobra.Command{Use: "show NAME", Short: "One procedure, whole", Args: cobra.MinimumNArgs(1), ValidArgsFunction: names,
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.showProcedure(cmd.Context(), strings.Join(args, " "), revision)
		}}
	show.Flags().IntVar(&revision, "revision", 0, "an earlier revision (default the last)")
	cmd.AddCommand(newProcedureWrite(a), newProcedureRevise(a, names), retire, list, show)
	return cmd
}

// procedureFlags are the flags of write and revise.
type procedureFlags struct {
	from, note, use, why string
	fields               []string
}

func newProcedureWrite(a *app) *cobra.Command {
	var o procedureFlags
	cmd := &cobra.Command{
		Use:   "write NAME --from MARKS",
		Short: "Write a procedure from coupons that came out good",
		Long: `Write a procedure from logged welds of one kind of job: same joint, position, wire,
steel, machine in its present state, and thickness within 10 %. Two coupons that
passed a bend or break test are wanted; with fewer it is a draft and says so. One
that failed a test is refused.

Each setting gets a range: no wider than AWS D1.1 lets a qualified procedure move,
no wider than your good welds reach, and cut half way to a weld that failed nearby.
It is your shop's own procedure and no qualification under any code.

Exit status: 0 written; 2 not understood; 3 none written, on purpose: on the stop
list, or outside every table with no test of your own.`,
		Example: `  beadwright procedure write "eighth tee" --from A3,A7
  beadwright procedure write "cart rail" --from A3,A7 --for "shop cart" --field "backing=none" --note "clamp both ends"`,
		Args: cobra.MinimumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			args, o.from = looseMarks(args, o.from)
			return a.writeProcedure(cmd.Context(), strings.Join(args, " "), o, nil)
		},
	}
	o.add(cmd, a)
	return cmd
}

func newProcedureRevise(a *app, names cobra.CompletionFunc) *cobra.Command {
	var o procedureFlags
	cmd := &cobra.Command{
		Use:   "revise NAME",
		Short: "Write the next revision; the older ones are kept",
		Long: `Write the next revision of a procedure, from other welds (--from) or from the same
ones with what the notebook holds today. The older revisions are kept and called
superseded.`,
		Example: `  beadwright procedure revise "eighth tee" --from A3,A7,A12 --why "a third coupon"
  beadwright procedure revise "eighth tee" --field "gun angle=45 degrees, drag 10" --why "angle written down"`,
		Args: cobra.MinimumNArgs(1), ValidArgsFunction: names,
		RunE: func(cmd *cobra.Command, args []string) error {
			nb, err := a.mustExist(cmd.Context(), "log 4")
			if err != nil {
				return err
			}
			old, err := nb.Procedure(cmd.Context(), strings.Join(args, " "), 0)
			if err != nil {
				return procedureNotFound(err)
			}
			return a.writeProcedure(cmd.Context(), old.Name, o, &old)
		},
	}
	o.add(cmd, a)
	cmd.Flags().StringVar(&o.why, "why", "", "what this revision changes")
	return cmd
}

func (o *procedureFlags) add(cmd *cobra.Command, a *app) {
	f := cmd.Flags()
	f.StringVar(&o.from, "from", "", "marks of the welds it is written from: A3,A7")
	f.StringVar(&o.note, "note", "", "anything else")
	f.StringVar(&o.use, "for", "", "what the part is for, plainly")
	f.StringArrayVar(&o.fields, "field", nil, "what else a sheet asks for, as FIELD=VALUE; may be repeated")
	a.completes(cmd, "field", func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		var all []string
		for _, f := range data.ProcedureFields() {
			all = append(all, f.Field+"=")
		}
		return all, cobra.ShellCompDirectiveNoFileComp
	})
}

func (a *app) procedureNames(ctx context.Context) []string {
	nb, err := a.existing(ctx)
	if err != nil || nb == nil {
		return nil
	}
	all, _ := nb.Procedures(ctx)
	var names []string
	for _, p := range all {
		names = append(names, p.Name)
	}
	return names
}

// writeProcedure writes a procedure, or the next revision of one.
func (a *app) writeProcedure(ctx context.Context, name string, o procedureFlags, old *procedures.Procedure) error {
	nb, err := a.mustExist(ctx, "log 4")
	if err != nil {
		return err
	}
	units, err := a.units(ctx)
	if err != nil {
		return err
	}
	marks := marksIn(o.from)
	fields := map[string]string{}
	use, note := o.use, o.note
	if old != nil {
		if len(marks) == 0 {
			marks = old.From
		}
		for k, v := range old.Fields {
			fields[k] = v
		}
		if note == "" {
			note = old.Note
		}
	}
	if err := readFields(fields, o.fields); err != nil {
		return err
	}
	welds, m, err := a.procedureWelds(ctx, nb, marks)
	if err != nil {
		return err
	}
	if old != nil && use == "" && len(welds) > 0 && old.Job.For != welds[0].Job.For {
		use = old.Job.For // it was stated apart from the welds
	}
	history, err := nb.History(ctx)
	if err != nil {
		return err
	}
	for _, list := range [][]procedures.Weld{history, welds} {
		if err := a.derive(ctx, list); err != nil {
			return err
		}
	}
	said, err := saidOfFailures(ctx, nb)
	if err != nil {
		return err
	}
	words := []string{name, note}
	for _, v := range fields {
		words = append(words, v)
	}
	slices.Sort(words)
	written, err := recommend.WriteProcedure(recommend.ProcedureRequest{Machine: m, From: welds, Words: strings.Join(words, ". "), For: use, Spool: spoolOf(ctx, nb), Now: a.now(), Said: said, Units: units}, history)
	if err != nil {
		return err
	}
	if !written.Answer.Given() {
		return a.printAnswer(newAnswer(written.Answer, nil, m), units)
	}
	p := written.Procedure
	p.Name, p.Note, p.Fields, p.Why, p.Revision = name, note, fields, strings.TrimSpace(o.why), 1
	if old != nil {
		p.Revision = old.Revision + 1
	}
	if p, err = nb.AddProcedure(ctx, p); err != nil {
		return err
	}
	sheet, err := a.procedureSheet(ctx, nb, p, units)
	if err != nil {
		return err
	}
	sheet.Doubts = append(sheet.Doubts, written.Doubts...)
	return a.printProcedure(sheet, "wrote")
}

// procedureWelds reads the welds named and the machine that the first names.
func (a *app) procedureWelds(ctx context.Context, nb *store.Notebook, marks []string) ([]procedures.Weld, procedures.Machine, error) {
	var m procedures.Machine
	var welds []procedures.Weld
	for _, mark := range marks {
		w, _, err := nb.Weld(ctx, mark)
		if err != nil {
			return nil, m, err
		}
		welds = append(welds, w)
	}
	if len(welds) == 0 || welds[0].Job.Machine == "" {
		return welds, m, nil
	}
	m, err := nb.Machine(ctx, welds[0].Job.Machine)
	return welds, m, err
}

// spoolOf is the id of the spool in use; "" where there is none.
func spoolOf(ctx context.Context, nb *store.Notebook) string {
	s, _ := nb.CurrentSpool(ctx)
	return s.ID
}

// readFields reads FIELD=VALUE. A field may be named by any of its words that no
// other field has; an empty value takes it out again.
func readFields(into map[string]string, said []string) error {
	for _, s := range said {
		name, value, ok := strings.Cut(s, "=")
		if !ok || strings.TrimSpace(name) == "" {
			return procedures.Invalid("field", s, "not FIELD=VALUE", `write: --field "backing=none"`)
		}
		field, err := fieldNamed(name)
		if err != nil {
			return err
		}
		if value = strings.TrimSpace(value); value == "" {
			delete(into, field)
			continue
		}
		into[field] = value
	}
	return nil
}

// fieldNamed finds the field of a procedure sheet that a name means: the very one,
// else the one that alone begins with it or alone has its words in it.
func fieldNamed(name string) (string, error) {
	key := strings.Join(strings.Fields(strings.ToLower(name)), " ")
	var begin, within, all []string
	for _, f := range data.ProcedureFields() {
		field := strings.ToLower(f.Field)
		all = append(all, f.Field)
		switch {
		case field == key:
			return f.Field, nil
		case strings.HasPrefix(field, key):
			begin = append(begin, f.Field)
			fallthrough
		case strings.Contains(field, key):
			within = append(within, f.Field)
		}
	}
	switch {
	case len(begin) == 1:
		return begin[0], nil
	case len(within) == 1:
		return within[0], nil
	case len(within) > 1:
		return "", procedures.Invalid("field", name, "several fields of the sheet are called that", "one of: "+strings.Join(within, "; "))
	}
	return "", procedures.Invalid("field", name, "no field of a procedure sheet is called that", "accepted: "+strings.Join(all, "; "), "what fits none of them goes into --note")
}

func (a *app) retireProcedure(ctx context.Context, name, why string) error {
	nb, err := a.mustExist(ctx, "log 4")
	if err != nil {
		return err
	}
	if why = oneLine(why); why == "" {
		return procedures.Invalid("why", "", "why is it retired?", "say it, for whoever finds the sheet: --why \"another wire now\"")
	}
	p, err := nb.Procedure(ctx, name, 0)
	if err != nil {
		return procedureNotFound(err)
	}
	if p.Status == procedures.Retired {
		return procedures.Invalid("procedure", p.Name, "it is retired already: "+p.Why, "to take it up again: beadwright procedure revise "+quote(p.Name))
	}
	p.ID, p.At = "", time.Time{}
	p.Revision, p.Status, p.Why = p.Revision+1, procedures.Retired, why
	if p, err = nb.AddProcedure(ctx, p); err != nil {
		return err
	}
	m, err := nb.Machine(ctx, p.Job.Machine)
	if err != nil {
		return err
	}
	if a.json {
		return a.printJSON(map[string]any{"procedure": p})
	}
	a.printf("retired %s: %s. It is kept: beadwright procedure show %s\n", p.Name, p.Why, quote(p.Name))
	a.storedCharge(m)
	return nil
}

func (a *app) listProcedures(ctx context.Context) error {
	nb, err := a.existing(ctx)
	if err != nil {
		return err
	}
	all, states := []procedures.Procedure{}, []procedureState{}
	if nb != nil {
		found, err := nb.Procedures(ctx)
		if err != nil {
			return err
		}
		all = append(all, found...)
	}
	for _, p := range all {
		state, err := a.procedureState(ctx, nb, p)
		if err != nil {
			return err
		}
		states = append(states, state)
	}
	if a.json {
		return a.printJSON(map[string]any{"procedures": all, "standing": standingOf(all, states)})
	}
	if len(all) == 0 {
		a.printf("no procedure is written yet. Weld two coupons alike, break them, then: beadwright procedure write NAME --from A1,A2\n")
		return nil
	}
	units, err := a.units(ctx)
	if err != nil {
		return err
	}
	for i, p := range all {
		a.printf("%s\n", p.Name)
		for _, text := range states[i].alert() {
			a.line("", text)
		}
		a.line("", list(fmt.Sprintf("revision %d", p.Revision), p.At.Local().Format("2006-01-02"), string(p.Status), draftWord(p)))
		for _, r := range states[i].stale {
			a.line("", "MIND: "+r.Text)
		}
		a.line("", describeJob(p.Job, units))
		a.line("", setLine(p.Settings, units))
	}
	told := map[string]bool{}
	for _, s := range states {
		if !told[s.machine.ID] {
			a.storedCharge(s.machine)
		}
		told[s.machine.ID] = true
	}
	return nil
}

func (a *app) showProcedure(ctx context.Context, name string, revision int) error {
	nb, err := a.mustExist(ctx, "log 4")
	if err != nil {
		return err
	}
	units, err := a.units(ctx)
	if err != nil {
		return err
	}
	p, err := nb.Procedure(ctx, name, revision)
	if err != nil {
		return procedureNotFound(err)
	}
	sheet, err := a.procedureSheet(ctx, nb, p, units)
	if err != nil {
		return err
	}
	if sheet.barred() {
		return a.refuseSheet(sheet)
	}
	return a.printProcedure(sheet, "")
}

// procedureNotFound teaches where to look.
func procedureNotFound(err error) error {
	return &usageError{err: err, hints: []string{procedures.Way("what there is: beadwright procedure list", "what there is: Procedures, at the foot"), "to write one: beadwright procedure write NAME --from A3,A7"}}
}

func draftWord(p procedures.Procedure) string {
	if p.Draft() {
		return "DRAFT"
	}
	return ""
}

// quote puts a name of several words into quotes, as a shell wants it.
func quote(name string) string {
	if strings.Contains(name, " ") {
		return fmt.Sprintf("%q", name)
	}
	return name
}
