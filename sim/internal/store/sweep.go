package store

import (
	"math"
	"slices"
)

// Sweep takes the tanks of every size of a range through the days at once and
// finds what size each day asks for: one pass where the store needs one a
// size.
//
// The storage V after a day, as a function of the usable size S, never falls
// and never rises faster than S: it is made of levels and of rises of slope 1.
// A day moves it point by point, by Rule.Day, and bends it only where tanks
// begin to run dry (V′ = D by YAS, V′ + Q = D by YBS) and where they begin to
// spill; both bends lie at the small end, and every size beyond them gains
// Q − D. So the corners are a stack, the smallest size on top, what all of
// them gain is kept apart, and a day touches only the corners that its bends
// swallow: two or three on average. The size at the dry bend is what the day
// asks for: the tanks below it are short, those from it on are not. A year
// that may have k short days asks for the (k + 1)th largest of its days'
// sizes.
//
// The method is derived here (DERIV); the test is the store, size by size.
type Sweep struct {
	rule      Rule
	low, high float64  // the range of usable sizes, L, low < high
	corners   []corner // from high to low
	gain      float64  // of every corner, since its storage was noted, L
	moved     []corner // scratch
	asked     []float64
}

// corner is a usable size and the storage of that tank, L.
type corner struct{ size, held float64 }

// narrow is the share of the range's upper end below which two corners are
// one: between them a rise cannot be told from a level.
const narrow = 1e-13

// NewSweep returns a sweep of tanks that hold min(start, size).
func NewSweep(rule Rule, low, high, start float64) *Sweep {
	w := &Sweep{rule: rule, low: low, high: high}
	w.reset(start)
	return w
}

// reset begins anew.
func (w *Sweep) reset(start float64) {
	w.gain, w.corners = 0, append(w.corners[:0], corner{w.high, min(start, w.high)})
	if w.low < start && start < w.high {
		w.push(corner{start, start})
	}
	w.push(corner{w.low, min(start, w.low)})
}

// Day takes the tanks through a day of inflow q and demand d and returns the
// smallest size of the range that gives all of d: low if every one does, +Inf
// if none does.
func (w *Sweep) Day(q, d float64) float64 {
	dry, more := d, q // a tank holding less than the one runs dry; one with less room than the other spills
	if w.rule == YBS {
		dry, more = d-q, q-d
	}
	least := w.corners[len(w.corners)-1].held + w.gain // what the smallest tank holds
	if least >= dry && least+more <= w.low {
		w.gain += q - d
		return w.low
	}
	return w.bend(q, d, dry, more)
}

// bend is Day where some tank runs dry or over.
func (w *Sweep) bend(q, d, dry, more float64) float64 {
	enough := dry - d*shortBy // storage from which on the day is not short
	w.moved = w.moved[:0]
	at := w.pop()
	w.put(at, q, d)
	asks := math.Inf(1)
	if at.held >= enough {
		asks = w.low
	}
	for len(w.corners) > 0 && (at.held < dry || at.held+more > at.size) {
		// On the way to the next corner dryness ends on a rise, spilling on a
		// level; both only where rounding takes the one for the other.
		next := w.pop()
		meets := min(at.size+(dry-at.held), next.size)
		if at.held < enough && next.held >= enough {
			asks = meets
		}
		bent := at.size
		if at.held < dry && next.held >= dry {
			w.put(corner{meets, dry}, q, d)
			bent = meets
		}
		if at.held+more > at.size && next.held+more <= next.size {
			w.put(corner{min(max(bent, next.held+more), next.size), next.held}, q, d)
		}
		w.put(next, q, d)
		at = next
	}
	w.gain += q - d
	for k := len(w.moved) - 1; k >= 0; k-- {
		w.push(w.moved[k])
	}
	return asks
}

// put moves a corner through the day, to be pushed when all are.
func (w *Sweep) put(c corner, q, d float64) {
	_, _, c.held = w.rule.Day(c.size, c.held, q, d)
	w.moved = append(w.moved, c)
}

func (w *Sweep) pop() corner {
	n := len(w.corners) - 1
	c := w.corners[n]
	w.corners = w.corners[:n]
	c.held = min(max(0, c.held+w.gain), c.size) // past either by rounding only
	return c
}

// push adds a corner of a smaller size, and drops the one before it where the
// line goes straight on.
func (w *Sweep) push(c corner) {
	c.held -= w.gain
	n := len(w.corners)
	if n == 0 {
		w.corners = append(w.corners, c)
		return
	}
	before := w.corners[n-1]
	switch {
	case before.size-c.size <= narrow*w.high:
		if c.size > w.low {
			return
		}
		if n > 1 {
			w.corners = w.corners[:n-1]
		}
	case n > 1 && c.rises(before) == before.rises(w.corners[n-2]):
		w.corners = w.corners[:n-1]
	}
	w.corners = append(w.corners, c)
}

// rises says whether the storage rises from a corner to the next.
func (c corner) rises(next corner) bool { return next.held-c.held > (next.size-c.size)/2 }

// Year takes the tanks through the days of a year and returns the smallest
// size with no more than allow short days in it; low and +Inf as of Day. roof
// is the factor on the inflow.
func (w *Sweep) Year(roof float64, q, d []float64, allow int) float64 {
	w.asked = w.asked[:0]
	for t, x := range q {
		if asks := w.Day(float64(x*roof), d[t]); asks > w.low {
			w.asked = append(w.asked, asks)
		}
	}
	for k := range w.corners { // gains of many years would cost digits
		w.corners[k].held += w.gain
	}
	w.gain = 0
	if len(w.asked) <= allow {
		return w.low
	}
	if allow == 0 {
		return slices.Max(w.asked)
	}
	slices.Sort(w.asked)
	return w.asked[len(w.asked)-1-allow]
}
