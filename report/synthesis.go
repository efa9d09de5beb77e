package report

import (
	"bufio"
	"io"
	"strconv"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
	"tankodds/report/codec"
	"tankodds/report/units"
)

// Synthesis is synthetic rain made from a record, and how true to it it is.
type Synthesis struct {
	Version   string
	Record    *rainfall.Summary
	Generator gen.Generator
	Params    []gen.Parameter
	Seed      uint64
	Count     int       // synthetic water years in Rain
	Rain      []float64 // mm a day, rainfall.DaysPerYear a year
	Fidelity  []gen.Row
	Units     units.System
}

// Passed counts the rows of the fidelity table that pass.
func (z *Synthesis) Passed() int {
	n := 0
	for _, r := range z.Fidelity {
		if r.Pass {
			n++
		}
	}
	return n
}

// WriteRain writes the synthetic years as a tidy table: the year counted from
// 1, the day of the water year from 1, the calendar month and day, and the
// rain.
func (z *Synthesis) WriteRain(w io.Writer) error {
	out := bufio.NewWriter(w)
	c := codec.NewCSV(out)
	c.Write([]string{"year", "day", "month", "day_of_month", "rain_mm"})
	calendar := rainfall.Calendar(z.Record.Start)
	for t, x := range z.Rain {
		day := t % rainfall.DaysPerYear
		m, d := calendar.MonthDay(day)
		c.Write([]string{strconv.Itoa(t/rainfall.DaysPerYear + 1), strconv.Itoa(day + 1), strconv.Itoa(int(m)), strconv.Itoa(d), codec.Exact(x)})
	}
	c.Flush()
	if err := c.Error(); err != nil {
		return err
	}
	return out.Flush()
}
