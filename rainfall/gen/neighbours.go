package gen

import (
	"math"
	"math/rand/v2"

	"tankodds/rainfall"
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
		Fit:    fromHistory(fitNeighbours),
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
	slot  [slots]alike
	least int // K of the smallest class that is not empty
	large int // K of the largest
}

// alike holds the days of one seasonal window by class of rain.
type alike struct {
	third [2]float64             // mm that part the classes of wet days
	class [rainClass]*alikeClass // nil where it has no day
}

// alikeClass holds its days by rising wetness. What a draw needs of a day is
// beside it: the way to the record would be a wait for memory.
type alikeClass struct {
	wet  []int32   // rain of the wetDays to the day, 0.01 mm
	rain []float64 // of the day after, mm
	from []int32   // the day after itself, as SampleDated gives it
	draw *ranks
	// start[step(wetness)] is the first place whose wetness is of that step or
	// a later one; the last element is the number of places. A step is the
	// tenth of a millimetre that gauges are read to where that makes no more
	// than maxSteps: then all places of a step are as wet as each other, and
	// the search ends where it begins.
	start []int32
	shift uint8
}

const maxSteps = 1 << 11

func (c *alikeClass) step(wet int32) int { return min(int(wet/10)>>c.shift, len(c.start)-2) }

func slotOf(day int) int { return min(day/slotDays, slots-1) }

func fitNeighbours(h *history) Sampler {
	s := &neighbours{history: h, least: math.MaxInt}
	made := map[int]*ranks{}
	var days [rainClass][]int64 // wetness<<32 | year·DaysPerYear + day
	spare := make([]int64, len(h.rain)*(slotDays+rainfall.DaysPerYear-slots*slotDays+2*slotMargin))
	for i := range s.slot {
		a := &s.slot[i]
		from := i*slotDays - slotMargin
		to := (i+1)*slotDays + slotMargin
		if i == slots-1 {
			to = rainfall.DaysPerYear + slotMargin
		}
		a.third = h.thirds(from, to, spare)
		for c := range days {
			days[c] = days[c][:0]
		}
		for d := from; d < to; d++ {
			day := (d + rainfall.DaysPerYear) % rainfall.DaysPerYear
			for year := range h.rain {
				if day == rainfall.DaysPerYear-1 && h.next[year] < 0 {
					continue // the record does not say what came next
				}
				c := a.classOf(h.rain[year][day])
				wet := int64(hundredths(h.past(int32(year), day+1, wetDays)))
				days[c] = append(days[c], wet<<32|int64(year*rainfall.DaysPerYear+day))
			}
		}
		for c := range days {
			sortByHigh(days[c], spare)
			n := len(days[c])
			if n == 0 {
				continue
			}
			a.class[c] = h.unpack(days[c])
			k := int(math.Ceil(math.Sqrt(float64(n))))
			if made[k] == nil {
				made[k] = newRanks(k)
			}
			a.class[c].draw = made[k]
			s.least, s.large = min(s.least, k), max(s.large, k)
		}
	}
	return s
}

func (h *history) unpack(days []int64) *alikeClass {
	c := &alikeClass{wet: make([]int32, len(days)), rain: make([]float64, len(days)), from: make([]int32, len(days))}
	for i, x := range days {
		at := int32(x & math.MaxUint32)
		year, next := at/rainfall.DaysPerYear, at%rainfall.DaysPerYear+1
		c.wet[i] = int32(x >> 32)
		if next == rainfall.DaysPerYear {
			year, next = h.next[year], 0
		}
		c.rain[i], c.from[i] = h.rain[year][next], year*rainfall.DaysPerYear+next
	}
	most := int(c.wet[len(days)-1]) / 10
	for most>>c.shift >= maxSteps {
		c.shift++
	}
	c.start = make([]int32, most>>c.shift+2)
	at := 0
	for k := range c.start {
		for at < len(days) && c.step(c.wet[at]) < k {
			at++
		}
		c.start[k] = int32(at)
	}
	return c
}

// thirds returns the depths that part the wet days of a window into thirds.
func (h *history) thirds(from, to int, spare []int64) (edge [2]float64) {
	wet := make([]int64, 0, (to-from)*len(h.rain))
	for d := from; d < to; d++ {
		for _, rain := range h.rain {
			if x := rain[(d+rainfall.DaysPerYear)%rainfall.DaysPerYear]; x > 0 {
				wet = append(wet, int64(hundredths(x))<<32)
			}
		}
	}
	if len(wet) > 0 {
		sortByHigh(wet, spare)
		for i := range edge {
			edge[i] = float64(wet[(i+1)*len(wet)/3]>>32) / 100
		}
	}
	return edge
}

// classOf returns the class of a day's rain: 0 for none. It is a sum because a
// branch on rain is one that a processor cannot foresee.
func (a *alike) classOf(mm float64) int {
	return one(mm > 0) + one(mm > a.third[0]) + one(mm > a.third[1])
}

// one returns 1 for true.
func one(b bool) int {
	if b {
		return 1
	}
	return 0
}

// after draws a day like one with that rain and that wetness (0.01 mm) and
// returns its place in its class, which has the day after it.
func (s *neighbours) after(a *alike, mm float64, wet int32, rng *rand.Rand) (*alikeClass, int) {
	k := a.classOf(mm)
	for a.class[k] == nil { // none in the class: the next one
		k = (k + 1) % rainClass
	}
	c := a.class[k]
	step := c.step(wet)
	at, end := int(c.start[step]), int(c.start[step+1])
	for at < end && c.wet[at] < wet {
		at++
	}
	for at < end && c.wet[end-1] > wet {
		end--
	}
	if end-at > 1 { // ties: none is nearer
		at += rng.IntN(end - at)
	}
	u := rng.Uint64()
	j := c.draw.draw(float64(u>>11) / (1 << 53))
	back := -(^(j ^ int(u)) & 1)  // −1 to go back, 0 to go on
	at += ((j+1)/2 ^ back) - back // 0, 1, 1, 2, 2 … to alternate sides
	return c, folded(at, len(c.wet))
}

func (s *neighbours) Sample(dst []float64, rng *rand.Rand) { s.SampleDated(dst, nil, rng) }

func (s *neighbours) SampleDated(dst []float64, from []int32, rng *rand.Rand) {
	// The trace begins as if a year of the record had just ended.
	var recent [wetDays]int32 // 0.01 mm, a ring
	wet, last := int32(0), 0.0
	year := s.any(rng)
	for k, x := range s.rain[year][rainfall.DaysPerYear-wetDays:] {
		recent[k] = int32(hundredths(x))
		wet += recent[k]
		last = x
	}
	at := 0
	for t := range dst {
		today := (t + rainfall.DaysPerYear - 1) % rainfall.DaysPerYear
		class, k := s.after(&s.slot[slotOf(today)], last, wet, rng)
		last = class.rain[k]
		dst[t] = last
		if from != nil {
			from[t] = class.from[k]
		}
		x := hundredth(last)
		wet += x - recent[at]
		recent[at] = x
		if at++; at == wetDays {
			at = 0
		}
	}
}

// hundredth is hundredths as a whole number, for mm ≥ 0.
func hundredth(mm float64) int32 {
	x := float64(100 * mm) // rounded: arm64 would fuse it with the difference below
	n := int32(x)
	return n + int32(one(x-float64(n) >= 0.5))
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
