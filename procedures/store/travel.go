package store

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/google/uuid"

	"beadwright/procedures"
	"beadwright/procedures/sheet"
)

// Schema is the version of the exchange format that is written, and the last one
// that is read. It rises when a key or a kind of record is added, so that an older
// program does not lose what it knows nothing of.
const Schema = 1

// kind is one kind of record that travels between notebooks. Its columns tie the
// database to the keys of the file; those without a name are lists that live in
// tables of their own. To let another table travel, add one to [newLuggage].
type kind[T any] struct {
	name  string // in the file
	table string
	where string // which rows travel; "": all
	bind  func(*T) []column
	check func(*T) error
	load  func(tx *tx, byID map[string]*T) error    // fills in the lists
	save  func(m *merging, row int64, rec *T) error // writes them
	fill  func(tx *tx, rec *T) error                // what is too large to be read with many; nil: nothing is
	joins map[string]rule                           // how two forms of one record agree, by key; else they must be the same
	merge func(m *merging, k *kind[T]) error        // nil: [mergePlain]

	got   []sent[T] // read from a file, in its order
	keys  map[string]int
	draft T // one record being read
	cols  []column
}

// sent is a record of a file.
type sent[T any] struct {
	rec  T
	line int
}

// traveler is a kind of record, of whatever type.
type traveler interface {
	label() string
	count(tx *tx) (int, error)
	write(tx *tx, l *sheet.Line, put func(*sheet.Line) error) error
	read(v *sheet.Value, line int) error
	unite(m *merging) error
	kept() int
}

// luggage is all that travels, in the order in which it is written and in which
// it can be put in: nothing refers to what comes later.
type luggage struct {
	settings    settingsKind
	machines    kind[machineRecord]
	spools      kind[spoolRecord]
	suggestions kind[Suggestion]
	welds       kind[weldRecord]
	runOuts     kind[withdrawn[procedures.RunOut]]
	readings    kind[withdrawn[procedures.Measurement]]
	cutOuts     kind[withdrawn[procedures.CutOut]]
	arcs        kind[withdrawn[procedures.Arc]]
	reratings   kind[withdrawn[procedures.Rerating]]
	followUps   kind[withdrawn[procedures.FollowUp]]
	photos      kind[photoRecord]
	procedures  kind[procedureRecord]
}

func (l *luggage) all() []traveler {
	return []traveler{&l.settings, &l.machines, &l.spools, &l.suggestions, &l.welds, &l.runOuts, &l.readings, &l.cutOuts, &l.arcs, &l.reratings, &l.followUps, &l.photos, &l.procedures}
}

func newLuggage() *luggage {
	l := &luggage{
		machines: kind[machineRecord]{name: "machine", table: "machines", bind: machineTravels, load: loadMachines, merge: mergeMachines,
			check: func(m *machineRecord) error {
				return first(m.Validate(), amendable(m.Amended, machineTravels), statesFit(m))
			}},
		spools: kind[spoolRecord]{name: "spool", table: "spools", bind: spoolTravels, merge: mergeSpools,
			check: func(s *spoolRecord) error { return s.Validate() }},
		suggestions: kind[Suggestion]{name: "suggestion", table: "suggestions", bind: suggestionColumns, merge: mergeSuggestions, check: func(s *Suggestion) error {
			if !slices.Contains(verdicts, s.Verdict) {
				return procedures.Invalid("verdict", s.Verdict, "not a verdict", "accepted: "+strings.Join(verdicts, ", "))
			}
			return first(s.Job.Validate(), s.Settings.Validate())
		}},
		welds: kind[weldRecord]{name: "weld", table: "welds", bind: weldTravels, load: loadWelds, save: saveWeld, merge: mergeWelds,
			check: func(w *weldRecord) error { return first(w.Validate(), amendable(w.Amended, weldTravels)) }},
		runOuts: kind[withdrawn[procedures.RunOut]]{name: "run-out", table: "runouts", bind: numberedTravels(bindRunOut), joins: numberedJoins, merge: mergeNumbered[procedures.RunOut],
			check: func(r *withdrawn[procedures.RunOut]) error { return r.Rec.Validate() }},
		readings: kind[withdrawn[procedures.Measurement]]{name: "measurement", table: "measurements", bind: numberedTravels(bindMeasurement), joins: numberedJoins, merge: mergeNumbered[procedures.Measurement],
			check: func(r *withdrawn[procedures.Measurement]) error { return r.Rec.Validate() }},
		cutOuts: kind[withdrawn[procedures.CutOut]]{name: "cut-out", table: "cutouts", bind: numberedTravels(bindCutOut), joins: numberedJoins, merge: mergeNumbered[procedures.CutOut],
			check: func(c *withdrawn[procedures.CutOut]) error { return c.Rec.Validate() }},
		arcs: kind[withdrawn[procedures.Arc]]{name: "arc", table: "arcs", where: "stop IS NOT NULL", bind: arcTravels, joins: map[string]rule{"start": lesser, "stop": lesser, "weld": lesser},
			check: func(a *withdrawn[procedures.Arc]) error { return checkArc(&a.Rec) }},
		reratings: kind[withdrawn[procedures.Rerating]]{name: "rerating", table: "reratings", bind: laterTravels(bindRerating), joins: withdrawal,
			check: func(r *withdrawn[procedures.Rerating]) error { return r.Rec.Validate() }},
		followUps: kind[withdrawn[procedures.FollowUp]]{name: "follow-up", table: "followups", bind: laterTravels(bindFollowUp), joins: withdrawal,
			check: func(f *withdrawn[procedures.FollowUp]) error { return f.Rec.Validate() }},
		photos: kind[photoRecord]{name: "photo", table: "photos", bind: photoTravels, fill: readPicture, joins: withdrawal, merge: mergePhotos, check: checkPhoto},
		procedures: kind[procedureRecord]{name: "procedure", table: "procedures", bind: procedureTravels, load: loadProcedures, save: saveProcedure, merge: mergeProcedures,
			check: func(p *procedureRecord) error { return p.Validate() }},
	}
	return l
}

// machineRecord is a machine with all that belongs to it alone.
type machineRecord struct {
	procedures.Machine
	Added    time.Time
	States   []stateRecord
	Rebuilds []rebuildRecord
	Amended  []procedures.Amendment
}

type stateRecord struct {
	procedures.State
	Output  procedures.Polarity
	Rebuilt bool
}

type rebuildRecord struct {
	State   string
	Version int
	At      time.Time
	procedures.Rebuild
}

type spoolRecord struct {
	procedures.Spool
	Added time.Time
}

type weldRecord struct {
	procedures.Weld
	StruckAt time.Time
	Amended  []procedures.Amendment
}

type procedureRecord struct {
	procedures.Procedure
	Welds []procedureWeld
}

type procedureWeld struct {
	Weld   string
	Tested bool
}

// withdrawn is a record that can be withdrawn, with when it was.
type withdrawn[T any] struct {
	Rec      T
	Struck   string // of records that do not say it themselves
	StruckAt time.Time
}

func machineTravels(m *machineRecord) []column {
	return append(machineColumns(&m.Machine),
		column{"added_at", "added", moment{&m.Added}},
		column{"", "taps", several[procedures.Tap]{&m.Taps, tapTravels}},
		column{"", "states", several[stateRecord]{&m.States, stateTravels}},
		column{"", "rebuilds", several[rebuildRecord]{&m.Rebuilds, rebuildTravels}},
		column{"", "amended", several[procedures.Amendment]{&m.Amended, amendmentTravels}})
}

func tapTravels(t *procedures.Tap) []column {
	cols := tapColumns(t)
	cols[0].field = "name"
	return cols
}

func stateTravels(s *stateRecord) []column {
	return append(within("state.", onlyState(&s.State)),
		column{"output", "output", text[procedures.Polarity]{&s.Output}},
		column{"rebuilt", "rebuilt", flag{&s.Rebuilt}})
}

func rebuildTravels(r *rebuildRecord) []column {
	return append([]column{
		{"state", "state", text[string]{&r.State}},
		{"version", "version", whole[int]{&r.Version}},
		{"at", "at", moment{&r.At}},
	}, within("rebuild.", rebuildColumns(&r.Rebuild))...)
}

// within takes the name of the object off the keys of its fields.
func within(object string, cols []column) []column {
	for i := range cols {
		cols[i].field = strings.TrimPrefix(cols[i].field, object)
	}
	return cols
}

func amendmentTravels(a *procedures.Amendment) []column {
	return []column{
		{"at", "at", moment{&a.At}},
		{"field", "field", text[string]{&a.Field}},
		{"old", "old", text[string]{&a.Old}},
		{"new", "new", text[string]{&a.New}},
	}
}

func spoolTravels(s *spoolRecord) []column {
	return append(spoolColumns(&s.Spool), column{"added_at", "added", moment{&s.Added}})
}

func weldTravels(w *weldRecord) []column {
	return append(weldColumns(&w.Weld),
		column{"", "outcome.symptoms", keys[string]{&w.Outcome.Symptoms}},
		column{"", "outcome.tests", several[procedures.Test]{&w.Outcome.Tests, testTravels}},
		column{"struck_at", "struck_at", moment{&w.StruckAt}},
		column{"", "amended", several[procedures.Amendment]{&w.Amended, amendmentTravels}})
}

func testTravels(t *procedures.Test) []column {
	return []column{
		{"kind", "kind", text[string]{&t.Kind}},
		{"passed", "passed", flag{&t.Passed}},
		{"result", "result", text[string]{&t.Result}},
	}
}

func procedureTravels(p *procedureRecord) []column {
	cols := procedureColumns(&p.Procedure)
	i := slices.IndexFunc(cols, func(c column) bool { return c.name == "retired" })
	cols[i].field = "retired"
	return append(cols, column{"", "welds", several[procedureWeld]{&p.Welds, func(w *procedureWeld) []column {
		return []column{{"weld", "weld", text[string]{&w.Weld}}, {"tested", "tested", flag{&w.Tested}}}
	}}})
}

func numberedTravels[T any](bind func(*T) numbered) func(*withdrawn[T]) []column {
	return func(w *withdrawn[T]) []column {
		cols := bind(&w.Rec).columns()
		for i := range cols {
			if cols[i].field == "kind" { // which names the kind of record
				cols[i].field = "what"
			}
		}
		return append(cols, column{"struck_at", "struck_at", moment{&w.StruckAt}})
	}
}

func laterTravels[T any](bind func(*T) later) func(*withdrawn[T]) []column {
	return func(w *withdrawn[T]) []column {
		return append(bind(&w.Rec).columns(),
			column{"struck", "struck", text[string]{&w.Struck}},
			column{"struck_at", "struck_at", moment{&w.StruckAt}})
	}
}

func checkArc(a *procedures.Arc) error {
	switch length := a.Stop.Sub(a.Start); {
	case a.Start.IsZero() || a.Stop.IsZero():
		return procedures.Invalid("stop", "", "an arc has a start and a stop", "one that still burns does not travel")
	case length <= 0 || length > longestArc:
		return procedures.Invalid("stop", formatTime(a.Stop), fmt.Sprintf("an arc of %s cannot be", length), fmt.Sprintf("accepted: up to %s of one arc", longestArc))
	}
	return nil
}

func (k *kind[T]) label() string { return k.name }
func (k *kind[T]) kept() int     { return len(k.got) }

// ready binds the draft to its columns once: a record is filled in there and then
// copied, which is many times faster than to bind each.
func (k *kind[T]) ready() {
	if k.cols != nil {
		return
	}
	k.cols, k.keys = k.bind(&k.draft), map[string]int{}
	for i, c := range k.cols {
		k.keys[c.field] = i
	}
}

// stored are the columns that the table itself has.
func stored(cols []column) []column {
	return slices.DeleteFunc(slices.Clone(cols), func(c column) bool { return c.name == "" })
}

// validID refuses what is no id of a notebook.
func validID(id string) error {
	u, err := uuid.Parse(id)
	if err != nil || u.Version() != 7 || u.String() != id {
		return procedures.Invalid("id", id, "not an id of a notebook", "a UUIDv7 in lower case, as export writes it")
	}
	return nil
}

func first(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

// amendable refuses amendments of fields that a record has not. The output of a
// machine is amended in its state.
func amendable[T any](list []procedures.Amendment, bind func(*T) []column) error {
	var known []string
	for _, a := range list {
		if known == nil {
			var rec T
			known = []string{"output"}
			for _, c := range bind(&rec) {
				known = append(known, c.field)
			}
		}
		if a.At.IsZero() || !slices.Contains(known, a.Field) {
			return procedures.Invalid("amended", a.Field, "an amendment names a field of the record, and when it was amended")
		}
	}
	return nil
}
