package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// files lists what a folder holds.
func files(t *testing.T, dir string) []string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	names := []string{}
	for _, e := range entries {
		names = append(names, e.Name())
	}
	return names
}

func TestNew(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "a", "pottery")
	stdout := done(t, "new", dir)
	assert.Equal(t, []string{"carrow-hill.csv", "site.yaml"}, files(t, dir))
	site := filepath.Join(dir, "site.yaml")
	assert.Contains(t, stdout, "next: tankodds size "+site+"\n")
	rain, err := os.ReadFile(filepath.Join(dir, "carrow-hill.csv"))
	require.NoError(t, err)
	assert.Equal(t, demoCSV, rain)

	// What is written is what the demo runs, read from the disk.
	p, demo := planned(t, site), planned(t)
	assert.Equal(t, demo.Study, p.Study)
	assert.Equal(t, filepath.Join(dir, "carrow-hill.csv"), p.Record.File)

	// Nothing is overwritten.
	require.NoError(t, os.WriteFile(site, []byte("mine"), 0o666))
	require.NoError(t, os.Remove(filepath.Join(dir, "carrow-hill.csv")))
	stderr := refused(t, exitFailed, "new", dir)
	assert.Equal(t, "tankodds: "+site+" exists and is not overwritten\nhint: remove it or choose another folder\n", stderr)
	mine, err := os.ReadFile(site)
	require.NoError(t, err)
	assert.Equal(t, "mine", string(mine))
	assert.Equal(t, []string{"site.yaml"}, files(t, dir), "no second file either")
}

func TestNewWhereItCannotBe(t *testing.T) {
	file := filepath.Join(t.TempDir(), "file")
	require.NoError(t, os.WriteFile(file, nil, 0o666))
	code, _, stderr := typed(t, "new", filepath.Join(file, "sub"))
	assert.Equal(t, exitFailed, code)
	assert.Equal(t, "tankodds: "+filepath.Join(file, "sub")+" cannot be written: not a directory\nhint: choose a folder that can be written\n", stderr)
	code, _, stderr = typed(t, "new", "")
	assert.Equal(t, exitUsage, code)
	assert.Equal(t, "tankodds: an argument is empty\nhint: usage: tankodds new [DIR]\n", stderr)
}

// wrote runs a folder through the whole of a run that writes files of the
// names and texts given.
func wrote(t *testing.T, dir string, pairs ...string) *folder {
	t.Helper()
	out, err := openFolder(dir)
	require.NoError(t, err)
	defer out.discard()
	for i := 0; i < len(pairs); i += 2 {
		require.NoError(t, out.write(pairs[i], writeText(pairs[i+1])))
	}
	require.NoError(t, out.commit(t.Context()))
	return out
}

func content(t *testing.T, path string) string {
	t.Helper()
	b, err := os.ReadFile(path)
	require.NoError(t, err)
	return string(b)
}

// Files appear together, replace old ones, and not at all where the work
// fails.
func TestFolder(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "curves.csv"), []byte("old"), 0o666))

	out, err := openFolder(dir)
	require.NoError(t, err)
	require.NoError(t, out.write("curves.csv", writeText("new")))
	err = out.write("report.html", func(w io.Writer) error {
		_, _ = io.WriteString(w, "half")
		return errors.New("the pen broke")
	})
	assert.EqualError(t, err, filepath.Join(dir, "report.html")+" cannot be written: the pen broke")
	assert.False(t, out.discard())
	assert.Equal(t, []string{"curves.csv"}, files(t, dir))
	assert.Equal(t, "old", content(t, filepath.Join(dir, "curves.csv")))

	out = wrote(t, dir, "curves.csv", "new", "report.html", "whole")
	assert.True(t, out.discard())
	assert.Equal(t, []string{"SHA256SUMS", "curves.csv", "report.html"}, files(t, dir))
	assert.Equal(t, "new", content(t, filepath.Join(dir, "curves.csv")))

	// sha256sum's own form. The sums are those of "new" and "whole", computed
	// by sha256sum.
	assert.Equal(t, "11507a0e2f5e69d5dfa40a62a1bd7b6ee57e6bcd85c67c9b8431b36fff21c437  curves.csv\n"+
		"5d5766cf2d78701614200418ee1450690d9af12c84d52545e4802f001ad53099  report.html\n", content(t, filepath.Join(dir, manifestName)))
}

// A run replaces the run before as one set: what that one's manifest lists
// goes, unless somebody changed it; the rest is left and named.
func TestFolderOfAnotherRun(t *testing.T) {
	dir := t.TempDir()
	wrote(t, dir, "daily.csv", "days", "evidence.json", "{}", "map.svg", "<svg/>")
	require.NoError(t, os.WriteFile(filepath.Join(dir, "map.svg"), []byte("<svg>my own</svg>"), 0o666))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "notes.txt"), []byte("mine"), 0o666))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "map.png"), []byte("of an older program"), 0o666))

	out := wrote(t, dir, "curves.csv", "curves", "evidence.json", "{1}")
	assert.Equal(t, []string{"SHA256SUMS", "curves.csv", "evidence.json", "map.png", "map.svg", "notes.txt"}, files(t, dir))
	assert.Equal(t, "{1}", content(t, filepath.Join(dir, "evidence.json")))
	var said strings.Builder
	out.sayLeft(&said)
	assert.Equal(t, "tankodds: not of this run, and left in "+dir+" as before: map.png, map.svg, notes.txt\n", said.String())
	assert.NotContains(t, content(t, filepath.Join(dir, manifestName)), "map")

	require.NoError(t, os.WriteFile(filepath.Join(dir, "other.txt"), nil, 0o666))
	said.Reset()
	wrote(t, dir, "curves.csv", "curves").sayLeft(&said)
	assert.Contains(t, said.String(), ": map.png, map.svg, notes.txt and 1 more\n")

	said.Reset()
	wrote(t, t.TempDir(), "curves.csv", "curves").sayLeft(&said)
	assert.Empty(t, said.String())
}

// The sums of what somebody else put there vouch for nothing of ours: nothing
// is removed by them, and they are not overwritten.
func TestFolderWithSumsOfAnother(t *testing.T) {
	dir := t.TempDir()
	sums := "b58cbc9e2d9c2a5ea3b0bb1bb0e0a52a4d4c7a1ad8f2f6f0c0b2d8ad92d3d83b  rain.csv\n"
	require.NoError(t, os.WriteFile(filepath.Join(dir, manifestName), []byte(sums), 0o666))
	stderr := refused(t, exitFailed, "replay", "--tank", "5000L", "--out", dir)
	assert.Equal(t, "tankodds: "+filepath.Join(dir, manifestName)+" was not written by tankodds and is not overwritten\nhint: choose another folder\n", stderr)
	assert.Equal(t, []string{manifestName}, files(t, dir))
	for _, bad := range []string{"", "no sums\n", strings.Replace(sums, "rain.csv", "../report.html", 1), sums[10:], strings.Replace(sums, "rain.csv", "a/report.html", 1)} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, manifestName), []byte(bad), 0o666))
		_, ok := readManifest(dir)
		assert.False(t, ok, "%q", bad)
	}
}

// A swap that stops half-way, by an error or by a kill, leaves what was there.
func TestFolderHalfWay(t *testing.T) {
	dir := t.TempDir()
	wrote(t, dir, "daily.csv", "days", "curves.csv", "old curves", "report.html", "old page")
	before := content(t, filepath.Join(dir, manifestName))
	same := func() {
		t.Helper()
		assert.Equal(t, []string{"SHA256SUMS", "curves.csv", "daily.csv", "report.html"}, files(t, dir))
		assert.Equal(t, before, content(t, filepath.Join(dir, manifestName)))
		assert.Equal(t, "days", content(t, filepath.Join(dir, "daily.csv")))
		assert.Equal(t, "old curves", content(t, filepath.Join(dir, "curves.csv")))
		assert.Equal(t, "old page", content(t, filepath.Join(dir, "report.html")))
	}

	// The second of three files is gone when it is to be moved.
	out, err := openFolder(dir)
	require.NoError(t, err)
	for _, name := range []string{"evidence.json", "curves.csv", "report.html"} {
		require.NoError(t, out.write(name, writeText("new "+name)))
	}
	require.NoError(t, os.Remove(filepath.Join(out.temp, "curves.csv")))
	require.Error(t, out.commit(t.Context()))
	same()

	// Killed at every step of the swap, the next run finds it undone.
	for step := range 8 {
		out, err := openFolder(dir)
		require.NoError(t, err)
		for _, name := range []string{"evidence.json", "curves.csv", "report.html"} {
			require.NoError(t, out.write(name, writeText("new "+name)))
		}
		moves := [][2]string{}
		require.NoError(t, os.WriteFile(filepath.Join(out.temp, manifestName), []byte(manifestText(out.files)), 0o666))
		require.NoError(t, os.Mkdir(filepath.Join(out.temp, asideName), 0o777))
		for _, name := range []string{manifestName, "curves.csv", "report.html", "daily.csv"} {
			moves = append(moves, [2]string{filepath.Join(dir, name), filepath.Join(out.temp, asideName, name)})
		}
		for _, f := range out.files {
			moves = append(moves, [2]string{filepath.Join(out.temp, f.Name), filepath.Join(dir, f.Name)})
		}
		for _, m := range moves[:step] {
			require.NoError(t, os.Rename(m[0], m[1]))
		}
		require.NoError(t, out.lock.Close()) // as when the process dies

		next, err := openFolder(dir)
		require.NoError(t, err, step)
		next.discard()
		same()
	}
}

// Two runs do not write into one folder at a time, and what a dead one left is
// taken away by the next.
func TestFolderInUse(t *testing.T) {
	dir := t.TempDir()
	one, err := openFolder(dir)
	require.NoError(t, err)
	if one.lock == nil {
		t.Skip("this file system knows no locks")
	}
	_, err = openFolder(dir)
	assert.EqualError(t, err, dir+": another run of tankodds is writing there")
	require.NoError(t, one.write("curves.csv", writeText("first")), "it is not disturbed")
	hidden := filepath.Base(one.temp)
	require.NoError(t, one.lock.Close()) // killed
	assert.Equal(t, []string{hidden}, files(t, dir))
	require.NoError(t, os.Mkdir(filepath.Join(dir, ".tankodds-notes"), 0o777)) // somebody's own

	wrote(t, dir, "report.html", "second")
	assert.Equal(t, []string{".tankodds-notes", "SHA256SUMS", "report.html"}, files(t, dir))
}

// A folder in the way of a file is found before anything is moved.
func TestFolderInTheWay(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.Mkdir(filepath.Join(dir, "report.html"), 0o777))
	out, err := openFolder(dir)
	require.NoError(t, err)
	require.NoError(t, out.write("curves.csv", writeText("new")))
	require.NoError(t, out.write("report.html", writeText("new")))
	err = out.commit(t.Context())
	assert.EqualError(t, err, filepath.Join(dir, "report.html")+" is a folder")
	assert.Equal(t, []string{"report.html"}, files(t, dir))
}

// A file that no later run would take away is not written.
func TestFolderKnowsItsFiles(t *testing.T) {
	out, err := openFolder(t.TempDir())
	require.NoError(t, err)
	defer out.discard()
	assert.ErrorContains(t, out.write("new.csv", writeText("")), "internal fault")
}

// Folders made on the way stay only where a file does.
func TestFolderMadeAndUnmade(t *testing.T) {
	top := t.TempDir()
	out, err := openFolder(filepath.Join(top, "x", "y"))
	require.NoError(t, err)
	out.discard()
	assert.Empty(t, files(t, top))

	var none *folder
	none.discard() // without --out there is nothing to discard
}

// Files made side by side are written in the order of their list, and what
// goes wrong with the first of them is told, whichever is ready first.
func TestFilesAreWrittenInOrder(t *testing.T) {
	names := []string{"curves.csv", "report.html", "evidence.pdf", "turnover.svg", "season.svg"}
	for _, workers := range []int{1, 2, 5} {
		list := func(render func(i int) ([]byte, error)) (files []rendering) {
			for i, name := range names {
				files = append(files, rendering{name, func() ([]byte, error) {
					time.Sleep(time.Duration(len(names)-i) * time.Millisecond) // the later ones are ready first
					return render(i)
				}})
			}
			return files
		}
		out, err := openFolder(t.TempDir())
		require.NoError(t, err)
		out.workers = workers
		require.NoError(t, writeAll(out, list(func(i int) ([]byte, error) { return []byte{'a' + byte(i)}, nil })))
		require.NoError(t, out.commit(t.Context()))
		for i, name := range names {
			assert.Equal(t, name, out.files[i].Name)
			text, err := os.ReadFile(out.path(name))
			require.NoError(t, err)
			assert.Equal(t, string(rune('a'+i)), string(text))
		}

		out, err = openFolder(t.TempDir())
		require.NoError(t, err)
		out.workers = workers
		assert.EqualError(t, writeAll(out, list(func(i int) ([]byte, error) {
			if i >= 2 {
				return nil, fmt.Errorf("fault %d", i)
			}
			return nil, nil
		})), out.path("evidence.pdf")+" cannot be written: fault 2")
		assert.PanicsWithValue(t, 3, func() {
			_ = writeAll(out, list(func(i int) ([]byte, error) {
				if i >= 3 {
					panic(i)
				}
				return nil, nil
			})[3:])
		})
		assert.False(t, out.discard())
	}
}

// What cannot be moved is named: on Windows that is a file which another program
// has open.
func TestHeld(t *testing.T) {
	f := &folder{dir: "out"}
	busy := errors.New("in use")
	for _, err := range []error{
		&os.LinkError{Op: "rename", Old: filepath.Join("out", "curves.csv"), New: filepath.Join("out", ".tankodds-1", asideName, "curves.csv"), Err: busy},
		&os.LinkError{Op: "rename", Old: filepath.Join("out", ".tankodds-1", "curves.csv"), New: filepath.Join("out", "curves.csv"), Err: busy},
	} {
		assert.Equal(t, filepath.Join("out", "curves.csv"), f.held(err))
		assert.Equal(t, "in use", cause(err))
	}
	assert.Equal(t, "out", f.held(busy))
}
