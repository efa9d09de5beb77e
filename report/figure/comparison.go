package figure

import (
	"fmt"
	"image/color"
	"math"
	"slices"

	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"

	"tankodds/report/units"
	"tankodds/sim"
)

// compared is what the figures of a comparison are drawn from.
type compared struct {
	study    *sim.Study
	all      []Station
	years    int // synthetic, of each
	regional []RegionalPoint
	units    units.System
}

// comparisons lists the figures of a comparison. Adding one is one file and one line
// here; one that the data cannot fill says false.
var comparisons = []func(*compared) (Figure, bool){
	(*compared).together,
	(*compared).ranked,
	(*compared).multiples,
	(*compared).climate,
	(*compared).fractions,
	(*compared).positions,
}

// Comparison returns the figures of the same site under many records, of which so
// many synthetic years each were simulated. regional is the curve fitted to all, none
// where there is none.
func Comparison(s *sim.Study, all []Station, years int, regional []RegionalPoint, opt Options) []Figure {
	z := &compared{s, all, years, regional, opt.Units}
	var out []Figure
	for _, f := range comparisons {
		if fig, ok := f(z); ok {
			out = append(out, fig)
		}
	}
	return out
}

// source says what a figure of a comparison rests on.
func (z *compared) source() string {
	return fmt.Sprintf("Simulated: %s synthetic years of each record, seed %d.", units.Fixed(float64(z.years), 0), z.study.Seed)
}

// goal words the target.
func (z *compared) goal() string {
	return fmt.Sprintf("%s of %s", percent(z.study.Target), of(z.study))
}

// manyCurves is from how many stations on curves are no longer told apart.
const manyCurves = 40

// sized are the stations with a size for the target, by that size.
func (z *compared) sized() []Station {
	var out []Station
	for _, x := range z.all {
		if finite(x.Tank) {
			out = append(out, x)
		}
	}
	slices.SortStableFunc(out, func(a, b Station) int {
		switch {
		case a.Tank < b.Tank:
			return -1
		case a.Tank > b.Tank:
			return 1
		}
		return 0
	})
	return out
}

// unsized counts the stations without a size: those whose target no size meets, and
// those of too few years.
func (z *compared) unsized() (beyond, short int) {
	for _, x := range z.all {
		switch {
		case finite(x.Tank):
		case x.Grade == sim.TooShort:
			short++
		default:
			beyond++
		}
	}
	return beyond, short
}

// without says how many stations have no size, and why; "" where all have one.
func (z *compared) without() string {
	beyond, short := z.unsized()
	out := ""
	if beyond > 0 {
		out = "With " + countOf(beyond, "record") + " no tank of any size meets the target."
	}
	if short > 0 {
		out = join(out, countOf(short, "record")+map[bool]string{true: " is", false: " are"}[short == 1]+" too short to size a tank.")
	}
	return out
}

func sizesAt(curve []Point) []float64 {
	out := make([]float64, len(curve))
	for i := range curve {
		out[i] = curve[i].Tank
	}
	return out
}

// lineOf is a station's curve in the scale.
func (z *compared) lineOf(c Station, vol scale) plotter.XYs {
	out := make(plotter.XYs, len(c.Curve))
	for i, q := range c.Curve {
		out[i] = plotter.XY{X: q.Tank * vol.factor, Y: unit(q.Share.Estimate)}
	}
	return out
}

// shareAt is the share of a station's curve at a size, NaN beyond its ends.
func shareAt(c Station, tank float64) float64 {
	k, found := slices.BinarySearchFunc(c.Curve, tank, func(q Point, t float64) int {
		switch {
		case q.Tank < t:
			return -1
		case q.Tank > t:
			return 1
		}
		return 0
	})
	switch {
	case found:
		return c.Curve[k].Share.Estimate
	case k == 0 || k == len(c.Curve):
		return math.NaN()
	}
	a, b := c.Curve[k-1], c.Curve[k]
	return a.Share.Estimate + (b.Share.Estimate-a.Share.Estimate)*(tank-a.Tank)/(b.Tank-a.Tank)
}

// middling is the median of many curves at rising sizes, and the middle of them.
type middling struct{ low, mid, high plotter.XYs }

// middle finds it where at least half of the curves reach.
func middle(cs []Station, sizes []float64) (m middling) {
	for _, size := range thinSizes(sizes) {
		var at []float64
		for _, c := range cs {
			if x := shareAt(c, size); finite(x) {
				at = append(at, x)
			}
		}
		if 2*len(at) < len(cs) || len(at) == 0 {
			continue
		}
		slices.Sort(at)
		pick := func(p float64) float64 { return unit(at[int(math.Round(p*float64(len(at)-1)))]) }
		m.low = append(m.low, plotter.XY{X: size, Y: pick(0.1)})
		m.mid = append(m.mid, plotter.XY{X: size, Y: pick(0.5)})
		m.high = append(m.high, plotter.XY{X: size, Y: pick(0.9)})
	}
	return m
}

// thinSizes are at most so many of them as are drawn one by one.
func thinSizes(sizes []float64) []float64 {
	var out []float64
	for _, k := range evenly(len(sizes), 120) {
		out = append(out, sizes[k])
	}
	return out
}

// scaled is a curve with its sizes in the scale.
func scaled(xys plotter.XYs, factor float64) plotter.XYs {
	out := slices.Clone(xys)
	for i := range out {
		out[i].X *= factor
	}
	return out
}

// faint adds many curves as one path of thin lines, of few points each: nobody can
// tell them apart, and the file stays small.
func (p *panel) faint(lines []plotter.XYs, c color.Color, width vg.Length) {
	apart := max(4, p.area.Size().X/60) // pt along x
	if p.area.Size().X < 200 {
		apart = p.area.Size().X / 14
	}
	var paths []vg.Path
	for k, xys := range lines {
		if k%strokedTogether == 0 {
			paths = append(paths, nil)
		}
		path := &paths[len(paths)-1]
		pen, last := false, vg.Length(math.Inf(-1))
		for i, at := range xys {
			if !finite(at.X) || !finite(at.Y) {
				pen = false
				continue
			}
			pt := p.at(at)
			switch {
			case !pen:
				path.Move(pt)
				pen = true
			case pt.X-last < apart && i < len(xys)-1:
				continue
			default:
				path.Line(pt)
			}
			last = pt.X
		}
	}
	p.plot.Add(drawing(func() {
		p.page.c.SetLineStyle(stroke(c, width))
		for _, path := range paths {
			if len(path) > 0 {
				p.page.c.Stroke(path)
			}
		}
	}))
}

// strokedTogether is how many faint lines share a path: each path of an SVG repeats
// its style, and the time that dots take grows with the square of a path's length.
const strokedTogether = 10

// drawMany draws curves that are too many to be named.
func (z *compared) drawMany(pg *page, cs []Station, m middling, sizes []float64, vol scale, room vg.Rectangle) {
	area := inset(room, 34, 20, 14, 4)
	x, xTicks := sizeAxis(sizes, 0, vol)
	p := newPanel(pg, area, x, axis{min: 0, max: 1})
	p.yAxis(shares)
	p.band(scaled(m.low, vol.factor), scaled(m.high, vol.factor), Tint(blue, 0.16))
	lines := make([]plotter.XYs, len(cs))
	for i, c := range cs {
		lines[i] = z.lineOf(c, vol)
	}
	p.faint(lines, Tint(bystand, 0.55), 0.5)
	p.across(z.study.Target, stroke(Muted, 0.9), 3)
	mid := scaled(m.mid, vol.factor)
	p.edges(scaled(m.low, vol.factor), scaled(m.high, vol.factor))
	p.curve(mid, blue, 2.4, 6)
	p.draw()
	p.xAxis(xTicks)
	labels := []label{{lines: []string{"median of " + countOf(len(cs), "record")}, color: blue, lead: true, plate: true, at: p.points(mid)}, p.targetLabel(z.study.Target, Ink)}
	p.put(labels...)
}

// manyWords says what many curves show, for those who cannot see them.
func (z *compared) manyWords(cs []Station, vol scale) string {
	sized := z.sized()
	if len(sized) == 0 {
		return z.without()
	}
	at := func(p float64) string { return vol.show(sized[int(p*float64(len(sized)-1))].Tank) }
	return join(fmt.Sprintf("A tenth of the records need up to %s for the target, half up to %s, nine tenths up to %s.", at(0.1), at(0.5), at(0.9)), z.without())
}

// edges adds the bounds of a band over what hides it.
func (p *panel) edges(low, high plotter.XYs) {
	p.exact(low, blue, 0.8, 1)
	p.exact(high, blue, 0.8, 1)
}
