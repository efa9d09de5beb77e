package report

import (
	"encoding/json"
	"io"
	"math"

	"tankodds/rainfall"
	"tankodds/report/units"
	"tankodds/report/words"
)

// RecordSchema names the shape of a record's JSON.
const RecordSchema = "tankodds/record/1"

// sheetJSON is one record: SI, full precision, shares 0–1; null for what is
// not known.
type sheetJSON struct {
	Schema      string   `json:"schema"`
	File        string   `json:"file"`
	SHA256      string   `json:"sha256"`
	Format      string   `json:"format"`
	Station     string   `json:"station"`
	Place       string   `json:"place"`
	Unit        string   `json:"unit"`
	Modelled    bool     `json:"modelled"`
	First       string   `json:"first"`
	Last        string   `json:"last"`
	Days        int      `json:"days"`
	Missing     int      `json:"missing"`
	Gap         runJSON  `json:"longest_gap"`
	Traces      int      `json:"trace_days"`
	Failed      int      `json:"failed_days"`
	Doubtful    int      `json:"doubtful_days"`
	Totals      int      `json:"multi_day_totals"`
	SpreadDays  int      `json:"multi_day_total_days"`
	Usable      int      `json:"usable_years"`
	YearStart   int      `json:"water_year_start_month"`
	FilledDays  int      `json:"filled_days"`
	MeanAnnual  number   `json:"mean_annual_mm"`
	AnnualYears int      `json:"mean_annual_years"`
	Monthly     []number `json:"monthly_mean_mm"`
	WetDays     []number `json:"monthly_wet_days"`
	WetShare    number   `json:"wet_day_share"`
	YearMean    number   `json:"water_year_mean_mm"`
	YearSD      number   `json:"water_year_sd_mm"`
	MaxDay      struct {
		Date string `json:"date"`
		MM   number `json:"mm"`
	} `json:"max_day"`
	DrySpell     runJSON         `json:"longest_dry_spell"`
	Driest       []driestJSON    `json:"driest"`
	Trend        *trendJSON      `json:"trend"`
	Step         *stepJSON       `json:"step"`
	FailureBound number          `json:"failure_bound"` // see FailureBound
	Claim        string          `json:"claim"`
	Warnings     []words.Warning `json:"warnings"`
	Years        []yearOne       `json:"usable_year_list"`
	Rejected     []yearNot       `json:"rejected_years"`
	Checks       []checkJSON     `json:"checks"`
}

type runJSON struct {
	From *string `json:"from"` // null where there is no such run
	Days int     `json:"days"`
}

type yearOne struct {
	Label  int    `json:"label"` // the calendar year in which it begins
	MM     number `json:"mm"`
	Filled int    `json:"filled_days"`
}

type yearNot struct {
	Label  int    `json:"label"`
	Reason string `json:"reason"`
}

type driestJSON struct {
	Months int     `json:"months"`
	From   *string `json:"from"`
	MM     number  `json:"mm"`
}

type trendJSON struct {
	P   number `json:"mann_kendall_p"`
	Sen number `json:"sen_mm_per_decade"`
}

type stepJSON struct {
	P      number `json:"pettitt_p"`
	Label  int    `json:"first_year_after"`
	Before number `json:"mean_before_mm"`
	After  number `json:"mean_after_mm"`
}

type checkJSON struct {
	Code    string           `json:"code"`
	Gravity rainfall.Gravity `json:"gravity"`
	Rule    string           `json:"rule"`
	Source  string           `json:"source"`
	Found   []findingJSON    `json:"found"`
}

type findingJSON struct {
	From   string           `json:"from"`
	Days   int              `json:"days"`
	MM     number           `json:"mm"` // the depth in question, 0 for none
	Values []rainfall.Value `json:"values"`
	Text   string           `json:"text"`
}

// WriteRecordJSON writes one record as one JSON object on one line.
func WriteRecordJSON(w io.Writer, m *rainfall.Summary) error {
	j := sheetJSON{
		Schema: RecordSchema, File: m.File, SHA256: m.SHA256, Format: m.Format,
		Station: m.Station, Place: m.Place, Unit: m.Unit, Modelled: m.Modelled,
		First: m.First.String(), Last: m.Last.String(), Days: m.Days,
		Missing: m.Missing, Gap: runOf(m.Gap), Traces: m.Traces, Failed: m.Failed, Doubtful: m.Doubtful,
		Totals: m.Totals, SpreadDays: m.SpreadDays,
		Usable: m.UsableN, YearStart: int(m.Start), FilledDays: m.FilledDays,
		Years: []yearOne{}, Rejected: []yearNot{}, Driest: []driestJSON{}, Checks: []checkJSON{},
		MeanAnnual: number(m.MeanAnnual), AnnualYears: m.AnnualYears, WetShare: number(m.WetShare),
		YearMean: number(m.YearMean), YearSD: number(m.YearSD), DrySpell: runOf(m.DrySpell),
		FailureBound: number(words.FailureBound(m.UsableN)), Claim: words.Claim(m.UsableN),
	}
	j.MaxDay.Date, j.MaxDay.MM = m.MaxDay.Date.String(), number(m.MaxDay.MM)
	for k := range m.Monthly {
		j.Monthly = append(j.Monthly, number(m.Monthly[k]))
		j.WetDays = append(j.WetDays, number(m.WetDays[k]))
	}
	for _, y := range m.Usable {
		j.Years = append(j.Years, yearOne{y.Label, number(y.MM), y.Filled})
	}
	for _, y := range m.Rejected {
		j.Rejected = append(j.Rejected, yearNot{y.Label, words.WhyNot(y)})
	}
	for _, d := range m.Driest {
		one := driestJSON{Months: d.Months, MM: number(d.MM)}
		if !math.IsNaN(d.MM) {
			from := d.From.String()
			one.From = &from
		}
		j.Driest = append(j.Driest, one)
	}
	if m.Trend != nil {
		j.Trend = &trendJSON{number(m.Trend.P), number(m.Trend.SenPerDecade)}
		j.Step = &stepJSON{number(m.Step.P), m.Step.Label, number(m.Step.Before), number(m.Step.After)}
	}
	for _, c := range m.Checks {
		one := checkJSON{c.Code, rainfall.GravityOf(c.Code), words.Check(c, units.SI), c.Source, []findingJSON{}}
		for _, f := range c.Found {
			one.Found = append(one.Found, findingAsJSON(f))
		}
		j.Checks = append(j.Checks, one)
	}
	j.Warnings = append(words.Warned(m.Findings, units.SI, false), words.Warned(m.Suspicious(), units.SI, false)...)
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	return e.Encode(j)
}

func findingAsJSON(f rainfall.Finding) findingJSON {
	out := findingJSON{From: f.From.String(), Days: f.Days, Values: append([]rainfall.Value{}, f.Values...), Text: words.Finding(f, units.SI)}
	for _, v := range f.Values {
		if v.Name == "depth" {
			out.MM = number(v.X)
		}
	}
	return out
}

func runOf(r rainfall.Run) runJSON {
	if r.Days == 0 {
		return runJSON{}
	}
	from := r.From.String()
	return runJSON{&from, r.Days}
}
