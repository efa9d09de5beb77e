package report

import (
	"fmt"

	"tankodds/report/sheet"
	"tankodds/report/words"
)

// explain is what each uncertain input is worth to the size.
func (b *sheetMaker) explain() sheet.Section {
	out := sheet.Section{ID: "explain", Heading: "What matters most"}
	if len(b.r.Explain) == 0 {
		return out
	}
	t := &sheet.Table{
		Name:    "influences",
		Caption: "How the size needed changes with what is not known well, the most first",
		Columns: []sheet.Column{{Title: "Input", Words: true}, {Title: "If it is", Words: true}, {Title: "the tank is", Words: true}, {Title: "If it is", Words: true}, {Title: "the tank is", Words: true}},
		Notes: []string{
			"One input at a time, with the same synthetic rain. A coefficient may be off by as much as roofs of one kind were measured apart (Farreny et al. 2011); first flush by what guides ask of a clean and of a dirty roof; the rest is common practice.",
		},
	}
	for _, x := range b.r.Explain {
		what, from, to := words.Influence(b.u, x)
		t.Rows = append(t.Rows, sheet.Row{Cells: []string{what, from, words.Resized(x.A), to, words.Resized(x.B)}})
	}
	first, from, to := words.Influence(b.u, b.r.Explain[0])
	out.Blocks = []sheet.Block{
		{Text: fmt.Sprintf("What is worth looking into first: %s. If it is %s, the tank is %s; if it is %s, it is %s.", first, from, words.Resized(b.r.Explain[0].A), to, words.Resized(b.r.Explain[0].B))},
		sheet.Figure("influences"), {Table: t},
	}
	return out
}
