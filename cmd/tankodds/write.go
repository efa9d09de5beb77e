package main

import (
	"bufio"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"

	"tankodds/report"
)

// folder is an output folder being filled. Files are written to a hidden
// folder inside it and moved to their places together by commit; whatever
// stops the work before that leaves the folder as it was.
//
//	out, err := openFolder(dir) // before the long run: can it be written?
//	defer out.discard()
//	err = out.write("curves.csv", func(w io.Writer) error { … })
//	err = out.commit(ctx)
type folder struct {
	dir   string
	temp  string              // "" once committed or discarded
	made  []string            // the folders that did not exist before, outermost first
	files []report.FileDigest // the files written, in order
	keep  bool                // refuse to overwrite a file that exists
}

// openFolder creates the folder where it does not exist and makes sure that
// files can be written there.
func openFolder(dir string) (*folder, error) {
	f := &folder{dir: dir}
	for d := filepath.Clean(dir); ; d = filepath.Dir(d) {
		if _, err := os.Lstat(d); !errors.Is(err, fs.ErrNotExist) {
			break
		}
		f.made = slices.Insert(f.made, 0, d)
	}
	err := os.MkdirAll(dir, 0o777)
	if err == nil {
		f.temp, err = os.MkdirTemp(dir, ".tankodds-")
	}
	if err != nil {
		f.discard()
		return nil, cannot("choose a folder that can be written", "%s cannot be written: %s", dir, cause(err))
	}
	return f, nil
}

// path returns where the file of that name will be.
func (f *folder) path(name string) string { return filepath.Join(f.dir, name) }

// write writes one file through fill. name has no folder in it.
func (f *folder) write(name string, fill func(io.Writer) error) error {
	file, err := os.OpenFile(filepath.Join(f.temp, name), os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return cannot("", "%s cannot be written: %s", f.path(name), cause(err))
	}
	sum := sha256.New()
	w := bufio.NewWriter(io.MultiWriter(file, sum))
	if err = fill(w); err == nil {
		err = w.Flush()
	}
	if e := file.Close(); err == nil {
		err = e
	}
	if err != nil {
		return &problem{code: exitFailed, text: f.path(name) + " cannot be written: " + cause(err), err: err}
	}
	f.files = append(f.files, report.FileDigest{Name: name, SHA256: hex.EncodeToString(sum.Sum(nil))})
	return nil
}

// commit moves the files to their places, unless the work was interrupted or
// one of the places is taken by what must not be replaced.
func (f *folder) commit(ctx context.Context) error {
	defer f.discard()
	if err := ctx.Err(); err != nil {
		return err
	}
	for _, file := range f.files {
		name := file.Name
		there, err := os.Lstat(f.path(name))
		switch {
		case err == nil && f.keep:
			return cannot("remove it or choose another folder", "%s exists and is not overwritten", f.path(name))
		case err == nil && there.IsDir():
			return cannot("choose another folder", "%s is a folder", f.path(name))
		}
	}
	for _, file := range f.files {
		name := file.Name
		if err := os.Rename(filepath.Join(f.temp, name), f.path(name)); err != nil {
			return cannot("", "%s cannot be written: %s", f.path(name), cause(err))
		}
		f.made = nil // the folder now holds something
	}
	return nil
}

// discard removes what is not in its place yet, and the folders that were
// made for it. After commit it does nothing.
func (f *folder) discard() {
	if f == nil {
		return
	}
	if f.temp != "" {
		os.RemoveAll(f.temp)
		f.temp = ""
	}
	for _, d := range slices.Backward(f.made) {
		os.Remove(d) // fails where somebody else put a file there: right
	}
	f.made = nil
}

// cause words an error of the file system without the path, which the
// message names already.
func cause(err error) string {
	var path *fs.PathError
	var link *os.LinkError
	switch {
	case errors.As(err, &path):
		return path.Err.Error()
	case errors.As(err, &link):
		return link.Err.Error()
	}
	return err.Error()
}
