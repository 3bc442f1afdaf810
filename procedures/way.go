package procedures

import "strings"

// Way is a hint that says what to do twice: as it is typed in a terminal, and as it is
// done on the page. [Typed] and [Pressed] pick one of the two.
func Way(typed, pressed string) string { return typed + between + pressed }

// between parts the two; nobody types it.
const between = "\x1f"

// Typed is what a hint says to somebody at a terminal.
func Typed(hint string) string {
	typed, _, _ := strings.Cut(hint, between)
	return typed
}

// command is what only somebody at a terminal can do: a command, or a flag of one.
var command = Pattern(`beadwright [a-z]|(^|[\s(:])--[a-z]`)

// Pressed is what a hint says to somebody at the page; "" where there is nothing to be
// done there: a command without another way is for a terminal alone.
func Pressed(hint string) string {
	if _, pressed, both := strings.Cut(hint, between); both {
		return pressed
	}
	if command().MatchString(hint) {
		return ""
	}
	return hint
}
