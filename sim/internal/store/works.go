package store

import (
	"math/bits"
	"slices"
)

// Works is one tank together with what a sweep of all sizes cannot take, for it
// asks what this tank holds: levels below which a use is not served, mains let
// into the tank, surge tanks pumped into it, and open water. Without any of them
// it is Rule.Day. All volumes are units, 0 to Most.
type Works struct {
	Rule  Rule
	Size  int64   // usable
	Keep  []int64 // by use, first served first: what must be left for later uses and days
	TopUp TopUp
	Pumps []Pump
}

// TopUp lets mains into a tank that holds less than Below in the evening, up to
// To, at most Most a day. None where To is 0.
type TopUp struct{ Below, To, Most int64 }

// Pump is a surge tank that holds Size, and what its pump moves into the main
// tank in the hours of a storm and in those after it.
type Pump struct{ Size, Storm, After int64 }

// Course is what the days bring to works and want of them, each list by day.
type Course struct {
	Inflow []int64   // straight into the tank
	Surge  [][]int64 // into each surge tank: see Into
	surges []int64   // into all of them
	Want   [][]int64 // of each use
	Rain   []int64   // onto open water; nil for none
	Dry    []int64   // what open water would lose; nil for none
	Idle   []bool    // days on which no pump runs; nil for none
}

// Into adds what flows into another surge tank.
func (c *Course) Into(surge []int64) {
	c.Surge = append(c.Surge, surge)
	if c.surges == nil {
		c.surges = make([]int64, len(surge))
	}
	for t, x := range surge {
		c.surges[t] += x
	}
}

// Held is what the works hold, and what each use was given on the last day. A tank
// that is empty down below its outlet holds less than nothing.
type Held struct {
	Tank  int64
	Surge []int64
	Drawn []int64
	moved []int64
	left  int64 // in all surge tanks after they were last pumped
}

// NewHeld returns works whose tank holds min(start, its size) and whose surge
// tanks are empty.
func (w *Works) NewHeld(start int64) *Held {
	n := len(w.Pumps)
	return &Held{Tank: min(start, w.Size), Surge: make([]int64, n), Drawn: make([]int64, len(w.Keep)), moved: make([]int64, n)}
}

// All is what tank and surge tanks hold together.
func (h *Held) All() int64 {
	sum := h.Tank
	for _, x := range h.Surge {
		sum += x
	}
	return sum
}

// Flow is what moves on one day: what was held before, with Inflow, LetIn and
// Rain, is Drawn, Spilled, Dried and what is held after it.
type Flow struct {
	Inflow  int64 // from all roofs
	Wanted  int64
	Drawn   int64
	Spilled int64 // of the tank and of the surge tanks
	LetIn   int64 // mains
	Rain    int64 // onto open water
	Dried   int64 // evaporated
	Pumped  int64
}

// Day takes the works through day t of a course. By YAS, V′ being last evening's
// storage, w surge storage and S the usable size:
//
//	w ← w + Q;  x = min(storm's, w), scaled to the room S − V′;  w ← w − x
//	O = max(0, w − U) and what the tank cannot take;  w ← w − O
//	r ← V′; for each use Y = min(D, max(0, r − keep)), r ← r − Y
//	V ← min(V′ + Q, S) + x − Y;  x = min(after's, w), scaled to S − V;  V ← V + x
//	V ← V − min(V, dry);  where V < below: V ← V + min(to − V, most)
//
// Roofs without a surge tank flow straight in and come first; pumps stop where
// the tank is full, so that pumped water never spills from it. By YBS uses are
// served after the storm and before the spill. The rule of the keep-levels and
// of the pumps is our own (DERIV); its tests hold it against plain loops.
func (w *Works) Day(c *Course, t int, h *Held) (f Flow) {
	q := c.Inflow[t]
	f.Inflow = q
	if c.Rain != nil {
		f.Rain = c.Rain[t]
		q += f.Rain
	}
	v := h.Tank + q
	if w.Rule == YAS {
		v = min(v, w.Size)
	}
	idle := c.Idle != nil && c.Idle[t]
	if len(w.Pumps) > 0 {
		f.Inflow += h.surge(c, t)
	}
	surging := h.left > 0 // not on most dry days
	if surging {
		held := h.left
		f.Pumped = w.storm(c, t, h, w.Size-v)
		f.Spilled += held - f.Pumped - h.left
	}
	left := h.Tank // what uses see
	if w.Rule == YBS {
		left = v + f.Pumped
	}
	for u, keep := range w.Keep {
		d := c.Want[u][t]
		y := min(d, max(0, left-keep))
		left -= y
		h.Drawn[u] = y
		f.Wanted += d
		f.Drawn += y
	}
	f.Spilled += h.Tank + q - v // by YAS
	v += f.Pumped - f.Drawn
	if over := v - w.Size; over > 0 { // by YBS
		f.Spilled += over
		v = w.Size
	}
	if surging && !idle {
		x := w.pump(h, w.Size-v, false)
		f.Pumped += x
		v += x
	}
	if c.Dry != nil {
		f.Dried = max(0, min(v, c.Dry[t]))
		v -= f.Dried
	}
	if v < w.TopUp.Below {
		f.LetIn = max(0, min(w.TopUp.To-v, w.TopUp.Most))
		v += f.LetIn
	}
	h.Tank = v
	return f
}

// surge lets in what flows into the surge tanks, and returns how much that is.
func (h *Held) surge(c *Course, t int) int64 {
	all := c.surges[t]
	if all > 0 {
		for j, of := range c.Surge {
			h.Surge[j] += of[t]
		}
		h.left += all
	}
	return all
}

// storm pumps in the hours of a storm, and spills what surge tanks cannot hold.
func (w *Works) storm(c *Course, t int, h *Held, room int64) (moved int64) {
	if c.Idle == nil || !c.Idle[t] {
		moved = w.pump(h, room, true)
	}
	for j := range w.Pumps {
		over := max(0, h.Surge[j]-w.Pumps[j].Size)
		h.Surge[j] -= over
		h.left -= over
	}
	return moved
}

// pump moves what the pumps can, or their share of a smaller room, out of the
// surge tanks.
func (w *Works) pump(h *Held, room int64, storm bool) int64 {
	if room <= 0 {
		return 0
	}
	sum := int64(0)
	for j := range w.Pumps {
		x := w.Pumps[j].After
		if storm {
			x = w.Pumps[j].Storm
		}
		x = min(h.Surge[j], x)
		h.moved[j] = x
		sum += x
	}
	rest := int64(0)
	if sum > room { // whole units: each its share rounded down, the rest in order
		rest = room
		for j, x := range h.moved {
			hi, lo := bits.Mul64(uint64(x), uint64(room))
			share, _ := bits.Div64(hi, lo, uint64(sum)) // room < sum, so the share fits
			h.moved[j] = int64(share)
			rest -= int64(share)
		}
		sum = room
	}
	h.left = 0
	for j, x := range h.moved {
		if rest > 0 {
			more := min(rest, h.Surge[j]-x)
			if storm {
				more = min(more, w.Pumps[j].Storm-x)
			} else {
				more = min(more, w.Pumps[j].After-x)
			}
			x += more
			rest -= more
		}
		h.Surge[j] -= x
		h.left += h.Surge[j]
	}
	return sum
}

// Gave is what one tank gave and lacked over some years.
type Gave struct {
	Drawn   int64 // by all uses
	Met     int64 // by the uses asked about, less mains let in
	Short   int64 // days on which these were not given all, or mains were let in
	Good    int64 // years with no more short days than allowed
	Spilled int64
	LetIn   int64
}

// Run takes the works through the days of a course from one to before another,
// years of a length, and adds up what was given; good, if there is one, is told
// of each year whether it was a good one. Of is the use that is asked about, all
// of them where it is below 0. It is Day after Day, with what only a sum needs
// left out (test).
func (w *Works) Run(c *Course, h *Held, from, to, year, allow, of int, good func(year int, good bool)) (g Gave) {
	g.Spilled = h.All()
	v, keep, topped, yas := h.Tank, w.Keep, w.TopUp.To > 0, w.Rule == YAS
	for y := 0; from < to; y++ {
		short := int64(0)
		for end := min(from+year, to); from < end; from++ {
			before, q := v, c.Inflow[from]
			if c.Rain != nil {
				q += c.Rain[from]
			}
			g.Spilled += q
			v += q
			if yas {
				v = min(v, w.Size)
			}
			surging := false
			if len(w.Pumps) > 0 {
				g.Spilled += h.surge(c, from)
				if surging = h.left > 0; surging {
					v += w.storm(c, from, h, w.Size-v)
				}
			}
			left := before
			if !yas {
				left = v
			}
			drawn, met, lack := int64(0), int64(0), int64(0)
			for u, k := range keep {
				d := c.Want[u][from]
				y := min(d, max(0, left-k))
				left -= y
				drawn += y
				if of < 0 || u == of {
					met += y
					lack += d - y
				}
			}
			v = min(v-drawn, w.Size)
			if surging && (c.Idle == nil || !c.Idle[from]) {
				v += w.pump(h, w.Size-v, false)
			}
			if c.Dry != nil {
				x := max(0, min(v, c.Dry[from]))
				v -= x
				g.Spilled -= x
			}
			if topped && v < w.TopUp.Below {
				x := max(0, min(w.TopUp.To-v, w.TopUp.Most))
				v += x
				g.LetIn += x
				lack += x
			}
			g.Drawn += drawn
			g.Met += met
			if lack > 0 {
				short++
			}
		}
		g.Short += short
		is := short <= int64(allow)
		if is {
			g.Good++
		}
		if good != nil {
			good(y, is)
		}
	}
	h.Tank = v
	g.Spilled += g.LetIn - g.Drawn - h.All() // by the balance
	g.Met = max(0, g.Met-g.LetIn)
	return g
}

// Plain says whether the works are a tank and nothing else.
func (w *Works) Plain() bool {
	return len(w.Pumps) == 0 && w.TopUp.To == 0 && !slices.ContainsFunc(w.Keep, func(k int64) bool { return k > 0 })
}
