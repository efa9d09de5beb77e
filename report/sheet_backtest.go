package report

import (
	"fmt"
	"math"
	"slices"

	"tankodds/report/sheet"
	"tankodds/report/units"
	"tankodds/report/words"
	"tankodds/sim"
	"tankodds/sim/backtest"
)

// Sheet returns what the claims were worth.
func (z *Backtest) Sheet() *sheet.Sheet {
	r := z.Result
	b := r.Study
	out := &sheet.Sheet{Brief: true, Under: []string{fmt.Sprintf(
		"Each generator learns from %s usable years of a record, claims, and is judged by the up to %d usable years that follow, at least %d; a new window begins every %s.",
		listed(b.Learn), b.Judge, b.Least, words.Plural(b.Step, "year"))}}
	records := []sheet.Block{{Table: z.recordTable()}}
	if told := words.TooShort(r); len(told) > 0 {
		records = append(records, mind(told))
	}
	if len(r.Cases) == 0 {
		out.Add("records", append(records, sheet.Text("No window could be judged."))...)
		return out
	}
	out.Add("records", records...)
	table := func(name, head, caption string, pick func(backtest.Score) (string, bool)) {
		out.Add(name, sheet.Block{Table: z.scoreTable(name, head, caption, pick)})
	}
	first := r.Generators[0]
	all := func(s backtest.Score) bool { return s.Tanks == backtest.ForTarget && math.IsNaN(s.Target) }
	if anySized(r) {
		table("measures", "Claims about", "Tanks that the years learnt from say meet the target, "+first+"; all targets, and demands of "+shares(b.Demands)+" of the inflow, together",
			func(s backtest.Score) (string, bool) { return ofMeasure(s), s.Generator == first && all(s) })
		table("targets", "Target", "The same by target",
			func(s backtest.Score) (string, bool) {
				return units.Percent(s.Target) + " of " + ofMeasure(s), s.Generator == first && s.Tanks == backtest.ForTarget && !math.IsNaN(s.Target)
			})
		out.Add("safe", sheet.Block{Table: z.safeTable(first)})
		if len(r.Generators) > 1 {
			table("generators", "Generator", "All targets together, by generator",
				func(s backtest.Score) (string, bool) { return s.Generator + ", " + ofMeasure(s), all(s) })
		}
	}
	if len(b.Tanks) > 0 {
		table("given", "Generator", fmt.Sprintf("The same tanks for every generator, %s of the inflow of an average year", shares(b.Tanks)),
			func(s backtest.Score) (string, bool) {
				return s.Generator + ", " + ofMeasure(s), s.Tanks == backtest.Given
			})
	}
	var said []sheet.Block
	for _, text := range append(z.Words(), backtestNotes) {
		said = append(said, sheet.Block{Text: text})
	}
	out.Add("words", said...)
	return out
}

// anySized says whether tanks were sized for a target.
func anySized(r *backtest.Result) bool {
	return slices.ContainsFunc(r.Scores, func(s backtest.Score) bool { return s.Tanks == backtest.ForTarget })
}

// ofMeasure says what a claim is about.
func ofMeasure(s backtest.Score) string {
	return [...]string{sim.Annual: "years", sim.Time: "days", sim.Volume: "water"}[s.Measure]
}

const backtestNotes = "50, 80 and 90 %: the share of outcomes inside intervals that claim so much of the years, " +
	"days or water that fail in the years that judge, by the randomised probability integral transform. Score: the " +
	"mean interval score (Winkler) of the 90 % interval, and beside it that of a naive claim, which takes the " +
	"synthetic years for the truth; less is better. Bias: what was stated less what was seen, in percentage points. ±: one " +
	"standard error. Windows of one record overlap, so the errors rest on the stretches of years that do not."

// Words says in sentences what the first generator's claims were worth.
func (z *Backtest) Words() []string {
	var out []string
	for _, s := range z.Result.Scores {
		if s.Generator != z.Result.Generators[0] || s.Tanks == backtest.Given || !math.IsNaN(s.Target) || s.Cases == 0 {
			continue
		}
		text := fmt.Sprintf("Claims about %s: %s %% (± %s) of %s outcomes lay in the intervals that claimed 90 %%; of a naive claim's, %s %%. It stated %s %%, and %s %% came.",
			ofMeasure(s), units.PercentCell(s.Inside90), units.PercentCell(s.Error90), units.Fixed(float64(s.Cases), 0), units.PercentCell(s.Naive), units.PercentCell(s.Stated), units.PercentCell(s.Realised))
		if len(z.Result.Records) > 1 {
			text += fmt.Sprintf(" They held least at %s: %s %%.", s.Worst, units.PercentCell(s.WorstInside))
		}
		if s.Few {
			text += fmt.Sprintf(" These figures rest on %s that do not overlap: too few to judge by.", words.Plural(int(s.Independent), "stretch"))
		}
		out = append(out, text)
		if s.Unmet > 0 {
			out = append(out, fmt.Sprintf("In %s no tank that was tried met the target.", words.Plural(s.Unmet, "further case")))
		}
	}
	return out
}

func (z *Backtest) recordTable() *sheet.Table {
	t := &sheet.Table{Name: "records", Columns: []sheet.Column{{Title: "Record", Words: true}, {Title: "Usable years"}, {Title: "Windows"}}}
	for _, r := range z.Result.Records {
		t.Rows = append(t.Rows, sheet.Row{Cells: []string{clip(r.Name, 40), fmt.Sprint(r.Usable), fmt.Sprint(r.Windows)}})
	}
	return t
}

// scoreTable has a row for each of the scores that pick names.
func (z *Backtest) scoreTable(name, head, caption string, pick func(backtest.Score) (string, bool)) *sheet.Table {
	return z.table(name, head, caption, []string{"Cases", "50 %", "80 %", "90 %", "±", "Score", "Naive", "Bias", "±"}, pick, func(s backtest.Score) []string {
		return []string{units.PercentCell(s.Inside50), units.PercentCell(s.Inside80), units.PercentCell(s.Inside90), units.PercentCell(s.Error90),
			units.Fixed(s.Winkler, 3), units.Fixed(s.NaiveScore, 3), signed(s.Bias), units.Fixed(100*s.BiasErr, 1)}
	})
}

// safeTable says what the sizes of a generator were worth.
func (z *Backtest) safeTable(generator string) *sheet.Table {
	return z.table("safe", "Target", "Safe sizes, which meet the target in the years that judge or do not, and bands of sizes, which hold the size that these would have needed",
		[]string{"Cases", "Safe sizes", "Met", "±", "Expected", "Band held"},
		func(s backtest.Score) (string, bool) {
			return units.Percent(s.Target) + " of " + ofMeasure(s), s.Generator == generator && s.Tanks == backtest.ForTarget && !math.IsNaN(s.Target)
		},
		func(s backtest.Score) []string {
			return []string{units.Fixed(float64(s.SafeCases), 0), units.PercentCell(s.SafeMet), units.PercentCell(s.SafeMetErr), units.PercentCell(s.SafeChance), units.PercentCell(s.Sized)}
		})
}

// table has a row for each of the scores that pick names: the cases and what
// cells has of it.
func (z *Backtest) table(name, head, caption string, titles []string, pick func(backtest.Score) (string, bool), cells func(backtest.Score) []string) *sheet.Table {
	t := &sheet.Table{Name: name, Caption: caption, Columns: []sheet.Column{{Title: head, Words: true}}}
	for _, title := range titles {
		t.Columns = append(t.Columns, sheet.Column{Title: title})
	}
	for _, s := range z.Result.Scores {
		name, ok := pick(s)
		if !ok {
			continue
		}
		row := []string{name, units.Fixed(float64(s.Cases), 0)}
		if s.Cases == 0 {
			row = append(row, slices.Repeat([]string{"–"}, len(titles)-1)...)
		} else {
			row = append(row, cells(s)...)
		}
		t.Rows = append(t.Rows, sheet.Row{Cells: row})
	}
	return t
}

// signed prints a difference of shares in hundredths, with its sign.
func signed(x float64) string {
	text := units.Fixed(100*math.Abs(x), 1)
	switch {
	case text == "0.0":
		return text
	case x < 0:
		return "−" + text
	}
	return "+" + text
}

// listed says "15, 20 or 30".
func listed(n []int) string {
	var all []string
	for _, x := range n {
		all = append(all, fmt.Sprint(x))
	}
	return words.Join(all, "or")
}

// shares says "30, 50 and 70 %".
func shares(x []float64) string {
	var all []string
	for _, s := range x {
		all = append(all, fmt.Sprintf("%.4g", 100*s))
	}
	return words.Join(all, "and") + " %"
}
