package store

import "syscall"

// writable tells whether this user may write to a file or in a folder, without
// opening it.
func writable(path string) error {
	const (
		workingFolder = -100  // AT_FDCWD
		asEffective   = 0x200 // AT_EACCESS
		toWrite       = 2     // W_OK
	)
	return syscall.Faccessat(workingFolder, path, toWrite, asEffective)
}
