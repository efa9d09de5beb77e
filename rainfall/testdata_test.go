package rainfall

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"
)

// published reads a table of ../testdata, whose head comments name the
// source, as one map a row by the names of its first row.
func published(t testing.TB, name string) []map[string]string {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "testdata", name))
	require.NoError(t, err)
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	all, err := r.ReadAll()
	require.NoError(t, err)
	require.Greater(t, len(all), 1, "%s holds no row", name)
	var rows []map[string]string
	for _, cells := range all[1:] {
		row := map[string]string{}
		for i, c := range cells {
			row[all[0][i]] = c
		}
		rows = append(rows, row)
	}
	return rows
}

// columnOf reads one column of numbers of such a table.
func columnOf(t testing.TB, name, head string) []float64 {
	t.Helper()
	var out []float64
	for _, row := range published(t, name) {
		out = append(out, numberIn(t, row[head]))
	}
	return out
}

func numberIn(t testing.TB, s string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(s, 64)
	require.NoError(t, err)
	return x
}
