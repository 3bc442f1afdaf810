package store_test

import (
	"runtime"
	"strings"
	"time"
)

// leftOver lists the goroutines that do not end, besides the one that asks and the
// one that hands out signals, which Go never stops. They are given a while.
func leftOver() (left string) {
	for range 200 {
		stacks := make([]byte, 1<<20)
		stacks = stacks[:runtime.Stack(stacks, true)]
		var list []string
		for _, s := range strings.Split(string(stacks), "\n\n")[1:] {
			if !strings.Contains(s, "os/signal.") {
				list = append(list, s)
			}
		}
		if left = strings.Join(list, "\n\n"); left == "" {
			return ""
		}
		time.Sleep(10 * time.Millisecond)
	}
	return left
}
