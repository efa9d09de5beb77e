package sheet

import "strings"

const (
	mostGap   = 3  // between two columns, characters
	leastWide = 12 // what a column of words is narrowed to at most
	mostCell  = 20 // a longer cell in a column of numbers gives its row lines of its own
)

// marks stand beside the name of a row that is set apart, one for each kind.
var marks = []string{"←", "⇐", "«", "‹"}

// textTable is a table as it is laid out for a terminal.
type textTable struct {
	*Table
	wide []int      // of each column
	head [][]string // the lines of each column's head
	gap  int
	mark map[string]string
}

// table writes the caption, the heads, the rows and the notes.
func (t *terminal) table(table *Table) {
	d := &textTable{Table: table, mark: map[string]string{}}
	d.measure(Width - runes(t.indent))
	if table.Caption != "" {
		t.hanging("", table.Caption+":")
	}
	t.grid(d, d.head, "", true)
	total := d.gap * (len(d.wide) - 1)
	for _, w := range d.wide {
		total += w
	}
	t.line(strings.Repeat("-", total))
	var notes []string
	for _, r := range table.Rows {
		if r.Mark != "" && d.mark[r.Mark] == "" {
			d.mark[r.Mark] = marks[min(len(d.mark), len(marks)-1)]
			notes = append(notes, d.mark[r.Mark]+" "+r.Mark+".")
		}
		t.row(d, r)
	}
	if notes = append(notes, table.Notes...); len(notes) > 0 {
		t.hanging("", strings.Join(notes, " "))
	}
}

// row writes one row; cells of words are broken into lines.
func (t *terminal) row(d *textTable, r Row) {
	if d.spelled(r) {
		t.hanging("", r.Cells[0])
		for k, c := range d.Columns[1:] {
			if r.Cells[k+1] != "" {
				t.hanging("  "+pad(strings.ToLower(c.Title), d.titles()+2), r.Cells[k+1])
			}
		}
		return
	}
	lines := make([][]string, len(d.Columns))
	for k, c := range d.Columns {
		if lines[k] = []string{r.Cells[k]}; c.Words && runes(r.Cells[k]) > d.wide[k] {
			lines[k] = hung(r.Cells[k], d.wide[k], k == 0)
		}
	}
	t.grid(d, lines, d.mark[r.Mark], false)
}

// grid sets the lines of cells side by side, with a mark in the first line;
// low cells end in the last line, others begin in the first.
func (t *terminal) grid(d *textTable, lines [][]string, mark string, low bool) {
	most := 0
	for _, l := range lines {
		most = max(most, len(l))
	}
	for i := range most {
		cells := make([]string, len(lines))
		for k, l := range lines {
			at := i
			if low {
				at -= most - len(l)
			}
			if at >= 0 && at < len(l) {
				cells[k] = l[at]
			}
		}
		t.line(d.set(cells, mark))
		mark = ""
	}
}

// hung wraps a cell; the later lines of a row's name are set in.
func hung(text string, n int, name bool) []string {
	lines := wrap(text, n)
	if !name {
		return lines
	}
	out := lines[:1:1]
	for _, l := range wrap(strings.Join(lines[1:], " "), n-2) {
		out = append(out, "  "+l)
	}
	return out
}

// spelled says whether a row has sentences where others have numbers.
func (d *textTable) spelled(r Row) bool {
	for k, c := range d.Columns {
		if !c.Words && runes(r.Cells[k]) > mostCell {
			return true
		}
	}
	return false
}

// titles is the longest title of a column but the first.
func (d *textTable) titles() int {
	var all []string
	for _, c := range d.Columns[1:] {
		all = append(all, c.Title)
	}
	return longest(all)
}

// set sets cells side by side; the mark of the first stands in the gap.
func (d *textTable) set(cells []string, mark string) string {
	var b strings.Builder
	for k, c := range cells {
		if k > 0 {
			b.WriteString(blanks(d.gap - runes(mark)))
			mark = ""
		}
		if d.Columns[k].Words {
			c = pad(c, d.wide[k])
		} else {
			c = right(c, d.wide[k])
		}
		b.WriteString(c)
		if k == 0 {
			b.WriteString(mark)
		}
	}
	return b.String()
}

// measure chooses the widths: those of the cells, and of heads of as few lines
// as will do; where that is too much, columns of words are narrowed.
func (d *textTable) measure(room int) {
	cells := make([]int, len(d.Columns))
	for _, r := range d.Rows {
		if d.spelled(r) {
			continue
		}
		for k := range d.Columns {
			cells[k] = max(cells[k], runes(r.Cells[k]))
		}
	}
	sum := 0
	for lines := 1; lines <= 4; lines++ {
		d.wide, d.head, sum = nil, nil, 0
		for k, c := range d.Columns {
			w, head := headOf(c, cells[k], lines)
			d.wide, d.head, sum = append(d.wide, w), append(d.head, head), sum+w
		}
		if sum+2*(len(d.wide)-1) <= room {
			break
		}
	}
	d.gap = min(mostGap, max(1, (room-sum)/max(1, len(d.wide)-1)))
	narrow(d.wide, sum+d.gap*(len(d.wide)-1)-room, func(k int) int {
		if !d.Columns[k].Words {
			return d.wide[k]
		}
		return max(leastWide, longest(d.head[k]))
	})
}

// narrow takes the excess from the widest of the columns that are wider than
// their least, a character or a point at a time: cells are broken into lines.
func narrow[N int | float64](wide []N, excess N, least func(k int) N) {
	for ; excess > 0; excess-- {
		widest := -1
		for k, w := range wide {
			if w > least(k) && (widest < 0 || w > wide[widest]) {
				widest = k
			}
		}
		if widest < 0 {
			return
		}
		wide[widest]--
	}
}

// headOf returns the least width, of least or more, in which a column's head
// has no more than so many lines, and these. The unit stands on a line of its
// own where that takes no more room.
func headOf(c Column, least, lines int) (int, []string) {
	for w := max(least, 1); ; w++ {
		for _, head := range [][]string{append(wrap(c.Title, w), wrap(c.Unit, w)...), filled(append(strings.Fields(c.Title), c.Unit), w)} {
			if len(head) <= lines && longest(head) <= w {
				return w, head
			}
		}
	}
}

func longest(lines []string) int {
	most := 0
	for _, l := range lines {
		most = max(most, runes(l))
	}
	return most
}
