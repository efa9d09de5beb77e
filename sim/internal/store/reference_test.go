package store

import (
	"math/rand/v2"
	"slices"
)

// The rules of a store, one tank and one step at a time, as the literature
// writes them. Every faster form is held against these.

// rule takes one step: from the storage v that the last step left, the inflow
// q, the demand d and the size s to the yield, the spill and the new storage.
type rule func(v, q, d, s int64) (yield, spill, storage int64)

// yasStep is yield after spillage (Jenkins et al. 1978; Fewkes & Butler 2000):
// the store is capped before the draw, and the draw knows only what the last
// step left.
func yasStep(v, q, d, s int64) (yield, spill, storage int64) {
	yield = min(d, v)
	left := v + q - yield
	storage = min(left, s-yield)
	return yield, left - storage, storage
}

// ybsStep is yield before spillage, by the same sources.
func ybsStep(v, q, d, s int64) (yield, spill, storage int64) {
	yield = min(d, v+q)
	left := v + q - yield
	storage = min(left, s)
	return yield, left - storage, storage
}

// spillFirstStep is Moran's store: fill, spill, then draw.
func spillFirstStep(v, q, d, s int64) (yield, spill, storage int64) {
	held := min(v+q, s)
	yield = min(d, held)
	return yield, v + q - held, held - yield
}

// drawFirstStep draws, then fills, then spills.
func drawFirstStep(v, q, d, s int64) (yield, spill, storage int64) {
	yield = min(d, v)
	left := v - yield + q
	storage = min(left, s)
	return yield, left - storage, storage
}

// dayStep is Rule.Day as a rule.
func dayStep(r Rule) rule {
	return func(v, q, d, s int64) (yield, spill, storage int64) { return r.Day(s, v, q, d) }
}

// trail is one tank's days.
type trail struct {
	yield, spill, storage []int64
	supplied, spilled     int64
	short                 int64 // days with Y < D
}

func (x *trail) add(yield, spill, storage, short int64) {
	x.yield, x.spill, x.storage = append(x.yield, yield), append(x.spill, spill), append(x.storage, storage)
	x.supplied += yield
	x.spilled += spill
	x.short += short
}

// follow runs one tank of size s, holding v at the start, through a rule.
func follow(step rule, q, d []int64, v, s int64) (out trail) {
	for t := range q {
		y, o, next := step(v, q[t], d[t], s)
		short := int64(0)
		if y < d[t] {
			short = 1
		}
		out.add(y, o, next, short)
		v = next
	}
	return out
}

// followSweep takes the same tanks through a Sweep a day at a time and returns
// the days of each by its size. What is neither given nor held is spilled.
func followSweep(r Rule, q, d []int64, start int64, sizes ...int64) map[int64]trail {
	at := slices.Sorted(slices.Values(sizes))
	tally, day := NewTally(NewSizes(at)), NewSums(len(at))
	w := NewSweep(r, start)
	was, held := make([]int64, len(at)), make([]int64, len(at))
	w.Held(was, at)
	trails := make([]trail, len(at))
	for t := range q {
		w.Run(q[t:t+1], d[t:t+1], 0, tally)
		tally.Sum(day)
		w.Held(held, at)
		for k := range at {
			trails[k].add(day.Supplied[k], was[k]+q[t]-day.Supplied[k]-held[k], held[k], day.Short[k])
		}
		was, held = held, was
	}
	out := map[int64]trail{}
	for k, size := range at {
		out[size] = trails[k]
	}
	return out
}

// wholeCase is a random store.
type wholeCase struct {
	q, d []int64
	s    int64
}

// wholeCases calls f with n random cases, the same for the same seed: rain on
// some days, one constant demand where same is true, a varying one otherwise,
// and a size of at least twice the largest demand.
func wholeCases(seed uint64, n int, same bool, f func(wholeCase)) {
	rng := rand.New(rand.NewPCG(seed, 2))
	for range n {
		days := 1 + rng.IntN(80)
		most := 1 + rng.Int64N([]int64{20, 5000}[rng.IntN(2)])
		c := wholeCase{make([]int64, days), slices.Repeat([]int64{most}, days), 2*most + rng.Int64N(10*most)}
		wet := rng.Float64()
		for t := range c.q {
			if rng.Float64() < wet {
				c.q[t] = rng.Int64N(5 * most)
			}
			if !same {
				c.d[t] = rng.Int64N(most + 1)
			}
		}
		f(c)
	}
}
