package sim

import (
	"math"
	"sync"

	"gonum.org/v1/gonum/stat/distuv"

	"tankodds/sim/internal/steady"
)

// Wilson returns the score interval (Wilson 1927, J. Am. Stat. Assoc. 22:209)
// for a share of which k of n independent trials were seen, at a two-sided
// level such as 0.9. Neither k nor n need be whole; 0 ≤ k ≤ n. With n = 0 it
// is 0 to 1 and the estimate is NaN.
//
//	centre (p + z²/2n)/(1 + z²/n),  half width z·sqrt(p(1−p)/n + z²/4n²)/(1 + z²/n)
func Wilson(k, n, level float64) Interval {
	if !(n > 0) {
		return Interval{math.NaN(), 0, 1}
	}
	p, z := k/n, studentQuantile(level, 0)
	a := z * z / n
	centre := (p + a/2) / (1 + a)
	half := float64(z / (1 + a) * math.Sqrt(float64(p*(1-p))/n+float64(a/4)/n))
	out := Interval{p, max(0, centre-half), min(1, centre+half)}
	if k == 0 {
		out.Low = 0 // what rounding leaves of centre − half
	}
	if k == n {
		out.High = 1
	}
	return out
}

// FailureBound returns the greatest yearly chance of failure, 0 to 1, that n
// good years and no other leave possible at a confidence above 0 and below 1:
// 1 − (1 − confidence)^(1/n), near 3/n for 95 % (the rule of three; Hanley &
// Lippman-Hand 1983, from memory, unverified). For no years it is 1.
func FailureBound(n int, confidence float64) float64 {
	if n <= 0 {
		return 1
	}
	return 1 - steady.Round(math.Pow(1-confidence, 1/float64(n)))
}

// studentQuantile returns t of a two-sided level, 1.96 of 0.95 for freedom 0,
// which stands for no end of it. Every cell
// of a grid asks for the same few, and each costs a search: they are kept.
func studentQuantile(level float64, freedom int) float64 {
	key := quantileOf{level, freedom}
	if t, ok := quantiles.Load(key); ok {
		return t.(float64)
	}
	t := 0.0
	if freedom == 0 {
		t = steady.Round(distuv.UnitNormal.Quantile((1 + level) / 2))
	} else {
		t = steady.Round(distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(freedom)}.Quantile((1 + level) / 2))
	}
	quantiles.Store(key, t)
	return t
}

type quantileOf struct {
	level   float64
	freedom int
}

var quantiles sync.Map // quantileOf → float64
