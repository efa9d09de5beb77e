package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What evidence holds is enough to make page, sheet and figures again, byte for
// byte, and to say again what size said.
func TestReportMakesTheFilesAgain(t *testing.T) {
	t.Chdir(t.TempDir())
	for _, asked := range []string{
		"size --years 100 --out a",
		"size --years 100 --out a --roofs 100m2,180m2 --units us --measure time --target 0.97",
		"size --years 50 --out a --record-error off --tanks 500L,900L --date 1.5.2012",
	} {
		said := done(t, strings.Fields(asked)...)
		code, stdout, stderr := typed(t, "report", "a/evidence.json", "--out", "b")
		require.Equal(t, exitDone, code, stderr)
		assert.Equal(t, said, stdout)
		files, err := os.ReadDir("a")
		require.NoError(t, err)
		require.Greater(t, len(files), 10)
		for _, f := range files {
			assert.Equal(t, content(t, filepath.Join("a", f.Name())), content(t, filepath.Join("b", f.Name())), f.Name())
		}
		code, _, stderr = typed(t, "recheck", "b/evidence.json", "--rain", "a/../"+demoRainName)
		assert.Contains(t, []int{exitDone, exitFailed}, code, stderr)
		require.NoError(t, os.RemoveAll("a"))
		require.NoError(t, os.RemoveAll("b"))
	}
}

func TestReportInOtherUnits(t *testing.T) {
	t.Chdir(t.TempDir())
	done(t, "size", "--years", "50", "--record-error", "off", "--out", "a")
	stdout := done(t, "report", "a/evidence.json", "--units", "us", "--out", "b")
	assert.Contains(t, stdout, " gal")
	assert.NotContains(t, stdout, " L ")
	code, stdout, stderr := typed(t, "recheck", "b/evidence.json")
	assert.Equal(t, exitDone, code, stdout+stderr)
}

func TestReportRefuses(t *testing.T) {
	t.Chdir(t.TempDir())
	done(t, "size", "--years", "50", "--record-error", "off", "--out", "a")
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
