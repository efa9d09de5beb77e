//go:build unix

package main

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// wholeSet says whether a folder holds one set: a manifest, every file of it as it was
// written, and nothing beside.
func wholeSet(t *testing.T, dir string) (whole bool, why string) {
	t.Helper()
	listed, ok := readManifest(dir)
	if !ok || len(listed) == 0 {
		return false, "no manifest"
	}
	names := map[string]bool{manifestName: true}
	for _, f := range listed {
		names[f.Name] = true
		if !hasSum(filepath.Join(dir, f.Name), f.SHA256) {
			return false, f.Name + " is not what the manifest says"
		}
	}
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	for _, e := range entries {
		if !names[e.Name()] && !strings.HasPrefix(e.Name(), ".") {
			return false, e.Name() + " is of no set"
		}
	}
	return true, ""
}

// A run that is killed at any moment leaves the files of the run before or its own,
// and never some of each: where it was killed between the two there is no manifest,
// and the next run puts the folder right. A few moments, fifty with TANKODDS_FAULTS.
func TestKilledAtAnyMoment(t *testing.T) {
	if testing.Short() {
		t.Skip("runs the program a dozen times")
	}
	moments := 10
	if os.Getenv("TANKODDS_FAULTS") != "" {
		moments = 50
	}
	dir := filepath.Join(t.TempDir(), "out")
	write := func(seed int) []string {
		return []string{"size", "--years", "50", "--record-error", "off", "--quiet", "--seed", fmt.Sprint(seed), "--out", dir}
	}
	began := time.Now()
	out, err := program(write(1)...).CombinedOutput()
	require.NoError(t, err, string(out))
	long := time.Since(began)
	count := map[string]int{}
	rng := rand.New(rand.NewPCG(50, 1))
	for k := range moments {
		before := content(t, filepath.Join(dir, manifestName))
		cmd := program(write(2 + k)...)
		require.NoError(t, cmd.Start())
		// Half of the moments lie where files are moved, at the end.
		wait := time.Duration(rng.Int64N(int64(long)))
		if k%2 == 0 {
			wait = long*8/10 + time.Duration(rng.Int64N(int64(long)*4/10))
		}
		time.Sleep(wait)
		cmd.Process.Signal(syscall.SIGKILL)
		cmd.Wait()
		whole, why := wholeSet(t, dir)
		switch {
		case whole && content(t, filepath.Join(dir, manifestName)) == before:
			count["before"]++
		case whole:
			count["after"]++
		default:
			require.Equal(t, "no manifest", why, "moment %d, after %v", k, wait)
			count["between"]++
			out, err := program(write(900 + k)...).CombinedOutput()
			require.NoError(t, err, string(out))
			whole, why = wholeSet(t, dir)
			require.True(t, whole, why)
		}
	}
	out, err = program(write(999)...).CombinedOutput()
	require.NoError(t, err, string(out))
	whole, why := wholeSet(t, dir)
	require.True(t, whole, why)
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	for _, e := range entries {
		assert.False(t, hiddenName.MatchString(e.Name()), "what a killed run left is taken away: %s", e.Name())
	}
	t.Logf("killed %d times: %d times the files were those before, %d times the new ones, %d times between", moments, count["before"], count["after"], count["between"])
	assert.Positive(t, count["before"])
}

// Language, time zone, home and width of the terminal change no byte of an answer.
func TestSurroundingsChangeNothing(t *testing.T) {
	if testing.Short() {
		t.Skip("runs the program several times")
	}
	said := ""
	for _, env := range [][]string{
		{}, {"LANG=de_DE.UTF-8", "LC_ALL=de_DE.UTF-8"}, {"LANG=C", "LC_ALL=C"}, {"LC_ALL=tr_TR.UTF-8"}, {"TZ=Asia/Kathmandu"}, {"TZ=America/St_Johns"}, {"TZ=nowhere"},
		{"HOME=", "XDG_CACHE_HOME=", "TMPDIR="}, {"COLUMNS=40", "LINES=5", "TERM=dumb"}, {"NO_COLOR=1", "TERM="}, {"GOMAXPROCS=1"}, {"GOGC=20"},
	} {
		dir := filepath.Join(t.TempDir(), "out")
		cmd := program("size", "--years", "50", "--record-error", "off", "--out", dir, "--json", "--rain", filepath.Join("..", "..", "testdata", "new-york.dly.gz"), "--roof", "100m2", "--use", "90L/day")
		cmd.Env = append(cmd.Env, env...)
		out, err := cmd.CombinedOutput()
		require.NoError(t, err, "%v: %s", env, out)
		text := string(out) + content(t, filepath.Join(dir, manifestName))
		if said == "" {
			said = text
		}
		assert.True(t, said == text, "%v", env)
	}
}

// The end of a terminal is an interrupt like any other: it stops cleanly, and the
// folder is as it was.
func TestHangUp(t *testing.T) {
	for _, s := range []syscall.Signal{syscall.SIGHUP, syscall.SIGTERM, syscall.SIGINT} {
		dir := filepath.Join(t.TempDir(), "out")
		cmd := program("size", "--years", "400000", "--quiet", "--out", dir)
		require.NoError(t, cmd.Start())
		require.Eventually(t, func() bool { // it is at work: before, nobody listens for a signal
			_, err := os.Stat(dir)
			return err == nil
		}, time.Minute, 5*time.Millisecond)
		require.NoError(t, cmd.Process.Signal(s))
		cmd.Wait()
		assert.Equal(t, exitInterrupted, cmd.ProcessState.ExitCode(), s)
		_, err := os.Stat(dir)
		assert.ErrorIs(t, err, os.ErrNotExist, "%v: nothing is left", s)
	}
}

// A record that is cut, or goes, while it is read is an answer or a line, never a
// fault.
func TestRecordChangesWhileItIsRead(t *testing.T) {
	text := content(t, filepath.Join("..", "..", "cmd", "tankodds", "demo.csv"))
	for k := range 6 {
		path := filepath.Join(t.TempDir(), "rain.csv")
		require.NoError(t, os.WriteFile(path, []byte(text), 0o666))
		cmd := program("record", path)
		var said strings.Builder
		cmd.Stdout, cmd.Stderr = &said, &said
		require.NoError(t, cmd.Start())
		time.Sleep(time.Duration(k) * time.Millisecond)
		if k%2 == 0 {
			os.Truncate(path, int64(len(text)/2))
		} else {
			os.Remove(path)
		}
		cmd.Wait()
		assert.Contains(t, []int{exitDone, exitFailed}, cmd.ProcessState.ExitCode())
		assert.NotContains(t, said.String(), "fault")
		assert.NotContains(t, said.String(), "goroutine")
	}
}
