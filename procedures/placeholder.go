package procedures

// placeholder is what a printed command has where a reading belongs: INCHES, VOLTS.
var placeholder = Pattern(`^[A-Z]{4,}(?:x[A-Z]+)?$`)

// Placeholder reports whether a value was left as a printed command has it, for the
// reader to put a reading of their own there.
func Placeholder(s string) bool { return placeholder().MatchString(s) }

// unread refuses what is no value of a field, and says so where it is a placeholder.
func unread(field, s, problem string, hints ...string) error {
	if Placeholder(s) {
		return Invalid(field, s, "that is only the place for your own reading", append([]string{"put your own in place of " + s}, hints...)...)
	}
	return Invalid(field, s, problem, hints...)
}
