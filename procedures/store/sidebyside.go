package store

import "sync"

// sideBySide runs do with 0 up to n-1 at once, 0 in this goroutine, and returns when all
// have returned. What one of the others panics with, this one does: it is caught here.
func sideBySide(n int, do func(i int)) {
	var others sync.WaitGroup
	fell := make(chan any, n)
	for i := 1; i < n; i++ {
		others.Go(func() {
			defer func() {
				if p := recover(); p != nil {
					fell <- p
				}
			}()
			do(i)
		})
	}
	if n > 0 {
		do(0)
	}
	others.Wait()
	if len(fell) > 0 {
		panic(<-fell)
	}
}
