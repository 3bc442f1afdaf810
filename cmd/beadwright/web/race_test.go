//go:build race

package web

// Under the race detector the browser waits ten times as long for each page, and
// the same handlers are raced by the other tests.
func init() { racing = true }
