package inspect

import (
	"fmt"
	"strings"

	"beadwright/data"
	"beadwright/procedures"
)

// Question is answered with yes or no.
type Question struct {
	Key    string   `json:"key"`
	Text   string   `json:"text"`
	Source []string `json:"source"` // ids of the criterion behind it
}

// criterion is the row of a destructive test whose words begin so.
func criterion(test, begins string) data.DestructiveLimit {
	for _, r := range data.DestructiveLimits() {
		if r.Test == test && strings.HasPrefix(r.Limit, begins) {
			return r
		}
	}
	panic(fmt.Sprintf("no criterion of %s begins with %q", test, begins)) // a fault of the tables, which a test finds
}

// asks makes a question that a criterion stands behind; the text holds a %s where
// the criterion's length goes.
func asks(r data.DestructiveLimit, key, text string, units procedures.Units) Question {
	if strings.Contains(text, "%s") {
		text = fmt.Sprintf(text, procedures.FormatLength(procedures.Inches(r.LimitIn), units))
	}
	return Question{key, text, r.Source}
}

// practice makes a question that common practice alone stands behind.
func practice(key, text string) Question { return Question{key, text, []string{"CP"}} }
