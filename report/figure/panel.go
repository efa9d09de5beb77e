package figure

import (
	"image/color"
	"math"
	"slices"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"tankodds/report/units"
)

// panel is one pair of axes on a page. What is added to it is drawn, in
// order, by draw; labels come after that.
type panel struct {
	page *page
	area vg.Rectangle // where the data lie
	plot *plot.Plot
	c    draw.Canvas
	x, y func(float64) vg.Length // from data to the page

	lines  []obstacle     // what labels should keep off
	solids []vg.Rectangle // and the bars
	dots   []vg.Rectangle // and the marks of a scatter, which a label must not hide
}

// axis is one side of a panel, in the units shown.
type axis struct {
	min, max float64
	log      bool
}

// newPanel lays axes over an area of the page. An axis without extent is
// given some: the library cannot divide by none.
func newPanel(pg *page, area vg.Rectangle, x, y axis) *panel {
	p := &panel{page: pg, area: area, plot: plot.New()}
	p.plot.HideAxes()
	p.plot.BackgroundColor = nil
	set := func(to *plot.Axis, a axis) {
		if !finite(a.min) || !finite(a.max) || a.min == 0 && a.max == 0 {
			a.min, a.max = 0, 1
		}
		if a.log = a.log && a.min > 0; a.log {
			to.Scale = plot.LogScale{}
		}
		if !(a.max > a.min) {
			if a.max = a.min + math.Abs(a.min)/2; a.max == a.min {
				a.max = a.min + 1
			}
		}
		to.Min, to.Max, to.Padding = a.min, a.max, 0
	}
	set(&p.plot.X, x)
	set(&p.plot.Y, y)
	p.c = draw.Canvas{Canvas: pg.c.Canvas, Rectangle: area}
	p.x, p.y = p.plot.Transforms(&p.c)
	return p
}

// bare hides a plotter's claim to room beyond the axes: the layout is ours.
type bare struct{ plot.Plotter }

// drawing is a plotter made of a function.
type drawing func()

func (d drawing) Plot(draw.Canvas, *plot.Plot) { d() }

func (p *panel) draw() { p.plot.Draw(p.c) }

// stretches returns the runs from, to of indices below n that are in.
func stretches(n int, in func(int) bool) (out [][2]int) {
	for i := 0; i < n; i++ {
		from := i
		for i < n && in(i) {
			i++
		}
		if i > from {
			out = append(out, [2]int{from, i})
		}
	}
	return out
}

// longest returns the first of the longest runs, 0 to 0 where there is none.
func longest(runs [][2]int) (most [2]int) {
	for _, r := range runs {
		if r[1]-r[0] > most[1]-most[0] {
			most = r
		}
	}
	return most
}

// curve adds a line through the points; a point that stands alone is a dot.
// Labels keep off it as weight says.
func (p *panel) curve(xys plotter.XYs, c color.Color, width vg.Length, weight float64) {
	for _, r := range stretches(len(xys), func(i int) bool { return finite(xys[i].X) && finite(xys[i].Y) }) {
		run := xys[r[0]:r[1]]
		if len(run) == 1 {
			at := run[0]
			p.plot.Add(drawing(func() { p.dot(p.at(at), c, width+1.5) }))
			continue
		}
		run = p.thin(run)
		l, err := plotter.NewLine(run)
		if err != nil { // too few points, or not finite: ruled out above
			continue
		}
		l.LineStyle = stroke(c, width)
		p.plot.Add(bare{l})
		p.lines = append(p.lines, obstacle{p.path(run), weight})
	}
}

// finest is the least distance along x that is drawn, pt: a figure of
// thousands of sizes need not be larger than one of hundreds.
const finest = 0.7

// thin drops the points, but the first and last, that are nearer than finest
// to the one before.
func (p *panel) thin(xys plotter.XYs) plotter.XYs {
	var out plotter.XYs
	for i, at := range xys {
		if i == 0 || i == len(xys)-1 || math.Abs(float64(p.x(at.X)-p.x(out[len(out)-1].X))) >= finest {
			out = append(out, at)
		}
	}
	return out
}

// band adds a soft fill between two curves.
func (p *panel) band(low, high plotter.XYs, c color.Color) {
	for _, r := range stretches(len(low), func(i int) bool { return finite(low[i].Y) && finite(high[i].Y) }) {
		lo, hi := p.thin(low[r[0]:r[1]]), p.thin(high[r[0]:r[1]])
		if len(lo) < 2 {
			continue
		}
		back := slices.Clone(hi)
		slices.Reverse(back)
		if poly, err := plotter.NewPolygon(append(slices.Clone(lo), back...)); err == nil {
			poly.Color, poly.LineStyle = c, draw.LineStyle{}
			p.plot.Add(bare{poly})
		}
		p.lines = append(p.lines, obstacle{p.path(lo), 0.3}, obstacle{p.path(hi), 0.3})
	}
}

// bar adds a filled rectangle, in the units of the axes, a hair narrower than
// its room.
func (p *panel) bar(x0, x1, y0, y1 float64, c color.Color) {
	if !finite(y0) || !finite(y1) {
		return
	}
	gap := min(2, (p.x(x1)-p.x(x0))*0.25)
	r := vg.Rectangle{Min: vg.Point{X: p.x(x0) + gap/2, Y: p.y(y0)}, Max: vg.Point{X: p.x(x1) - gap/2, Y: p.y(y1)}}
	p.plot.Add(drawing(func() { p.fill(r, c) }))
	p.solids = append(p.solids, r)
}

func (p *panel) fill(r vg.Rectangle, c color.Color) {
	p.page.c.SetColor(c)
	p.page.c.Fill(r.Path())
}

// path returns the points on the page; of very many, enough to keep off.
func (p *panel) path(xys plotter.XYs) []vg.Point {
	stride := 1 + len(xys)/150
	var out []vg.Point
	for i, at := range xys {
		if i%stride == 0 || i == len(xys)-1 {
			out = append(out, p.at(at))
		}
	}
	return out
}

// yAxis sets the horizontal hairlines and their names to the left of the area.
func (p *panel) yAxis(t tickRow) {
	for _, v := range t.at {
		p.across(v, stroke(Hairline, 0.6), 0.12)
	}
	p.yNames(t)
}

// yNames sets the names of an axis to the left of the area.
func (p *panel) yNames(t tickRow) {
	for i, s := range t.names() {
		p.page.text(s, tickFace, Muted, p.area.Min.X-6, p.y(t.at[i])-tickFace.size*0.35, 1)
	}
}

// across adds a line through the area at the height of a value.
func (p *panel) across(v float64, style draw.LineStyle, weight float64) {
	from, to := vg.Point{X: p.area.Min.X, Y: p.y(v)}, vg.Point{X: p.area.Max.X, Y: p.y(v)}
	p.plot.Add(drawing(func() { p.page.c.StrokeLine2(style, from.X, from.Y, to.X, to.Y) }))
	p.lines = append(p.lines, obstacle{[]vg.Point{from, to}, weight})
}

// foot draws the line that the figure stands on.
func (p *panel) foot() {
	p.page.c.StrokeLine2(stroke(Baseline, 0.8), p.area.Min.X, p.area.Min.Y, p.area.Max.X, p.area.Min.Y)
}

// xAxis sets the line that the figure stands on, ticks, and their names as
// far as they do not touch.
func (p *panel) xAxis(t tickRow) {
	p.foot()
	y, names := p.area.Min.Y, t.names()
	for i := len(names) - 1; i >= 0; i-- { // the last bears the unit and comes first
		x := p.x(t.at[i])
		p.page.c.StrokeLine2(stroke(Baseline, 0.8), x, y, x, y-3)
		b := box(names[i], tickFace, x, y-14, 0.5)
		x += max(0, p.page.c.Min.X+2-b.Min.X) - max(0, b.Max.X-(p.page.c.Max.X-2))
		if p.page.free(box(names[i], tickFace, x, y-14, 0.5), 2.5) {
			p.page.text(names[i], tickFace, Muted, x, y-14, 0.5)
		}
	}
}

// dot draws a filled disc.
func (p *panel) dot(at vg.Point, c color.Color, radius vg.Length) {
	var path vg.Path
	path.Move(vg.Point{X: at.X + radius, Y: at.Y})
	path.Arc(at, radius, 0, 2*math.Pi)
	path.Close()
	p.page.c.SetColor(c)
	p.page.c.Fill(path)
}

// mark draws a marker that stands out from the curve beneath it: a disc, or
// with hollow a ring.
func (p *panel) mark(at vg.Point, c color.Color, hollow bool) {
	const r = 4.2
	p.dot(at, paper, r+1.3)
	p.dot(at, c, r)
	if hollow {
		p.dot(at, paper, r-1.7)
	}
	p.page.marks = append(p.page.marks, around(at, 2*r, 2*r))
}

// at is where a point of the data lies on the page.
func (p *panel) at(xy plotter.XY) vg.Point { return vg.Point{X: p.x(xy.X), Y: p.y(xy.Y)} }

func (p *panel) points(xys plotter.XYs) []vg.Point {
	out := make([]vg.Point, len(xys))
	for i, xy := range xys {
		out[i] = p.at(xy)
	}
	return out
}

// exact adds a line through every point, where curve would thin them.
func (p *panel) exact(xys plotter.XYs, c color.Color, width vg.Length, weight float64) {
	path := p.points(xys)
	p.plot.Add(drawing(func() { p.page.c.StrokeLines(stroke(c, width), path) }))
	p.lines = append(p.lines, obstacle{path, weight})
}

// endOf is the height at which a curve ends: that of its last finite point.
func (p *panel) endOf(xys plotter.XYs) vg.Length {
	for k := len(xys) - 1; k >= 0; k-- {
		if finite(xys[k].Y) {
			return p.y(xys[k].Y)
		}
	}
	return p.area.Min.Y
}

// tickRow is the ticks of an axis and how each is named, the last with the
// unit.
type tickRow struct {
	at   []float64
	name func(v float64, last bool) string
}

// plainTicks returns round numbers from lo to hi, about want of them.
func plainTicks(lo, hi float64, want int, unit string) tickRow {
	at, decimals := ticks(lo, hi, want)
	return tickRow{at, withUnit(func(v float64) string { return units.Fixed(v, decimals) }, unit)}
}

// withUnit names ticks by their digits, the last with the unit.
func withUnit(digits func(float64) string, unit string) func(float64, bool) string {
	return func(v float64, last bool) string {
		if last {
			return digits(v) + nbsp + unit
		}
		return digits(v)
	}
}

// names returns what stands at each tick.
func (t tickRow) names() []string {
	out := make([]string, len(t.at))
	for i, v := range t.at {
		out[i] = t.name(v, i == len(t.at)-1)
	}
	return out
}

// width is the room that the names ask for.
func (t tickRow) width() vg.Length { return tickFace.widest(t.names()...) }

// shape fills the area within a ring of points.
func (p *page) shape(c color.Color, ring ...vg.Point) {
	var path vg.Path
	path.Move(ring[0])
	for _, at := range ring[1:] {
		path.Line(at)
	}
	path.Close()
	p.c.SetColor(c)
	p.c.Fill(path)
}
