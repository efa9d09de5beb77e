package main

import (
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Goldens are compared, records digested and texts embedded byte for byte: a
// checkout that turns line ends says so here, beside what else it fails.
func TestLineEnds(t *testing.T) {
	looked := 0
	require.NoError(t, filepath.WalkDir("../..", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			if err == nil && slices.Contains([]string{".git", "node_modules", "out"}, d.Name()) {
				return fs.SkipDir
			}
			return err
		}
		if !slices.Contains([]string{".csv", ".txt", ".json", ".yaml", ".html", ".css", ".js", ".md", ".svg"}, filepath.Ext(path)) {
			return nil
		}
		text, err := os.ReadFile(path)
		looked++
		assert.NotContains(t, string(text), "\r\n", "%s: lines end in CRLF; .gitattributes keeps LF", path)
		return err
	}))
	assert.Greater(t, looked, 30)
}
