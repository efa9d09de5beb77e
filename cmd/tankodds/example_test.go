package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The example that ends each help text runs as it stands, from a folder with
// the repository's testdata; only the simulation is cut short.
func TestExamplesRun(t *testing.T) {
	testdata, err := filepath.Abs("../../testdata")
	require.NoError(t, err)
	for _, c := range commands {
		t.Run(c.name, func(t *testing.T) {
			t.Chdir(t.TempDir())
			require.NoError(t, os.Symlink(testdata, "testdata"))
			args := shellWords(strings.ReplaceAll(c.example, "\\\n", " "))
			require.Equal(t, "tankodds", args[0])
			if strings.HasSuffix(c.args, "EVIDENCE.json") { // of the evidence that size leaves
				shortDemo(t, "sheet")
			}
			fs, _ := c.flagSet()
			if fs.Lookup("years") != nil {
				args = append(args, "--years", "50")
			}
			if fs.Lookup("record-error") != nil {
				args = append(args, "--record-error", "off")
			}
			var stdout string
			if c.name == "page" { // until it is stopped
				stdout = served(t, nil, args[2:]...)
			} else {
				stdout = done(t, args[1:]...)
			}
			assert.NotEmpty(t, stdout)
			fits(t, stdout)
		})
	}
}

// shellWords splits a command line as a shell would; double quotes hold a word
// together.
func shellWords(line string) []string {
	var out []string
	for i, part := range strings.Split(line, `"`) {
		if i%2 == 1 {
			out = append(out, part)
		} else {
			out = append(out, strings.Fields(part)...)
		}
	}
	return out
}
