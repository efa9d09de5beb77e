package backtest

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"tankodds/sim"
	"tankodds/sim/internal/steady"
)

// ahead is what a claim says of the share that fails in some years ahead: a
// count of years, or nothing with some probability and a beta distribution
// otherwise.
type ahead struct {
	counts []float64 // probabilities of 0, 1 … short years; nil where it is no count
	none   float64   // probability that nothing fails
	some   distuv.Beta
}

// counted is the claim about a count.
func counted(p []float64) ahead { return ahead{counts: p, none: p[0]} }

// mixed is the claim of a mean and a variance, part of which is the chance that
// nothing fails.
func mixed(none, mean, variance float64) ahead {
	const least = 1e-12
	none = steady.Round(min(none, 1-least))
	m := min(max(mean/(1-none), least), 1-least)
	v := (variance+float64(mean*mean))/(1-none) - float64(m*m)
	v = min(max(v, 1e-3*m*m*(1-m)), 0.99*m*(1-m))
	nu := m*(1-m)/v - 1
	return ahead{none: none, some: distuv.Beta{Alpha: m * nu, Beta: (1 - m) * nu}}
}

// pit is PIT of a share that failed.
func (x ahead) pit(failed, v float64) float64 {
	if x.counts != nil {
		return PIT(x.counts, int(math.Round(failed*float64(len(x.counts)-1))), v)
	}
	if failed <= 0 {
		return v * x.none
	}
	return x.atMost(failed)
}

// atMost is the probability that no more than a share fails.
func (x ahead) atMost(failed float64) float64 {
	if x.counts == nil {
		return x.none + float64((1-x.none)*millionths(x.some.CDF(failed)))
	}
	sum := 0.0
	for k, p := range x.counts {
		if float64(k) <= failed*float64(len(x.counts)-1)+1e-9 {
			sum += p
		}
	}
	return min(1, sum)
}

// interval is the central one at a level.
func (x ahead) interval(level float64) (low, high float64) {
	if x.counts != nil {
		low, high = sim.CountInterval(x.counts, level)
		n := float64(len(x.counts) - 1)
		return low / n, high / n
	}
	at := func(p float64) float64 {
		if p <= x.none {
			return 0
		}
		return x.quantile((p - x.none) / (1 - x.none))
	}
	return at((1 - level) / 2), at((1 + level) / 2)
}

// quantile of the beta distribution, by halving: processors agree on it to the
// last bit, as they do not on a root that is approached.
func (x ahead) quantile(p float64) float64 {
	low, high := 0.0, 1.0
	for range 22 {
		if mid := (low + high) / 2; x.some.CDF(mid) < p {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}

// millionths rounds a probability to where processors agree.
func millionths(p float64) float64 { return math.Round(p*1e6) / 1e6 }
