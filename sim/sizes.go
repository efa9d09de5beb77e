package sim

import (
	"math"
	"slices"

	"tankodds/rainfall"
	"tankodds/sim/internal/steady"
	"tankodds/sim/internal/store"
)

// Sizes is a rising list of tanks to look at.
type Sizes struct {
	Nominal []float64 // L
	index   *store.Sizes
}

// NewSizes returns the tanks of nominal sizes, L, in any order, once each.
func (s *Study) NewSizes(nominal []float64, more ...float64) *Sizes {
	out := &Sizes{Nominal: slices.Concat(nominal, more)}
	slices.Sort(out.Nominal)
	out.Nominal = slices.Compact(out.Nominal)
	usable := make([]int64, len(out.Nominal))
	for k, x := range out.Nominal {
		usable[k] = s.usable(x)
	}
	out.index = store.NewSizes(usable)
	return out
}

// Has says whether a nominal size is one of them.
func (z *Sizes) Has(nominal float64) bool {
	_, ok := slices.BinarySearch(z.Nominal, nominal)
	return ok
}

// At is the index of a nominal size that is one of them.
func (z *Sizes) At(nominal float64) int {
	k, _ := slices.BinarySearch(z.Nominal, nominal)
	return k
}

// len is their number, 0 of none.
func (z *Sizes) len() int {
	if z == nil {
		return 0
	}
	return len(z.Nominal)
}

// Ladder lists nominal sizes, L, from a day of mean use to so many years of it, a
// ratio apart.
func (s *Study) Ladder(years, ratio float64) (out []float64) {
	day := MeanDemand(s.Uses)
	for x := day; x <= years*rainfall.DaysPerYear*day; x *= ratio {
		out = append(out, steady.Round(x))
	}
	return out
}

// Places lists the indices of nominal sizes that are some of them.
func (z *Sizes) Places(nominal []float64) []int {
	out := make([]int, len(nominal))
	for k, x := range nominal {
		out[k] = z.At(x)
	}
	return out
}

// Where rungs begin and end, in days of mean use: no tank is that small, and
// the longest trace wants no more.
const (
	leastDays = 0.01
	mostDays  = (RunIn + TraceYears) * 365
)

// rungs lists the nominal sizes, L, that an answer may be: all numbers of three
// digits in the reader's unit of volume that hold from leastDays to mostDays of
// mean use. What is printed is so what was simulated.
func (s *Study) rungs() []float64 {
	day := MeanDemand(s.Uses)
	low, high := leastDays*day/s.Unit, s.Under.nominal(mostDays*day, 0)/s.Unit
	var out []float64
	for e := int(math.Floor(math.Log10(low))) - 2; ; e++ {
		for n := 100; n < 1000; n++ {
			x := threeDigits(n, e)
			if x > high {
				return out
			}
			if size := float64(x * s.Unit); x >= low && (s.usable(size) > 0 || s.Under == Under{}) && s.usable(size) < store.Most {
				out = append(out, size)
			}
		}
	}
}

// threeDigits is n·10ᵉ as it is read from its digits.
func threeDigits(n, e int) float64 {
	if e < 0 {
		return float64(n) / math.Pow10(-e)
	}
	return float64(n) * math.Pow10(e)
}

// usable is Usable in whole units.
func (s *Study) usable(nominal float64) int64 { return store.Units(s.Usable(nominal)) }
