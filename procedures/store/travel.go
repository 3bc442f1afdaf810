package store

import (
	"fmt"
	"slices"
	"strings"

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

	got   []*sent[T] // read from a file, in its order
	keys  map[string]int
	place map[key]int
	draft T // one record being read
	cols  []column
	own   []column // those that the table itself has
	add   string   // the statement that adds a row
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
	take(other traveler)
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
		spools: kind[spoolRecord]{name: "spool", table: "spools", bind: spoolTravels, load: loadSpools, save: saveSpool, merge: mergeSpools,
			check: func(s *spoolRecord) error { return first(s.Validate(), amendable(s.Amended, spoolTravels)) }},
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
	k.own = stored(k.cols)
	k.add = insertInto(k.table, k.own)
	k.place = map[key]int{}
	for i, c := range k.cols {
		k.keys[c.field] = i
		k.place[keyOf(c.field)] = i
	}
}

// key is a key of a file with the object that it stands in, "" the record itself.
type key struct{ object, name string }

func keyOf(field string) key {
	if i := strings.IndexByte(field, '.'); i >= 0 {
		return key{field[:i], field[i+1:]}
	}
	return key{"", field}
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
