// Package store runs tanks day by day: one at a time by the rule as it is
// written (Rule.Day), many side by side under one rain (Lanes, with kernels
// for the processor's wide registers that give the same bits), and all sizes of
// a range at once (Sweep). It knows litres and days alone: no roofs, no uses, no
// years.
package store

import (
	"fmt"
	"slices"
	"strings"
)

// Rule says in which order a day's draw and its spill happen.
type Rule uint8

const (
	// YAS, yield after spillage, draws only on what yesterday left: the
	// careful rule, and the default (Jenkins et al. 1978; Fewkes & Butler
	// 2000).
	YAS Rule = iota
	// YBS, yield before spillage, lets today's rain be drawn today.
	YBS
)

var ruleWords = []string{"yas", "ybs"}

// String returns "yas" or "ybs".
func (r Rule) String() string { return ruleWords[r] }

// MarshalText returns what String does.
func (r Rule) MarshalText() ([]byte, error) { return []byte(r.String()), nil }

// UnmarshalText reads what ParseRule does.
func (r *Rule) UnmarshalText(text []byte) (err error) {
	*r, err = ParseRule(string(text))
	return err
}

// ParseRule reads "yas" or "ybs".
func ParseRule(s string) (Rule, error) {
	r := slices.Index(ruleWords, s)
	if r < 0 {
		return 0, fmt.Errorf("rule %q is neither yas nor ybs", s)
	}
	return Rule(r), nil
}

// shortBy is the share of a day's demand by which the yield may miss it
// before the day counts as short: rounding is not a shortage. 2⁻³⁰, about one
// part in a thousand million.
const shortBy = 1.0 / (1 << 30)

// Need sets dst to the yield below which each day counts as short: the
// demand less rounding.
func Need(dst, demand []float64) {
	for t, d := range demand {
		dst[t] = NeedOf(d)
	}
}

// NeedOf is Need of one day.
func NeedOf(d float64) float64 { return d * (1 - shortBy) }

// Day takes one tank of usable size s, holding v, through a day of inflow q
// and demand d, all in L and ≥ 0: the rules as they are written in Lanes.Run,
// for one tank at a time.
func (r Rule) Day(s, v, q, d float64) (yield, spill, storage float64) {
	w := v + q
	room := s
	if r == YBS {
		yield = min(d, w)
	} else {
		yield = min(d, v)
		room -= yield
	}
	w -= yield
	storage = min(w, room)
	return yield, w - storage, storage
}

// Lanes is the state and the tallies of many tanks that share one rain and one
// demand; lane j is a tank of usable size Size[j] under Roof[j] times the roofs
// that the inflow is of. The slices are of one
// length, padded beyond the tanks asked for to suit the kernels; what stands
// in the padding means nothing.
type Lanes struct {
	Roof     []float64 // factor on the inflow, ≥ 0: this tank's roofs over the site's
	Size     []float64 // usable size, L, ≥ 0
	Storage  []float64 // V at the end of the day, L
	Supplied []float64 // ΣY over the days run, L
	Spilled  []float64 // ΣO over the days run, L
	Short    []float64 // short days of the last call alone

	tanks int // lanes that count, from the first
}

// Wide and few are how many tanks the kernels run side by side. A
// day of one tank is a chain of operations that each wait for the one before;
// 32 tanks at a time fill the waiting, so that up to 32 take about as long as
// 9.
const (
	Wide = 32
	few  = 8
)

// NewLanes returns lanes for the given factors on the inflow and usable sizes,
// of one length, every tank holding min(start, size) litres.
func NewLanes(roofs, sizes []float64, start float64) *Lanes {
	pad := Wide
	if len(sizes) <= few {
		pad = few
	}
	n := (len(sizes) + pad - 1) / pad * pad
	block := make([]float64, 6*n)
	part := func(k int) []float64 { return block[k*n : (k+1)*n : (k+1)*n] }
	l := &Lanes{part(0), part(1), part(2), part(3), part(4), part(5), len(sizes)}
	for j := range l.Size {
		k := min(j, len(sizes)-1)
		l.Roof[j], l.Size[j] = roofs[k], sizes[k]
	}
	l.Fill(start)
	return l
}

// Fill leaves min(start, size) litres in every tank and begins the tallies
// anew.
func (l *Lanes) Fill(start float64) {
	for j, size := range l.Size {
		l.Storage[j] = min(start, size)
	}
	clear(l.Supplied)
	clear(l.Spilled)
	clear(l.Short)
}

// Run takes every tank through len(q) days of inflow q, demand d and need
// (see Need), all in L and ≥ 0, none NaN. Of the inflow each lane has its own
// Q = q · Roof; V′ is yesterday's storage:
//
//	YAS: Y = min(D, V′)      W = (V′ + Q) − Y   V = min(W, S − Y)
//	YBS: A = V′ + Q          Y = min(D, A)      W = A − Y   V = min(W, S)
//	O = W − V;  Supplied += Y;  Spilled += O;  a day is short where Y < need
//
// Short is set, not added to; the rest runs on from call to call. The Go code
// below is the specification; the kernel in use gives the same bits faster.
func (l *Lanes) Run(rule Rule, q, d, need []float64) {
	inUse.run(l, rule, q, d[:len(q)], need[:len(q)])
}

// kernel is one way to run the store.
type kernel struct {
	name string
	run  func(l *Lanes, rule Rule, q, d, need []float64)
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

// goLanes is how many lanes the Go code holds in registers.
const goLanes = 4

// runGo runs goLanes lanes at a time. They are held in registers and
// interleaved, because one lane's day is a chain of additions and minima that
// leaves the processor waiting.
func (l *Lanes) runGo(rule Rule, q, d, need []float64) {
	four := func(x []float64, j int) *[goLanes]float64 { return (*[goLanes]float64)(x[j:]) }
	for j := 0; j < l.tanks; j += goLanes {
		r, s, v, y, o := four(l.Roof, j), four(l.Size, j), four(l.Storage, j), four(l.Supplied, j), four(l.Spilled, j)
		r0, r1, r2, r3 := r[0], r[1], r[2], r[3]
		s0, s1, s2, s3 := s[0], s[1], s[2], s[3]
		v0, v1, v2, v3 := v[0], v[1], v[2], v[3]
		y0, y1, y2, y3 := y[0], y[1], y[2], y[3]
		o0, o1, o2, o3 := o[0], o[1], o[2], o[3]
		var b0, b1, b2, b3 int
		if rule == YBS {
			for t, qt := range q {
				dt, nt := d[t], need[t]
				v0, y0, o0, b0 = ybsDay(qt*r0, dt, nt, s0, v0, y0, o0, b0)
				v1, y1, o1, b1 = ybsDay(qt*r1, dt, nt, s1, v1, y1, o1, b1)
				v2, y2, o2, b2 = ybsDay(qt*r2, dt, nt, s2, v2, y2, o2, b2)
				v3, y3, o3, b3 = ybsDay(qt*r3, dt, nt, s3, v3, y3, o3, b3)
			}
		} else {
			for t, qt := range q {
				dt, nt := d[t], need[t]
				v0, y0, o0, b0 = yasDay(qt*r0, dt, nt, s0, v0, y0, o0, b0)
				v1, y1, o1, b1 = yasDay(qt*r1, dt, nt, s1, v1, y1, o1, b1)
				v2, y2, o2, b2 = yasDay(qt*r2, dt, nt, s2, v2, y2, o2, b2)
				v3, y3, o3, b3 = yasDay(qt*r3, dt, nt, s3, v3, y3, o3, b3)
			}
		}
		*v = [goLanes]float64{v0, v1, v2, v3}
		*y = [goLanes]float64{y0, y1, y2, y3}
		*o = [goLanes]float64{o0, o1, o2, o3}
		*four(l.Short, j) = [goLanes]float64{float64(b0), float64(b1), float64(b2), float64(b3)}
	}
}

// yasDay takes one lane through a day: storage v, supplied y, spilled o and
// short days b after it. It is inlined.
func yasDay(q, d, need, s, v, y, o float64, b int) (float64, float64, float64, int) {
	w := v + float64(q)
	if v >= d {
		v = d
	} else if v < need {
		b++
	}
	y += v
	w -= v
	v = s - v
	if w <= v {
		return w, y, o, b
	}
	return v, y, o + (w - v), b
}

// ybsDay is yasDay for the other rule.
func ybsDay(q, d, need, s, v, y, o float64, b int) (float64, float64, float64, int) {
	w := v + float64(q)
	u := w
	if u >= d {
		u = d
	} else if u < need {
		b++
	}
	y += u
	w -= u
	if w <= s {
		return w, y, o, b
	}
	return s, y, o + (w - s), b
}
