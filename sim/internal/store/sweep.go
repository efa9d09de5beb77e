package store

import "slices"

// Sweep takes the tanks of every size from 0 up through the days at once.
//
// The storage V after a day, as a function of the usable size S, never falls
// and never rises faster than S: it is made of levels and of rises of slope 1.
// From size 0 up:
//
//	V |            ______        level 2
//	  |      _____/              rise 1 … level 1, rise 2
//	  |_____/
//	  +---------------- S        a first level at 0: those tanks are empty
//
// To draw c eats the first c of the rises: the tanks up to there are empty, and
// the size at which the c-th unit of rise ends is what the draw asks for: the
// tanks below it are short, those from it on are not. To fill in q eats the
// first q of the levels: the tanks up to there are full. A dry spell is one
// draw, however long. Both happen at the small end, so the rises and levels are
// a stack with the smallest size on top, and a day touches two or three of them
// on average.
//
// By YBS a day is a draw of D − Q or an inflow of Q − D. By YAS a tank that is
// drawn on on a day of rain holds min(V′ + Q − Y, S − Y): those that give all
// of D or all they have. Below the size that the day asks for V′ is gone, and
// min(Q, S − V′) is held: there rises and levels change places, up to a rise of
// Q.
//
// The method is derived here (DERIV); the test is Rule.Day, size by size.
type Sweep struct {
	rule  Rule
	empty int64   // the first level: sizes up to here hold nothing
	pairs []pair  // then rise and level, from the largest sizes down; the first is out of reach
	n     int     // how many of them count
	most  []int64 // the most that days of the year ask for, rising
}

// pair is a rise of slope 1 and the level above it, units of size.
type pair struct{ rise, level int64 }

// beyond is out of reach: more than any size and any days' volumes. What a day
// asks for is beyond where no size gives it.
const beyond = 1 << 60

// NewSweep returns a sweep of tanks that hold min(start, size).
func NewSweep(rule Rule, start int64) *Sweep {
	w := &Sweep{rule: rule}
	w.Fill(start)
	return w
}

// Fill begins anew with tanks that hold min(start, size).
func (w *Sweep) Fill(start int64) {
	w.room(2)
	w.pairs[0] = pair{beyond, beyond}
	w.n, w.empty = fill(w.pairs, 1, beyond, start)
}

// room makes room for so many pairs more.
func (w *Sweep) room(more int) {
	if need := w.n + more; need > len(w.pairs) {
		w.pairs = append(w.pairs, make([]pair, need)...)
	}
}

// Days are the days of some years of one length as all tanks see them, whatever
// their roof: a year is cut into events, runs of dry days and a last one with
// rain or at the year's end.
type Days struct {
	Ends  []int32 // day on which each event ends
	years []int32 // first event of each year, and one more
	use   []int64 // demand up to each day's morning, and one more
}

// First is the first event of a year.
func (d *Days) First(year int) int { return int(d.years[year]) }

// Cut cuts days into years of a length at the days with rain, those above 0; use
// is the demand up to the morning of each day and of the one after the last,
// units.
func (d *Days) Cut(rain, use []int64, year int) {
	d.years, d.use = d.years[:0], use
	if cap(d.Ends) < len(rain)+1 {
		d.Ends = make([]int32, len(rain)+1)
	}
	ends, n := d.Ends[:len(rain)+1], 0
	for from := 0; from < len(rain); from += year {
		d.years = append(d.years, int32(n))
		to := min(from+year, len(rain))
		for t, q := range rain[from:to] {
			ends[n] = int32(from + t)
			if q > 0 { // counted without a guess
				n++
			}
		}
		if rain[to-1] <= 0 {
			ends[n] = int32(to - 1)
			n++
		}
	}
	d.years = append(d.years, int32(n))
	d.Ends = ends[:n]
}

// Year takes the tanks through a year of days with the inflow of each event. It
// returns the smallest size with no more than allow short days in it, beyond
// Most where there is none. What the tanks of its sizes give and lack is added
// to tally, if there is one.
func (w *Sweep) Year(days *Days, year int, inflow []int64, allow int, tally *Tally) int64 {
	from, to := days.years[year], days.years[year+1]
	w.room(2*int(to-from) + 2)
	w.most = w.most[:0]
	need := int64(0)
	first := 0 // day of the event
	if from > 0 {
		first = int(days.Ends[from-1]) + 1
	}
	// The stack is kept in local variables: through memory every step would
	// wait for the one before.
	p, n, empty := w.pairs, w.n, w.empty
	use, inflow, ybs := days.use, inflow[from:to], w.rule == YBS
	for e, end := range days.Ends[from:to] {
		last := int(end)
		rain := inflow[e]
		morning := use[last]
		dry, d := morning-use[first], use[last+1]-morning
		if ybs {
			now := min(d, rain) // is given without a tank
			d -= now
			rain -= now
			if tally != nil {
				tally.given += now
			}
		}
		if tally != nil && dry+d > 0 {
			tell(p[:n], empty, use[first:last+1], d, tally)
		}
		if allow > 0 {
			was := int64(0)
			for t := first; t <= last; t++ {
				due := dry + d
				if t < last {
					due = use[t+1] - use[first]
				}
				if due > was {
					w.keep(asks(p[:n], empty, due), allow)
				}
				was = due
			}
		}
		asked := int64(0)
		if ybs || rain == 0 || d == 0 {
			if dry+d > 0 {
				n, empty = draw(p, n, empty, dry+d)
				asked = empty
			}
			n, empty = fill(p, n, empty, rain)
		} else {
			n, empty = draw(p, n, empty, dry)
			n, empty, asked = exchange(p, n, empty, d, rain)
		}
		need = max(need, asked)
		first = last + 1
	}
	w.n, w.empty = n, empty
	if allow > 0 {
		need = 0
		if len(w.most) > allow {
			need = w.most[0]
		}
	}
	if tally != nil {
		tally.years[find(tally.first, tally.cells, need)]++
	}
	return need
}

// Run is Year of a stretch of days of inflow q and demand d.
func (w *Sweep) Run(q, d []int64, allow int, tally *Tally) int64 {
	if len(q) == 0 {
		return 0
	}
	use := make([]int64, len(q)+1)
	for t := range q {
		use[t+1] = use[t] + d[t]
	}
	var days Days
	days.Cut(q, use, len(q))
	inflow := make([]int64, len(days.Ends))
	for e, t := range days.Ends {
		inflow[e] = q[t]
	}
	return w.Year(&days, 0, inflow, allow, tally)
}

// draw empties every tank by c at most. Where the c-th unit of rise ends is what
// it asks for, the new first level.
func draw(p []pair, n int, empty, c int64) (int, int64) {
	n--
	for c > p[n].rise {
		c -= p[n].rise
		empty += p[n].rise + p[n].level
		n--
	}
	p[n].rise -= c
	return n + 1, empty + c
}

// fill fills every tank by q at most.
func fill(p []pair, n int, empty, q int64) (int, int64) {
	switch {
	case q == 0:
		return n, empty
	case q < empty:
		p[n] = pair{q, empty - q}
		return n + 1, 0
	}
	p[n-1].rise += empty
	return flood(p, n-1, q-empty) + 1, 0
}

// flood turns the first q of the levels from pair k down into rises and returns
// the pair where that ends.
func flood(p []pair, k int, q int64) int {
	for q >= p[k].level {
		q -= p[k].level
		k--
		p[k].rise += p[k+1].rise + p[k+1].level
	}
	p[k].rise += q
	p[k].level -= q
	return k
}

// exchange is a day of YAS on which d > 0 is drawn and q > 0 flows in. It
// returns what the day asks for beside the stack.
func exchange(p []pair, n int, empty, d, q int64) (int, int64, int64) {
	// The draw ends in the rise of pair k, above the levels of all before it.
	k, levels, rest := n-1, empty, d
	for rest > p[k].rise {
		rest -= p[k].rise
		levels += p[k].level
		k--
	}
	p[k].rise -= rest
	// Of those levels the inflow fills the first, room, up to pair i; the rises
	// among them are the levels now.
	room := min(q, levels)
	flat, i, left, level := levels+d-room, n, room, empty
	for level < left {
		left -= level
		i--
		flat -= p[i].rise
		level = p[i].level
	}
	k = flood(p, k, q-room)
	rise := p[i].rise
	k++
	p[k] = pair{left, flat}
	for i++; i <= n; i++ {
		above := rise
		rise = p[i].rise
		level = empty
		if i < n {
			level = p[i].level
		}
		k++
		p[k] = pair{level, above}
	}
	if p[k].rise > 0 {
		return k + 1, 0, levels + d
	}
	return k, p[k].level, levels + d
}

// asks is what a draw of c asks for.
func asks(p []pair, empty, c int64) int64 {
	k := len(p) - 1
	for rest := c; rest > p[k].rise; k-- {
		rest -= p[k].rise
		empty += p[k].level
	}
	return empty + c
}

// tell adds to the tally what the tanks give and lack on the days of an event:
// dry days, from the first of starts to the last, and a day that draws d.
func tell(p []pair, empty int64, starts []int64, d int64, tally *Tally) {
	first, cells := tally.first, tally.cells
	most := cells[len(cells)-2].size
	start, dry := starts[0], starts[1:]
	end := starts[len(starts)-1] + d
	k := len(p) - 1
	at, top, was := empty-start, start+p[k].rise, start // of the rise looked at: the levels below it, the rises up to its end
	from := empty
	for {
		c := &cells[find(first, cells, from)]
		c.slope++
		c.at += from
		for len(dry) > 0 && dry[0] <= top {
			if due := dry[0]; due != was {
				was = due
				cells[find(first, cells, at+due)].days++
			}
			dry = dry[1:]
		}
		if end <= top {
			break
		}
		to := at + top
		c = &cells[find(first, cells, to)]
		c.slope--
		c.at -= to
		at += p[k].level
		from = at + top
		if from > most {
			cells[len(cells)-1].days += rising(was, dry) // beyond all sizes
			break
		}
		k--
		top += p[k].rise
	}
	// The last day asks for the size at which the draw ends.
	to := at + end
	c := &cells[find(first, cells, to)]
	c.slope--
	c.at -= to
	if d > 0 {
		c.days++
	}
}

// rising counts those of x that are above the one before, was before the first.
func rising(was int64, x []int64) (n int64) {
	for _, x := range x {
		n += int64(uint64(was-x) >> 63)
		was = x
	}
	return n
}

// keep keeps what a day asks for among the allow + 1 that ask for the most,
// rising.
func (w *Sweep) keep(asked int64, allow int) {
	if len(w.most) > allow {
		if asked <= w.most[0] {
			return
		}
		w.most = w.most[:copy(w.most, w.most[1:])]
	}
	at, _ := slices.BinarySearch(w.most, asked)
	w.most = slices.Insert(w.most, at, asked)
}

// Held sets dst to what the tanks of rising sizes hold.
func (w *Sweep) Held(dst, sizes []int64) {
	k := w.n - 1
	from, held := w.empty, int64(0) // of the rise of pair k: its smallest size, and what that holds
	for j, size := range sizes {
		for size > from+w.pairs[k].rise+w.pairs[k].level {
			held += w.pairs[k].rise
			from += w.pairs[k].rise + w.pairs[k].level
			k--
		}
		dst[j] = held + min(max(0, size-from), w.pairs[k].rise)
	}
}
