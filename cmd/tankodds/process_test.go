package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
)

// asProgram makes the test's binary the program itself.
const asProgram = "TANKODDS_TEST_AS_PROGRAM"

func TestMain(m *testing.M) {
	if os.Getenv(asProgram) != "" {
		main()
	}
	os.Exit(m.Run())
}

// program is tankodds as a process of its own.
func program(args ...string) *exec.Cmd {
	cmd := exec.Command(os.Args[0], args...)
	cmd.Env = append(os.Environ(), asProgram+"=1")
	return cmd
}

// A real pipe whose reader goes after a line, or at once: the files are there
// all the same.
func TestPipeToHead(t *testing.T) {
	t.Parallel()
	for _, lines := range []int{1, 0} {
		dir := filepath.Join(t.TempDir(), "out")
		r, w, err := os.Pipe()
		require.NoError(t, err)
		var stderr bytes.Buffer
		cmd := program(quick("size", "--out", dir)...)
		cmd.Stdout, cmd.Stderr = w, &stderr
		if lines == 0 {
			require.NoError(t, r.Close())
		}
		require.NoError(t, cmd.Start())
		require.NoError(t, w.Close())
		if lines > 0 {
			one := make([]byte, 1)
			for one[0] != '\n' {
				_, err := r.Read(one)
				require.NoError(t, err)
			}
			require.NoError(t, r.Close())
		}
		require.NoError(t, cmd.Wait(), stderr.String())
		assert.Empty(t, stderr.String())
		listed, ok := readManifest(dir)
		require.True(t, ok)
		assert.Len(t, files(t, dir), len(listed)+1)
		assert.Contains(t, files(t, dir), "evidence.pdf")
	}
}

// Ctrl-C ends the program while it waits for a record that does not come. A
// run that is killed outright leaves a hidden folder, which the next run in
// that folder takes away.
func TestSignals(t *testing.T) {
	dir := t.TempDir()
	for _, signal := range []os.Signal{os.Interrupt, os.Kill} {
		var stderr bytes.Buffer
		cmd := program(quick("size", "--rain", "-", "--roof", "100m2", "--use", "100L/day", "--out", dir)...)
		cmd.Stderr = &stderr
		in, err := cmd.StdinPipe()
		require.NoError(t, err)
		require.NoError(t, cmd.Start())
		// More than a pipe holds: when it is through, the record is being read.
		rows := []byte("date,rain_mm\n")
		for day := rainfall.Date(0); day < 10_000; day++ {
			rows = fmt.Appendf(rows, "%v,%d.5\n", day, day%7)
		}
		require.Greater(t, len(rows), 128<<10)
		_, err = in.Write(rows)
		require.NoError(t, err)
		require.NoError(t, cmd.Process.Signal(signal))
		require.Error(t, cmd.Wait())
		in.Close()
		if signal == os.Interrupt {
			assert.Equal(t, exitInterrupted, cmd.ProcessState.ExitCode())
			assert.Equal(t, "tankodds: interrupted; no file was written\n", stderr.String())
			assert.Empty(t, files(t, dir))
		} else {
			require.Len(t, files(t, dir), 1)
			assert.Regexp(t, hiddenName, files(t, dir)[0])
		}
	}
	done(t, "replay", "--tank", "5000L", "--out", dir)
	assert.Equal(t, []string{manifestName, "daily.csv"}, files(t, dir))
}
