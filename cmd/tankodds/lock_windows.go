package main

import (
	"errors"
	"os"
	"path/filepath"
	"syscall"
	"unsafe"
)

// lockName is the file that stands for the lock of a folder. Windows lets nobody
// else open it while it is open, and takes it away with the process.
const lockName = ".tankodds-lock"

// lockInside: the lock is a file in the folder, which is not empty until unlocked.
const lockInside = true

// Values of Microsoft's winbase.h, winerror.h and minwinbase.h.
const (
	deleteOnClose    = 0x04000000 // FILE_FLAG_DELETE_ON_CLOSE
	sharingViolation = syscall.Errno(32)
	lockViolation    = syscall.Errno(33)
	lockExclusive    = 2 // LOCKFILE_EXCLUSIVE_LOCK
	lockAtOnce       = 1 // LOCKFILE_FAIL_IMMEDIATELY
	pipeBroken       = syscall.Errno(109)
	pipeClosing      = syscall.Errno(232)
	pipeNotConnected = syscall.Errno(233)
)

// lockFolder locks a folder for one run. The lock ends with the process,
// however that ends. errBusy says that another run has it; another error, that
// the file system knows no locks.
func lockFolder(dir string) (*os.File, error) {
	path := filepath.Join(dir, lockName)
	name, err := syscall.UTF16PtrFromString(path)
	if err != nil {
		return nil, err
	}
	h, err := syscall.CreateFile(name, syscall.GENERIC_READ|syscall.GENERIC_WRITE, 0, nil, syscall.OPEN_ALWAYS, syscall.FILE_ATTRIBUTE_HIDDEN|deleteOnClose, 0)
	if errors.Is(err, sharingViolation) {
		return nil, errBusy
	}
	if err != nil {
		return nil, err
	}
	return os.NewFile(uintptr(h), path), nil
}

var lockFileEx = syscall.NewLazyDLL("kernel32.dll").NewProc("LockFileEx")

// lockFile does the same for a file that is open. What is locked is a byte beyond
// the end of any file, for Windows keeps others from reading what is locked.
func lockFile(f *os.File) error {
	beyond := syscall.Overlapped{OffsetHigh: 1 << 30}
	done, _, err := lockFileEx.Call(f.Fd(), lockExclusive|lockAtOnce, 0, 1, 0, uintptr(unsafe.Pointer(&beyond)))
	switch {
	case done != 0:
		return nil
	case errors.Is(err, lockViolation):
		return errBusy
	}
	return err
}

// pipeGone reports whether a write failed because nobody reads any more.
func pipeGone(err error) bool {
	return errors.Is(err, pipeBroken) || errors.Is(err, pipeClosing) || errors.Is(err, pipeNotConnected)
}
