//go:build !linux

package main

import (
	"errors"
	"os"
)

// singleKeys is for Linux alone: elsewhere the input comes in lines, and Enter does
// what the space bar would.
func singleKeys(*os.File) (restore func(), err error) { return nil, errors.ErrUnsupported }
