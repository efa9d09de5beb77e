package report

import (
	"fmt"
	"math"
	"slices"

	"tankodds/rainfall"
	"tankodds/report/sheet"
	"tankodds/report/units"
	"tankodds/report/words"
	"tankodds/sim"
)

// Sheet returns the balance, the years and the dry runs.
func (z *Replayed) Sheet() *sheet.Sheet {
	r, u := z.Result, z.Units
	out := &sheet.Sheet{Title: z.Title, Brief: true, Under: []string{u.Volume(r.Tank.Nominal) + " tank; " + words.Site(u, r.Roofs, z.Uses, r.Tank.Rule)}}
	out.Add("balance", sheet.Block{Facts: z.balance()})
	if z.Meter != nil {
		out.Add("meter", sheet.Block{Facts: z.meterFacts()}, sheet.Block{Table: z.meterTable()})
	}
	out.Add("years", sheet.Block{Table: z.yearTable()})
	if len(r.Runs) > 0 {
		out.Add("runs", sheet.Block{Table: z.runTable()})
	}
	out.Add("rests", closing(z.warnings(u))...)
	return out
}

// balance says what became of the water.
func (z *Replayed) balance() []sheet.Fact {
	r := z.Result
	water := z.Units.VolumeColumn(r.Inflow, r.Demand) // one unit for the sentence
	of := func(x float64) string { return water.Words(x) + " " + water.Unit }
	out := []sheet.Fact{
		{Label: "Record", Value: fmt.Sprintf("%s, %v to %v, %s run (%s).", z.Record.Name(), r.First, r.Last, words.Plural(r.Days, "day"), z.Record.Format)},
		{Label: "Water", Value: fmt.Sprintf("%s flowed in, %s was wanted, %s supplied, %s spilled%s; the tank held %s at first%s and %s at last.",
			of(r.Inflow), of(r.Demand), of(r.Supplied), of(r.Spilled), z.besides(of), z.Units.Volume(r.StartsWith), z.runIn(), z.Units.Volume(r.EndsWith))},
	}
	use := r.Tank.Fittings.Of
	switch {
	case z.mains():
		out = append(out, sheet.Fact{Label: "Supplied", Value: fmt.Sprintf("%s of the water wanted by rain alone; on %s of days no mains were let in, and all was given.", units.Percent(r.Volumetric), units.Percent(r.Time))})
	case use != "":
		out = append(out, sheet.Fact{Label: "Supplied", Value: fmt.Sprintf("%s of the water wanted by all uses; what the use “%s” wants was given on %s of days. Short days, years and runs below are those of that use.", units.Percent(r.Volumetric), use, units.Percent(r.Time))})
	default:
		out = append(out, sheet.Fact{Label: "Supplied", Value: fmt.Sprintf("%s of the water wanted; the demand was met on %s of days.", units.Percent(r.Volumetric), units.Percent(r.Time))})
	}
	if r.WholeYears == 0 {
		return append(out, sheet.Fact{Label: "Years", Value: "No whole water year to judge."})
	}
	good := int(math.Round(r.Annual * float64(r.WholeYears)))
	years := fmt.Sprintf("%d of %d whole water years had %s", good, r.WholeYears, words.GoodYear(r.Tank.Allow))
	if len(r.Runs) == 0 {
		end := "; the tank never ran dry."
		if use != "" || z.mains() {
			end = "."
		}
		return append(out, sheet.Fact{Label: "Years", Value: years + end})
	}
	longest := slices.MaxFunc(r.Runs, func(a, b sim.DryRun) int { return a.Days - b.Days })
	if need := r.Enough(); good < r.WholeYears && !math.IsInf(need, 0) && !math.IsNaN(need) {
		years += fmt.Sprintf("; all of them would have with about %s", z.Units.VolumeUp(need))
	}
	return append(out, sheet.Fact{Label: "Years", Value: years + "."},
		sheet.Fact{Label: z.fell(), Value: fmt.Sprintf("On %s in %s; the longest run began on %v and lasted %s.", words.Plural(r.ShortDays, "day"), words.Plural(len(r.Runs), "run"), longest.From, words.Plural(longest.Days, "day"))})
}

// mains says whether mains are let into the tank.
func (z *Replayed) mains() bool { return z.Result.Tank.Fittings.TopUp.To != sim.Level{} }

// fell names what happens on a short day.
func (z *Replayed) fell() string {
	switch {
	case z.mains():
		return "Mains came"
	case z.Result.Tank.Fittings.Of != "" || slices.ContainsFunc(z.Uses, func(u sim.Use) bool { return u.Keep != sim.Level{} }):
		return "Fell short"
	}
	return "Ran dry"
}

// besides says what else became of the water.
func (z *Replayed) besides(of func(float64) string) (out string) {
	r := z.Result
	if r.LetIn > 0 {
		out += fmt.Sprintf(", %s of mains let in", of(r.LetIn))
	}
	if r.Dried > 0 {
		out += fmt.Sprintf(", %s fell onto the open water and %s evaporated", of(r.Fell), of(r.Dried))
	}
	return out
}

// runIn says where what the tank held at first comes from.
func (z *Replayed) runIn() string {
	r := z.Result
	switch {
	case r.RunIn == 0:
		return ""
	case int(r.Last-r.First)+1 <= r.RunIn*rainfall.DaysPerYear:
		return ", after the record had been run once,"
	}
	return fmt.Sprintf(", after the record's first %s had been run once,", words.Plural(r.RunIn, "year"))
}

// yearTable has a row a water year; a year that is not whole is marked.
func (z *Replayed) yearTable() *sheet.Table {
	var rain, water []float64
	for _, y := range z.Result.Years {
		rain = append(rain, y.Rain)
		water = append(water, y.Inflow, y.Demand)
	}
	depth, volume := z.Units.DepthColumn(rain...), z.Units.VolumeColumn(water...)
	t := &sheet.Table{Name: "years", Columns: []sheet.Column{
		{Title: "Water year", Unit: "from", Words: true}, {Title: "Rain", Unit: depth.Unit}, {Title: "Inflow", Unit: volume.Unit}, {Title: "Wanted", Unit: volume.Unit},
		{Title: "Supplied", Unit: volume.Unit}, {Title: "Spilled", Unit: volume.Unit}, {Title: "Short", Unit: "days"}, {Title: "Longest", Unit: "run"},
	}}
	if z.mains() {
		t.Columns[4].Title = "By rain"
		t.Notes = append(t.Notes, "By rain: what was supplied, less the mains let in. A day is short on which mains were let in, or the tank could not give all that was wanted.")
	}
	for _, y := range z.Result.Years {
		if y.Days == 0 {
			continue
		}
		mark := ""
		if !y.Whole {
			mark = "not a whole usable year: run, but not counted among the years"
		}
		t.Rows = append(t.Rows, sheet.Row{Mark: mark, Cells: []string{y.Start.String(), depth.Cell(y.Rain), volume.Cell(y.Inflow), volume.Cell(y.Demand),
			volume.Cell(y.OfRain()), volume.Cell(y.Spilled), fmt.Sprint(y.ShortDays), fmt.Sprint(y.LongestDry)}})
	}
	return t
}

// mostRuns is how many dry runs the sheet lists; JSON has them all.
const mostRuns = 20

// runTable has the runs of short days, the longest of many.
func (z *Replayed) runTable() *sheet.Table {
	runs, least := z.Result.Runs, 1
	for len(runs) > mostRuns {
		least++
		runs = slices.DeleteFunc(slices.Clone(runs), func(x sim.DryRun) bool { return x.Days < least })
	}
	var deficits []float64
	for _, x := range z.Result.Runs {
		deficits = append(deficits, x.Deficit)
	}
	volume := z.Units.VolumeColumn(deficits...)
	t := &sheet.Table{Name: "runs", Columns: []sheet.Column{{Title: "Dry from", Words: true}, {Title: "To", Words: true}, {Title: "Days"}, {Title: "Short of", Unit: volume.Unit}}}
	for _, x := range runs {
		last := x.From + rainfall.Date(x.Days) - 1
		t.Rows = append(t.Rows, sheet.Row{Cells: []string{x.From.String(), last.String(), fmt.Sprint(x.Days), volume.Cell(x.Deficit)}})
	}
	if len(runs) < len(z.Result.Runs) {
		t.Notes = append(t.Notes, fmt.Sprintf("Runs of %s or more; all %s are in --json.", words.Plural(least, "day"), words.Whole(len(z.Result.Runs))))
	}
	return t
}
