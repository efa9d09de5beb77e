package sim

import (
	"math"
	"sort"

	"gonum.org/v1/gonum/stat/distuv"

	"tankodds/rainfall"
	"tankodds/sim/internal/store"
)

// Evidence is what a record is worth to a claim.
type Evidence struct {
	Usable int     // usable years
	Worth  float64 // years that do not depend on each other, less the one that goes into the mean
	// Gain is how many times as much they are worth to a claim of good years with what
	// neighbours lend, 0 where they lend nothing. Of days and of water they sharpen
	// what is stated and not its bounds: on real records narrower ones held less.
	Gain float64
}

// Weigh weighs a record. Where wet years follow wet ones it tells less than its
// length: L years whose totals have a lag-1 correlation r tell as much of a mean
// as L(1 − r)/(1 + r) that have none (Bayley & Hammersley 1946, Suppl. J. R.
// Stat. Soc. 8:184: from memory, unverified). A short record does not tell r.
// What it shows, less its bias of −(1 + 3r)/L (Kendall 1954, Biometrika 41:403:
// from memory, unverified), is believed as far as L goes beside doubtYears.
func Weigh(y *rainfall.Years) Evidence {
	n := float64(y.Len())
	total, mean := make([]float64, y.Len()), 0.0
	for i := range total {
		total[i] = y.Total(i)
		mean += total[i] / n
	}
	product, square := 0.0, 0.0
	for i, x := range total {
		square += float64((x - mean) * (x - mean))
		if i > 0 && y.Label[i] == y.Label[i-1]+1 {
			product += float64((x - mean) * (total[i-1] - mean))
		}
	}
	r := 0.0
	if square > 0 {
		r = product / square
		r = max(0, min(0.9, (float64(r*n)+1+float64(3*r))/(n+doubtYears)))
	}
	return Evidence{Usable: y.Len(), Worth: max(0, n-1) * (1 - r) / (1 + r)}
}

// With adds what neighbours lend.
func (e Evidence) With(near *rainfall.Lending) Evidence {
	if near.Lent() {
		e.Gain = near.Gain
	}
	return e
}

// Counts is how many usable years the record counts as where good years are asked
// for.
func (e Evidence) Counts(m Measure) int {
	if m == Annual && e.Gain > 0 {
		return int(float64(e.Usable) * e.Gain)
	}
	return e.Usable
}

// doubtYears is the length of a record whose own correlation from year to year
// is believed by half.
const doubtYears = 100

// What a year of record is worth to the claim for each measure. A generator
// smooths: it knows the share of good years better than counting them would, and
// the depth of the years that fail less well than their number. Chosen on the
// climates of package known, so that the bounds hold what they say; real records
// that nobody chose by agree (see DEVELOPERS.md).
var yearWorth = [3]float64{Annual: 1.2, Time: 0.7, Volume: 0.7}

// Weights are what all tanks of a row have in common: how short years go
// together there, and what a short year that the record did not show would be.
type Weights struct {
	years     [3]float64 // n by Measure
	synthetic float64
	// cluster is φ ≥ 1: the variance of the number of short years in a trace
	// over that of independent years (the design effect of Kish 1965, Survey
	// Sampling). A tank that carries water over has its short years in
	// clusters, and clusters are what is counted. It is the mean over the sizes
	// with which few years are short: of one size it would hang on a handful of
	// failures.
	cluster float64
	rare    [3]float64 // a share of short years, below which the record tells nothing of their depth
	depth   [3]float64 // d there
	first   [3]float64 // the first parameter of the claim there, as far as short years were seen
	shape   [3]float64 // w there
	level   float64    // of the bounds
	steps   [3][]Claim // at the ladder, seen from 0 on, rising
	// caution is how much of a short year not seen lowers the share that a target
	// is held against: all of it, as of what is stated, but where the record is so
	// short that no tank could be said to meet the target. The size for a target
	// so changes smoothly with the length of the record.
	caution float64
	shows   int // usable years that would, as independent as those there are
}

// Weights returns what the claims of row i have in common, their bounds at a
// level. Without a ladder they are good for the annual measure alone.
func (s *Totals) Weights(i int, level float64) *Weights {
	needs := s.sorted(i)
	w := &Weights{synthetic: float64(s.years), cluster: s.cluster(i, needs), caution: 1, level: level}
	for m, worth := range yearWorth {
		n := float64(worth * s.Evidence.Worth)
		if Measure(m) == Annual && s.Gain > 0 {
			n = float64(n * s.Gain)
		}
		// Both errors, the record's and the smaller one of the simulation.
		w.years[m] = n * w.synthetic / (w.synthetic + n) / w.cluster
		w.depth[m], w.shape[m] = 1, 1
	}
	ladder := s.rows[i].Ladder
	if len(ladder) < 2 {
		return w
	}
	for m := Time; m <= Volume; m++ {
		w.rare[m] = min(0.5, rareYears/w.years[m])
		x := s.between(m, i, ranked(needs, 1-w.rare[m]))
		w.depth[m] = max(leastDepth, min(1, (1-x.value)/w.rare[m]))
		if x.tells() {
			w.first[m] = w.failed(m, x)
			w.shape[m] = min(1, w.first[m]/(w.rare[m]*w.years[m]))
		}
		if w.years[m] > 0 {
			w.climb(m, s, i, ladder)
		}
	}
	return w
}

// climb reads the claims of a measure at the steps of a ladder. What chance in
// the synthetic years makes dip from one step to the next is levelled, half-way
// between the largest so far and the smallest to come.
func (w *Weights) climb(m Measure, s *Totals, i int, ladder []int) {
	never := Claim{short: 1, good: 1e-9, cluster: w.cluster}
	steps := []Claim{never}
	for _, k := range ladder {
		c := w.own(m, s.of(m, i, k), s.of(Annual, i, k).value)
		if c.seen > steps[len(steps)-1].seen {
			c.bounded(w.level)
			steps = append(steps, c)
		}
	}
	for _, of := range []func(c *Claim) *float64{
		func(c *Claim) *float64 { return &c.Estimate }, func(c *Claim) *float64 { return &c.Low }, func(c *Claim) *float64 { return &c.High },
	} {
		least, most := make([]float64, len(steps)), 0.0
		for k := len(steps) - 1; k >= 0; k-- {
			least[k] = *of(&steps[k])
			if k+1 < len(steps) {
				least[k] = min(least[k], least[k+1])
			}
		}
		for k := range steps {
			x := of(&steps[k])
			most = max(most, *x)
			*x = (most + least[k]) / 2
		}
	}
	w.steps[m] = steps
}

// leastDepth is the least share of its days or its water that a short year which
// the record did not show is taken to lack: 18 days. A record that happened to
// hold mild ones alone tells of no others (chosen with yearWorth).
const leastDepth = 0.05

// rareYears is how many of the years of the record are short with a tank that
// the record tells no more of.
const rareYears = 0.5

// tells says whether a share tells how deep short years are: what is less than the
// last digits of a sum is rounding.
func (x share) tells() bool { return x.variance > 0 && x.value > 0 && 1-x.value > 1e-13 }

// failed is the first parameter of the claim as far as short years were seen.
func (w *Weights) failed(m Measure, x share) float64 {
	f := 1 - x.value
	return float64(f*f) * x.value / w.variance(m, x)
}

// variance is that of a mean over a record's years, of which the synthetic ones
// gave a share: how far the record may be from the truth.
func (w *Weights) variance(m Measure, x share) float64 {
	return x.variance * w.synthetic / (w.years[m] * w.cluster)
}

// claim makes the claim of a tank that has a measure x, good being its share of
// good years.
func (w *Weights) claim(m Measure, x share, good float64) Claim {
	steps := w.steps[m]
	if len(steps) < 2 {
		c := w.own(m, x, good)
		c.bounded(w.level)
		return w.heeding(m, c)
	}
	k := min(sort.Search(len(steps), func(k int) bool { return steps[k].seen >= x.value }), len(steps)-1)
	c := steps[k]
	if x.value < c.seen { // straight from step to step
		from, t := steps[k-1], (x.value-steps[k-1].seen)/(c.seen-steps[k-1].seen)
		for _, of := range [][2]*float64{
			{&c.Estimate, &from.Estimate}, {&c.Low, &from.Low}, {&c.High, &from.High}, {&c.short, &from.short}, {&c.good, &from.good},
		} {
			*of[0] = *of[1] + float64(t*(*of[0]-*of[1]))
		}
	}
	c.seen = x.value
	c.Estimate = min(c.seen, c.Estimate)
	c.Low, c.High = min(c.Low, c.Estimate), max(c.High, c.Estimate)
	return w.heeding(m, c)
}

// own is the claim that a tank's own share makes, without bounds.
func (w *Weights) own(m Measure, x share, good float64) Claim {
	c, n := Claim{seen: x.value, cluster: w.cluster}, w.years[m]
	f := 1 - x.value
	if m == Annual || n == 0 {
		c.short, c.good = float64(f*n)+0.5, float64(x.value*n)+0.5
		if c.Estimate = x.value; n > 0 {
			c.Estimate = min(x.value, 1-c.short/(n+1))
		}
		return c
	}
	q := 1 - good
	depth, first, shape := w.depth[m], 0.0, w.shape[m]
	if q <= w.rare[m] {
		first = w.first[m] * q / w.rare[m]
	} else {
		depth = max(leastDepth, min(1, f/q))
		if x.tells() {
			first = w.failed(m, x)
			shape = min(1, first/(q*n))
		}
	}
	mean := min((float64(f*n)+depth)/(n+1), 1-1e-9) // a beta distribution wants both parameters
	c.short = first + shape
	c.good = c.short * (1 - mean) / mean
	c.Estimate = min(x.value, 1-mean)
	return c
}

// heeding fills in what a target is held against.
func (w *Weights) heeding(m Measure, c Claim) Claim {
	n := w.years[m]
	if c.held = c.seen; n > 0 {
		// What is stated leaves (n·seen + what the year added holds)/(n + 1).
		added := float64(c.Estimate*(n+1)) - float64(c.seen*n)
		c.held = min(c.seen, (float64(c.seen*n)+float64(w.caution*added))/(n+w.caution))
	}
	return c
}

// shown says whether a record of so much worth in which nothing failed shows a
// target: whether the lower bound of its claim meets it.
func (w *Weights) shown(m Measure, worth, target float64) bool {
	other := *w
	other.years[m] = float64(yearWorth[m]*worth) / w.cluster
	c := other.own(m, share{value: 1}, 1)
	return c.Estimate >= target && distuv.Beta{Alpha: c.good, Beta: c.short}.CDF(target) <= (1-w.level)/2
}

// need is the worth of the least record of which the claim would meet the
// target, had nothing failed in it.
func (w *Weights) need(m Measure, target float64) float64 {
	low, high := 0.0, 1.0
	for high < mostWorth && !w.shown(m, high, target) {
		high *= 2
	}
	for range 40 {
		if mid := (low + high) / 2; w.shown(m, mid, target) {
			high = mid
		} else {
			low = mid
		}
	}
	return high
}

const mostWorth = 1e6 // years

// YearsToShow returns how many usable years, all of them good and none dependent
// on another, a record needs before it shows a share of good years of at least
// target, above 0 and below 1: the lower bound of the claim meets it then, at
// DefaultLevel. A shorter record cannot carry the claim, whatever it holds.
func YearsToShow(target float64) int {
	w := &Weights{cluster: 1, level: DefaultLevel}
	w.Heed(Annual, target, Evidence{})
	return w.shows
}

// Heed makes what a target is held against, and how many years would show it,
// heed the target and the record.
func (w *Weights) Heed(m Measure, target float64, have Evidence) *Weights {
	need, each := w.need(m, target), 1.0
	if have.Usable > 1 {
		each = have.Worth / float64(have.Usable-1)
	}
	fails := w.depth[m]
	if m == Annual {
		fails = 0.5
	}
	// The largest caution with which a tank that never fails would be half-way
	// from the target to 1.
	if half := (1 - target) / 2; fails > half {
		w.caution = min(1, w.years[m]*half/(fails-half))
	}
	w.shows = max(FewYears, 1+int(math.Ceil(need/each-1e-6)))
	return w
}

// Shows says whether a record is long enough to show the target heeded.
func (w *Weights) Shows(m Measure, have Evidence) bool { return have.Counts(m) >= w.shows }

// cluster pools φ over the sizes that a twentieth to a quarter of the years need
// more than.
func (s *Totals) cluster(i int, needs []int64) float64 {
	sum, n := 0.0, 0.0
	for percent := 76; percent < 97; percent += 2 {
		size := ranked(needs, float64(percent)/100)
		if x := s.goodAt(i, min(size, store.Most)); size <= store.Most && x.value > 0 && x.value < 1 {
			sum += x.variance * float64(s.years) / (x.value * (1 - x.value))
			n++
		}
	}
	if n == 0 {
		return 1
	}
	return max(1, sum/n)
}

// ranked is the least of rising needs that a share of them is not above.
func ranked(needs []int64, share float64) int64 {
	k := int(math.Ceil(share*float64(len(needs)))) - 1
	return needs[min(max(0, k), len(needs)-1)]
}

// between reads a measure of row i at a usable size, units, straight between two
// of its ladder.
func (s *Totals) between(m Measure, i int, size int64) share {
	at, rungs := s.rows[i].Sizes.index.At, s.rows[i].Ladder
	k := min(max(1, sort.Search(len(rungs), func(k int) bool { return at[rungs[k]] >= size })), len(rungs)-1)
	low, high := at[rungs[k-1]], at[rungs[k]]
	a, b := s.of(m, i, rungs[k-1]), s.of(m, i, rungs[k])
	t := min(1, max(0, float64(size-low)/float64(high-low)))
	return share{a.value + float64(t*(b.value-a.value)), a.variance + float64(t*(b.variance-a.variance))}
}
