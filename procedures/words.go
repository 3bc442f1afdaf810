package procedures

import "strings"

// Words cuts a text where a line of it may end: at spaces, but not between a number and
// the fraction behind it. "knob 4" above "1/2" is read as another mark.
func Words(text string) []string {
	var words []string
	for _, w := range strings.Fields(text) {
		if n := len(words) - 1; n >= 0 && beginsFraction(w) && isWhole(words[n]) {
			words[n] += " " + w
		} else {
			words = append(words, w)
		}
	}
	return words
}

// beginsFraction reports whether a word is a fraction, with or without something behind it.
func beginsFraction(w string) bool {
	upper, lower, _ := strings.Cut(w, "/")
	return isWhole(upper) && lower != "" && lower[0] >= '1' && lower[0] <= '9'
}

func isWhole(s string) bool { return s != "" && strings.Trim(s, "0123456789") == "" }
