package rainfall

import (
	"fmt"
	"math"
	"math/rand/v2"
	"sort"
)

// Guided joins blocks of days from different years of the same season under a
// guide. Each synthetic year follows one year of the record, drawn evenly: at
// each block the rain comes, for a geometric number of days with mean
// blockDays (the stationary bootstrap of Politis & Romano 1994), from one of
// the years nearest to the guide. Nearness is the difference of the rain of
// the guideDays around that day of the year, and the k-th nearest of K is
// drawn with weight 1/k (Lall & Sharma 1996, K = ceil(sqrt N)). Wet years are
// so made of wet seasons and dry of dry: the spread between years survives,
// which plain blocks lose (the overdispersion of Katz & Parlange 1998), and
// still no synthetic year need be one of the record's.
//
// The guide itself is ours; its papers are named for its parts.
func Guided() Generator {
	return Generator{
		Name:   "guided",
		What:   "blocks of days from years like a guide year, same season",
		Source: "blocks: Politis & Romano 1994; nearest years: Lall & Sharma 1996",
		Fit:    fitGuided,
	}
}

const (
	blockDays = 30.0 // mean block, days
	guideDays = 91   // the season a year is judged by, days, centred
)

type guided struct {
	rain [][]float64
	// near[g*DaysPerYear+d] lists the K years nearest to year g about day d
	near   []int16
	k      int
	cum    []float64 // cumulative weights of the K, ending at 1
	length geometric // of a block, days
}

func fitGuided(y *Years) (Sampler, error) {
	n := y.Len()
	if n == 0 {
		return nil, fmt.Errorf("no usable water year to draw blocks from")
	}
	if n > math.MaxInt16 {
		return nil, fmt.Errorf("%d water years are more than the guided generator holds (%d)", n, math.MaxInt16)
	}
	k := int(math.Ceil(math.Sqrt(float64(n))))
	s := &guided{rain: y.Rain, k: k, cum: rankWeights(k), length: newGeometric(blockDays, DaysPerYear)}
	season := make([][]float64, n)
	for i := range season {
		season[i] = centredSums(y.Rain[i], guideDays)
	}
	s.near = make([]int16, n*DaysPerYear*k)
	order := make([]int, n)
	for d := range DaysPerYear {
		for i := range order {
			order[i] = i
		}
		sort.SliceStable(order, func(a, b int) bool { return season[order[a]][d] < season[order[b]][d] })
		for at, g := range order {
			nearest(s.near[(g*DaysPerYear+d)*k:][:k], order, at, func(i int) float64 {
				return math.Abs(season[i][d] - season[g][d])
			})
		}
	}
	return s, nil
}

// rankWeights returns the cumulative weights of ranks 1..k, each in
// proportion to 1/rank (Lall & Sharma 1996, Water Resour. Res. 32:679).
func rankWeights(k int) []float64 {
	cum := make([]float64, k)
	sum := 0.0
	for j := range cum {
		sum += 1 / float64(j+1)
		cum[j] = sum
	}
	for j := range cum {
		cum[j] /= sum
	}
	return cum
}

// nearest fills dst with the len(dst) members of order, which is sorted by
// the quantity compared, nearest to order[at], itself first.
func nearest(dst []int16, order []int, at int, distance func(int) float64) {
	dst[0] = int16(order[at])
	lo, hi := at-1, at+1
	for j := 1; j < len(dst); j++ {
		if hi >= len(order) || lo >= 0 && distance(order[lo]) <= distance(order[hi]) {
			dst[j] = int16(order[lo])
			lo--
		} else {
			dst[j] = int16(order[hi])
			hi++
		}
	}
}

// centredSums returns, for each day of a year, the rain of the width days
// about it, the year taken as a ring.
func centredSums(rain []float64, width int) []float64 {
	n := len(rain)
	out := make([]float64, n)
	for d := range out {
		sum := 0.0
		for j := -width / 2; j <= width/2; j++ {
			sum += rain[(d+j+n)%n]
		}
		out[d] = sum
	}
	return out
}

func (s *guided) Sample(dst []float64, rng *rand.Rand) {
	n := len(s.rain)
	for at := 0; at < len(dst); at += DaysPerYear {
		guide := rng.IntN(n)
		for d := 0; d < DaysPerYear; {
			row := s.near[(guide*DaysPerYear+d)*s.k:][:s.k]
			u := rng.Float64()
			j := 0
			for s.cum[j] < u {
				j++
			}
			source := int(row[j])
			end := min(d+s.length.draw(rng), DaysPerYear)
			copy(dst[at+d:at+end], s.rain[source][d:end])
			d = end
		}
	}
}

// Parameters returns the block length, the guiding season and K.
func (s *guided) Parameters() []Parameter {
	return []Parameter{
		{"mean block", blockDays, "days"},
		{"guiding season", guideDays, "days"},
		{"nearest years", float64(s.k), ""},
	}
}

// geometric draws lengths 1, 2, … max with P(length > l) = (1 − 1/mean)^l, cut
// at max. It holds the probabilities in a table: no logarithm, whose last bit
// may differ between processors, stands between a seed and its trace.
type geometric []float64 // geometric[l] = P(length > l)

func newGeometric(mean float64, max int) geometric {
	g := make(geometric, max+1)
	g[0] = 1
	for l := 1; l <= max; l++ {
		g[l] = g[l-1] * (1 - 1/mean)
	}
	return g
}

func (g geometric) draw(rng *rand.Rand) int {
	u := rng.Float64()
	lo, hi := 1, len(g)-1 // the smallest l ≥ 1 with P(length > l) ≤ u, or max
	for lo < hi {
		if mid := (lo + hi) / 2; g[mid] <= u {
			hi = mid
		} else {
			lo = mid + 1
		}
	}
	return lo
}
