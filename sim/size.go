package sim

import (
	"context"
	"slices"
	"time"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
	"tankodds/sim/internal/parallel"
)

// Size answers a study from a record: the grid, the size for the target, its
// band, where more storage stops paying, and the real years. It is all stages of
// a Question, one after the other.
func Size(ctx context.Context, series *rainfall.Series, g gen.Generator, s *Study) (*Result, error) {
	q, err := Ask(series, g, s)
	if err != nil {
		return nil, err
	}
	curves, err := q.Curves(ctx)
	if err != nil {
		return nil, err
	}
	sizes, err := q.Solve(ctx, curves)
	if err != nil {
		return nil, err
	}
	own := len(sizes) - 1
	look := sizes[own].Look
	claims := q.Claim(curves, sizes)
	answers := q.Answer(sizes, claims)
	// The tank's year, the real years and what overflows know nothing of each
	// other: they are worked out side by side.
	var season *Season
	var months []Month
	var past *Past
	var overflow *Overflow
	err = parallel.InOrder(ctx, s.Workers, 3, func() struct{} { return struct{}{} },
		func(_ struct{}, i int) (_ struct{}, err error) {
			switch i {
			case 0:
				season, months, err = q.Season(ctx, look)
			case 1:
				overflow, err = q.Overflow(ctx, look)
			default:
				past, err = q.Past(look)
			}
			return struct{}{}, err
		},
		func(int, struct{}) error { return nil })
	if err != nil {
		return nil, err
	}
	turned, err := q.Turned(ctx, curves, answers[own])
	if err != nil {
		return nil, err
	}
	ends, err := q.Ends(ctx)
	if err != nil {
		return nil, err
	}
	var explain []Influence
	if s.Explain {
		if explain, err = q.Explain(ctx); err != nil {
			return nil, err
		}
	}
	filling, err := q.Filling(look)
	if err != nil {
		return nil, err
	}
	ways, err := q.Ways(look)
	if err != nil {
		return nil, err
	}
	near, err := q.Near(ctx, curves, look)
	if err != nil {
		return nil, err
	}
	surges, err := q.Surges(ctx)
	if err != nil {
		return nil, err
	}
	near, err := q.Near(ctx, curves, look)
	if err != nil {
		return nil, err
	}
	season.Driest, season.DriestLabel = past.Driest, past.DriestLabel
	return &Result{
		Study:           q.study,
		Usable:          series.Years.Len(),
		WaterYear:       series.Years.Start,
		Filled:          filledDays(series.Years),
		Generator:       q.gen.Name,
		GeneratorWhat:   q.gen.What,
		GeneratorSource: q.gen.Source,
		Params:          q.parameters(),
		Simulated:       q.traces * q.length,
		Main:            answers[own],
		Turned:          turned,
		Answers:         answers[:own],
		Cells:           slices.Concat(claims.Rows[:own]...),
		Curve:           claims.Rows[own],
		Stop:            s.Stop(curves),
		Offers:          s.Offers(curves),
		Turnover:        s.Turnover(curves),
		Outlook:         s.Outlook(answers[own].Cell),
		Season:          season,
		Months:          months,
		Explain:         explain,
		Ends:            ends,
		Filling:         filling,
		Real:            past.Years,
		Peak:            past.Peak,
		Overflow:        overflow,
		Ways:            ways,
		Surges:          surges,
		Thumbs:          claims.Thumbs,
		Near:            near,
		Findings:        s.findings(answers[own], curves.Totals.Evidence),
	}, nil
}

// parameters are those of the generator as fitted, nil where it shows none.
func (q *Question) parameters() []gen.Parameter {
	if d, ok := q.sampler.(gen.Described); ok {
		return d.Parameters()
	}
	return nil
}

func filledDays(y *rainfall.Years) int {
	sum := 0
	for _, n := range y.Filled {
		sum += n
	}
	return sum
}

// findings returns what a record cannot carry by its answer,
// and the stress that the synthetic rain is under.
func (s *Study) findings(a Answer, have Evidence) []rainfall.Finding {
	var out []rainfall.Finding
	if !s.Stress.None() {
		f := rainfall.Finding{Code: "stress", Values: []rainfall.Value{{Name: "dry_spell", Dim: rainfall.InFactor, X: s.Stress.DrySpell}}}
		for m, x := range s.Stress.Rain {
			f.Values = append(f.Values, rainfall.Value{Name: time.Month(m + 1).String(), Dim: rainfall.InFactor, X: x})
		}
		out = append(out, f)
	}
	if a.Grade != TooShort && have.Counts(s.Measure) >= a.Shows {
		return out
	}
	return append(out, rainfall.Finding{Code: "short-record", Values: []rainfall.Value{
		{Name: "usable_years", Dim: rainfall.InCount, X: float64(have.Usable)},
		{Name: "least_years", Dim: rainfall.InCount, X: FewYears},
		{Name: "target", Dim: rainfall.InShare, X: s.Target},
		{Name: "years_to_show", Dim: rainfall.InCount, X: float64(a.Shows)},
	}})
}
