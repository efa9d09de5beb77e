package sheet

import (
	"image/color"
	"strings"
	"unicode/utf8"

	"tankodds/report/figure"
)

// piece is the least that a page holds or does not hold: a line of text, a
// row of a table, a figure.
type piece struct {
	height float64
	draw   func(p *pdfFile, x, y float64) // its upper left corner; nil for a gap
	keep   bool                           // on the page of the piece that follows
	again  *piece                         // set before it where it begins a page: a table's head
}

func gap(height float64) piece { return piece{height: height} }

// pdfLayout sets pieces on pages. Nothing is drawn until all is set, so that
// a layout that comes out too long costs nothing.
type pdfLayout struct {
	left, top, width, foot float64 // of the area that text fills, pt; foot is its lower edge
	y                      float64
	pages                  [][]placedPiece
}

type placedPiece struct {
	x, y float64
	draw func(p *pdfFile, x, y float64)
}

func (l *pdfLayout) newPage() {
	l.pages = append(l.pages, nil)
	l.y = l.top
}

// set puts a piece at the cursor of a column and returns the cursor below it.
func (l *pdfLayout) set(q piece, x, y float64) float64 {
	if q.draw != nil {
		n := len(l.pages) - 1
		l.pages[n] = append(l.pages[n], placedPiece{x, y, q.draw})
	}
	return y + q.height
}

// fitting returns how many of the pieces fit a height and may be parted from
// the next there.
func fitting(all []piece, height float64) int {
	n, sum := 0, 0.0
	for i, q := range all {
		sum += q.height
		if sum > height+1e-6 && q.draw != nil {
			break
		}
		if !q.keep {
			n = i + 1
		}
	}
	return n
}

// add sets pieces one below the other.
func (l *pdfLayout) add(all []piece) {
	for len(all) > 0 {
		if l.y == l.top {
			all = l.begin(all)
			if len(all) == 0 {
				return
			}
		}
		n := fitting(all, l.foot-l.y)
		if n == 0 && l.y > l.top {
			l.newPage()
			continue
		}
		for _, q := range all[:max(n, 1)] { // what no page holds is set all the same
			l.y = l.set(q, l.left, l.y)
		}
		all = all[max(n, 1):]
		if len(all) > 0 {
			l.newPage()
		}
	}
}

// trimmed drops the gaps that come first.
func trimmed(all []piece) []piece {
	for len(all) > 0 && all[0].draw == nil {
		all = all[1:]
	}
	return all
}

// begin drops gaps at the top of a page and repeats the head of a table that
// goes on there.
func (l *pdfLayout) begin(all []piece) []piece {
	all = trimmed(all)
	if len(all) > 0 && all[0].again != nil {
		l.y = l.set(*all[0].again, l.left, l.y)
	}
	return all
}

// columns sets pieces, made for columns of columnWidth, in two columns of as
// equal a height as can be, the page filled before the next is begun.
func (l *pdfLayout) columns(all []piece) {
	for all = trimmed(all); len(all) > 0; all = trimmed(all) {
		room := l.foot - l.y
		total := 0.0
		for _, q := range all {
			total += q.height
		}
		height := total / 2
		one, two := 0, 0
		for ; ; height += 2 { // the least height that holds all, or the page's
			h := min(height, room)
			one = fitting(all, h)
			one = len(all) - len(trimmed(all[one:]))
			two = one + fitting(all[one:], h)
			if two == len(all) || h >= room {
				break
			}
		}
		if two == 0 || room < 4*bodyFace.leading() {
			if l.y > l.top {
				l.newPage()
				continue
			}
			one, two = 1, 1
		}
		low := l.y
		for k, part := range [][]piece{all[:one], all[one:two]} {
			y := l.y
			for _, q := range part {
				y = l.set(q, l.left+float64(k)*(l.columnWidth()+columnGap), y)
			}
			low = max(low, y)
		}
		l.y = low
		if all = all[two:]; len(all) > 0 {
			l.newPage()
		}
	}
}

const columnGap = 20.0

func (l *pdfLayout) columnWidth() float64 { return (l.width - columnGap) / 2 }

// textFace is a size and weight of text in the PDF.
type textFace struct {
	size  float64
	bold  bool
	color color.NRGBA
}

func (f textFace) leading() float64 { return f.size * 1.36 }

var (
	bodyFace    = textFace{8.3, false, figure.Ink}
	leadFace    = textFace{8.3, true, figure.Ink}
	smallFace   = textFace{7.2, false, figure.Muted}
	cellFace    = textFace{7.8, false, figure.Ink}
	cellBold    = textFace{7.8, true, figure.Ink}
	headFace    = textFace{7.2, false, figure.Muted}
	captionFace = textFace{8.3, true, figure.Ink}
	sectionFace = textFace{12.5, true, figure.Ink}
)

// run is a stretch of text in one face.
type run struct {
	face textFace
	text string
}

// pdfWord is a word of a line, and where it stands.
type pdfWord struct {
	run
	x float64
}

// lines breaks runs into lines of a width. A space that does not break holds
// its words together; a word wider than the line is broken where it must be.
func (p *pdfFile) lines(width float64, runs ...run) [][]pdfWord {
	var out [][]pdfWord
	var line []pdfWord
	x, space := 0.0, 0.0
	for _, r := range runs {
		p.face(r.face.size, r.face.bold)
		blank := p.width(" ")
		for _, w := range strings.FieldsFunc(r.text, func(c rune) bool { return c == ' ' || c == '\n' || c == '\t' || c == '\r' }) {
			for _, w := range p.fitted(w, width) {
				wide := p.width(w)
				if len(line) > 0 && x+space+wide > width {
					out, line, x, space = append(out, line), nil, 0, 0
				}
				x += space
				line = append(line, pdfWord{run{r.face, w}, x})
				x, space = x+wide, blank
			}
		}
	}
	if len(line) > 0 {
		out = append(out, line)
	}
	return out
}

// fitted breaks a word that is wider than the line.
func (p *pdfFile) fitted(w string, width float64) []string {
	var out []string
	for p.width(w) > width {
		n := 0
		for i, r := range w {
			if end := i + utf8.RuneLen(r); i > 0 && (end > len(w) || p.width(w[:end]) > width) {
				n = i
				break
			}
		}
		if n == 0 {
			break
		}
		out, w = append(out, w[:n]), w[n:]
	}
	return append(out, w)
}

// setLine draws a line of words, its baseline at y; words of one face in one
// go, so that what is copied from the file has its spaces.
func (p *pdfFile) setLine(line []pdfWord, x, y float64) {
	for i := 0; i < len(line); {
		j := i + 1
		words := line[i].text
		for ; j < len(line) && line[j].face == line[i].face; j++ {
			words += " " + line[j].text
		}
		p.face(line[i].face.size, line[i].face.bold)
		p.color(line[i].face.color)
		p.text(x+line[i].x, y, words)
		i = j
	}
}

// paragraph breaks runs into pieces; no line of it stands alone on a page,
// where it has more than one.
func (p *pdfFile) paragraph(indent, width float64, runs ...run) []piece {
	var out []piece
	lines := p.lines(width-indent, runs...)
	for i, line := range lines {
		f := line[0].face
		out = append(out, piece{height: f.leading(), keep: i == 0 && len(lines) > 1 || i == len(lines)-2,
			draw: func(p *pdfFile, x, y float64) { p.setLine(line, x+indent, y+f.size*1.06) }})
	}
	return out
}

// beside draws what stands before the first of lines of text, too.
func beside(lines []piece, draw func(p *pdfFile, x, y float64)) []piece {
	if len(lines) > 0 {
		first := lines[0].draw
		lines[0].draw = func(p *pdfFile, x, y float64) {
			draw(p, x, y)
			first(p, x, y)
		}
	}
	return lines
}

// together keeps all pieces on one page.
func together(all []piece) []piece {
	for i := range all {
		all[i].keep = i < len(all)-1
	}
	return all
}

// withNext keeps the pieces on the page of what follows.
func withNext(all []piece) []piece {
	for i := range all {
		all[i].keep = true
	}
	return all
}
