package paper

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgimg"

	"beadwright/procedures"
)

func joint(j procedures.Joint, w procedures.WeldType, t, other, leg, gap float64) procedures.Procedure {
	return procedures.Procedure{Job: procedures.Job{Joint: j, Weld: w, Thickness: procedures.Inches(t), OtherThickness: procedures.Inches(other), Gap: procedures.Inches(gap), Process: procedures.FCAWS},
		Settings: procedures.Settings{Leg: procedures.Inches(leg)}}
}

// joints are one of each kind.
func joints() map[string]procedures.Procedure {
	return map[string]procedures.Procedure{
		"a tee": joint(procedures.Tee, procedures.Fillet, 1./8, 3./16, 1./8, 0), "b tee with a gap": joint(procedures.Tee, procedures.Fillet, 1./8, 0, 1./8, 1./16),
		"c lap": joint(procedures.Lap, procedures.Fillet, 0.0598, 1./8, 0.0598, 0), "d butt": joint(procedures.Butt, procedures.SquareGroove, 1./8, 0, 0, 1./16), "e closed butt": joint(procedures.Butt, procedures.SquareGroove, 0.0598, 0, 0, 0),
		"f vee": joint(procedures.Butt, procedures.VGroove, 3./16, 1./4, 0, 1./16), "g corner": joint(procedures.Corner, procedures.Fillet, 1./8, 3./16, 1./8, 0), "h edge": joint(procedures.Edge, procedures.EdgeWeld, 1./8, 3./16, 0, 0),
		"i plate": joint("", procedures.BeadOnPlate, 1./8, 0, 0, 0), "j plug": joint(procedures.Lap, procedures.Plug, 0.0598, 1./8, 0, 0),
	}
}

// TestLook draws every joint on one sheet, for the eye: LOOK=FOLDER go test -run TestLook
func TestLook(t *testing.T) {
	dir := os.Getenv("LOOK")
	if dir == "" {
		t.Skip("for the eye alone: set LOOK to a folder")
	}
	for _, u := range []procedures.Units{procedures.US, procedures.Metric} {
		to := vgimg.PngCanvas{Canvas: vgimg.NewWith(vgimg.UseWH(2*SketchWidth, 5*SketchHeight), vgimg.UseDPI(110))}
		c := draw.NewCanvas(to, 2*SketchWidth, 5*SketchHeight)
		for i, name := range sorted(joints()) {
			at := vg.Point{X: vg.Length(i%2) * SketchWidth, Y: vg.Length(4-i/2) * SketchHeight}
			part := c
			part.Rectangle = vg.Rectangle{Min: at, Max: vg.Point{X: at.X + SketchWidth, Y: at.Y + SketchHeight}}
			Sketch(part, joints()[name], u)
		}
		var b bytes.Buffer
		if _, err := to.WriteTo(&b); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, string(u)+".png"), b.Bytes(), 0o600); err != nil {
			t.Fatal(err)
		}
	}
}

// TestLookPages writes the document of every block as PDF, for the eye.
func TestLookPages(t *testing.T) {
	dir := os.Getenv("LOOK")
	if dir == "" {
		t.Skip("for the eye alone: set LOOK to a folder")
	}
	for _, format := range Formats() {
		b, err := sample(Letter).As(format)
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, "sample."+format), b, 0o600); err != nil {
			t.Fatal(err)
		}
	}
}
