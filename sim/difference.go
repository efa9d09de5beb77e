package sim

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"tankodds/sim/internal/steady"
)

// Gauged is what a record lets be said of one site, to be held against another
// record's.
type Gauged struct {
	Size  Interval // of the size for the target, L; a bound or all of it NaN where not known
	Share Interval // of the measure at a size that is the same for both
	Years []Year   // the usable years of the record
}

// Year is a year of a record: calendar year in which it begins, and how dry it was by
// some number that rises with dryness, such as the tank that it needed, L.
type Year struct {
	Year  int
	Needs float64
}

// Difference is how far two records' answers lie apart. What is not known is NaN.
type Difference struct {
	Ratio    Interval `key:"size_ratio" doc:"the second's size for the target over the first's"`
	Share    Interval `key:"share_difference" doc:"the second's share of the measure, at the same tank, less the first's"`
	Years    int      `key:"common_years" doc:"usable years that both have"`
	Together float64  `key:"correlation" doc:"by which these years' needs go together (Spearman), null where fewer than 5 or all alike"`
	Sizes    Verdict  `key:"sizes" doc:"larger, smaller or cannot-tell: the second's size beside the first's; empty where one has none"`
	Shares   Verdict  `key:"shares" doc:"larger, smaller or cannot-tell: the second's share beside the first's"`
}

// Verdict says on which side of nothing an interval lies.
type Verdict string

const (
	CannotTell Verdict = "cannot-tell"
	Larger     Verdict = "larger"
	Smaller    Verdict = "smaller"
)

// LeastCommonYears is the fewest common years that a correlation is read from.
const LeastCommonYears = 5

// Differ holds a second record's answer against a first's. share is the target, as a
// share of years where annual says so.
//
// Two intervals that overlap may be of answers that differ, and the years that both
// records have err the same way. The interval of a difference is recovered from the
// two intervals and the correlation r of their errors (method of variance estimates
// recovery: Zou & Donner 2008, Stat. Med. 27:1693, as later papers quote it):
//
//	lower = b − a − √((b − lowB)² + (highA − a)² − 2r·(b − lowB)·(highA − a))
//
// and the upper the same with the other ends; sizes by their logarithms. Of n1 and n2
// years c are common. If a year's failing at one goes with its failing at the other by
// f, the errors of the two shares go together by r = f·c/√(n1·n2), the rest being
// independent. Few failures tell little of f: it follows from how the years' needs go
// together by rank, taken as of two normal variables, less one standard error of that.
func Differ(a, b Gauged, share float64, annual bool) Difference {
	out := Difference{}
	rho, common := pairedYears(a.Years, b.Years)
	out.Years, out.Together = common, rho
	if rho == 0 {
		out.Together = math.NaN()
	}
	if common > 0 {
		rho = max(0, rho-1/math.Sqrt(float64(common-1)))
	}
	rho = 2 * math.Sin(math.Pi/6*rho) // of normal variables, by that of their ranks
	overlap := float64(common) / math.Sqrt(float64(max(1, len(a.Years))*max(1, len(b.Years))))
	of := func(p, q float64) float64 {
		if !annual {
			return rho * overlap
		}
		return failTogether(1-p, 1-q, rho) * overlap
	}
	out.Ratio = apart(logs(a.Size), logs(b.Size), of(share, share))
	for _, x := range []*float64{&out.Ratio.Estimate, &out.Ratio.Low, &out.Ratio.High} {
		*x = math.Exp(*x)
	}
	out.Share = apart(a.Share, b.Share, of(a.Share.Estimate, b.Share.Estimate))
	for _, x := range []*float64{&out.Ratio.Estimate, &out.Ratio.Low, &out.Ratio.High, &out.Share.Estimate, &out.Share.Low, &out.Share.High, &out.Together} {
		*x = steady.Round(*x) // a logarithm's last bit is a processor's own
	}
	if !math.IsNaN(out.Ratio.Estimate) {
		out.Sizes = verdict(out.Ratio, 1)
	}
	out.Shares = verdict(out.Share, 0)
	return out
}

// apart is the interval of b − a whose errors go together by r.
func apart(a, b Interval, r float64) Interval {
	d := func(x, y float64) float64 {
		return math.Sqrt(max(0, float64(x*x)+float64(y*y)-float64(2*r*float64(x*y))))
	}
	e := b.Estimate - a.Estimate
	return Interval{Estimate: e, Low: e - d(b.Estimate-b.Low, a.High-a.Estimate), High: e + d(b.High-b.Estimate, a.Estimate-a.Low)}
}

func logs(x Interval) Interval {
	return Interval{Estimate: math.Log(x.Estimate), Low: math.Log(x.Low), High: math.Log(x.High)}
}

func verdict(x Interval, nothing float64) Verdict {
	switch {
	case x.Low > nothing:
		return Larger
	case x.High < nothing:
		return Smaller
	}
	return CannotTell
}

// pairedYears is by how much the years that two records have go together: Spearman's
// correlation of their needs, and how many they are.
func pairedYears(a, b []Year) (rho float64, common int) {
	var x, y []float64
	at := map[int]float64{}
	for _, v := range a {
		at[v.Year] = v.Needs
	}
	for _, v := range b {
		if is, ok := at[v.Year]; ok {
			x, y = append(x, is), append(y, v.Needs)
		}
	}
	if len(x) < LeastCommonYears {
		return 0, len(x)
	}
	if rho = RankCorrelation(x, y); math.IsNaN(rho) {
		rho = 0
	}
	return rho, len(x)
}

// RankCorrelation is Spearman's, of equal values the mean of their ranks; NaN where
// the values of one are all alike.
func RankCorrelation(x, y []float64) float64 { return stat.Correlation(ranksOf(x), ranksOf(y), nil) }

// ranksOf are the ranks of values, the mean of them for equal ones.
func ranksOf(x []float64) []float64 {
	order := make([]int, len(x))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int {
		switch {
		case x[i] < x[j]:
			return -1
		case x[i] > x[j]:
			return 1
		}
		return 0
	})
	out := make([]float64, len(x))
	for from := 0; from < len(order); {
		to := from + 1
		for to < len(order) && x[order[to]] == x[order[from]] {
			to++
		}
		for k := from; k < to; k++ {
			out[order[k]] = float64(from+to-1) / 2
		}
		from = to
	}
	return out
}

// failTogether is the correlation of two events of chances p and q that come where two
// normal variables of correlation rho lie below a bound: the integral of their density
// at the bounds from 0 to rho (Sheppard 1899, from memory, unverified).
func failTogether(p, q, rho float64) float64 {
	if !(p > 0 && p < 1 && q > 0 && q < 1) || rho <= 0 {
		return 0
	}
	h, k := distuv.UnitNormal.Quantile(p), distuv.UnitNormal.Quantile(q)
	const steps = 64 // of the middle of each; the density is smooth but for rho of 1
	sum := 0.0
	for i := range steps {
		// In the sine of the correlation, where it is smooth at 1 too.
		t := math.Asin(rho) * (float64(i) + 0.5) / steps
		s, c := math.Sincos(t)
		sum += math.Exp(-(float64(h*h) + float64(k*k) - float64(2*float64(h*k)*s)) / (2 * c * c))
	}
	sum *= math.Asin(rho) / steps / (2 * math.Pi)
	return min(1, sum/math.Sqrt(p*(1-p)*q*(1-q)))
}
