package gen

import (
	"fmt"
	"math"
	"math/rand/v2"
	"time"

	"tankodds/rainfall"
)

// history is what the generators that join days of different years read: the
// years of a record, which follows which, and sums of rain over any days before
// a date.
type history struct {
	start time.Month
	rain  [][]float64 // [year] DaysPerYear depths, mm
	prev  []int32     // [year] the year before it in time, -1 where the record lacks it
	next  []int32     // [year] the year after it, -1 likewise
	first []int32     // the years whose year before is lacking
	sum   [][]float64 // [year][d] rain of its first d days, mm; DaysPerYear + 1 long
	mean  []float64   // sum of the average year
}

// fromHistory makes a fit to years of one to their history.
func fromHistory(fit func(*history) Sampler) func(*rainfall.Years) (Sampler, error) {
	return func(y *rainfall.Years) (Sampler, error) {
		h, err := newHistory(y)
		if err != nil {
			return nil, err
		}
		return fit(h), nil
	}
}

func newHistory(y *rainfall.Years) (*history, error) {
	if y.Len() == 0 {
		return nil, fmt.Errorf("no usable water year to learn from")
	}
	h := &history{start: y.Start, rain: y.Rain, mean: make([]float64, rainfall.DaysPerYear+1)}
	labelled := make(map[int]int32, y.Len())
	share := 1 / float64(y.Len())
	for k, rain := range y.Rain {
		labelled[y.Label[k]] = int32(k)
		sum := make([]float64, rainfall.DaysPerYear+1)
		for d, x := range rain {
			sum[d+1] = sum[d] + x
		}
		h.sum, h.prev, h.next = append(h.sum, sum), append(h.prev, -1), append(h.next, -1)
		for d, s := range sum {
			h.mean[d] += float64(share * s)
		}
	}
	for k, label := range y.Label {
		if b, ok := labelled[label-1]; ok {
			h.prev[k], h.next[b] = b, int32(k)
		}
	}
	for k, b := range h.prev {
		if b < 0 {
			h.first = append(h.first, int32(k))
		}
	}
	return h, nil
}

// any draws a year, each with the same chance.
func (h *history) any(rng *rand.Rand) int32 { return int32(rng.IntN(len(h.rain))) }

// past returns the rain of the w days before day d of a year, mm; 0 ≤ w ≤
// DaysPerYear. Days of a year before that the record lacks are taken as
// average.
func (h *history) past(year int32, d, w int) float64 {
	sum := h.sum[year]
	if w <= d {
		return sum[d] - sum[d-w]
	}
	last := h.lastYear(year)
	return sum[d] + (last[rainfall.DaysPerYear] - last[rainfall.DaysPerYear-(w-d)])
}

// lastYear returns the running sum of the year before, the average year's
// where the record lacks it.
func (h *history) lastYear(year int32) []float64 {
	if b := h.prev[year]; b >= 0 {
		return h.sum[b]
	}
	return h.mean
}

// hundredths returns a depth in whole hundredths of a millimetre.
func hundredths(mm float64) float64 { return math.Round(100 * mm) }

// geometric draws lengths 1, 2, … max with P(length > l) = (1 − 1/mean)^l, cut
// at max. It holds the probabilities in a table: no logarithm, whose last bit
// may differ between processors, stands between a seed and its trace.
type geometric struct {
	over  []float64   // [l] = P(length > l)
	start [257]uint16 // [i]: the length for a draw of i/256
}

func newGeometric(mean float64, max int) *geometric {
	g := &geometric{over: make([]float64, max+1)}
	g.over[0] = 1
	for l := 1; l <= max; l++ {
		g.over[l] = g.over[l-1] * (1 - 1/mean)
	}
	for i := range g.start {
		l := 1
		for l < max && g.over[l] > float64(i)/256 {
			l++
		}
		g.start[i] = uint16(l)
	}
	return g
}

// draw returns the smallest length l with P(length > l) ≤ u, u even on [0, 1).
func (g *geometric) draw(rng *rand.Rand) int {
	u := rng.Float64()
	l := int(g.start[int(256*u)+1]) // no longer than the one for u
	for l < len(g.over)-1 && g.over[l] > u {
		l++
	}
	return l
}
