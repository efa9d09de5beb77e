// Package testdata reads the published tables that stand beside it, for tests.
package testdata

import (
	"embed"
	"encoding/csv"
	"math/big"
	"testing"

	"github.com/stretchr/testify/require"
)

//go:embed *.csv nist/*.csv
var files embed.FS

// Table reads a table, whose head comments name the source, as one map a row by
// the names of its first row.
func Table(t testing.TB, name string) []map[string]string {
	t.Helper()
	f, err := files.Open(name)
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

// Column reads one column of numbers of such a table.
func Column(t testing.TB, name, head string) []float64 {
	t.Helper()
	var out []float64
	for _, row := range Table(t, name) {
		out = append(out, Number(t, row[head]))
	}
	return out
}

// Number reads a number of such a table: a decimal, or a fraction such as 3/8.
func Number(t testing.TB, s string) float64 {
	t.Helper()
	r, ok := new(big.Rat).SetString(s)
	require.True(t, ok, "%q is no number", s)
	x, _ := r.Float64()
	return x
}
