package gen

import (
	"fmt"
	"math"
	"math/rand/v2"
	"time"

	"tankodds/rainfall"
)

// history is what the generators that join days of different years read: the
// distinct years of a record, how often each was drawn, which follows which,
// and sums of rain over any days before a date.
//
// A resampled record holds some years several times (Years.Pick shares their
// depths). A year drawn m times is kept once and counts m times: otherwise
// the nearest neighbours of a year would be its own copies.
type history struct {
	start time.Month
	rain  [][]float64 // [year] DaysPerYear depths, mm
	entry []int32     // the record's years as it lists them, repeats included
	times []int32     // [year] how often entry names it, ≥ 1
	prev  []int32     // [year] the year before it in time, -1 where the record lacks it
	next  []int32     // [year] the year after it, -1 likewise
	goOn  []float64   // [year] the share of its copies that a copy of the next year can follow
	first []int32     // entries that no copy of the year before is left to go on to
	sum   [][]float64 // [year][d] rain of its first d days, mm; DaysPerYear + 1 long
	mean  []float64   // sum of the average year, each counted as often as it was drawn
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
	h := &history{start: y.Start, entry: make([]int32, y.Len()), mean: make([]float64, rainfall.DaysPerYear+1)}
	at := make(map[*float64]int32, y.Len()) // by identity of the depths
	labelled := make(map[int]int32, y.Len())
	for i, rain := range y.Rain {
		k, seen := at[&rain[0]]
		if !seen {
			k = int32(len(h.rain))
			at[&rain[0]], labelled[y.Label[i]] = k, k
			h.rain = append(h.rain, rain)
			h.times = append(h.times, 0)
			sum := make([]float64, rainfall.DaysPerYear+1)
			for d, x := range rain {
				sum[d+1] = sum[d] + x
			}
			h.sum = append(h.sum, sum)
		}
		h.entry[i] = k
		h.times[k]++
	}
	h.prev, h.next = make([]int32, len(h.rain)), make([]int32, len(h.rain))
	for k, sum := range h.sum {
		h.prev[k], h.next[k] = -1, -1
		share := float64(h.times[k]) / float64(y.Len())
		for d, s := range sum {
			h.mean[d] += float64(share * s)
		}
	}
	for i, k := range h.entry {
		if b, ok := labelled[y.Label[i]-1]; ok {
			h.prev[k], h.next[b] = b, k
		}
	}
	for k := range h.rain {
		followed, led := int32(0), int32(0)
		if n := h.next[k]; n >= 0 {
			followed = min(h.times[k], h.times[n])
		}
		if b := h.prev[k]; b >= 0 {
			led = min(h.times[k], h.times[b])
		}
		h.goOn = append(h.goOn, float64(followed)/float64(h.times[k]))
		for range h.times[k] - led {
			h.first = append(h.first, int32(k))
		}
	}
	return h, nil
}

// any draws a year, each entry of the record with the same chance.
func (h *history) any(rng *rand.Rand) int32 { return h.entry[rng.IntN(len(h.entry))] }

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
