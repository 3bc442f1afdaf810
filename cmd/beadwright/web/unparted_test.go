package web

import "testing"

// TestUnparted: a mixed number in what is read stays in one line; what is sent back, and
// what a tag says of itself, stays letter by letter.
func TestUnparted(t *testing.T) {
	for page, want := range map[string]string{
		`<p>knob 4 1/2, tap HIGH</p>`:                              "<p>knob 4\u00a01/2, tap HIGH</p>",
		`<b>1 1/2 in</b> and 2 3/16 in<br>`:                        "<b>1\u00a01/2 in</b> and 2\u00a03/16 in<br>",
		`<input name="knob" value="4 1/2" aria-label="now 4 1/2">`: `<input name="knob" value="4 1/2" aria-label="now 4 1/2">`,
		`<input value="4 1/2"> in<br>`:                             `<input value="4 1/2"> in<br>`,
		`<textarea name="note">knob 4 1/2</textarea>`:              `<textarea name="note">knob 4 1/2</textarea>`,
		`<option selected>4 1/2</option><p>4 1/2</p>`:              "<option selected>4 1/2</option><p>4\u00a01/2</p>",
		`<p>11 ga to 1/8, 5 in/min</p>`:                            `<p>11 ga to 1/8, 5 in/min</p>`,
	} {
		if got := string(unparted([]byte(page))); got != want {
			t.Errorf("%s: %s, want %s", page, got, want)
		}
	}
}
