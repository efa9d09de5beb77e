package report

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"reflect"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
	"tankodds/report/codec"
	"tankodds/report/units"
	"tankodds/report/words"
	"tankodds/sim"
)

// stamp gives every exported number in v one of its own, so that no two can be
// taken for each other. The lengths of slices stay, and pointers are not
// followed.
func stamp(v reflect.Value, last *int) {
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				stamp(v.Field(i), last)
			}
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			stamp(v.Index(i), last)
		}
	case reflect.Float64:
		*last++
		v.SetFloat(float64(*last))
	case reflect.Int, reflect.Int32:
		*last++
		v.SetInt(int64(*last))
	}
}

func stamped[T any](x *T) *T {
	last := 100
	stamp(reflect.ValueOf(x).Elem(), &last)
	return x
}

// decoded is JSON as plain maps.
func decoded(t *testing.T, text []byte) map[string]any {
	t.Helper()
	var out map[string]any
	require.NoError(t, json.Unmarshal(text, &out))
	return out
}

func asRead(i sim.Interval) map[string]any {
	return map[string]any{"estimate": i.Estimate, "low": i.Low, "high": i.High}
}

func cellAsRead(c sim.Cell) map[string]any {
	return map[string]any{
		"roof_m2": c.Area, "tank_l": c.Tank,
		"volumetric": asRead(c.Volumetric), "time": asRead(c.Time), "annual": asRead(c.Annual),
		"short_days_per_year": c.ShortDays, "spill_share": c.SpillShare,
		"supplied_l_per_year": c.Supplied, "demand_l_per_year": c.Demand, "inflow_l_per_year": c.Inflow,
		"monte_carlo": map[string]any{
			"annual": asRead(c.MonteCarlo.Annual), "time": asRead(c.MonteCarlo.Time), "volumetric": asRead(c.MonteCarlo.Volumetric),
		},
	}
}

// Every number of a size object stands under its own key, and in its own
// column of the tables.
func TestSizeNumbersUnderTheirKeys(t *testing.T) {
	z := smallSizing(t)
	r := z.Result
	last := 100
	for _, part := range []any{&r.Cells, &r.Answers, &r.Main, &r.Stops, r.Outlook, &r.Real} {
		stamp(reflect.ValueOf(part).Elem(), &last)
	}
	require.NotEmpty(t, r.Real)
	text, err := z.JSON()
	require.NoError(t, err)
	doc := decoded(t, text)

	answer := func(a sim.Answer) map[string]any {
		return map[string]any{"measure": "annual", "target": a.Target, "roof_m2": a.Area, "tank_l": a.Tank, "low_l": a.Low, "high_l": a.High,
			"safe_tank_l": a.Safe, "listed_tank_l": a.Listed, "beyond_range_l": a.Beyond, "reason": words.Reason(a)}
	}
	var cells, answers, stops, real []any
	var rows [][]string
	for _, c := range r.Cells {
		cells = append(cells, cellAsRead(c))
		rows = append(rows, curveRow(c))
	}
	for _, a := range r.Answers {
		answers = append(answers, answer(a))
	}
	for _, s := range r.Stops {
		stops = append(stops, map[string]any{"tank_l": s.Tank, "low_l": s.Low, "high_l": s.High, "method": s.Method, "detail": words.Method(s.Method, r.Study)})
	}
	for _, y := range r.Real {
		real = append(real, map[string]any{"year": float64(y.Label), "rain_mm": y.Rain, "supplied_l": y.Supplied, "demand_l": y.Demand,
			"spill_l": y.Spilled, "short_days": float64(y.ShortDays), "needs_l": y.Needs})
	}
	assert.Equal(t, cells, doc["cells"])
	assert.Equal(t, answer(r.Main), doc["answer"])
	assert.Equal(t, answers, doc["answers"])
	assert.Equal(t, stops, doc["stops"])
	assert.Equal(t, stops[0], doc["stop"])
	assert.Equal(t, real, doc["real_years"])
	o := r.Outlook
	assert.Equal(t, map[string]any{"tank_l": o.Tank, "years": float64(o.Horizon), "low": o.Low, "median": o.Mid, "high": o.High}, doc["outlook"])

	table, err := z.CurvesCSV()
	require.NoError(t, err)
	read, err := csv.NewReader(bytes.NewReader(table)).ReadAll()
	require.NoError(t, err)
	assert.Equal(t, rows, read[1:])
	c := r.Cells[len(r.Cells)-1]
	column := map[string]float64{
		"roof_m2": c.Area, "tank_l": c.Tank, "annual": c.Annual.Estimate, "annual_low": c.Annual.Low, "annual_high": c.Annual.High,
		"time": c.Time.Estimate, "time_low": c.Time.Low, "time_high": c.Time.High,
		"volumetric": c.Volumetric.Estimate, "volumetric_low": c.Volumetric.Low, "volumetric_high": c.Volumetric.High,
		"short_days_per_year": c.ShortDays, "spill_share": c.SpillShare,
		"supplied_l_per_year": c.Supplied, "demand_l_per_year": c.Demand, "inflow_l_per_year": c.Inflow,
	}
	require.Len(t, column, len(read[0]))
	for k, name := range read[0] {
		assert.Equal(t, codec.Exact(column[name]), read[len(read)-1][k], name)
	}
}

// The same of a replay, its days too.
func TestReplayNumbersUnderTheirKeys(t *testing.T) {
	z := smallSizing(t)
	first, _ := rainfall.MakeDate(2001, 5, 6)
	r := stamped(&sim.ReplayResult{Roofs: []sim.Roof{{Name: "shed"}}, Years: make([]sim.RealYear, 2), Runs: make([]sim.DryRun, 2), Daily: make([]sim.Day, 2)})
	r.First, r.Last, r.Tank.Rule = first, first+9, sim.YBS
	use := stamped(&sim.Use{Name: "taps"})
	p := &Replayed{Version: "0", Title: "Invented", Record: z.Record, Result: r, Uses: []sim.Use{*use}, Units: units.SI}
	text, err := p.JSON()
	require.NoError(t, err)
	doc := decoded(t, text)
	whole := func(n int) float64 { return float64(n) }
	for key, want := range map[string]any{
		"rule": "ybs", "tank_l": r.Tank.Nominal, "dead_share": r.Tank.Dead, "first": "2001-05-06", "last": "2001-05-15",
		"days": whole(r.Days), "skipped_days": whole(r.Skipped), "inflow_l": r.Inflow, "demand_l": r.Demand, "supplied_l": r.Supplied,
		"spill_l": r.Spilled, "start_l": r.StartsWith, "end_l": r.EndsWith, "short_days": whole(r.ShortDays),
		"volumetric": r.Volumetric, "time": r.Time, "annual": r.Annual, "whole_years": whole(r.WholeYears),
	} {
		assert.Equal(t, want, doc[key], key)
	}
	var years, runs []any
	for _, y := range r.Years {
		years = append(years, map[string]any{"start": y.Start.String(), "whole": false, "days": whole(y.Days), "rain_mm": y.Rain, "inflow_l": y.Inflow,
			"demand_l": y.Demand, "supplied_l": y.Supplied, "spill_l": y.Spilled, "short_days": whole(y.ShortDays),
			"longest_dry_run_days": whole(y.LongestDry), "needs_l": y.Needs})
	}
	for _, x := range r.Runs {
		runs = append(runs, map[string]any{"from": x.From.String(), "days": whole(x.Days), "deficit_l": x.Deficit})
	}
	assert.Equal(t, years, doc["years"])
	assert.Equal(t, runs, doc["dry_runs"])
	roof := r.Roofs[0]
	assert.Equal(t, []any{map[string]any{"name": "shed", "area_m2": roof.Area, "runoff": roof.Runoff, "wetting_mm": roof.Wetting,
		"first_flush_mm": roof.FirstFlush, "filter": roof.Filter, "drains_days": whole(roof.Drains)}}, doc["roofs"])
	var monthly []any
	for _, x := range use.Monthly {
		monthly = append(monthly, x)
	}
	assert.Equal(t, []any{map[string]any{"name": "taps", "daily_l": use.Daily, "monthly_l": monthly,
		"days": []any{"Sun", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat"}}}, doc["uses"])

	var b bytes.Buffer
	require.NoError(t, p.WriteDaily(&b))
	read, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	require.Len(t, read, 3)
	d := r.Daily[1]
	for k, want := range map[string]string{"date": d.Date.String(), "rain_mm": codec.Exact(d.Rain), "inflow_l": codec.Exact(d.Inflow), "demand_l": codec.Exact(d.Demand),
		"supplied_l": codec.Exact(d.Supplied), "spill_l": codec.Exact(d.Spilled), "storage_l": codec.Exact(d.Storage)} {
		assert.Equal(t, want, read[2][columnNamed(t, read[0], k)], k)
	}
}

func columnNamed(t *testing.T, header []string, name string) int {
	t.Helper()
	for k, h := range header {
		if h == name {
			return k
		}
	}
	t.Fatalf("no column %s", name)
	return 0
}

// The same of a record. What is no plain number there (dates, words) is held
// by the golden of the invented record.
func TestRecordNumbersUnderTheirKeys(t *testing.T) {
	m := stamped(&rainfall.Summary{Usable: make([]rainfall.WaterYear, 2), Driest: make([]rainfall.DryMonths, 2)})
	m.MaxDay = *stamped(&rainfall.DayDepth{})
	m.Trend, m.Step = stamped(&rainfall.YearTrend{}), stamped(&rainfall.YearStep{})
	m.Start = 7
	var b bytes.Buffer
	require.NoError(t, WriteRecordJSON(&b, m))
	doc := decoded(t, b.Bytes())
	list := func(x [12]float64) (out []any) {
		for _, v := range x {
			out = append(out, v)
		}
		return out
	}
	whole := func(n int) float64 { return float64(n) }
	for key, want := range map[string]any{
		"first": m.First.String(), "last": m.Last.String(), "days": whole(m.Days), "missing": whole(m.Missing),
		"longest_gap": map[string]any{"from": m.Gap.From.String(), "days": whole(m.Gap.Days)},
		"trace_days":  whole(m.Traces), "failed_days": whole(m.Failed), "doubtful_days": whole(m.Doubtful),
		"multi_day_totals": whole(m.Totals), "multi_day_total_days": whole(m.SpreadDays), "usable_years": whole(m.UsableN), "water_year_start_month": 7.0,
		"filled_days": whole(m.FilledDays), "mean_annual_mm": m.MeanAnnual, "mean_annual_years": whole(m.AnnualYears),
		"monthly_mean_mm": list(m.Monthly), "monthly_wet_days": list(m.WetDays), "wet_day_share": m.WetShare,
		"water_year_mean_mm": m.YearMean, "water_year_sd_mm": m.YearSD,
		"max_day":           map[string]any{"date": m.MaxDay.Date.String(), "mm": m.MaxDay.MM},
		"longest_dry_spell": map[string]any{"from": m.DrySpell.From.String(), "days": whole(m.DrySpell.Days)},
		"trend":             map[string]any{"mann_kendall_p": m.Trend.P, "sen_mm_per_decade": m.Trend.SenPerDecade},
		"step":              map[string]any{"pettitt_p": m.Step.P, "first_year_after": whole(m.Step.Label), "mean_before_mm": m.Step.Before, "mean_after_mm": m.Step.After},
	} {
		assert.Equal(t, want, doc[key], key)
	}
	var years, driest []any
	for _, y := range m.Usable {
		years = append(years, map[string]any{"label": whole(y.Label), "mm": y.MM, "filled_days": whole(y.Filled)})
	}
	for _, d := range m.Driest {
		driest = append(driest, map[string]any{"months": whole(d.Months), "from": d.From.String(), "mm": d.MM})
	}
	assert.Equal(t, years, doc["usable_year_list"])
	assert.Equal(t, driest, doc["driest"])
}

// changed is what is told of a change.
func changed(trend rainfall.YearTrend, step rainfall.YearStep) []words.Warning {
	m := &rainfall.Summary{Start: time.October, Usable: []rainfall.WaterYear{{Label: 1990}, {Label: 2010}}, Trend: &trend, Step: &step}
	return words.Warned(m.Changes(), units.SI, false)
}

// A trend is told with its own direction.
func TestTrendGoesItsWay(t *testing.T) {
	for way, sen := range map[string]float64{"up": 12, "down": -12} {
		told := changed(rainfall.YearTrend{P: 0.01, SenPerDecade: sen}, rainfall.YearStep{P: 1})
		require.Len(t, told, 1)
		assert.Contains(t, told[0].Text, "the yearly rain goes "+way+" by 12 mm a decade")
	}
	assert.Empty(t, changed(rainfall.YearTrend{P: 0.06, SenPerDecade: 12}, rainfall.YearStep{P: 0.06}))
}

// A year with no more short days than are allowed did not run dry.
func TestDriestYearsBeyondTheAllowance(t *testing.T) {
	z := smallSizing(t)
	z.Result.Study.Allow = 5
	z.Result.Real = nil
	for k, days := range []int{5, 6, 9, 0} {
		z.Result.Real = append(z.Result.Real, sim.RealYear{Label: 2001 + k, ShortDays: days, Needs: 1000})
	}
	said := words.Driest(z.Units, z.Result)
	assert.Contains(t, said, "2 of 4 years")
	assert.Regexp(t, `2003\S* \(9 days\), 2002\S* \(6 days\)`, said)
	assert.NotContains(t, said, "(5 days)")
}

// Band and safe size stand in their own columns, also where they differ.
func TestBandAndSafeSizeOfEachArea(t *testing.T) {
	z := smallSizing(t)
	for k := range z.Result.Answers {
		a := &z.Result.Answers[k]
		a.Low, a.Tank, a.High, a.Safe = 1000, 2000, 3000, 4000
	}
	for _, r := range tableOf(z.Sheet(), "areas").Rows {
		assert.Equal(t, []string{"2,000", "1,000–3,000", "4,000"}, r.Cells[1:4])
	}
}

// A step is told from what was to what came.
func TestStepGoesItsWay(t *testing.T) {
	told := changed(rainfall.YearTrend{P: 1}, rainfall.YearStep{P: 0.01, Label: 2005, Before: 700, After: 900})
	require.Len(t, told, 1)
	assert.Contains(t, told[0].Text, "steps from 700 mm before 2005/06 to 900 mm from then on")
}

// Of runs as long as each other the first is named.
func TestFirstOfTheLongestRuns(t *testing.T) {
	z := smallSizing(t)
	first, _ := rainfall.MakeDate(2001, 5, 6)
	r := &sim.ReplayResult{WholeYears: 1, Annual: 1, Runs: []sim.DryRun{{From: first, Days: 2}, {From: first + 20, Days: 5}, {From: first + 40, Days: 5}}}
	p := &Replayed{Record: z.Record, Result: r, Units: units.SI}
	said := p.balance()
	assert.Contains(t, said[len(said)-1].Value, "the longest run began on 2001-05-26 and lasted 5 days")
}
