package main

import (
	"archive/tar"
	"archive/zip"
	"bytes"
	"compress/gzip"
	"fmt"
	"io"
	"io/fs"
	"path"
	"slices"
	"strings"
	"time"
)

// packed is one file of an archive.
type packed struct {
	name string // with folders, "/" between
	text []byte
	runs bool // may be run
}

func (p packed) mode() int64 {
	if p.runs {
		return 0o755
	}
	return 0o644
}

// pack packs files into one folder: as zip where the name ends so, else as tar.gz.
// The bytes depend on names, contents and time alone: files are in the order of
// their names, all of that time, and belong to nobody.
func pack(name, folder string, files []packed, when time.Time) ([]byte, error) {
	files = slices.Clone(files)
	slices.SortFunc(files, func(a, b packed) int { return strings.Compare(a.name, b.name) })
	var b bytes.Buffer
	var err error
	if strings.HasSuffix(name, ".zip") {
		err = zipped(&b, folder, files, when)
	} else {
		err = tarred(&b, folder, files, when)
	}
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	return b.Bytes(), nil
}

func tarred(w io.Writer, folder string, files []packed, when time.Time) error {
	z, err := gzip.NewWriterLevel(w, gzip.BestCompression) // without a name or a time of its own
	if err != nil {
		return err
	}
	t := tar.NewWriter(z)
	for _, f := range files {
		err := t.WriteHeader(&tar.Header{
			Typeflag: tar.TypeReg, Format: tar.FormatUSTAR, Name: path.Join(folder, f.name), Mode: f.mode(), Size: int64(len(f.text)), ModTime: when,
		})
		if err != nil {
			return err
		}
		if _, err := t.Write(f.text); err != nil {
			return err
		}
	}
	if err := t.Close(); err != nil {
		return err
	}
	return z.Close()
}

func zipped(w io.Writer, folder string, files []packed, when time.Time) error {
	z := zip.NewWriter(w)
	for _, f := range files {
		h := &zip.FileHeader{Name: path.Join(folder, f.name), Method: zip.Deflate, Modified: when.UTC()}
		h.SetMode(fs.FileMode(f.mode()))
		to, err := z.CreateHeader(h)
		if err != nil {
			return err
		}
		if _, err := to.Write(f.text); err != nil {
			return err
		}
	}
	return z.Close()
}
