package store

import "testing"

func TestSideBySide(t *testing.T) {
	for _, n := range []int{0, 1, 2, 9} {
		done := make([]int, n)
		sideBySide(n, func(i int) { done[i]++ })
		for i, times := range done {
			if times != 1 {
				t.Errorf("%d of %d ran %d times", i, n, times)
			}
		}
		for bad := range n {
			func() {
				defer func() {
					if p := recover(); p != bad {
						t.Errorf("%d of %d panicked, and %v came here", bad, n, p)
					}
				}()
				sideBySide(n, func(i int) {
					if i == bad {
						panic(i)
					}
				})
			}()
		}
	}
}
