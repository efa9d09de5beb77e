package report

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"tankodds/report/sheet"
	"tankodds/report/units"
	"tankodds/report/words"
	"tankodds/sim"
)

// answer is the whole finding in two sentences.
func (b *sheetMaker) answer() []string {
	found, sure, safe := words.Size(b.u, b.r)
	if a := b.r.Main; safe != "" {
		switch {
		case b.s.ForSale && math.IsNaN(a.Sure) && !math.IsNaN(a.Safe):
			safe = "safe is " + safe
		case !math.IsNaN(a.Safe):
			safe = "the safe size is " + safe
		}
		sure += "; " + safe
	}
	out := []string{fmt.Sprintf("For %s and %s of use on average, %s.", words.Roofs(b.u, b.s.Roofs), b.u.Flow(sim.MeanDemand(b.s.Uses)), found), sure + "."}
	if turned := b.z.turned(); turned != nil {
		out = append([]string{turned[0].Value, turned[1].Value}, out...)
	}
	if ends := words.Ends(b.u, b.r); ends != "" {
		out[len(out)-1] += " " + words.UpperFirst(ends)
	}
	return out
}

// key is the size answered.
func (b *sheetMaker) key() string {
	if math.IsNaN(b.r.Main.Tank) {
		return ""
	}
	about := ""
	if b.r.Main.Grade == sim.Indicated {
		about = "about "
	}
	return "a tank of " + about + b.u.Volume(b.r.Main.Lead)
}

// curve is the first section: the answer and the reliability of every size.
func (b *sheetMaker) curve() sheet.Section {
	how := sheet.Led("How to read it.", "%s", b.measureWords())
	how.Where = sheet.Report
	return sheet.Section{ID: "answer", Heading: "The answer", Blocks: []sheet.Block{
		{Facts: b.z.Answer(), Where: sheet.Terminal}, sheet.Figure("reliability"), how,
	}}
}

// measureWords defines the measure of the target.
func (b *sheetMaker) measureWords() string {
	return b.shortDay() + " The curve is the " + [...]string{
		sim.Annual: fmt.Sprintf("share of water years with %s, the strictest of the three measures in the table below.", words.GoodYear(b.s.Allow)),
		sim.Time:   "share of days that are not short.",
		sim.Volume: "water supplied over the water wanted.",
	}[b.s.Measure]
}

// shortDay says when a day is short.
func (b *sheetMaker) shortDay() string {
	short := "A day is short when the tank cannot give all that is wanted of it; the rest must come from the top-up, if there is one."
	switch of := b.s.Fitted.Of; {
	case b.s.Mains == sim.None && of == "":
		short = "A day is short when the tank cannot give all that is wanted of it; what is missing is lacking."
	case of != "":
		short = fmt.Sprintf("A day is short when the tank cannot give all that the use “%s” wants; the other uses do not count.", of)
	case b.s.Mains == sim.IntoTank:
		short = "A day is short when mains are let into the tank, or it cannot give all that is wanted; water met is what rain alone supplies."
	}
	return short
}

// sheetRows is how many sizes the table shows.
const sheetRows = 16

// sizes is the table of the sizes asked about.
func (b *sheetMaker) sizes() sheet.Section {
	out := sheet.Section{ID: "sizes", Heading: "Sizes worth quoting"}
	out.Blocks = append(out.Blocks, sheet.Block{Table: b.sizeTable()})
	if len(b.r.Answers) > 1 {
		out.Blocks = append(out.Blocks, sheet.Figure("map"), sheet.Block{Table: b.areaTable()})
	} else if t := b.r.Turned; t != nil && t.Map != nil {
		out.Blocks = append(out.Blocks, sheet.Figure("map"))
	}
	return out
}

func (b *sheetMaker) sizeTable() *sheet.Table {
	all, lead := b.z.ownCells(), b.r.Main.Lead
	if at, found := slices.BinarySearchFunc(all, lead, func(c sim.Cell, x float64) int { return cmp.Compare(c.Tank, x) }); !found && lead > 0 {
		all = slices.Insert(slices.Clone(all), at, b.r.Main.Cell) // the answer is no size that was asked about
	}
	keep := []float64{lead, b.r.Main.Sure}
	if b.s.Costs != nil {
		keep = append(keep, b.r.Stop.Tank)
	}
	cells := worthShowing(all, b.s.Measure, sheetRows, keep...)
	var tanks, water []float64
	for _, c := range cells {
		tanks, water = append(tanks, c.Tank), append(water, c.Supplied)
	}
	tank, supplied := b.u.VolumeColumn(tanks...), b.u.VolumeColumn(water...)
	t := &sheet.Table{
		Name:    "sizes",
		Caption: fmt.Sprintf("Sizes worth quoting, with %s of roof", b.u.Area(sim.TotalArea(b.s.Roofs))),
		Columns: []sheet.Column{
			{Title: "Tank", Unit: tank.Unit},
		},
	}
	t.Columns = append(append(t.Columns, b.measureColumns()...),
		sheet.Column{Title: "Short days", Unit: "a year"},
		sheet.Column{Title: "Supplied", Unit: supplied.Unit + " a year"},
		sheet.Column{Title: "Overflow", Unit: "% of inflow"})
	costs := b.s.Costs
	if costs != nil {
		t.Columns = append(t.Columns, sheet.Column{Title: "Price", Unit: costs.Currency, Where: sheet.Report},
			sheet.Column{Title: "Net value", Unit: costs.Currency, Where: sheet.Report,
				Note: fmt.Sprintf("Net value: what the water saves over %g years, less all that the tank costs in them, as of today at %s a year; – where there is no price.",
					costs.Life, units.Percent(costs.Discount))})
	}
	for _, c := range cells {
		row := sheet.Row{Mark: b.markOf(c, cells)}
		row.Cells = append(append([]string{tank.Cell(c.Tank)}, b.measureCells(c)...), units.Mean(c.ShortDays), supplied.Cell(c.Supplied), units.PercentCell(c.SpillShare))
		if costs != nil {
			row.Cells = append(row.Cells, units.Amount(costs.Price(c.Tank), ""), units.Amount(costs.Value(c.Tank, c.Supplied), ""))
		}
		t.Rows = append(t.Rows, row)
	}
	t.Notes = append(t.Notes, b.measureNote()+" These shares reckon with a dry year that the record did not show. Short days, water supplied and overflow are means of the synthetic years alone.")
	if b.s.Slow() {
		note := b.shortDay()
		if b.s.Fitted.Of != "" {
			note += " Supplied and overflow are of all uses together."
		}
		t.Notes = append(t.Notes, note)
	}
	if n := len(all) - len(cells); n > 0 {
		t.Notes = append(t.Notes, fmt.Sprintf("%s more in curves.csv and in the JSON.", words.Plural(n, "size")))
	}
	return t
}

// markOf says what a size is, of those in the table.
func (b *sheetMaker) markOf(c sim.Cell, cells []sim.Cell) string {
	m, target := b.s.Measure, b.s.Target
	first := func(ok func(sim.Interval) bool) bool {
		for _, x := range cells {
			if ok(x.Of(m)) {
				return x.Tank == c.Tank
			}
		}
		return false
	}
	var says []string
	meets := c.Tank == b.r.Main.Lead
	safe := b.s.RecordError && first(func(i sim.Interval) bool { return i.Low >= target })
	switch {
	case meets && b.r.Main.Grade == sim.Indicated:
		says = append(says, "the size that this record points to")
	case meets && safe:
		says = append(says, "meets the target, and so does its lower bound")
	case meets:
		says = append(says, "meets the target")
	case safe:
		says = append(says, "its lower bound meets the target")
	}
	if b.s.Costs != nil && c.Tank == b.r.Stop.Tank {
		says = append(says, words.Worth(b.s, b.r.Stop)+" at these prices")
	}
	return strings.Join(says, "; ")
}

func (b *sheetMaker) areaTable() *sheet.Table {
	var areas, sizes []float64
	for _, a := range b.r.Answers {
		areas = append(areas, a.Area)
		sizes = append(sizes, a.Lead, a.Safe, a.High)
	}
	area, size := b.u.AreaColumn(areas...), b.u.VolumeColumn(sizes...)
	t := &sheet.Table{
		Name:    "areas",
		Caption: "The tank that each roof area needs for the target",
		Columns: []sheet.Column{{Title: "Roof", Unit: area.Unit}, {Title: "Tank", Unit: size.Unit}, {Title: "Band", Unit: size.Unit},
			{Title: "Safe size", Unit: size.Unit}, {Title: "The largest reaches", Unit: "%"}},
		Notes: []string{notEnough(b.s)},
	}
	rows := b.r.Rows()
	for i, a := range b.r.Answers {
		last := rows[i][len(rows[i])-1]
		t.Rows = append(t.Rows, sheet.Row{Cells: []string{
			area.Cell(a.Area), size.Cell(a.Lead), bandCell(size, a.Low, a.High), size.Cell(a.Safe), units.PercentCell(last.Of(b.s.Measure).Estimate),
		}})
	}
	return t
}

// notEnough says what stands where no size is given, and what the band is.
func notEnough(s *sim.Study) string {
	return "– where no size is told; " + words.SizeBand(s) + "."
}

// measureColumns are the three measures, the band beside the one that the
// target is about.
func (b *sheetMaker) measureColumns() []sheet.Column {
	var out []sheet.Column
	for m, title := range []string{sim.Annual: "Good years", sim.Time: "Days met", sim.Volume: "Water met"} {
		out = append(out, sheet.Column{Title: title, Unit: "%"})
		if sim.Measure(m) == b.s.Measure {
			out = append(out, sheet.Column{Title: "Band", Unit: "%"})
		}
	}
	return out
}

// measureCells are the cells under measureColumns.
func (b *sheetMaker) measureCells(c sim.Cell) []string {
	var out []string
	for m := sim.Annual; m <= sim.Volume; m++ {
		x := c.Of(m)
		if m == b.s.Measure && x.Estimate < b.s.Target { // what misses the target does not read like it
			out = append(out, units.PercentCellBeside(x.Estimate, b.s.Target))
		} else {
			out = append(out, units.PercentCell(x.Estimate))
		}
		if m == b.s.Measure {
			low := units.PercentCell(x.Low)
			if x.Low < b.s.Target {
				low = units.PercentCellBeside(x.Low, b.s.Target)
			}
			out = append(out, low+"–"+units.PercentCell(x.High))
		}
	}
	return out
}

func (b *sheetMaker) measureNote() string {
	return fmt.Sprintf("A good year has %s; the band is %s.", words.GoodYear(b.s.Allow), words.Band(b.s))
}
