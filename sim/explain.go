package sim

import (
	"context"
	"math"
	"slices"
)

// Influence is what an input that is not known well is worth: the size that the
// target needs with it at either end of what it may be, over the size needed.
type Influence struct {
	What string  `key:"what" doc:"the input: runoff, first-flush, filter, use, roof, rain, start or rule"`
	From float64 `key:"from" doc:"one end of what it may be, a share, a depth in mm or, of the rule, 0 for yield after and 1 for yield before spillage; of the start 0 for an empty tank and 1 for a full one"`
	To   float64 `key:"to" doc:"the other end"`
	A    float64 `key:"size_at_from" doc:"size needed there over the size needed; none where no size is enough"`
	B    float64 `key:"size_at_to" doc:"the same at the other end"`
}

// Worth is how far apart the sizes at the two ends lie, as a ratio of 1 or more;
// +Inf where at one of them no size is enough.
func (x Influence) Worth() float64 {
	if math.IsNaN(x.A) || math.IsNaN(x.B) {
		return math.Inf(1)
	}
	a, b := min(x.A, x.B, 1), max(x.A, x.B, 1)
	return b / a
}

// The ends of what inputs may be.
const (
	// RunoffDoubt is how far a coefficient may be off: roofs of one kind were
	// measured apart by that and more (Farreny et al. 2011, Water Res. 45:3245).
	RunoffDoubt = 0.05
	// LeastFlush and MostFlush, mm, are what guides ask of a clean and of a dirty
	// roof: a manufacturer's guide, 0.2 to 2 L/m².
	LeastFlush = 0.2
	MostFlush  = 2.0
	// UsualFilter is what a filter passes on where that is not known (EN 16941-1,
	// from memory, unverified).
	UsualFilter = 0.9
	// UseDoubt, RoofDoubt and RainDoubt are shares: common practice, no source;
	// but that a gauge catches 5 to 15 % too little in wind has been measured.
	UseDoubt  = 0.1
	RoofDoubt = 0.05
	RainDoubt = 0.1
)

// ExplainYears of synthetic rain are enough to tell sizes apart that see the same rain.
const ExplainYears = 20_000

// slowExplainYears are enough where tanks are gone through one by one.
const slowExplainYears = 1000

// Explain tells what each uncertain input is worth to the size, the most first. All
// see the same synthetic rain, of ExplainYears at most; that of a site with more or
// less rain than the gauge is learnt anew.
func (q *Question) Explain(ctx context.Context) ([]Influence, error) {
	base, err := q.exactly(ctx, func(*Study) {}, 1)
	if err != nil {
		return nil, err
	}
	var out []Influence
	add := func(what string, from, to float64, at func(s *Study, x float64), rain bool) error {
		x := Influence{What: what, From: from, To: to}
		for _, end := range []struct {
			at   float64
			size *float64
		}{{from, &x.A}, {to, &x.B}} {
			by := 1.0
			if rain {
				by = end.at
			}
			size, err := q.exactly(ctx, func(s *Study) { at(s, end.at) }, by)
			if err != nil {
				return err
			}
			*end.size = size / base
		}
		out = append(out, x)
		return nil
	}
	roofs := func(set func(r *Roof, x float64)) func(*Study, float64) {
		return func(s *Study, x float64) {
			for i := range s.Roofs {
				set(&s.Roofs[i], x)
			}
		}
	}
	for _, err := range []error{
		add("runoff", -RunoffDoubt, RunoffDoubt, roofs(func(r *Roof, x float64) { r.Runoff = min(1, max(0.01, r.Runoff+x)) }), false),
		add("first-flush", LeastFlush, MostFlush, roofs(func(r *Roof, x float64) { r.FirstFlush = x }), false),
		add("filter", UsualFilter, 1, roofs(func(r *Roof, x float64) { r.Filter = x }), false),
		add("use", 1-UseDoubt, 1+UseDoubt, func(s *Study, x float64) {
			for i := range s.Uses {
				s.Uses[i] = s.Uses[i].times(x)
				s.Uses[i].Spread = 0
			}
		}, false),
		add("roof", 1-RoofDoubt, 1+RoofDoubt, roofs(func(r *Roof, x float64) { r.Area *= x }), false),
		add("rain", 1-RainDoubt, 1+RainDoubt, func(*Study, float64) {}, true),
		add("start", 0, 1, func(s *Study, x float64) { full := float64(x * MostTank / 2); s.Start = &full }, false),
		add("rule", 0, 1, func(s *Study, x float64) { s.Rule = Rule(x) }, false),
	} {
		if err != nil {
			return nil, err
		}
	}
	slices.SortStableFunc(out, func(a, b Influence) int {
		switch {
		case a.Worth() > b.Worth():
			return -1
		case a.Worth() < b.Worth():
			return 1
		}
		return 0
	})
	return out, nil
}

// exactly is the smallest size, L, that meets the target of the study changed, with
// so many times the record's rain; NaN where none does.
func (q *Question) exactly(ctx context.Context, change func(*Study), rain float64) (float64, error) {
	study := *q.study
	study.Roofs, study.Uses = slices.Clone(study.Roofs), slices.Clone(study.Uses)
	study.Costs, study.Progress, study.Years = nil, nil, min(study.Years, ExplainYears)
	if study.Slow() {
		study.Years = min(study.Years, slowExplainYears)
	}
	change(&study)
	study.Areas = []float64{TotalArea(study.Roofs)}
	series := q.series
	if rain != 1 {
		series = series.Times(rain)
	}
	other, err := Ask(series, q.given, &study)
	if err != nil {
		return 0, err
	}
	curves, err := other.Curves(ctx)
	if err != nil {
		return 0, err
	}
	sizes, err := other.Solve(ctx, curves)
	if err != nil {
		return 0, err
	}
	return sizes[len(sizes)-1].Exact, nil
}
