package procedures

import (
	"regexp"
	"sync"
)

// Pattern is a regular expression that is read when it is first asked for: a run of
// the program uses few of them, and reading all takes longer than most commands need.
// It panics then where the expression is wrong.
func Pattern(expression string) func() *regexp.Regexp {
	return sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(expression) })
}
