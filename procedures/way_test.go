package procedures

import "testing"

func TestWay(t *testing.T) {
	for _, c := range []struct{ hint, typed, pressed string }{
		{Way("ask first: beadwright suggest 1/8 tee", "ask first: 1/8 tee"), "ask first: beadwright suggest 1/8 tee", "ask first: 1/8 tee"},
		{"accepted: low, high", "accepted: low, high", "accepted: low, high"},
		{"what there is: beadwright find", "what there is: beadwright find", ""},
		{"say when with --at", "say when with --at", ""},
		{Way("beadwright find", ""), "beadwright find", ""},
		{"1..10 -- the marks", "1..10 -- the marks", "1..10 -- the marks"},
	} {
		if got := Typed(c.hint); got != c.typed {
			t.Errorf("%q typed: %q", c.hint, got)
		}
		if got := Pressed(c.hint); got != c.pressed {
			t.Errorf("%q pressed: %q", c.hint, got)
		}
	}
}
