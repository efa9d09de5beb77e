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
	b, err := begin(ctx, series, g, s)
	if err != nil {
		return nil, err
	}
	return b.out, b.finish(ctx)
}

// SizeBriefly is Size without what a sheet says of the one tank: its year, its
// overflow, its filling, what belongs to it, the question turned round. A comparison
// asks for no more, and it costs a third less.
func SizeBriefly(ctx context.Context, series *rainfall.Series, g gen.Generator, s *Study) (*Result, error) {
	b, err := begin(ctx, series, g, s)
	if err != nil {
		return nil, err
	}
	past, err := b.q.Past(b.look)
	if err != nil {
		return nil, err
	}
	b.out.Real, b.out.Peak = past.Years, past.Peak
	return b.out, nil
}

// begun is a study whose answers are known.
type begun struct {
	q      *Question
	curves *Curves
	look   float64 // the size that is looked at closer
	out    *Result
}

// begin runs the curves and answers.
func begin(ctx context.Context, series *rainfall.Series, g gen.Generator, s *Study) (*begun, error) {
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
	claims := q.Claim(curves, sizes)
	answers := q.Answer(sizes, claims)
	return &begun{q, curves, sizes[own].Look, &Result{
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
		Answers:         answers[:own],
		Cells:           slices.Concat(claims.Rows[:own]...),
		Curve:           claims.Rows[own],
		Stop:            s.Stop(curves),
		Offers:          s.Offers(curves),
		Turnover:        s.Turnover(curves),
		Outlook:         s.Outlook(answers[own].Cell),
		Thumbs:          claims.Thumbs,
		Findings:        s.findings(answers[own], curves.Totals.Evidence),
	}}, nil
}

// finish works out what a sheet says of the one tank.
func (b *begun) finish(ctx context.Context) (err error) {
	q, out, s := b.q, b.out, b.q.study
	// The tank's year, the real years and what overflows know nothing of each
	// other: they are worked out side by side.
	var past *Past
	err = parallel.InOrder(ctx, s.Workers, 3, func() struct{} { return struct{}{} },
		func(_ struct{}, i int) (_ struct{}, err error) {
			switch i {
			case 0:
				out.Season, out.Months, err = q.Season(ctx, b.look)
			case 1:
				out.Overflow, err = q.Overflow(ctx, b.look)
			default:
				past, err = q.Past(b.look)
			}
			return struct{}{}, err
		},
		func(int, struct{}) error { return nil })
	if err != nil {
		return err
	}
	out.Real, out.Peak = past.Years, past.Peak
	out.Season.Driest, out.Season.DriestLabel = past.Driest, past.DriestLabel
	for _, stage := range []func() error{
		func() error { out.Turned, err = q.Turned(ctx, b.curves, out.Main); return err },
		func() error { out.Ends, err = q.Ends(ctx); return err },
		func() error {
			if s.Explain {
				out.Explain, err = q.Explain(ctx)
			}
			return err
		},
		func() error { out.Filling, err = q.Filling(b.look); return err },
		func() error { out.Ways, err = q.Ways(b.look); return err },
		func() error { out.Near, err = q.Near(ctx, b.curves, b.look); return err },
		func() error { out.Surges, err = q.Surges(ctx); return err },
	} {
		if err := stage(); err != nil {
			return err
		}
	}
	return nil
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
