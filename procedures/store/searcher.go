package store

import (
	"encoding/json"
	"slices"
	"strings"

	"beadwright/procedures"
)

// searchedTexts are the columns that, with three sizes, make up
// [procedures.JobText]; ownTexts those that hardly two welds have alike.
var (
	searchedTexts = []string{"machine", "steel", "thickness_said", "other_thickness_said", "form", "other_form", "joint", "weld_type", "position", "coating", "wire_class", "wire_gas", "process", "tap", "polarity", "technique"}
	ownTexts      = []string{"mark", "note", "made_for", "job_said", "said"}
)

// searcher looks for words in welds, in one transaction. What many welds have in
// common, and each symptom, is compared with the words once.
type searcher struct {
	tx    *tx
	query *procedures.Query

	spools, symptoms, tests map[string]procedures.Likeness // the last two without those that are like no word
	findings                procedures.Likeness            // of all symptoms and tests together: no weld's own add more
	jobs                    map[jobTexts]procedures.Likeness

	welds string // the query, of a range of numbers
	args  []any  // before the range
	draft procedures.Weld
	texts []column // of the draft: searchedTexts
}

// jobTexts is what [procedures.JobText] is made of.
type jobTexts struct {
	texts                  string
	thick, other, diameter procedures.MM
}

// wordsLike looks for the welds in which every word has its like.
func wordsLike(words, where string, args []any) func(*tx) (look, error) {
	return func(tx *tx) (look, error) {
		s, err := newSearcher(tx, words, where, args)
		if err != nil {
			return nil, err
		}
		return s.look, nil
	}
}

func newSearcher(tx *tx, words, where string, args []any) (*searcher, error) {
	s := &searcher{tx: tx, query: procedures.NewQuery(words), jobs: map[jobTexts]procedures.Likeness{}, args: args}
	s.texts = slices.DeleteFunc(weldColumns(&s.draft), func(c column) bool { return !slices.Contains(searchedTexts, c.name) })
	s.welds = "SELECT n, thickness_mm, other_thickness_mm, wire_diameter_mm, concat(" + strings.Join(ownTexts, ", ' ', ") + ", char(0), at, char(0), spool, char(0), " + strings.TrimPrefix(packed(s.texts), "concat(") +
		" FROM welds WHERE " + where + " AND n BETWEEN ? AND ? ORDER BY n"
	s.findings = s.query.Unlike()
	var err error
	if s.spools, err = s.read("SELECT id, name FROM spools", nil); err != nil {
		return nil, err
	}
	// Each key once, without a look at every symptom of every weld.
	if s.symptoms, err = s.read(`WITH RECURSIVE k(key) AS (SELECT min(key) FROM symptoms UNION ALL SELECT (SELECT min(key) FROM symptoms WHERE key > k.key) FROM k WHERE key IS NOT NULL)
		SELECT key, key FROM k WHERE key IS NOT NULL`, procedures.SymptomText); err != nil {
		return nil, err
	}
	s.tests, err = s.read("SELECT DISTINCT "+testText+", "+testText+" FROM tests", func(t string) string { return t })
	return s, err
}

const testText = "kind || ' ' || result"

// read reads names and the texts that they have. Of findings it leaves out what is
// like no word.
func (s *searcher) read(query string, finding func(string) string) (map[string]procedures.Likeness, error) {
	all := map[string]procedures.Likeness{}
	var name, text string
	err := s.tx.each(func(r scanner) error {
		if err := r.Scan(&name, &text); err != nil {
			return err
		}
		like := s.query.Unlike()
		if finding == nil {
			s.query.Read(like, text)
		} else if s.query.Read(like, finding(text)); like.None() {
			return nil
		} else {
			s.findings.Join(like)
		}
		all[name] = like
		return nil
	}, query)
	return all, err
}

// look finds the welds in rows from to to that every word has its like in, with their
// scores. Most are left at their words alone; findings are read of the rest.
func (s *searcher) look(from, to int64) (found []match, err error) {
	unlike, like, most := s.query.Unlike(), s.query.Unlike(), s.query.Unlike()
	var likes []uint8 // of those that may be found, one after the other
	var row, thick, other, diameter, text any
	dest := []any{&row, &thick, &other, &diameter, &text}
	err = s.tx.each(func(r scanner) error {
		if err := r.Scan(dest...); err != nil {
			return err
		}
		all, _ := text.(string)
		own, rest, _ := strings.Cut(all, "\x00")
		at, rest, _ := strings.Cut(rest, "\x00")
		spool, job, _ := strings.Cut(rest, "\x00")
		copy(like, unlike)
		if err := s.readJob(like, job, thick, other, diameter); err != nil {
			return err
		}
		like.Join(s.spools[spool])
		s.query.Read(like, own)
		copy(most, like)
		most.Join(s.findings)
		if _, ok := s.query.Score(most); !ok {
			return nil
		}
		m, err := matchOf(row, at)
		found, likes = append(found, m), append(likes, like...)
		return err
	}, s.welds, append(slices.Clip(s.args), from, to)...)
	if err != nil {
		return nil, err
	}
	if err := first(
		s.join(found, likes, s.symptoms, "SELECT weld, key FROM symptoms WHERE +key IN (SELECT value FROM json_each(?)) AND weld"),
		s.join(found, likes, s.tests, "SELECT weld, "+testText+" FROM tests WHERE "+testText+" IN (SELECT value FROM json_each(?)) AND weld"),
	); err != nil {
		return nil, err
	}
	kept := found[:0]
	for i, m := range found {
		if score, ok := s.query.Score(likes[i*len(like) : (i+1)*len(like)]); ok {
			m.score = int32(score)
			kept = append(kept, m)
		}
	}
	return kept, nil
}

// readJob joins in what a weld has in common with many.
func (s *searcher) readJob(like procedures.Likeness, texts string, thick, other, diameter any) error {
	this := jobTexts{texts: texts}
	if err := first(number[procedures.MM]{&this.thick}.Scan(thick), number[procedures.MM]{&this.other}.Scan(other), number[procedures.MM]{&this.diameter}.Scan(diameter)); err != nil {
		return unreadable{err}
	}
	known, ok := s.jobs[this]
	if !ok {
		if err := unpack(texts, s.texts); err != nil {
			return unreadable{err}
		}
		j := &s.draft.Job
		j.Thickness, j.OtherThickness, j.Wire.Diameter = this.thick, this.other, this.diameter
		known = s.query.Unlike()
		s.query.Read(known, procedures.JobText(s.draft))
		this.texts = strings.Clone(texts) // not the whole row
		s.jobs[this] = known
	}
	like.Join(known)
	return nil
}

// join joins in the symptoms or tests of the welds found, which are in the order of
// their numbers, as likes are.
func (s *searcher) join(found []match, likes []uint8, of map[string]procedures.Likeness, query string) error {
	if len(found) == 0 || len(of) == 0 {
		return nil
	}
	names := make([]string, 0, len(of))
	for name := range of {
		names = append(names, name)
	}
	list, err := json.Marshal(names)
	if err != nil {
		return err
	}
	args := []any{string(list)}
	if len(found) <= 1000 {
		rows := make([]int64, len(found))
		for i, m := range found {
			rows[i] = m.row
		}
		if list, err = json.Marshal(rows); err != nil {
			return err
		}
		query, args = query+" IN (SELECT value FROM json_each(?))", append(args, string(list))
	} else {
		query, args = query+" BETWEEN ? AND ?", append(args, found[0].row, found[len(found)-1].row)
	}
	var row int64
	var name string
	at := 0
	return s.tx.each(func(r scanner) error {
		if err := r.Scan(&row, &name); err != nil {
			return err
		}
		for at < len(found) && found[at].row < row {
			at++
		}
		if at < len(found) && found[at].row == row {
			l := len(s.findings)
			procedures.Likeness(likes[at*l : (at+1)*l]).Join(of[name])
		}
		return nil
	}, query+" ORDER BY weld", args...)
}
