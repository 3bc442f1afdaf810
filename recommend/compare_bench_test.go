package recommend_test

import (
	"testing"

	"beadwright/recommend"
)

func BenchmarkCompare(b *testing.B) {
	var welds bench
	for i := range 400 {
		welds.weld(stateAC, 90+float64(i%40), 1+i%5)
		welds.weld(stateDC, 90+float64(i%41), 1+i%4)
	}
	for b.Loop() {
		compare(welds, recommend.CompareOptions{})
	}
}
