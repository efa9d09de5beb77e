package main

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"testing"

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
	code, stdout, stderr := typed(t, "new", dir)
	require.Equal(t, exitDone, code, stderr)
	assert.Equal(t, []string{"carrow-hill.csv", "site.yaml"}, files(t, dir))
	site := filepath.Join(dir, "site.yaml")
	assert.Contains(t, stdout, "next: tankodds size "+site+"\n")
	rain, err := os.ReadFile(filepath.Join(dir, "carrow-hill.csv"))
	require.NoError(t, err)
	assert.Equal(t, demoCSV, rain)

	// What is written is what the demo runs, read from the disk.
	p, demo := planned(t, site), planned(t)
	assert.Equal(t, demo.study, p.study)
	assert.Equal(t, filepath.Join(dir, "carrow-hill.csv"), p.rain.file)

	// Nothing is overwritten.
	require.NoError(t, os.WriteFile(site, []byte("mine"), 0o666))
	require.NoError(t, os.Remove(filepath.Join(dir, "carrow-hill.csv")))
	code, stdout, stderr = typed(t, "new", dir)
	assert.Equal(t, exitFailed, code)
	assert.Empty(t, stdout)
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
	assert.Equal(t, "tankodds: the folder has no name\nhint: tankodds new pottery makes a folder of that name\n", stderr)
}

// Files appear together, replace old ones, and not at all where the work
// fails.
func TestFolder(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "a.csv"), []byte("old"), 0o666))

	out, err := openFolder(dir)
	require.NoError(t, err)
	require.NoError(t, out.write("a.csv", writeText("new")))
	err = out.write("b.csv", func(w io.Writer) error {
		_, _ = io.WriteString(w, "half")
		return errors.New("the pen broke")
	})
	assert.EqualError(t, err, filepath.Join(dir, "b.csv")+" cannot be written: the pen broke")
	out.discard()
	assert.Equal(t, []string{"a.csv"}, files(t, dir))
	old, _ := os.ReadFile(filepath.Join(dir, "a.csv"))
	assert.Equal(t, "old", string(old))

	out, err = openFolder(dir)
	require.NoError(t, err)
	require.NoError(t, out.write("a.csv", writeText("new")))
	require.NoError(t, out.write("b.csv", writeText("whole")))
	require.NoError(t, out.commit(t.Context()))
	out.discard()
	assert.Equal(t, []string{"a.csv", "b.csv"}, files(t, dir))
	now, _ := os.ReadFile(filepath.Join(dir, "a.csv"))
	assert.Equal(t, "new", string(now))
}

// A folder in the way of a file is found before anything is moved.
func TestFolderInTheWay(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.Mkdir(filepath.Join(dir, "b.csv"), 0o777))
	out, err := openFolder(dir)
	require.NoError(t, err)
	require.NoError(t, out.write("a.csv", writeText("new")))
	require.NoError(t, out.write("b.csv", writeText("new")))
	err = out.commit(t.Context())
	assert.EqualError(t, err, filepath.Join(dir, "b.csv")+" is a folder")
	assert.Equal(t, []string{"b.csv"}, files(t, dir))
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
