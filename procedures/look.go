package procedures

import (
	"fmt"
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
