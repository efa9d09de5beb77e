package report

import (
	"fmt"
	"math"
	"strings"

	"tankodds/report/sheet"
	"tankodds/report/units"
	"tankodds/report/words"
	"tankodds/sim"
)

// overflow is what leaves the tank, for those who must carry it off.
func (b *sheetMaker) overflow() sheet.Section {
	out := sheet.Section{ID: "overflow", Heading: "What overflows", Where: sheet.Report}
	o := b.r.Overflow
	if o == nil { // evidence of a version that did not ask
		return out
	}
	if text := b.kept(o); text != "" {
		out.Blocks = append(out.Blocks, sheet.Block{Text: text})
	}
	if b.s.Detain > 0 {
		out.Blocks = append(out.Blocks, sheet.Text("Above the store %s can be detained, and a slow outlet lets it off by the next morning. That water is not kept: in the shares kept it counts as overflow. Everywhere else only what is beyond it does, and free room includes it.", b.u.Volume(b.s.Detain)))
	}
	flow := "L/s"
	if b.u == units.US {
		flow = "gal/min"
	}
	out.Blocks = append(out.Blocks, sheet.Block{Table: b.overflowTable(o)},
		sheet.Text("All of this is by the day. A flow in %s needs rain by the minute: the local authority's design storms decide. %s Overflow must reach a safe place.", flow, b.wettest(o)))
	return out
}

// kept says how much is kept and how little of a storm, "" where nothing flows in.
func (b *sheetMaker) kept(o *sim.Overflow) string {
	x := o.Real
	if math.IsNaN(x.Retained) {
		return ""
	}
	text := fmt.Sprintf("In the real years a tank of %s keeps %s of what flows into it", b.u.Volume(o.Tank), units.Percent(x.Retained))
	lowered := units.Percent(x.Lowered)
	if x.Lowered < x.Retained/2 {
		return text + fmt.Sprintf(", but takes only %s off the largest day of a year. A tank that is kept full for use has little room left when a great storm comes.", lowered)
	}
	return text + fmt.Sprintf(", and takes %s off the largest day of a year.", lowered)
}

// wettest says how great a storm the simulated years can show.
func (b *sheetMaker) wettest(o *sim.Overflow) string {
	real, made := o.Real.Wettest, o.Synthetic.Wettest
	if made > real {
		return fmt.Sprintf("The wettest real day brings %s, the wettest simulated one %s.", b.u.Depth(real), b.u.Depth(made))
	}
	return fmt.Sprintf("No simulated day is wetter than the wettest real one, %s.", b.u.Depth(real))
}

func (b *sheetMaker) overflowTable(o *sim.Overflow) *sheet.Table {
	both := [2]sim.Spillage{o.Real, o.Synthetic}
	t := &sheet.Table{
		Name: "overflow",
		Caption: fmt.Sprintf("What overflows at %s, in %s and %s simulated ones",
			b.u.Volume(o.Tank), words.Plural(o.Real.Years, "real year"), units.Fixed(float64(o.Synthetic.Years), 0)),
		Columns: []sheet.Column{{Title: "What", Words: true}, {Title: "Real years"}, {Title: "Simulated"}},
		Notes: []string{
			"To the drain go overflow, first flush and what the filter loses; what wets the roof or splashes off is kept from it.",
			fmt.Sprintf("An event is days of %s or more in a row.", words.Depth(b.u, 1, 0, 2)),
			"The largest day: from largest inflow to largest overflow, the median of the years. What 1 year of 10 reaches: by rank; a dash where the years are too few.",
		},
	}
	add := func(what string, cell func(sim.Spillage) string) {
		t.Rows = append(t.Rows, sheet.Row{Cells: []string{what, cell(both[0]), cell(both[1])}})
	}
	share := func(of func(sim.Spillage) float64) func(sim.Spillage) string {
		return func(x sim.Spillage) string { return units.Percent(of(x)) }
	}
	add("Kept of what flows into the tank", share(func(x sim.Spillage) float64 { return x.Retained }))
	add("Kept from the drain of all rain on the roofs", share(func(x sim.Spillage) float64 { return x.OffDrain }))
	add("Days with overflow a year", func(x sim.Spillage) string { return units.Mean(x.Days) })
	add("Rain events without overflow", func(x sim.Spillage) string {
		return fmt.Sprintf("%s of %s a year", units.Percent(x.Without), units.Mean(x.Events))
	})
	add("Largest day of a year lowered by", share(func(x sim.Spillage) float64 { return x.Lowered }))
	var all []float64
	for _, x := range both {
		for _, r := range x.Returns {
			all = append(all, r.Spill)
		}
		all = append(all, x.Great, x.Room)
	}
	c := b.u.VolumeColumn(all...)
	var periods []string
	for _, r := range o.Real.Returns {
		periods = append(periods, fmt.Sprint(r.Period))
	}
	add("Overflow of a day that 1 year of "+words.Join(periods, "and")+" reaches, "+c.Unit, func(x sim.Spillage) string {
		var levels []string
		for _, r := range x.Returns {
			levels = append(levels, c.Cell(r.Spill))
		}
		return strings.Join(levels, " / ")
	})
	add("Inflow of a day that 1 year of 2 reaches, "+c.Unit, func(x sim.Spillage) string { return c.Cell(x.Great) })
	add("Free room on the mornings of such days, median, "+c.Unit, func(x sim.Spillage) string { return c.Cell(x.Room) })
	return t
}
