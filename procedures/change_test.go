package procedures

import "testing"

func TestTouchesFeeder(t *testing.T) {
	for what, want := range map[string]bool{
		"new contact tip": false, "new clamp": false, "new work clamp and ground cable": false, "longer leads": false, "20 A outlet": false,
		"new liner": true, "new liner and tip": true, "drive roll": true, "new gun lead": true, "rectifier and capacitors fitted": true, "cleaned it": true, "": true, "Tips, all new": true,
	} {
		if got := TouchesFeeder(what); got != want {
			t.Errorf("%q: %v", what, got)
		}
	}
	for what, want := range map[string]bool{"new liner and tip": true, "tips": true, "tipped over": false, "clamp": false} {
		if got := TouchesTip(what); got != want {
			t.Errorf("tip in %q: %v", what, got)
		}
	}
}

func TestRebuilds(t *testing.T) {
	for what, want := range map[string]bool{
		"bridge and caps, now DC": true, "fitted a recitfier": true, "AC to DC": true, "converted to DC": true, "ac/dc": true, "Rebuilt to DC": true, "4 diodes": true, "capasitors": true, "new rectifier": true,
		"new liner": false, "on the fridge circuit": false, "new gun, DCEN as it was": false, "bought new": false, "leads swapped": false, "": false, "feeder cleaned": false,
	} {
		if got := Rebuilds(what); got != want {
			t.Errorf("%q: %v", what, got)
		}
	}
}
