package figure

import (
	"fmt"
	"math"
	"slices"
	"time"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
	"tankodds/report/units"
	"tankodds/sim"
)

// The results in these tests are made up: smooth curves of the right shape,
// at the scales and in the states that a figure must bear. No simulation
// stands behind them.

// shape is a made-up climate: the reliability of size s under area a is
// most·(1 − exp(−(s/size)^1.3)) with size and most falling with the area.
type shape struct {
	size float64 // L, at the site's own area
	most float64 // the share that no tank exceeds, at the site's own area
	wide float64 // the record band: sizes are uncertain by this factor, > 1
}

func (s shape) share(tank, ratio float64) float64 {
	most := 1 - (1-s.most)/math.Pow(ratio, 3)
	if most < 0.05 {
		most = 0.05
	}
	return most * (1 - math.Exp(-math.Pow(tank/(s.size/math.Sqrt(ratio)), 1.3)))
}

// need is the size whose share is target at the site's own area, NaN where
// none is.
func (s shape) need(target, factor float64) float64 {
	if target >= s.most {
		return math.NaN()
	}
	return factor * s.size * math.Pow(-math.Log(1-target/s.most), 1/1.3)
}

// madeUp returns a result for roofs of own m² (and the areas) and sizes L.
func madeUp(sh shape, own float64, areas, sizes []float64, target float64) *sim.Result {
	st := &sim.Study{
		Roofs: []sim.Roof{{Name: "studio", Area: own, Runoff: 0.85, Filter: 1, Drains: 1}},
		Areas: areas, Sizes: sizes, Measure: sim.Annual, Target: target,
		Years: 10000, Seed: 1, RecordError: true, Horizon: 30, Level: 0.9,
	}
	demand := sh.size * 12
	cell := func(tank, ratio float64) sim.Cell {
		e := sh.share(tank, ratio)
		iv := sim.Interval{Estimate: e, Low: sh.share(tank/sh.wide, ratio), High: sh.share(tank*sh.wide, ratio)}
		v := 1 - math.Exp(-1.2*tank/sh.size)
		return sim.Cell{Area: own * ratio, Tank: tank, Measures: sim.Measures{Annual: iv, Volumetric: sim.Interval{Estimate: v, Low: v, High: v}, Time: iv},
			Supplied: demand * v, Demand: demand, Inflow: demand * 1.4}
	}
	r := &sim.Result{Study: st, Generator: gen.Guided().Name, Simulated: st.Years}
	for _, a := range areas {
		var row []sim.Cell
		for _, s := range sizes {
			row = append(row, cell(s, a/own))
		}
		r.Cells = append(r.Cells, row...)
	}
	for _, s := range sizes {
		r.Curve = append(r.Curve, cell(s, 1))
	}
	last := sizes[len(sizes)-1]
	within := func(x float64) float64 {
		if x > last {
			return math.NaN()
		}
		return max(x, sizes[0])
	}
	m := sim.Answer{Area: own, Tank: within(sh.need(target, 1)), Low: within(sh.need(target, 1/sh.wide)),
		High: within(sh.need(target, sh.wide)), Safe: within(sh.need(target, sh.wide))}
	m.Lead, m.Sure = m.Tank, math.NaN()
	if finite(m.Tank) {
		m.Cell = cell(m.Tank, 1)
	} else {
		m.Low, m.High = math.NaN(), math.NaN()
		m.Grade, m.Why, m.Cell = sim.OutOfReach, sim.YieldTooSmall, cell(last, 1)
		m.Reached = m.Cell.Annual.Estimate
	}
	r.Main = m
	for _, a := range areas {
		x := m
		x.Area = a
		if finite(m.Tank) {
			x.Tank = within(m.Tank / math.Sqrt(a/own))
		}
		r.Answers = append(r.Answers, x)
	}
	stop := within(sh.size * 1.1)
	r.Stop = sim.Stop{Method: sim.ByTurnover, Least: sim.AsWater, Tank: stop, Low: within(stop * 0.85), High: within(stop * 1.2)}
	for s := sh.size / 60; ; s *= 1.03 { // what a litre adds to the water supplied
		r.Turnover = append(r.Turnover, sim.Turn{Tank: s, Times: demand * 1.2 / sh.size * math.Exp(-1.2*s/sh.size)})
		if r.Turnover[len(r.Turnover)-1].Times < 0.01 {
			break
		}
	}
	tank := m.Tank
	if !finite(tank) {
		tank = last
	}
	r.Season = madeUpSeason(tank)
	rec := madeUpRecord("")
	r.Usable, r.WaterYear = rec.UsableN, rec.Start
	r.Real = madeUpReal(rec, sh.size/tank)
	for i := range r.Real { // as if the made-up climate had drawn them evenly
		n := len(r.Real)
		if r.Real[i].Needs = sh.need((float64(i*7%n)+0.5)/float64(n), 1); !finite(r.Real[i].Needs) {
			r.Real[i].Needs = math.Inf(1)
		}
	}
	r.Months = madeUpMonths(r.WaterYear, demand, tank/sh.size)
	return r
}

func madeUpSeason(tank float64) *sim.Season {
	s := &sim.Season{Tank: tank, Years: 2000, DriestLabel: 1975}
	for d := range rainfall.DaysPerYear {
		w := 0.5 - 0.5*math.Cos(2*math.Pi*float64(d-30)/365)
		s.Mid = append(s.Mid, tank*min(1, 0.55+0.5*w))
		s.Low = append(s.Low, tank*max(0, 0.65*w-0.12))
		s.High = append(s.High, tank*min(0.995, 0.85+0.3*w))
		saw := 0.09 * math.Abs(math.Mod(float64(d), 23)/23-0.5)
		s.Driest = append(s.Driest, tank*max(0, 0.62*w-0.2+saw))
	}
	return s
}

// madeUpReal returns real years with a run of short days in some, longer where
// the tank is scanty, and single days about it; the hardest is 1975.
func madeUpReal(rec *rainfall.Summary, scanty float64) []sim.RealYear {
	var out []sim.RealYear
	for _, year := range rec.Usable {
		label := year.Label
		y := sim.RealYear{Label: label}
		n := int(60 * scanty * (math.Sin(float64(label)*1.7) - 0.6))
		if label == 1975 {
			n = 88
		}
		for d := 280 - n; d < 280+n/2 && n > 0; d++ {
			if d%7 < 5 {
				y.Short = append(y.Short, sim.ShortDay{Day: d, Lack: 100})
			}
		}
		y.ShortDays, y.LongestDry = len(y.Short), min(5, len(y.Short))
		out = append(out, y)
	}
	return out
}

// madeUpMonths returns a year's balance in which a larger share of the tank's
// need is met and less overflows, with a summer that must be topped up.
func madeUpMonths(start time.Month, demand, share float64) []sim.Month {
	var out []sim.Month
	for k := range 12 {
		m := sim.Month{Month: rainfall.Calendar(start).Month(k), Water: sim.Water{Demand: demand / 12}}
		w := 0.5 + 0.5*math.Cos(2*math.Pi*float64(k-3)/12)
		m.Inflow = demand / 12 * (0.3 + 1.6*w)
		m.Supplied = m.Demand * min(1, max(0.1, 0.2+w+0.3*share))
		m.Spilled = max(0, m.Inflow-m.Supplied)
		m.ShortDays = 30 * (1 - m.Supplied/m.Demand)
		out = append(out, m)
	}
	return out
}

// madeUpRecord is what is known of a record of the calendar years 1961 to 2021,
// whose water years from October on are all usable but those without.
func madeUpRecord(place string, without ...int) *rainfall.Summary {
	m := &rainfall.Summary{
		About: rainfall.About{File: "made-up.csv", Station: "XX0001", Place: place},
		First: rainfall.Day(1961, time.January, 1), Last: rainfall.Day(2021, time.December, 31), Start: time.October,
		Rejected: []rainfall.Rejected{{Label: 1960, Why: rainfall.Begins}, {Label: 2021, Why: rainfall.Ends}},
	}
	m.Days = int(m.Last-m.First) + 1
	for k := range m.Monthly {
		m.Monthly[k] = 66 + 40*math.Cos(2*math.Pi*float64(k)/12)
	}
	for label := 1961; label < 2021; label++ {
		if slices.Contains(without, label) {
			m.Rejected = append(m.Rejected, rainfall.Rejected{Label: label})
			continue
		}
		total := 820 + 170*math.Sin(float64(label)*1.7) + 90*math.Sin(float64(label)*0.6)
		m.Usable = append(m.Usable, rainfall.WaterYear{Label: label, MM: total})
	}
	m.UsableN = len(m.Usable)
	return m
}

// madeUpFidelity returns the statistics that rain is judged by with made-up
// ranges, the real value outside them by fail where some pattern says so.
func madeUpFidelity(fail float64) []gen.Row {
	var out []gen.Row
	add := func(name, season, unit string, real, wide float64) {
		i := float64(len(out))
		mean := real * (1 + 0.03*math.Sin(i))
		r := gen.Row{Statistic: name, Season: season, Unit: unit, Real: real, Mean: mean, Low: mean - wide, High: mean + wide,
			Rule: "real value inside the 5-95 % range of 100 synthetic records of 60 years (Bennett et al. 2018)"}
		if math.Sin(i*1.3) > 0.8 {
			r.Low, r.High = r.Low+fail*real, r.High+fail*real
		}
		r.Pass = real >= r.Low && real <= r.High
		out = append(out, r)
	}
	for _, q := range []string{"Oct-Dec", "Jan-Mar", "Apr-Jun", "Jul-Sep"} {
		for i, s := range []string{"wet-day frequency", "p01, wet after dry", "p11, wet after wet", "mean wet spell", "90 % wet spell",
			"mean dry spell", "90 % dry spell", "mean wet-day depth", "SD of wet-day depth", "skew of wet-day depth"} {
			add(s, q, "", float64(i)+0.4, 0.06*(float64(i)+1))
		}
	}
	for k := range 12 {
		m := rainfall.Calendar(time.October).Month(k).String()
		add("mean monthly total", m, "mm", 60, 5)
		add("SD of monthly totals", m, "mm", 30, 6)
	}
	add("mean annual total", "year", "mm", 800, 40)
	add("SD of annual totals", "year", "mm", 140, 30)
	add("lag-1 of annual totals", "year", "", 0.03, 0.25)
	for _, s := range []string{"driest 3 months", "driest 6 months", "driest 12 months", "driest 24 months"} {
		add(s, "year", "mm", 110, 35)
	}
	add("longest dry spell", "year", "days", 40, 14)
	add("wettest day", "year", "mm", 75, 74)
	add("driest month", "year", "mm", 0, 0)
	return out
}

// steps returns n sizes or areas from lo to hi in equal steps.
func steps(lo, hi float64, n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = lo
		if n > 1 {
			out[i] += (hi - lo) * float64(i) / float64(n-1)
		}
	}
	return out
}

// ratios returns n sizes from lo to hi in equal ratios.
func ratios(lo, hi float64, n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = lo * math.Pow(hi/lo, float64(i)/float64(n-1))
	}
	return out
}

const longName = "Upper Carrow Hill Agricultural Research Station and Weather Observatory (invented), North Moor"

// figureCase is one set of figures that a test draws.
type figureCase struct {
	name string
	figs []Figure
}

func figureCases() []figureCase {
	rec := madeUpRecord("Carrow Hill")
	usual := shape{6400, 0.999, 1.24}
	sizes := steps(500, 20000, 40)
	us := Options{Units: units.US}
	var out []figureCase
	add := func(name string, r *sim.Result, rec *rainfall.Summary, opt Options) {
		out = append(out, figureCase{name, Study(r, rec, opt)})
	}
	add("one-roof", madeUp(usual, 180, []float64{180}, sizes, 0.9), rec, Options{})
	add("three-roofs", madeUp(usual, 180, []float64{120, 180, 260}, sizes, 0.9), rec, Options{})
	add("eight-roofs", madeUp(shape{6400, 0.97, 1.24}, 180, steps(90, 370, 8), sizes, 0.9), madeUpRecord(longName), Options{})
	add("twenty-roofs", madeUp(shape{6400, 0.97, 1.24}, 180, steps(50, 430, 20), sizes, 0.9), rec, Options{})
	add("barrel", madeUp(shape{7, 0.999, 1.3}, 4, []float64{2, 4}, steps(5, 40, 8), 0.9), rec, Options{})
	add("reservoir", madeUp(shape{700000, 0.999, 1.2}, 20000, []float64{15000, 20000, 30000}, ratios(20000, 5e6, 40), 0.95), rec, Options{})
	add("none-meets", madeUp(shape{6400, 0.8, 1.24}, 180, []float64{120, 180, 260}, sizes, 0.9), rec, Options{})
	add("beyond-range", madeUp(shape{16000, 0.97, 1.3}, 180, []float64{180}, sizes, 0.8), rec, Options{})
	add("smallest-meets", madeUp(shape{180, 0.9999, 1.2}, 180, []float64{120, 180, 260}, sizes, 0.9), rec, Options{})
	add("us", madeUp(usual, 180, []float64{120, 180, 260}, sizes, 0.9), rec, us)
	add("target-99", madeUp(shape{3000, 0.9999, 1.15}, 180, []float64{120, 180, 260}, sizes, 0.995), rec, Options{})
	add("low-target", madeUp(usual, 180, []float64{90, 120, 180, 260}, sizes, 0.3), rec, Options{})

	r := madeUp(usual, 180, []float64{180}, sizes, 0.9)
	r.Study.Costs = &sim.Costs{Life: 25, Discount: 0.035}
	r.Stop.Method, r.Stop.Least = sim.ByValue, 2.5
	add("priced", r, rec, Options{})

	holes := madeUpRecord("Carrow Hill", 1961, 1972, 1973, 1974, 1975, 1999, 2003)
	r = madeUp(usual, 180, []float64{180}, sizes, 0.9)
	r.Real = madeUpReal(holes, 1)
	add("holes", r, holes, Options{})

	add("three-areas", madeUp(usual, 180, []float64{60, 180, 900}, ratios(300, 60000, 12), 0.9), rec, Options{})
	r = madeUp(usual, 180, []float64{180}, sizes, 0.9) // a roof far too large: nearly all overflows
	for i := range r.Months {
		r.Months[i].Spilled *= 40
	}
	add("overflows", r, madeUpRecord(longName), us)
	r = madeUp(usual, 180, []float64{180}, sizes, 0.9) // never short
	for i := range r.Real {
		r.Real[i] = sim.RealYear{Label: r.Real[i].Label}
	}
	for i := range r.Months {
		r.Months[i].Supplied, r.Months[i].ShortDays = r.Months[i].Demand, 0
	}
	add("never-short", r, rec, Options{})
	r = madeUp(usual, 180, []float64{180}, sizes, 0.9) // every other day of 240 years short
	r.Real = nil
	for label := 1780; label < 2020; label++ {
		y := sim.RealYear{Label: label}
		for d := label % 2; d < rainfall.DaysPerYear; d += 2 {
			y.Short = append(y.Short, sim.ShortDay{Day: d, Lack: 1})
		}
		y.ShortDays = len(y.Short)
		r.Real = append(r.Real, y)
	}
	add("long-record", r, rec, Options{})
	r = madeUp(usual, 180, []float64{180}, sizes, 0.9)
	r.Real = r.Real[14:15]
	add("one-real-year", r, rec, Options{})
	for i, fail := range []float64{0, 0.1, 2} {
		fig, _ := Fidelity(madeUpFidelity(fail), madeUpRecord(longName), "generator “guided”, seed 1", Options{})
		out = append(out, figureCase{fmt.Sprintf("fidelity-%d", i), []Figure{fig}})
	}

	for _, n := range []int{1, 2, 4, 8, 11} {
		var cs []Station
		for i := range n {
			r := madeUp(shape{2600 + 900*float64(i), 0.999 - 0.004*float64(i*i), 1.2}, 180, nil, sizes, 0.9)
			name := fmt.Sprintf("Station %c", 'A'+i)
			if i%2 == 1 {
				name = longName
			}
			cs = append(cs, stationFrom(name, r))
		}
		out = append(out, figureCase{fmt.Sprintf("compare-%d", n), Comparison(studyFor(sizes), cs, 2000, nil, Options{})})
	}
	return append(out, comparisonCases()...)
}

// extremeResults are results that no study should give, and some that it may.
func extremeResults() map[string]*sim.Result {
	nan := math.NaN()
	usual := func() *sim.Result {
		return madeUp(shape{6400, 0.999, 1.24}, 180, []float64{120, 180}, steps(500, 20000, 40), 0.9)
	}
	cases := map[string]*sim.Result{}
	one := madeUp(shape{400, 0.999, 1.2}, 180, []float64{180}, []float64{1000}, 0.9)
	cases["one size"] = one
	r := usual()
	for i := range r.Curve {
		r.Curve[i].Annual = sim.Interval{Estimate: nan, Low: nan, High: nan}
		r.Curve[i].Supplied = nan
	}
	cases["all NaN"] = r
	r = usual()
	for i := range r.Curve {
		r.Curve[i].Supplied, r.Curve[i].Annual = 0, sim.Interval{}
	}
	cases["all zero"] = r
	r = usual()
	r.Curve[3].Annual.Low, r.Curve[7].Annual.Estimate, r.Curve[9].Supplied = nan, nan, math.Inf(1)
	r.Season.Mid[100], r.Season.Driest[5], r.Season.Low[200] = nan, nan, nan
	cases["holes"] = r
	r = usual()
	r.Main = sim.Answer{Tank: 12000, Low: nan, High: nan, Safe: nan}
	r.Stop = sim.Stop{Method: sim.ByTurnover, Tank: 1e9, Low: nan, High: nan}
	r.Turnover[3].Times, r.Turnover[5].Times, r.Turnover[len(r.Turnover)-1].Times = nan, math.Inf(1), 0
	cases["no bounds"] = r
	r = usual()
	r.Main.Low, r.Main.High = 0, math.Inf(1)
	r.Stop, r.Season, r.Usable, r.WaterYear = sim.Stop{Method: sim.ByTurnover, Tank: nan, Low: nan, High: nan}, nil, 0, 0
	cases["bounds beyond all"] = r
	r = usual()
	r.Season = madeUpSeason(0)
	r.Generator = ""
	cases["no tank at all"] = r
	r = usual()
	for i := range r.Months {
		r.Months[i].Demand, r.Months[i].Supplied = 0, 0
	}
	r.Months[3].Spilled, r.Months[4].Spilled = nan, math.Inf(1)
	r.Real = r.Real[:1]
	cases["no demand"] = r
	r = usual()
	for i := range r.Months {
		r.Months[i] = sim.Month{Month: r.Months[i].Month, Water: sim.Water{Demand: nan, Supplied: nan, Spilled: nan}}
	}
	r.Real = []sim.RealYear{{Label: -4000}, {Label: 1 << 40}}
	cases["no months"] = r
	r = madeUp(shape{6400, 0.999, 1.2}, 180, []float64{0, 120, 180, 180, 1e6}, []float64{1, 2, 3, 1e9}, 0.9)
	rows := r.Rows()
	rows[1][2].Annual.Estimate, rows[2][0].Annual.Estimate = nan, math.Inf(1)
	cases["wide map"] = r
	cases["thousands of sizes"] = madeUp(shape{6400, 0.97, 1.24}, 180, steps(60, 300, 30), steps(1, 20000, 5000), 0.9)
	r = usual()
	r.Turnover, r.Stop.Tank = nil, nan
	r.Main.Why = sim.Meets // and no tank
	r.Main.Tank = nan
	cases["no reason"] = r
	r = usual()
	r.Cells = nil
	cases["own roofs only"] = r
	r = usual()
	r.Curve = nil
	cases["no own roofs"] = r
	return cases
}
