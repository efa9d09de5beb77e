// Package backtest asks what the claims of package sim are worth: it learns from
// some years of a record, claims, and is judged by the years that follow. It
// knows of tanks what sim exports, and of the kernels only lanes to run a real
// year in.
package backtest

import (
	"context"
	"fmt"
	"math"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
	"tankodds/sim"
	"tankodds/sim/internal/parallel"
)

// Study is what is asked of records. Every window of a record is learnt from as
// if nothing else were known.
type Study struct {
	Roofs []sim.Roof // their make-up; the area is scaled to each of Demands
	Uses  []sim.Use
	Rule  sim.Rule
	Allow int // short days a year that still make a good year, ≥ 0

	Learn []int // usable years to learn from, each ≥ 2
	Step  int   // years from the start of one window to the next, ≥ 1
	Judge int   // usable years after a window that judge it, at most
	Least int   // and at least, 1 ≤ Least ≤ Judge

	// Each window is asked for every demand: the year's demand as a share of
	// the inflow of an average year of the window.
	Demands []float64
	// For each, the tank that the window says meets each target, a share of
	// good years,
	Targets []float64
	// and tanks that are the same for every generator: usable size as a share
	// of the inflow of an average year of the window.
	Tanks []float64

	Years    int // synthetic years a window and generator
	Seed     uint64
	Workers  int                   // goroutines, 0 for all cores
	Progress func(done, total int) // called from one goroutine; may be nil
}

// NewStudy returns what is taken where nothing is said.
func NewStudy() *Study {
	return &Study{
		Roofs: []sim.Roof{sim.NewRoof(100)}, Uses: []sim.Use{{Name: "all uses", Daily: 100}},
		Learn: []int{15, 20, 30}, Step: 5, Judge: 30, Least: 10,
		Demands: []float64{0.3, 0.5, 0.7}, Targets: []float64{0.8, 0.9, 0.95}, Tanks: []float64{0.05, 0.1, 0.2},
		Years: 5000, Seed: 1,
	}
}

// Record is a record to be tested on.
type Record struct {
	Name  string
	Years *rainfall.Years
}

// Levels are those of the intervals that a backtest judges.
var Levels = [3]float64{0.5, 0.8, 0.9}

// Case is one claim and what came of it.
type Case struct {
	Record    int // index into Result.Records
	Generator string
	LearnFrom int // the calendar years in which the first and last year learnt from begin
	LearnTo   int
	Learn     int // usable years learnt from
	JudgeFrom int
	JudgeTo   int
	Judge     int // usable years that judged

	Demand float64 // share of the inflow of an average year learnt from
	Target float64 // NaN where the tank was given
	Tank   float64 // usable size, L
	Roof   float64 // total area, m²
	Size   float64 // Tank as a share of the inflow of an average year learnt from

	Share  sim.Interval // of good years among the synthetic ones, with the Monte Carlo error alone (90 %)
	Claim  sim.Interval // of good years among those not seen: expected, and the bounds that hold the share at 90 %
	Short  []float64    // the claim: probabilities of 0 … Judge short years
	Low    [3]float64   // bounds of the short years claimed, at each of Levels
	High   [3]float64
	Seen   int     // short years that came
	PIT    float64 // of Seen, randomised
	Inside [3]bool // whether PIT lies in the middle of each of Levels
}

// Result is everything that a backtest found.
type Result struct {
	Study      *Study
	Records    []Record
	Generators []gen.Generator
	Windows    []int // a record
	Cases      []Case
	Scores     []Score // by generator, and within it all targets, each target, the given tanks
	Warnings   []rainfall.Warning
}

// Check returns the first thing wrong with the backtest.
func (b *Study) Check() error {
	shares := func(what string, list []float64, most float64) error {
		for _, x := range list {
			if !(x > 0 && x <= most) {
				return fmt.Errorf("%s of %g is not above 0 and at most %g", what, x, most)
			}
		}
		return nil
	}
	for _, l := range b.Learn {
		if l < 2 {
			return fmt.Errorf("a window of %d to learn from is too short; 2 years are the least", l)
		}
	}
	for _, t := range b.Targets {
		if !(t > 0 && t < 1) {
			return fmt.Errorf("target %g is not between 0 and 1", t)
		}
	}
	switch {
	case len(b.Learn) == 0 || len(b.Demands) == 0 || len(b.Targets)+len(b.Tanks) == 0:
		return fmt.Errorf("a backtest needs years to learn from, a demand, and a target or a tank")
	case b.Step < 1:
		return fmt.Errorf("a step of %d years between windows is below 1", b.Step)
	case b.Least < 1 || b.Judge < b.Least:
		return fmt.Errorf("%d to %d years cannot judge a window", b.Least, b.Judge)
	}
	if err := shares("a demand", b.Demands, 10); err != nil {
		return err
	}
	if err := shares("a tank", b.Tanks, mostInflow); err != nil {
		return err
	}
	s := b.study()
	s.Areas, s.Sizes = []float64{1}, []float64{1}
	return s.Check()
}

// study is the question that each window is asked, but for its target.
func (b *Study) study() *sim.Study {
	return &sim.Study{
		Roofs: b.Roofs, Uses: b.Uses, Rule: b.Rule, Allow: b.Allow, Target: 0.5,
		Years: b.Years, RecordError: true, Level: sim.DefaultLevel, Horizon: 1, GainStep: sim.DefaultGainStep, GainStop: sim.DefaultGainStop,
	}
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
	r := &Result{Study: b, Records: records, Generators: gens, Windows: make([]int, len(records))}
	var all []window
	for i, rec := range records {
		w := b.windows(i, rec.Years.Len())
		r.Windows[i] = len(w)
		all = append(all, w...)
		if len(w) == 0 {
			shortest := math.MaxInt
			for _, l := range b.Learn {
				shortest = min(shortest, l)
			}
			r.Warnings = append(r.Warnings, rainfall.Warning{Code: "short-record", Text: fmt.Sprintf(
				"%s has %d usable years; %d to learn from and %d to judge by are the least", rec.Name, rec.Years.Len(), shortest, b.Least)})
		}
	}
	if len(all) == 0 {
		return r, nil
	}
	n := len(all) * len(gens)
	err := parallel.InOrder(ctx, b.Workers, n, sim.NewScratch,
		func(sc *sim.Scratch, i int) ([]Case, error) {
			w := all[i%len(all)]
			return b.judge(ctx, sc, records[w.record], gens[i/len(all)], w)
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
