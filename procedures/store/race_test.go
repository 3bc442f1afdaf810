//go:build race

package store_test

// SQLite without C runs twenty times as long under the race detector, and what one
// goroutine does with a spoiled file cannot race.
func init() { racing = true }
