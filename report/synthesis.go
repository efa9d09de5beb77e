package report

import (
	"bufio"
	"fmt"
	"io"
	"strconv"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
	"tankodds/report/codec"
	"tankodds/report/units"
	"tankodds/report/words"
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

// JSON returns the fidelity table as one object of the schema
// tankodds/synth/1.
func (z *Synthesis) JSON() ([]byte, error) {
	return marshal(struct {
		Schema     string          `json:"schema"`
		Version    string          `json:"version"`
		Record     sizeRecordJSON  `json:"record"`
		WaterYear  string          `json:"water_year_starts"`
		Generator  string          `json:"generator"`
		Parameters []gen.Parameter `json:"generator_parameters"`
		Seed       uint64          `json:"seed"`
		Years      int             `json:"years"`
		Passed     int             `json:"passed"`
		Fidelity   []gen.Row       `json:"fidelity"`
		Warnings   []words.Warning `json:"warnings"`
	}{"tankodds/synth/1", z.Version, sizeRecord(z.Record), z.Record.Start.String(), z.Generator.Name, z.Params, z.Seed,
		z.Count, z.Passed(), z.Fidelity, words.Warned(z.Record.Findings, units.SI, false)})
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

// WriteFidelity writes the fidelity table as a tidy table.
func (z *Synthesis) WriteFidelity(w io.Writer) error {
	c := codec.NewCSV(w)
	c.Write([]string{"statistic", "season", "unit", "real", "mean", "low", "high", "pass", "rule", "source"})
	for _, r := range z.Fidelity {
		c.Write([]string{r.Statistic, r.Season, r.Unit, codec.Exact(r.Real), codec.Exact(r.Mean), codec.Exact(r.Low), codec.Exact(r.High), fmt.Sprint(r.Pass), r.Rule, r.Source})
	}
	c.Flush()
	return c.Error()
}
