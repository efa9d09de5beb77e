package report

import (
	"fmt"
	"slices"
	"strings"

	"tankodds/rainfall"
	"tankodds/report/sheet"
	"tankodds/report/site"
	"tankodds/report/units"
	"tankodds/sim"
)

// assumptions lists every value that the answer rests on.
func (b *sheetMaker) assumptions() sheet.Section {
	return sheet.Section{ID: "assumptions", Heading: "Assumptions", Where: sheet.Report, Blocks: []sheet.Block{
		sheet.Text("Every value that the answer rests on, and where it comes from."),
		{Table: b.roofTable()}, {Table: b.useTable()}, {Table: b.valueTable()},
	}}
}

// plan is what was asked.
func (b *sheetMaker) plan() *site.Plan {
	return &site.Plan{Command: site.Size, Study: b.s, Record: b.z.Source, Cover: b.z.Cover, Units: b.u}
}

// columns makes a table of roofs or uses, and says what of them is taken where
// nothing is stated.
func (b *sheetMaker) columns(part, caption string) (*sheet.Table, []string) {
	t := &sheet.Table{Name: part, Caption: caption}
	all, taken := site.Columns(b.plan(), part)
	for _, c := range all {
		t.Columns = append(t.Columns, sheet.Column{Title: c.Name, Unit: c.Unit, Words: c.Words})
		for i, cell := range c.Cells {
			if i == len(t.Rows) {
				t.Rows = append(t.Rows, sheet.Row{})
			}
			t.Rows[i].Cells = append(t.Rows[i].Cells, cell)
		}
	}
	return t, taken
}

func (b *sheetMaker) roofTable() *sheet.Table {
	t, taken := b.columns("roofs", "Roofs")
	seen := map[string]bool{}
	for _, r := range b.s.Roofs {
		note := fmt.Sprintf("Runoff coefficient %.2f: %s.", r.Runoff, site.Stated)
		if known, ok := sim.FindSurface(r.Surface); ok && known.Runoff == r.Runoff {
			note = fmt.Sprintf("Runoff coefficient, %s: %s.", known.Name, known.Source)
		}
		if !seen[note] {
			seen[note] = true
			t.Notes = append(t.Notes, note)
		}
	}
	for _, r := range b.s.Roofs {
		if known, ok := sim.FindSurface(r.Surface); ok && known.Runoff == r.Runoff && r.Wetting > 0 {
			t.Notes = append(t.Notes, "The coefficient of a surface holds its wetting already; a wetting loss besides is counted twice.")
			break
		}
	}
	if slices.ContainsFunc(b.s.Roofs, func(r sim.Roof) bool { return r.Filter == 1 }) {
		t.Notes = append(t.Notes, "No loss at the filter is assumed where it passes on 100 %; 90 % is usual where it is not known (EN 16941-1).")
	}
	if len(taken) > 0 {
		t.Notes = append(t.Notes, "Where a roof states nothing: "+strings.Join(taken, ", ")+".")
	}
	t.Notes = append(t.Notes, "All other values: "+site.Stated+".")
	return t
}

func (b *sheetMaker) useTable() *sheet.Table {
	t, _ := b.columns("uses", "Uses")
	tail := "another supply tops it up."
	if b.s.Mains == sim.IntoTank {
		tail = "mains are let into the tank, and what it still cannot give is lacking."
	}
	if b.s.Mains == sim.None {
		tail = "what the tank cannot give is lacking."
	}
	t.Notes = []string{"Uses: " + site.Stated + ". A use does not wait for rain: " + tail}
	if slices.ContainsFunc(b.s.Uses, func(x sim.Use) bool { return x.Bed.Area > 0 }) {
		note := "What a bed asks for follows from the rain and the evaporation of each day (the water balance of FAO-56, chapter 8); drip asks for a little often, refill for much at once. It is taken to be watered whenever it asks."
		if b.s.Mains == sim.None {
			note += " Where the tank runs dry the soil dries too and later takes rain that it does not take here: the tank really gives more."
		}
		t.Notes = append(t.Notes, note)
	}
	var means, days []float64
	for _, x := range b.s.Uses {
		days = append(days, x.OnItsDays())
		means = append(means, sim.MeanDemand([]sim.Use{x}))
	}
	flow := b.u.FlowColumn(means...)
	if k := slices.IndexFunc(t.Columns, func(c sheet.Column) bool { return c.Title == "On its days" }); k >= 0 {
		on := b.u.FlowColumn(days...) // with what people want
		t.Columns[k].Unit = on.Unit
		for i, x := range days {
			t.Rows[i].Cells[k] = on.Cell(x)
		}
	}
	for i, x := range means {
		t.Rows[i].Cells = append(t.Rows[i].Cells, flow.Cell(x))
	}
	if len(means) > 1 {
		together := make([]string, len(t.Columns))
		together[0] = "together"
		t.Rows = append(t.Rows, sheet.Row{Cells: append(together, flow.Cell(sim.MeanDemand(b.s.Uses)))})
	}
	t.Columns = append(t.Columns, sheet.Column{Title: "On average", Unit: flow.Unit})
	return t
}

// yearSource says how the month in which a water year begins was found.
var yearSource = map[rainfall.StartBy]string{
	rainfall.ByAsking: "stated",
	rainfall.ByStores: "the month at whose start tanks of 10 to 200 days of use are fullest, on average over the record",
	rainfall.ByRain:   "the month after the one at which the running sum of each month's rain, less the mean month, is largest",
}

// valueTable is everything else: what was asked, and what the record and the
// generator bring with them.
func (b *sheetMaker) valueTable() *sheet.Table {
	r := b.r
	t := &sheet.Table{
		Name:    "values",
		Caption: "Everything else",
		Columns: []sheet.Column{{Title: "What", Words: true}, {Title: "Value", Words: true}, {Title: "Source", Words: true}},
	}
	add := func(what, value, source string) {
		t.Rows = append(t.Rows, sheet.Row{Cells: []string{what, value, source}})
	}
	for _, a := range site.Assumptions(b.plan()) {
		add(a.Name, a.Value, a.Source)
	}
	add("Water year from", r.WaterYear.String(), yearSource[b.m.StartBy])
	add("Usable year", "no month lacks 11 days or more, or 5 in a row", "WMO-No. 100 and WMO-No. 1203, for monthly values")
	add("Synthetic rain", fmt.Sprintf("%s: %s", r.Generator, r.GeneratorWhat), r.GeneratorSource)
	for _, p := range r.Params {
		add("– "+p.Name, strings.TrimSpace(units.Significant(p.Value, 4)+" "+p.Unit), "chosen for the generator or fitted to the record")
	}
	return t
}
