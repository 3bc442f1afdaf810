package procedures

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// testLexicon holds a few published cells: MSG 16 ga 0.0598, galvanized 0.0635,
// BWG 16 0.065, schedule 40 1 in 0.133.
func testLexicon() Lexicon {
	sheet := map[int][2]float64{11: {0.1196, 0.1233}, 16: {0.0598, 0.0635}, 20: {0.0359, 0.0396}}
	tube := map[int]float64{11: 0.120, 16: 0.065, 18: 0.049}
	return Lexicon{
		SheetGauge: func(g int, galv bool) (MM, bool) {
			t, ok := sheet[g]
			if galv {
				return Inches(t[1]), ok
			}
			return Inches(t[0]), ok
		},
		TubeGauge: func(g int) (MM, bool) { t, ok := tube[g]; return Inches(t), ok },
		PipeWall: func(n string) (MM, bool) {
			t, ok := map[string]float64{"1": 0.133, "1-1/4": 0.140}[n]
			return Inches(t), ok
		},
		Steels: []SteelWords{
			{"mild", "I", []string{"mild", "mild steel", "low carbon"}},
			{"a36", "I", []string{"a36", "hot rolled", "angle iron"}},
			{"1018", "I", []string{"1018", "cold rolled", "crs"}},
			{"a572-50", "II", []string{"a572"}},
			{"304", "OUT", []string{"304", "stainless", "stainless steel"}},
			{"unknown", "unknown", []string{"unknown", "mystery steel"}},
		},
	}
}

func TestReadJob(t *testing.T) {
	for _, c := range []struct {
		words string
		want  Job
	}{
		{"1/8 mild tee flat", Job{Thickness: 3.175, Steel: "mild", Joint: Tee, Position: Flat}},
		{"flat tee mild 1/8", Job{Thickness: 3.175, Steel: "mild", Joint: Tee, Position: Flat}},
		{"16ga tube to 1/8 plate lap vertical down", Job{Thickness: 1.651, OtherThickness: 3.175, Form: Tube, OtherForm: Plate, Joint: Lap, Position: VerticalDown}},
		{"vertical down lap 1/8 plate to 16ga tube", Job{Thickness: 3.175, OtherThickness: 1.651, Form: Plate, OtherForm: Tube, Joint: Lap, Position: VerticalDown}},
		{`1/8" T joint on the bench`, Job{Thickness: 3.175, Joint: Tee, Position: Flat}},
		{"eighth inch inside corner", Job{Thickness: 3.175, Joint: Tee}},
		{"1/8 tee down hill", Job{Thickness: 3.175, Joint: Tee, Position: VerticalDown}},
		{"eighth inch plate t joint laying flat", Job{Thickness: 3.175, Joint: Tee, Position: Flat, Form: Plate}},
		{"three sixteenths butt up hill", Job{Thickness: 4.7625, Joint: Butt, Position: VerticalUp}},
		{"three sixteenths butt uphill", Job{Thickness: 4.7625, Joint: Butt, Position: VerticalUp}},
		{"3mm end to end", Job{Thickness: 3, Joint: Butt}},
		{"3 mm overlapping", Job{Thickness: 3, Joint: Lap}},
		{"11 gauge plain box corner", Job{Thickness: 3.03784, Joint: Corner, Coating: Bare}},
		{"11ga galvanized lap", Job{Thickness: 3.13182, Joint: Lap, Coating: Galvanized}},
		{"16ga cold rolled lap", Job{Thickness: 1.51892, Joint: Lap, Coating: Bare, Steel: "1018"}},
		{"galv 16 ga patch, ground off", Job{Thickness: 1.6129, Joint: Lap, Coating: Galvanized, Stripped: true}},
		{"1x1 16ga tube corner", Job{Thickness: 1.651, Joint: Corner, Form: Tube}},
		{"1 1/2 x 1 1/2 x 1/8 angle butt", Job{Thickness: 3.175, Joint: Butt, Form: "angle"}},
		{"1 x 1 x 1/8 tube tee", Job{Thickness: 3.175, Joint: Tee, Form: Tube}},
		{"5/8 wall pipe tee", Job{Thickness: 15.875, Joint: Tee, Form: Pipe}},
		{"1/8 mild tee for monkey bars", Job{Thickness: 3.175, Joint: Tee, Form: "bar", For: "monkey bars"}},
		{"1/8 mild tee for a pull up bar", Job{Thickness: 3.175, Joint: Tee, Form: "bar", For: "a pull up bar"}},
		{"1/8 mild tee for tie down ring", Job{Thickness: 3.175, Joint: Tee, For: "tie down ring"}},
		{"1/8 mild lap for a gate vertical down", Job{Thickness: 3.175, Joint: Lap, For: "a gate", Position: VerticalDown}},
		{"2x2x1/8 square tube corner", Job{Thickness: 3.175, Joint: Corner, Form: Tube}},
		{"1x1x.065 tube tee", Job{Thickness: 1.651, Joint: Tee, Form: Tube}},
		{"1/8 tee 0.035 E71T-11", Job{Thickness: 3.175, Joint: Tee, Wire: Wire{Class: "E71T-11", Diameter: 0.889}, Process: FCAWS}},
		{"0.030 gs 1/16 lap", Job{Thickness: 1.5875, Joint: Lap, Wire: Wire{Class: "E71T-GS", Diameter: 0.762}, Process: FCAWS}},
		{"0.035 wall tube butt", Job{Thickness: 0.889, Joint: Butt, Form: Tube}},
		{"1/8 butt gap 1/16", Job{Thickness: 3.175, Joint: Butt, Gap: 1.5875}},
		{"gap of 2mm 1/8 butt", Job{Thickness: 3.175, Joint: Butt, Gap: 2}},
		{"1/8 gap 1/16 butt", Job{Thickness: 3.175, Joint: Butt, Gap: 1.5875}},
		{"1/16 gap 1/8 butt", Job{Thickness: 3.175, Joint: Butt, Gap: 1.5875}},
		{"1/4 butt 1/16 gap 3G up", Job{Thickness: 6.35, Joint: Butt, Gap: 1.5875, Position: VerticalUp}},
		{"1/4 plate v-groove", Job{Thickness: 6.35, Weld: VGroove, Joint: Butt, Form: Plate}},
		{"1-1/4 tee", Job{Thickness: 31.75, Joint: Tee}},
		{"1 1/4 tee", Job{Thickness: 31.75, Joint: Tee}},
		{"2F 3/16", Job{Thickness: 4.7625, Position: Horizontal, Weld: Fillet}},
		{"1/8 tee for a garden gate flat", Job{Thickness: 3.175, Joint: Tee, Position: Flat, For: "a garden gate"}},
		{"1 in sch 40 pipe butt", Job{Thickness: 3.3782, Form: Pipe, Joint: Butt}},
		{"stainless 1/8 tee", Job{Thickness: 3.175, Steel: "304", Joint: Tee}},
		{"3mm tee 0.9mm E71T-11", Job{Thickness: 3, Joint: Tee, Wire: Wire{Class: "E71T-11", Diameter: 0.9}, Process: FCAWS}},
		{"E71T-11 0.8mm 3mm tee", Job{Thickness: 3, Joint: Tee, Wire: Wire{Class: "E71T-11", Diameter: 0.8}, Process: FCAWS}},
		{"2in square tube 11ga butt", Job{Thickness: 3.048, Form: Tube, Joint: Butt}},
		{"1.5 inch 16ga tube to 1/8 plate tee", Job{Thickness: 1.651, OtherThickness: 3.175, Form: Tube, OtherForm: Plate, Joint: Tee}},
		{"120 wall tube tee", Job{Thickness: 3.048, Form: Tube, Joint: Tee}},
		{"1/8 tee 035 gs", Job{Thickness: 3.175, Joint: Tee, Wire: Wire{Class: "E71T-GS", Diameter: 0.889}, Process: FCAWS}},
		{"1/8th lap 0.035E71T-11", Job{Thickness: 3.175, Joint: Lap, Wire: Wire{Class: "E71T-11", Diameter: 0.889}, Process: FCAWS}},
		{"3,2mm lap", Job{Thickness: 3.2, Joint: Lap}},
		{"3/32 E6013 1/8 tee", Job{Thickness: 3.175, Joint: Tee, Wire: Wire{Class: "E6013", Diameter: 2.38125}, Process: SMAW}},
		{"1/8 plate to 1/4 plate 1/8 E7018 tee", Job{Thickness: 3.175, OtherThickness: 6.35, Form: Plate, OtherForm: Plate, Joint: Tee, Wire: Wire{Class: "E7018", Diameter: 3.175}, Process: SMAW}},
		{"1018 to a36 1/8 tee", Job{Thickness: 3.175, Joint: Tee, Steel: "1018"}},
		{"1/8 to 1/8 lap 24in long", Job{Thickness: 3.175, OtherThickness: 3.175, Joint: Lap, Length: 609.6}},
	} {
		r, err := ReadJob(c.words, US, testLexicon())
		if err != nil {
			t.Errorf("%q: %v", c.words, err)
			continue
		}
		if len(r.Unknown) > 0 {
			t.Errorf("%q: not understood: %q", c.words, r.Unknown)
		}
		g, w := r.Job, c.want
		if math.Abs(float64(g.Thickness-w.Thickness)) > 1e-4 || math.Abs(float64(g.OtherThickness-w.OtherThickness)) > 1e-4 ||
			math.Abs(float64(g.Diameter-w.Diameter)) > 1e-4 || math.Abs(float64(g.Gap-w.Gap)) > 1e-4 || math.Abs(float64(g.Length-w.Length)) > 1e-4 {
			t.Errorf("%q: sizes %v/%v wire %v gap %v length %v, want %v/%v %v %v %v", c.words, g.Thickness, g.OtherThickness, g.Diameter, g.Gap, g.Length,
				w.Thickness, w.OtherThickness, w.Diameter, w.Gap, w.Length)
		}
		if g.Joint != w.Joint || g.Position != w.Position || g.Form != w.Form || g.OtherForm != w.OtherForm || w.Steel != "" && g.Steel != w.Steel ||
			g.Coating != w.Coating || g.Stripped != w.Stripped || g.Class != w.Class || g.Process != w.Process || g.For != w.For || w.Weld != "" && g.Weld != w.Weld {
			t.Errorf("%q: got %+v", c.words, g)
		}
	}
}

func TestReadJobAsks(t *testing.T) {
	for _, c := range []struct{ words, field, question string }{
		{"16 gauge lap", "thickness", "plain or galvanized?"},
		{"16ga mild lap flat", "thickness", "plain or galvanized?"},
		{"1/8 tee vertical", "position", "up or down?"},
		{"3 tee", "thickness", "millimeters or inches?"},
		{"1/8 tee lap", "joint", "both said"},
		{"1/8 tee flat overhead", "position", "both said"},
		{"1/8 1/4 3/8 tee", "thickness", "more than two"},
		{"16ga tube to plate lap", "thickness", "how thick is the plate?"},
		{"2x2 tube tee", "thickness", "outside size"},
		{"1in tube tee", "thickness", "outside of the tube"},
		{"1 inch black pipe butt", "thickness", "size of the pipe"},
		{"1/2 pipe tee", "thickness", "size of the pipe"},
		{"99ga plain tee", "thickness", "not a gauge"},
		{"-1/8 tee", "thickness", "negative"},
		{"0mm tee", "thickness", "zero"},
		{"1/0 tee", "", ""},
		{"900mm tee", "thickness", "not a thickness"},
	} {
		r, err := ReadJob(c.words, US, testLexicon())
		if c.question == "" {
			if err == nil && len(r.Unknown) == 0 {
				t.Errorf("%q: accepted as %+v", c.words, r.Job)
			}
			continue
		}
		var bad *InvalidError
		if !errors.As(err, &bad) {
			t.Errorf("%q: got %v, want a question", c.words, err)
			continue
		}
		if bad.Field != c.field || !strings.Contains(bad.Problem, c.question) || len(bad.Hints) == 0 {
			t.Errorf("%q: got %s: %s %q", c.words, bad.Field, bad.Problem, bad.Hints)
		}
	}
}

func TestUnknownWordsComeBack(t *testing.T) {
	r, err := ReadJob("1/8 wibble tee", US, testLexicon())
	if err != nil || len(r.Unknown) != 1 || r.Unknown[0] != "wibble" {
		t.Fatalf("got %q, %v", r.Unknown, err)
	}
	if got := Nearest("overhed", testLexicon()); len(got) == 0 || got[0] != "overhead" {
		t.Errorf("nearest to overhed: %q", got)
	}
}

// TestOrderOfWords: the trade says it in any order.
func TestOrderOfWords(t *testing.T) {
	words := []string{"1/8", "mild", "tee", "overhead", "e71t-11", "0.035"}
	want, err := ReadJob(strings.Join(words, " "), US, testLexicon())
	if err != nil {
		t.Fatal(err)
	}
	rapid.Check(t, func(t *rapid.T) {
		shuffled := rapid.Permutation(words).Draw(t, "words")
		got, err := ReadJob(strings.Join(shuffled, " "), US, testLexicon())
		if err != nil {
			t.Fatal(err)
		}
		got.Job.Said = want.Job.Said
		if got.Job != want.Job {
			t.Fatalf("%q: %+v, want %+v", shuffled, got.Job, want.Job)
		}
	})
}

func FuzzReadJob(f *testing.F) {
	for _, s := range []string{"1/8 mild tee flat", "16ga tube to 1/8 plate lap vertical down", "11 gauge galvanized", "NaN", "1e999", "½ tee", "-1/8", "1/0", "2x2x", "for for", "🔥 1/8", "sch 40", "gap gap 1/16"} {
		f.Add(s)
	}
	lex := testLexicon()
	f.Fuzz(func(t *testing.T, s string) {
		r, err := ReadJob(s, US, lex)
		if err != nil {
			var bad *InvalidError
			if !errors.As(err, &bad) || len(bad.Hints) == 0 || bad.Problem == "" {
				t.Fatalf("%q: error teaches nothing: %v", s, err)
			}
			return
		}
		if err := r.Job.Validate(); err != nil {
			t.Fatalf("%q: read as an invalid job: %v", s, err)
		}
	})
}
