package sheet_test

import (
	"bytes"
	"errors"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"beadwright/procedures"
	"beadwright/procedures/sheet"
)

// lexicon is as much of the tables as these tests speak of.
func lexicon() procedures.Lexicon {
	return procedures.Lexicon{
		SheetGauge: func(g int, zinc bool) (procedures.MM, bool) {
			return map[int]procedures.MM{16: 1.519, 11: 3.038}[g], g == 16 || g == 11
		},
		TubeGauge: func(int) (procedures.MM, bool) { return 0, false },
		PipeWall:  func(string) (procedures.MM, bool) { return 0, false },
		Steels:    []procedures.SteelWords{{Key: "mild", Group: "I", Words: []string{"mild", "mild steel"}}, {Key: "a36", Group: "I", Words: []string{"a36"}}},
	}
}

func read(t *testing.T, text string, o sheet.Options) sheet.Sheet {
	t.Helper()
	o.Lexicon = lexicon()
	if o.Units == "" {
		o.Units = procedures.US
	}
	s, err := sheet.Read([]byte(text), o)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// TestAnybodysSheet reads the kind of sheet that hangs in a shop.
func TestAnybodysSheet(t *testing.T) {
	s := read(t, `Date,Material,Thickness,Joint Type,Pos,Wire type,Wire diameter (in),Heat setting,WFS (ipm),Score,Defects,Bend test,Operator,Comments
5/1/2026,mild steel,1/8,T joint,flat,E71T-11,0.035,high,110,4,spatter,held,Sam,"nice, quiet"
2026-05-02,A36,16ga plain,lap,horizontal,E71T-11,.030,low,90 ipm,2,"blew a hole; undercut",,Sam,
,,,,,,,,,,,,,
`, sheet.Options{Map: map[string]string{"operator": "note"}})
	if len(s.Rows) != 2 {
		t.Fatalf("%d rows", len(s.Rows))
	}
	w := s.Rows[0].Weld
	want := procedures.Weld{
		ID: w.ID, At: time.Date(2026, 5, 1, 0, 0, 0, 0, time.UTC),
		Job: procedures.Job{Steel: "mild", SteelGroup: "I", Thickness: 3.175, ThicknessSaid: "1/8", Joint: procedures.Tee, Weld: procedures.Fillet, Position: procedures.Flat,
			Wire: procedures.Wire{Class: "E71T-11", Diameter: procedures.Inches(0.035)}, Process: procedures.FCAWS},
		Settings: procedures.Settings{Tap: "high", WireSpeed: procedures.InchesPerMin(110), How: map[string]procedures.How{"tap": procedures.Measured, "wire_speed_m_min": procedures.Measured}},
		Outcome:  procedures.Outcome{Rating: 4, Symptoms: []string{"spatter"}, Tests: []procedures.Test{{Kind: "bend", Passed: true, Result: "held"}}, Note: "Operator: Sam\nnice, quiet"},
	}
	if diff := cmp.Diff(want, w); diff != "" {
		t.Errorf("first row (-want +got):\n%s", diff)
	}
	w = s.Rows[1].Weld
	if w.Job.Thickness != 1.519 || w.Settings.WireSpeed != procedures.InchesPerMin(90) || !cmp.Equal(w.Outcome.Symptoms, []string{"burn-through", "undercut"}) || s.Rows[1].Line != 3 {
		t.Errorf("second row: %+v", s.Rows[1])
	}
}

// TestMetricSheet: semicolons, units in the headings or of the notebook.
func TestMetricSheet(t *testing.T) {
	s := read(t, "\ufeffThickness [mm];wire speed, m/min;stick-out mm;travel (mm/min);joint;date;quality\n3;2,8;12;250;tee;1.5.2026;4\n", sheet.Options{Units: procedures.Metric})
	w := s.Rows[0].Weld
	if w.Job.Thickness != 3 || w.Settings.WireSpeed != 2.8 || w.Settings.Extension != 12 || w.Settings.Travel != 250 || w.At.Month() != time.May || w.Outcome.Rating != 4 {
		t.Errorf("%+v", w)
	}
}

// TestSheetErrors: what cannot be read is told by line, cell and heading, with
// what would be accepted.
func TestSheetErrors(t *testing.T) {
	for name, c := range map[string]struct {
		text         string
		line, column int
		says         string
	}{
		"nothing":        {"", 1, 1, "nothing in the file"},
		"no heading":     {"foo,bar\n1,2\n", 1, 1, "none of these headings"},
		"joint":          {"joint,rating\ntee,4\nzigzag,4\n", 3, 1, `"joint": "zigzag" means nothing here as joint`},
		"bare number":    {"thickness,rating\n3,4\n", 2, 1, "millimeters or inches"},
		"rating":         {"thickness (mm),rating\n3,9\n", 2, 2, "a rating is 1 to 5"},
		"wire speed":     {"wire speed,rating\n9000,4\n", 2, 1, "out of reach"},
		"two of a kind":  {"thickness,gauge\n1/8,11ga\n", 1, 2, `"thickness" says the thickness already`},
		"cell too many":  {"joint,rating\ntee,4,oops\n", 2, 3, "no heading over this cell"},
		"quotes":         {"joint,note\ntee,\"no end\n", 2, 13, "quotes"},
		"control":        {"joint,note\ntee,a\x1b[2Jb\n", 2, 2, "control character"},
		"bytes":          {"joint,note\ntee,\xff\n", 2, 2, "not text"},
		"symptom":        {"joint,symptoms\ntee,wibble\n", 2, 2, "--map"},
		"date":           {"joint,date\ntee,31/12/2026\n", 2, 2, "not a date"},
		"polarity":       {"joint,polarity\ntee,sideways\n", 2, 2, "not a polarity"},
		"line of a cell": {"joint,note,rating\ntee,\"two\nlines\",4\nlap,,7\n", 4, 3, "1 to 5"},
		"gauge":          {"gauge,rating\n16,4\n", 2, 1, "plain or galvanized"},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := sheet.Read([]byte(c.text), sheet.Options{Units: procedures.US, Lexicon: lexicon()})
			var at *sheet.Error
			var bad *procedures.InvalidError
			if !errors.As(err, &at) || !errors.As(err, &bad) {
				t.Fatalf("got %v", err)
			}
			if at.Line != c.line || at.Column != c.column || !strings.Contains(err.Error()+strings.Join(bad.Hints, " "), c.says) {
				t.Errorf("line %d, column %d: %v %q; want line %d, column %d: %s", at.Line, at.Column, err, bad.Hints, c.line, c.column, c.says)
			}
		})
	}
}

// TestRowIDs: a row has one id whenever it is read, and two like rows are two.
func TestRowIDs(t *testing.T) {
	const text = "date,joint,rating\n2026-05-01,tee,4\n2026-05-01,tee,4\n,lap,3\n"
	a, b := read(t, text, sheet.Options{}), read(t, text, sheet.Options{})
	seen := map[string]bool{}
	for i := range a.Rows {
		id := a.Rows[i].Weld.ID
		if id != b.Rows[i].Weld.ID || seen[id] || id[14] != '7' || !strings.ContainsRune("89ab", rune(id[19])) {
			t.Errorf("row %d: %s, then %s", i, id, b.Rows[i].Weld.ID)
		}
		seen[id] = true
	}
	if !strings.HasPrefix(a.Rows[0].Weld.ID, "019de0d5-c800-") { // 2026-05-01T00:00:00Z is 0x19de0d5c800 ms after 1970 (Python's datetime)
		t.Errorf("the id does not begin with the date: %s", a.Rows[0].Weld.ID)
	}
}

// TestWriteRead: what is written is read again, whichever units it is written in,
// and no cell is a formula.
func TestWriteRead(t *testing.T) {
	knob := 4.5
	w := procedures.Weld{
		ID: "01a219d6-beb5-7898-8163-570fd2fae24a", Mark: "A1", At: time.Date(2026, 5, 1, 14, 30, 0, 0, time.UTC),
		Job: procedures.Job{Steel: "mild", SteelGroup: "I", Thickness: procedures.Inches(0.125), OtherThickness: procedures.Inches(0.25), Joint: procedures.Lap, Weld: procedures.Fillet, Position: procedures.VerticalUp, Gap: 1,
			Coating: procedures.Galvanized, Stripped: true, Length: 600, For: "shelf", Wire: procedures.Wire{Class: "E71T-11", Diameter: procedures.Inches(0.035)}, Process: procedures.FCAWS, Machine: "shed"},
		Spool: "s1", ArcTime: 24,
		Settings: procedures.Settings{Tap: "max", Knob: &knob, WireSpeed: procedures.InchesPerMin(110), Polarity: procedures.DCEN, Extension: 12.7, Travel: 254, Voltage: 17.5, Current: 85, Passes: 2},
		Outcome:  procedures.Outcome{Rating: 4, Symptoms: []string{"spatter", "undercut"}, Tests: []procedures.Test{{Kind: "bend", Passed: true, Result: "held"}}, Leg: 4.5, Photo: "a.jpg", Note: "=1+1"},
	}
	for _, units := range []procedures.Units{procedures.US, procedures.Metric} {
		var b bytes.Buffer
		if err := sheet.Write(&b, []procedures.Weld{w}, map[string]string{"s1": "blue spool"}, units); err != nil {
			t.Fatal(err)
		}
		if strings.Contains(b.String(), ",=") {
			t.Error("a cell is a formula")
		}
		for _, other := range []procedures.Units{procedures.US, procedures.Metric} {
			got := read(t, b.String(), sheet.Options{Units: other}).Rows[0].Weld
			got.Settings.How, got.Job.ThicknessSaid, got.Job.OtherSaid = nil, "", ""
			want := w
			want.Spool, want.Job.Process = "blue spool", ""
			round := cmp.Transformer("round", func(v procedures.MM) float64 { return procedures.Round(float64(v)) })
			rate := cmp.Transformer("rate", func(v procedures.MPerMin) float64 { return procedures.Round(float64(v)) })
			if diff := cmp.Diff(want, got, round, rate); diff != "" {
				t.Errorf("written in %s, read in %s (-want +got):\n%s", units, other, diff)
			}
		}
	}
}

// FuzzSheet: whatever a file holds, it is read or refused at a line and a column.
func FuzzSheet(f *testing.F) {
	f.Add([]byte("date,thickness (in),joint,wfs,score,defects,bend test\n2026-05-01,1/8,tee,110,4,spatter,held\n"))
	f.Add([]byte("a;b\n\"x;y\n"))
	f.Fuzz(func(t *testing.T, text []byte) {
		s, err := sheet.Read(text, sheet.Options{Units: procedures.US, Lexicon: lexicon()})
		var at *sheet.Error
		if err != nil && (!errors.As(err, &at) || at.Line < 1 || at.Column < 1) {
			t.Errorf("refused without a place: %v", err)
		}
		for _, r := range s.Rows {
			if err == nil && (r.Line < 1 || r.Weld.Validate() != nil) {
				t.Errorf("%+v", r)
			}
		}
	})
}
