package figure

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestGallery writes every figure of every case to the folder named by
// TANKODDS_GALLERY, for a person to look at.
func TestGallery(t *testing.T) {
	dir := os.Getenv("TANKODDS_GALLERY")
	if dir == "" {
		t.Skip("set TANKODDS_GALLERY to a folder to have the figures written there")
	}
	cases := figureCases()
	for name, r := range extremeResults() {
		cases = append(cases, figureCase{"extreme-" + strings.ReplaceAll(name, " ", "-"), Study(r, madeUpRecord(longName), Options{})})
	}
	for _, c := range cases {
		for _, f := range c.figs {
			svg, err := f.SVG()
			require.NoError(t, err)
			png, err := f.PNG()
			require.NoError(t, err)
			stem := filepath.Join(dir, c.name+"-"+f.Name)
			require.NoError(t, os.WriteFile(stem+".svg", svg, 0o644))
			require.NoError(t, os.WriteFile(stem+".png", png, 0o644))
		}
	}
}
