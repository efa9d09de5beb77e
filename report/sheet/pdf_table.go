package sheet

import (
	"math"

	"tankodds/report/figure"
)

const (
	cellGap    = 12.0 // between two columns of a table, pt
	leastCell  = 40.0 // what a column of words is narrowed to at most
	rowPadding = 1.6  // above and below the text of a row
)

// pdfTable is a table as it is laid out.
type pdfTable struct {
	*Table
	width []float64 // of the columns
	x     []float64 // where they begin
	wide  float64   // the whole
	marks bool      // a last column holds the rows' marks; else they stand below the rows
}

// table lays a table out over a width: a caption, the heads, a hairline below
// every row, the notes. The heads are repeated on every page; no page holds
// a single row of it.
func (p *pdfFile) table(t *Table, width float64) []piece {
	d := &pdfTable{Table: t, wide: width}
	d.measure(p)
	var out []piece
	if t.Caption != "" {
		out = append(out, withNext(p.paragraph(0, width, run{captionFace, t.Caption}))...)
	}
	head := d.head(p)
	out = append(out, head)
	for i, r := range t.Rows {
		q := d.row(p, r)
		if i > 0 {
			q.again = &head
		}
		n := len(t.Rows)
		q.keep = n > 1 && (i == 0 || i == n-2)
		out = append(out, q)
	}
	if notes := p.notes(t.Notes, width); len(notes) > 0 {
		out[len(out)-1].keep = true
		out = append(out, notes...)
	}
	return out
}

func (p *pdfFile) notes(notes []string, width float64) []piece {
	if len(notes) == 0 {
		return nil
	}
	var runs []run
	for _, n := range notes {
		runs = append(runs, run{smallFace, n})
	}
	return together(append([]piece{{height: 2, draw: func(*pdfFile, float64, float64) {}}}, p.paragraph(0, width, runs...)...))
}

// measure chooses the widths: what the cells ask for, the columns of words
// narrowed together where that is too much, and what is left spread over the
// gaps.
func (d *pdfTable) measure(p *pdfFile) {
	words := false
	marks := 0.0
	for k, c := range d.Columns {
		p.face(headFace.size, false)
		most := max(p.width(c.Title), p.width(c.Unit))
		for _, r := range d.Rows {
			p.face(cellFace.size, r.Mark != "")
			most = max(most, p.width(r.Cells[k]))
			if r.Mark != "" {
				marks = max(marks, p.width(r.Mark))
			}
		}
		d.width = append(d.width, most)
		words = words || c.Words
	}
	if sum := d.sum(cellGap); marks > 0 && sum+cellGap+marks <= d.wide {
		d.marks, d.width = true, append(d.width, marks)
	}
	narrow(d.width, d.sum(cellGap)-d.wide, func(k int) float64 {
		if words && (k == len(d.Columns) || !d.Columns[k].Words) {
			return math.Inf(1)
		}
		return leastCell
	})
	between := cellGap
	if n := len(d.width) - 1; n > 0 {
		between = min(max(cellGap, (d.wide-d.sum(0))/float64(n)), 40)
	}
	x := 0.0
	for _, w := range d.width {
		d.x = append(d.x, x)
		x += w + between
	}
	d.wide = min(d.wide, x-between)
}

// sum is how wide all columns are with so much between them.
func (d *pdfTable) sum(between float64) float64 {
	sum := between * float64(len(d.width)-1)
	for _, w := range d.width {
		sum += w
	}
	return sum
}

// head is the row of the columns' names and units.
func (d *pdfTable) head(p *pdfFile) piece {
	most := 1
	cells := make([][][]pdfWord, len(d.Columns))
	for k, c := range d.Columns {
		for _, s := range []string{c.Title, c.Unit} {
			cells[k] = append(cells[k], p.lines(max(d.width[k], 30)+0.01, run{headFace, s})...)
		}
		most = max(most, len(cells[k]))
	}
	height := float64(most)*headFace.size*1.2 + 2*rowPadding + 1
	return piece{height: height, keep: true, draw: func(p *pdfFile, x, y float64) {
		for k, lines := range cells { // set from below
			d.setCell(p, k, lines, x, y+height-rowPadding-2-float64(len(lines)-1)*headFace.size*1.2, headFace.size*1.2)
		}
		p.line(x, y+height-0.5, x+d.wide, y+height-0.5, 0.8, figure.Baseline)
	}}
}

// setCell sets the lines of a cell, the first baseline at y.
func (d *pdfTable) setCell(p *pdfFile, k int, lines [][]pdfWord, x, y, leading float64) {
	for i, line := range lines {
		at := x + d.x[k]
		if k < len(d.Columns) && !d.Columns[k].Words {
			last := line[len(line)-1]
			p.face(last.face.size, last.face.bold)
			at += d.width[k] - last.x - p.width(last.text)
		}
		p.setLine(line, at, y+float64(i)*leading)
	}
}

// row is one row of the table; one that is marked stands out.
func (d *pdfTable) row(p *pdfFile, r Row) piece {
	f, mark := cellFace, run{cellBold, r.Mark}
	mark.face.color = figure.Accent
	if r.Mark != "" {
		f = cellBold
	}
	var cells [][][]pdfWord
	most := 1
	for k, s := range r.Cells {
		cells = append(cells, p.lines(d.width[k]+0.01, run{f, s}))
		most = max(most, len(cells[k]))
	}
	var below [][]pdfWord
	if d.marks {
		cells = append(cells, p.lines(d.width[len(cells)]+0.01, mark))
	} else {
		below = p.lines(d.wide, mark)
	}
	leading := f.size * 1.2
	height := float64(most+len(below))*leading + 2*rowPadding + 0.5
	return piece{height: height, draw: func(p *pdfFile, x, y float64) {
		if r.Mark != "" {
			p.color(figure.Tint(figure.Accent, 0.1))
			p.Rect(x-3, y, d.wide+6, height-0.5, "F")
		}
		base := y + rowPadding + f.size*0.95
		for k, lines := range cells {
			d.setCell(p, k, lines, x, base, leading)
		}
		for i, line := range below {
			p.setLine(line, x, base+float64(most+i)*leading)
		}
		p.line(x, y+height-0.25, x+d.wide, y+height-0.25, 0.5, figure.Hairline)
	}}
}
