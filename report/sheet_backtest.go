package report

import (
	"fmt"
	"math"
	"slices"

	"tankodds/report/sheet"
	"tankodds/report/units"
	"tankodds/report/words"
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
	scores := func(name, head, caption string, pick func(backtest.Score) (string, bool)) {
		out.Add(name, sheet.Block{Table: z.scoreTable(name, head, caption, pick)})
	}
	if len(b.Targets) > 0 {
		first := r.Generators[0]
		scores("met", "Generator", fmt.Sprintf("Tanks that the years learnt from say meet the target; demands of %s of the inflow, targets of %s together", shares(b.Demands), shares(b.Targets)),
			func(s backtest.Score) (string, bool) {
				return s.Generator, s.Tanks == backtest.ForTarget && math.IsNaN(s.Target)
			})
		scores("targets", "Target", "The same by target, "+first,
			func(s backtest.Score) (string, bool) {
				return units.Percent(s.Target), s.Generator == first && !math.IsNaN(s.Target)
			})
	}
	if len(b.Tanks) > 0 {
		scores("given", "Generator", fmt.Sprintf("The same tanks for every generator, %s of the inflow of an average year", shares(b.Tanks)),
			func(s backtest.Score) (string, bool) { return s.Generator, s.Tanks == backtest.Given })
	}
	var said []sheet.Block
	for _, text := range append(z.Words(), backtestNotes) {
		said = append(said, sheet.Block{Text: text})
	}
	out.Add("words", said...)
	return out
}

const backtestNotes = "50, 80 and 90 %: the share of outcomes, counts of short years, inside intervals " +
	"that claim so much, by the randomised probability integral transform. Width and score: the mean width and " +
	"interval score (Winkler) of the 90 % interval of the share of short years; less is better. Stated and " +
	"seen: the mean share of good years, as claimed and as it came. Brier: of \"no short year\". " +
	"Windows of one record overlap, so the cases tell less than their number."

// Words says in sentences what the first generator's claims were worth.
func (z *Backtest) Words() []string {
	var out []string
	for _, s := range z.Result.Scores {
		if s.Generator != z.Result.Generators[0] || s.Tanks == backtest.Given || !math.IsNaN(s.Target) || s.Cases == 0 {
			continue
		}
		out = append(out, fmt.Sprintf("%s: of %s outcomes, %s %% lay in the interval that claimed 90 %%; within the Monte Carlo error alone lay %s %%. Of the years that followed %s %% were good where %s %% were stated.",
			words.UpperFirst(s.Generator), units.Fixed(float64(s.Cases), 0), units.PercentCell(s.Inside90), units.PercentCell(s.MonteCarlo), units.PercentCell(s.Realised), units.PercentCell(s.Stated)))
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
	t := &sheet.Table{Name: name, Caption: caption, Columns: []sheet.Column{{Title: head, Words: true}}}
	titles := []string{"Cases", "50 %", "80 %", "90 %", "Width", "Score", "Stated", "Seen", "Bias", "Brier"}
	for _, title := range titles {
		t.Columns = append(t.Columns, sheet.Column{Title: title})
	}
	for _, s := range z.Result.Scores {
		name, ok := pick(s)
		if !ok {
			continue
		}
		cells := []string{units.Fixed(float64(s.Cases), 0)}
		if s.Cases == 0 {
			cells = append(cells, slices.Repeat([]string{"–"}, len(titles)-1)...)
		} else {
			cells = append(cells, units.PercentCell(s.Inside50), units.PercentCell(s.Inside80), units.PercentCell(s.Inside90),
				units.Fixed(s.Width, 3), units.Fixed(s.Winkler, 3), units.PercentCell(s.Stated), units.PercentCell(s.Realised), signed(s.Bias), units.Fixed(s.Brier, 3))
		}
		t.Rows = append(t.Rows, sheet.Row{Cells: append([]string{name}, cells...)})
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
