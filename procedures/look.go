package procedures

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"
)

// Thirds is a bead rated at its start, its middle and its end, each 1 to 5; 0 is
// not rated. A plate that heats up makes one setting too cold at the start and too
// hot at the end.
type Thirds [3]Count

// Validate reports the first rating that cannot be.
func (t Thirds) Validate() error {
	for i, where := range []string{"start", "middle", "end"} {
		if t[i] < 0 || t[i] > 5 {
			return Invalid("thirds", fmt.Sprint(t[i]), "the rating of the "+where+" is not 1 to 5", "start, middle and end of the bead: 3,4,4")
		}
	}
	return nil
}

// Rerating is a later look at the picture of a weld. Blind: settings, mark and
// earlier rating were covered while it was made.
type Rerating struct {
	ID     string    `json:"id"` // UUIDv7
	At     time.Time `json:"at"`
	Weld   string    `json:"weld"` // id
	Rating Count     `json:"rating"`
	Blind  bool      `json:"blind"`
	Note   string    `json:"note"`
}

// Validate reports the first thing about the rating that cannot be.
func (r Rerating) Validate() error {
	if r.Rating < 1 || r.Rating > 5 {
		return Invalid("rating", fmt.Sprint(r.Rating), "a rating is 1 to 5", "1 scrap, 2 ugly or in doubt, 3 would do, 4 good, 5 as good as I can")
	}
	return noteText(r.Note)
}

// FollowUpAfter is when a weld made for something is asked after: three months
// (common practice, no source).
const FollowUpAfter = 90 * 24 * time.Hour

// FollowUp is how a weld did in use.
type FollowUp struct {
	ID   string    `json:"id"` // UUIDv7
	At   time.Time `json:"at"`
	Weld string    `json:"weld"` // id
	Held bool      `json:"held"`
	Note string    `json:"note"`
}

// Validate reports the first thing about the follow-up that cannot be.
func (f FollowUp) Validate() error { return noteText(f.Note) }

func noteText(s string) error {
	if len(s) > 4000 {
		return Invalid("note", s[:50], "longer than 4000 letters", "keep the note short; longer things belong on paper")
	}
	return plainText("note", s)
}

// ParseThirds reads the ratings of start, middle and end: "3,4,4"; "-" where one is
// not rated. One of them must be.
func ParseThirds(s string) (Thirds, error) {
	bad := Invalid("thirds", s, "not three ratings", "start, middle and end of the bead, each 1 (scrap) to 5: 3,4,4", "- where one was not looked at: -,4,4")
	parts := strings.FieldsFunc(s, func(r rune) bool { return strings.ContainsRune(", /;", r) })
	if len(parts) != 3 {
		return Thirds{}, bad
	}
	var t Thirds
	for i, p := range parts {
		if p == "-" {
			continue
		}
		n, err := strconv.Atoi(p)
		if err != nil || n < 1 || n > 5 {
			return Thirds{}, bad
		}
		t[i] = Count(n)
	}
	if t == (Thirds{}) {
		return t, bad
	}
	return t, nil
}

// AtMost is the best rating that a bead of these thirds may have: one more than its
// worst third. Ends are where a joint tears, so a good middle does not make up for
// them (own rule, no source). 5 where none is rated.
func (t Thirds) AtMost() Count {
	worst := Count(5)
	for _, c := range t {
		if c > 0 {
			worst = min(worst, c)
		}
	}
	return min(5, worst+1)
}

// Median is the rating in the middle of those that there are, of two the lower, and
// no better than [Thirds.AtMost]; 0 where there are none.
func (t Thirds) Median() Count {
	most := t.AtMost()
	rated := slices.DeleteFunc(t[:], func(c Count) bool { return c == 0 })
	if len(rated) == 0 {
		return 0
	}
	slices.Sort(rated)
	return min(most, rated[(len(rated)-1)/2])
}

// String says the three in words.
func (t Thirds) String() string {
	parts := make([]string, len(t))
	for i, where := range []string{"start", "middle", "end"} {
		parts[i] = where + " not rated"
		if t[i] > 0 {
			parts[i] = fmt.Sprintf("%s %d", where, t[i])
		}
	}
	return strings.Join(parts, ", ")
}
