package figure

import (
	"cmp"
	"image/color"
	"math"
	"slices"
	"sort"

	"gonum.org/v1/plot/vg"
)

// obstacle is a path that labels should keep off: each pt of it under a label
// costs weight.
type obstacle struct {
	path   []vg.Point
	weight float64
}

// label is a few lines of text about a point or a curve.
type label struct {
	lines []string // the first in bold
	plain bool     // not even the first
	color color.NRGBA
	at    []vg.Point // where it may be attached, the best first
	lead  bool       // a line may lead from the point to a label that lies off
	plate bool       // it stands on paper, whatever lies under it
	// home, where set, says whether a box lies within what it names; one that
	// does not is led to.
	home func(vg.Rectangle) bool
}

// bestFirst orders points by their worth, the greatest first.
func bestFirst(points []vg.Point, worth []float64) []vg.Point {
	order := make([]int, len(points))
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(i, j int) bool { return worth[order[i]] > worth[order[j]] })
	out := make([]vg.Point, len(points))
	for i, k := range order {
		out[i] = points[k]
	}
	return out
}

// Distances tried from the point to the label, pt.
var nearby = []vg.Length{7, 10, 14, 20, 28, 38, 50, 64, 80, 100, 125, 150}

// size returns how much room the label fills.
func (l label) size() (w, h vg.Length) {
	for i, s := range l.lines {
		w = max(w, l.face(i).width(s))
	}
	return w, vg.Length(len(l.lines)-1)*labelFace.leading() + labelFace.ascent() + labelFace.descent()
}

func (l label) face(i int) face {
	if i == 0 && !l.plain {
		return nameFace
	}
	return labelFace
}

// candidate is one place for a label: its box, the point it is attached to,
// and what it costs.
type candidate struct {
	box  vg.Rectangle
	from vg.Point
	cost float64
	n    int // how many were thought of before it
}

// Limits of the search in put, far above what real figures need.
const (
	maxCandidates = 500    // looked at of each label, the cheapest
	maxSearch     = 200000 // combinations looked at
)

// put sets labels where together they cost least: near their points, off the
// curves, never over one another, another text, a marker or the edge. It
// returns how many it set: the last ones are left out where there is no such
// arrangement.
func (p *panel) put(labels ...label) int {
	all := make([]*places, len(labels))
	for i, l := range labels {
		all[i] = p.places(l)
	}
	for n := len(labels); n > 0; n-- {
		if at := arrange(all[:n]); at != nil {
			for i, c := range at {
				p.set(labels[i], c)
			}
			return n
		}
	}
	return 0
}

// arrange chooses one candidate a label, the sum of costs least, by depth
// first search with a bound; nil where none fits.
func arrange(all []*places) []candidate {
	least := make([]float64, len(all)+1) // of all labels from i on
	for i := len(all) - 1; i >= 0; i-- {
		first, ok := all[i].at(0)
		if !ok {
			return nil
		}
		least[i] = least[i+1] + first.cost
	}
	var best []candidate
	bound, seen := math.Inf(1), 0
	chosen := make([]candidate, 0, len(all))
	var search func(sum float64)
	search = func(sum float64) {
		i := len(chosen)
		if i == len(all) {
			best, bound = append(best[:0], chosen...), sum
			return
		}
	next:
		for k := 0; ; k++ {
			c, ok := all[i].at(k)
			if !ok {
				return
			}
			if seen++; seen > maxSearch || sum+c.cost+least[i+1] >= bound {
				return
			}
			for _, o := range chosen {
				if clash(c, o) {
					continue next
				}
			}
			chosen = append(chosen, c)
			search(sum + c.cost)
			chosen = chosen[:i]
		}
	}
	search(0)
	return best
}

// clash reports whether two labels, or their leading lines, touch.
func clash(a, b candidate) bool {
	ea, eb := nearest(a.box, a.from), nearest(b.box, b.from)
	return overlap(a.box, b.box, 3) || inside(grow(a.box, 2), b.from, eb) > 0 || inside(grow(b.box, 2), a.from, ea) > 0 ||
		crosses(a.from, ea, b.from, eb)
}

// places are the candidates for a label, the cheapest first. What lies under
// one is looked at when its turn may have come, as for most it never does.
type places struct {
	weigh func(spot) []candidate // those of a spot that may be, each with what lies under it
	found []candidate            // weighed, the cheapest first
	rest  []spot                 // the cheapest first
}

// spot is where a label may be set: centred on at or, with a distance, about
// it so that the box's near edge is that far away. cost is for the distance
// alone.
type spot struct {
	from, at vg.Point
	away     vg.Length
	cost     float64
	n        int // how many were thought of before it
}

// directions are how many are tried about a point.
const directions = 16

// centres lists where a box of a size may be centred.
func (s spot) centres(w, h vg.Length) []vg.Point {
	if s.away == 0 {
		return []vg.Point{s.at}
	}
	out := make([]vg.Point, directions)
	for k := range out {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / directions)
		out[k] = vg.Point{
			X: s.at.X + s.away*vg.Length(cos) + side(cos)*w/2,
			Y: s.at.Y + s.away*vg.Length(sin) + side(sin)*h/2,
		}
	}
	return out
}

// at returns the candidate that k others come before; false where there is
// none. Of those that cost alike the one thought of first comes first.
func (s *places) at(k int) (candidate, bool) {
	for len(s.rest) > 0 && (k >= len(s.found) || s.found[k].cost >= s.rest[0].cost) {
		for _, c := range s.weigh(s.rest[0]) {
			i, _ := slices.BinarySearchFunc(s.found, c, func(a, b candidate) int {
				return cmp.Or(cmp.Compare(a.cost, b.cost), cmp.Compare(a.n, b.n))
			})
			s.found = slices.Insert(s.found, i, c)
		}
		s.rest = s.rest[1:]
	}
	if k >= min(len(s.found), maxCandidates) {
		return candidate{}, false
	}
	return s.found[k], true
}

// places lists the places for a label that lie within the area and over no
// text or marker set so far.
func (p *panel) places(l label) *places {
	w, h := l.size()
	var rest []spot
	for i, from := range l.at {
		for _, d := range nearby {
			if !l.lead && d > 14 {
				break
			}
			rest = append(rest, spot{from, from, d, float64(d)*0.5 + float64(i)*0.15, len(rest)})
		}
	}
	if l.lead { // and anywhere at all
		for y := p.area.Min.Y + h/2 + 2; y < p.area.Max.Y; y += 11 {
			for x := p.area.Min.X + w/2 + 2; x < p.area.Max.X; x += 17 {
				d := math.Hypot(float64(x-l.at[0].X), float64(y-l.at[0].Y))
				rest = append(rest, spot{l.at[0], vg.Point{X: x, Y: y}, 0, 25 + d, len(rest)})
			}
		}
	}
	slices.SortStableFunc(rest, func(a, b spot) int { return cmp.Compare(a.cost, b.cost) })
	return &places{rest: rest, weigh: func(s spot) (out []candidate) {
		for k, centre := range s.centres(w, h) {
			r := around(centre, w, h)
			if !within(r, p.area) || !p.page.free(r, 3) || l.home != nil && !l.home(r) && apartBy(r, s.from) <= leadFrom {
				continue
			}
			cost := s.cost + p.covered(r, 0)
			if l.lead {
				cost += p.crossed(s.from, nearest(r, s.from))
			}
			if !math.IsInf(cost, 0) {
				out = append(out, candidate{r, s.from, cost, s.n*directions + k})
			}
		}
		return out
	}}
}

// set draws the label in its box, on a plate of paper where something runs
// under it, and the line that leads to it.
func (p *panel) set(l label, at candidate) {
	r, from := at.box, at.from
	end := nearest(r, from)
	if d := apartBy(r, from); l.lead && d > leadFrom {
		k := 6 / d // start at the marker's rim
		p.page.c.StrokeLine2(stroke(l.color, 0.7), from.X+(end.X-from.X)*k, from.Y+(end.Y-from.Y)*k,
			end.X+(from.X-end.X)*2/d, end.Y+(from.Y-end.Y)*2/d)
	}
	if l.plate || p.covered(r, needsPlate) > 0 {
		p.fill(inset(r, -2, -1, -2, -1), color.NRGBA{0xff, 0xff, 0xff, 0xd8})
	}
	align, x := 0.0, r.Min.X
	switch mid := (r.Min.X + r.Max.X) / 2; {
	case mid < from.X-6:
		align, x = 1, r.Max.X
	case mid < from.X+6:
		align, x = 0.5, mid
	}
	y := r.Max.Y - labelFace.ascent()
	for i, s := range l.lines {
		p.page.text(s, l.face(i), readable(l.color), x, y, align)
		y -= labelFace.leading()
	}
}

// onSolid is what each square point of a bar under a label costs.
const onSolid = 0.15

// onDot is what each mark of a scatter under a label costs: as much as 35 pt of way.
const onDot = 35

// needsPlate is the weight from which a path under a text hides it; hairlines
// and the edges of bands are lighter.
const needsPlate = 0.5

// covered is what a box costs for the bars under it and the paths that weigh
// at least so much.
func (p *panel) covered(r vg.Rectangle, least float64) float64 {
	grown := grow(r, 2)
	sum := 0.0
	for _, s := range p.solids {
		if overlap(s, grown, 0) {
			sum += onSolid * float64((min(s.Max.X, grown.Max.X)-max(s.Min.X, grown.Min.X))*
				(min(s.Max.Y, grown.Max.Y)-max(s.Min.Y, grown.Min.Y)))
		}
	}
	if least == 0 { // dots ask for no plate: it would hide them
		for _, d := range p.dots {
			if overlap(d, r, 0.5) {
				sum += onDot
			}
		}
	}
	for _, o := range p.lines {
		if o.weight < least {
			continue
		}
		for i := 1; i < len(o.path); i++ {
			sum += o.weight * float64(inside(grown, o.path[i-1], o.path[i]))
		}
	}
	return sum
}

// crossed is what a leading line costs: it must not run through a text or
// another marker, and should not run through curves once it has left its own.
func (p *panel) crossed(a, b vg.Point) float64 {
	for _, t := range p.page.texts {
		if inside(t.box, a, b) > 0 {
			return math.Inf(1)
		}
	}
	for _, m := range p.page.marks {
		own := a.X >= m.Min.X && a.X <= m.Max.X && a.Y >= m.Min.Y && a.Y <= m.Max.Y
		if !own && inside(m, a, b) > 0 {
			return math.Inf(1)
		}
	}
	sum := 0.0
	for _, m := range p.dots {
		own := a.X >= m.Min.X && a.X <= m.Max.X && a.Y >= m.Min.Y && a.Y <= m.Max.Y
		if !own && inside(m, a, b) > 0 {
			sum += onDot // it would name that one
		}
	}
	d := vg.Length(math.Hypot(float64(b.X-a.X), float64(b.Y-a.Y)))
	if d < 8 {
		return sum
	}
	a.X, a.Y = a.X+(b.X-a.X)*7/d, a.Y+(b.Y-a.Y)*7/d
	for _, o := range p.lines {
		for i := 1; i < len(o.path); i++ {
			if crosses(a, b, o.path[i-1], o.path[i]) {
				sum += 8 * o.weight
			}
		}
	}
	return sum
}

// crosses reports whether the line from a to b crosses that from c to d.
func crosses(a, b, c, d vg.Point) bool {
	turn := func(p, q, r vg.Point) vg.Length { return (q.X-p.X)*(r.Y-p.Y) - (q.Y-p.Y)*(r.X-p.X) }
	return turn(a, b, c)*turn(a, b, d) < 0 && turn(c, d, a)*turn(c, d, b) < 0
}

// inside returns how much of the line from a to b lies within r (Liang &
// Barsky 1984).
func inside(r vg.Rectangle, a, b vg.Point) vg.Length {
	if max(a.X, b.X) < r.Min.X || min(a.X, b.X) > r.Max.X || max(a.Y, b.Y) < r.Min.Y || min(a.Y, b.Y) > r.Max.Y {
		return 0
	}
	t0, t1 := vg.Length(0), vg.Length(1)
	cut := func(d, q vg.Length) bool { // d·t ≤ q
		switch {
		case d == 0:
			return q >= 0
		case d < 0:
			t0 = max(t0, q/d)
		default:
			t1 = min(t1, q/d)
		}
		return t0 <= t1
	}
	dx, dy := b.X-a.X, b.Y-a.Y
	if !cut(-dx, a.X-r.Min.X) || !cut(dx, r.Max.X-a.X) || !cut(-dy, a.Y-r.Min.Y) || !cut(dy, r.Max.Y-a.Y) {
		return 0
	}
	return (t1 - t0) * vg.Length(math.Hypot(float64(dx), float64(dy)))
}

func within(r, in vg.Rectangle) bool {
	return r.Min.X >= in.Min.X && r.Max.X <= in.Max.X && r.Min.Y >= in.Min.Y+1 && r.Max.Y <= in.Max.Y+6
}

// leadFrom is the distance from which a line leads to a label, pt.
const leadFrom = 12

// apartBy is the distance of a point from a box.
func apartBy(r vg.Rectangle, at vg.Point) vg.Length {
	end := nearest(r, at)
	return vg.Length(math.Hypot(float64(end.X-at.X), float64(end.Y-at.Y)))
}

// nearest returns the point of a box nearest to another point.
func nearest(r vg.Rectangle, to vg.Point) vg.Point {
	return vg.Point{X: min(max(to.X, r.Min.X), r.Max.X), Y: min(max(to.Y, r.Min.Y), r.Max.Y)}
}

func side(x float64) vg.Length {
	switch {
	case x > 0.1:
		return 1
	case x < -0.1:
		return -1
	}
	return 0
}
