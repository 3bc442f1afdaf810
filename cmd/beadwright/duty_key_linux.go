package main

import (
	"os"
	"syscall"
	"unsafe"
)

// singleKeys has a terminal hand over each key as it is pressed and not write it,
// so that the space bar works. Ctrl-C still ends the program. restore puts the
// terminal back as it was.
func singleKeys(f *os.File) (restore func(), err error) {
	var was syscall.Termios
	if err := terminal(f, syscall.TCGETS, &was); err != nil {
		return nil, err
	}
	single := was
	single.Lflag &^= syscall.ICANON | syscall.ECHO
	single.Cc[syscall.VMIN], single.Cc[syscall.VTIME] = 1, 0
	if err := terminal(f, syscall.TCSETS, &single); err != nil {
		return nil, err
	}
	return func() { _ = terminal(f, syscall.TCSETS, &was) }, nil
}

func terminal(f *os.File, request uintptr, t *syscall.Termios) error {
	if _, _, errno := syscall.Syscall(syscall.SYS_IOCTL, f.Fd(), request, uintptr(unsafe.Pointer(t))); errno != 0 {
		return errno
	}
	return nil
}
