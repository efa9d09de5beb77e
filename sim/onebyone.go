package sim

import (
	"context"
	"slices"
	"time"

	"tankodds/rainfall"
	"tankodds/sim/internal/store"
)

// Where a day depends on what a tank holds there is no pass through all sizes at
// once: each goes through the trace by itself.

// course is what the trace drawn brings under so many times the site's roofs.
func (e *Ensemble) course(sc *Scratch, scale float64) *store.Course {
	n := len(sc.rain)
	c := &store.Course{Inflow: make([]int64, n)}
	for u := range e.wants {
		c.Want = append(c.Want, e.wanted(sc, u)[:n])
	}
	for i, r := range e.study.Roofs {
		to := c.Inflow
		if r.Surge > 0 {
			to = make([]int64, n)
		}
		area := float64(r.Area * scale)
		for k, t := range sc.days.Ends {
			to[t] += store.Units(float64(area * sc.depths[i][k]))
		}
		if r.Surge > 0 {
			c.Into(to)
		}
	}
	c.Rain, c.Dry = e.works.onOpen(sc.rain, sc.et0)
	if days := e.works.Pumping.Days; days != (Weekdays{}) {
		c.Idle = make([]bool, n)
		for t := range c.Idle {
			c.Idle[t] = !days.on(time.Weekday((t + 1) % 7))
		}
	}
	return c
}

// wanted is what a use wants on the days of the trace drawn: a bed by the weather
// and by the calendar.
func (e *Ensemble) wanted(sc *Scratch, u int) []int64 {
	for k, bed := range e.beds {
		if bed == u {
			return sumOf([][]int64{e.wants[u][:len(sc.rain)], sc.beds[k][:len(sc.rain)]}, len(sc.rain))
		}
	}
	return e.wants[u]
}

// asked is what the uses that the measures are about want in so many years after
// the run-in, units.
func (e *Ensemble) asked(sc *Scratch, years int) (sum int64) {
	const runIn = RunIn * rainfall.DaysPerYear
	of := sc.demand
	if u := e.works.of(); u >= 0 {
		of = e.wanted(sc, u)
	}
	for _, d := range of[runIn : runIn+years*rainfall.DaysPerYear] {
		sum += d
	}
	return sum
}

// oneByOne takes the tanks of a row through the trace drawn. What a year needs is
// told to the next larger size on the list: the smallest from which on all make it
// a good one.
func (e *Ensemble) oneByOne(sc *Scratch, row Row, out *rowTally) {
	const year = rainfall.DaysPerYear
	n, years, c := row.Sizes.len(), len(sc.rain)/year, e.course(sc, row.Scale)
	out.sums, out.met, out.spilled = store.NewSums(n), make([]int64, n), make([]int64, n)
	out.needs = make([]int64, years-RunIn)
	for y := range out.needs {
		out.needs[y] = store.Most + 1
	}
	for t := RunIn * year; t < years*year && c.Rain != nil; t++ { // what runs over is a share of all that comes in
		out.inflow += c.Rain[t]
	}
	of, above := e.works.of(), int64(store.Most+1) // the next larger size
	for k := n - 1; k >= 0; k-- {
		size := row.Sizes.index.At[k]
		works := e.works.store(size)
		h := works.NewHeld(store.Units(e.study.startsWith()))
		works.Run(c, h, 0, RunIn*year, year, e.study.Allow, of, nil)
		g := works.Run(c, h, RunIn*year, years*year, year, e.study.Allow, of, func(y int, good bool) {
			if good && out.needs[y] == above {
				out.needs[y] = size
			}
		})
		out.sums.Supplied[k], out.sums.Short[k], out.sums.Good[k] = max(0, g.Drawn-g.LetIn), g.Short, g.Good
		out.met[k], out.spilled[k] = g.Met, g.Spilled
		above = size
	}
}

// Where each size is looked at by itself only few of those that an answer may be
// are, and more of them round by round where the answer, its band and the size
// at which storage stops paying lie: so many a round between two.
const (
	nearingRounds = 2
	nearingSteps  = 8
	leastSlow     = 0.3  // days of mean use: nobody builds smaller
	mostSlow      = 2000 // nor larger
	mostNear      = 150  // sizes from which on none is added for the sake of the rest
)

// nearing runs the curves so.
func (q *Question) nearing(ctx context.Context) (*Curves, error) {
	s, all := q.study, q.study.rungs()
	day := MeanDemand(s.Uses)
	all = slices.DeleteFunc(all, func(x float64) bool { u := s.Usable(x); return u < leastSlow*day || u > mostSlow*day })
	c, err := q.curves(ctx, s.thin(all))
	for range nearingRounds {
		if err != nil {
			return nil, err
		}
		more := q.between(c, all)
		if len(more) == 0 {
			q.progress.add(q.traces)
			continue
		}
		rows := make([]Row, len(c.Totals.rows))
		for i, row := range c.Totals.rows {
			rows[i] = Row{Scale: row.Scale, Sizes: s.NewSizes(more)}
		}
		var late *Totals
		if late, err = q.Simulate(ctx, rows...); err == nil {
			c.Totals.take(s, late)
			c.Rungs = append(c.Rungs, more...)
			slices.Sort(c.Rungs)
			err = q.weigh(ctx, c)
		}
	}
	return c, err
}

// between lists sizes to look at next: of all that an answer may be some between
// the two of the curves' rungs where each thing sought lies.
func (q *Question) between(c *Curves, all []float64) (more []float64) {
	s, claims := q.study, &Claims{study: q.study, curves: c}
	around := func(k int) { // from the rung before k up to it
		if k <= 0 || k >= len(c.Rungs) {
			return
		}
		from, _ := slices.BinarySearch(all, c.Rungs[k-1])
		to, _ := slices.BinarySearch(all, c.Rungs[k])
		for i := 1; i < nearingSteps; i++ {
			if at := from + (to-from)*i/nearingSteps; at > from && at < to {
				more = append(more, all[at])
			}
		}
	}
	at := func(size float64) int {
		k, ok := slices.BinarySearch(c.Rungs, size)
		if !ok {
			return 0
		}
		return k
	}
	for i := range c.Areas {
		// How much short years come together is read where a few of them are.
		row, from, to := c.rows[i], 0, 0
		for k, x := range c.Rungs {
			switch good := c.Totals.of(Annual, row, c.Totals.rows[row].Sizes.At(x)).value; {
			case good < 0.75:
				from = k
			case good < 0.98:
				to = k
			}
		}
		for k := from + 1; k <= to && len(c.Rungs) < mostNear; k++ {
			a, _ := slices.BinarySearch(all, c.Rungs[k-1])
			b, _ := slices.BinarySearch(all, c.Rungs[k])
			for _, at := range []int{a + (b-a)/4, a + (b-a)/2, a + (b-a)*3/4} {
				if at > a && at < b {
					more = append(more, all[at])
				}
			}
		}
		_, rung := s.exact(c, i)
		around(rung)
		low, safe := claims.band(i, rung)
		around(at(low))
		around(at(safe))
	}
	if s.Costs == nil { // the last that is used often enough: the next is not
		around(at(s.Stop(c).Tank) + 1)
	}
	slices.Sort(more)
	return slices.DeleteFunc(slices.Compact(more), func(x float64) bool { _, ok := slices.BinarySearch(c.Rungs, x); return ok })
}

// take adds the sizes of another run of the same traces under the same roofs.
func (s *Totals) take(study *Study, late *Totals) {
	for i, row := range s.rows {
		other := late.rows[i].Sizes
		sizes := study.NewSizes(row.Sizes.Nominal, other.Nominal...)
		total, square := make([]tally, sizes.len()), make([]tally, sizes.len())
		for k, x := range other.Nominal {
			total[sizes.At(x)], square[sizes.At(x)] = late.total[i][k], late.square[i][k]
		}
		ladder := make([]float64, len(row.Ladder))
		for k, j := range row.Ladder {
			ladder[k] = row.Sizes.Nominal[j]
		}
		for k, x := range row.Sizes.Nominal { // they know what the steps of the ladder add
			total[sizes.At(x)], square[sizes.At(x)] = s.total[i][k], s.square[i][k]
		}
		s.rows[i].Sizes, s.rows[i].Ladder = sizes, sizes.Places(ladder)
		s.total[i], s.square[i] = total, square
		for trace, years := range s.needs[i] {
			s.needs[i][trace] = years.least(late.needs[i][trace])
		}
	}
}
