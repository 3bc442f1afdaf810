package store

import (
	"strconv"
	"strings"
)

// A mark is painted on the coupon: letters, then 1 to 99. They are counted
// A1 .. A99, B1 .. Z99, AA1 .. AZ99, BA1 and so on.
const marksPerLetter = 99

// formatMark writes the mark of that number, from 1.
func formatMark(number int) string {
	letters, digits := (number-1)/marksPerLetter+1, (number-1)%marksPerLetter+1
	s := ""
	for ; letters > 0; letters = (letters - 1) / 26 {
		s = string(rune('A'+(letters-1)%26)) + s
	}
	return s + strconv.Itoa(digits)
}

// parseMark reads a mark in any case of letters and returns its number.
func parseMark(s string) (number int, ok bool) {
	s = strings.ToUpper(strings.TrimSpace(s))
	i := strings.IndexAny(s, "0123456789")
	if i < 1 || i > 4 || len(s)-i > 2 || s[i] == '0' {
		return 0, false
	}
	digits, err := strconv.Atoi(s[i:])
	if err != nil {
		return 0, false
	}
	letters := 0
	for _, r := range s[:i] {
		if r < 'A' || r > 'Z' {
			return 0, false
		}
		letters = letters*26 + int(r-'A') + 1
	}
	return (letters-1)*marksPerLetter + digits, true
}

// nextMark gives out the next mark. A mark once given is not given again.
func (tx *tx) nextMark() (string, error) {
	number, err := tx.lastMark()
	if err != nil {
		return "", err
	}
	for {
		number++
		mark := formatMark(number)
		var taken bool
		if err := tx.get([]any{&taken}, "SELECT EXISTS (SELECT 1 FROM welds WHERE mark = ?)", mark); err != nil {
			return "", err
		}
		if !taken {
			return mark, tx.set("last_mark", strconv.Itoa(number))
		}
	}
}

// lastMark is the number of the last mark given out; 0 none yet.
func (tx *tx) lastMark() (int, error) {
	last, err := tx.setting("last_mark")
	number, _ := strconv.Atoi(last)
	return number, err
}
