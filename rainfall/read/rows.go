package read

import (
	"math"
	"regexp"

	"tankodds/rainfall"
)

// record makes a record of a table that has a row a day. value says what an
// amount of a row is: its depth in mm, NaN where it is missing, and its marks.
func (t *table) record(rain int, date []int, value func(row int, amount string) (float64, rainfall.Mark, error)) (*rainfall.Record, error) {
	amount, err := t.amounts(rain)
	if err != nil {
		return nil, err
	}
	days, err := t.days(date...)
	if err != nil {
		return nil, err
	}
	return t.recordOf(days, amount, value)
}

// recordOf is record for days and amounts that are known.
func (t *table) recordOf(days []rainfall.Date, amount []string, value func(row int, amount string) (float64, rainfall.Mark, error)) (*rainfall.Record, error) {
	b := &builder{in: t.in}
	for i, d := range days {
		mm, mark, err := value(i, amount[i])
		if err != nil {
			return nil, err
		}
		if err := b.add(t.line[i], d, mm, mark); err != nil {
			return nil, err
		}
	}
	r, err := b.record()
	if err != nil {
		return nil, err
	}
	r.Station = t.id
	return r, nil
}

// number reads the number in a cell of a row, NaN where it is blank; what is
// the name of its column.
func (t *table) number(row int, cell, what string) (float64, error) {
	if cell == "" {
		return math.NaN(), nil
	}
	return t.in.number(t.line[row], cell, what)
}

// tenths reads a whole number of tenths of a millimetre, as it stands there.
func (t *table) tenths(row int, cell, what string) (float64, error) {
	if cell == "" {
		return math.NaN(), nil
	}
	return t.in.wholeOf(t.line[row], cell, what)
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
