package report

import (
	"fmt"
	"strings"
	"time"

	"tankodds/report/sheet"
	"tankodds/report/units"
	"tankodds/report/words"
	"tankodds/sim"
)

// The sources named beside an assumption.
const (
	fromSite   = "stated for this site"
	fromNone   = "taken where the site states nothing else"
	fromTool   = "fixed in tankodds"
	fromCommon = "common practice, no source"
)

// assumptions lists every value that the answer rests on.
func (b *sheetMaker) assumptions() sheet.Section {
	return sheet.Section{ID: "assumptions", Heading: "Assumptions", Where: sheet.Report, Blocks: []sheet.Block{
		sheet.Text("Every value that the answer rests on, and where it comes from."),
		{Table: b.roofTable()}, {Table: b.useTable()}, {Table: b.valueTable()},
	}}
}

func (b *sheetMaker) roofTable() *sheet.Table {
	var areas, depths []float64
	for _, r := range b.s.Roofs {
		areas, depths = append(areas, r.Area), append(depths, r.FirstFlush, r.Wetting)
	}
	area, depth := b.u.AreaColumn(areas...), b.u.DepthColumn(depths...)
	t := &sheet.Table{
		Name:    "roofs",
		Caption: "Roofs",
		Columns: []sheet.Column{{Title: "Roof", Words: true}, {Title: "Plan area", Unit: area.Unit}, {Title: "Surface", Words: true}, {Title: "Runoff coefficient"},
			{Title: "Wetting loss", Unit: depth.Unit}, {Title: "First flush", Unit: depth.Unit}, {Title: "Filter passes on", Unit: "%"}, {Title: "Diverter drains in", Unit: "dry days"}},
	}
	seen := map[string]bool{}
	note := func(s string) {
		if !seen[s] {
			seen[s] = true
			t.Notes = append(t.Notes, s)
		}
	}
	for _, r := range b.s.Roofs {
		t.Rows = append(t.Rows, sheet.Row{Cells: []string{r.Name, area.Cell(r.Area), r.Surface, fmt.Sprintf("%.2f", r.Runoff),
			words.DepthCell(b.u, r.Wetting, 1, 2), words.DepthCell(b.u, r.FirstFlush, 1, 2), units.Fixed(100*r.Filter, 0), fmt.Sprint(r.Drains)}})
		if known, ok := sim.FindSurface(r.Surface); ok && known.Runoff == r.Runoff {
			note(fmt.Sprintf("Runoff coefficient, %s: %s.", known.Name, known.Source))
		} else {
			note(fmt.Sprintf("Runoff coefficient %.2f: %s.", r.Runoff, fromSite))
		}
		if r.FirstFlush == sim.DefaultFirstFlush {
			note(fmt.Sprintf("First flush %s of runoff: %s; %s.", b.depth(sim.DefaultFirstFlush), fromCommon, fromNone))
		}
	}
	t.Notes = append(t.Notes, "The rest: "+fromSite+"; no wetting loss, no filter loss and a diverter that one dry day empties are "+fromNone+".")
	return t
}

// depth words a small depth: 0.5 mm, 0.02 in.
func (b *sheetMaker) depth(mm float64) string {
	return words.Depth(b.u, mm, 1, 2)
}

func (b *sheetMaker) useTable() *sheet.Table {
	t := &sheet.Table{
		Name:    "uses",
		Caption: "Uses",
		Columns: []sheet.Column{{Title: "Use", Words: true}, {Title: "On its days", Unit: b.u.FlowColumn().Unit}, {Title: "Days", Words: true}, {Title: "By the month", Words: true}, {Title: "On average", Unit: b.u.FlowColumn().Unit}},
		Notes:   []string{"Uses: " + fromSite + ". What the tank cannot give is topped up: a use does not wait for rain."},
	}
	var flows []float64
	for _, x := range b.s.Uses {
		flows = append(flows, x.Daily, sim.MeanDemand([]sim.Use{x}))
	}
	flow := b.u.FlowColumn(flows...)
	for _, x := range b.s.Uses {
		daily, days := flow.Cell(x.Daily), strings.Join(x.Days.Texts(), ", ")
		if len(x.Days.Texts()) == 7 {
			days = "every day"
		}
		if x.Daily == 0 {
			daily, days = "–", "–"
		}
		t.Rows = append(t.Rows, sheet.Row{Cells: []string{x.Name, daily, days, b.monthly(x), flow.Cell(sim.MeanDemand([]sim.Use{x}))}})
	}
	if len(b.s.Uses) > 1 {
		t.Rows = append(t.Rows, sheet.Row{Cells: []string{"together", "", "", "", flow.Cell(sim.MeanDemand(b.s.Uses))}})
	}
	return t
}

// monthly lists the months of a use.
func (b *sheetMaker) monthly(x sim.Use) string {
	if x.Monthly == ([12]float64{}) {
		return "–"
	}
	v := b.u.VolumeColumn(x.Monthly[:]...)
	var parts []string
	for m, q := range x.Monthly {
		if q > 0 {
			parts = append(parts, fmt.Sprintf("%s %s", time.Month(m + 1).String()[:3], v.Cell(q)))
		}
	}
	return strings.Join(parts, ", ") + " " + v.Unit
}

// valueTable is everything else.
func (b *sheetMaker) valueTable() *sheet.Table {
	s, r := b.s, b.r
	t := &sheet.Table{
		Name:    "values",
		Caption: "Everything else",
		Columns: []sheet.Column{{Title: "What", Words: true}, {Title: "Value", Words: true}, {Title: "Source", Words: true}},
	}
	add := func(what, value, source string) {
		t.Rows = append(t.Rows, sheet.Row{Cells: []string{what, value, source}})
	}
	origin := func(standard bool) string {
		if standard {
			return fromNone
		}
		return fromSite
	}
	add("Target", words.Goal(s), origin(s.Target == 0.9 && s.Measure == sim.Annual && s.Allow == 0))
	add("Rule", words.Rule(s.Rule)+", one step a day", "Jenkins et al. 1978; Fewkes & Butler 2000")
	add("Dead storage", units.Percent(s.Dead)+" of the nominal size", origin(s.Dead == 0))
	add("In the tank at the start", b.u.Volume(s.Start)+fmt.Sprintf("; the first %d simulated years are not counted", sim.RunIn), origin(s.Start == 0))
	add("Water year from", r.WaterYear.String(), "the month after the driest half-year ends, unless stated")
	add("Usable year", "no month misses 11 days, or 5 in a row", "WMO-No. 100 and WMO-No. 1203, for monthly values")
	add("Synthetic rain", fmt.Sprintf("%s: %s", r.Generator, r.GeneratorWhat), r.GeneratorSource)
	for _, p := range r.Params {
		add("– "+p.Name, strings.TrimSpace(units.Significant(p.Value, 4)+" "+p.Unit), "of the generator, chosen or fitted")
	}
	if !s.Stress.None() {
		add("Stress", words.Stress(s.Stress)+"; what if, not a forecast", "stated for this site")
	}
	add("Years simulated", units.Fixed(float64(r.Simulated), 0)+fmt.Sprintf(" in traces of %d", sim.TraceYears), origin(s.Years == sim.DefaultYears))
	add("Seed", fmt.Sprint(s.Seed), origin(s.Seed == 1))
	if s.RecordError {
		add("Resampled records", units.Fixed(float64(s.Replicates), 0)+fmt.Sprintf(", each simulated for %d years", sim.ReplicateYears), fromTool)
	}
	add("Level of every range", units.Percent(s.Level), fromTool)
	add("Years ahead", fmt.Sprint(s.Horizon), origin(s.Horizon == sim.DefaultHorizon))
	add("A step worth having", fmt.Sprintf("another %s must add %s of the water wanted", b.u.Volume(s.GainStep), units.Percent(s.GainStop)), fromTool)
	b.costRows(add)
	return t
}

func (b *sheetMaker) costRows(add func(what, value, source string)) {
	c := b.s.Costs
	if c == nil {
		return
	}
	var parts []string
	for i, size := range c.Sizes {
		parts = append(parts, fmt.Sprintf("%s %s%s", b.u.Volume(size), c.Currency, units.Fixed(c.Prices[i], 0)))
	}
	add("Tank prices, installed", strings.Join(parts, "; ")+"; straight lines between them", fromSite)
	add("Water not bought", b.u.Price(c.Water, c.Currency), fromSite)
	life, discount := fromSite, fromSite
	if c.Life == sim.DefaultLife {
		life = "35 Australian metal tanks, Taylor 2005, as quoted elsewhere; " + fromNone
	}
	if c.Discount == sim.DefaultDiscount {
		discount = "the public rate in Roebuck's thesis, table 6.1; " + fromNone
	}
	add("Life of the tank", fmt.Sprintf("%g years", c.Life), life)
	add("Discount rate", units.Percent(c.Discount)+" a year", discount)
}
