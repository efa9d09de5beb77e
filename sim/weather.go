package sim

import (
	"errors"
	"math/rand/v2"

	"tankodds/rainfall/gen"
	"tankodds/sim/internal/store"
)

// weathered says whether something depends on the weather beside the roofs: beds,
// or open water.
func (e *Ensemble) weathered() bool { return len(e.beds) > 0 || e.works.Open > 0 }

// weather draws a trace's rain with the evaporation that goes with it, and what
// beds want of both.
func (e *Ensemble) weather(sc *Scratch, from gen.Sampler, rng *rand.Rand) error {
	n := len(sc.rain)
	days := sc.from[:n]
	if dated, ok := from.(gen.Dated); ok {
		dated.SampleDated(sc.rain, days, rng)
	} else {
		from.Sample(sc.rain, rng)
		for t := range days {
			days[t] = gen.NoDay
		}
	}
	sc.et0 = sc.et0[:n]
	e.air.set(sc.et0, sc.rain, days)
	if len(e.beds) == 0 {
		return nil
	}
	copy(sc.demand, e.demand)
	for k, u := range e.beds {
		asked := sc.asked[:n]
		clear(asked)
		e.study.Uses[u].Bed.asks(asked, sc.rain, sc.et0, e.on[k])
		for t, x := range asked {
			sc.beds[k][t] = store.Units(x)
			sc.demand[t] += sc.beds[k][t]
			if sc.demand[t] >= store.Most {
				return errTooMuchWanted
			}
		}
	}
	for t, d := range sc.demand[:n] {
		sc.use[t+1] = sc.use[t] + d
	}
	return nil
}

// errTooMuchWanted is a day's demand of store.Most and more.
var errTooMuchWanted = errors.New("a bed wants more water on a day than can be reckoned with; is its area right?")
