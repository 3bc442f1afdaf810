//go:build race

package main

// Under the race detector a run of the program takes ten times as long, and what
// other processes do is not seen.
func init() { racing = true }
