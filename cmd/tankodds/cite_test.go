package main

import (
	"encoding/json"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall/read"
)

// What an answer is cited with: the program, the papers that its method page
// names, and the record as whoever publishes its format asks; the same from the
// record and from the evidence of an answer.
func TestCite(t *testing.T) {
	var works struct {
		Schema string
		Works  []struct{ Type, Authors, Year, Title, For string }
	}
	const york = "../../testdata/new-york.dly.gz"
	_, stdout, _ := typed(t, "cite", york, "--json")
	require.NoError(t, json.Unmarshal([]byte(stdout), &works))
	assert.Equal(t, "tankodds/cite/1", works.Schema)
	require.Greater(t, len(works.Works), 7)
	assert.Equal(t, "software", works.Works[0].Type)
	last := works.Works[len(works.Works)-1]
	assert.Equal(t, "data", last.Type)
	assert.Contains(t, last.Authors, "Global Historical Climatology Network")
	assert.Equal(t, "USW00094728", last.Title)

	dir := filepath.Join(t.TempDir(), "sheet")
	typed(t, "size", "--rain", york, "--roof", "140m2", "--use", "150L/day", "--years", "200", "--out", dir, "--quiet")
	_, again, _ := typed(t, "cite", filepath.Join(dir, "evidence.json"), "--json")
	assert.Equal(t, stdout, again)

	_, text, _ := typed(t, "cite")
	assert.Contains(t, text, "The record is invented")
	assert.Contains(t, text, "Hashimoto")
	code, _, stderr := typed(t, "cite", "none.csv")
	assert.Equal(t, exitFailed, code)
	assert.Contains(t, stderr, "none.csv")
	for _, f := range read.Formats() {
		if f != "plain table of dates and rain" {
			assert.NotEmpty(t, read.Citation(f), f)
		}
	}
}
