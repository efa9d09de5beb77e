package report

import (
	"fmt"
	"math"
	"strings"

	"tankodds/report/units"
	"tankodds/report/words"
	"tankodds/sim"
)

// answer is the whole finding in two sentences.
func (b *sheetMaker) answer() []string {
	a, u := b.r.Main, b.u
	under := fmt.Sprintf("%s and %s of use on average", b.roofWords(), u.Flow(sim.MeanDemand(b.s.Uses)))
	if math.IsNaN(a.Tank) {
		first := fmt.Sprintf("For %s, %s.", under, words.Reason(a))
		if !math.IsNaN(a.Beyond) {
			return []string{first, fmt.Sprintf("About %s would meet it, beyond the sizes asked about.", u.Volume(a.Beyond))}
		}
		c := b.largest()
		return []string{first, fmt.Sprintf("The largest size asked about, %s, supplies %s of the water wanted and leaves %s short days a year.",
			u.Volume(c.Tank), units.Percent(c.Volumetric.Estimate), units.Fixed(c.ShortDays, 1))}
	}
	first := fmt.Sprintf("For %s, a tank of %s is the smallest that meets %s.", under, u.Volume(a.Tank), goalWords(b.s))
	years := words.Plural(b.r.Usable, "usable year")
	if !b.s.RecordError {
		return []string{first, fmt.Sprintf("How far the %s of record could be wrong was not asked, so no band stands beside it.", years)}
	}
	var band string
	switch low, high := math.IsNaN(a.Low), math.IsNaN(a.High); {
	case low && high:
		band = fmt.Sprintf("%s cannot bound it within the sizes asked about", years)
	case high:
		band = fmt.Sprintf("from %s of record it may be %s or more than the largest size asked about", years, u.Volume(a.Low))
	case low:
		band = fmt.Sprintf("from %s of record it may be anything up to %s", years, u.Volume(a.High))
	default:
		band = fmt.Sprintf("from %s of record it lies between %s", years, words.VolumeRange(u, a.Low, "and", a.High))
	}
	if math.IsNaN(a.Safe) {
		return []string{first, words.UpperFirst(band) + "; no size asked about is sure to meet the target."}
	}
	return []string{first, fmt.Sprintf("%s; the safe size, at which even the lower bound of the reliability meets the target, is %s.", words.UpperFirst(band), u.Volume(a.Safe))}
}

// key is the size answered.
func (b *sheetMaker) key() string {
	if math.IsNaN(b.r.Main.Tank) {
		return ""
	}
	return "a tank of " + b.u.Volume(b.r.Main.Tank)
}

// largest is the cell of the largest size under the site's own roofs.
func (b *sheetMaker) largest() sim.Cell { return b.r.Curve[len(b.r.Curve)-1] }

// roofWords says what the roofs are: "a metal roof of 180 m²".
func (b *sheetMaker) roofWords() string {
	roofs := b.s.Roofs
	total := b.u.Area(sim.TotalArea(roofs))
	surface := roofs[0].Surface
	for _, r := range roofs {
		if r.Surface != surface {
			surface = ""
		}
	}
	if surface == sim.DefaultSurface {
		surface = ""
	}
	if len(roofs) == 1 {
		return strings.Join(strings.Fields(fmt.Sprintf("%s of %s roof", total, surface)), " ")
	}
	return strings.Join(strings.Fields(fmt.Sprintf("%d %s roofs of %s together", len(roofs), surface, total)), " ")
}

// curve is the first section: the reliability of every size.
func (b *sheetMaker) curve() Section {
	return Section{"answer", "The answer", []Block{figureBlock("reliability"), led("How to read it.", "%s", b.measureWords())}}
}

// measureWords defines the measure of the target.
func (b *sheetMaker) measureWords() string {
	short := "A day is short when the tank cannot give all that is wanted of it; the rest must come from the top-up, if there is one."
	switch b.s.Measure {
	case sim.Time:
		return short + " The curve is the share of days that are not short."
	case sim.Volume:
		return short + " The curve is the water supplied over the water wanted."
	}
	return short + fmt.Sprintf(" The curve is the share of water years with %s, the strictest of the three measures in the table below.", goodYear(b.s))
}

// sheetRows is how many sizes the table shows.
const sheetRows = 12

// sizes is the table of the sizes asked about.
func (b *sheetMaker) sizes() Section {
	out := Section{ID: "sizes", Heading: "Sizes worth quoting"}
	out.Blocks = append(out.Blocks, Block{Table: b.sizeTable()})
	if len(b.r.Answers) > 1 {
		out.Blocks = append(out.Blocks, figureBlock("map"), Block{Table: b.areaTable()})
	}
	return out
}

func (b *sheetMaker) sizeTable() *Table {
	cells := b.z.ownCells()
	all := len(cells)
	cells = b.quotable(cells)
	var tanks, water []float64
	for _, c := range cells {
		tanks, water = append(tanks, c.Tank), append(water, c.Supplied)
	}
	tank, supplied := b.u.VolumeColumn(tanks...), b.u.VolumeColumn(water...)
	t := &Table{
		Name:    "sizes",
		Caption: fmt.Sprintf("The sizes asked about, under %s", b.u.Area(sim.TotalArea(b.s.Roofs))),
		Columns: []Column{
			{Title: "Tank", Unit: tank.Unit},
		},
	}
	t.Columns = append(append(t.Columns, b.measureColumns()...),
		Column{Title: "Short days", Unit: "a year"},
		Column{Title: "Supplied", Unit: supplied.Unit + " a year"},
		Column{Title: "Overflow", Unit: "% of inflow"})
	costs := b.s.Costs
	if costs != nil {
		money := costs.Currency
		t.Columns = append(t.Columns, Column{Title: "Price", Unit: money}, Column{Title: "Net value", Unit: money})
	}
	for _, c := range cells {
		row := Row{Mark: b.markOf(c, cells)}
		row.Cells = append(append([]string{tank.Cell(c.Tank)}, b.measureCells(c)...), units.Fixed(c.ShortDays, 1), supplied.Cell(c.Supplied), share(c.SpillShare))
		if costs != nil {
			row.Cells = append(row.Cells, money(costs.Price(c.Tank)), money(costs.Value(c.Tank, c.Supplied)))
		}
		t.Rows = append(t.Rows, row)
	}
	t.Notes = append(t.Notes, b.measureNote())
	if costs != nil {
		t.Notes = append(t.Notes, fmt.Sprintf("Net value: the worth of the water supplied over %g years at %s, discounted by %s a year, less the price; – outside the known prices.",
			costs.Life, b.u.Price(costs.Water, costs.Currency), units.Percent(costs.Discount)))
	}
	if n := all - len(cells); n > 0 {
		t.Notes = append(t.Notes, fmt.Sprintf("%s more in curves.csv.", words.Plural(n, "size")))
	}
	return t
}

// quotable leaves out sizes from both ends of a long list.
func (b *sheetMaker) quotable(cells []sim.Cell) []sim.Cell {
	return worthShowing(cells, b.r.Main.Listed, sheetRows)
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
	meets := c.Tank == b.r.Main.Listed
	safe := b.s.RecordError && first(func(i sim.Interval) bool { return i.Low >= target })
	switch {
	case meets && safe:
		return "meets the target, and so does its lower bound"
	case meets:
		return "meets the target"
	case safe:
		return "its lower bound meets the target"
	}
	return ""
}

func (b *sheetMaker) areaTable() *Table {
	var areas, sizes []float64
	for _, a := range b.r.Answers {
		areas = append(areas, a.Area)
		sizes = append(sizes, a.Tank, a.Safe, a.High)
	}
	area, size := b.u.AreaColumn(areas...), b.u.VolumeColumn(sizes...)
	t := &Table{
		Name:    "areas",
		Caption: "The tank that each roof area needs for the target",
		Columns: []Column{{Title: "Roof", Unit: area.Unit}, {Title: "Tank", Unit: size.Unit}, {Title: "Band", Unit: size.Unit},
			{Title: "Safe size", Unit: size.Unit}, {Title: "The largest reaches", Unit: "%"}},
		Notes: []string{"– where no size in the range is enough; " + sizeBandWords(b.s) + "."},
	}
	rows := b.r.Rows()
	for i, a := range b.r.Answers {
		last := rows[i][len(rows[i])-1]
		t.Rows = append(t.Rows, Row{Cells: []string{
			area.Cell(a.Area), size.Cell(a.Tank), bandCell(size, a.Low, a.High), size.Cell(a.Safe), share(last.Of(b.s.Measure).Estimate),
		}})
	}
	return t
}

// measureColumns are the three measures, the band beside the one that the
// target is about.
func (b *sheetMaker) measureColumns() []Column {
	var out []Column
	for m, title := range []string{sim.Annual: "Good years", sim.Time: "Days met", sim.Volume: "Water met"} {
		out = append(out, Column{Title: title, Unit: "%"})
		if sim.Measure(m) == b.s.Measure {
			out = append(out, Column{Title: "Band", Unit: "%"})
		}
	}
	return out
}

// measureCells are the cells under measureColumns.
func (b *sheetMaker) measureCells(c sim.Cell) []string {
	var out []string
	for m := sim.Annual; m <= sim.Volume; m++ {
		x := c.Of(m)
		out = append(out, share(x.Estimate))
		if m == b.s.Measure {
			out = append(out, share(x.Low)+"–"+share(x.High))
		}
	}
	return out
}

func (b *sheetMaker) measureNote() string {
	return fmt.Sprintf("A good year has %s; the band is %s.", goodYear(b.s), bandWords(b.s))
}

// minus sets the sign of a negative number as a minus, not a hyphen.
func minus(s string) string {
	if rest, ok := strings.CutPrefix(s, "-"); ok {
		return "−" + rest
	}
	return s
}
