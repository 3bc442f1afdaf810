package data

import (
	"strings"
	"testing"
)

// TestLintComplains gives the lint small broken tables: a lint that finds
// nothing proves nothing until it is seen to find something.
func TestLintComplains(t *testing.T) {
	known := map[string]Source{
		"A1":   {ID: "A1", Trust: "A"},
		"MEM":  {ID: "MEM", Trust: "memory"},
		"CP":   {ID: "CP", Trust: "none"},
		"MATH": {ID: "MATH", Trust: "exact"},
	}
	r := rule{key: "class", group: "kind", rising: "current_low_A", words: map[string]string{"kind": "x y"}}
	const head = "class,kind,current_low_A,current_high_A,source,basis,note\n"
	for _, c := range []struct {
		name, rows, want string // want "": no complaint
	}{
		{"sound", "a,x,10,20,A1,printed,\nb,x,11,20,MEM;A1,printed,the second from memory\nc,y,5,6,CP,practice,\"common practice, no source\"\nd,y,6,7,MATH,computed,\n", ""},
		{"no rows", "", "t.csv:1: no rows"},
		{"unknown source", "a,x,10,20,ZZ,printed,\n", `t.csv:2: unknown source "ZZ"`},
		{"no source", "a,x,10,20,,printed,\n", `t.csv:2: unknown source ""`},
		{"source twice", "a,x,10,20,A1;A1,printed,\n", `t.csv:2: source "A1" stands twice`},
		{"basis", "a,x,10,20,A1,guessed,\n", `t.csv:2: basis "guessed"`},
		{"no basis", "a,x,10,20,A1,,\n", `t.csv:2: basis ""`},
		{"memory passed off as print", "a,x,10,20,MEM,printed,\n", "t.csv:2: source MEM, basis printed and a note that does not say"},
		{"memory under another's name", "a,x,10,20,A1,memory,\n", "t.csv:2: basis memory with source A1"},
		{"practice with a source", "a,x,10,20,A1,practice,common practice\n", "t.csv:2: basis practice without a source that says so"},
		{"practice not said", "a,x,10,20,CP,practice,\n", "t.csv:2: basis practice and no note"},
		{"practice passed off as print", "a,x,10,20,CP,printed,\n", "t.csv:2: source CP, basis printed"},
		{"computed without how", "a,x,10,20,A1,computed,\n", "t.csv:2: basis computed and no note"},
		{"low above high", "a,x,30,20,A1,printed,\n", "t.csv:2: current_low_A 30 is above its high 20"},
		{"too large", "a,x,10,2000,A1,printed,\n", "t.csv:2: current_high_A is 2000, outside 1 to 1000"},
		{"too small", "a,x,0.5,20,A1,printed,\n", "t.csv:2: current_low_A is 0.5, outside 1 to 1000"},
		{"not a number", "a,x,10,twenty,A1,printed,\n", `t.csv:2: current_high_A is "twenty", not a plain number`},
		{"NaN", "a,x,10,NaN,A1,printed,\n", `t.csv:2: current_high_A is "NaN", not a plain number`},
		{"torn number", "a,x,10,20.,A1,printed,\n", `t.csv:2: current_high_A is "20.", not a plain number`},
		{"same key", "a,x,10,20,A1,printed,\nb,y,10,20,A1,printed,\na,x,11,20,A1,printed,\n", "t.csv:4: same class as line 2: a"},
		{"not rising", "a,x,10,20,A1,printed,\nb,x,10,20,A1,printed,\n", "t.csv:3: current_low_A 10 does not rise from 10"},
		{"word", "a,z,10,20,A1,printed,\n", `t.csv:2: kind is "z", not one of x y`},
		{"not ASCII", "a,x,10,20,A1,printed,20 \u00b0C\n", "t.csv:2: note is not ASCII"},
		{"long note", "a,x,10,20,A1,printed," + strings.Repeat("n", 161) + "\n", "t.csv:2: note of 161 characters, more than 160"},
		{"spaces", "a ,x,10,20,A1,printed,\n", "t.csv:2: class has spaces around it"},
		{"forbidden word", "a,x,10,20,A1,printed,Safe to use\n", `t.csv:2: note says "Safe"`},
		{"forbidden words", "a,x,10,20,A1,printed,strong enough\n", `t.csv:2: note says "strong enough"`},
		{"trade name", "a,x,10,20,A1,printed,made by Acme Inc\n", "t.csv:2: note reads like a trade name"},
	} {
		t.Run(c.name, func(t *testing.T) {
			expectComplaint(t, head+c.rows, r, known, c.want)
		})
	}
	t.Run("unit missing", func(t *testing.T) {
		expectComplaint(t, "class,current,source,basis,note\na,10,A1,printed,\n", rule{key: "class"}, known, "t.csv:1: numbers without a unit in the column's name: current")
	})
	t.Run("column of the rules missing", func(t *testing.T) {
		expectComplaint(t, "class,source,basis,note\na,A1,printed,\n", rule{key: "grade"}, known, "t.csv:1: no column grade")
	})
	t.Run("not falling", func(t *testing.T) {
		expectComplaint(t, "wall_in,source,basis,note\n0.1,A1,printed,\n0.2,A1,printed,\n", rule{key: "wall_in", falling: "wall_in"}, known, "t.csv:3: wall_in 0.2 does not fall from 0.1")
	})
}

func TestLintComplainsOfBands(t *testing.T) {
	known := map[string]Source{"A1": {ID: "A1", Trust: "A"}}
	r := rule{key: "over_in", band: "over_in through_in"}
	for _, c := range []struct{ name, rows, want string }{
		{"in order", "0,1\n1,2\n2,\n", ""},
		{"gap", "0,1\n1.5,2\n", ""},
		{"overlap", "0,1\n0.5,2\n", "t.csv:3: band from 0.5 overlaps the one before"},
		{"after an open one", "0,\n1,2\n", "t.csv:3: band from 1 overlaps the one before"},
		{"backwards", "0,1\n2,1.5\n", "t.csv:3: band from 2 through 1.5"},
	} {
		t.Run(c.name, func(t *testing.T) {
			text := strings.ReplaceAll("over_in,through_in\n"+c.rows, "\n", ",A1,printed,\n")
			text = strings.Replace(text, "A1,printed,", "source,basis,note", 1)
			expectComplaint(t, text, r, known, c.want)
		})
	}
}

// expectComplaint wants exactly one complaint that begins with want, or none.
func expectComplaint(t *testing.T, text string, r rule, known map[string]Source, want string) {
	t.Helper()
	s, err := readSheet("t.csv", strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	got := lint(s, r, known)
	switch {
	case want == "" && len(got) > 0:
		t.Errorf("complaints of a sound table: %q", got)
	case want != "" && (len(got) != 1 || !strings.HasPrefix(got[0], want)):
		t.Errorf("complaints %q, want one: %q", got, want)
	}
}

// TestDecodeRefuses gives the decoder what no embedded table may hold.
func TestDecodeRefuses(t *testing.T) {
	type row struct {
		Name  string   `csv:"name"`
		Size  float64  `csv:"size_in"`
		Gap   *float64 `csv:"gap_in,optional"`
		Count int      `csv:"count,optional"`
		Good  bool     `csv:"good,optional"`
		Row
	}
	const head = "name,size_in,gap_in,count,good,source,basis,note\n"
	for _, c := range []struct{ text, want string }{
		{"", "header"},
		{"name,size_in\n", "t.csv:1: column"},
		{"name,name,gap_in,count,good,source,basis,note\n", `t.csv:1: column "name" is unknown or stands twice`},
		{strings.Replace(head, "gap_in", "gap", 1), `t.csv:1: column "gap" is unknown`},
		{head + "a,1\n", "wrong number of fields"},
		{head + ",1,,,,S,printed,\n", "t.csv:2: name: empty cell"},
		{head + "a,,,,,S,printed,\n", "t.csv:2: size_in: empty cell"},
		{head + "a,1,,,,S,printed,\nb,x,,,,S,printed,\n", `t.csv:3: size_in: "x" is not a number`},
		{head + "a,NaN,,,,S,printed,\n", `size_in: "NaN" is not a number`},
		{head + "a,Inf,,,,S,printed,\n", `size_in: "Inf" is not a number`},
		{head + "a,1e999,,,,S,printed,\n", `size_in: "1e999" is not a number`},
		{head + "a,1,z,,,S,printed,\n", `gap_in: "z" is not a number`},
		{head + "a,1,,1.5,,S,printed,\n", `count: "1.5" is not a whole number`},
		{head + "a,1,,,maybe,S,printed,\n", `good: "maybe" is neither yes nor no`},
		{head + "a,1,,,,S;,printed,\n", "source: empty entry"},
		{head + " a,1,,,,S,printed,\n", "name: spaces around"},
	} {
		if _, err := decode[row](strings.NewReader(c.text), "t.csv"); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("decode %q: error %v, want %q", c.text, err, c.want)
		}
	}
	rows, err := decode[row](strings.NewReader(head+"a,1,0,2,yes,S;T,printed,n\nb,2,,,,S,memory,\n"), "t.csv")
	if err != nil {
		t.Fatal(err)
	}
	a, b := rows[0], rows[1]
	if a.Gap == nil || *a.Gap != 0 || a.Count != 2 || !a.Good || len(a.Source) != 2 || a.Note != "n" {
		t.Errorf("row a read as %+v", a)
	}
	if b.Gap != nil || b.Count != 0 || b.Good || b.Basis != Memory {
		t.Errorf("row b read as %+v", b)
	}
}

// FuzzDecode: no text makes the decoder panic, and what it takes it read whole.
func FuzzDecode(f *testing.F) {
	f.Add("class,diameter_in,wire_speed_in_per_min,current_A,voltage_V,source,basis,note\nE71T-11,0.035,50,30,14,S,printed,\n")
	f.Add("class\n\"")
	f.Fuzz(func(t *testing.T, text string) {
		rows, err := decode[CurvePoint](strings.NewReader(text), "t.csv")
		if err != nil {
			return
		}
		for _, r := range rows {
			if r.Class == "" || len(r.Source) == 0 || r.Basis == "" || r.CurrentA != r.CurrentA {
				t.Errorf("half-read row %+v", r)
			}
		}
	})
}
