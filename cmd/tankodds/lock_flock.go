//go:build linux || darwin || freebsd || netbsd || openbsd || dragonfly

package main

import (
	"errors"
	"os"
	"syscall"
)

// lockInside: the lock is on the folder itself.
const lockInside = false

// lockFolder locks a folder for one run. The lock ends with the process,
// however that ends. errBusy says that another run has it; another error, that
// the file system knows no locks.
func lockFolder(dir string) (*os.File, error) {
	f, err := os.Open(dir)
	if err != nil {
		return nil, err
	}
	if err := lockFile(f); err != nil {
		f.Close()
		return nil, err
	}
	return f, nil
}

// lockFile does the same for a file that is open.
func lockFile(f *os.File) error {
	err := syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB)
	if errors.Is(err, syscall.EWOULDBLOCK) {
		return errBusy
	}
	return err
}

// pipeGone reports whether a write failed because nobody reads any more.
func pipeGone(err error) bool { return errors.Is(err, syscall.EPIPE) }
