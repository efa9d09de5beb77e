package sim

import (
	"context"
	"math"

	"tankodds/rainfall"
)

// Near is what neighbours' records lent, and what it was worth.
type Near struct {
	rainfall.Lending
	Within Interval `key:"reliability,omitzero" doc:"share of good years of the tank looked at with what was borrowed, and its bounds; none where nothing was"`
	Alone  *Alone   `key:"alone" doc:"what the own record says by itself, none where nothing was borrowed"`
}

// Alone is the answer from the own record by itself.
type Alone struct {
	Grade  Grade    `key:"grade" doc:"as of the answer"`
	Tank   float64  `key:"tank_l" doc:"smallest nominal size that meets the target, none where no size does"`
	Low    float64  `key:"low_l" doc:"lower end of the band of sizes"`
	High   float64  `key:"high_l" doc:"upper end of it"`
	Safe   float64  `key:"safe_tank_l" doc:"smallest size whose lower bound meets the target"`
	Within Interval `key:"reliability" doc:"share of good years of the tank looked at, and its bounds"`
}

// Borrowed says whether anything was.
func (n *Near) Borrowed() bool { return n != nil && n.Alone != nil }

// Narrower is the part by which the band of one and the same share of good years
// became narrower: at one tank the share itself moves, and bands are the wider the
// farther it lies from 1. NaN where nothing was borrowed.
func (n *Near) Narrower() float64 {
	if !n.Borrowed() {
		return math.NaN()
	}
	return 1 - 1/math.Sqrt(n.Gain)
}

// Near says what neighbours lent and, where they did, asks the own record by itself
// too; nil where none was named. The tank looked at has a nominal
// size.
func (q *Question) Near(ctx context.Context, c *Curves, nominal float64) (*Near, error) {
	if q.series.Near == nil {
		return nil, nil
	}
	out := &Near{Lending: *q.series.Near}
	if !out.Lent() {
		return out, nil
	}
	own := len(c.Areas) - 1
	out.Within = q.study.claim(c, own, nominal).Interval
	series, study := *q.series, *q.study
	series.Near, study.Progress, study.Costs = nil, nil, nil
	study.Areas = []float64{TotalArea(study.Roofs)}
	other, err := Ask(&series, q.given, &study)
	if err != nil {
		return nil, err
	}
	curves, err := other.Curves(ctx)
	if err != nil {
		return nil, err
	}
	sizes, err := other.Solve(ctx, curves)
	if err != nil {
		return nil, err
	}
	a := other.Answer(sizes, other.Claim(curves, sizes))[len(sizes)-1]
	out.Alone = &Alone{a.Grade, a.Tank, a.Low, a.High, a.Safe, study.claim(curves, len(sizes)-1, nominal).Interval}
	return out, nil
}
