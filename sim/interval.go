package sim

import (
	"math"
	"sync"

	"gonum.org/v1/gonum/stat/distuv"
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
	p, z := k/n, normalQuantile(level)
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

// ClopperPearson returns the interval that never covers less than its level
// (Clopper & Pearson 1934, Biometrika 26:404), with arguments as Wilson takes
// them. It is wider than needed; where a claim must not be too bold, it is
// the one to take.
func ClopperPearson(k, n, level float64) Interval {
	if !(n > 0) {
		return Interval{math.NaN(), 0, 1}
	}
	out := Interval{k / n, 0, 1}
	tail := (1 - level) / 2
	if k > 0 {
		out.Low = distuv.Beta{Alpha: k, Beta: n - k + 1}.Quantile(tail)
	}
	if k < n {
		out.High = distuv.Beta{Alpha: k + 1, Beta: n - k}.Quantile(1 - tail)
	}
	return out
}

// EffectiveYears returns how many independent years tell as much about the
// share of good years as years[i] consecutive years in each trace i, good[i]
// of them good. The years of a trace share a tank that carries water over, so
// they are one cluster; the share's variance is taken between traces and
//
//	n = p(1−p)/variance · (z/t)²,  at most Σ years
//
// where t has one degree of freedom less than there are traces (Korn &
// Graubard 1998, Survey Methodology 24:193, from memory, unverified). Where
// the variance cannot be seen (one trace, or all years alike) it is Σ years.
func EffectiveYears(good, years []float64, level float64) float64 {
	p, variance, total := ratio(good, years)
	if !(variance > 0) {
		return total
	}
	shrink := normalQuantile(level) / studentQuantile(level, len(good)-1)
	return min(total, p*(1-p)/variance*shrink*shrink)
}

// Clustered returns method's interval (Wilson or ClopperPearson) for the
// share of good years, counting EffectiveYears in place of the years.
func Clustered(method func(k, n, level float64) Interval, good, years []float64, level float64) Interval {
	k, total := sums(good, years)
	n := EffectiveYears(good, years, level)
	out := method(k/total*n, n, level)
	out.Estimate = k / total
	return out
}

// Ratio returns the interval of Σ part / Σ whole over independent traces, such
// as water supplied over water wanted, by the ratio estimator's linearised
// variance and Student's t (Cochran 1977, Sampling Techniques, from memory,
// unverified), cut to 0 … 1. With one trace it is 0 to 1.
func Ratio(part, whole []float64, level float64) Interval {
	p, variance, _ := ratio(part, whole)
	if len(part) < 2 || math.IsNaN(p) {
		return Interval{p, 0, 1}
	}
	half := float64(studentQuantile(level, len(part)-1) * math.Sqrt(variance))
	return Interval{p, max(0, p-half), min(1, p+half)}
}

// ratio returns Σa/Σb, the variance of that ratio between the pairs, and Σb.
func ratio(a, b []float64) (p, variance, total float64) {
	sum, total := sums(a, b)
	p = sum / total
	if len(a) < 2 || total == 0 {
		return p, 0, total
	}
	squares := 0.0
	for i := range a {
		e := a[i] - float64(p*b[i])
		squares += float64(e * e)
	}
	m := float64(len(a))
	return p, m / (m - 1) * squares / (total * total), total
}

func sums(a, b []float64) (sa, sb float64) {
	for i := range a {
		sa += a[i]
		sb += b[i]
	}
	return sa, sb
}

// YearsToShow returns how many years, all of them good, a record needs before
// it shows a share of good years of at least target with the given
// confidence, both above 0 and below 1: the smallest n with
// targetⁿ ≤ 1 − confidence (Wilks 1941, Ann. Math. Stat. 12:91). A shorter
// record cannot carry the claim, whatever it holds.
func YearsToShow(target, confidence float64) int {
	n := math.Log(1-confidence) / math.Log(target)
	return max(1, int(math.Ceil(n-1e-9))) // 0.5 and 0.75 are 2 years, not 3 by rounding
}

// FailureBound returns the greatest yearly chance of failure, 0 to 1, that n
// good years and no other leave possible at a confidence above 0 and below 1:
// 1 − (1 − confidence)^(1/n), near 3/n for 95 % (the rule of three; Hanley &
// Lippman-Hand 1983, from memory, unverified). For no years it is 1.
func FailureBound(n int, confidence float64) float64 {
	if n <= 0 {
		return 1
	}
	return 1 - steady(math.Pow(1-confidence, 1/float64(n)))
}

// normalQuantile returns z of a two-sided level: 1.96 of 0.95.
func normalQuantile(level float64) float64 { return studentQuantile(level, 0) }

// studentQuantile returns t of a two-sided level; z for freedom 0. Every cell
// of a grid asks for the same few, and each costs a search: they are kept.
func studentQuantile(level float64, freedom int) float64 {
	key := quantileOf{level, freedom}
	if t, ok := quantiles.Load(key); ok {
		return t.(float64)
	}
	t := 0.0
	if freedom == 0 {
		t = steady(distuv.UnitNormal.Quantile((1 + level) / 2))
	} else {
		t = steady(distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(freedom)}.Quantile((1 + level) / 2))
	}
	quantiles.Store(key, t)
	return t
}

type quantileOf struct {
	level   float64
	freedom int
}

var quantiles sync.Map // quantileOf → float64
