package read

import (
	"fmt"

	"tankodds/rainfall"
)

// Since returns the record from 1 January of a calendar year on; where it
// begins later anyway, the record itself. The depths are shared, not copied.
func Since(r *rainfall.Record, year int) (*rainfall.Record, error) {
	from := rainfall.Day(year, 1, 1)
	if from <= r.First {
		return r, nil
	}
	if from > r.Last() {
		return nil, &Error{File: r.File, Text: fmt.Sprintf("the record ends on %v, before %d", r.Last(), year),
			Hint: "take an earlier year for --since"}
	}
	cut := *r
	n := from - r.First
	cut.First, cut.Depth, cut.Mark = from, r.Depth[n:], r.Mark[n:]
	if r.Max != nil {
		cut.Max, cut.Min = r.Max[n:], r.Min[n:]
	}
	cut.Totals = nil
	for _, t := range r.Totals {
		if t.Last-rainfall.Date(t.Days)+1 >= from {
			cut.Totals = append(cut.Totals, t)
		}
	}
	return &cut, nil
}
