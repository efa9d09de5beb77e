package gen

import (
	"math"
	"math/rand/v2"

	"tankodds/rainfall"
)

// Guided joins blocks of days from different years at the same place in the
// calendar, and at every join the rain that has just fallen guides the choice
// of the next year: it is one of those that were about as wet, for their time
// of year, over the memory days before that date. Blocks have geometric
// lengths (the stationary bootstrap of Politis & Romano 1994, J. Am. Stat.
// Assoc. 89:1303), so joins come at any season; choosing what follows by what
// went before is the matched block bootstrap (Carlstein, Do, Hall, Hesterberg
// & Künsch 1998, Bernoulli 4:305: from memory, unverified) with the nearest
// neighbours of Lall & Sharma 1996 (Water Resour. Res. 32:679).
//
// Plain blocks forget at each join whether the year is a dry one, so dry
// years come out too wet and wet ones too dry (the overdispersion of Katz &
// Parlange 1998). Matching the season itself instead of what went before it
// errs the other way: it adds the scatter between the blocks to a season
// whose own scatter is already there, and makes droughts that never were.
//
// Nearness is counted in ranks, not millimetres: the year is drawn evenly
// from those within √N ranks and a half of the trace's own, N being the years,
// and the ranks at the ends of that by the part of them that lies in it, so that
// nothing jumps as a record grows; ranks beyond either end are folded back. Drawn so, every year is
// used equally often, the wettest and the driest too, and the mean is kept;
// Lall & Sharma's weights would use the middle of the record more.
//
// A block that outlives its water year goes on in the year that followed. At
// the end of a run of years it goes on at the beginning of one, as if the
// record were a ring. So every year is used as often as another, whether rain
// has a trend or not.
//
// One number is chosen, half a year, for block and memory alike: as long as
// the longest dry season a roof tank bridges, so that most are taken whole.
func Guided() Generator {
	return Generator{
		Name:   "guided",
		What:   "blocks of about half a year, each taken from a year that had been about as wet by then",
		Source: "blocks: Politis & Romano 1994; joins: Carlstein et al. 1998, Lall & Sharma 1996",
		Fit:    fromHistory(fitGuided),
	}
}

const (
	pentad  = 5 // days; blocks are whole pentads, of which a year has 73
	pentads = rainfall.DaysPerYear / pentad

	guidedBlock  = 36 * pentad // mean block, days
	guidedMemory = 36 * pentad // wetness is the rain of so many days, ≤ DaysPerYear
)

type guided struct {
	*history
	reach  float64    // ranks to either side
	length *geometric // of a block, pentads
	// for each pentad of the year: the years of the record by the rain of the
	// memory days before it, rising
	ranked [pentads][]wetness
}

type wetness struct {
	rain int32 // 0.01 mm, whole: sums made in another order tie as they should
	year int32
}

func fitGuided(h *history) Sampler {
	n := len(h.rain)
	s := &guided{
		history: h,
		reach:   math.Sqrt(float64(n)) + 0.5,
		length:  newGeometric(guidedBlock/pentad, 10*guidedBlock/pentad),
	}
	block := make([]wetness, pentads*n)
	days, spare := make([]int64, n), make([]int64, n) // wetness<<32 | year
	for p := range s.ranked {
		for year := range days {
			days[year] = int64(hundredths(h.past(int32(year), p*pentad, guidedMemory)))<<32 | int64(year)
		}
		sortByHigh(days, spare) // and so by year where as wet
		r := block[p*n:][:n:n]
		for i, x := range days {
			r[i] = wetness{int32(x >> 32), int32(x & math.MaxUint32)}
		}
		s.ranked[p] = r
	}
	return s
}

// follow draws the year that goes on at pentad p after mm of rain in the
// memory days before.
func (s *guided) follow(p int, mm float64, rng *rand.Rand) int32 {
	r, seen := s.ranked[p], int32(hundredths(mm))
	first := rank(r, seen)
	after := first
	for after < len(r) && r[after].rain == seen {
		after++
	}
	at := first
	if after > first { // ties: no one of them is nearer than another
		at += rng.IntN(after - first)
	}
	by := float64((2*rng.Float64()-1)*(s.reach+0.5)) + 0.5
	return r[folded(at+int(math.Floor(by)), len(r))].year
}

// rank returns the number of the first entry as wet as that or wetter. It
// halves what is left without a branch on rain, which no processor foresees.
func rank(r []wetness, rain int32) int {
	at := 0
	for n := len(r); n > 0; {
		half := (n + 1) / 2
		at += half * one(r[at+half-1].rain < rain)
		n -= half
	}
	return at
}

// folded brings rank k back into 0 … n−1 by reflection at either end.
func folded(k, n int) int {
	for k < 0 || k >= n {
		if k < 0 {
			k = -1 - k
		} else {
			k = 2*n - 1 - k
		}
	}
	return k
}

func (s *guided) Sample(dst []float64, rng *rand.Rand) { s.SampleDated(dst, nil, rng) }

func (s *guided) SampleDated(dst []float64, from []int32, rng *rand.Rand) {
	// seen holds the running sum of the trace at the last pentads + 1 pentad
	// ends, as a ring; it starts with the year before the first one.
	var seen [pentads + 1]float64
	year := s.any(rng)
	for p, last := 0, s.lastYear(year); p <= pentads; p++ {
		seen[p] = last[p*pentad]
	}
	at := pentads // where in the ring the trace stands
	left := s.length.draw(rng)
	for t := 0; t < len(dst); {
		p := t / pentad % pentads
		switch {
		case left == 0:
			before := at - guidedMemory/pentad
			if before < 0 {
				before += len(seen)
			}
			year = s.follow(p, seen[at]-seen[before], rng)
			left = s.length.draw(rng)
		case p == 0 && t > 0:
			if year = s.next[year]; year < 0 {
				year = s.first[rng.IntN(len(s.first))]
			}
		}
		n := min(left, pentads-p)
		copy(dst[t:t+n*pentad], s.rain[year][p*pentad:])
		dated(from, t, n*pentad, year, p*pentad)
		base, sum := seen[at]-s.sum[year][p*pentad], s.sum[year]
		for k := p + 1; k <= p+n; k++ {
			if at++; at == len(seen) {
				at = 0
			}
			seen[at] = base + sum[k*pentad]
		}
		left -= n
		t += n * pentad
	}
}

// Parameters returns the block, the memory and the reach.
func (s *guided) Parameters() []Parameter {
	return []Parameter{
		{"mean block", guidedBlock, "days"},
		{"memory", guidedMemory, "days"},
		{"reach", s.reach, "ranks to either side"},
	}
}
