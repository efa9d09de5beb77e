package codec

import (
	"encoding/csv"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What a terminal would obey is shown; what is text stays as it is.
func TestVisible(t *testing.T) {
	for _, c := range []struct{ in, out string }{
		{"Tarn Lane – Łódź, Αθήνα, Đà Nẵng, 水の家, 5–95 % m² ←\n\tnext", "Tarn Lane – Łódź, Αθήνα, Đà Nẵng, 水の家, 5–95 % m² ←\n\tnext"},
		{"a\x1b[31mred\x1b]0;title\x07", `a\u001b[31mred\u001b]0;title\u0007`},
		{"over\rwritten\x00\x7f", `over\u000dwritten\u0000\u007f`},
		{"\u009b31m\u0085", `\u009b31m\u0085`},
		{"abc\u202egnp.exe\u2066x\u2069\u2028", `abc\u202egnp.exe\u2066x\u2069\u2028`},
		{"bad \x9b\xff\xe6\xb0", "bad \ufffd\ufffd\ufffd\ufffd"},
		{"\u200dzero \u200c\u00adwidth", "\u200dzero \u200c\u00adwidth"},
	} {
		assert.Equal(t, c.out, VisibleText(c.in), "%q", c.in)
		for size := 1; size <= len(c.in); size++ { // in pieces of any length
			var b strings.Builder
			v := Visible(&b)
			for i := 0; i < len(c.in); i += size {
				part := c.in[i:min(i+size, len(c.in))]
				n, err := v.Write([]byte(part))
				require.NoError(t, err)
				assert.Equal(t, len(part), n)
			}
			require.NoError(t, v.Close())
			assert.Equal(t, c.out, b.String(), "%q by %d", c.in, size)
		}
	}
}

// A JSON text holds the same strings as before.
func TestVisibleJSON(t *testing.T) {
	in := map[string]string{"name": "a\\\u202eb\x1b\u009b\x7f\u2028 \"q\" \\"}
	b, err := json.Marshal(in)
	require.NoError(t, err)
	shown := VisibleText(string(b))
	assert.NotContains(t, shown, "\u202e")
	assert.NotContains(t, shown, "\u009b")
	var out map[string]string
	require.NoError(t, json.Unmarshal([]byte(shown), &out))
	assert.Equal(t, in, out)
}

// No cell of text begins like a formula; numbers stay numbers.
func TestCSVFormulas(t *testing.T) {
	for _, cell := range []string{"=1+1", "+cmd|' /C calc'!A0", "-2+3", "@SUM(A1)", "\tx", "\rx", "\n=x", "  =x", "＝1+1", "-", "=", "+1 (555)"} {
		assert.Equal(t, "'"+cell, written(t, cell)[1], "%q", cell)
	}
	for _, cell := range []string{"", "-0.25", "+3", "-1e-7", "1=2", "Tarn Lane", "a-b", "'=x", "2012-01-01", "–5"} {
		assert.Equal(t, cell, written(t, cell)[1], "%q", cell)
	}
}

func written(t *testing.T, cell string) []string {
	t.Helper()
	var b strings.Builder
	row := []string{"first", cell}
	w := NewCSV(&b)
	require.NoError(t, w.Write(row))
	w.Flush()
	require.NoError(t, w.Error())
	assert.Equal(t, cell, row[1], "the caller's row stays as it is")
	back, err := csv.NewReader(strings.NewReader(b.String())).Read()
	require.NoError(t, err)
	return back
}

// Every table is written through CSV.
func TestNoOtherCSV(t *testing.T) {
	seen := 0
	for _, files := range []string{"../*.go", "../*/*.go", "../../cmd/*/*.go"} {
		names, err := filepath.Glob(files)
		require.NoError(t, err)
		for _, name := range names {
			if strings.HasSuffix(name, "_test.go") || filepath.ToSlash(name) == "../codec/csv.go" {
				continue
			}
			b, err := os.ReadFile(name)
			require.NoError(t, err)
			assert.NotContains(t, string(b), "csv.NewWriter", name)
			seen++
		}
	}
	assert.Greater(t, seen, 60)
}
