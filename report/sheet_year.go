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

// sheetYears is how many of the driest real years the sheet shows.
const sheetYears = 5

// year is what the tank holds through the year, and the real driest years.
func (b *sheetMaker) year() sheet.Section {
	tank := b.u.Volume(b.r.Season.Tank)
	out := sheet.Section{ID: "year", Heading: "The tank through the year", Where: sheet.Report}
	out.Blocks = []sheet.Block{
		{Text: words.UpperFirst(words.Driest(b.u, b.r))}, sheet.Figure("season"), {Table: b.driestTable()}, sheet.Figure("strip"),
		sheet.Figure("balance"), {Table: b.monthTable(), Where: sheet.Page}, b.yearWords(tank),
	}
	if text := words.Filling(b.u, b.r); text != "" {
		out.Blocks = append(out.Blocks, sheet.Block{Text: text})
	}
	return out
}

// yearWords sums the months up.
func (b *sheetMaker) yearWords(tank string) sheet.Block {
	in := b.sum(func(m sim.Month) float64 { return m.Inflow })
	supplied := b.sum(func(m sim.Month) float64 { return m.OfRain() })
	topped, over := b.sum(sim.Month.TopUp), b.sum(func(m sim.Month) float64 { return m.Spilled })
	c := b.u.VolumeColumn(in, supplied, over)
	lacking := "has to be topped up"
	switch b.s.Mains {
	case sim.None:
		lacking = "is lacking"
	case sim.IntoTank:
		lacking = fmt.Sprintf("is not given by rain, and %s of mains is let in", b.u.Volume(b.sum(func(m sim.Month) float64 { return m.LetIn })))
	}
	if dried := b.sum(func(m sim.Month) float64 { return m.Dried }); dried > 0 {
		lacking += fmt.Sprintf("; %s falls onto the open water and %s evaporates", b.u.Volume(b.sum(func(m sim.Month) float64 { return m.Fell })), b.u.Volume(dried))
	}
	return sheet.Text("In a mean year %s %s flows into a tank of %s: %s %s is supplied and %s %s overflows; %s %s.",
		c.Words(in), c.Unit, tank, c.Words(supplied), c.Unit, c.Words(over), c.Unit, b.u.Volume(topped), lacking)
}

func (b *sheetMaker) sum(of func(sim.Month) float64) float64 {
	total := 0.0
	for _, m := range b.r.Months {
		total += of(m)
	}
	return total
}

// hardest returns the real years that were hardest on the tank, the hardest
// first: by short days, then by how low the tank fell, then by rain, as the figure of
// the tank's year has it.
func (b *sheetMaker) hardest(n int) []sim.RealYear {
	all := slices.Clone(b.r.Real)
	slices.SortStableFunc(all, func(x, y sim.RealYear) int {
		return cmp.Or(cmp.Compare(y.ShortDays, x.ShortDays), cmp.Compare(x.LowestStorage, y.LowestStorage), cmp.Compare(x.Rain, y.Rain))
	})
	return all[:min(n, len(all))]
}

func (b *sheetMaker) driestTable() *sheet.Table {
	years := b.hardest(sheetYears)
	var rain, water, needs []float64
	for _, y := range years {
		rain, water = append(rain, y.Rain), append(water, y.OfRain(), y.TopUp())
		if math.IsInf(y.Needs, 0) {
			y.Needs = math.NaN()
		}
		needs = append(needs, y.Needs)
	}
	depth, volume, tank := b.u.DepthColumn(rain...), b.u.VolumeColumn(water...), b.u.VolumeColumn(needs...)
	t := &sheet.Table{
		Name:    "driest",
		Caption: fmt.Sprintf("The real years hardest on %s, of %d", b.u.Volume(b.r.Season.Tank), len(b.r.Real)),
		Columns: []sheet.Column{{Title: "Water year", Words: true}, {Title: "Rain", Unit: depth.Unit}, {Title: "Short days"}, {Title: "Longest run", Unit: "days"},
			{Title: "Supplied", Unit: volume.Unit}, {Title: "Lacking", Unit: volume.Unit}, {Title: "Tank it needed", Unit: tank.Unit}},
		Notes: []string{fmt.Sprintf("Water years begin in %v. The tank is carried through the whole record, beginning with %s.", b.r.WaterYear, b.startsWith())},
	}
	goal := "no short day"
	if b.s.Allow > 0 {
		goal = "no more short days than allowed"
	}
	if b.s.Slow() { // nobody knows what another tank would have held
		t.Columns = t.Columns[:len(t.Columns)-1]
		for _, y := range years {
			t.Rows = append(t.Rows, sheet.Row{Cells: []string{words.WaterYear(y.Label, b.r.WaterYear), depth.Cell(y.Rain), fmt.Sprint(y.ShortDays), fmt.Sprint(y.LongestDry),
				volume.Cell(y.OfRain()), volume.Cell(y.TopUp())}})
		}
		return t
	}
	t.Notes = append(t.Notes, fmt.Sprintf("The tank it needed is the smallest that would have had %s in that year, carried through the years before it; a dash where no tank would.", goal))
	for i, y := range years {
		t.Rows = append(t.Rows, sheet.Row{Cells: []string{words.WaterYear(y.Label, b.r.WaterYear), depth.Cell(y.Rain), fmt.Sprint(y.ShortDays), fmt.Sprint(y.LongestDry),
			volume.Cell(y.OfRain()), volume.Cell(y.TopUp()), tank.Cell(needs[i])}})
	}
	return t
}

// startsWith says with what the tank begins the record.
func (b *sheetMaker) startsWith() string {
	if b.s.Start != nil {
		return b.u.Volume(*b.s.Start)
	}
	return fmt.Sprintf("what it holds after its first %d years are run once", sim.RunIn)
}

func (b *sheetMaker) monthTable() *sheet.Table {
	var water []float64
	for _, m := range b.r.Months {
		water = append(water, m.Inflow, m.Demand, m.Spilled)
	}
	v := b.u.VolumeColumn(water...)
	t := &sheet.Table{
		Name:    "months",
		Caption: fmt.Sprintf("A mean year at %s, month by month", b.u.Volume(b.r.Season.Tank)),
		Columns: []sheet.Column{{Title: "Month", Words: true}, {Title: "Flows in", Unit: v.Unit}, {Title: "Wanted", Unit: v.Unit}, {Title: "Supplied", Unit: v.Unit},
			{Title: words.UpperFirst(words.Lacking(b.s)), Unit: v.Unit}, {Title: "Overflows", Unit: v.Unit}, {Title: "Short days"}},
		Notes: []string{"Means of " + units.Fixed(float64(b.r.Season.Years), 0) + " simulated years; over one month what flows in and what leaves differ by what the tank gains or loses."},
	}
	for _, m := range b.r.Months {
		t.Rows = append(t.Rows, sheet.Row{Cells: []string{m.Month.String(), v.Cell(m.Inflow), v.Cell(m.Demand), v.Cell(m.OfRain()), v.Cell(m.TopUp()), v.Cell(m.Spilled), units.Mean(m.ShortDays)}})
	}
	return t
}

// stops is where more storage stops paying.
func (b *sheetMaker) stops() sheet.Section {
	out := sheet.Section{ID: "stop", Heading: "Where more storage stops paying", Where: sheet.Report}
	if b.r.Main.Grade == sim.TooShort {
		return out
	}
	out.Blocks = append(out.Blocks, sheet.Text("%s", words.UpperFirst(words.Stop(b.u, b.r))), sheet.Figure("turnover"))
	if words := b.beyondStop(); words != "" {
		out.Blocks = append(out.Blocks, sheet.Block{Text: words})
	}
	out.Blocks = append(out.Blocks, b.offers()...)
	return out
}

// beyondStop says what is bought where the target asks for more than pays at
// the prices.
func (b *sheetMaker) beyondStop() string {
	a, st, c := b.r.Main, b.r.Stop, b.s.Costs
	if c == nil || !(st.Tank < a.Lead) {
		return ""
	}
	v := c.Value(a.Lead, a.Cell.Supplied)
	if math.IsNaN(v) {
		return fmt.Sprintf("The target asks for a larger tank. What you buy beyond %s is safety rather than water.", b.u.Volume(st.Tank))
	}
	return fmt.Sprintf("The target asks for a larger tank than the one worth most. At %s the water saves %s over the price of the tank; at %s, %s. The difference of %s is the price of the safety.",
		b.u.Volume(st.Tank), units.Amount(c.Value(st.Tank, st.Supplied), c.Currency), b.u.Volume(a.Lead), units.Amount(v, c.Currency), units.Amount(c.Value(st.Tank, st.Supplied)-v, c.Currency))
}
