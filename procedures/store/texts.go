package store

import (
	"slices"
	"strings"

	"beadwright/procedures"
)

// texts are the texts of those of the selected welds that stand, by their ids. What
// many welds have in common is written once.
func (tx *tx) texts(which selection, many int) (map[string]string, error) {
	spools, err := tx.spools("1 = 1")
	if err != nil {
		return nil, err
	}
	spool := map[string]string{}
	for _, s := range spools {
		spool[s.ID] = s.Name
	}
	var draft procedures.Weld
	cols := slices.DeleteFunc(weldColumns(&draft), func(c column) bool { return !slices.Contains(searchedTexts, c.name) })
	jobs, findings := map[jobTexts]string{}, map[string]string{}
	texts := make(map[string]string, many)
	var id, from, own, keys, tests string
	var this jobTexts
	dest := []any{&id, text[string]{&from}, &own, &keys, &tests, &this.texts, number[procedures.MM]{&this.thick}, number[procedures.MM]{&this.other}, number[procedures.MM]{&this.diameter}}
	err = tx.each(func(r scanner) error {
		if err := r.Scan(dest...); err != nil {
			return err
		}
		job, ok := jobs[this]
		if !ok {
			if err := unpack(this.texts, cols); err != nil {
				return unreadable{err}
			}
			draft.Job.Thickness, draft.Job.OtherThickness, draft.Job.Wire.Diameter = this.thick, this.other, this.diameter
			job = procedures.JobText(draft)
			jobs[this] = job
		}
		said, ok := findings[keys]
		if !ok {
			for key := range strings.FieldsSeq(keys) {
				said += " " + procedures.SymptomText(key)
			}
			findings[keys] = said
		}
		texts[id] = strings.Join([]string{job, spool[from], own, said, tests}, " ")
		return nil
	}, "SELECT id, spool, concat("+strings.Join(ownTexts, ", ' ', ")+"), coalesce((SELECT group_concat(key, ' ') FROM symptoms WHERE weld = n), ''), coalesce((SELECT group_concat("+testText+", ' ') FROM tests WHERE weld = n), ''), "+
		packed(cols)+", thickness_mm, other_thickness_mm, wire_diameter_mm FROM welds WHERE struck IS NULL AND n"+which.where, which.arg)
	return texts, err
}
