package report

import (
	"bytes"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/report/units"
	"tankodds/sim"
)

func pdfOf(t *testing.T, z *Sizing) []byte {
	t.Helper()
	b, err := z.Sheet().PDF(figuresOf(z))
	require.NoError(t, err)
	return b
}

// poppler runs one of poppler's tools on a PDF; a test that needs it is
// skipped where it is not installed.
func poppler(t *testing.T, tool string, pdf []byte, args ...string) string {
	t.Helper()
	if _, err := exec.LookPath(tool); err != nil {
		t.Skip(tool + " is not installed")
	}
	name := filepath.Join(t.TempDir(), "evidence.pdf")
	require.NoError(t, os.WriteFile(name, pdf, 0o644))
	var stderr bytes.Buffer
	c := exec.Command(tool, append(args, name)...)
	if tool == "pdftotext" {
		c.Args = append(c.Args, "-")
	}
	c.Stderr = &stderr
	out, err := c.Output()
	require.NoError(t, err, "%s", stderr.String())
	assert.Empty(t, stderr.String(), "%s finds nothing to mind", tool)
	return string(out)
}

// longNames is an answered study whose site has names that go on and on.
func longNames(z Sizing) *Sizing {
	z.Title = "Upper Carrow Hill Agricultural Research Station, Visitors’ Centre, Café and Glasshouses (invented), North Moor"
	z.Cover = Cover{Client: strings.Repeat("The Trustees of the Carrow Hill Estate and ", 6) + "others", Author: strings.Repeat("M. Thorn-Ash ", 20),
		Location: strings.Repeat("x", 300), Note: "日本語 \U0001F327 <b>&\x00", Date: "2026-11-25"}
	r, s := *z.Result, *z.Result.Study
	s.Uses = append(s.Uses[:len(s.Uses):len(s.Uses)], sim.Use{Name: strings.Repeat("glasshouse ", 12), Daily: 1})
	r.Study, z.Result = &s, &r
	return &z
}

func TestPDF(t *testing.T) {
	t.Parallel()
	all, err := sheetSizings()
	require.NoError(t, err)
	cases := maps.Clone(all)
	cases["long names"] = longNames(*all["costs"])
	for name, z := range cases {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			b := pdfOf(t, z)
			assert.Less(t, len(b), 300<<10)
			if dir := os.Getenv("TANKODDS_GALLERY"); dir != "" { // to be looked at
				require.NoError(t, os.WriteFile(filepath.Join(dir, "evidence-"+strings.ReplaceAll(name, " ", "-")+".pdf"), b, 0o644))
			}
			for range 3 { // maps are walked in another order each time
				assert.True(t, bytes.Equal(b, pdfOf(t, z)), "the same input gives the same bytes")
			}
			assert.NotContains(t, string(b), "CreationDate", "nor is a time of making claimed")
			assert.NotContains(t, string(b), "ModDate")

			info := poppler(t, "pdfinfo", b)
			pages, err := strconv.Atoi(regexp.MustCompile(`Pages:\s+(\d+)`).FindStringSubmatch(info)[1])
			require.NoError(t, err)
			assert.True(t, pages >= 2 && pages <= 5, "%d pages", pages)
			// ISO 216 A4 is 210 × 297 mm, ANSI A (Letter) 8.5 × 11 in: MEM "from memory, unverified"
			size := "595.28 x 841.89 pts (A4)"
			if z.Units == units.US {
				size = "612 x 792 pts (letter)"
			}
			assert.Contains(t, info, size)

			fonts := strings.Split(strings.TrimSpace(poppler(t, "pdffonts", b)), "\n")[2:]
			assert.Len(t, fonts, 2)
			for _, f := range fonts {
				assert.Regexp(t, `CID TrueType\s+Identity-H\s+yes`, f, "embedded")
			}

			all := squeezed(poppler(t, "pdftotext", b, "-layout"))
			flow := squeezed(poppler(t, "pdftotext", b))
			for _, s := range z.Sheet().Answer {
				assert.Contains(t, flow, squeezed(s))
			}
			for k := 1; k <= pages; k++ {
				assert.Contains(t, all, "page "+strconv.Itoa(k)+" of "+strconv.Itoa(pages))
			}
			for _, want := range []string{"Signature", "Date", "Prepared by", "Take care", "Assumptions", "Sizes worth quoting", "target"} {
				assert.Contains(t, all, want)
			}
			if name == "costs" {
				assert.Equal(t, pages, strings.Count(all, z.Title+" · "), "the site is named on every page")
				for _, want := range []string{"Ash & Fell <Ceramics>", "M. Thorn", "safe size"} {
					assert.Contains(t, all, want)
				}
			}
		})
	}
}

// Letters of Latin, Greek and Cyrillic are drawn. Of others the sheet says
// that it cannot, and none becomes another letter.
func TestPDFLettersOfTheWorld(t *testing.T) {
	t.Parallel()
	z := *answered(t, "costs")
	z.Title = "Łódź gęślą, Αθήνα, Сад Ўзбек, Đà Nẵng vườn 水の家 ✓\u200d🌧 גן\x1b"
	z.Cover.Client = "Müller\u00a0& Søn"
	pdf := pdfOf(t, &z)
	assert.Equal(t, pdf, pdfOf(t, &z), "the same bytes again")
	text := squeezed(poppler(t, "pdftotext", pdf))
	assert.Contains(t, text, "Letters that cannot be printed on this sheet stand as □ (U+001B U+05D2 U+05DF U+2713 U+306E U+5BB6 U+6C34 U+1F327); report.html beside it shows them.")
	assert.Contains(t, text, "Łódź gęślą, Αθήνα, Сад Ўзбек, Đà Nẵng vườn □□□ □□ □□")
	assert.NotContains(t, text, "?")
}

// BenchmarkRenderings makes the page and the sheet to be printed with their
// figures.
func BenchmarkRenderings(b *testing.B) {
	z := answered(b, "costs")
	for b.Loop() {
		_, err := z.Sheet().HTML(figuresOf(z))
		require.NoError(b, err)
		_, err = z.Sheet().PDF(figuresOf(z))
		require.NoError(b, err)
	}
}
