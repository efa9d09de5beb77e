package sim

import (
	"context"
	"math"

	"tankodds/rainfall/gen"
)

// Remedy is what would bring a target within reach that no size meets.
type Remedy struct {
	Roof float64 `key:"roof_m2" doc:"total roof area, of the same make-up, about the least with which a tank no larger than the largest asked about meets the target"`
	Use  float64 `key:"use_l_per_day" doc:"mean use, about the most that it meets under the site's own roofs"`
	Tank float64 `key:"tank_l" doc:"the largest size asked about"`
}

// mostRoof is how many times the site's roofs are looked at as a remedy, and
// remedyTraces how many traces each of them is judged by.
const (
	mostRoof     = 16
	remedyTraces = 100
	remedyMargin = 1.02 // for what so few traces leave open
)

// Remedy looks for it where the own answer is out of reach; it is nil where even
// roofs mostRoof times as large do not do. A use is as much easier to meet as a
// roof is larger: both are one search.
func (q *Question) Remedy(ctx context.Context, a Answer) (*Remedy, error) {
	s := q.study
	if a.Grade != OutOfReach {
		return nil, nil
	}
	low, high := 1.0, 1.0
	for {
		low, high = high, high*2
		if high > mostRoof {
			return nil, nil
		}
		if meets, err := q.meetsUnder(ctx, high); err != nil {
			return nil, err
		} else if meets {
			break
		}
	}
	for high/low > 1.005 {
		mid := math.Sqrt(low * high)
		switch meets, err := q.meetsUnder(ctx, mid); {
		case err != nil:
			return nil, err
		case meets:
			high = mid
		default:
			low = mid
		}
	}
	high *= remedyMargin
	return &Remedy{Roof: high * TotalArea(s.Roofs), Use: MeanDemand(s.Uses) / high, Tank: s.largest()}, nil
}

// meetsUnder says whether the largest size asked about meets the target under so
// many times the site's roofs.
func (q *Question) meetsUnder(ctx context.Context, scale float64) (bool, error) {
	s := q.study
	ladder := s.thin(s.rungs())
	sizes := s.NewSizes(ladder, s.largest())
	rows := []Row{{Scale: scale, Sizes: sizes, Ladder: sizes.Places(ladder)}}
	e := q.ensemble.With(rows...)
	sc, sum := e.Scratch(), NewTotals(rows, Weigh(q.series.Years))
	for k := range min(remedyTraces, q.traces) {
		if err := ctx.Err(); err != nil {
			return false, err
		}
		t, err := e.Trace(sc, q.sampler, gen.Source(s.Seed, streamMain, uint64(k)), q.length)
		if err != nil {
			return false, err
		}
		sum.Add(t)
	}
	w := sum.Weights(0, s.Level).Heed(s.Measure, s.Target, sum.Evidence)
	return s.valueOf(sum.Claim(w, s.Measure, 0, sizes.At(s.largest()))) >= s.Target, nil
}
