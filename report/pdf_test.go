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
	"gonum.org/v1/plot/vg"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
	"tankodds/rainfall/read"
	"tankodds/report/figure"
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
	b, err := z.PDF(figure.Study(z.Result, z.Record, figure.Options{Units: z.Units}))
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

func TestPDFTellsOfAFigureThatFails(t *testing.T) {
	z := pdfSizing(t, nil)
	p, err := newPDFFile(units.SI)
	require.NoError(t, err)
	p.AddPage()
	figs := figure.Study(z.Result, z.Record, figure.Options{})
	require.NoError(t, figs[0].Draw(newPDFCanvas(p, 0, 0, 1, figure.Height), figure.Width, figure.Height))
	assert.Error(t, (figure.Figure{Name: "reliability"}).Draw(newPDFCanvas(p, 0, 0, 1, figure.Height), figure.Width, figure.Height))
	_, err = z.PDF([]figure.Figure{{Name: "reliability"}})
	assert.ErrorContains(t, err, "figure reliability could not be drawn")
}

// TestTableHeadIsRepeated lays a long table over pages.
func TestTableHeadIsRepeated(t *testing.T) {
	p, err := newPDFFile(units.SI)
	require.NoError(t, err)
	for rows := 1; rows < 130; rows++ {
		table := &Table{Name: "long", Caption: "Long", Columns: []Column{{Title: "Name", Words: true}, {Title: "Value", Unit: "L"}}}
		for range rows {
			table.Rows = append(table.Rows, Row{Cells: []string{"a", "1,000"}})
		}
		pieces := p.table(table, 400)
		head := pieces[1].height
		l := &pdfLayout{top: 40, foot: 700, width: 400}
		l.newPage()
		l.add([]piece{{height: 600, draw: func(*pdfFile, float64, float64) {}}}) // most of a page
		l.add(pieces)
		seen := 0
		for k, page := range l.pages {
			if k == 0 {
				page = page[1:]
			}
			if len(page) == 0 {
				continue
			}
			heads := 1 // and on the page where it begins, its caption
			if seen == 0 {
				heads = 2
			}
			n := len(page) - heads
			assert.True(t, n >= 2 || rows == 1, "%d rows: page %d holds %d of them", rows, k+1, n)
			if seen > 0 {
				assert.InDelta(t, l.top, page[0].y, 1e-9)
				assert.InDelta(t, l.top+head, page[1].y, 1e-9, "the rows go on below the head")
			}
			seen += n
			for i := 1; i < len(page); i++ {
				assert.Greater(t, page[i].y, page[i-1].y)
			}
		}
		assert.Equal(t, rows, seen)
	}
}

func TestColumnsHoldAllInOrder(t *testing.T) {
	for n := 1; n < 200; n += 7 {
		var all []piece
		for i := range n {
			all = append(all, piece{height: 12, keep: i%5 == 0 && i < n-1, draw: func(*pdfFile, float64, float64) {}})
			if i%4 == 3 {
				all = append(all, gap(4))
			}
		}
		l := &pdfLayout{top: 40, foot: 400, width: 500}
		l.newPage()
		l.y = 300
		l.columns(all)
		seen := 0
		for _, page := range l.pages {
			for _, q := range page {
				seen++
				assert.LessOrEqual(t, q.y+12, l.foot+1e-6)
			}
		}
		assert.Equal(t, n, seen)
	}
}

func TestLinesFitTheirWidth(t *testing.T) {
	p, err := newPDFFile(units.SI)
	require.NoError(t, err)
	for _, s := range []string{"a", "", "one two three", strings.Repeat("x", 400), "12,200\u00a0L of " + strings.Repeat("é", 90) + " 日本"} {
		got := ""
		for _, line := range p.lines(90, run{bodyFace, s}) {
			last := line[len(line)-1]
			p.face(last.face.size, last.face.bold)
			assert.LessOrEqual(t, last.x+p.width(last.text), 90.01, "%q", s)
			for _, w := range line {
				got += w.text
			}
		}
		assert.Equal(t, strings.ReplaceAll(s, " ", ""), got, "nothing is lost")
	}
}

// TestCanvasDrawsWhereTheFigureSays checks the turn from the figure's axes to
// the page's, and the circle of curves.
func TestCanvasDrawsWhereTheFigureSays(t *testing.T) {
	p, err := newPDFFile(units.SI)
	require.NoError(t, err)
	c := newPDFCanvas(p, 100, 50, 0.5, 200)
	at := func(x, y float64) []float64 {
		px, py := c.point(vg.Point{X: vg.Length(x), Y: vg.Length(y)})
		return []float64{px, py}
	}
	assert.Equal(t, []float64{100, 150}, at(0, 0), "its lower left corner")
	assert.Equal(t, []float64{150, 50}, at(100, 200))
	c.Push()
	c.Translate(vg.Point{X: 10, Y: 20})
	c.Rotate(3.14159265358979 / 2)
	c.Scale(2, 2)
	// (5, 0) doubled, turned a quarter left and moved: (10, 30)
	assert.InDeltaSlice(t, []float64{105, 135}, at(5, 0), 1e-9)
	assert.InDelta(t, 1, c.scale(), 1e-12)
	c.Pop()
	assert.Equal(t, []float64{100, 150}, at(0, 0))
}

// BenchmarkPDF makes the sheet to be printed with its figures.
// Letters of Latin, Greek and Cyrillic are drawn. Of others the sheet says
// that it cannot, and none becomes another letter.
func TestPDFLettersOfTheWorld(t *testing.T) {
	z := pdfSizing(t, func(_ *sim.Study, z *Sizing) {
		z.Title = "Łódź gęślą, Αθήνα, Сад Ўзбек, Đà Nẵng vườn"
		z.Cover.Client = "Müller\u00a0& Søn"
	})
	figures := figure.Study(z.Result, z.Record, figure.Options{Units: z.Units})
	_, lacking, err := z.Sheet().set(z, figures, nil)
	require.NoError(t, err)
	assert.Empty(t, lacking)

	z.Title += " 水の家 ✓\u200d🌧 גן\x1b"
	_, lacking, err = z.Sheet().set(z, figures, nil)
	require.NoError(t, err)
	assert.Equal(t, []rune("\x1bגן✓の家水🌧"), lacking)
	said := "Letters that cannot be printed on this sheet stand as □ (U+001B U+05D2 U+05DF U+2713 U+306E U+5BB6 U+6C34 U+1F327); report.html beside it shows them."
	assert.Equal(t, said, lackingWords(lacking))
	assert.Contains(t, lackingWords([]rune("abcdefghijklmnop")), " U+006C and 4 more)")

	pdf := pdfOf(t, z)
	assert.Equal(t, pdf, pdfOf(t, z), "the same bytes again")
	text := plainWords(poppler(t, "pdftotext", pdf))
	assert.Contains(t, text, plainWords(said))
	assert.Contains(t, text, "Łódź gęślą, Αθήνα, Сад Ўзбек, Đà Nẵng vườn □□□ □□ □□")
	assert.NotContains(t, text, "?")
}

// A line is as wide as what is drawn of it.
func TestDrawable(t *testing.T) {
	p, err := newPDFFile(units.SI)
	require.NoError(t, err)
	assert.Equal(t, "a b-c□d", p.drawable("a\u00a0b\u2011c水d\u200b\ufe0f"))
	assert.Equal(t, p.width("□□"), p.width("水家"))
	assert.Greater(t, p.width("水"), 5.0)
}

func BenchmarkPDF(b *testing.B) {
	all, err := sheetSizings()
	require.NoError(b, err)
	z := all["costs"]
	for b.Loop() {
		if _, err := z.PDF(figure.Study(z.Result, z.Record, figure.Options{Units: z.Units})); err != nil {
			b.Fatal(err)
		}
	}
}
