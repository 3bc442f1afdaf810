package joint_test

import (
	"strings"
	"testing"

	"beadwright/procedures"
	"beadwright/recommend/joint"
)

// AWS D1.1 does not judge what it does not reach to, and what is left out is said.
func TestJudgeLeavesOut(t *testing.T) {
	sheet := joint.Flaw{Undercut: 0.4, Thickness: 1.5, Weld: procedures.Fillet}
	for _, c := range []struct {
		name string
		f    joint.Flaw
		d11  bool
		left string // among what is left out
	}{
		{"16 ga", sheet, false, "does not reach below 1/8 in"},
		{"a leg on 16 ga", joint.Flaw{Leg: 1.5, Asked: 2, Thickness: 1.5, Weld: procedures.Fillet}, false, "does not reach below 1/8 in"},
		{"1/8 in", joint.Flaw{Undercut: 0.4, Thickness: 3.175, Weld: procedures.Fillet}, true, ""},
		{"a leg, thickness not said", joint.Flaw{Leg: 1.5, Asked: 2, Weld: procedures.Fillet}, true, "say the thickness"},
		{"pores", joint.Flaw{Pores: []procedures.MM{2}, Thickness: 6, Throat: 4, Weld: procedures.Fillet}, true, "only the worst inch was said"},
		{"pores, cyclic", joint.Flaw{Pores: []procedures.MM{2}, Thickness: 6, Throat: 4, Weld: procedures.Fillet, Loading: joint.Cyclic}, true, "counts pores in 4 in"},
		{"a butt, cyclic", joint.Flaw{Pores: []procedures.MM{2}, Thickness: 6, Weld: procedures.SquareGroove, Loading: joint.Cyclic}, false, "no row for it"},
		{"a butt across the pull, cyclic", joint.Flaw{Pores: []procedures.MM{2}, Thickness: 6, Weld: procedures.SquareGroove, Loading: joint.Cyclic, Across: true}, true, ""},
	} {
		list, err := joint.Judge(c.f)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		d11 := false
		for _, j := range list {
			d11 = d11 || j.By == "AWS D1.1"
		}
		left := strings.Join(c.f.LeftOut(), "; ")
		if d11 != c.d11 || !strings.Contains(left, c.left) || c.left == "" && left != "" {
			t.Errorf("%s: by D1.1 %v, left out %q", c.name, d11, left)
		}
	}
}

// A leg that is over what was asked is said to be, and a sum of pores which it is.
func TestJudgeSays(t *testing.T) {
	over, err := joint.Judge(joint.Flaw{Leg: 6.35, Asked: 4.7625, Weld: procedures.Fillet})
	if err != nil || len(over) != 1 || !over[0].Within || over[0].Since != "not undersized: over what was asked by 1/16 in (1.6 mm)" {
		t.Errorf("%+v, %v", over, err)
	}
	pores, err := joint.Judge(joint.Flaw{Pores: []procedures.MM{4.7625, 3.175, 0.5}, Thickness: 12, Throat: 12, Weld: procedures.Fillet})
	if err != nil || !pores[0].Within || !strings.Contains(pores[0].Why, "here 5/16 in") || strings.Contains(pores[0].Why, "both") {
		t.Errorf("%+v, %v", pores, err)
	}
}
