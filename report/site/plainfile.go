package site

import (
	"errors"
	"io"
	"io/fs"
	"os"
)

// ErrTooLong says that a file is longer than it may be.
var ErrTooLong = errors.New("it is too long")

// ReadPlain reads a file that is no folder, pipe or device, and no longer than
// it may be. Its errors do not name the file.
func ReadPlain(path string, most int64) ([]byte, error) {
	info, err := os.Stat(path) // before it is opened: a pipe would wait for its other end
	switch {
	case err != nil:
		return nil, withoutPath(err)
	case info.IsDir():
		return nil, errors.New("it is a folder")
	case !info.Mode().IsRegular():
		return nil, errors.New("it is not a plain file")
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, withoutPath(err)
	}
	defer f.Close()
	return ReadBounded(f, most)
}

// ReadBounded reads to the end, or to one that comes too late.
func ReadBounded(r io.Reader, most int64) ([]byte, error) {
	b, err := io.ReadAll(io.LimitReader(r, most+1))
	if err == nil && int64(len(b)) > most {
		err = ErrTooLong
	}
	return b, withoutPath(err)
}

// withoutPath is an error of the file system less the path. One that there is
// no file remains one.
func withoutPath(err error) error {
	if known := (*fs.PathError)(nil); errors.As(err, &known) {
		return known.Err
	}
	return err
}
