package procedures_test

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"

	"beadwright/procedures"
)

func TestRank(t *testing.T) {
	texts := []string{
		0: "A1 tee fillet flat 1F PA mild 1/8 in (3.2 mm) 0.125 3.2mm 0.035 E71T-11 114 FCAW-S flux-core gasless little red max, bit of spatter",
		1: "A2 butt square-groove vertical-up 3G up PF mild 1/4 in (6.4 mm) 0.250 6.4mm 0.035 E71T-11 114 FCAW-S flux-core gasless old blue B-2",
		2: "A3 lap fillet vertical-down 3F down PG a36 16ga 0.060 1.5mm 0.030 E71T-GS 114 FCAW-S flux-core gasless burn-through, melt-through blew a hole",
		3: "A4 corner fillet overhead 4F PD 1-1/4 in 0.045 ER70S-6 135 GMAW Schweißen naïve \"quoted\" it's .023",
	}
	all := []int{0, 1, 2, 3}
	for _, c := range []struct {
		words string
		want  []int
	}{
		{"", all},
		{" \t\n ", all},
		{"?!", all}, // nothing to look for is left
		{"flux", []int{0, 1, 2}},
		{"flxu", []int{0, 1, 2}},      // two letters changed about
		{"flu", []int{0, 1, 2}},       // the beginning
		{"fluxx", []int{0, 1, 2}},     // one too many
		{"flix", []int{0, 1, 2}},      // one wrong
		{"flxi", nil},                 // two slips in four letters
		{"verticle", []int{1, 2}},     // two slips in eight
		{"vertcal", []int{1, 2}},      // one missing
		{"vrtcl", []int{1, 2}},        // shortened
		{"ertical", []int{1, 2}},      // inside
		{"Vertical UP", []int{1}},     // every word, any case
		{"up vertical", []int{1}},     // in any order
		{"vertical-up", []int{1}},     //
		{"verticalup", []int{1}},      // the hyphen left out
		{"flux core", []int{0, 1, 2}}, //
		{"fluxcore", []int{0, 1, 2}},  //
		{"flux-core", []int{0, 1, 2}},
		{"gas-less", []int{0, 1, 2}},
		{"e71t11", []int{0, 1}},
		{"E71T-11", []int{0, 1}},
		{"e71t-12", nil}, // a digit is not forgiven
		{"71t", nil},     // nor read inside of a word
		{"0.035", []int{0, 1}},
		{".035", []int{0, 1}},
		{".023", []int{3}},
		{"0.036", nil},
		{"0.03", []int{0, 1, 2}}, // the beginning
		{"1/8", []int{0}},
		{`1/8"`, []int{0}},
		{"1/4", []int{1}},
		{"1/3", nil},
		{"3mm", nil},
		{"3.2mm", []int{0}},
		{"114", []int{0, 1, 2}},
		{"tee", []int{0}},
		{"tea", nil}, // three letters are not forgiven
		{"lap joint", nil},
		{"joint lap", nil},
		{"butt little", nil}, // words of two records
		{"tfmlr", nil},       // letters strewn over a record
		{"spatter, max", []int{0}},
		{"blew hole", []int{2}},
		{"schweissen", []int{3}},
		{"SCHWEISSEN", []int{3}},
		{"schweißen", []int{3}},
		{"schwießen", []int{3}},
		{"naive", []int{3}},
		{"quoted", []int{3}},
		{"its", nil},
		{"it's", []int{3}},
		{"corner edge", nil},
	} {
		var got []int
		for _, m := range procedures.Rank(c.words, texts) {
			got = append(got, m.Index)
		}
		slices.Sort(got)
		if !slices.Equal(got, c.want) {
			t.Errorf("%q finds %v, want %v", c.words, got, c.want)
		}
	}
}

// TestRankOrder: the same word before its beginning, that before the inside,
// that before slips, one before two, and these before a shortened word.
func TestRankOrder(t *testing.T) {
	texts := []string{"vertebral", "vortically", "unvertically", "verticals", "vertical", "vertically done", "a vrtical", "x verticla"}
	want := []string{"vertical", "verticals", "vertically done", "unvertically"}
	var got []string
	for _, m := range procedures.Rank("vertical", texts) {
		got = append(got, texts[m.Index])
	}
	if len(got) < 6 || !slices.Equal(got[:4], want) {
		t.Errorf("%q, want first %q", got, want)
	}
	if m := procedures.Rank("tee", []string{"a tee", "tee", "tee tee"}); m[0].Index != 0 || m[2].Index != 2 {
		t.Errorf("texts alike do not keep their order: %v", m)
	}
}

func TestRankProperties(t *testing.T) {
	text := rapid.OneOf(rapid.String(), rapid.StringMatching(`([a-z]{1,9}[- ,.]|[0-9]/[0-9]{1,2}"? |0?\.[0-9]{3} |\(|[A-Z][0-9] ){1,12}`))
	rapid.Check(t, func(t *rapid.T) {
		texts := rapid.SliceOfN(text, 1, 8).Draw(t, "texts")
		mine := rapid.IntRange(0, len(texts)-1).Draw(t, "mine")
		found := func(words string) bool {
			m := procedures.Rank(words, texts)
			for i := range m {
				if i > 0 && (m[i].Score > m[i-1].Score || m[i].Score == m[i-1].Score && m[i].Index < m[i-1].Index) {
					t.Fatalf("%q: not in order: %v", words, m)
				}
			}
			return slices.ContainsFunc(m, func(m procedures.Match) bool { return m.Index == mine })
		}
		words := strings.Fields(texts[mine])
		for _, w := range words {
			if !found(w) || !found(strings.ToLower(w)) {
				t.Fatalf("%q is a word of %q and does not find it", w, texts[mine])
			}
		}
		rand.New(rand.NewPCG(1, uint64(len(words)))).Shuffle(len(words), func(i, j int) { words[i], words[j] = words[j], words[i] })
		if !found(strings.Join(words, " ")) {
			t.Fatalf("%q does not find %q", words, texts[mine])
		}
		all := procedures.Rank("", texts)
		for i, m := range all {
			if len(all) != len(texts) || m.Index != i {
				t.Fatalf("no words find %v of %d", all, len(texts))
			}
		}
	})
}

// TestRankForgives: any one slip in a word of four letters or more.
func TestRankForgives(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		word := []rune(rapid.StringMatching(`[a-zäöü]{5,12}`).Draw(t, "word"))
		i := rapid.IntRange(0, len(word)-2).Draw(t, "at")
		slip := slices.Clone(word)
		switch rapid.SampledFrom([]string{"wrong", "missing", "more", "changed about"}).Draw(t, "slip") {
		case "wrong":
			slip[i] = 'q'
		case "missing":
			slip = slices.Delete(slip, i, i+1)
		case "more":
			slip = slices.Insert(slip, i, 'q')
		default:
			slip[i], slip[i+1] = slip[i+1], slip[i]
		}
		if d := procedures.Distance(string(word), string(slip)); d > 1 {
			t.Fatalf("%q and %q are %d apart", string(word), string(slip), d)
		}
		if len(procedures.Rank(string(slip), []string{"a " + string(word) + " b"})) != 1 {
			t.Fatalf("%q does not find %q", string(slip), string(word))
		}
	})
}

func TestDistance(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{
		{"", "", 0}, {"", "abc", 3}, {"flux", "flux", 0}, {"flxu", "flux", 1}, {"verticle", "vertical", 2}, {"butt", "but", 1},
		{"kitten", "sitting", 3}, {"ca", "abc", 3}, // the textbook cases: Levenshtein; and where optimal alignment is not Damerau's 2
		{"weiß", "weis", 1}, {"abcd", "badc", 2},
	} {
		if got := procedures.Distance(c.a, c.b); got != c.want {
			t.Errorf("%q to %q: %d, want %d", c.a, c.b, got, c.want)
		}
	}
	letters := rapid.StringMatching(`[abc]{0,7}`)
	rapid.Check(t, func(t *rapid.T) {
		a, b := letters.Draw(t, "a"), letters.Draw(t, "b")
		d := procedures.Distance(a, b)
		switch {
		case d != procedures.Distance(b, a):
			t.Fatal("not the same both ways")
		case (d == 0) != (a == b):
			t.Fatalf("%d apart", d)
		case d > max(len(a), len(b)) || d < max(len(a)-len(b), len(b)-len(a)):
			t.Fatalf("%d apart cannot be", d)
		case d != slowDistance(a, b):
			t.Fatalf("%d apart, want %d", d, slowDistance(a, b))
		}
	})
}

// slowDistance is the definition of optimal string alignment, written out.
func slowDistance(a, b string) int {
	if a == "" || b == "" {
		return len(a) + len(b)
	}
	m, n := len(a)-1, len(b)-1
	cost := 1
	if a[m] == b[n] {
		cost = 0
	}
	d := min(slowDistance(a[:m], b)+1, slowDistance(a, b[:n])+1, slowDistance(a[:m], b[:n])+cost)
	if m > 0 && n > 0 && a[m] == b[n-1] && a[m-1] == b[n] {
		d = min(d, slowDistance(a[:m-1], b[:n-1])+1)
	}
	return d
}

func TestText(t *testing.T) {
	w := procedures.Weld{
		Mark: "B7", Said: "4 spat a bit",
		Job: procedures.Job{Said: "eighth to three sixteenths", Steel: "a36", Thickness: procedures.Inches(0.125), ThicknessSaid: "eighth", OtherThickness: procedures.Inches(3. / 16), OtherSaid: "three sixteenths",
			Joint: procedures.Tee, Weld: procedures.Fillet, Position: procedures.VerticalDown, Form: procedures.Angle, Coating: procedures.MillScale, For: "gate latch",
			Wire: procedures.Wire{Class: "E71T-11", Diameter: procedures.Inches(0.035)}, Process: procedures.FCAWS, Machine: "little red"},
		Settings: procedures.Settings{Tap: "max", Polarity: procedures.DCEN, Technique: "drag"},
		Outcome:  procedures.Outcome{Symptoms: []string{"cold-bead", "porosity"}, Tests: []procedures.Test{{Kind: "break", Result: "root line"}}, Note: "windy"},
	}
	text := procedures.Text(w)
	for _, words := range []string{
		"B7", "tee fillet", "vertical down", "3F", "PG", "a36", "eighth", "1/8", "0.125", "3.2mm", "3/16", "4.8mm", "angle", "mill scale", "0.035 E71T-11",
		"114", "FCAW-S", "flux core", "fluxcore", "gasless", "little red", "max", "dcen", "drag", "cold-bead", "convexity", "ropey", "porosity", "pinholes",
		"break", "root line", "windy", "gate latch", "spat", "sixteenths",
	} {
		if len(procedures.Rank(words, []string{text})) != 1 {
			t.Errorf("%q does not find %q", words, text)
		}
	}
	for _, words := range []string{"overhead", "butt", "1/4", "2F", "PC", "galvanized", "burn-through", "0.030"} {
		if len(procedures.Rank(words, []string{text})) != 0 {
			t.Errorf("%q finds %q", words, text)
		}
	}
	if got := procedures.Text(procedures.Weld{}); got != "" {
		t.Errorf("text of nothing: %q", got)
	}
	for _, key := range procedures.SymptomKeys() {
		w := procedures.Weld{Outcome: procedures.Outcome{Symptoms: []string{key}}}
		s, _ := procedures.FindSymptom(key)
		for _, words := range append([]string{key, s.Term, s.Plain}, s.Words...) {
			if len(procedures.Rank(words, []string{procedures.Text(w)})) != 1 {
				t.Errorf("%q does not find a weld with %s", words, key)
			}
		}
	}
}

func TestFilterValidate(t *testing.T) {
	for field, f := range map[string]procedures.Filter{
		"thickness": {Thickness: 301},
		"joint":     {Joint: "knee"},
		"position":  {Position: "upside"},
		"wire":      {WireDiameter: 50},
		"within":    {Within: 1.1},
		"rating":    {RatingMin: 4, RatingMax: 3},
		"limit":     {Limit: -1},
		"symptom":   {Symptom: "gremlins"},
		"words":     {Words: strings.Repeat("x", 401)},
	} {
		var e *procedures.InvalidError
		if err := f.Validate(); !errors.As(err, &e) || e.Field != field || len(e.Hints) == 0 {
			t.Errorf("%s: got %v", field, err)
		}
	}
	for _, f := range []procedures.Filter{
		{Within: math.NaN()}, {Within: -0.1}, {Within: math.Inf(1)}, {RatingMin: -1}, {RatingMin: 6}, {RatingMax: -1}, {RatingMax: 6}, {Thickness: procedures.MM(math.NaN())},
	} {
		if f.Validate() == nil {
			t.Errorf("%+v is accepted", f)
		}
	}
	for _, f := range []procedures.Filter{
		{}, {Thickness: 3, Within: 1}, {RatingMin: 4}, {RatingMax: 2}, {RatingMin: 5, RatingMax: 5}, {Symptom: "spatter", Limit: 1, Words: strings.Repeat("x", 400)},
	} {
		if err := f.Validate(); err != nil {
			t.Errorf("%+v: %v", f, err)
		}
	}
}

func TestFilterRanges(t *testing.T) {
	lo, hi := procedures.Filter{Thickness: 3}.ThicknessRange()
	if lo > 2.7 || hi < 3.3 || lo < 2.69999 || hi > 3.30001 {
		t.Errorf("3 mm give or take 10%%: %v to %v", lo, hi)
	}
	// Wire sizes, inch and metric names of one size; US and ISO 544 sizes from memory.
	same := [][2]procedures.MM{{procedures.Inches(0.030), 0.8}, {procedures.Inches(0.035), 0.9}, {procedures.Inches(0.045), 1.2}, {procedures.Inches(1. / 16), 1.6}, {procedures.Inches(3. / 32), 2.5}, {procedures.Inches(1. / 8), 3.2}}
	for i, a := range same {
		for j, b := range same {
			for _, pair := range [][2]procedures.MM{{a[0], b[1]}, {b[1], a[0]}} {
				lo, hi := procedures.Filter{WireDiameter: pair[0]}.WireRange()
				if in := lo <= pair[1] && pair[1] <= hi; in != (i == j) {
					t.Errorf("looking for %v mm wire finds %v mm: %v", pair[0], pair[1], in)
				}
			}
		}
	}
}

func FuzzRank(f *testing.F) {
	for _, s := range [][2]string{{"flxu 1/8", "flux-core 1/8 in"}, {"-", "--"}, {".", "..0"}, {"\xff\x00é", "É\xff"}, {"İI", "i̇ı"}, {"ſtick", "STICK"}} {
		f.Add(s[0], s[1])
	}
	f.Fuzz(func(t *testing.T, words, text string) {
		if len(words)+len(text) > 2000 {
			return
		}
		m := procedures.Rank(words, []string{text, "", text})
		if n := len(m); n > 3 || n == 1 && m[0].Index != 1 {
			t.Fatalf("%v", m)
		}
		if utf8.ValidString(text) {
			for _, w := range strings.Fields(text) {
				if len(procedures.Rank(w, []string{text})) != 1 {
					t.Fatalf("%q does not find %q", w, text)
				}
			}
		}
		if d := procedures.Distance(words, text); d < 0 || d > max(len(words), len(text)) {
			t.Fatalf("distance %d", d)
		}
	})
}
