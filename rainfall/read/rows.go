package read

import (
	"math"
	"regexp"

	"tankodds/rainfall"
)

// rowValue says what the amount of a row is: its depth in mm, NaN where it is
// missing, and its marks.
type rowValue func(row int, amount string) (float64, rainfall.Mark)

// record makes a record of a table that has a row a day.
func (t *table) record(rain int, date []int, value rowValue) *rainfall.Record {
	amount := t.amounts(rain)
	return t.recordOf(t.days(date...), amount, value)
}

// recordOf is record for days and amounts that are known.
func (t *table) recordOf(days []rainfall.Date, amount []string, value rowValue) *rainfall.Record {
	t.day, t.build = days, &builder{in: t.in}
	for i, d := range days {
		mm, mark := value(i, amount[i])
		t.build.add(t.line[i], d, mm, mark)
	}
	r := t.build.record()
	r.Station = t.id
	return r
}

// total takes an amount measured over the days up to a row's, 0 where it is
// not said how many. It returns what is left for the row's own value: nothing.
func (t *table) total(row, days int, mm float64, mark rainfall.Mark) (float64, rainfall.Mark) {
	t.build.addTotal(t.line[row], t.day[row], days, mm)
	if mark == rainfall.Doubtful {
		t.build.doubted = append(t.build.doubted, t.day[row])
	}
	return math.NaN(), 0
}

// number reads the number in a cell of a row, NaN where it is blank; what is
// the name of its column.
func (t *table) number(row int, cell, what string) float64 {
	if cell == "" {
		return math.NaN()
	}
	return t.in.number(t.line[row], cell, what)
}

// titled returns what a pattern finds in the lines above the table, of the
// last that it matches; nil for none.
func (t *table) titled(pattern *regexp.Regexp) []string {
	var found []string
	for _, s := range t.above() {
		if m := pattern.FindStringSubmatch(trimmed(s)); m != nil {
			found = m
		}
	}
	return found
}
