package report

import (
	"bytes"
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
	"tankodds/rainfall/read"
	"tankodds/report/units"
	"tankodds/sim"
)

// pdfSizing answers a small study under the invented record of the demo.
func pdfSizing(t *testing.T, change func(*sim.Study, *Sizing)) *Sizing {
	t.Helper()
	rec, err := read.File("../cmd/tankodds/demo.csv", read.Options{})
	require.NoError(t, err)
	rec.Place = "Carrow Hill (invented)"
	series, err := rec.Fill(rec.StartMonth())
	require.NoError(t, err)
	roof := sim.Roof{Name: "studio", Area: 180, Runoff: 0.85, Filter: 1, Drains: 1, FirstFlush: 0.5}
	s := &sim.Study{
		Roofs: []sim.Roof{roof}, Uses: []sim.Use{{Name: "toilets", Daily: 90}}, Areas: []float64{180},
		Sizes: []float64{2000, 5000, 10000, 15000, 20000, 30000, 40000}, Target: 0.9, Years: 1000, Seed: 1,
		RecordError: true, Replicates: 10, Horizon: 30, Level: 0.9, GainStop: 0.01, GainStep: 1000,
	}
	z := &Sizing{Version: "test", Title: "Tarn Lane pottery studio", Record: rainfall.Summarise(rec, series),
		Cover: Cover{Client: "Ash & Fell Ceramics", Author: "M. Thorn"}}
	if change != nil {
		change(s, z)
	}
	z.Result, err = sim.Size(context.Background(), series, gen.Guided(), s)
	require.NoError(t, err)
	return z
}

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

// plainWords is text with its white space made single blanks.
func plainWords(s string) string {
	return strings.Join(strings.Fields(strings.ReplaceAll(s, "\u00a0", " ")), " ")
}

var pdfCases = map[string]func(*sim.Study, *Sizing){
	"SI": nil,
	"US": func(_ *sim.Study, z *Sizing) { z.Units = units.US },
	"no tank meets": func(s *sim.Study, _ *Sizing) {
		s.Sizes, s.Target = []float64{500, 1000, 2000}, 0.99
	},
	"one size": func(s *sim.Study, _ *Sizing) { s.Sizes = []float64{20000} },
	"three roofs, many sizes": func(s *sim.Study, z *Sizing) {
		for _, name := range []string{"barn", "a lean-to with a name that goes on for longer than anyone would expect of a roof"} {
			s.Roofs = append(s.Roofs, sim.Roof{Name: name, Area: 60, Runoff: 0.8, Filter: 0.95, Drains: 2, Surface: "metal"})
		}
		s.Areas, s.Sizes, z.Units = []float64{100, 200, 300, 400}, units.Geometric(500, 40000, 60), units.US
	},
	"long names": func(s *sim.Study, z *Sizing) {
		z.Title = "Upper Carrow Hill Agricultural Research Station, Visitors’ Centre, Café and Glasshouses (invented), North Moor"
		z.Cover = Cover{Client: strings.Repeat("The Trustees of the Carrow Hill Estate and ", 6) + "others", Author: strings.Repeat("M. Thorn-Ash ", 20),
			Location: strings.Repeat("x", 300), Note: "日本語 \U0001F327 <b>&\x00", Date: "2026-11-25"}
		s.Uses = append(s.Uses, sim.Use{Name: strings.Repeat("glasshouse ", 12), Daily: 1})
	},
}

func TestPDF(t *testing.T) {
	for name, change := range pdfCases {
		t.Run(name, func(t *testing.T) {
			z := pdfSizing(t, change)
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
			assert.True(t, pages >= 2 && pages <= 4, "%d pages", pages)
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

			all := plainWords(poppler(t, "pdftotext", b, "-layout"))
			flow := plainWords(poppler(t, "pdftotext", b))
			for _, s := range z.Sheet().Answer {
				assert.Contains(t, flow, plainWords(s))
			}
			for k := 1; k <= pages; k++ {
				assert.Contains(t, all, "page "+strconv.Itoa(k)+" of "+strconv.Itoa(pages))
			}
			for _, want := range []string{"Signature", "Date", "Prepared by", "Take care", "Assumptions", "Sizes worth quoting", "target"} {
				assert.Contains(t, all, want)
			}
			if change == nil {
				assert.Equal(t, pages, strings.Count(all, z.Title+" · "), "the site is named on every page")
				for _, want := range []string{"Ash & Fell Ceramics", "M. Thorn", "safe size"} {
					assert.Contains(t, all, want)
				}
			}
		})
	}
}

// Letters of Latin, Greek and Cyrillic are drawn. Of others the sheet says
// that it cannot, and none becomes another letter.
func TestPDFLettersOfTheWorld(t *testing.T) {
	z := pdfSizing(t, func(_ *sim.Study, z *Sizing) {
		z.Title = "Łódź gęślą, Αθήνα, Сад Ўзбек, Đà Nẵng vườn 水の家 ✓\u200d🌧 גן\x1b"
		z.Cover.Client = "Müller\u00a0& Søn"
	})
	pdf := pdfOf(t, z)
	assert.Equal(t, pdf, pdfOf(t, z), "the same bytes again")
	text := plainWords(poppler(t, "pdftotext", pdf))
	assert.Contains(t, text, "Letters that cannot be printed on this sheet stand as □ (U+001B U+05D2 U+05DF U+2713 U+306E U+5BB6 U+6C34 U+1F327); report.html beside it shows them.")
	assert.Contains(t, text, "Łódź gęślą, Αθήνα, Сад Ўзбек, Đà Nẵng vườn □□□ □□ □□")
	assert.NotContains(t, text, "?")
}

// BenchmarkPDF makes the sheet to be printed with its figures.
func BenchmarkPDF(b *testing.B) {
	all, err := sheetSizings()
	require.NoError(b, err)
	z := all["costs"]
	for b.Loop() {
		if _, err := z.Sheet().PDF(figuresOf(z)); err != nil {
			b.Fatal(err)
		}
	}
}
