package arc_test

import (
	"testing"

	"beadwright/recommend/arc"
)

func BenchmarkWireSpeed(b *testing.B) {
	for b.Loop() {
		arc.WireSpeed(wires[3], 80)
	}
}

func BenchmarkVoltage(b *testing.B) {
	for b.Loop() {
		arc.Voltage(wires[8], "fillet", 100)
	}
}
