package sheet

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/plot/vg"

	"tankodds/report/figure"
)

// TestTableHeadIsRepeated lays a long table over pages.
func TestTableHeadIsRepeated(t *testing.T) {
	p, err := newPDFFile(false)
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
	p, err := newPDFFile(false)
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
// the page's, and that what cannot be drawn is an error.
func TestCanvasDrawsWhereTheFigureSays(t *testing.T) {
	p, err := newPDFFile(false)
	require.NoError(t, err)
	c := newPDFCanvas(p, 100, 50, 0.5, 200)
	at := func(x, y float64) []float64 {
		px, py := c.point(vg.Point{X: vg.Length(x), Y: vg.Length(y)})
		return []float64{px, py}
	}
	assert.Equal(t, []float64{100, 150}, at(0, 0), "its lower left corner")
	assert.Equal(t, []float64{150, 50}, at(100, 200))
	require.NoError(t, p.Error())
	assert.Panics(t, func() { c.Rotate(1) })
}

// A line is as wide as what is drawn of it.
func TestDrawable(t *testing.T) {
	p, err := newPDFFile(false)
	require.NoError(t, err)
	assert.Equal(t, "a b-c□d", p.drawable("a\u00a0b\u2011c水d\u200b\ufe0f"))
	assert.Equal(t, p.width("□□"), p.width("水家"))
	assert.Greater(t, p.width("水"), 5.0)
}

// Letters of Latin, Greek and Cyrillic are drawn; which are not is known.
func TestLackingLetters(t *testing.T) {
	p, err := newPDFFile(false)
	require.NoError(t, err)
	s := &Sheet{Title: "Łódź gęślą, Αθήνα, Сад Ўзбек, Đà Nẵng vườn"}
	assert.Empty(t, p.lackingIn(s))
	s.Title += " 水の家 ✓\u200d🌧 גן\x1b"
	assert.Equal(t, []rune("\x1bגן✓の家水🌧"), p.lackingIn(s))
	assert.Contains(t, lackingWords([]rune("abcdefghijklmnop")), " U+006C and 4 more)")
}

func TestPDFTellsOfAFigureThatFails(t *testing.T) {
	p, err := newPDFFile(false)
	require.NoError(t, err)
	p.AddPage()
	require.NoError(t, studyFigures(t)[0].Draw(newPDFCanvas(p, 0, 0, 1, figure.Height), figure.Width, figure.Height))
	broken := figure.Figure{Name: "reliability"}
	assert.Error(t, broken.Draw(newPDFCanvas(p, 0, 0, 1, figure.Height), figure.Width, figure.Height))
	_, err = (&Sheet{Sections: []Section{{ID: "answer", Blocks: []Block{Figure("reliability")}}}}).PDF([]figure.Figure{broken})
	assert.ErrorContains(t, err, "figure reliability could not be drawn")
}

// Neither the first line of a paragraph nor its last stands alone on a page: two lines
// stay together at either end, of two and of three lines all.
func TestNoLineAlone(t *testing.T) {
	p, err := newPDFFile(false)
	require.NoError(t, err)
	for lines, want := range map[int]string{1: ".", 2: "k.", 3: "kk.", 4: "k.k.", 6: "k...k."} {
		got := ""
		for _, q := range p.paragraph(0, 90, run{bodyFace, strings.TrimSpace(strings.Repeat("Lillicrap-Featherstone ", lines))}) {
			got += map[bool]string{true: "k", false: "."}[q.keep]
		}
		assert.Equal(t, want, got)
	}
}
