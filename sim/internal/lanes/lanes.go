// Package lanes runs many tanks side by side under one rain, in whole numbers
// of 32 bits, a dry spell as one step (Events, Lanes). Volumes are whole units
// of 10 mL, 100 to a litre: nothing is rounded, which is what lets days be
// taken together. Every kernel gives the same numbers as one tank taken
// through one day at a time:
//
//	YAS: Y = min(D, V′)      V = min(V′ + Q − Y, S − Y)
//	YBS: Y = min(D, V′ + Q)  V = min(V′ + Q − Y, S)
//
// V′ is the storage before the day, Q the inflow, D the demand, S the usable
// size; a day is short where Y < D, and a year is good where no more of its
// days than an allowance are short (rules: Jenkins et al. 1978; Fewkes & Butler
// 2000). Taking dry spells together is derived here (DERIV); the test is the
// day-by-day loop.
package lanes

import (
	"fmt"
	"math"
	"strings"

	"tankodds/sim/internal/store"
)

// Lanes are the tanks of one row: usable sizes under one roof.
type Lanes struct {
	// Tallies of each tank over the years run since Fill or Clear: the volume
	// supplied, units; the short days; the good years.
	Supplied, Short, Good []int64

	groups []group
}

// group is side by side what the kernels work on. The assembly knows this
// layout.
type group struct {
	size, held [side]uint32 // units, < 2³¹
	// Over one call of the kernel: the years' supplied volumes, their lower 16
	// bits and the rest apart, so that nothing overflows; short days; bad years.
	low, high, short, bad [side]uint32
}

const (
	side = 16
	// chunk is the years that one call of the kernel takes: their events stay
	// in the cache from tank to tank. 65,536 at most, for low.
	chunk = 64
)

// Fits says whether a tank's usable size, or a day's inflow, is within the
// limits: 0 to 2³¹ − 1 units, 21,474,836.47 L.
func Fits(units int64) bool { return 0 <= units && units <= math.MaxInt32 }

// New returns empty tanks of the given usable sizes, units, each of which must
// fit.
func New(sizes []int64) *Lanes {
	n := len(sizes)
	tallies := make([]int64, 3*n)
	l := &Lanes{tallies[:n:n], tallies[n : 2*n : 2*n], tallies[2*n:], make([]group, (n+side-1)/side)}
	for j, s := range sizes {
		if !Fits(s) {
			panic(fmt.Sprintf("a tank of %d units", s))
		}
		l.groups[j/side].size[j%side] = uint32(s)
	}
	return l
}

// Fill leaves min(start, size) units in every tank, start ≥ 0, and begins the
// tallies anew.
func (l *Lanes) Fill(start int64) {
	for j := range l.groups {
		g := &l.groups[j]
		for i, s := range g.size {
			g.held[i] = uint32(min(start, int64(s)))
		}
	}
	l.Clear()
}

// Clear begins the tallies anew and leaves what the tanks hold, as after years
// of run-in.
func (l *Lanes) Clear() {
	clear(l.Supplied)
	clear(l.Short)
	clear(l.Good)
}

// Storage is what tank j holds, units.
func (l *Lanes) Storage(j int) int64 { return int64(l.groups[j/side].held[j%side]) }

// Run takes every tank through the years from to to - 1 of the events, and adds
// to the tallies. q is the inflow of each event of the whole trace, units,
// ≥ 0: that of e.Day(k) for the k-th. A year with more than allow short days
// is not good.
func (l *Lanes) Run(e *Events, q []int32, from, to, allow int) {
	for ; from < to; from += chunk {
		years := e.years[from:min(from+chunk, to)]
		a, z := e.first[from], e.first[from+len(years)]
		inUse.run(l, e.rule, e.list[a:z], q[a:z], years, int32(min(max(allow, -1), Year)))
		for j := range l.Supplied {
			g, i := &l.groups[j/side], j%side
			l.Supplied[j] += int64(g.high[i])<<16 + int64(g.low[i])
			l.Short[j] += int64(g.short[i])
			l.Good[j] += int64(len(years)) - int64(g.bad[i])
		}
	}
}

// kernel is one way to run the tanks through years of events: it leaves in the
// groups the tallies of these years alone.
type kernel struct {
	name string
	run  func(l *Lanes, rule store.Rule, list []event, q []int32, years []span, allow int32)
}

var goKernel = kernel{"go", (*Lanes).runGo}

// inUse is chosen once, when the program starts: the fastest that the
// processor can run.
var inUse = append(machineKernels(), goKernel)[0]

// Kernels lists the kernels that can run here, the fastest first.
func Kernels() []string {
	var names []string
	for _, k := range append(machineKernels(), goKernel) {
		names = append(names, k.name)
	}
	return names
}

// Kernel names the kernel in use.
func Kernel() string { return inUse.name }

// Wide says whether the kernel in use has wide registers.
func Wide() bool { return inUse.name != goKernel.name }

// UseKernel chooses the kernel by name, for tests and measurements; "auto" is
// the fastest. It must not be called while a study runs.
func UseKernel(name string) error {
	for _, k := range append(machineKernels(), goKernel) {
		if k.name == name || name == "auto" {
			inUse = k
			return nil
		}
	}
	return fmt.Errorf("no kernel %q on this machine; there are %s", name, strings.Join(Kernels(), ", "))
}

// runGo is the specification of the kernels. It takes four tanks at a time: a
// step of one is a chain of operations that leaves the processor waiting, and
// where all four have enough, which is most often, the step is a short one.
func (l *Lanes) runGo(rule store.Rule, list []event, q []int32, years []span, allow int32) {
	run := yas
	if rule == store.YBS {
		run = ybs
	}
	for j := 0; j < len(l.Supplied); j += 4 {
		g, i := &l.groups[j/side], j%side
		four := func(x *[side]uint32) *[4]uint32 { return (*[4]uint32)(x[i:]) }
		size, held, low, high, short, bad := four(&g.size), four(&g.held), four(&g.low), four(&g.high), four(&g.short), four(&g.bad)
		*low, *high, *short, *bad = [4]uint32{}, [4]uint32{}, [4]uint32{}, [4]uint32{}
		k := 0
		for _, y := range years {
			var miss [4]lack
			end := k + int(y.events)
			run(list[k:end], q[k:end], size, held, &miss)
			k = end
			for i, m := range miss {
				low[i] += (y.demand - m.volume) & 0xffff
				high[i] += (y.demand - m.volume) >> 16
				short[i] += m.days
				if int32(m.days) > allow {
					bad[i]++
				}
			}
		}
	}
}

// lack is the demand of a year that is not met, units, and the days of it.
type lack struct{ volume, days uint32 }

// give takes all that event x asks for from v units, or what there is, and
// returns what it takes.
func (l *lack) give(x *event, v uint32) uint32 {
	u := min(v, x.all)
	l.volume += x.all - u
	l.days += x.full(x.all) - x.full(u)
	return u
}

// full is the days that are not short where u ≤ all units are given; see
// inverse.
func (x *event) full(u uint32) uint32 { return uint32(int32(float32(int32(u)) * x.per)) }

// yas takes four tanks through events. All days of one but the last are dry
// and leave v − min(v, part); the last takes the rest of u = min(v, all), so
// min(v − min(v, part) + q, s − (u − min(v, part))) is left. Nothing passes
// 2³² − 1, v, q and s being below 2³¹.
func yas(list []event, q []int32, s, v *[4]uint32, miss *[4]lack) {
	v0, v1, v2, v3 := v[0], v[1], v[2], v[3]
	s0, s1, s2, s3 := s[0], s[1], s[2], s[3]
	q = q[:len(list)]
	for k := range list {
		x, q := &list[k], uint32(q[k])
		if all, part := x.all, x.part; min(v0, v1, v2, v3) >= all {
			v0 = min(v0+q, s0+part) - all
			v1 = min(v1+q, s1+part) - all
			v2 = min(v2+q, s2+part) - all
			v3 = min(v3+q, s3+part) - all
		} else {
			v0 = min(v0+q, s0+min(v0, part)) - miss[0].give(x, v0)
			v1 = min(v1+q, s1+min(v1, part)) - miss[1].give(x, v1)
			v2 = min(v2+q, s2+min(v2, part)) - miss[2].give(x, v2)
			v3 = min(v3+q, s3+min(v3, part)) - miss[3].give(x, v3)
		}
	}
	*v = [4]uint32{v0, v1, v2, v3}
}

// ybs is yas for the other rule. The first day, the wet one, leaves
// min(v + q, s + d) to be drawn from, d of it on this day: a tank with less
// than d to give is empty after it, and one with more keeps s at most.
func ybs(list []event, q []int32, s, v *[4]uint32, miss *[4]lack) {
	v0, v1, v2, v3 := v[0], v[1], v[2], v[3]
	s0, s1, s2, s3 := s[0], s[1], s[2], s[3]
	q = q[:len(list)]
	for k := range list {
		x, q := &list[k], uint32(q[k])
		v0 = min(v0+q, s0+x.part)
		v1 = min(v1+q, s1+x.part)
		v2 = min(v2+q, s2+x.part)
		v3 = min(v3+q, s3+x.part)
		if all := x.all; min(v0, v1, v2, v3) >= all {
			v0 -= all
			v1 -= all
			v2 -= all
			v3 -= all
		} else {
			v0 -= miss[0].give(x, v0)
			v1 -= miss[1].give(x, v1)
			v2 -= miss[2].give(x, v2)
			v3 -= miss[3].give(x, v3)
		}
	}
	*v = [4]uint32{v0, v1, v2, v3}
}
