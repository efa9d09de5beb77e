package report

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"tankodds/rainfall"
	"tankodds/report/sheet"
	"tankodds/report/site"
	"tankodds/report/units"
	"tankodds/report/words"
	"tankodds/sim"
)

// thumbs is what rules of thumb would have said, and what those sizes do.
func (b *sheetMaker) thumbs() sheet.Section {
	out := sheet.Section{ID: "thumbs", Heading: "What rules of thumb would have said", Where: sheet.Report}
	if len(b.r.Thumbs) == 0 {
		out.Blocks = append(out.Blocks, sheet.Text("No rule of thumb gives a size here."))
		return out
	}
	bySize := func(x, y sim.Thumb) int { return cmp.Compare(x.Tank, y.Tank) }
	low, high := slices.MinFunc(b.r.Thumbs, bySize), slices.MaxFunc(b.r.Thumbs, bySize)
	m := b.s.Measure
	text := fmt.Sprintf("Here they give from %s to %s, a factor of %s. In the same simulated years the smallest reaches %s and the largest %s of the %s. The rules do not tell you this.",
		b.u.Volume(low.Tank), b.u.Volume(high.Tank), units.Significant(high.Tank/low.Tank, 2),
		units.Percent(low.Cell.Of(m).Estimate), units.Percent(high.Cell.Of(m).Estimate), words.ShareOf(b.s.Measure))
	out.Blocks = append(out.Blocks, sheet.Block{Text: text}, sheet.Block{Table: b.thumbTable()})
	return out
}

func (b *sheetMaker) thumbTable() *sheet.Table {
	var tanks []float64
	for _, x := range b.r.Thumbs {
		tanks = append(tanks, x.Tank)
	}
	a := b.r.Main
	tank := b.u.VolumeColumn(append(tanks, a.Cell.Tank)...)
	t := &sheet.Table{
		Name:    "thumbs",
		Caption: "Rules of thumb for this site, and how reliable their sizes are",
		Columns: []sheet.Column{{Title: "Rule", Words: true}, {Title: "Tank", Unit: tank.Unit}},
		Notes:   []string{b.measureNote()},
	}
	t.Columns = append(append(t.Columns, b.measureColumns()...), sheet.Column{Title: "Source", Words: true, Where: sheet.Page})
	for _, x := range b.r.Thumbs {
		rule, source := b.ruleOf(x)
		c := x.Cell
		mark := ""
		if c.Of(b.s.Measure).Estimate >= b.s.Target {
			mark = "meets the target"
		}
		t.Rows = append(t.Rows, b.thumbRow(rule, source, mark, tank.Cell(x.Tank), c))
	}
	if !math.IsNaN(a.Tank) && a.Cell.Tank > 0 { // what is printed of a size is of that size
		t.Rows = append(t.Rows, b.thumbRow("daily simulation, this sheet", "", "the answer", tank.Cell(a.Cell.Tank), a.Cell))
	}
	return t
}

func (b *sheetMaker) thumbRow(rule, source, mark, tank string, c sim.Cell) sheet.Row {
	return sheet.Row{Cells: append(append([]string{rule, tank}, b.measureCells(c)...), source), Mark: mark}
}

// ruleOf words a rule of thumb with this site's numbers, and its source.
func (b *sheetMaker) ruleOf(x sim.Thumb) (rule, source string) {
	switch x.Rule {
	case sim.ThumbFive:
		return fmt.Sprintf("5 %% of a year's yield or use, whichever is less (%s)", b.u.Volume(x.Of)),
			"the intermediate approach of the former BS 8515 (withdrawn)"
	case sim.ThumbSix:
		return fmt.Sprintf("6 %% of a year's yield or use, whichever is less (%s)", b.u.Volume(x.Of)), "DIN 1989-1, as quoted in practice"
	case sim.ThumbDays:
		return fmt.Sprintf("%d days of use at %s", x.Days, b.u.Flow(x.Of)), "City of Stuttgart, Richtige Speichergröße (item 52388)"
	case sim.ThumbDrySpell:
		return fmt.Sprintf("the use of the longest dry spell, %s at %s", words.Plural(x.Days, "day"), b.u.Flow(x.Of)), site.CommonPractice
	}
	months := x.First.String()
	if x.Count > 1 {
		months += " to " + rainfall.Calendar(x.First).Month(x.Count-1).String()
	}
	if x.Count == 12 {
		months = "January to December"
	}
	return fmt.Sprintf("the use of the dry season, %s: %s", words.Plural(x.Count, "month"), months), site.CommonPractice
}
