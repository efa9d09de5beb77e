package report

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"tankodds/report/sheet"
	"tankodds/report/units"
	"tankodds/report/words"
	"tankodds/sim"
)

// meterFacts say how the model stands to the readings: the demand first, as the
// factor rests on it.
func (z *Replayed) meterFacts() []sheet.Fact {
	m, u := &z.Meter.Metered, z.Units
	read := fmt.Sprintf("%s, %s: %s between readings, %v to %v", baseName(z.Meter.File), words.MeterShows(m.Of), words.Plural(len(m.Intervals), "interval"), m.First, m.Last)
	if m.Left > 0 {
		read += fmt.Sprintf("; %s with days that the record lacks left out", words.Whole(m.Left))
	}
	out := []sheet.Fact{{Label: "Meter", Value: read + "."}}
	if text := words.MeterDates(u, m); text != "" {
		out = append(out, sheet.Fact{Label: "Dates", Value: text})
	} else {
		out = append(out, sheet.Fact{Label: "Demand", Value: words.MeterDemand(u, m)})
	}
	if m.Of != sim.LevelSensor {
		metered, modelled := 0.0, 0.0
		for _, row := range m.Intervals {
			metered, modelled = metered+row.Metered, modelled+row.Modelled
		}
		c := u.VolumeColumn(metered, modelled)
		out = append(out, sheet.Fact{Label: "In all", Value: fmt.Sprintf("%s %s by the model as stated, %s by the meter.", c.Words(modelled), c.Unit, c.Words(metered))})
	}
	out = append(out, sheet.Fact{Label: "Inflow", Value: words.MeterFactor(u, m)})
	if text := words.MeterRunoff(m, z.Result.Roofs); text != "" {
		out = append(out, sheet.Fact{Label: "Runoff", Value: text})
	}
	return out
}

// mostMeterRows is how many intervals the sheet lists. Of more, draws are added up
// by the calendar year in which they end; rises and falls of a level would
// cancel, and those are listed that the model is farthest from.
const mostMeterRows = 24

// meterTable has the intervals beside the model.
func (z *Replayed) meterTable() *sheet.Table {
	m := &z.Meter.Metered
	rows, many := m.Intervals, len(m.Intervals) > mostMeterRows
	yearly := many && m.Of != sim.LevelSensor
	switch {
	case yearly:
		rows = byYear(rows)
	case many:
		rows = farthest(rows, mostMeterRows)
	}
	var all []float64
	for _, r := range rows {
		all = append(all, r.Inflow, r.Demand, r.Metered, r.Modelled, r.At)
	}
	c := z.Units.VolumeColumn(all...)
	what := map[sim.MeterOf]string{sim.DrawMeter: "Draw", sim.MainsMeter: "Lacked", sim.LevelSensor: "Rise"}[m.Of]
	t := &sheet.Table{Name: "meter", Columns: []sheet.Column{
		{Title: "From", Words: true}, {Title: "To", Words: true}, {Title: "Inflow", Unit: c.Unit}, {Title: "Wanted", Unit: c.Unit},
		{Title: what, Unit: "metered"}, {Title: "Model", Unit: "stated"},
	}}
	fitted := !math.IsNaN(m.Factor.Estimate)
	if fitted {
		t.Columns = append(t.Columns, sheet.Column{Title: "Inflow", Unit: "× " + units.Fixed(m.Factor.Estimate, 2)})
	}
	mark := words.MeterInforms(m.Of) + " there, by the model: these tell of the inflow"
	some := slices.ContainsFunc(rows, func(r sim.MeterRow) bool { return !r.Fitted })
	for _, r := range rows {
		row := sheet.Row{Cells: []string{r.From.String(), r.To.String(), c.Cell(r.Inflow), c.Cell(r.Demand), c.Cell(r.Metered), c.Cell(r.Modelled)}}
		if fitted {
			row.Cells = append(row.Cells, c.Cell(r.At))
		}
		if r.Fitted && !yearly && some {
			row.Mark = mark
		}
		t.Rows = append(t.Rows, row)
	}
	if many {
		shown := "Added up by the calendar year in which they end"
		if !yearly {
			shown = fmt.Sprintf("The %d that the model as stated is farthest from, for their days", mostMeterRows)
		}
		t.Notes = append(t.Notes, fmt.Sprintf("%s; all %s are in --json and, with --out, in meter.csv.", shown, words.Plural(len(m.Intervals), "interval")))
	}
	return t
}

// farthest are the n intervals that the model as stated is farthest from, in the
// order of their days.
func farthest(all []sim.MeterRow, n int) []sim.MeterRow {
	off := func(r sim.MeterRow) float64 { return math.Abs(r.Modelled-r.Metered) / math.Sqrt(float64(r.Days)) }
	out := slices.Clone(all)
	slices.SortStableFunc(out, func(a, b sim.MeterRow) int { return cmp.Compare(off(b), off(a)) })
	out = out[:n]
	slices.SortFunc(out, func(a, b sim.MeterRow) int { return cmp.Compare(a.From, b.From) })
	return out
}

// byYear adds up intervals by the calendar year of their last days.
func byYear(all []sim.MeterRow) []sim.MeterRow {
	var out []sim.MeterRow
	last := 0
	for _, r := range all {
		year, _, _ := r.To.YMD()
		if len(out) == 0 || year != last {
			out, last = append(out, r), year
			continue
		}
		o := &out[len(out)-1]
		o.To, o.Days = r.To, o.Days+r.Days
		o.Inflow, o.Demand, o.Supplied, o.Spilled = o.Inflow+r.Inflow, o.Demand+r.Demand, o.Supplied+r.Supplied, o.Spilled+r.Spilled
		o.Metered, o.Modelled, o.At = o.Metered+r.Metered, o.Modelled+r.Modelled, o.At+r.At
	}
	return out
}
