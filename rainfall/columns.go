package rainfall

import (
	"fmt"
	"strconv"
	"strings"
	"time"
)

// splitCells cuts a line at a delimiter, without the quotes and blanks round
// each cell. It is for heads: a delimiter inside quotes is not respected.
func splitCells(s, comma string) []string {
	cells := strings.Split(s, comma)
	for i, c := range cells {
		cells[i] = strings.TrimSpace(strings.Trim(strings.TrimSpace(c), `"`))
	}
	return cells
}

// hasCells reports whether each name is among the cells, letter case aside.
func hasCells(cells []string, names ...string) bool {
	for _, n := range names {
		found := false
		for _, c := range cells {
			found = found || strings.EqualFold(c, n)
		}
		if !found {
			return false
		}
	}
	return true
}

// headerLine returns the first of the file's first most lines whose cells are
// a header by is, counted from 1, or 0.
func (in *input) headerLine(most int, comma string, is func(cells []string) bool) int {
	for n := 1; n <= min(most, len(in.lines)); n++ {
		if strings.Contains(in.lines[n-1], comma) && is(splitCells(in.lines[n-1], comma)) {
			return n
		}
	}
	return 0
}

// yearMonthDay reads a date from three cells.
func (in *input) yearMonthDay(line int, y, m, d string) (Date, error) {
	yy, e1 := strconv.Atoi(y)
	mm, e2 := strconv.Atoi(m)
	dd, e3 := strconv.Atoi(d)
	if e1 == nil && e2 == nil && e3 == nil && yy >= 1600 && yy <= 2200 {
		if day, ok := MakeDate(yy, time.Month(mm), dd); ok {
			return day, nil
		}
	}
	return 0, in.fail(line, fmt.Sprintf("year %q, month %q, day %q are no day", y, m, d), "")
}

// need returns the position of a column that a format cannot do without; head
// is the line of the header.
func (t *table) need(head int, hint string, names ...string) (int, error) {
	if i := t.find(names...); i >= 0 {
		return i, nil
	}
	return 0, t.in.fail(head, fmt.Sprintf("no column %q", names[0]), hint)
}

// warnDoubtful says how many days of the record are marked Doubtful, and why.
func (r *Record) warnDoubtful(why string) {
	if n := r.Count(Doubtful); n > 0 {
		r.warn("doubtful", "%s kept though %s (%.1f %% of the record)", count(n, "value is", "values are"), why, 100*float64(n)/float64(len(r.Depth)))
	}
}

// doubtTotal marks the shares of the total read on day last, which its
// publisher calls estimated or not yet checked. A total that covers no other
// day is that day's own value.
func (r *Record) doubtTotal(last Date) {
	days := 1
	for _, t := range r.Totals {
		if t.Last == last {
			days = t.Days
		}
	}
	for d := last - Date(days) + 1; d <= last; d++ {
		if i := int(d - r.First); i >= 0 && i < len(r.Mark) && r.Depth[i] >= 0 && (r.Mark[i]&Spread != 0 || days == 1) {
			r.Mark[i] |= Doubtful
		}
	}
}

// modelled marks the record as a grid cell of a model.
func (r *Record) modelled(source string) {
	r.Modelled = true
	r.warn("modelled", "these are values of a modelled grid cell (%s), not of a gauge; compare them with a gauge nearby before relying on them", source)
}
