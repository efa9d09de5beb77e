package sim

import (
	"math"
	"slices"

	"tankodds/rainfall"
	"tankodds/sim/internal/check"
	"tankodds/sim/internal/store"
)

// Tank is one store to replay a record through.
type Tank struct {
	Nominal float64 `key:"tank_l" doc:"nominal size, above 0"`
	Dead    float64 `key:"dead_share" doc:"dead storage, a share of the nominal size"`
	Under   Under   `key:"under" doc:"what lies under the outlet of all uses besides that share"`
	Start   float64 `key:"start_asked_l" doc:"storage on the first morning as asked for, cut to the usable size"`
	Rule    Rule    `key:"rule" doc:"yas or ybs: yield after or before spillage"`
	Allow   int     `key:"allowed_short_days" doc:"short days a year that still make a good year"`
	RunIn   int     `key:"run_in_years" doc:"years of the record's beginning that the tank first goes through unseen"`

	Fittings Fittings `key:"fitted,omitzero" doc:"what belongs to the tank beside its size"`
	Air      Air      `key:"air,omitzero" doc:"evaporation"`
}

// Check returns the first thing wrong with the tank.
func (k Tank) Check() error {
	var f check.First
	f.Need(check.AboveZero(k.Nominal), "tank size %g L is not above 0", k.Nominal)
	f.Need(k.Nominal < store.Litres(store.Most), tankTooLarge, k.Nominal)
	f.Need(k.Dead == 0 || check.Between(k.Dead), "dead storage %g is not a share from 0 to below 1", k.Dead)
	f.Also(k.Under.Check())
	f.Need(!check.AboveZero(k.Nominal) || k.Under == Under{} || k.Under.usable(k.Nominal, k.Dead) > 0, "a tank of %g L holds no more than dead storage and reserve", k.Nominal)
	f.Need(k.RunIn >= 0, "%d years of run-in are below 0", k.RunIn)
	f.Need(check.FromZero(k.Start), "starting storage %g L is below 0", k.Start)
	f.Also(k.Fittings.Check())
	f.Also(k.Air.Check())
	return f.Err
}

// Day is one day of a replay.
type Day struct {
	Date rainfall.Date `key:"date" doc:"the day"`
	Rain float64       `key:"rain_mm" doc:"its rain"`
	Water
	Storage float64 `key:"storage_l" doc:"water in the tank at the day's end"`
	Surge   float64 `key:"surge_l,omitzero" doc:"water in the surge tanks at the day's end"`
	Short   bool    `key:"-"` // supplied is less than wanted, beyond rounding
}

// DryRun is a run of short days.
type DryRun struct {
	From    rainfall.Date `key:"from" doc:"its first day"`
	Days    int           `key:"days" doc:"how long it is"`
	Deficit float64       `key:"deficit_l" doc:"water wanted and not given"`
}

// RealYear is one water year of the record, run through a tank as part of the
// whole record.
type RealYear struct {
	Start rainfall.Date `key:"start" doc:"its first day"`
	Label int           `key:"year" doc:"calendar year in which it begins"`
	Whole bool          `key:"whole" doc:"whether it is usable; the record's ends may cut up to four days off"`
	Days  int           `key:"days" doc:"days run"`
	Rain  float64       `key:"rain_mm" doc:"its rain"`
	Water
	ShortDays     int        `key:"short_days" doc:"its short days"`
	LongestDry    int        `key:"longest_dry_run_days" doc:"its longest run of short days"`
	LowestStorage float64    `key:"lowest_storage_l" doc:"the least that the tank held"`
	Short         []ShortDay `key:"short,tree,omitempty" doc:"its short days, in order, where they are asked for"`
	// Needs is the smallest nominal size that would have had no more than the
	// allowed short days in this year, carried through the years before it as
	// the tank was: 0 where no tank is needed, +Inf where none would do, NaN where
	// only one tank after the other can be looked at.
	Needs float64 `key:"needs_l" doc:"smallest nominal size that would have made it a good year"`
}

// ReplayResult is the real record, day by day, through one tank.
type ReplayResult struct {
	Tank
	Roofs   []Roof        `key:"roofs" doc:"the site's catchments"`
	First   rainfall.Date `key:"first" doc:"first day of the record"`
	Last    rainfall.Date `key:"last" doc:"last day of the record"`
	Days    int           `key:"days" doc:"days run"`
	Skipped int           `key:"skipped_days" doc:"days without rain data in years that are not usable, not run"`
	Water
	StartsWith float64    `key:"start_l" doc:"water held on the first morning"`
	EndsWith   float64    `key:"end_l" doc:"water held on the last evening"`
	ShortDays  int        `key:"short_days" doc:"days on which the tank fell short"`
	Volumetric float64    `key:"volumetric" doc:"share of the water wanted that was supplied, none where nothing was wanted"`
	Time       float64    `key:"time" doc:"share of days not short"`
	Annual     float64    `key:"annual" doc:"share of whole years that are good, none with no whole year"`
	WholeYears int        `key:"whole_years" doc:"whole usable years"`
	Years      []RealYear `key:"years" doc:"the water years"`
	Runs       []DryRun   `key:"dry_runs" doc:"every run of short days, in order"`
	Daily      []Day      `key:"-"` // a table of its own
}

// Enough is Result.Enough of the whole years of a replay.
func (r *ReplayResult) Enough() float64 { return enough(r.Years) }

// Replay runs the real record through one tank, with the real calendar: 29
// February is a day of its own. Days that stay missing (in years that are not
// usable) are passed over: nothing flows in and nothing is drawn, the storage
// waits, and the diverter starts empty after them.
//
// A record says nothing of what a tank held on its first morning. With a
// run-in the tank goes through the record's first years once before they
// count, and begins with what it then holds.
func Replay(s *rainfall.Series, roofs []Roof, uses []Use, tank Tank) (*ReplayResult, error) {
	if err := checkSite(roofs, uses); err != nil {
		return nil, err
	}
	if err := tank.Check(); err != nil {
		return nil, err
	}
	out := &ReplayResult{Tank: tank, Roofs: roofs, First: s.First, Last: s.First + rainfall.Date(len(s.Depth)) - 1}
	n := len(s.Depth)
	all, err := recorded(s.First, s.Depth, s.ET0, roofs, uses, tank)
	if err != nil {
		return nil, err
	}
	run := all.walk(store.Units(tank.Under.usable(tank.Nominal, tank.Dead)), store.Units(tank.Start))
	for t := range min(n, tank.RunIn*rainfall.DaysPerYear) {
		if !math.IsNaN(s.Depth[t]) {
			run.day(t)
		}
	}
	out.StartsWith = store.Litres(run.all())
	out.Daily = make([]Day, 0, n)
	var year *RealYear
	var dry *DryRun
	inYear := 0 // days of the run that lie in the year
	calendar := rainfall.Calendar(s.Years.Start)
	turn := s.First // the next day on which a water year begins
	for t := range n {
		date := s.First + rainfall.Date(t)
		if date == turn {
			label := calendar.Label(date)
			out.Years = append(out.Years, RealYear{Start: date, Label: label, Whole: slices.Contains(s.Years.Label, label), LowestStorage: store.Litres(run.held)})
			year, inYear = &out.Years[len(out.Years)-1], 0
			turn = calendar.First(label + 1)
		}
		if math.IsNaN(s.Depth[t]) {
			out.Skipped++
			dry, inYear = nil, 0
			continue
		}
		day := Day{Date: date, Rain: s.Depth[t]}
		day.Water, day.Short = run.day(t)
		day.Storage, day.Surge = store.Litres(run.held), store.Litres(run.all()-run.held)
		out.Daily = append(out.Daily, day)
		out.Days++
		out.Water.add(day.Water)
		year.add(day)
		if !day.Short {
			dry, inYear = nil, 0
			continue
		}
		out.ShortDays++
		if dry == nil {
			out.Runs = append(out.Runs, DryRun{From: date})
			dry = &out.Runs[len(out.Runs)-1]
		}
		dry.Days++
		dry.Deficit += day.Lacks()
		inYear++
		year.LongestDry = max(year.LongestDry, inYear)
	}
	out.EndsWith = store.Litres(run.all())
	out.Water.whole()
	for k := range out.Years {
		out.Years[k].Water.whole()
	}
	out.measure()
	if all.course == nil {
		out.ask()
	} else {
		for k := range out.Years {
			out.Years[k].Needs = math.NaN()
		}
	}
	return out, nil
}

func (y *RealYear) add(d Day) {
	y.Days++
	y.Rain += d.Rain
	y.Water.add(d.Water)
	y.LowestStorage = min(y.LowestStorage, d.Storage)
	if d.Short {
		y.ShortDays++
	}
}

// ask finds what size each year asks for.
func (r *ReplayResult) ask() {
	w := store.NewSweep(r.Tank.Rule, store.Units(r.Tank.Start))
	run := func(days []Day) int64 {
		q, d := make([]int64, len(days)), make([]int64, len(days))
		for t, day := range days {
			q[t], d[t] = store.Units(day.Inflow), store.Units(day.Demand)
		}
		return w.Run(q, d, r.Tank.Allow, nil)
	}
	unseen := 0
	for unseen < len(r.Daily) && int(r.Daily[unseen].Date-r.First) < r.Tank.RunIn*rainfall.DaysPerYear {
		unseen++
	}
	run(r.Daily[:unseen])
	for k, days := range r.byYear() {
		r.Years[k].Needs = math.Inf(1)
		if need := run(days); need <= store.Most {
			r.Years[k].Needs = r.Tank.Under.nominal(store.Litres(need), r.Tank.Dead)
		}
	}
}

// byYear returns the days that were run of each year.
func (r *ReplayResult) byYear() [][]Day {
	var out [][]Day
	at := 0
	for _, y := range r.Years {
		out = append(out, r.Daily[at:at+y.Days])
		at += y.Days
	}
	return out
}

func (r *ReplayResult) measure() {
	r.Volumetric = r.OfRain() / r.Demand
	r.Time = 1 - float64(r.ShortDays)/float64(r.Days)
	good := 0
	for _, y := range r.Years {
		if y.Whole {
			r.WholeYears++
			if y.ShortDays <= r.Tank.Allow {
				good++
			}
		}
	}
	r.Annual = float64(good) / float64(r.WholeYears)
}

// Findings lists what must be told of the replay.
func (r *ReplayResult) Findings() []rainfall.Finding {
	if r.Skipped == 0 {
		return nil
	}
	return []rainfall.Finding{{Code: "skipped", From: rainfall.NoDate, Values: []rainfall.Value{rainfall.InCount.Of("count", float64(r.Skipped))}}}
}
