package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"beadwright/procedures"
)

func jobColumns(j *procedures.Job) []column {
	return []column{
		{"job_said", "job.said", text[string]{&j.Said}},
		{"steel", "job.steel", text[string]{&j.Steel}},
		{"steel_group", "job.steel_group", text[string]{&j.SteelGroup}},
		{"thickness_mm", "job.thickness_mm", number[procedures.MM]{&j.Thickness}},
		{"other_thickness_mm", "job.other_thickness_mm", number[procedures.MM]{&j.OtherThickness}},
		{"thickness_said", "job.thickness_said", text[string]{&j.ThicknessSaid}},
		{"other_thickness_said", "job.other_thickness_said", text[string]{&j.OtherSaid}},
		{"form", "job.form", text[procedures.Form]{&j.Form}},
		{"other_form", "job.other_form", text[procedures.Form]{&j.OtherForm}},
		{"joint", "job.joint", text[procedures.Joint]{&j.Joint}},
		{"weld_type", "job.weld", text[procedures.WeldType]{&j.Weld}},
		{"position", "job.position", text[procedures.Position]{&j.Position}},
		{"gap_mm", "job.gap_mm", number[procedures.MM]{&j.Gap}},
		{"coating", "job.coating", text[procedures.Coating]{&j.Coating}},
		{"coating_stripped", "job.coating_stripped", flag{&j.Stripped}},
		{"length_mm", "job.length_mm", number[procedures.MM]{&j.Length}},
		{"made_for", "job.for", text[string]{&j.For}},
		{"wire_class", "job.wire_class", text[string]{&j.Wire.Class}},
		{"wire_diameter_mm", "job.wire_diameter_mm", number[procedures.MM]{&j.Wire.Diameter}},
		{"wire_gas", "job.wire_gas", text[string]{&j.Wire.Gas}},
		{"process", "job.process", text[procedures.Process]{&j.Process}},
	}
}

func settingsColumns(s *procedures.Settings) []column {
	return []column{
		{"tap", "settings.tap", text[string]{&s.Tap}},
		{"knob", "settings.knob", optional{&s.Knob}},
		{"knob_text", "settings.knob_text", text[string]{&s.KnobSaid}},
		{"wire_speed_m_min", "settings.wire_speed_m_min", number[procedures.MPerMin]{&s.WireSpeed}},
		{"polarity", "settings.polarity", text[procedures.Polarity]{&s.Polarity}},
		{"extension_mm", "settings.extension_mm", number[procedures.MM]{&s.Extension}},
		{"travel_mm_min", "settings.travel_mm_min", number[procedures.MMPerMin]{&s.Travel}},
		{"voltage_V", "settings.voltage_V", number[procedures.Volts]{&s.Voltage}},
		{"current_A", "settings.current_A", number[procedures.Amps]{&s.Current}},
		{"passes", "settings.passes", whole[procedures.Count]{&s.Passes}},
		{"leg_mm", "settings.leg_mm", number[procedures.MM]{&s.Leg}},
		{"preheat_C", "settings.preheat_C", optional{&s.Preheat}},
		{"technique", "settings.technique", text[string]{&s.Technique}},
		{"how", "settings.how", object[procedures.How]{&s.How}},
	}
}

// weldColumns are all columns of a weld. The first three stay as they are for
// its life.
func weldColumns(w *procedures.Weld) []column {
	return slices.Concat([]column{
		{"id", "id", text[string]{&w.ID}},
		{"mark", "mark", text[string]{&w.Mark}},
		{"struck", "struck", text[string]{&w.Struck}},
		{"at", "at", moment{&w.At}},
		{"spool", "spool", text[string]{&w.Spool}},
		{"suggestion", "suggestion", text[string]{&w.Suggestion}},
		{"said", "said", text[string]{&w.Said}},
		{"machine", "job.machine", text[string]{&w.Job.Machine}},
		{"state", "job.state", text[string]{&w.Job.State}},
	}, jobColumns(&w.Job), settingsColumns(&w.Settings), []column{
		{"arc_s", "arc_seconds", number[procedures.Seconds]{&w.ArcTime}},
		{"rating", "outcome.rating", whole[procedures.Count]{&w.Outcome.Rating}},
		{"measured_leg_mm", "outcome.leg_mm", number[procedures.MM]{&w.Outcome.Leg}},
		{"thirds", "outcome.thirds", thirds{&w.Outcome.Thirds}},
		{"photo", "outcome.photo", text[string]{&w.Outcome.Photo}},
		{"note", "outcome.note", text[string]{&w.Outcome.Note}},
	})
}

const fixedColumns = 3

// AddWeld records a weld and returns it as recorded, with its id, mark and time
// filled in where they were not given. Where a machine is named without a
// state, the state it is (or then was) in is filled in too. Where it was made
// just now and its arc time is not given, the arcs of its machine that stopped in
// the last 2 h and that no weld has yet are counted to it.
//
// A weld with the id of a recorded one and the same content is that one: it is
// returned, mark and all, and nothing is added. Errors: InvalidError where it
// cannot be, or speaks of a machine, state, spool or suggestion that is not in
// the notebook, or of a machine or spool that was withdrawn.
func (n *Notebook) AddWeld(ctx context.Context, w procedures.Weld) (procedures.Weld, error) {
	if err := w.Validate(); err != nil {
		return w, err
	}
	w = clone(w)
	err := n.aside(ctx, func(tx *tx) (err error) {
		w, err = tx.addWeld(w)
		return err
	})
	return w, err
}

// addWeld is [Notebook.AddWeld] within a transaction.
func (tx *tx) addWeld(w procedures.Weld) (procedures.Weld, error) {
	w.Outcome.FailedInUse, w.Outcome.InUse = time.Time{}, "" // which a follow-up says
	old, err := tx.weld("id = ?", strings.ToLower(w.ID))
	switch {
	case err == nil:
		return same(tx, w, old)
	case !errors.Is(err, procedures.ErrNotFound):
		return w, err
	}
	if err := giveID(&w.ID); err != nil {
		return w, err
	}
	just := w.At.IsZero()
	if err := tx.settle(&w, just); err != nil {
		return w, err
	}
	if err := first(tx.stands("machines", w.Job.Machine), tx.stands("spools", w.Spool)); err != nil {
		return w, err
	}
	var arcs []string
	if just && w.ArcTime == 0 && w.Job.Machine != "" {
		if arcs, w.ArcTime, err = tx.waiting(w.Job.Machine); err != nil {
			return w, err
		}
	}
	if err := tx.giveMark(&w); err != nil {
		return w, err
	}
	cols := weldColumns(&w)
	if w.Struck != "" {
		cols = append(cols, column{"struck_at", "", moment{ptr(tx.now)}})
	}
	row, err := tx.insert("welds", cols...)
	if err != nil {
		return w, err
	}
	if err := tx.count(arcs, w.ID); err != nil {
		return w, err
	}
	return w, tx.insertFindings(row, w.Outcome)
}

// same returns the recorded weld if the given one says the same.
func same(tx *tx, w, old procedures.Weld) (procedures.Weld, error) {
	w.ID, w.Mark = old.ID, old.Mark
	if w.At.IsZero() {
		w.At = old.At
	}
	if w.Job.State == "" {
		w.Job.State = old.Job.State
	}
	if w.ArcTime == 0 {
		w.ArcTime = old.ArcTime
	}
	if err := tx.settle(&w, false); err != nil {
		return w, err
	}
	if changes := compare(old, w); len(changes) > 0 {
		return w, procedures.Invalid("id", w.ID, fmt.Sprintf("this weld is recorded already, as %s, with another %s", old.Mark, changes[0].Field),
			"amend "+old.Mark+" to correct it, or leave the id out to record another weld")
	}
	return old, nil
}

// giveMark gives out the next mark, or takes the one given if it is free.
func (tx *tx) giveMark(w *procedures.Weld) (err error) {
	if w.Mark == "" {
		w.Mark, err = tx.nextMark()
		return err
	}
	number, ok := parseMark(w.Mark)
	if !ok {
		return procedures.Invalid("mark", w.Mark, "not a mark", "a mark is letters and 1 to 99, such as A7; leave it out, and the next one is given")
	}
	w.Mark = formatMark(number)
	var taken bool
	if err := tx.get([]any{&taken}, "SELECT EXISTS (SELECT 1 FROM welds WHERE mark = ?)", w.Mark); err != nil {
		return err
	}
	if taken {
		return procedures.Invalid("mark", w.Mark, "another weld has this mark", "leave it out, and the next one is given")
	}
	return nil
}

// settle puts a weld in the form in which it is kept, and refuses what it says
// of things that are not in the notebook. now: it was welded just now.
func (tx *tx) settle(w *procedures.Weld, now bool) error {
	if err := giveTime("at", &w.At, tx.now); err != nil {
		return err
	}
	if err := legible(weldColumns(w)); err != nil {
		return err
	}
	if t := w.Outcome.Thirds; t != nil && *t == (procedures.Thirds{}) {
		w.Outcome.Thirds = nil // none of them rated
	}
	for _, t := range w.Outcome.Tests {
		if err := legibleText("test", t.Result); err != nil {
			return err
		}
	}
	if err := tx.settleMachine(&w.Job.Machine, &w.Job.State, w.At, now); err != nil {
		return err
	}
	if err := tx.settleSpool(&w.Spool); err != nil {
		return err
	}
	if w.Suggestion != "" {
		w.Suggestion = strings.ToLower(w.Suggestion)
		var there bool
		if err := tx.get([]any{&there}, "SELECT EXISTS (SELECT 1 FROM suggestions WHERE id = ?)", w.Suggestion); err != nil {
			return err
		}
		if !there {
			return procedures.Invalid("suggestion", w.Suggestion, "there is no such suggestion in this notebook", "leave it out where the weld followed none")
		}
	}
	return nil
}

// settleSpool puts a spool's id in the place of its name.
func (tx *tx) settleSpool(spool *string) error {
	if *spool == "" {
		return nil
	}
	s, err := tx.spool(*spool)
	if errors.Is(err, procedures.ErrNotFound) {
		return procedures.Invalid("spool", *spool, "there is no such spool in this notebook"+tx.renamed("spools", *spool), tx.known("spools"))
	} else if err != nil {
		return err
	}
	*spool = s.ID
	return nil
}

// settleMachine makes the machine's name and state agree with the notebook. at
// is the time of the record that names them; now: it is just made.
func (tx *tx) settleMachine(machine, state *string, at time.Time, now bool) error {
	if strings.TrimSpace(*machine) == "" && *state == "" {
		*machine = ""
		return nil
	}
	query, args := "m.name_key = ?", []any{fold(*machine)}
	if strings.TrimSpace(*machine) == "" {
		query, args = "s.id = ?", []any{*state}
	}
	order := "s.number DESC"
	if !now && *state == "" { // the state of that day: the last one begun by then, else the first
		order = "s.since <= ? DESC, CASE WHEN s.since <= ? THEN -s.number ELSE s.number END"
		args = append(args, formatTime(at), formatTime(at))
	}
	if *state != "" {
		order = "s.id = ? DESC"
		args = append(args, *state)
	}
	var name, id string
	err := tx.get([]any{&name, &id}, "SELECT m.name, s.id FROM machines m JOIN states s ON s.machine = m.n WHERE "+query+" ORDER BY "+order+" LIMIT 1", args...)
	switch {
	case errors.Is(err, sql.ErrNoRows) && strings.TrimSpace(*machine) != "":
		return procedures.Invalid("machine", *machine, "there is no machine of that name in this notebook"+tx.renamed("machines", *machine), tx.known("machines"))
	case err != nil && !errors.Is(err, sql.ErrNoRows):
		return err
	case err != nil || *state != "" && *state != id:
		return procedures.Invalid("state", *state, "the machine was never in such a state", "leave it out, and its present state is filled in")
	}
	*machine, *state = name, id
	return nil
}

// insertFindings adds the symptoms and tests of a weld.
func (tx *tx) insertFindings(row int64, o procedures.Outcome) error {
	for i, key := range o.Symptoms {
		if err := tx.exec("INSERT INTO symptoms (weld, place, key) VALUES (?, ?, ?)", row, i+1, key); err != nil {
			return err
		}
	}
	for i, t := range o.Tests {
		if err := tx.exec("INSERT INTO tests (weld, place, kind, passed, result) VALUES (?, ?, ?, ?, ?)", row, i+1, t.Kind, t.Passed, t.Result); err != nil {
			return err
		}
	}
	return nil
}

// Weld returns the weld of that mark, in any case of letters, or of that id,
// struck or not, with its amendments from the first to the last. Errors: wraps
// [procedures.ErrNotFound].
func (n *Notebook) Weld(ctx context.Context, markOrID string) (w procedures.Weld, amended []procedures.Amendment, err error) {
	err = n.read(ctx, func(tx *tx) error {
		var row int64
		if w, row, err = tx.byMark(markOrID); err != nil {
			return err
		}
		amended, err = tx.amendments("amendments WHERE weld = ?", row)
		return err
	})
	return w, amended, err
}

// byMark returns a weld and its number.
func (tx *tx) byMark(markOrID string) (w procedures.Weld, row int64, err error) {
	query, arg := "id = ?", strings.ToLower(strings.TrimSpace(markOrID))
	if number, ok := parseMark(markOrID); ok {
		query, arg = "mark = ?", formatMark(number)
	}
	if w, err = tx.weld(query, arg); err != nil {
		if errors.Is(err, procedures.ErrNotFound) {
			err = fmt.Errorf("weld %q: %w", markOrID, err)
		}
		return w, 0, err
	}
	err = tx.get([]any{&row}, "SELECT n FROM welds WHERE id = ?", w.ID)
	return w, row, err
}

func (tx *tx) weld(where string, args ...any) (procedures.Weld, error) {
	list, err := tx.welds("WHERE "+where, args...)
	if err != nil {
		return procedures.Weld{}, err
	}
	if len(list) == 0 {
		return procedures.Weld{}, procedures.ErrNotFound
	}
	return list[0], nil
}
