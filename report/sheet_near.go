package report

import (
	"fmt"
	"math"

	"tankodds/report/sheet"
	"tankodds/report/units"
	"tankodds/report/words"
)

// near says what records of neighbours lent, and why others did not.
func (b *sheetMaker) near() sheet.Section {
	n := b.r.Near
	if n == nil {
		return sheet.Section{}
	}
	out := sheet.Section{ID: "near", Heading: "Neighbours", Where: sheet.Report}
	t := &sheet.Table{Name: "neighbours", Caption: "The neighbours' records beside this one. Months go together by 1 where it is always as wet or as dry at both, by 0 where one tells nothing of the other.",
		Columns: []sheet.Column{{Title: "Record", Words: true}, {Title: "Years"}, {Title: "In common"}, {Title: "Months together"}, {Title: "Years together"}, {Title: "Rain times"}}}
	for _, x := range n.From {
		lent := "lent nothing"
		if x.Why == "" {
			lent = units.Fixed(x.Factor, 3)
		}
		t.Rows = append(t.Rows, sheet.Row{Cells: []string{clip(x.Name, 30), fmt.Sprint(x.Usable), fmt.Sprint(x.Common), together(x.Months), together(x.Years), lent}})
	}
	out.Blocks = append(out.Blocks, sheet.Text("%s", words.Near(b.u, b.r)), sheet.Block{Table: t})
	if n.Borrowed() {
		out.Blocks = append(out.Blocks,
			sheet.Text("A dry year that a neighbour saw, and this record did not, is so reckoned with. It counts for less than an own year: in common years all of them have the same droughts, the scale is not known exactly, and no two places are quite of one climate. Shares of days and of water are read from the same years, but their bounds are those of this record alone."),
			sheet.Led("Mind:", "The neighbours are taken for one climate with this place because nothing in the records speaks against it. Height, slope and the sea may. If you know that one of them gets other rain, leave it out."))
	}
	return out
}

// together is a correlation for a table.
func together(x float64) string {
	if math.IsNaN(x) {
		return "–"
	}
	return units.Fixed(x, 2)
}
