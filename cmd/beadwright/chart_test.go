package main

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"io"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"pgregory.net/rapid"

	"beadwright/cmd/beadwright/paper"
	"beadwright/procedures"
	"beadwright/recommend"
)

// chartShop is a notebook with welds of every rating, one of them with a failed
// test, and a machine that was rebuilt.
func chartShop(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	t.Setenv("BEADWRIGHT_NOTEBOOK", filepath.Join(dir, "notebook.db"))
	for _, line := range []string{
		"machine add shed --taps low=14.5V,high=17V --knob 1..10 --wire-range 40..340ipm --output dcen --rated 90A --duty 20 --max 125A --rebuilt",
		"wire add 0.035 E71T-11",
		"log 5 1/8 mild tee flat --tap high --wire-speed 112ipm",
		"log 4 1/8 mild tee flat --tap high --wire-speed 112ipm",
		"log 3 3/16 mild tee flat --tap high --wire-speed 125ipm",
		"log 2 1/4 mild tee flat --tap high --wire-speed 95ipm",
		"log 1 1/16 mild tee flat --tap low --wire-speed 110ipm",
		"log 5 3/16 mild tee flat --tap high --wire-speed 105ipm --test break=cold",
	} {
		if status, _, complaint := attempt(strings.Fields(line)...); status != 0 {
			t.Fatalf("%s: status %d: %s", line, status, complaint)
		}
	}
	return dir
}

// chartCases are jobs with charts of unlike sizes and scales.
var chartCases = [][]string{
	{"mild", "tee", "flat"},
	{"mild", "tee", "flat", "--units", "metric"},
	{"lap", "vertical", "down", "--wire", "0.030 E71T-GS"},
	{"butt", "flat", "--wire", "0.035 ER70S-6 co2", "--machine", "gas"},
	{"tee", "flat", "--wire", "0.045 ER70S-6 co2", "--machine", "gas", "--units", "metric"},
}

func TestChartFiles(t *testing.T) {
	dir := chartShop(t)
	for _, c := range []struct {
		ending, magic string
		whole         func([]byte) error
	}{
		{"svg", "<?xml ", wellFormed},
		{"png", "\x89PNG\r\n\x1a\n", drawn},
		{"pdf", "%PDF-1.", func(b []byte) error {
			if !bytes.HasSuffix(bytes.TrimSpace(b), []byte("%%EOF")) || bytes.Count(b, []byte("/Type /Page\n")) != 1 {
				return fmt.Errorf("not one whole page")
			}
			return nil
		}},
		{"SVG", "<?xml ", wellFormed},
	} {
		file := filepath.Join(dir, "tee."+c.ending)
		if status, _, complaint := attempt("chart", "thickness", file, "mild", "tee", "flat"); status != 0 {
			t.Fatalf("%s: status %d: %s", c.ending, status, complaint)
		}
		b, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if !strings.HasPrefix(string(b), c.magic) {
			t.Errorf("%s begins with %q", c.ending, b[:min(len(b), 16)])
		}
		if err := c.whole(b); err != nil {
			t.Errorf("%s: %v", c.ending, err)
		}
	}
}

func wellFormed(b []byte) error {
	for d := xml.NewDecoder(bytes.NewReader(b)); ; {
		if _, err := d.Token(); err == io.EOF {
			return nil
		} else if err != nil {
			return err
		}
	}
}

// drawn looks for the colour of every line and every mark in a picture.
func drawn(b []byte) error {
	img, err := png.Decode(bytes.NewReader(b))
	if err != nil {
		return err
	}
	seen := coloursOf(img)
	want := map[string]color.Color{"range": rangeInk, "own curve": ownInk, "table": ink}
	for _, g := range grades[:6] {
		want[g.words] = g.color
	}
	for name, c := range want {
		if seen[color.RGBAModel.Convert(c).(color.RGBA)] < 20 {
			return fmt.Errorf("there is no %s in it", name)
		}
	}
	return nil
}

func coloursOf(img image.Image) map[color.RGBA]int {
	seen := map[color.RGBA]int{}
	b := img.Bounds()
	for y := b.Min.Y; y < b.Max.Y; y++ {
		for x := b.Min.X; x < b.Max.X; x++ {
			seen[color.RGBAModel.Convert(img.At(x, y)).(color.RGBA)]++
		}
	}
	return seen
}

// svgText is a line of text on a chart and the box that it takes, in points from
// the sheet's upper left corner.
type svgText struct {
	words                    string
	left, right, top, bottom float64
	turned                   bool
}

var fontSize = regexp.MustCompile(`font-size:([\d.]+)px`)

// textsOf reads where the text of an SVG stands, and the sheet's size.
func textsOf(t *testing.T, b []byte) (all []svgText, width, height float64) {
	t.Helper()
	turned, open := 0, []bool{}
	d := xml.NewDecoder(bytes.NewReader(b))
	for {
		tok, err := d.Token()
		if err == io.EOF {
			return all, width, height
		}
		if err != nil {
			t.Fatal(err)
		}
		switch e := tok.(type) {
		case xml.StartElement:
			attr := map[string]string{}
			for _, a := range e.Attr {
				attr[a.Name.Local] = a.Value
			}
			switch e.Name.Local {
			case "svg":
				fmt.Sscanf(attr["viewBox"], "0 0 %g %g", &width, &height)
			case "g":
				rotated := strings.Contains(attr["transform"], "rotate")
				open = append(open, rotated)
				if rotated {
					turned++
				}
			case "text":
				var words string
				if err := d.DecodeElement(&words, &e); err != nil {
					t.Fatal(err)
				}
				x, _ := strconv.ParseFloat(attr["x"], 64)
				y, _ := strconv.ParseFloat(attr["y"], 64)
				size, err := strconv.ParseFloat(fontSize.FindStringSubmatch(attr["style"])[1], 64)
				if err != nil {
					t.Fatal(err)
				}
				style := letters(vg.Length(size))
				y += height // it is turned upside down about the lower edge
				all = append(all, svgText{words, x, x + float64(style.Width(words)), y - 0.72*size, y + 0.21*size, turned > 0})
			}
		case xml.EndElement:
			if e.Name.Local == "g" {
				if open[len(open)-1] {
					turned--
				}
				open = open[:len(open)-1]
			}
		}
	}
}

// TestChartIsReadable: no text runs into another or off the sheet, and the words
// that a chart must bear are there.
func TestChartIsReadable(t *testing.T) {
	dir := chartShop(t)
	if status, _, complaint := attempt(strings.Fields("machine add gas --process 135 --wire-range 60..600ipm --output dc --rated 180A --duty 30 --max 350A")...); status != 0 {
		t.Fatal(complaint)
	}
	if status, _, complaint := attempt("machine", "use", "shed"); status != 0 {
		t.Fatal(complaint)
	}
	for i, job := range chartCases {
		file := filepath.Join(dir, fmt.Sprintf("%d.svg", i))
		if status, _, complaint := attempt(append([]string{"chart", "thickness", file}, job...)...); status != 0 {
			t.Errorf("%v: status %d: %s", job, status, complaint)
			continue
		}
		b, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		texts, width, height := textsOf(t, b)
		if len(texts) < 15 {
			t.Fatalf("%v: only %d texts", job, len(texts))
		}
		var all []string
		for n, a := range texts {
			all = append(all, a.words)
			if a.turned {
				continue
			}
			if a.left < 0 || a.right > width || a.top < 0 || a.bottom > height {
				t.Errorf("%v: %q runs off the sheet: %+v", job, a.words, a)
			}
			for _, z := range texts[:n] {
				if !z.turned && a.left < z.right && z.left < a.right && a.top < z.bottom && z.top < a.bottom {
					t.Errorf("%v: %q runs into %q", job, a.words, z.words)
				}
			}
		}
		page := strings.Join(all, " ")
		units := []string{"thickness of the thinner part, in", "wire speed, in/min"}
		if slices.Contains(job, "metric") {
			units = []string{"thickness of the thinner part, mm", "wire speed, m/min"}
		}
		for _, want := range append(units, "Wire speed against thickness: 0.0", " joint, ", "Practice aid; results hold for the coupon.", "machine: ", "4 times in 5", "what the tables give", "Outside the tables nothing is drawn") {
			if !strings.Contains(page, want) {
				t.Errorf("%v: it does not say %q", job, want)
			}
		}
		if onShed := !slices.Contains(job, "gas"); onShed != strings.Contains(page, "Unplug it") {
			t.Errorf("%v: the rebuilt machine's caution: %v", job, !onShed)
		}
		if regexp.MustCompile(`(?i)\b(certified|safe|structural|strong enough)\b`).MatchString(page) {
			t.Errorf("%v: it promises too much", job)
		}
	}
}

// TestChartGrades: every rating has a shape and a colour of its own, dark enough
// to read on white paper (WCAG 2.1, 1.4.3: 4.5 to 1).
func TestChartGrades(t *testing.T) {
	shapes, colours := map[string]bool{}, map[color.Color]bool{}
	for _, g := range grades {
		shape := fmt.Sprintf("%T", g.shape)
		switch s := g.shape.(type) {
		case rimmed:
			shape = fmt.Sprintf("full %T", s.GlyphDrawer)
		case hollow:
			shape = fmt.Sprintf("hollow %T", s.GlyphDrawer)
		}
		if shapes[shape] || colours[g.color] {
			t.Errorf("%s: its shape %s or its colour is another's", g.words, shape)
		}
		shapes[shape], colours[g.color] = true, true
		if ratio := 1.05 / (luminance(g.color) + 0.05); ratio < 4.5 {
			t.Errorf("%s: contrast %.1f to 1", g.words, ratio)
		}
	}
	for _, c := range []struct {
		w    chartWeld
		want string
	}{
		{chartWeld{Rating: 5}, "5 as good as I can"}, {chartWeld{Rating: 4, Test: "passed"}, "4 good"}, {chartWeld{Rating: 3}, "3 would do"},
		{chartWeld{Rating: 2}, "2 ugly or in doubt"}, {chartWeld{Rating: 1}, "1 scrap"}, {chartWeld{}, "not rated"},
		{chartWeld{Rating: 4, Test: "passed", InUse: true}, "failed, cracked or not melted in"}, {chartWeld{Rating: 4, Cracked: true}, "failed, cracked or not melted in"}, {chartWeld{Rating: 4, Unfused: true}, "failed, cracked or not melted in"},
		{chartWeld{Rating: 5, Test: "failed"}, "failed, cracked or not melted in"}, {chartWeld{Test: "failed"}, "failed, cracked or not melted in"},
	} {
		if got := grades[c.w.grade()].words; got != c.want {
			t.Errorf("%+v is drawn as %q, want %q", c.w, got, c.want)
		}
	}
	for rating, name := range ratingNames[1:] {
		if got := grades[chartWeld{Rating: procedures.Count(rating + 1)}.grade()].words; got != name {
			t.Errorf("the legend says %q, the log %q", got, name)
		}
	}
}

// luminance is the relative luminance of WCAG 2.1.
func luminance(c color.Color) float64 {
	r, g, b, _ := c.RGBA()
	linear := func(v uint32) float64 {
		s := float64(v) / 0xffff
		if s <= 0.04045 {
			return s / 12.92
		}
		return math.Pow((s+0.055)/1.055, 2.4)
	}
	return 0.2126*linear(r) + 0.7152*linear(g) + 0.0722*linear(b)
}

// TestChartWelds: the welds of this job on this machine are shown, from the last
// change of its output on; what is left out is counted.
func TestChartWelds(t *testing.T) {
	job := procedures.Job{Joint: procedures.Tee, Weld: procedures.Fillet, Position: procedures.Flat, Steel: "mild", SteelGroup: "I",
		Wire: recommend.ExampleWire(), Process: procedures.FCAWS}
	states := []procedures.State{{ID: "s1", Kind: procedures.Original}, {ID: "s2", Kind: procedures.Output}, {ID: "s3", Kind: procedures.Feed}}
	m := recommend.ExampleMachine(procedures.FCAWS)
	m.Name, m.Example, m.State = "shed", false, states[2]
	weld := func(mark, state string, mm procedures.MM, change func(*procedures.Weld)) procedures.Weld {
		w := procedures.Weld{Mark: mark, Job: job, Settings: procedures.Settings{WireSpeed: 2.5, Tap: "high"}, Outcome: procedures.Outcome{Rating: 4}}
		w.Job.Thickness, w.Job.Machine, w.Job.State = mm, "shed", state
		if change != nil {
			change(&w)
		}
		return w
	}
	history := recommend.History{
		weld("A1", "s1", 3, nil), // before the output changed
		weld("A2", "s2", 3, nil),
		weld("A3", "s3", 3, func(w *procedures.Weld) { w.Outcome.Tests = []procedures.Test{{Kind: "bend", Passed: true}} }),
		weld("A4", "s3", 3, func(w *procedures.Weld) {
			w.Outcome.Tests = []procedures.Test{{Kind: "bend", Passed: false}, {Kind: "etch", Passed: true}}
		}),
		weld("A5", "s3", 20, nil), // outside the tables
		weld("A6", "s3", 3, func(w *procedures.Weld) { w.Job.Joint = procedures.Lap }),
		weld("A7", "s3", 3, func(w *procedures.Weld) { w.Job.Position = procedures.Overhead }),
		weld("A8", "s3", 3, func(w *procedures.Weld) { w.Job.Class = "E71T-GS" }),
		weld("A9", "s3", 3, func(w *procedures.Weld) { w.Job.Machine = "barn" }),
		weld("A10", "s3", 3, func(w *procedures.Weld) { w.Settings.WireSpeed = 0 }),
		weld("A11", "s3", 6, func(w *procedures.Weld) { w.Job.OtherThickness = 4 }),
	}
	c := thicknessChart{Job: job, machine: m, units: procedures.US, Points: []recommend.CurvePoint{
		{Thickness: 1, Table: 2, WireSpeed: 2, Low: 1.8, High: 2.2, Verdict: recommend.Inside},
		{Thickness: 7, Table: 2.8, WireSpeed: 3, Low: 2, High: 4, Verdict: recommend.Edge},
		{Thickness: 9, Verdict: recommend.Outside, Why: "Too thick."}}}
	c.takeWelds(recommend.Shop{{Machine: m, States: states}}, history)
	var got []string
	for _, w := range c.Welds {
		got = append(got, w.Mark+" "+w.Test)
	}
	if want := []string{"A2 ", "A3 passed", "A4 failed", "A11 "}; !slices.Equal(got, want) {
		t.Errorf("shown: %q, want %q", got, want)
	}
	if last := c.Welds[len(c.Welds)-1]; last.Thickness != 4 {
		t.Errorf("a part of 6 mm on one of 4: drawn at %v mm", last.Thickness)
	}
	notes := strings.Join(c.Notes, "\n")
	for _, want := range []string{"4 welds of this job on shed", "1 weld of this job from before the last change", "1 weld of this job on a thickness outside",
		"Near a limit, so coupon first and break it: at 0.276 in", "Thicker than that: Too thick."} {
		if !strings.Contains(notes, want) {
			t.Errorf("the notes do not say %q:\n%s", want, notes)
		}
	}
}

// TestChartLeavesNothing: where a chart cannot be written nothing of it stays,
// and what was there stays as it was.
func TestChartLeavesNothing(t *testing.T) {
	dir := chartShop(t)
	full := filepath.Join(dir, "full.svg")
	if err := os.Mkdir(full, 0o700); err != nil {
		t.Fatal(err)
	}
	kept := filepath.Join(full, "kept.svg")
	if err := os.WriteFile(kept, []byte("mine"), 0o600); err != nil {
		t.Fatal(err)
	}
	before := tree(t, dir)
	for _, c := range []struct {
		status int
		file   string
		flags  []string
	}{
		{1, filepath.Join(dir, "nowhere", "tee.svg"), nil},
		{1, filepath.Join(kept, "tee.svg"), nil}, // below a file
		{1, full, []string{"--force"}},           // a folder
		{2, full, nil},
		{2, kept, nil},
		{2, filepath.Join(dir, "tee"), nil},
		{2, filepath.Join(dir, "tee.jpeg"), nil},
		{2, "", nil},
		{2, ".svg.txt", nil},
		{3, filepath.Join(dir, "hitch.svg"), []string{"for", "a", "trailer", "hitch"}},
	} {
		status, _, complaint := attempt(append([]string{"chart", "thickness", c.file, "tee", "flat"}, c.flags...)...)
		if status != c.status {
			t.Errorf("%q %v: status %d, want %d: %s", c.file, c.flags, status, c.status, complaint)
		}
		if status == 1 && !strings.Contains(complaint, c.file) || strings.Contains(complaint, ".chart-") {
			t.Errorf("%q: does not name the file: %s", c.file, complaint)
		}
	}
	if after := tree(t, dir); !slices.Equal(before, after) {
		t.Errorf("before: %v\nafter: %v", before, after)
	}
}

// tree lists the files below a folder with their sizes, the notebook left out.
func tree(t *testing.T, dir string) (all []string) {
	t.Helper()
	err := filepath.Walk(dir, func(p string, f os.FileInfo, err error) error {
		if err == nil && !strings.Contains(p, "notebook.db") {
			all = append(all, fmt.Sprintf("%s %d", p, f.Size()))
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// TestChartTicks: an axis of any range bears a handful of labels, in order and
// within it.
func TestChartTicks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		few := func(name string, low, high float64, got []plot.Tick) {
			labels, last := map[string]bool{}, math.Inf(-1)
			for _, k := range got {
				if k.Value < low*(1-1e-9) || k.Value > high*(1+1e-9) || k.Value <= last {
					t.Fatalf("%s %v to %v: %+v", name, low, high, got)
				}
				last = k.Value
				if k.Label != "" {
					labels[k.Label] = true
				}
			}
			if len(labels) < 3 || len(labels) > 11 { // 11 is a range of ten steps, both ends counted
				t.Fatalf("%s %v to %v: %d labels: %+v", name, low, high, len(labels), got)
			}
		}
		low := rapid.Float64Range(0.3, 300).Draw(t, "low")
		high := low * rapid.Float64Range(1.2, 20).Draw(t, "high over low")
		few("round", low, high, roundTicks(low, high))
		in := rapid.Float64Range(0.02, 0.5).Draw(t, "inches")
		more := in + rapid.Float64Range(1./16, 1).Draw(t, "more inches")
		few("inch", in, more, inchTicks(in, more))
	})
}

// TestChartTakesAnyName: whatever a machine is called, each format is drawn, no
// line is wider than the sheet, and an SVG stays XML.
func TestChartTakesAnyName(t *testing.T) {
	if racing {
		t.Skip("the race detector looks on, and one process alone takes its time")
	}
	rapid.Check(t, func(t *rapid.T) {
		name := rapid.StringN(1, 60, -1).Draw(t, "name")
		c := thicknessChart{machine: procedures.Machine{Name: name}, units: procedures.US, Job: procedures.Job{Wire: recommend.ExampleWire()},
			Notes: []string{"On " + name + "."}, Points: []recommend.CurvePoint{{Thickness: 1, Table: 2, WireSpeed: 2, Low: 1, High: 3}, {Thickness: 4, Table: 3, WireSpeed: 3, Low: 2, High: 4}}}
		p := newParagraph(letters(11), name)
		for _, l := range p.lines {
			if p.style.Width(l) > sheetWidth-2*sheetEdge {
				t.Fatalf("%q is too wide", l)
			}
		}
		if strings.Join(strings.Fields(strings.Join(p.lines, "")), "") != strings.Join(strings.Fields(paper.Printable(name)), "") {
			t.Fatalf("%q became %q", name, p.lines)
		}
		format := rapid.SampledFrom(chartEndings).Draw(t, "format")
		b, err := c.draw(format)
		if err != nil {
			t.Fatal(err)
		}
		if format == "svg" {
			if err := wellFormed(b); err != nil {
				t.Fatalf("%q: %v", name, err)
			}
		}
	})
}
