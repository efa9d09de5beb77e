package report

import (
	"fmt"
	"math"

	"tankodds/rainfall/gen"
	"tankodds/report/sheet"
	"tankodds/report/units"
	"tankodds/report/words"
)

// Sheet returns the fidelity table.
func (z *Synthesis) Sheet() *sheet.Sheet {
	out := &sheet.Sheet{Title: z.Record.Name(), Brief: true,
		Under: []string{fmt.Sprintf("generator %s: %s (%s)", z.Generator.Name, z.Generator.What, z.Generator.Source)}}
	var params []sheet.Fact
	for _, x := range z.Params {
		params = append(params, sheet.Fact{Label: words.UpperFirst(x.Name), Value: units.Significant(x.Value, 4) + " " + x.Unit})
	}
	if len(params) > 0 {
		out.Add("parameters", sheet.Block{Facts: params})
	}
	out.Add("fidelity", sheet.Text("%d of %d statistics of the record lie where synthetic records of its length put them.", z.Passed(), len(z.Fidelity)),
		sheet.Block{Table: z.table()})
	if told := words.Warned(z.Record.Findings, z.Units, false); len(told) > 0 {
		out.Add("rests", mind(told))
	}
	return out
}

// table has a row a statistic.
func (z *Synthesis) table() *sheet.Table {
	t := &sheet.Table{Name: "fidelity", Columns: []sheet.Column{{Title: "Statistic", Words: true}, {Title: "Season", Words: true}, {Title: "Unit", Words: true},
		{Title: "Real"}, {Title: "Synthetic"}, {Title: "5–95 %"}, {Title: "", Words: true}}}
	for _, r := range z.Fidelity {
		verdict := "pass"
		if !r.Pass {
			verdict = "FAIL"
		}
		real, mean, low, high, unit := z.shown(r)
		t.Rows = append(t.Rows, sheet.Row{Cells: []string{r.Statistic, r.Season, unit, figures(real), figures(mean), figures(low) + "–" + figures(high), verdict}})
	}
	if len(z.Fidelity) > 0 {
		t.Notes = []string{fmt.Sprintf("Rule: %s. Sources of the statistics are in --json.", z.Fidelity[0].Rule)}
	}
	return t
}

// shown turns a row's depths into the units printed.
func (z *Synthesis) shown(r gen.Row) (real, mean, low, high float64, unit string) {
	k, unit := 1.0, r.Unit
	if z.Units == units.US && unit == "mm" {
		k, unit = 1/units.MMPerInch, "in"
	}
	return r.Real * k, r.Mean * k, r.Low * k, r.High * k, unit
}

// figures prints a statistic to three figures.
func figures(x float64) string {
	if math.Abs(x) < 5e-4 {
		return "0"
	}
	return units.Significant(x, 3)
}
