//go:build !(linux || darwin || freebsd || netbsd || openbsd || dragonfly || windows)

package main

import (
	"errors"
	"os"
	"syscall"
)

const lockInside = false

// lockFolder cannot lock a folder here.
func lockFolder(string) (*os.File, error) { return nil, errors.ErrUnsupported }

// lockFile cannot lock a file here.
func lockFile(*os.File) error { return errors.ErrUnsupported }

// pipeGone reports whether a write failed because nobody reads any more.
func pipeGone(err error) bool { return errors.Is(err, syscall.EPIPE) }
