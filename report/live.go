package report

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
	"tankodds/report/figure"
	"tankodds/report/sheet"
	"tankodds/report/site"
	"tankodds/report/units"
	"tankodds/report/words"
	"tankodds/sim"
)

// What the local page shows beside the sheet: the answer alone while the rest is
// worked out, what each size does, and the year of one tank.

// Brief is the sheet of an answer alone, of sim.SizeBriefly too.
func (z *Sizing) Brief() *sheet.Sheet {
	b := &sheetMaker{z: z, r: z.Result, s: z.Result.Study, u: z.Units, m: z.Record}
	out := &sheet.Sheet{
		Title: z.Title, Subject: fmt.Sprintf("A first look, over %s synthetic years. The whole answer may differ.", words.Whole(z.Result.Simulated)), Facts: coverFacts(z.Cover),
		Answer: b.answer(), Key: b.key(), Foot: b.foot(), Sections: []sheet.Section{{ID: "answer", Heading: "The answer", Blocks: []sheet.Block{sheet.Figure("reliability")}}},
	}
	if out.Title == z.Record.File {
		out.Title = baseName(out.Title)
	}
	out.Bind()
	return out
}

// SizeNote is what is said of one size of tank.
type SizeNote struct {
	Tank float64  `json:"tank_l"`
	Name string   `json:"name"`
	Text []string `json:"text"`
}

// SizeNotes says of every size on the curve of the site's own roofs, and of the
// answer, what it does and what the next sizes asked about would change.
func (z *Sizing) SizeNotes() []SizeNote {
	r, s, u := z.Result, z.Result.Study, z.Units
	all := slices.Clone(r.Curve)
	asked := z.ownCells()
	add := func(x sim.Cell) { // once, as it is printed
		if !slices.ContainsFunc(all, func(c sim.Cell) bool { return u.Volume(c.Tank) == u.Volume(x.Tank) }) {
			all = append(all, x)
		}
	}
	for _, x := range asked {
		all = slices.DeleteFunc(all, func(c sim.Cell) bool { return u.Volume(c.Tank) == u.Volume(x.Tank) })
		add(x)
	}
	if x := r.Main.Cell; x.Tank > 0 && x.Tank == r.Main.Lead {
		add(x)
	}
	slices.SortFunc(all, func(a, b sim.Cell) int {
		if a.Tank < b.Tank {
			return -1
		}
		return 1
	})
	var out []SizeNote
	for _, c := range all {
		n := SizeNote{c.Tank, u.Volume(c.Tank), words.AtSize(u, s, c)}
		up := slices.IndexFunc(asked, func(x sim.Cell) bool { return x.Tank > c.Tank*1.0001 })
		down := up
		if up < 0 {
			down = len(asked)
		}
		for down--; down >= 0 && asked[down].Tank >= c.Tank*0.9999; down-- {
		}
		if up >= 0 {
			n.Text = append(n.Text, words.Step(u, s, c, asked[up]))
		}
		if down >= 0 {
			n.Text = append(n.Text, words.Step(u, s, c, asked[down]))
		}
		out = append(out, n)
	}
	return out
}

// YearAt works out the year of a tank of a nominal size, L, and shows it with the
// real years that fell short of it.
func (z *Sizing) YearAt(ctx context.Context, series *rainfall.Series, g gen.Generator, tank float64) (*sheet.Sheet, []figure.Figure, error) {
	q, err := sim.Ask(series, g, z.Result.Study)
	if err != nil {
		return nil, nil, err
	}
	past, err := q.Past(tank)
	if err != nil {
		return nil, nil, err
	}
	r := *z.Result
	if r.Season, r.Months, err = q.Season(ctx, tank); err != nil {
		return nil, nil, err
	}
	r.Season.Driest, r.Season.DriestLabel = past.Driest, past.DriestLabel
	r.Real, r.Peak = past.Years, past.Peak
	var drawn []figure.Figure
	if f, ok := figure.Season(&r, z.Record, figure.Options{Units: z.Units}); ok {
		drawn = append(drawn, f)
	}
	out := &sheet.Sheet{Title: z.Title, Sections: []sheet.Section{{ID: "year-at", Heading: "The year of a tank of " + z.Units.Volume(tank), Blocks: []sheet.Block{
		sheet.Text("%s", words.RealYears(z.Units, &r, tank)), sheet.Figure("season"),
		sheet.Text("The command that runs the real record through it, day by day: tankodds replay %s --tank %s", site.FileName, strings.ReplaceAll(units.Volume.Typed(tank, z.Units), " ", "")),
	}}}}
	out.Bind()
	return out, drawn, nil
}

// Versions lays two answers side by side: the site as it was kept, and as it is now.
func Versions(a, b *Sizing) *sheet.Sheet {
	u := b.Units
	t := &sheet.Table{Name: "versions", Caption: "The two versions side by side", Columns: []sheet.Column{
		{Title: "What", Words: true}, {Title: "Kept", Words: true}, {Title: "Now", Words: true},
	}}
	row := func(name string, of func(z *Sizing) string) {
		t.Rows = append(t.Rows, sheet.Row{Cells: []string{name, of(a), of(b)}})
	}
	size := func(x float64) string {
		if math.IsNaN(x) {
			return "none"
		}
		return u.Volume(x)
	}
	row("Roofs", func(z *Sizing) string { return words.Roofs(u, z.Result.Study.Roofs) })
	row("Mean use", func(z *Sizing) string { return u.Flow(sim.MeanDemand(z.Result.Study.Uses)) })
	row("Record", func(z *Sizing) string { return z.Record.Name() })
	row("Target", func(z *Sizing) string { return words.Goal(z.Result.Study) })
	row("Size", func(z *Sizing) string {
		m := z.Result.Main
		if m.Lead != m.Tank && !math.IsNaN(m.Lead) {
			return size(m.Lead) + "; " + size(m.Tank) + " would be just enough"
		}
		return size(m.Tank)
	})
	row("Band", func(z *Sizing) string {
		m := z.Result.Main
		if math.IsNaN(m.Low) || math.IsNaN(m.High) {
			return "not closed"
		}
		return words.VolumeRange(u, m.Low, "to", m.High)
	})
	row("Safe size", func(z *Sizing) string { return size(z.Result.Main.Safe) })
	row("Stops paying", func(z *Sizing) string {
		st := z.Result.Stop
		if st.Method != sim.ByValue || math.IsNaN(st.Tank) {
			return size(st.Tank)
		}
		return size(st.Tank) + ", " + words.Worth(z.Result.Study, st) + " of those with a price"
	})
	row("Grade", func(z *Sizing) string { return z.Result.Main.Grade.String() })
	out := &sheet.Sheet{Title: b.Title, Sections: []sheet.Section{{ID: "versions", Heading: "What changes", Blocks: []sheet.Block{
		sheet.Text("%s", words.Changes(u, a.Result, b.Result, a.Record.SHA256 == b.Record.SHA256)), {Table: t},
		sheet.Text("Each version is a site file of its own. The command that does the same: tankodds size, once for each."),
	}}}}
	out.Bind()
	return out
}
