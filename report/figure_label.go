package report

import (
	"image/color"
	"math"
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
	color color.NRGBA
	at    []vg.Point // where it may be attached, the best first
	lead  bool       // a line may lead from the point to a label that lies off
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
	if i == 0 {
		return nameFace
	}
	return labelFace
}

// put sets a label where it costs least: near its point, off the curves, never
// over another text, a marker or the edge. It reports false, and sets
// nothing, where there is no such place.
func (p *panel) put(l label) bool {
	w, h := l.size()
	best, found := math.Inf(1), false
	var at vg.Rectangle
	var from vg.Point
	try := func(anchor vg.Point, r vg.Rectangle, extra float64) {
		if extra >= best || !within(r, p.area) || !p.page.free(r, 3) {
			return
		}
		cost := extra + p.covered(r)
		if l.lead {
			cost += p.crossed(anchor, nearest(r, anchor), r)
		}
		if cost < best {
			best, at, from, found = cost, r, anchor, true
		}
	}
	for i, anchor := range l.at {
		for _, d := range nearby {
			if !l.lead && d > 14 {
				break
			}
			for k := range 16 {
				sin, cos := math.Sincos(2 * math.Pi * float64(k) / 16)
				c := vg.Point{ // of the label's box, whose near edge is d away
					X: anchor.X + d*vg.Length(cos) + side(cos)*w/2,
					Y: anchor.Y + d*vg.Length(sin) + side(sin)*h/2,
				}
				r := vg.Rectangle{Min: vg.Point{X: c.X - w/2, Y: c.Y - h/2}, Max: vg.Point{X: c.X + w/2, Y: c.Y + h/2}}
				try(anchor, r, float64(d)*0.5+float64(i)*0.15)
			}
		}
	}
	if !found && l.lead { // anywhere at all
		for y := p.area.Min.Y; y+h < p.area.Max.Y; y += 5 {
			for x := p.area.Min.X; x+w < p.area.Max.X; x += 5 {
				r := vg.Rectangle{Min: vg.Point{X: x, Y: y}, Max: vg.Point{X: x + w, Y: y + h}}
				end := nearest(r, l.at[0])
				try(l.at[0], r, math.Hypot(float64(end.X-l.at[0].X), float64(end.Y-l.at[0].Y)))
			}
		}
	}
	if !found {
		return false
	}
	p.set(l, at, from)
	return true
}

// set draws the label in its box, on a plate of paper where something runs
// under it, and the line that leads to it.
func (p *panel) set(l label, r vg.Rectangle, from vg.Point) {
	end := nearest(r, from)
	if d := vg.Length(math.Hypot(float64(end.X-from.X), float64(end.Y-from.Y))); l.lead && d > 12 {
		k := 6 / d // start at the marker's rim
		p.page.c.StrokeLine2(stroke(l.color, 0.7), from.X+(end.X-from.X)*k, from.Y+(end.Y-from.Y)*k,
			end.X+(from.X-end.X)*2/d, end.Y+(from.Y-end.Y)*2/d)
	}
	if p.covered(r) > 0 {
		plate := vg.Rectangle{Min: vg.Point{X: r.Min.X - 2, Y: r.Min.Y - 1}, Max: vg.Point{X: r.Max.X + 2, Y: r.Max.Y + 1}}
		p.fill(plate, color.NRGBA{0xff, 0xff, 0xff, 0xd8})
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

// covered is what a box costs for the paths that run under it.
func (p *panel) covered(r vg.Rectangle) float64 {
	grown := vg.Rectangle{Min: vg.Point{X: r.Min.X - 2, Y: r.Min.Y - 2}, Max: vg.Point{X: r.Max.X + 2, Y: r.Max.Y + 2}}
	sum := 0.0
	for _, o := range p.lines {
		for i := 1; i < len(o.path); i++ {
			sum += o.weight * float64(inside(grown, o.path[i-1], o.path[i]))
		}
	}
	return sum
}

// crossed is what a leading line costs: it must not run through a text, and
// should not run through a curve far from its point.
func (p *panel) crossed(a, b vg.Point, own vg.Rectangle) float64 {
	for _, t := range p.page.texts {
		if inside(t.box, a, b) > 0 {
			return math.Inf(1)
		}
	}
	for _, m := range p.page.marks {
		if !(a.X >= m.Min.X && a.X <= m.Max.X && a.Y >= m.Min.Y && a.Y <= m.Max.Y) && inside(m, a, b) > 0 {
			return math.Inf(1)
		}
	}
	return 0
}

// inside returns how much of the line from a to b lies within r (Liang &
// Barsky 1984).
func inside(r vg.Rectangle, a, b vg.Point) vg.Length {
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

// endLabel names a curve where it ends, in the margin to the right.
type endLabel struct {
	lines []string // the first in bold where it is the point
	bold  bool
	color color.NRGBA
	y     vg.Length // where the curve ends
}

const endGap = vg.Length(14) // between the area and the labels, pt

func (e endLabel) face(i int) face {
	if i == 0 && e.bold {
		return nameFace
	}
	return face{labelFace.size - 0.5, false}
}

func (e endLabel) height() vg.Length {
	return vg.Length(len(e.lines))*labelFace.leading()*0.95 + 1
}

// ends sets the labels as near to their curves as they can be without
// touching, in the order given, from the top down, and leads to those that
// had to move. It fails where they are higher than lo to hi together.
func (p *panel) ends(labels []endLabel, lo, hi vg.Length) {
	want, height := make([]float64, len(labels)), make([]float64, len(labels))
	for i, l := range labels {
		want[i], height[i] = float64(l.y), float64(l.height())
	}
	for i, y := range spread(want, height, float64(lo), float64(hi)) {
		l, mid := labels[i], vg.Length(y)
		x := p.area.Max.X
		bend := vg.Length(4)
		p.page.c.StrokeLines(stroke(l.color, 0.7), []vg.Point{{X: x + 1, Y: l.y}, {X: x + bend, Y: mid}, {X: x + endGap - 4, Y: mid}})
		top := mid + vg.Length(height[i])/2
		for j, s := range l.lines {
			f := l.face(j)
			base := top - labelFace.leading()*0.95*vg.Length(float64(j)+0.5) - f.size*0.35
			p.page.text(s, f, readable(l.color), x+endGap, base, 0)
		}
	}
}

// spread moves the centres of boxes as little as possible (least squares) so
// that, in the order given from the top down, they do not overlap and lie
// within lo to hi: pooling adjacent violators (Ayer et al. 1955).
func spread(want, height []float64, lo, hi float64) []float64 {
	n := len(want)
	out := make([]float64, n)
	off := make([]float64, n) // of each centre below the first
	for i := 1; i < n; i++ {
		off[i] = off[i-1] + (height[i-1]+height[i])/2
	}
	type block struct {
		sum float64
		n   int
	}
	var blocks []block
	for i := range want {
		blocks = append(blocks, block{want[i] + off[i], 1})
		for k := len(blocks) - 1; k > 0 && blocks[k].sum/float64(blocks[k].n) > blocks[k-1].sum/float64(blocks[k-1].n); k-- {
			blocks[k-1].sum += blocks[k].sum
			blocks[k-1].n += blocks[k].n
			blocks = blocks[:k]
		}
	}
	i := 0
	for _, b := range blocks {
		for range b.n {
			z := b.sum / float64(b.n)
			// the first box ends at or below hi, the last at or above lo
			z = min(z, hi-height[0]/2)
			z = max(z, lo+off[n-1]+height[n-1]/2)
			out[i] = z - off[i]
			i++
		}
	}
	return out
}

// fromTop orders end labels from the top down; curves that end together keep
// the order they had.
func fromTop(labels []endLabel) {
	sort.SliceStable(labels, func(i, j int) bool { return labels[i].y > labels[j].y+0.01 })
}
