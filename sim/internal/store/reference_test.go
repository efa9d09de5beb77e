package store

import (
	"math/rand/v2"
	"slices"
)

// The rules of a store, one tank and one step at a time, as the literature
// writes them. Every faster form is held against these.

// rule takes one step: from the storage v that the last step left, the inflow
// q, the demand d and the size s to the yield, the spill and the new storage.
type rule func(v, q, d, s float64) (yield, spill, storage float64)

// yasStep is yield after spillage (Jenkins et al. 1978; Fewkes & Butler 2000):
// the store is capped before the draw, and the draw knows only what the last
// step left.
func yasStep(v, q, d, s float64) (yield, spill, storage float64) {
	yield = min(d, v)
	left := v + q - yield
	storage = min(left, s-yield)
	return yield, left - storage, storage
}

// ybsStep is yield before spillage, by the same sources.
func ybsStep(v, q, d, s float64) (yield, spill, storage float64) {
	yield = min(d, v+q)
	left := v + q - yield
	storage = min(left, s)
	return yield, left - storage, storage
}

// spillFirstStep is Moran's store: fill, spill, then draw.
func spillFirstStep(v, q, d, s float64) (yield, spill, storage float64) {
	held := min(v+q, s)
	yield = min(d, held)
	return yield, v + q - held, held - yield
}

// drawFirstStep draws, then fills, then spills.
func drawFirstStep(v, q, d, s float64) (yield, spill, storage float64) {
	yield = min(d, v)
	left := v - yield + q
	storage = min(left, s)
	return yield, left - storage, storage
}

// trail is one tank's days.
type trail struct {
	yield, spill, storage []float64
	supplied, spilled     float64
	short                 int // days with Y < D
}

// follow runs one tank of size s, holding v at the start, through a rule.
func follow(step rule, q, d []float64, v, s float64) trail {
	var out trail
	for t := range q {
		y, o, w := step(v, q[t], d[t], s)
		out.yield, out.spill, out.storage = append(out.yield, y), append(out.spill, o), append(out.storage, w)
		out.supplied += y
		out.spilled += o
		if y < d[t] {
			out.short++
		}
		v = w
	}
	return out
}

// followLanes runs the same tanks through Lanes a day at a time and returns
// each one's days.
func followLanes(r Rule, q, d []float64, start float64, sizes ...float64) []trail {
	out := make([]trail, len(sizes))
	l := newLanes(sizes, start)
	need := needs(d)
	for t := range q {
		y0, o0 := slices.Clone(l.Supplied), slices.Clone(l.Spilled)
		l.Run(r, q[t:t+1], d[t:t+1], need[t:t+1])
		for j := range out {
			out[j].yield = append(out[j].yield, l.Supplied[j]-y0[j])
			out[j].spill = append(out[j].spill, l.Spilled[j]-o0[j])
			out[j].storage = append(out[j].storage, l.Storage[j])
			out[j].supplied, out[j].spilled = l.Supplied[j], l.Spilled[j]
			out[j].short += int(l.Short[j])
		}
	}
	return out
}

// needs is Need in memory of its own.
func needs(d []float64) []float64 {
	out := make([]float64, len(d))
	Need(out, d)
	return out
}

// newLanes returns lanes that are all under the roofs the inflow is of.
func newLanes(sizes []float64, start float64) *Lanes {
	return NewLanes(constant(1, len(sizes)), sizes, start)
}

// constant returns n times x.
func constant(x float64, n int) []float64 {
	out := make([]float64, n)
	for t := range out {
		out[t] = x
	}
	return out
}

// wholeCase is a random store in whole litres, so that every sum is exact.
type wholeCase struct {
	q, d []float64
	s    float64
}

// wholeCases calls f with n random cases, the same for the same seed: rain on
// some days, one constant demand where same is true, a varying one otherwise,
// and a size of at least twice the largest demand.
func wholeCases(seed uint64, n int, same bool, f func(wholeCase)) {
	rng := rand.New(rand.NewPCG(seed, 2))
	for range n {
		days := 1 + rng.IntN(80)
		most := 1 + rng.IntN(20)
		c := wholeCase{q: make([]float64, days), d: constant(float64(most), days)}
		wet := rng.Float64()
		for t := range c.q {
			if rng.Float64() < wet {
				c.q[t] = float64(rng.IntN(5 * most))
			}
			if !same {
				c.d[t] = float64(rng.IntN(most + 1))
			}
		}
		c.s = float64(2*most + rng.IntN(10*most))
		f(c)
	}
}
