package near

import (
	"math"

	"tankodds/rainfall"
)

// pair is what two records' common years tell.
type pair struct {
	common int
	years  float64 // correlation of totals of years, 1 where it is not known
	months float64 // of months less their calendar month's mean
	spread float64 // Pitman–Morgan t
	a, b   float64 // means of the common years, mm
}

// leaning is how many common years the correlation of the years counts as much as
// that of their months.
const leaning = 10

// compare lays the common years of two records side by side. Whether years differ
// by as much at both is tested on pairs (Pitman 1939, Biometrika 31:9; Morgan 1939,
// Biometrika 31:13: from memory, unverified): the sum and the difference of two
// numbers are uncorrelated where their variances are equal.
func compare(a, b *rainfall.Years) pair {
	at := make(map[int]int, b.Len())
	for k, label := range b.Label {
		at[label] = k
	}
	var ta, tb []float64
	var ma, mb [12][]float64
	for i, label := range a.Label {
		k, ok := at[label]
		if !ok {
			continue
		}
		sa, sb := monthly(a, i), monthly(b, k)
		for m := range sa {
			ma[m], mb[m] = append(ma[m], sa[m]), append(mb[m], sb[m])
		}
		ta, tb = append(ta, a.Total(i)), append(tb, b.Total(k))
	}
	out := pair{common: len(ta), years: 1, months: math.NaN(), spread: math.NaN(), a: mean(ta), b: mean(tb)}
	if len(ta) < LeastCommon || !(out.a > 0) || !(out.b > 0) {
		return out
	}
	var products products
	for m := range ma {
		products.add(ma[m], mb[m])
	}
	out.months = products.correlation()
	n, years := float64(len(ta)), correlation(ta, tb)
	out.years = max(0, min(1, (float64(years*n)+float64(out.months*leaning))/(n+leaning)))
	sum, less := make([]float64, len(ta)), make([]float64, len(ta))
	for k := range ta {
		x, y := ta[k]/out.a, tb[k]/out.b
		sum[k], less[k] = x+y, x-y
	}
	if r := correlation(sum, less); math.Abs(r) < 1 {
		out.spread = r * math.Sqrt((n-2)/(1-float64(r*r)))
	} else if !math.IsNaN(r) {
		out.spread = math.Inf(int(r))
	}
	return out
}

// products are sums of squares and products about means.
type products struct{ aa, bb, ab float64 }

func (p *products) add(a, b []float64) {
	x, y := mean(a), mean(b)
	for k := range a {
		p.aa += float64((a[k] - x) * (a[k] - x))
		p.bb += float64((b[k] - y) * (b[k] - y))
		p.ab += float64((a[k] - x) * (b[k] - y))
	}
}

// correlation is 0 where one of them does not vary.
func (p *products) correlation() float64 {
	if p.aa <= 0 || p.bb <= 0 {
		return 0
	}
	return p.ab / math.Sqrt(float64(p.aa*p.bb))
}

func correlation(a, b []float64) float64 {
	var p products
	p.add(a, b)
	return p.correlation()
}

// monthly are the months' totals of year i, in the order of the water year.
func monthly(y *rainfall.Years, i int) (out [12]float64) {
	starts := rainfall.Calendar(y.Start).Starts()
	for m := range out {
		for _, x := range y.Rain[i][starts[m]:starts[m+1]] {
			out[m] += x
		}
	}
	return out
}

// regime is what share of a mean year's rain falls in each month, and how far that
// is off.
func regime(y *rainfall.Years) (share, off [12]float64) {
	all, n := mean(totals(y)), float64(y.Len())
	var square [12]float64
	for i := range y.Rain {
		for m, x := range monthly(y, i) {
			x /= all
			share[m] += x / n
			square[m] += float64(x*x) / n
		}
	}
	for m := range off {
		off[m] = math.Sqrt(max(0, square[m]-float64(share[m]*share[m])) / (n - 1))
	}
	return share, off
}

// shifted is the share of a year's rain that falls in other months at b than at a,
// and what of it chance alone would show.
func shifted(a, b *rainfall.Years) (share, chance float64) {
	x, dx := regime(a)
	y, dy := regime(b)
	for m := range x {
		share += float64(math.Abs(x[m]-y[m]) / 2)
		chance += float64(math.Sqrt((float64(dx[m]*dx[m])+float64(dy[m]*dy[m]))*2/math.Pi) / 2)
	}
	return share, chance
}

// wetDays are those of a year, its rain multiplied by a factor.
func wetDays(y *rainfall.Years, by float64) float64 {
	n := 0.0
	for _, rain := range y.Rain {
		for _, x := range rain {
			if float64(x*by) >= rainfall.WetDay {
				n++
			}
		}
	}
	return n / float64(y.Len())
}

func totals(y *rainfall.Years) []float64 {
	out := make([]float64, y.Len())
	for i := range out {
		out[i] = y.Total(i)
	}
	return out
}

func mean(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v
	}
	return sum / float64(len(x))
}
