package main

import (
	"bufio"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"time"

	"tankodds/report"
	"tankodds/report/codec"
)

// folder is an output folder being filled. Files are written to a hidden
// folder inside it and moved to their places together by commit; whatever
// stops the work before that leaves the folder as it was.
//
//	out, err := openFolder(dir) // before the long run: can it be written?
//	defer out.discard()
//	err = out.write("curves.csv", func(w io.Writer) error { … })
//	err = out.commit(ctx)
//
// What one run wrote is one set, listed by its manifest, which is moved aside
// first and put into its place last: files with a manifest are all of one run.
// Of the set before it nothing stays, but for what somebody changed since.
type folder struct {
	dir   string
	lock  *os.File            // nil where the file system knows no locks
	made  []string            // the folders that did not exist before, outermost first
	files []report.FileDigest // the files written, in order
	keep  bool                // refuse to overwrite a file that exists; no manifest
	left  []string            // after commit: what else the folder holds

	workers int // cores that files may be made on, 0 for all

	mu   sync.Mutex
	temp string // "" once committed or discarded
	done bool   // committed
}

var errBusy = errors.New("another run of tankodds is writing there")

// The hidden folder, and within it the one that holds what was there before
// while the new files are moved in.
const (
	hiddenPattern = ".tankodds-*"
	asideName     = ".before"
)

var hiddenName = regexp.MustCompile(`^\.tankodds-[0-9]+$`)

// staleAfter is how old a hidden folder must be to be a dead run's, where no
// lock can tell.
const staleAfter = 24 * time.Hour

// openFolder creates the folder where it does not exist, makes sure that files
// can be written there and takes away what a run that was killed left.
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
		if f.lock, err = lockFolder(dir); errors.Is(err, errBusy) {
			f.made = nil
			return nil, cannot("wait for it, or choose another folder", "%s: %v", dir, err)
		}
		f.clean()
		f.temp, err = os.MkdirTemp(dir, hiddenPattern)
	}
	if err != nil {
		f.discard()
		return nil, cannot("choose a folder that can be written", "%s cannot be written: %s", dir, cause(err))
	}
	return f, nil
}

// clean removes the hidden folders of runs that were killed, once what they
// had begun to replace is back in its place.
func (f *folder) clean() {
	entries, _ := os.ReadDir(f.dir)
	for _, e := range entries {
		if !e.IsDir() || !hiddenName.MatchString(e.Name()) {
			continue
		}
		if info, err := e.Info(); f.lock == nil && (err != nil || time.Since(info.ModTime()) < staleAfter) {
			continue
		}
		stale := filepath.Join(f.dir, e.Name())
		if restore(stale, f.dir) == nil {
			os.RemoveAll(stale)
		}
	}
}

// path returns where the file of that name will be.
func (f *folder) path(name string) string { return filepath.Join(f.dir, name) }

// write writes one file through fill. name has no folder in it.
func (f *folder) write(name string, fill func(io.Writer) error) error {
	if !f.keep && !mayWrite(name) {
		return fmt.Errorf("internal fault: %s is not among the files that a run may write", name)
	}
	file, err := f.create(name)
	if err != nil {
		return cannot("", "%s cannot be written: %s", f.path(name), cause(err))
	}
	sum := sha256.New()
	all := io.MultiWriter(file, sum)
	text := codec.Visible(all)
	w := bufio.NewWriter(text)
	if ext := filepath.Ext(name); ext == ".pdf" || ext == ".png" {
		w.Reset(all)
	}
	if err = fill(w); err == nil {
		err = w.Flush()
	}
	if e := text.Close(); err == nil {
		err = e
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

// create creates a file in the hidden folder, unless that was discarded.
func (f *folder) create(name string) (*os.File, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.temp == "" {
		return nil, context.Canceled
	}
	return os.OpenFile(filepath.Join(f.temp, name), os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
}

// commit moves the files to their places and takes away what the manifest of
// the run before lists beside them, unless the work was interrupted or one of
// the places is taken by what must not be replaced. It does all of it or
// nothing.
func (f *folder) commit(ctx context.Context) error {
	f.mu.Lock()
	defer f.mu.Unlock()
	defer f.drop()
	if err := ctx.Err(); err != nil {
		return err
	}
	if f.temp == "" {
		return context.Canceled
	}
	before, err := f.before()
	if err != nil {
		return err
	}
	if err := os.WriteFile(filepath.Join(f.temp, manifestName), []byte(manifestText(f.files)), 0o666); err != nil {
		return cannot("", "%s cannot be written: %s", f.path(manifestName), cause(err))
	}
	if err := f.swap(before); err != nil {
		if restore(f.temp, f.dir) != nil {
			f.temp = "" // it holds what was there before: left for the next run
		}
		return cannot("", "%s cannot be written: %s", f.held(err), cause(err))
	}
	f.done, f.made = true, nil // the folder now holds something
	f.look()
	return nil
}

// before returns what has to make room, the manifest first: the files that are
// written anew and those that are listed, not written and as they were.
func (f *folder) before() ([]string, error) {
	var out []string
	for _, file := range f.files {
		there, err := os.Lstat(f.path(file.Name))
		switch {
		case err != nil:
		case f.keep:
			return nil, cannot("remove it or choose another folder", "%s exists and is not overwritten", f.path(file.Name))
		case there.IsDir():
			return nil, cannot("choose another folder", "%s is a folder", f.path(file.Name))
		default:
			out = append(out, file.Name)
		}
	}
	if f.keep {
		return nil, nil
	}
	listed, err := f.listed()
	for _, old := range listed {
		if !slices.Contains(out, old.Name) && hasSum(f.path(old.Name), old.SHA256) {
			out = append(out, old.Name)
		}
	}
	if listed != nil {
		out = slices.Insert(out, 0, manifestName)
	}
	return out, err
}

// listed reads the manifest of the run before.
func (f *folder) listed() ([]report.FileDigest, error) {
	listed, ok := readManifest(f.dir)
	if !ok {
		return nil, cannot("choose another folder", "%s was not written by tankodds and is not overwritten", f.path(manifestName))
	}
	return listed, nil
}

// swap moves what was there aside and the files of this run in.
func (f *folder) swap(before []string) error {
	aside := filepath.Join(f.temp, asideName)
	if err := os.Mkdir(aside, 0o777); err != nil {
		return err
	}
	for _, name := range before {
		if err := os.Rename(f.path(name), filepath.Join(aside, name)); err != nil {
			return err
		}
	}
	for _, file := range f.files {
		if err := os.Rename(filepath.Join(f.temp, file.Name), f.path(file.Name)); err != nil {
			return err
		}
	}
	if f.keep {
		return os.Remove(filepath.Join(f.temp, manifestName))
	}
	return os.Rename(filepath.Join(f.temp, manifestName), f.path(manifestName))
}

// held is what a swap could not move: the file, which on Windows somebody may
// have open, or else the folder.
func (f *folder) held(err error) string {
	if link := (*os.LinkError)(nil); errors.As(err, &link) {
		return f.path(filepath.Base(link.New))
	}
	return f.dir
}

// restore undoes a swap that stopped before its end, from what lies in the
// hidden folder: its manifest is moved last, so as long as it is there, what
// it lists and is no longer beside it was moved in and is taken out again.
func restore(temp, dir string) error {
	begun, err := os.Open(filepath.Join(temp, manifestName))
	if err != nil {
		return nil
	}
	defer begun.Close()
	lines := bufio.NewScanner(begun)
	for lines.Scan() {
		sum, name, _ := strings.Cut(lines.Text(), "  ")
		if name != filepath.Base(name) {
			continue
		}
		if _, err := os.Lstat(filepath.Join(temp, name)); errors.Is(err, fs.ErrNotExist) && hasSum(filepath.Join(dir, name), sum) {
			if err := os.Remove(filepath.Join(dir, name)); err != nil {
				return err
			}
		}
	}
	aside := filepath.Join(temp, asideName)
	entries, _ := os.ReadDir(aside)
	names := make([]string, 0, len(entries)+1)
	for _, e := range entries {
		if e.Name() != manifestName {
			names = append(names, e.Name())
		}
	}
	if len(names) < len(entries) {
		names = append(names, manifestName) // last: it vouches for the others
	}
	for _, name := range names {
		if err := os.Rename(filepath.Join(aside, name), filepath.Join(dir, name)); err != nil {
			return err
		}
	}
	return nil
}

// look lists what the folder holds beside this run's files.
func (f *folder) look() {
	if f.keep {
		return
	}
	entries, _ := os.ReadDir(f.dir)
	for _, e := range entries {
		name := e.Name()
		own := slices.ContainsFunc(f.files, func(x report.FileDigest) bool { return x.Name == name })
		if !own && name != manifestName && !strings.HasPrefix(name, ".") {
			f.left = append(f.left, name)
		}
	}
}

// mostLeft is how many names of files left alone are told.
const mostLeft = 3

// sayLeft names what else the folder holds: it may look like this run's.
func (f *folder) sayLeft(w io.Writer) {
	if f == nil || len(f.left) == 0 {
		return
	}
	names := slices.Clone(f.left[:min(len(f.left), mostLeft)])
	for i, n := range names {
		names[i] = shortened(n, 40)
	}
	text := strings.Join(names, ", ")
	if more := len(f.left) - len(names); more > 0 {
		text += fmt.Sprintf(" and %d more", more)
	}
	fmt.Fprintf(w, "tankodds: not of this run, and left in %s as before: %s\n", f.dir, text)
}

// discard removes what is not in its place yet, and the folders that were
// made for it, and says whether the files are in their places. After commit
// it does nothing.
func (f *folder) discard() (written bool) {
	if f == nil {
		return false
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	f.drop()
	return f.done
}

func (f *folder) drop() {
	if f.temp != "" {
		os.RemoveAll(f.temp)
		f.temp = ""
	}
	if lockInside {
		f.unlock()
	}
	for _, d := range slices.Backward(f.made) {
		os.Remove(d) // fails where somebody else put a file there: right
	}
	f.made = nil
	f.unlock()
}

func (f *folder) unlock() {
	if f.lock != nil {
		f.lock.Close()
		f.lock = nil
	}
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
