package sheet

import (
	"fmt"
	"slices"
	"strings"

	"gonum.org/v1/plot/vg"

	"tankodds/report/codec"
	"tankodds/report/figure"
)

// The PDF is two to five pages: what a client reads and a reviewer files.
const mostPages = 5

// pdfSpare is what a PDF of too many pages does without, the most dispensable
// first: figures that show what others say in words or numbers, then tables
// and sections.
var pdfSpare = []string{
	"figure fidelity", "figure record", "figure turnover", "figure balance", "table driest", "figure map", "table areas",
	"figure strip", "table thumbs", "figure season",
}

const (
	pdfMargin = 51.0 // left and right, pt
	pdfTop    = 44.0
	pdfFoot   = 52.0 // from the lower edge to the text
	// figureHeight is how much of its own page a figure is drawn on: less
	// than all of it, as on paper there is text beside it.
	figureHeight = 3.8 * vg.Inch
)

// PDF returns the sheet as a PDF of A4 or Letter: the text,
// the tables and those of the figures that it has room for, as lines and
// letters, with its fonts in it. The same sheet gives the same bytes.
// Where its font lacks letters of the sheet, the first page says which.
func (s *Sheet) PDF(figures []figure.Figure) ([]byte, error) {
	p, err := newPDFFile(s.Letter)
	if err != nil {
		return nil, err
	}
	p.SetTitle(codec.VisibleText(s.Title+" – "+s.Subject), true)
	p.SetSubject(codec.VisibleText(s.Subject), true)
	p.SetAuthor(codec.VisibleText(s.Author), true)
	p.SetCreator(codec.VisibleText(s.Program), true)
	p.SetProducer("", false)
	shown := s.Only(Report)
	d := &pdfSheet{file: p, sheet: shown, lacking: p.lackingIn(shown), figures: map[string]figure.Figure{}, without: map[string]bool{}}
	for _, f := range figures {
		d.figures[f.Name] = f
	}
	d.layOut()
	for _, name := range pdfSpare {
		if len(d.pages) <= mostPages {
			break
		}
		d.leave(name, true)
	}
	for _, name := range slices.Backward(pdfSpare) { // what of it there is room for after all
		if d.without[name] && d.leave(name, false) > mostPages {
			d.leave(name, true)
		}
	}
	for i, page := range d.pages {
		p.AddPage()
		for _, q := range page {
			q.draw(p, q.x, q.y)
		}
		d.footer(i+1, len(d.pages))
	}
	if d.err != nil {
		return nil, d.err
	}
	return p.bytes()
}

// pdfSheet lays a sheet out.
type pdfSheet struct {
	pdfLayout
	file    *pdfFile
	sheet   *Sheet
	figures map[string]figure.Figure
	without map[string]bool // of pdfSpare
	lacking []rune          // letters that the font has no shape for
	err     error           // of a figure
}

// leave lays the sheet out without a part, or with it again, and returns how
// many pages it takes.
func (d *pdfSheet) leave(name string, out bool) int {
	d.without[name] = out
	d.layOut()
	return len(d.pages)
}

func (d *pdfSheet) layOut() {
	w, h := d.file.GetPageSize()
	d.pdfLayout = pdfLayout{left: pdfMargin, top: pdfTop, width: w - 2*pdfMargin, foot: h - pdfFoot}
	d.newPage()
	d.add(d.opening())
	for _, s := range d.sheet.Sections {
		if !d.without["section "+s.ID] {
			d.section(s)
		}
	}
	d.add(d.signature())
}

// opening is the site, what was asked and for whom, and the answer.
func (d *pdfSheet) opening() []piece {
	p, s := d.file, d.sheet
	title := textFace{21, true, figure.Ink}
	if n := len(p.lines(d.width, run{title, s.Title})); n > 1 {
		title.size = 15
	}
	out := p.paragraph(0, d.width, run{textFace{9, true, figure.Accent}, s.Subject})
	out = append(out, gap(1))
	out = append(out, p.paragraph(0, d.width, run{title, s.Title})...)
	out = append(out, gap(3))
	out = append(out, p.facts(s.Facts, d.width)...)
	if len(d.lacking) > 0 {
		out = append(out, gap(4))
		out = append(out, p.paragraph(0, d.width, run{smallFace, lackingWords(d.lacking)})...)
	}
	out = append(out, gap(7), d.answer(), gap(10))
	return together(out)
}

// answer is the box that holds the answer.
func (d *pdfSheet) answer() piece {
	p := d.file
	const inset = 12.0
	first, rest := textFace{12.5, true, figure.Ink}, textFace{10.5, false, figure.Ink}
	var body []piece
	for i, text := range d.sheet.Answer {
		f := rest
		if i == 0 {
			f = first
		} else {
			body = append(body, gap(4))
		}
		body = append(body, p.paragraph(0, d.width-2*inset, run{f, text})...)
	}
	height := 2*inset - 6
	for _, q := range body {
		height += q.height
	}
	return piece{height: height, draw: func(p *pdfFile, x, y float64) {
		p.color(figure.Tint(figure.Accent, 0.1))
		p.Rect(x, y, d.width, height, "F")
		p.color(figure.Accent)
		p.Rect(x, y, 3, height, "F")
		y += inset - 3
		for _, q := range body {
			if q.draw != nil {
				q.draw(p, x+inset, y)
			}
			y += q.height
		}
	}}
}

// section sets a heading and its blocks. Much text is set in two columns.
func (d *pdfSheet) section(s Section) {
	head := d.heading(s.Heading)
	if s.ID == answerID { // it goes on below the box that gives it
		head = nil
	}
	var prose []Block
	flush := func(next bool) {
		if len(prose) > 0 {
			head = d.prose(head, prose, next)
			prose = nil
		}
	}
	for _, b := range s.Blocks {
		var own []piece
		switch {
		case b.Table != nil:
			if d.without["table "+b.Table.Name] {
				continue
			}
			own = append(d.file.table(b.Table, d.width), gap(9))
		case b.Figure != "":
			f, ok := d.figures[b.Figure]
			if !ok || d.without["figure "+b.Figure] {
				continue
			}
			own = []piece{d.figure(f), gap(8)}
		default:
			prose = append(prose, b)
			continue
		}
		flush(true)
		d.add(append(head, own...))
		head = nil
	}
	flush(false)
}

// answerID is the section that follows the answer.
const answerID = "answer"

// columnsFrom is how many lines of text are set in two columns rather than in
// long lines.
const columnsFrom = 7

// prose sets text, in two columns where it is long. A short one that a table
// or a figure follows is returned as its head.
func (d *pdfSheet) prose(head []piece, blocks []Block, next bool) []piece {
	wide := d.blocks(blocks, d.width)
	lines := 0
	for _, q := range wide {
		if q.draw != nil {
			lines++
		}
	}
	if wide = append(wide, gap(3)); lines < columnsFrom && next {
		return append(head, withNext(wide)...)
	}
	if lines < columnsFrom {
		d.add(append(head, wide...))
		return nil
	}
	need := 5 * bodyFace.leading()
	for _, q := range head {
		need += q.height
	}
	if d.foot-d.y < need && d.y > d.top {
		d.newPage()
	}
	if d.y == d.top {
		head = d.begin(head)
	}
	for _, q := range head {
		d.y = d.set(q, d.left, d.y)
	}
	d.columns(d.blocks(blocks, d.columnWidth()))
	d.y += 7
	return nil
}

// figure is one of the figures over the width of the page, its margins cut
// off.
func (d *pdfSheet) figure(f figure.Figure) piece {
	const cut = float64(figure.Margin) - 4
	scale := d.width / float64(figure.Width-2*figure.Margin)
	return piece{height: scale * (float64(figureHeight) - 2*cut), draw: func(p *pdfFile, x, y float64) {
		c := newPDFCanvas(p, x-scale*float64(figure.Margin), y-scale*cut, scale, figureHeight)
		if err := f.Draw(c, figure.Width, figureHeight); err != nil && d.err == nil {
			d.err = err
		}
	}}
}

// signature is the place for a name, a signature and a date.
func (d *pdfSheet) signature() []piece {
	third := (d.width - 2*columnGap) / 3
	return []piece{gap(10), {height: 58, draw: func(p *pdfFile, x, y float64) {
		for i, f := range []Fact{{"Prepared by", d.sheet.Author}, {"Signature", ""}, {"Date", d.sheet.Date}} {
			at := x + float64(i)*(third+columnGap)
			p.line(at, y+40, at+third, y+40, 0.8, figure.Ink)
			p.setLine([]pdfWord{{run{smallFace, f.Label}, 0}}, at, y+50)
			if lines := p.lines(third, run{bodyFace, f.Value}); len(lines) > 0 {
				p.setLine(lines[0], at, y+36)
			}
		}
	}}}
}

// footer names the site, the run and the page.
func (d *pdfSheet) footer(n, of int) {
	p := d.file
	y := d.foot + 14
	p.line(d.left, y, d.left+d.width, y, 0.6, figure.Hairline)
	page := fmt.Sprintf("page %d of %d", n, of)
	p.face(smallFace.size, false)
	right := p.width(page)
	room := d.width - right - 20
	set := func(s string, y float64) {
		if lines := p.lines(room, run{smallFace, s}); len(lines) > 0 {
			p.setLine(lines[0], d.left, y)
		}
	}
	p.color(figure.Muted)
	p.face(smallFace.size, false)
	p.text(d.left+d.width-right, y+11, page)
	set(strings.Join([]string{d.sheet.Title, d.sheet.Subject}, " · "), y+11)
	set(d.sheet.Foot, y+20)
}
