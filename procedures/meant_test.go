package procedures

import (
	"slices"
	"testing"
)

func TestMeant(t *testing.T) {
	for text, want := range map[string]string{
		"wier pushs me bak": "stubbing", "blwe a hoel": "burn-through", "grove alnog the egde": "undercut",
	} {
		got := Meant(text)
		if !slices.Contains(Hear(got).Symptoms, want) {
			t.Errorf("%q: meant %q, heard %v, want %s", text, got, Hear(got).Symptoms, want)
		}
		if found := Hear(text).Symptoms; slices.Contains(found, want) {
			t.Errorf("%q is heard as it stands, %v: no case for this test", text, found)
		}
	}
	for _, text := range []string{"", "xyzzy", "lunch was good", "the quick brown fox jumps over a lazy dog and then one more time round", "qwertyuiop asdfgh"} {
		if got := Meant(text); got != "" {
			t.Errorf("%q: meant %q", text, got)
		}
	}
}

func FuzzMeant(f *testing.F) {
	f.Add("wier pushs me bak")
	f.Add("\x00\xff spater")
	f.Fuzz(func(t *testing.T, text string) {
		if got := Meant(text); got != "" && len(Hear(got).Symptoms)+len(Hear(got).Troubles) == 0 {
			t.Errorf("%q: %q names nothing", text, got)
		}
	})
}
