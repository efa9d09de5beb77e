package report

import (
	"fmt"

	"tankodds/report/sheet"
	"tankodds/report/words"
)

// Sheet returns one table and what it rests on.
func (z *Comparison) Sheet() *sheet.Sheet {
	s := z.Sizings[0].Result.Study
	out := &sheet.Sheet{Title: z.Title, Brief: true,
		Under: []string{words.Site(z.Units, s.Roofs, s.Uses, s.Rule), "target: " + words.Goal(s)}}
	out.Add("records", sheet.Block{Table: z.table()})
	for i, x := range z.Sizings {
		rests := []sheet.Block{{Text: x.basis()}}
		if told := x.told(x.Units, true); len(told) > 0 {
			rests = append(rests, mind(told))
		}
		out.Add(fmt.Sprintf("rests-%d", i+1), rests...)
	}
	out.Add("caution", closing(nil)...)
	return out
}

// table has a row a record.
func (z *Comparison) table() *sheet.Table {
	var depths, sizes []float64
	for _, x := range z.Sizings {
		depths = append(depths, x.Record.MeanAnnual)
		a := x.Result.Main
		sizes = append(sizes, a.Tank, a.High, a.Safe)
	}
	depth, size := z.Units.DepthColumn(depths...), z.Units.VolumeColumn(sizes...)
	t := &sheet.Table{Name: "records",
		Columns: []sheet.Column{{Title: "Record", Words: true}, {Title: "Usable", Unit: "years"}, {Title: "Rain a year", Unit: depth.Unit},
			{Title: "Tank for the target", Unit: size.Unit}, {Title: "Band", Unit: size.Unit}, {Title: "Safe size", Unit: size.Unit}, {Title: "Stops paying", Unit: size.Unit}},
		Notes: []string{notEnough(z.Sizings[0].Result.Study)},
	}
	for i, x := range z.Sizings {
		r := x.Result
		t.Rows = append(t.Rows, sheet.Row{Cells: []string{clip(x.Record.Name(), 22), fmt.Sprint(r.Usable), depth.Cell(depths[i]),
			size.Cell(r.Main.Tank), bandCell(size, r.Main.Low, r.Main.High), size.Cell(r.Main.Safe), size.Cell(r.Stop.Tank)}})
	}
	return t
}

// clip shortens a name to n characters.
func clip(s string, n int) string {
	r := []rune(s)
	if len(r) <= n {
		return s
	}
	return string(r[:n-1]) + "…"
}
