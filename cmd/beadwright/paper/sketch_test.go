package paper

import (
	"bytes"
	"encoding/xml"
	"io"
	"maps"
	"math"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/recorder"
	"pgregory.net/rapid"

	"beadwright/procedures"
)

func sorted[T any](m map[string]T) []string { return slices.Sorted(maps.Keys(m)) }

// area is that of an outline, by the shoelace sum.
func area(outline []point) float64 {
	sum := 0.0
	for i, a := range outline {
		b := outline[(i+1)%len(outline)]
		sum += a.x*b.y - b.x*a.y
	}
	return math.Abs(sum) / 2
}

// TestSections holds the sections to their sizes: plates as thick as the parts, the
// gap as wide as said, the weld as large as its leg.
func TestSections(t *testing.T) {
	for name, p := range joints() {
		s := cut(p)
		a, b := float64(p.Job.Thickness), float64(p.Job.OtherThickness)
		if b == 0 {
			b = a
		}
		for i, plate := range s.plates {
			w, h := plate.high.x-plate.low.x, plate.high.y-plate.low.y
			if thin := math.Min(w, h); math.Abs(thin-a) > 1e-9 && math.Abs(thin-b) > 1e-9 {
				t.Errorf("%s: plate %d is %g thick, of %g and %g", name, i, thin, a, b)
			}
		}
		if len(s.weld) != 1 || area(s.weld[0]) <= 0 {
			t.Errorf("%s: no weld", name)
		}
		for _, m := range s.measures {
			long := math.Hypot(m.b.x-m.a.x, m.b.y-m.a.y)
			want := map[string]float64{"thickness": a, "other": b, "gap": float64(p.Job.Gap), "leg": float64(p.Settings.Leg)}[m.what]
			if math.Abs(long-want) > 1e-9 {
				t.Errorf("%s: the dimension of the %s is %g long, want %g", name, m.what, long, want)
			}
		}
	}
	// A flat fillet of equal legs has half the square of its leg; the crown adds two
	// thirds of its height times the face: here 0.06 * 2/3 * 2 of the square.
	leg := float64(joints()["a tee"].Settings.Leg)
	if got, want := area(cut(joints()["a tee"]).weld[0]), leg*leg*(0.5+0.08); math.Abs(got/want-1) > 0.01 {
		t.Errorf("the fillet has %g mm2, want %g", got, want)
	}
	// A V groove of 60 degrees: its wall runs out half the thickness times tan 30.
	v := cut(joints()["f vee"])
	if got, want := v.plates[0].bevelRight/float64(joints()["f vee"].Job.Thickness), math.Tan(math.Pi/6); math.Abs(got-want) > 1e-9 {
		t.Errorf("the bevel runs out %g of the thickness, want %g", got, want)
	}
}

// drawn records what a sketch puts on paper.
func drawn(p procedures.Procedure, u procedures.Units) (lines [][]vg.Point, words []string, all []vg.Point) {
	var c recorder.Canvas
	Sketch(draw.NewCanvas(sized{&c}, SketchWidth, SketchHeight), p, u)
	for _, action := range c.Actions {
		switch a := action.(type) {
		case *recorder.Stroke:
			lines = append(lines, places(a.Path))
			all = append(all, places(a.Path)...)
		case *recorder.Fill:
			all = append(all, places(a.Path)...)
		case *recorder.FillString:
			words, all = append(words, a.String), append(all, a.Point)
		}
	}
	return lines, words, all
}

type sized struct{ *recorder.Canvas }

func (s sized) Size() (vg.Length, vg.Length) { return SketchWidth, SketchHeight }

func places(p vg.Path) (out []vg.Point) {
	for _, s := range p {
		if s.Type == vg.MoveComp || s.Type == vg.LineComp {
			out = append(out, s.Pos)
		}
	}
	return out
}

// TestFilletSign looks for the triangle of a fillet weld. AWS A2.4 and ISO 2553 both
// stand its upright leg at the left whichever way the arrow points, and AWS A2.4 hangs
// what is on the arrow's side below the line (both from memory).
func TestFilletSign(t *testing.T) {
	lines, words, _ := drawn(joints()["a tee"], procedures.US)
	found := false
	for _, l := range lines {
		if len(l) == 3 && l[0].Y == l[2].Y && l[0].X == l[1].X && l[1].Y < l[0].Y && l[2].X > l[0].X {
			found = true
		}
	}
	if !found {
		t.Error("there is no triangle below the line with its upright leg at the left")
	}
	if !slices.Contains(words, "1/8") || !slices.Contains(words, "3/16 in") || !slices.Contains(words, "FCAW-S") {
		t.Errorf("the words are %q", words)
	}
	if _, words, _ = drawn(joints()["a tee"], procedures.Metric); !slices.Contains(words, "z3.18") || !slices.Contains(words, "114") {
		t.Errorf("the metric words are %q", words)
	}
	unknown := joints()["a tee"]
	unknown.Settings.Leg = 0
	if _, words, _ = drawn(unknown, procedures.US); slices.Contains(words, "1/8") {
		t.Errorf("a leg that nobody said is on the symbol: %q", words)
	}
}

// TestSketchStaysInside draws joints of every size: no line leaves the paper, and
// none is no number.
func TestSketchStaysInside(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		thick := rapid.Float64Range(0.5, 25)
		p := procedures.Procedure{Job: procedures.Job{
			Joint: rapid.SampledFrom(append(procedures.Joints(), "")).Draw(t, "joint"), Weld: rapid.SampledFrom(append(procedures.WeldTypes(), "")).Draw(t, "weld"),
			Thickness: procedures.MM(thick.Draw(t, "thickness")), Process: procedures.FCAWS,
		}}
		if rapid.Bool().Draw(t, "two") {
			p.Job.OtherThickness = procedures.MM(thick.Draw(t, "other"))
		}
		if rapid.Bool().Draw(t, "open") {
			p.Job.Gap = procedures.MM(rapid.Float64Range(0.2, 3).Draw(t, "gap"))
		}
		if rapid.Bool().Draw(t, "sized") {
			p.Settings.Leg = procedures.MM(rapid.Float64Range(1, 12).Draw(t, "leg"))
		}
		_, _, all := drawn(p, rapid.SampledFrom([]procedures.Units{procedures.US, procedures.Metric}).Draw(t, "units"))
		for _, q := range all {
			if !(q.X >= -1 && q.X <= SketchWidth+1 && q.Y >= -1 && q.Y <= SketchHeight+1) {
				t.Fatalf("a line goes to %v", q)
			}
		}
	})
}

// TestSketchFiles: each format is what it says, equal for equal joints.
func TestSketchFiles(t *testing.T) {
	for format, begins := range map[string]string{"svg": "<?xml", "png": "\x89PNG", "pdf": "%PDF-"} {
		for _, name := range sorted(joints()) {
			got, err := SketchFile(joints()[name], procedures.US, format)
			if err != nil || !strings.HasPrefix(string(got), begins) {
				t.Fatalf("%s as %s: %v", name, format, err)
			}
			again, err := SketchFile(joints()[name], procedures.US, format)
			if err != nil || !bytes.Equal(got, again) {
				t.Errorf("%s as %s: drawn twice it differs", name, format)
			}
			if format != "svg" {
				continue
			}
			for dec := xml.NewDecoder(bytes.NewReader(got)); ; {
				if _, err := dec.Token(); err == io.EOF {
					break
				} else if err != nil {
					t.Fatalf("%s: %v", name, err)
				}
			}
		}
	}
	if _, err := SketchFile(joints()["a tee"], procedures.US, "gif"); err == nil {
		t.Error("a GIF was drawn")
	}
}

// TestText is a whole page of text, as it stands on the screen.
func TestText(t *testing.T) {
	d := Document{Title: "Eighth tee", Lead: []string{"HIGH, knob 4 1/2"}, Foot: "Practice aid.", Blocks: []Block{
		Heading("Settings"), Fields{{"wire", "0.035 E71T-11"}, {"backing", ""}}, Words{Text: "slag off", Item: true},
		Table{Head: []string{"thick", "stands on"}, Rows: []Row{{Cells: []string{"1/8 in", "PROVED A7"}, Strong: true}, {Cells: []string{"16 ga", "table"}}}},
		Tags{{Mark: "A7", Lines: []string{"1/8 tee"}}},
	}}
	want := strings.Join([]string{
		"EIGHTH TEE",
		"HIGH, knob 4 1/2",
		strings.Repeat("=", 96),
		"",
		"SETTINGS",
		"  wire     0.035 E71T-11",
		"  backing  ______________________________",
		"  - slag off",
		"  thick   stands on",
		"  ------  ---------",
		"  1/8 in  PROVED A7",
		"  16 ga   table",
		"+----------------------------------------------+",
		"| A7                                           |",
		"| 1/8 tee                                      |",
		"+----------------------------------------------+",
		"",
		strings.Repeat("-", 96),
		"Practice aid.",
		"",
	}, "\n")
	got, err := d.As("txt")
	if err != nil || string(got) != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}
