package sim

import (
	"cmp"
	"context"
	"math"
	"slices"

	"tankodds/sim/internal/steady"
	"tankodds/sim/internal/store"
)

// turner looks for both numbers of Turned at once. With all uses k times as large
// every volume of a day is k times what it is with roofs and tank 1/k times as
// large. So a row of roofs x times as large tells of two questions: with the
// tank's size, of a roof x times as large; with x times the size, of a use 1/x
// times as large. They differ by what is rounded to units of 10 mL, a day's
// demand or its inflow, which moves a share by some hundred-thousandths, and by a
// storage on the first morning that the study states, which the run-in wears off.
//
// The share does not rise smoothly. Where it is not the roof that is wanting, a
// tank lasts so many days, and one day more is a jump.
type turner struct {
	q      *Question // of so many traces as are run at a time
	size   float64   // nominal, L
	levers [2]lever
	points []point // rising
	needs  *turner // whose rows tell what years need; itself where nil
}

// point is a row that was run: roofs x times as large.
type point struct {
	x   float64
	run *Totals
	row int
	w   *Weights // nil where it was not asked what years need
	of  [2]Claim // of the two questions
}

// The two questions, and what is held against the target.
const (
	ofUse  = 0
	ofRoof = 1

	byValue = 0
	byHigh  = 1
	byLow   = 2
)

// How far a use and a roof are looked for, as factors of the site's own, and how
// many traces tell where to look.
const (
	mostTimes    = 1000
	mostRoof     = 16
	coarseTraces = 20
	glanceTraces = 100
	aboutTraces  = 200 // where no more are run
	aboutMargin  = 1.01
	mapTraces    = 200
)

// around is where a glance looks, beside where a coarser one found the target met:
// bounds lie further off than the number itself.
var around = []float64{0.4, 0.55, 0.7, 0.8, 0.9, 1.1, 1.2, 1.35, 1.6, 2, 3, 5}

// turner looks with so many traces of the main run.
func (q *Question) turner(traces int) *turner {
	s, other := q.study, *q
	other.progress, other.traces = &progress{}, min(traces, q.traces)
	day, area := MeanDemand(s.Uses), TotalArea(s.Roofs)
	return &turner{q: &other, size: s.largest(), levers: [2]lever{
		{unit: s.Unit, own: day, way: -1, least: max(LeastDemand, day/mostTimes), most: min(day*mostTimes, MostDemand/2)},
		{unit: cmp.Or(s.AreaUnit, 1), own: area, way: 1, least: area / mostTimes, most: area * mostRoof},
	}}
}

// glance looks everywhere with a few traces, and then with those of t where the
// target is met.
func (t *turner) glance(ctx context.Context, q *Question) error {
	// The wettest day ever measured, 1.8 m, must not be more than can be reckoned
	// with.
	most := max(1, min(mostTimes, MostTank/(4000*t.levers[ofRoof].own), 0.5*MostTank/t.size))
	coarse := q.turner(coarseTraces)
	if err := coarse.look(ctx, steady.Ratios(1.0/mostTimes, most, 48), nil); err != nil {
		return err
	}
	var near []float64
	whole := []float64{1}
	for of := range t.levers {
		if x, ok := coarse.crossing(of, byValue); ok {
			whole = append(whole, x)
			for _, r := range around {
				near = append(near, min(float64(x*r), most))
			}
		}
	}
	return t.look(ctx, near, whole)
}

// closer looks between the points where each bound comes to meet the target: at a
// jump no curve tells where.
func (t *turner) closer(ctx context.Context) error {
	var whole []float64
	for _, parts := range []int{8, 4} {
		var xs []float64
		for of, l := range t.levers {
			for by := range 3 {
				x, ok := t.crossing(of, by)
				if !ok {
					continue
				}
				if by != byValue && parts == 8 {
					whole = append(whole, x)
				}
				k, _ := t.find(x)
				low, high := t.points[k-1].x, t.points[k].x
				for part := 1; part < parts && l.stride(low, high/low-1) > 1; part++ {
					xs = append(xs, l.x(l.near(low+float64((high-low)*float64(part)/float64(parts)))))
				}
			}
		}
		if err := t.look(ctx, xs, whole); err != nil {
			return err
		}
	}
	return nil
}

// settle finds what meets the target by its value with all traces, from what few
// said: numbers counted as in levers.
func (t *turner) settle(ctx context.Context, few *turner) (found [2]int, ok [2]bool, err error) {
	target := t.q.study.Target
	var ran [2][]int
	for of, l := range t.levers {
		var x float64
		if x, ok[of] = few.crossing(of, byValue); ok[of] {
			found[of] = l.near(x)
			if o, is := few.first(of, byValue, target-t.astray(few, few.seen(of, x))); is {
				found[of] = o
			}
			is := l.value(found[of])
			ok[of] = is > 0.9*l.least && is < 1.1*l.most
		}
	}
	for round := range 20 {
		var plain, whole []float64
		for of, l := range t.levers {
			if !ok[of] {
				continue
			}
			reads := func(o int) float64 { return t.at(of, byValue, l.x(o)) }
			low, high := math.MinInt, math.MaxInt // that do not, and do
			for _, o := range ran[of] {
				if reads(o) < target {
					low = max(low, o)
				}
			}
			for _, o := range ran[of] {
				if o > low {
					high = min(high, o)
				}
			}
			if high != math.MaxInt && high-low == 1 {
				found[of] = high
				continue
			}
			// Few traces err by nearly the same at numbers next to each other.
			about := func(o int) float64 {
				x := few.at(of, byValue, l.x(o))
				if len(ran[of]) > 0 {
					near := slices.MinFunc(ran[of], func(a, b int) int { return max(a-o, o-a) - max(b-o, o-b) })
					x += reads(near) - few.at(of, byValue, l.x(near))
				}
				return x
			}
			o := found[of]
			for k := 0; k < 200 && o > low+1 && about(o-1) >= target; k++ {
				o--
			}
			for k := 0; k < 200 && o < high-1 && about(o) < target; k++ {
				o++
			}
			if low != math.MinInt && high != math.MaxInt && round > 4 {
				o = low + (high-low)/2
			}
			found[of] = o
			stride := l.stride(l.x(o), 0.005)
			aside := []int{-stride, 0, stride}
			if round > 0 {
				aside = []int{-1, 0, 1}
			}
			look := func(o int) {
				if o > low && o < high {
					plain = append(plain, l.x(o))
					ran[of] = append(ran[of], o)
				}
			}
			switch out := stride << min(round, 8); { // where few traces misled
			case round == 0:
			case low == math.MinInt:
				look(slices.Min(ran[of]) - out)
			case high == math.MaxInt:
				look(slices.Max(ran[of]) + out)
			}
			for _, k := range aside {
				look(o + k)
			}
			// What years need has much the same to say of roofs nearly alike.
			if x := l.x(o); !slices.ContainsFunc(t.points, func(p point) bool { return p.w != nil && math.Abs(p.x/x-1) < 0.015 }) {
				whole = append(whole, x)
			}
		}
		if plain == nil {
			break
		}
		if err = t.look(ctx, plain, whole); err != nil {
			return found, ok, err
		}
	}
	for of, l := range t.levers {
		is := l.value(found[of])
		ok[of] = ok[of] && is >= l.least && is <= l.most
	}
	return found, ok, nil
}

// seen is what the synthetic years show of the size of a question where roofs are
// x times as large, between points straight from one to the next.
func (t *turner) seen(of int, x float64) float64 {
	k, found := t.find(x)
	if found || k == 0 || k == len(t.points) {
		return t.points[min(k, len(t.points)-1)].of[of].seen
	}
	a, b := t.points[k-1], t.points[k]
	return a.of[of].seen + float64((x-a.x)/(b.x-a.x)*(b.of[of].seen-a.of[of].seen))
}

// astray is by how much few traces show too small a share, near to one of them: by
// what they and all show of some size under the site's own roofs.
func (t *turner) astray(few *turner, share float64) float64 {
	a, found := few.find(1)
	b, _ := t.find(1)
	if !found {
		return 0
	}
	part, all, m := few.points[a], t.points[b], t.q.study.Measure
	if m == Annual {
		size := ranked(part.run.sorted(part.row), share)
		if size > store.Most {
			return 0
		}
		return all.run.goodAt(all.row, size).value - part.run.goodAt(part.row, size).value
	}
	sizes := part.run.rows[part.row].Sizes
	for k, nominal := range sizes.Nominal {
		if is := part.run.of(m, part.row, k).value; is >= share && all.run.rows[all.row].Sizes.Has(nominal) {
			return all.run.of(m, all.row, all.run.rows[all.row].Sizes.At(nominal)).value - is
		}
	}
	return 0
}

// bound is where a bound meets the target: as few traces tell, less what these err
// by at the number found with all.
func (t *turner) bound(few *turner, of, by, found int) float64 {
	l, at := t.levers[of], t.levers[of].x(found)
	err := few.at(of, by, at) - t.at(of, by, at)
	o, ok := few.first(of, by, t.q.study.Target+err)
	if is := l.value(o); ok && is >= l.least && is <= l.most {
		return is
	}
	return math.NaN()
}

// find is the first point that is not before x.
func (t *turner) find(x float64) (int, bool) {
	return slices.BinarySearchFunc(t.points, x, func(p point, x float64) int {
		switch {
		case p.x < x:
			return -1
		case p.x > x:
			return 1
		}
		return 0
	})
}

// look runs rows of roofs so many times as large, of the whole of which it is also
// asked what years need: the most of the work.
func (t *turner) look(ctx context.Context, plain, whole []float64) error {
	s := t.q.study
	var ladder []float64
	if s.Measure != Annual { // what years need tells of good years
		ladder = s.thin(s.rungs())
	}
	var rows []Row
	for k, x := range append(slices.Clone(whole), plain...) {
		at, found := t.find(x)
		same := slices.ContainsFunc(rows, func(r Row) bool { return r.Scale == x })
		if same || found && (k >= len(whole) || t.points[at].w != nil) {
			continue
		}
		row := Row{Scale: x, Plain: k >= len(whole)}
		switch own := []float64{t.sizeOf(ofUse, x), t.sizeOf(ofRoof, x)}; {
		case row.Plain:
			row.Sizes = s.NewSizes(own)
		case s.Measure != Annual:
			const far = 8 // smaller tanks than that have no say
			from, _ := slices.BinarySearch(ladder, slices.Min(own)/far)
			row.Sizes = s.NewSizes(own, ladder[from:]...)
			row.Ladder = row.Sizes.Places(ladder[from:])
		}
		rows = append(rows, row)
	}
	if len(rows) > 0 {
		sum, err := t.q.Simulate(ctx, rows...)
		if err != nil {
			return err
		}
		for i, r := range rows {
			p := point{x: r.Scale, run: sum, row: i}
			if !r.Plain {
				p.w = sum.Weights(i, s.Level).Heed(s.Measure, s.Target, sum.Evidence)
			}
			if at, found := t.find(p.x); found {
				t.points[at] = p
			} else {
				t.points = slices.Insert(t.points, at, p)
			}
		}
	}
	t.weigh()
	return nil
}

// weigh makes the claims of what was run.
func (t *turner) weigh() {
	for k := range t.points {
		for of := range t.levers {
			p := &t.points[k]
			p.of[of] = t.claim(p.x, p.run, p.row, t.sizeOf(of, p.x))
		}
	}
}

// sizeOf is the nominal size that a row of roofs x times as large is asked about.
func (t *turner) sizeOf(of int, x float64) float64 {
	if of == ofRoof || x == 1 {
		return t.size
	}
	s := t.q.study
	return s.Nominal(float64(s.Usable(t.size) * x))
}

// claim is what is claimed of a nominal size in a row of a run, by what years need
// under the roofs nearest on either side of which that was asked; what the
// synthetic years show where there are none.
func (t *turner) claim(x float64, run *Totals, row int, nominal float64) Claim {
	s := t.q.study
	var of, good share
	if z := run.rows[row].Sizes; z != nil && z.Has(nominal) {
		k := z.At(nominal)
		of, good = run.of(s.Measure, row, k), run.of(Annual, row, k)
	} else {
		good = run.goodAt(row, s.usable(nominal))
		of = good
	}
	var below, above *point
	points := t.points
	if t.needs != nil {
		points = t.needs.points
	}
	for k := range points {
		switch p := &points[k]; {
		case p.w == nil:
		case p.x <= x:
			below = p
		case above == nil:
			above = p
		}
	}
	say := func(p *point) Claim { return p.w.claim(s.Measure, of, good.value) }
	switch {
	case below == nil && above == nil:
		return Claim{Interval: Interval{of.value, of.value, of.value}, seen: of.value, held: of.value}
	case above == nil || below != nil && below.x == x:
		return say(below)
	case below == nil:
		return say(above)
	}
	a, b := say(below), say(above)
	w := (x - below.x) / (above.x - below.x)
	for _, v := range [][2]*float64{{&a.Estimate, &b.Estimate}, {&a.Low, &b.Low}, {&a.High, &b.High}, {&a.held, &b.held}} {
		*v[0] += float64(w * (*v[1] - *v[0]))
	}
	return a
}

// read is what is held against the target at a point.
func (p point) read(of, by int, s *Study) float64 {
	switch c := p.of[of]; by {
	case byHigh:
		return c.High
	case byLow:
		return c.Low
	default:
		return s.valueOf(c)
	}
}

// at reads it between points: the cubic through the four around, no further than
// the two beside; past the ends what stands there.
func (t *turner) at(of, by int, x float64) float64 {
	k, found := t.find(x)
	read := func(i int) float64 { return t.points[i].read(of, by, t.q.study) }
	switch n := len(t.points); {
	case found, k == 0:
		return read(k)
	case k == n:
		return read(n - 1)
	}
	from, to := max(0, k-2), min(len(t.points), k+2)
	sum := 0.0
	for i := from; i < to; i++ {
		y := read(i)
		for j := from; j < to; j++ {
			if j != i {
				y = float64(y * ((x - t.points[j].x) / (t.points[i].x - t.points[j].x)))
			}
		}
		sum += y
	}
	a, b := read(k-1), read(k)
	return min(max(sum, min(a, b)), max(a, b))
}

// crossing is where the target is met from on; there is none where no point meets
// it or all do.
func (t *turner) crossing(of, by int) (x float64, ok bool) {
	return t.crosses(of, by, t.q.study.Target)
}

func (t *turner) crosses(of, by int, target float64) (x float64, ok bool) {
	k := len(t.points)
	for k > 0 && t.points[k-1].read(of, by, t.q.study) >= target {
		k--
	}
	if k == 0 || k == len(t.points) {
		return 0, false
	}
	low, high := t.points[k-1].x, t.points[k].x
	for range 40 {
		if mid := (low + high) / 2; t.at(of, by, mid) >= target {
			high = mid
		} else {
			low = mid
		}
	}
	return high, true
}

// first is the first number that meets a target.
func (t *turner) first(of, by int, target float64) (o int, ok bool) {
	x, ok := t.crosses(of, by, target)
	if !ok {
		return 0, false
	}
	l := t.levers[of]
	meets := func(o int) bool { return t.at(of, by, l.x(o)) >= target }
	for o = l.near(x); !meets(o); {
		o++
	}
	for meets(o - 1) {
		o--
	}
	return o, true
}

// about is a number on the safe side of what few traces tell.
func (t *turner) about(of int) float64 {
	x, ok := t.crossing(of, byValue)
	if !ok {
		return math.NaN()
	}
	l := t.levers[of]
	if is := l.value(l.near(x * aboutMargin)); is >= l.least && is <= l.most {
		return is
	}
	return math.NaN()
}

// lever is what is looked for: numbers of three digits in the reader's unit,
// counted so that the target is met sooner with a larger count.
type lever struct {
	unit, own   float64 // the reader's unit and the site's own, L a day or m²
	way         int     // 1, or -1 where a smaller number meets the target sooner
	least, most float64
}

// value is a number, L a day or m².
func (l lever) value(o int) float64 {
	n := o * l.way
	e := int(math.Floor(float64(n) / 900))
	return float64(threeDigits(100+n-900*e, e) * l.unit)
}

// x is by how much larger roofs do the same.
func (l lever) x(o int) float64 {
	if l.way < 0 {
		return l.own / l.value(o)
	}
	return l.value(o) / l.own
}

// near counts to the number below what roofs x times as large do.
func (l lever) near(x float64) int {
	is := l.own * x / l.unit
	if l.way < 0 {
		is = l.own / x / l.unit
	}
	e := int(math.Floor(math.Log10(is))) - 2
	return l.way * (900*e + min(999, max(100, int(is/math.Pow10(e)))) - 100)
}

// stride is how many numbers are a share of one there.
func (l lever) stride(x, share float64) int {
	o := l.near(x)
	return max(1, int(share/math.Abs(l.x(o+1)/l.x(o)-1)))
}

// spots are a map of tanks under other roofs, around the own and those found.
func (t *turner) spots(ctx context.Context, q *Question, around ...float64) ([]Spot, error) {
	const rows, columns = 11, 15
	s, area := q.study, t.levers[ofRoof].own
	low, high := 1.0, 1.0
	for _, x := range around {
		low, high = min(low, x), max(high, x)
	}
	sizes := append(steady.Ratios(t.size/6, t.size*3, columns), t.size)
	sizes = slices.DeleteFunc(sizes, func(x float64) bool { return !(s.usable(x) > 0 && s.usable(x) < store.Most) })
	slices.Sort(sizes)
	roofs := steady.Ratios(low*0.6, min(high*1.6, mostRoof), rows)
	var run []Row
	for _, x := range roofs {
		run = append(run, Row{Scale: x, Sizes: s.NewSizes(sizes), Plain: true})
	}
	sum, err := q.turner(mapTraces).q.Simulate(ctx, run...)
	if err != nil {
		return nil, err
	}
	var out []Spot
	for i, x := range roofs {
		for _, size := range sizes {
			out = append(out, Spot{Roof: float64(x * area), Tank: size, Share: s.said(t.claim(x, sum, i, size))})
		}
	}
	return out, nil
}
