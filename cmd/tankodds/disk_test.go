//go:build linux

package main

import (
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A disk that fills up while files are written: one line, the files of the run before
// as they were, and nothing besides. It needs the right to mount.
func TestDiskFillsUp(t *testing.T) {
	if testing.Short() {
		t.Skip("runs the program several times")
	}
	disk := t.TempDir()
	if err := syscall.Mount("tmpfs", disk, "tmpfs", 0, "size=8m"); err != nil {
		t.Skipf("a small disk cannot be mounted here: %v", err)
	}
	defer syscall.Unmount(disk, 0)
	dir := filepath.Join(disk, "out")
	args := []string{"size", "--years", "50", "--record-error", "off", "--quiet", "--out", dir, "--seed"}
	out, err := program(append(args, "1")...).CombinedOutput()
	require.NoError(t, err, string(out))
	before := content(t, filepath.Join(dir, manifestName))
	var room syscall.Statfs_t
	require.NoError(t, syscall.Statfs(disk, &room))
	free := int64(room.Bavail) * room.Bsize
	for _, left := range []int64{0, 20_000, 200_000} { // for the first file, a later one, the last ones
		filler := filepath.Join(disk, "filler")
		require.NoError(t, os.WriteFile(filler, make([]byte, max(0, free-left)), 0o666))
		cmd := program(append(args, "2")...)
		out, _ := cmd.CombinedOutput()
		assert.Equal(t, exitFailed, cmd.ProcessState.ExitCode(), string(out))
		assert.Contains(t, string(out), "no space left on device")
		assert.Equal(t, before, content(t, filepath.Join(dir, manifestName)))
		whole, why := wholeSet(t, dir)
		assert.True(t, whole, why)
		entries, err := os.ReadDir(dir)
		require.NoError(t, err)
		for _, e := range entries {
			assert.False(t, hiddenName.MatchString(e.Name()), e.Name())
		}
		require.NoError(t, os.Remove(filler))
	}
	out, err = program(append(args, "2")...).CombinedOutput()
	require.NoError(t, err, string(out))
	assert.NotEqual(t, before, content(t, filepath.Join(dir, manifestName)))
}

// A folder that goes while a run works is one line, not a fault, and so is one that
// may only be read.
func TestFolderGoes(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	cmd := program("size", "--years", "30000", "--quiet", "--out", dir)
	var said strings.Builder
	cmd.Stderr = &said
	require.NoError(t, cmd.Start())
	for range 200 {
		if _, err := os.Stat(dir); err == nil {
			break
		}
		time.Sleep(5 * time.Millisecond)
	}
	require.NoError(t, os.RemoveAll(dir))
	cmd.Wait()
	assert.Equal(t, exitFailed, cmd.ProcessState.ExitCode(), said.String())
	assert.Regexp(t, `^tankodds: .*out.* cannot be written: no such file or directory\n`, said.String())
	assert.NotContains(t, said.String(), "fault")
	_, err := os.Stat(dir)
	assert.ErrorIs(t, err, os.ErrNotExist)

	disk := t.TempDir()
	if err := syscall.Mount("tmpfs", disk, "tmpfs", syscall.MS_RDONLY, "size=1m"); err != nil {
		t.Logf("a disk that may only be read cannot be mounted here: %v", err)
		return
	}
	defer syscall.Unmount(disk, 0)
	cmd = program("size", "--years", "50", "--quiet", "--out", filepath.Join(disk, "out"))
	text, _ := cmd.CombinedOutput()
	assert.Equal(t, exitFailed, cmd.ProcessState.ExitCode())
	assert.Contains(t, string(text), "read-only file system\nhint: choose a folder that can be written\n")
}
