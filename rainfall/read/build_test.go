package read

import (
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
)

// The order of a file's lines does not matter: the first day may come last,
// or anywhere.
func TestBuildInAnyOrder(t *testing.T) {
	var rows []string
	for d := rainfall.Day(1990, 3, 1); d < rainfall.Day(1994, 7, 1); d++ {
		if d%17 != 0 {
			rows = append(rows, d.String()+","+[]string{"0.0", "1.5", "", "12.3"}[d%4]+"\n")
		}
	}
	const head = "date,rain_mm\n"
	want := mustRead(t, head+strings.Join(rows, ""), Options{Missing: "none"})
	for _, order := range []string{"last first", "shuffled"} {
		for i, j := range rand.New(rand.NewPCG(1, 1)).Perm(len(rows)) {
			if order == "last first" {
				j = len(rows) - 1 - i
			}
			if i < j || order == "shuffled" {
				rows[i], rows[j] = rows[j], rows[i]
			}
		}
		got := mustRead(t, head+strings.Join(rows, ""), Options{Missing: "none"})
		got.SHA256, got.Unpacked = want.SHA256, want.Unpacked
		assert.Equal(t, printed(want), printed(got), order)
	}
}

// A file is digested as it streams by: as it lies, and with gzip undone.
func TestDigests(t *testing.T) {
	for name, text := range samples() {
		path := filepath.Join(t.TempDir(), "record.gz")
		packed := gz(text)
		require.NoError(t, os.WriteFile(path, []byte(packed), 0o600))
		r, err := File(path, Options{Unit: "mm"})
		require.NoError(t, err)
		plain := mustRead(t, text, Options{Unit: "mm"})
		assert.Equal(t, plain.SHA256, r.Unpacked, name)
		assert.Equal(t, plain.SHA256, plain.Unpacked, name)
		assert.NotEqual(t, r.SHA256, r.Unpacked, name)
	}
}
