// Package backtest asks what the claims of package sim are worth: it learns from
// some years of a record, claims, and is judged by the years that follow. It
// knows of tanks what sim exports, and of the store only what a real year needs.
package backtest

import (
	"context"
	"time"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
	"tankodds/rainfall/near"
	"tankodds/sim"
	"tankodds/sim/internal/check"
	"tankodds/sim/internal/parallel"
)

// Study is what is asked of records. Every window of a record is learnt from as
// if nothing else were known.
type Study struct {
	Roofs []sim.Roof `key:"roofs" doc:"their make-up; the area is scaled to each demand"`
	Uses  []sim.Use  `key:"uses" doc:"what draws on the tank"`
	Rule  sim.Rule   `key:"rule" doc:"yas or ybs: yield after or before spillage"`
	Allow int        `key:"allowed_short_days" doc:"short days a year that still make a good year"`

	Learn []int `key:"learn_years" doc:"usable years to learn from, each 2 or more"`
	Step  int   `key:"step_years" doc:"years from the start of one window to the next"`
	Judge int   `key:"judge_years_most" doc:"usable years after a window that judge it, at most"`
	Least int   `key:"judge_years_least" doc:"and at least"`

	// Each window is asked for every demand and, for each, for the tank that it
	// says meets each target, and for tanks that are the same for every
	// generator.
	Demands []float64 `key:"demand_shares" doc:"the year's demand, a share of the inflow of an average year of the window"`
	Targets []float64 `key:"targets" doc:"shares of good years to be met"`
	Days    []float64 `key:"day_targets" doc:"shares of days to be met"`
	Water   []float64 `key:"water_targets" doc:"shares of the water wanted to be met"`
	Tanks   []float64 `key:"storage_shares" doc:"usable sizes of the given tanks, a share of the same inflow"`

	Years    int                   `key:"years" doc:"synthetic years a window and generator"`
	Seed     uint64                `key:"seed" doc:"of every random source"`
	Workers  int                   `key:"-"` // goroutines, 0 for all cores
	Progress func(done, total int) `key:"-"` // called from one goroutine; may be nil
}

// NewStudy returns what is taken where nothing is said.
func NewStudy() *Study {
	return &Study{
		Roofs: []sim.Roof{sim.NewRoof(100)}, Uses: []sim.Use{{Name: "all uses", Daily: 100}},
		Learn: []int{15, 20, 30}, Step: 5, Judge: 30, Least: 10,
		Demands: []float64{0.3, 0.5, 0.7}, Targets: []float64{0.8, 0.9, 0.95}, Days: []float64{0.95, 0.99}, Water: []float64{0.8, 0.95}, Tanks: []float64{0.05, 0.1, 0.2},
		Years: 5000, Seed: 1,
	}
}

// Record is a record to be tested on.
type Record struct {
	Name  string
	Years *rainfall.Years
	Near  []near.Station // that lend it their years before those that judge
}

// Tested is what a result says of a record.
type Tested struct {
	Name      string     `key:"name" doc:"what the record is called"`
	Usable    int        `key:"usable_years" doc:"its usable water years"`
	WaterYear time.Month `key:"water_year_starts" doc:"month in which its water year begins"`
	Windows   int        `key:"windows" doc:"stretches of it learnt from, 0 where it is too short"`
}

// Case is one claim and what came of it. What fails is the share of years that
// are short, of days, or of the water wanted, by the measure.
type Case struct {
	Record    string `key:"record" doc:"name of the record"`
	Generator string `key:"generator" doc:"name of the generator"`
	LearnFrom int    `key:"learn_from" doc:"calendar year in which the first year learnt from begins"`
	LearnTo   int    `key:"learn_to" doc:"the same of the last"`
	Learn     int    `key:"learn_years" doc:"usable years learnt from"`
	JudgeFrom int    `key:"judge_from" doc:"calendar year in which the first year that judged begins"`
	JudgeTo   int    `key:"judge_to" doc:"the same of the last"`
	Judge     int    `key:"judge_years" doc:"usable years that judged"`

	Demand  float64     `key:"demand_share" doc:"the year's demand, a share of the inflow of an average year learnt from"`
	Measure sim.Measure `key:"measure" doc:"what is claimed: annual, time or volume"`
	Target  float64     `key:"target" doc:"share to be met, none where the tank was given"`
	Size    float64     `key:"storage_share" doc:"the tank, a share of the same inflow"`
	Tank    float64     `key:"tank_l" doc:"size of the tank"`
	Roof    float64     `key:"roof_m2" doc:"total roof area"`

	Share sim.Interval `key:"synthetic_share" doc:"the measure among the synthetic years, with the Monte Carlo error alone, at 90 %"`
	Claim sim.Interval `key:"claim" doc:"the measure in years not seen: stated, and the bounds at 90 %"`

	Low50  float64 `key:"low_50" doc:"what fails in the years that judge, as claimed: lower bound at 50 %"`
	High50 float64 `key:"high_50" doc:"upper bound at 50 %"`
	Low80  float64 `key:"low_80" doc:"lower bound at 80 %"`
	High80 float64 `key:"high_80" doc:"upper bound at 80 %"`
	Low90  float64 `key:"low_90" doc:"lower bound at 90 %"`
	High90 float64 `key:"high_90" doc:"upper bound at 90 %"`
	None   float64 `key:"no_short_year" doc:"claimed probability of no short year"`

	Short    int     `key:"short_years" doc:"short years that came"`
	Failed   float64 `key:"failed" doc:"what failed in the years that judge"`
	PIT      float64 `key:"pit" doc:"probability integral transform of that, randomised"`
	Inside50 bool    `key:"inside_50" doc:"whether that lies in the middle half"`
	Inside80 bool    `key:"inside_80" doc:"in the middle 80 %"`
	Inside90 bool    `key:"inside_90" doc:"in the middle 90 %"`

	// A naive claim takes the synthetic years for the truth.
	NaiveLow  float64 `key:"naive_low_90" doc:"what fails, lower bound at 90 % were the synthetic years the truth"`
	NaiveHigh float64 `key:"naive_high_90" doc:"the upper bound"`

	Least   float64 `key:"band_low_l" doc:"lower end of the band of sizes for the target"`
	Safe    float64 `key:"safe_tank_l" doc:"its upper end, the safe size, none where none is"`
	SafeMet bool    `key:"safe_met" doc:"whether the safe size met the target in the years that judge"`
	Chance  float64 `key:"safe_chance" doc:"claimed probability that it would, none without a safe size"`
	Needs   float64 `key:"needed_l" doc:"the size that those years would have needed for the target, none where none is enough"`
	Sized   bool    `key:"band_held" doc:"whether the band holds it, an upper end that is none being no bound"`

	Lent bool `key:"-"` // whether neighbours lent something

	ahead ahead // the claim
}

// Result is everything that a backtest found.
type Result struct {
	Study      *Study   `key:"-"` // what was asked
	Generators []string `key:"generators" doc:"names of the generators tested"`
	Records    []Tested `key:"records" doc:"the records tested on"`
	Scores     []Score  `key:"scores" doc:"by generator and measure, and within them all targets, each target, the given tanks"`
	Cases      []Case   `key:"cases" doc:"every claim and what came of it"`
}

// LeastLearn is the fewest years that a window may learn from.
const LeastLearn = 2

// Check returns the first thing wrong with the backtest.
func (b *Study) Check() error {
	var f check.First
	for _, l := range b.Learn {
		f.Need(l >= LeastLearn, "a window of %d years to learn from is too short; %d are the least", l, LeastLearn)
	}
	for _, g := range b.goals() {
		f.Need(check.Between(g.share), "target %g is not between 0 and 1", g.share)
	}
	f.Need(len(b.Learn) > 0 && len(b.Demands) > 0 && len(b.goals())+len(b.Tanks) > 0,
		"a backtest needs years to learn from, a demand, and a target or a tank")
	f.Need(b.Step >= 1, "a step of %d years between windows is below 1", b.Step)
	f.Need(b.Least >= 1 && b.Judge >= b.Least, "%d to %d years cannot judge a window", b.Least, b.Judge)
	shares := func(what string, list []float64, most float64) {
		for _, x := range list {
			f.Need(x > 0 && x <= most, "%s of %g is not above 0 and at most %g", what, x, most)
		}
	}
	shares("a demand", b.Demands, 10)
	shares("a tank", b.Tanks, mostInflow)
	s := b.study()
	s.Areas, s.Sizes = []float64{1}, []float64{1}
	f.Also(s.Check())
	return f.Err
}

// study is the question that each window is asked, but for its target.
func (b *Study) study() *sim.Study {
	return &sim.Study{
		Roofs: b.Roofs, Uses: b.Uses, Rule: b.Rule, Allow: b.Allow, Target: 0.5, Unit: 1,
		Years: b.Years, RecordError: true, Level: sim.DefaultLevel, Horizon: 1,
	}
}

// goal is a measure and the share of it to be met.
type goal struct {
	measure sim.Measure
	share   float64
}

func (b *Study) goals() (out []goal) {
	for m, shares := range [][]float64{sim.Annual: b.Targets, sim.Time: b.Days, sim.Volume: b.Water} {
		for _, x := range shares {
			out = append(out, goal{sim.Measure(m), x})
		}
	}
	return out
}

// window is one stretch of a record to learn from.
type window struct{ record, start, learn int }

func (b *Study) windows(record int, usable int) []window {
	var out []window
	for _, l := range b.Learn {
		for start := 0; start+l+b.Least <= usable; start += b.Step {
			out = append(out, window{record, start, l})
		}
	}
	return out
}

// Run tests each generator on every window of every record. The rain of a
// window is simulated once for all demands, targets and tanks.
func Run(ctx context.Context, b *Study, records []Record, gens []gen.Generator) (*Result, error) {
	if err := b.Check(); err != nil {
		return nil, err
	}
	r := &Result{Study: b}
	for _, g := range gens {
		r.Generators = append(r.Generators, g.Name)
	}
	var all []window
	for i, rec := range records {
		w := b.windows(i, rec.Years.Len())
		r.Records = append(r.Records, Tested{rec.Name, rec.Years.Len(), rec.Years.Start, len(w)})
		all = append(all, w...)
	}
	if len(all) == 0 {
		return r, nil
	}
	n := len(all) * len(gens)
	err := parallel.InOrder(ctx, b.Workers, n, func() struct{} { return struct{}{} },
		func(_ struct{}, i int) ([]Case, error) {
			w := all[i%len(all)]
			return b.judge(ctx, records[w.record], gens[i/len(all)], w)
		},
		func(i int, cases []Case) error {
			r.Cases = append(r.Cases, cases...)
			if b.Progress != nil {
				b.Progress(i+1, n)
			}
			return nil
		})
	if err != nil {
		return nil, err
	}
	r.score()
	return r, nil
}
