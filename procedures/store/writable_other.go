//go:build !linux

package store

import (
	"os"
	"syscall"
)

// writable tells whether a file or folder is marked as one to be written.
func writable(path string) error {
	info, err := os.Stat(path)
	if err == nil && info.Mode().Perm()&0o222 == 0 {
		err = syscall.EACCES
	}
	return err
}
