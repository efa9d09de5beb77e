//go:build !(linux || darwin || freebsd || netbsd || openbsd || dragonfly)

package main

import (
	"errors"
	"os"
)

// lockFolder cannot lock a folder here.
func lockFolder(string) (*os.File, error) { return nil, errors.ErrUnsupported }

// lockFile cannot lock a file here.
func lockFile(*os.File) error { return errors.ErrUnsupported }
