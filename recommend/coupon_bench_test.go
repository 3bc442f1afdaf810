package recommend

import (
	"math/rand/v2"
	"testing"
)

// BenchmarkNextCoupons chooses among the stock sizes with 1,000 welds in the notebook.
func BenchmarkNextCoupons(b *testing.B) {
	m := measured()
	w := simulated{rand.New(rand.NewPCG(1, 6)), map[any]float64{}}
	h := w.log(b, m, 1000)
	r := couponRequest(b, "1/8 mild tee flat", m)
	for b.Loop() {
		if _, choices, err := NextCoupons(r, h, nil); err != nil || len(choices) == 0 {
			b.Fatal(err)
		}
	}
}
