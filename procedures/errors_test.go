package procedures

import "testing"

// TestReadBack: what was typed comes back as it was typed.
func TestReadBack(t *testing.T) {
	for read, want := range map[string]string{
		"":              "name: no",
		"shed":          `name: no (read "shed")`,
		`shed "red"`:    `name: no (read 'shed "red"')`,
		"it's \"red\"":  `name: no (read "it's \"red\"")`,
		"a\x1bb \"c\"":  `name: no (read "a\x1bb \"c\"")`,
		"größer \"é\"":  `name: no (read 'größer "é"')`,
		"C:\\welds.csv": `name: no (read "C:\\welds.csv")`,
	} {
		if got := Invalid("name", read, "no").Error(); got != want {
			t.Errorf("%q: %s, want %s", read, got, want)
		}
	}
}
