package rainfall

import (
	"math"
	"math/rand/v2"
	"slices"
)

// Neighbours makes rain day by day: tomorrow's depth is what fell, in the
// record, on the day after one like today (Lall & Sharma 1996, Water Resour.
// Res. 32:679; Rajagopalan & Lall 1999, Water Resour. Res. 35:3089). Alike
// means: within the seasonal window; of the same class of today's rain (none,
// or the lowest, middle or highest third of the season's wet days); and near
// in the rain of the wetDays to today, counted in ranks. Of the K nearest,
// K = ceil(√n) of the n days in the class, the j-th is drawn with weight 1/j.
//
// Ranks beyond either end of a class are folded back. The rain of wetDays is
// the recent wetness that carries more than a day's memory (in the manner of
// Harrold, Sharma & Sheather 2003, Water Resour. Res. 39: from memory,
// unverified).
func Neighbours() Generator {
	return Generator{
		Name:   "neighbours",
		What:   "day by day, the rain after the days of the season most like the last",
		Source: "Lall & Sharma 1996; Rajagopalan & Lall 1999",
		Fit:    fitNeighbours,
	}
}

const (
	wetDays    = 30 // days of recent wetness, today included
	slotDays   = 15 // the seasonal window moves in such steps
	slots      = 24 // the last holds the year's odd days too
	slotMargin = 8  // days of the window to either side of the slot
	rainClass  = 4  // classes of today's rain: none and three thirds
)

type neighbours struct {
	*history
	most  int32 // of times
	slot  [slots]alike
	least int // K of the smallest class that is not empty
	large int // K of the largest
}

// alike holds the days of one seasonal window.
type alike struct {
	third [2]float64         // mm that part the classes of wet days
	days  [rainClass][]int64 // wetness in 0.01 mm <<32 | year·DaysPerYear + day, rising
	draw  [rainClass]*ranks
}

func slotOf(day int) int { return min(day/slotDays, slots-1) }

func fitNeighbours(y *Years) (Sampler, error) {
	h, err := newHistory(y)
	if err != nil {
		return nil, err
	}
	s := &neighbours{history: h, most: slices.Max(h.times), least: math.MaxInt}
	made := map[int]*ranks{}
	for i := range s.slot {
		a := &s.slot[i]
		from := i*slotDays - slotMargin
		to := (i+1)*slotDays + slotMargin
		if i == slots-1 {
			to = DaysPerYear + slotMargin
		}
		a.third = h.thirds(from, to)
		for c := range a.days {
			a.days[c] = make([]int64, 0, (to-from)*len(h.rain)/2)
		}
		for d := from; d < to; d++ {
			day := (d + DaysPerYear) % DaysPerYear
			for year := range h.rain {
				if day == DaysPerYear-1 && h.next[year] < 0 {
					continue // the record does not say what came next
				}
				c := a.class(h.rain[year][day])
				wet := int64(hundredths(h.past(int32(year), day+1, wetDays)))
				a.days[c] = append(a.days[c], wet<<32|int64(year*DaysPerYear+day))
			}
		}
		for c := range a.days {
			sortByHigh(a.days[c])
			if n := len(a.days[c]); n > 0 {
				k := int(math.Ceil(math.Sqrt(float64(n))))
				if made[k] == nil {
					made[k] = newRanks(k)
				}
				a.draw[c] = made[k]
				s.least, s.large = min(s.least, k), max(s.large, k)
			}
		}
	}
	return s, nil
}

// thirds returns the depths that part the wet days of a window into thirds.
func (h *history) thirds(from, to int) (edge [2]float64) {
	wet := make([]int64, 0, (to-from)*len(h.rain))
	for d := from; d < to; d++ {
		for _, rain := range h.rain {
			if x := rain[(d+DaysPerYear)%DaysPerYear]; x > 0 {
				wet = append(wet, int64(hundredths(x))<<32)
			}
		}
	}
	if len(wet) > 0 {
		sortByHigh(wet)
		for i := range edge {
			edge[i] = float64(wet[(i+1)*len(wet)/3]>>32) / 100
		}
	}
	return edge
}

// class returns the class of a day's rain: 0 for none.
func (a *alike) class(mm float64) int {
	switch {
	case mm <= 0:
		return 0
	case mm <= a.third[0]:
		return 1
	case mm <= a.third[1]:
		return 2
	}
	return 3
}

// after draws a day like one with that rain and that wetness (0.01 mm) and
// returns where it is: year·DaysPerYear + day.
func (s *neighbours) after(a *alike, mm float64, wet int64, rng *rand.Rand) int {
	c := a.class(mm)
	for k := 1; len(a.days[c]) == 0; k++ { // none in the class: the next one
		c = (a.class(mm) + k) % rainClass
	}
	days, draw := a.days[c], a.draw[c]
	at := from(days, wet<<32)
	if at < len(days) && days[at]>>32 == wet { // ties: none is nearer
		n := 1
		for at+n < len(days) && days[at+n]>>32 == wet {
			if n++; n == 8 { // many: no rain for wetDays
				n += from(days[at+n:], (wet+1)<<32)
				break
			}
		}
		if n > 1 {
			at += rng.IntN(n)
		}
	}
	for {
		u := rng.Uint64()
		j := draw.draw(float64(u>>11) / (1 << 53))
		step := (j + 1) / 2 // 0, 1, 1, 2, 2 … to alternate sides
		if (j^int(u))&1 == 0 {
			step = -step
		}
		day := int(days[folded(at+step, len(days))] & math.MaxUint32)
		// a year drawn m times is m times as likely
		if s.most == 1 || int32(rng.Uint32N(uint32(s.most))) < s.times[day/DaysPerYear] {
			return day
		}
	}
}

// from returns the first place whose key is not below key.
func from(days []int64, key int64) int {
	lo, n := 0, len(days)
	for n > 1 { // without a branch to mispredict
		half := n / 2
		next := lo
		if days[lo+half-1] < key {
			next = lo + half
		}
		lo, n = next, n-half
	}
	if n == 1 && days[lo] < key {
		lo++
	}
	return lo
}

// sortByHigh sorts by the upper 32 bits, none negative, keeping the order of
// equals: by counting, eight bits at a time, as there are many days.
func sortByHigh(days []int64) {
	most := int64(0)
	for _, x := range days {
		most = max(most, x>>32)
	}
	from, to := days, make([]int64, len(days))
	for shift := 32; most>>(shift-32) > 0; shift += 8 {
		var at [257]int
		for _, x := range from {
			at[x>>shift&255+1]++
		}
		for k := 1; k < len(at); k++ {
			at[k] += at[k-1]
		}
		for _, x := range from {
			k := x >> shift & 255
			to[at[k]] = x
			at[k]++
		}
		from, to = to, from
	}
	copy(days, from)
}

func (s *neighbours) Sample(dst []float64, rng *rand.Rand) {
	// The trace begins as if a year of the record had just ended.
	var recent [wetDays]int64 // 0.01 mm, a ring
	wet, last := int64(0), 0.0
	year := s.any(rng)
	for k, x := range s.rain[year][DaysPerYear-wetDays:] {
		recent[k] = int64(hundredths(x))
		wet += recent[k]
		last = x
	}
	at := 0
	for t := range dst {
		today := (t + DaysPerYear - 1) % DaysPerYear
		day := s.after(&s.slot[slotOf(today)], last, wet, rng)
		y, d := day/DaysPerYear, day%DaysPerYear+1
		if d == DaysPerYear {
			y, d = int(s.next[y]), 0
		}
		last = s.rain[y][d]
		dst[t] = last
		x := int64(hundredths(last))
		wet += x - recent[at]
		recent[at] = x
		if at++; at == wetDays {
			at = 0
		}
	}
}

// Parameters returns the window, the memory and the range of K.
func (s *neighbours) Parameters() []Parameter {
	return []Parameter{
		{"seasonal window", slotDays + 2*slotMargin, "days"},
		{"recent wetness", wetDays, "days"},
		{"fewest neighbours", float64(s.least), ""},
		{"most neighbours", float64(s.large), ""},
	}
}

// ranks draws 0 … k−1, each in proportion to 1/(rank + 1).
type ranks struct {
	cum   []float64  // cumulative weights, the last 1
	start [64]uint16 // where to begin for each 64th of the unit interval
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

func newRanks(k int) *ranks {
	r := &ranks{cum: rankWeights(k)}
	for i := range r.start {
		j := 0
		for r.cum[j] <= float64(i)/float64(len(r.start)) {
			j++
		}
		r.start[i] = uint16(j)
	}
	return r
}

// draw returns the rank that u lies in, 0 ≤ u < 1.
func (r *ranks) draw(u float64) int {
	j := int(r.start[int(u*float64(len(r.start)))])
	for r.cum[j] <= u {
		j++
	}
	return j
}
