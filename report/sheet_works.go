package report

import (
	"fmt"
	"slices"

	"tankodds/report/sheet"
	"tankodds/report/units"
	"tankodds/report/words"
	"tankodds/sim"
)

// works is what belongs to the tank beside its size: uses served in order, mains
// let in, surge tanks, open water.
func (b *sheetMaker) works() sheet.Section {
	out := sheet.Section{ID: "works", Heading: "What belongs to the tank"}
	if len(b.r.Season.Uses) > 0 {
		out.Blocks = append(out.Blocks, sheet.Block{Table: b.byUse()})
	}
	if len(b.r.Ways) > 0 {
		out.Blocks = append(out.Blocks, sheet.Block{Table: b.ways()})
	}
	if len(b.r.Surges) > 0 {
		out.Blocks = append(out.Blocks, sheet.Block{Table: b.surges()})
		if text := words.Surges(b.u, b.r); text != "" {
			out.Blocks = append(out.Blocks, sheet.Block{Text: text})
		}
	}
	if text := words.Pumping(b.u, b.r); text != "" {
		out.Blocks = append(out.Blocks, sheet.Block{Text: text})
	}
	return out
}

// byUse is what each use is given.
func (b *sheetMaker) byUse() *sheet.Table {
	uses := b.r.Season.Uses
	var water, levels []float64
	for _, x := range uses {
		water, levels = append(water, x.Demand, x.Supplied), append(levels, x.Keep)
	}
	volume, level := b.u.VolumeColumn(water...), b.u.VolumeColumn(levels...)
	t := &sheet.Table{
		Name:    "by_use",
		Caption: fmt.Sprintf("What each use gets from %s, the first served first", b.u.Volume(b.r.Season.Tank)),
		Columns: []sheet.Column{{Title: "Use", Words: true}, {Title: "Served down to", Unit: level.Unit}, {Title: "Wanted", Unit: volume.Unit + " a year"}, {Title: "Supplied", Unit: volume.Unit + " a year"},
			{Title: "Good years", Unit: "%"}, {Title: "Days met", Unit: "%"}, {Title: "Water met", Unit: "%"}, {Title: "Short days", Unit: "a year"}},
		Notes: []string{fmt.Sprintf("Means of %s simulated years. They hold no dry year that the record did not show, so they are a little higher than what is stated for the tank.", words.Whole(b.r.Season.Years))},
	}
	if slices.ContainsFunc(uses, func(x sim.UseShare) bool { return x.Keep > 0 }) {
		t.Notes = append(t.Notes, "A use is served only as far as the tank holds more than its level, counted up from the outlet.")
	}
	if b.s.Mains == sim.IntoTank {
		t.Notes = append(t.Notes, "With mains let into the tank, what is supplied here is rain and mains together.")
	}
	for _, x := range uses {
		t.Rows = append(t.Rows, sheet.Row{Cells: []string{x.Name, level.Cell(x.Keep), volume.Cell(x.Demand), volume.Cell(x.Supplied),
			units.PercentCell(x.Annual), units.PercentCell(x.Time), units.PercentCell(x.Volumetric), units.Mean(x.ShortDays)}})
	}
	return t
}

// ways is the same tank done in other ways.
func (b *sheetMaker) ways() *sheet.Table {
	var water []float64
	for _, x := range b.r.Ways {
		water = append(water, x.LetIn, x.Lacks, x.Spilled, x.Pumped, x.Dried)
	}
	volume := b.u.VolumeColumn(water...)
	t := &sheet.Table{
		Name:    "ways",
		Caption: fmt.Sprintf("%s over the real record, and the same done in other ways", b.u.Volume(b.r.Season.Tank)),
		Columns: []sheet.Column{{Title: "How", Words: true}, {Title: "Water met by rain", Unit: "%"}, {Title: "Short days", Unit: "a year"}},
		Notes:   []string{"The whole record, run once through each. It is not a forecast: it shows what one way is worth beside another."},
	}
	of := []struct {
		title string
		value func(sim.Way) float64
	}{
		{"Mains let in", func(x sim.Way) float64 { return x.LetIn }}, {"Lacking", func(x sim.Way) float64 { return x.Lacks }}, {"Overflow", func(x sim.Way) float64 { return x.Spilled }},
		{"Pumped", func(x sim.Way) float64 { return x.Pumped }}, {"Evaporated", func(x sim.Way) float64 { return x.Dried }},
	}
	of = slices.DeleteFunc(of, func(c struct {
		title string
		value func(sim.Way) float64
	}) bool {
		return !slices.ContainsFunc(b.r.Ways, func(x sim.Way) bool { return c.value(x) > 0 })
	})
	for _, c := range of {
		t.Columns = append(t.Columns, sheet.Column{Title: c.title, Unit: volume.Unit + " a year"})
	}
	for _, x := range b.r.Ways {
		row := sheet.Row{Cells: []string{words.Way(b.u, b.s, x.What), units.PercentCell(x.Volumetric), units.Mean(x.ShortDays)}}
		for _, c := range of {
			row.Cells = append(row.Cells, volume.Cell(c.value(x)))
		}
		t.Rows = append(t.Rows, row)
	}
	if b.s.Fitted.Of != "" {
		t.Notes = append(t.Notes, fmt.Sprintf("Short days are those of the use “%s”; all else is of all uses together.", b.s.Fitted.Of))
	}
	if b.s.Mains == sim.IntoTank {
		t.Notes = append(t.Notes, "Here a day is short on which mains were let in, or the tank could not give all that was wanted.")
	}
	if b.s.Mains == sim.IntoTank && !slices.ContainsFunc(b.s.Uses, func(u sim.Use) bool { return u.Keep != (sim.Level{}) }) {
		t.Notes = append(t.Notes, "The higher mains fill the tank, the less room is left for rain. Straight to the use takes the least: what is lacking in that row then comes from the mains.")
	}
	return t
}

// mostMains is at how many main tanks the shares of each surge size are shown.
const mostMains = 5

// surges is main tanks against surge tanks.
func (b *sheetMaker) surges() *sheet.Table {
	all := b.r.Surges
	var sizes, small, shown []float64
	for _, x := range all {
		sizes, small = append(sizes, x.Tank, x.Safe, x.High), append(small, x.Surge)
	}
	if n := len(all[0].Sizes); n > 0 {
		for k := range min(n, mostMains) {
			shown = append(shown, all[0].Sizes[k*(n-1)/max(1, min(n, mostMains)-1)])
		}
	}
	volume, surge := b.u.VolumeColumn(append(sizes, shown...)...), b.u.VolumeColumn(small...)
	t := &sheet.Table{
		Name:    "surges",
		Caption: "The tank with surge tanks of other sizes",
		Columns: []sheet.Column{{Title: "Each surge tank", Unit: surge.Unit}, {Title: "Tank for the target", Unit: volume.Unit}, {Title: "Band", Unit: volume.Unit}, {Title: "Safe size", Unit: volume.Unit}},
		Notes:   []string{"To the right: " + words.Measure(b.s.Measure) + " with main tanks of these sizes."},
	}
	for _, size := range shown {
		t.Columns = append(t.Columns, sheet.Column{Title: b.u.Volume(size), Unit: "%"})
	}
	for _, x := range all {
		cells := []string{surge.Cell(x.Surge), volume.Cell(x.Tank), bandCell(volume, x.Low, x.High), volume.Cell(x.Safe)}
		for _, size := range shown {
			cells = append(cells, units.PercentCell(x.Share[slices.Index(x.Sizes, size)]))
		}
		t.Rows = append(t.Rows, sheet.Row{Cells: cells})
	}
	return t
}
