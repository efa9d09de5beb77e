package main

import (
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What evidence holds is enough to make page, sheet and figures again, byte for
// byte, and to say again what size said.
func TestReportMakesTheFilesAgain(t *testing.T) {
	for _, asked := range []string{"size --quiet", severalRoofs, smallTanks} {
		t.Run(asked, func(t *testing.T) {
			t.Parallel()
			a, b := t.TempDir(), t.TempDir()
			code, said, stderr := typedOut(t, a, strings.Fields(asked)...)
			require.Equal(t, exitDone, code, stderr)
			require.Empty(t, stderr)
			code, stdout, stderr := typed(t, "report", filepath.Join(a, "evidence.json"), "--out", b)
			require.Equal(t, exitDone, code, stderr)
			assert.Equal(t, said, stdout)
			require.Greater(t, len(files(t, a)), 10)
			for _, name := range files(t, a) {
				assert.Equal(t, content(t, filepath.Join(a, name)), content(t, filepath.Join(b, name)), name)
			}
			code, _, stderr = typed(t, "recheck", filepath.Join(b, "evidence.json"), "--rain", filepath.Join(t.TempDir(), demoRainName))
			assert.Contains(t, []int{exitDone, exitFailed}, code, stderr)
		})
	}
}

func TestReportInOtherUnits(t *testing.T) {
	t.Chdir(t.TempDir())
	shortDemo(t, "a")
	stdout := done(t, "report", "a/evidence.json", "--units", "us", "--out", "b")
	assert.Contains(t, stdout, " gal")
	assert.NotContains(t, stdout, " L ")
	code, stdout, stderr := typed(t, "recheck", "b/evidence.json")
	assert.Equal(t, exitDone, code, stdout+stderr)
}

func TestReportRefuses(t *testing.T) {
	t.Chdir(t.TempDir())
	shortDemo(t, "a")
	for _, c := range []struct {
		args string
		code int
		says string
	}{
		{"report", exitUsage, "no evidence to report"},
		{"report none.json", exitFailed, "none.json: cannot be read: no such file or directory"},
		{"report a/curves.csv", exitFailed, "a/curves.csv:1: not evidence: "},
		{"report a/evidence.json --units feet", exitUsage, "--units: "},
		{"report a b", exitUsage, "report takes one argument"},
	} {
		code, stdout, stderr := typed(t, strings.Fields(c.args)...)
		assert.Equal(t, c.code, code, c.args)
		assert.Contains(t, stderr, c.says)
		assert.Empty(t, stdout)
	}
	edit(t, "a/evidence.json", `"seed": 1,`, `"seed": 2,`)
	code, stdout, stderr := typed(t, "report", "a/evidence.json", "--out", "b")
	assert.Equal(t, exitDisagrees, code)
	assert.Contains(t, stderr, "altered after they were written")
	assert.Empty(t, stdout)
	assert.NoDirExists(t, "b")
}
