package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"tankodds/report/site"
)

// What was asked comes first, the map is drawn, and the evidence says the same when
// it is run again.
func TestSolve(t *testing.T) {
	t.Parallel()
	for what, first := range map[string]string{"roof": "Smallest roof", "use": "Largest use"} {
		dir := filepath.Join(t.TempDir(), "out")
		code, stdout, stderr := typed(t, "size", "--tanks", "20000L", "--solve", what, "--years", "1000", "--out", dir)
		assert.Equal(t, exitDone, code, stderr)
		fits(t, stdout)
		assert.Regexp(t, `(?s)^[^\n]*\n[^\n]*\n\n`+first+" ", stdout)
		said := site.OneLine(stdout)
		assert.Contains(t, said, "A tank of 20,000 L for this use takes ")
		assert.Contains(t, said, "A tank of 20,000 L under this roof is enough for ")
		page, err := os.ReadFile(filepath.Join(dir, "report.html"))
		assert.NoError(t, err)
		assert.Contains(t, string(page), "this site, 180")
		code, _, stderr = typed(t, "recheck", filepath.Join(dir, "evidence.json"))
		assert.Equal(t, exitDone, code, stderr)
	}
}

// The numbers are of one tank, and the site file may ask for them too. A use is a
// roof only where no day hangs on what the tank holds.
func TestSolveAsksForOneTank(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		args []string
		says string
	}{
		{[]string{"--tanks", "1000L,2000L", "--solve", "roof"}, "found for one tank size, and 2 are given; name one, such as --tanks 5000L"},
		{[]string{"--units", "us", "--rain", "demo.csv", "--roof", "1500sqft", "--use", "40gal/day", "--solve", "use"}, "found for one tank size, and none is given; name one, such as --tanks 1300gal"},
		{[]string{"--solve", "water"}, `"water" is none of tank, use, roof`},
	} {
		assert.Contains(t, refused(t, exitUsage, append([]string{"size"}, c.args...)...), c.says)
	}
	file := filepath.Join(t.TempDir(), "site.yaml")
	text := "rain: {file: " + filepath.ToSlash(abs(t, "demo.csv")) + "}\nroofs: [{area: 100 m2}]\nuses: [{name: a, daily: 60 L}, {name: b, daily: 50 L, keep: 30 %}]\ntank: {sizes: [20000 L]}\ntarget: {solve: use}\n"
	assert.NoError(t, os.WriteFile(file, []byte(text), 0o600))
	text = strings.Join(strings.Fields(done(t, quick("size", file)...)), " ")
	assert.Regexp(t, `Largest use A tank of 20,000 L under this roof is enough for about \d+ L/day of use at most`, text)
	assert.Regexp(t, `Smallest roof With a tank of 20,000 L for this use even a far larger roof is not enough`, text)
}

func abs(t *testing.T, path string) string {
	t.Helper()
	path, err := filepath.Abs(path)
	assert.NoError(t, err)
	return path
}
