package sheet

import "tankodds/report/figure"

const (
	cellGap    = 12.0 // between two columns of a table, pt
	rowPadding = 1.6  // above and below the text of a row
)

// pdfTable is a table as it is laid out.
type pdfTable struct {
	table *Table
	shown []int     // the columns that are drawn
	right []bool    // of those: set from the right
	width []float64 // and how wide they are
	x     []float64 // and where they begin
	wide  float64   // the whole
	marks bool      // a last column holds the rows' marks; else they stand below the rows
}

// table lays a table out over a width: a caption, the heads, a hairline below
// every row, the notes. The heads are repeated on every page; no page holds
// a single row of it.
func (p *pdfFile) table(t *Table, width float64) []piece {
	d := &pdfTable{table: t, wide: width}
	for i, c := range t.Columns {
		d.shown, d.right = append(d.shown, i), append(d.right, !c.Words)
	}
	if len(d.shown) == 0 || len(t.Rows) == 0 {
		return nil
	}
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
	var runs []run
	for _, n := range notes {
		runs = append(runs, run{smallFace, n})
	}
	if len(runs) == 0 {
		return nil
	}
	return together(append([]piece{{height: 2, draw: func(*pdfFile, float64, float64) {}}}, p.paragraph(0, width, runs...)...))
}

func headLines(c Column) []string {
	if c.Unit == "" {
		return []string{c.Title}
	}
	return []string{c.Title, c.Unit}
}

// measure chooses the widths: what the cells ask for, the columns of words
// narrowed together where that is too much, and what is left spread over the
// gaps.
func (d *pdfTable) measure(p *pdfFile) {
	t := d.table
	var words []int
	cell := func(row int, col int) string {
		if r := t.Rows[row]; col < len(r.Cells) {
			return r.Cells[col]
		}
		return ""
	}
	for k, col := range d.shown {
		most := 0.0
		p.face(headFace.size, false)
		for _, s := range headLines(t.Columns[col]) {
			most = max(most, p.width(s))
		}
		for i := range t.Rows {
			p.face(cellFace.size, t.Rows[i].Mark != "")
			most = max(most, p.width(cell(i, col)))
		}
		d.width = append(d.width, most)
		if t.Columns[col].Words {
			words = append(words, k)
		}
	}
	sum := cellGap * float64(len(d.width)-1)
	for _, w := range d.width {
		sum += w
	}
	mark := 0.0
	p.face(cellFace.size, true)
	for _, r := range t.Rows {
		mark = max(mark, p.width(r.Mark))
	}
	if mark > 0 && sum+cellGap+mark <= d.wide {
		d.marks, sum = true, sum+cellGap+mark
		d.width, d.right = append(d.width, mark), append(d.right, false)
	}
	if len(words) == 0 {
		for k := range d.width {
			words = append(words, k)
		}
	}
	d.narrow(words, sum-d.wide)
	sum = 0
	for _, w := range d.width {
		sum += w
	}
	between := cellGap
	if n := len(d.width) - 1; n > 0 {
		between = min(max(cellGap, (d.wide-sum)/float64(n)), 40)
	}
	x := 0.0
	for _, w := range d.width {
		d.x = append(d.x, x)
		x += w + between
	}
	d.wide = min(d.wide, x-between)
}

// narrow takes the excess from the widest of the columns named, until these
// are alike: cells are broken into lines.
func (d *pdfTable) narrow(cols []int, excess float64) {
	const least = 40
	for excess > 0.01 {
		widest, next := 0.0, least+0.0
		for _, k := range cols {
			widest = max(widest, d.width[k])
		}
		n := 0.0
		for _, k := range cols {
			if d.width[k] > widest-0.01 {
				n++
			} else {
				next = max(next, d.width[k])
			}
		}
		if widest <= least {
			return
		}
		cut := min(widest-next, excess/n)
		for _, k := range cols {
			if d.width[k] > widest-0.01 {
				d.width[k] -= cut
			}
		}
		excess -= cut * n
	}
}

// head is the row of the columns' names and units.
func (d *pdfTable) head(p *pdfFile) piece {
	most := 1
	cells := make([][][]pdfWord, len(d.shown))
	for k, col := range d.shown {
		p.face(headFace.size, false)
		for _, s := range headLines(d.table.Columns[col]) {
			cells[k] = append(cells[k], p.lines(max(d.width[k], 30)+0.01, run{headFace, s})...)
		}
		most = max(most, len(cells[k]))
	}
	height := float64(most)*headFace.size*1.2 + 2*rowPadding + 1
	return piece{height: height, keep: true, draw: func(p *pdfFile, x, y float64) {
		for k, lines := range cells {
			for i, line := range lines { // set from below
				at := y + height - rowPadding - 2 - float64(len(lines)-1-i)*headFace.size*1.2
				d.setCell(p, k, line, x, at)
			}
		}
		p.line(x, y+height-0.5, x+d.wide, y+height-0.5, 0.8, figure.Baseline)
	}}
}

func (d *pdfTable) setCell(p *pdfFile, k int, line []pdfWord, x, y float64) {
	x += d.x[k]
	if d.right[k] {
		last := line[len(line)-1]
		p.face(last.face.size, last.face.bold)
		x += d.width[k] - last.x - p.width(last.text)
	}
	p.setLine(line, x, y)
}

// row is one row of the table; one that is marked stands out.
func (d *pdfTable) row(p *pdfFile, r Row) piece {
	f := cellFace
	if r.Mark != "" {
		f = cellBold
	}
	var cells [][][]pdfWord
	for _, col := range d.shown {
		s := ""
		if col < len(r.Cells) {
			s = r.Cells[col]
		}
		cells = append(cells, p.lines(d.width[len(cells)]+0.01, run{f, s}))
	}
	mark := cellBold
	mark.color = figure.Accent
	var below [][]pdfWord
	if d.marks {
		cells = append(cells, p.lines(d.width[len(cells)]+0.01, run{mark, r.Mark}))
	} else {
		below = p.lines(d.wide, run{mark, r.Mark})
	}
	most := 1
	for _, c := range cells {
		most = max(most, len(c))
	}
	leading := f.size * 1.2
	height := float64(most+len(below))*leading + 2*rowPadding + 0.5
	return piece{height: height, draw: func(p *pdfFile, x, y float64) {
		if r.Mark != "" {
			p.color(figure.Tint(figure.Accent, 0.1))
			p.Rect(x-3, y, d.wide+6, height-0.5, "F")
		}
		for k, lines := range cells {
			for i, line := range lines {
				d.setCell(p, k, line, x, y+rowPadding+float64(i)*leading+f.size*0.95)
			}
		}
		for i, line := range below {
			p.setLine(line, x, y+rowPadding+float64(most+i)*leading+f.size*0.95)
		}
		p.line(x, y+height-0.25, x+d.wide, y+height-0.25, 0.5, figure.Hairline)
	}}
}
