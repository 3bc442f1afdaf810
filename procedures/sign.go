package procedures

import "sync"

// Sign is something seen or heard that speaks for a setting. It says nothing of
// what a bead bears: only a test does.
type Sign struct {
	Key   string
	Term  string   // trade term
	Plain string   // what it means, in plain words
	Words []string // what people call it
}

// signs are common practice, no source, but for the sound and the fine spatter,
// which the table of bead signs has from print.
var signs = sync.OnceValue(func() []Sign {
	return []Sign{
		{"steady-sound", "stable arc sound", "the wire melts off evenly", called(`bacon, frying bacon, frying, sizzle, sizzles, sizzling, steady buzz, buzz, buzzing, steady hum, crisp crackle, smooth sound, regular sound, ripping canvas, tearing canvas`)},
		{"even-ripples", "coalesced ripple pattern", "even ripples, laid at an even pace", called(`stack of dimes, stacked dimes, dimes, row of nickels, nickels, roll of quarters, fish scales, even ripples, nice ripples, even bead, uniform bead, same width all along`)},
		{"wetting", "tie-in, wetting at the toes", "the edges wash into the plate", called(`washes in, washed in, washing in, wets in, wets out, wetted out, bites in, bit in, ties in, tied in, flows out, flowed out, blends in, blended in`)},
		{"slag-release", "slag release", "the slag lets go by itself", called(`slag peels off, slag peels, slag falls off, slag fell off, slag popped off, slag pops off, slag came off, slag comes off, slag curls up, self peeling slag`)},
	}
})

// FindSign returns the sign with that key.
func FindSign(key string) (Sign, bool) {
	for _, s := range signs() {
		if s.Key == key {
			return s, true
		}
	}
	return Sign{}, false
}
