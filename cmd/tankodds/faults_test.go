//go:build linux

package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The device that is always full stands for whatever cannot take what is printed: one
// line and the code of a failure, from every command that prints.
func TestPrintedToAFullDevice(t *testing.T) {
	if _, err := os.Stat("/dev/full"); err != nil {
		t.Skip("there is no /dev/full here")
	}
	dir := filepath.Join(t.TempDir(), "out")
	for _, args := range [][]string{
		{"help", "method"}, {"--version"}, {"completion", "bash"},
		{"record", "--demo"}, {"record", "--demo", "--json"},
		{"size", "--years", "50", "--record-error", "off", "--quiet"},
		{"size", "--years", "50", "--record-error", "off", "--quiet", "--json"},
		{"size", "--years", "50", "--record-error", "off", "--quiet", "--out", dir},
		{"replay", "--tank", "5000L"}, {"synth", "--demo", "--years", "5"},
	} {
		sink, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
		require.NoError(t, err)
		var said bytes.Buffer
		cmd := program(args...)
		cmd.Stdout, cmd.Stderr = sink, &said
		err = cmd.Run()
		sink.Close()
		assert.Error(t, err, args)
		assert.Equal(t, exitFailed, cmd.ProcessState.ExitCode(), args)
		assert.Equal(t, "tankodds: standard output cannot be written: no space left on device\n", said.String(), args)
	}
	if _, err := os.Stat(dir); err == nil {
		whole, why := wholeSet(t, dir)
		assert.True(t, whole, why)
	}
}

// A limit on the size of files, as administrators set: one line, and the set before
// stays.
func TestFilesMayNotGrow(t *testing.T) {
	if testing.CoverMode() != "" {
		t.Skip("a program that counts its coverage writes files of its own")
	}
	shell, err := exec.LookPath("sh")
	if err != nil {
		t.Skip("there is no shell here")
	}
	dir := filepath.Join(t.TempDir(), "out")
	args := []string{"size", "--years", "50", "--record-error", "off", "--quiet", "--out", dir}
	out, err := program(args...).CombinedOutput()
	require.NoError(t, err, string(out))
	before := content(t, filepath.Join(dir, manifestName))
	for _, blocks := range []int{0, 1, 64} { // of 512 bytes
		cmd := program(append(args, "--seed", "2")...)
		cmd.Args = append([]string{"sh", "-c", fmt.Sprintf(`ulimit -f %d && exec "$@"`, blocks), "sh", cmd.Path}, cmd.Args[1:]...)
		cmd.Path = shell
		var printed, said bytes.Buffer
		cmd.Stdout, cmd.Stderr = &printed, &said
		cmd.Run()
		assert.Equal(t, exitFailed, cmd.ProcessState.ExitCode(), said.String())
		assert.Regexp(t, `^tankodds: .* cannot be written: file too large\n(hint: .*\n)?$`, said.String())
		assert.Equal(t, before, content(t, filepath.Join(dir, manifestName)))
		whole, why := wholeSet(t, dir)
		assert.True(t, whole, why)
	}
}

// Several runs begun at once into one folder: each writes its whole set or says that
// another is writing there, and the folder holds one of the sets.
func TestRunsIntoOneFolder(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	const runs = 6
	var cmds [runs]*exec.Cmd
	var said [runs]bytes.Buffer
	for k := range runs {
		cmds[k] = program("size", "--years", "50", "--record-error", "off", "--quiet", "--seed", fmt.Sprint(k+1), "--out", dir)
		cmds[k].Stderr = &said[k]
		require.NoError(t, cmds[k].Start())
	}
	wrote := 0
	for k, cmd := range cmds {
		cmd.Wait()
		if code := cmd.ProcessState.ExitCode(); code == exitDone {
			wrote++
			assert.Empty(t, said[k].String())
		} else {
			assert.Equal(t, exitFailed, code)
			assert.Equal(t, "tankodds: "+dir+": another run of tankodds is writing there\nhint: wait for it, or choose another folder\n", said[k].String())
		}
	}
	assert.Positive(t, wrote)
	whole, why := wholeSet(t, dir)
	assert.True(t, whole, why)
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	for _, e := range entries {
		assert.False(t, hiddenName.MatchString(e.Name()), e.Name())
	}
}

// A record that is replaced by another while it is read: what is said is of the one or
// of the other, to the byte, and never of some rows of each.
func TestRecordIsReplacedWhileItIsRead(t *testing.T) {
	one := content(t, "demo.csv")
	other := strings.ReplaceAll(one, ".2\n", ".4\n")
	require.NotEqual(t, one, other)
	sum := func(s string) string {
		x := sha256.Sum256([]byte(s))
		return hex.EncodeToString(x[:])
	}
	began := time.Now()
	out, err := program("record", "demo.csv", "--json").CombinedOutput()
	require.NoError(t, err, string(out))
	long := time.Since(began)
	count := map[string]int{}
	const moments = 12
	for k := range moments {
		dir := t.TempDir()
		path, next := filepath.Join(dir, "rain.csv"), filepath.Join(dir, "next.csv")
		require.NoError(t, os.WriteFile(path, []byte(one), 0o666))
		require.NoError(t, os.WriteFile(next, []byte(other), 0o666))
		cmd := program("record", path, "--json")
		var printed, said bytes.Buffer
		cmd.Stdout, cmd.Stderr = &printed, &said
		require.NoError(t, cmd.Start())
		time.Sleep(long * time.Duration(k) / moments)
		require.NoError(t, os.Rename(next, path))
		require.NoError(t, cmd.Wait(), said.String())
		switch {
		case strings.Contains(printed.String(), sum(one)):
			count["one"]++
		case strings.Contains(printed.String(), sum(other)):
			count["other"]++
		default:
			t.Errorf("of neither: %.300s", printed.String())
		}
	}
	t.Logf("%v", count)
}
