package figure

import (
	"fmt"
	"image/color"
	"math"
	"slices"
	"sort"
	"strings"

	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"

	"tankodds/rainfall"
	"tankodds/report/units"
	"tankodds/sim"
)

// What a map needs: fewer areas or sizes are better told by curves.
const (
	leastAreas = 3
	leastSizes = 4
)

// mapLevels are the shares that contours are drawn at, beside the target.
var mapLevels = []float64{0.5, 0.8, 0.9, 0.95, 0.99}

// mapFigure draws the reliability of every tank under every roof area as
// contour lines.
func mapFigure(r *sim.Result, rec *rainfall.Summary, opt Options) (Figure, bool) {
	s := r.Study
	g, ok := gridOf(r)
	around := !ok
	if around {
		g, ok = gridAround(r.Turned)
	}
	if !ok {
		return Figure{}, false
	}
	vol, ar := volumeScale(opt.Units, g.sizes[len(g.sizes)-1]), areaScale(opt.Units)
	f := Figure{Name: "map", Title: mapTitle(r, vol, ar, around)}
	what := fmt.Sprintf("Share of %s, by nominal tank size in %s and total roof area in %s; the same uses throughout.", of(s), vol.name(), ar.unit)
	f.Caption = join("Contours by straight lines between the sizes and areas simulated.", sourceLine(r, rec))
	if around {
		f.Caption = join("Contours by straight lines between sizes and areas, each over "+units.Fixed(float64(r.Turned.MapYears), 0)+" of the synthetic years.", sourceLine(r, rec))
	}
	if byRatios(mapSpan(r, g, around)) {
		what = strings.TrimSuffix(what, ".") + "; the axis of sizes is logarithmic."
	}
	said := ""
	for _, c := range g.contours(mapLevelsWith(s.Target)) {
		a, z := c.path[0], c.path[len(c.path)-1]
		said = join(said, fmt.Sprintf("The %s contour runs from %s with %s to %s with %s.", percent(c.level),
			ar.show(z.Y), vol.show(z.X), ar.show(a.Y), vol.show(a.X)))
	}
	return f.drawn(what, said, func(pg *page, room vg.Rectangle) { drawMap(pg, r, g, vol, ar, around, room) })
}

// mapTitle names what the target takes under the least and the largest roof
// that reach it.
func mapTitle(r *sim.Result, vol, ar scale, around bool) string {
	if t := r.Turned; around && finite(t.Roof) {
		return fmt.Sprintf("%s of %s takes %s of roof with %s", percent(r.Study.Target), of(r.Study), ar.show(t.Roof), vol.show(t.Tank))
	} else if around {
		return "How roof and tank together set the share of " + of(r.Study)
	}
	var met []sim.Answer
	for _, a := range r.Answers {
		if finite(a.Tank) && finite(a.Area) {
			met = append(met, a)
		}
	}
	sort.SliceStable(met, func(i, j int) bool { return met[i].Area < met[j].Area })
	s := r.Study
	goal := fmt.Sprintf("%s of %s", percent(s.Target), of(s))
	n := len(met)
	switch {
	case n == 0:
		return "How roof and tank together set the share of " + of(s)
	case n == 1:
		return fmt.Sprintf("%s takes %s of roof with %s", goal, ar.show(met[0].Area), vol.show(met[0].Tank))
	}
	return fmt.Sprintf("%s takes %s under %s of roof, %s under %s", goal,
		vol.show(met[0].Tank), ar.show(met[0].Area), vol.show(met[n-1].Tank), ar.show(met[n-1].Area))
}

// logFrom is the ratio of the largest size drawn to the smallest from which the
// axis of a map is logarithmic.
const logFrom = 6

// byRatios says whether an axis over so much is.
func byRatios(low, high float64) bool { return low > 0 && high > logFrom*low }

// mapSpan is the sizes that a map shows.
func mapSpan(r *sim.Result, g grid, around bool) (low, high float64) {
	see := r.Main.Tank
	if around {
		see = r.Turned.Tank
	}
	return g.interest(mapLevelsWith(r.Study.Target), see)
}

func drawMap(pg *page, r *sim.Result, g grid, vol, ar scale, around bool, room vg.Rectangle) {
	s := r.Study
	lo, hi := g.areas[0]*ar.factor, g.areas[len(g.areas)-1]*ar.factor
	yTicks := plainTicks(lo, hi, 5, ar.unit)
	levels := mapLevelsWith(s.Target)
	var x axis
	x.min, x.max = mapSpan(r, g, around)
	x.min, x.max = x.min*vol.factor, x.max*vol.factor
	xTicks := plainTicks(x.min, x.max, 6, vol.unit)
	if byRatios(x.min, x.max) { // contours lie apart by ratios
		x.log, xTicks = true, tickRow{logTicks(x.min, x.max), withUnit(threeDigits, vol.unit)}
	}
	area := inset(room, yTicks.width()+8, 20, 14, 6)
	p := newPanel(pg, area, x, axis{min: lo, max: hi})
	p.fill(area, Tint(blue, 0.03))
	for i, l := range levels {
		if ring := p.region(g, l, vol, ar); len(ring) > 2 {
			pg.shape(Tint(blue, 0.09+0.075*float64(i)), ring...)
		}
	}
	for _, v := range yTicks.at {
		y := p.y(v)
		pg.c.StrokeLine2(stroke(Baseline, 0.8), area.Min.X-3, y, area.Min.X, y)
	}
	p.yNames(yTicks)
	p.xAxis(xTicks)
	var labels []label
	for _, c := range g.contours(levels) {
		xys := make(plotter.XYs, len(c.path))
		for i, at := range c.path {
			xys[i] = plotter.XY{X: at.X * vol.factor, Y: at.Y * ar.factor}
		}
		// it may rise steeply: no point of it may go
		l := label{lines: []string{percent(c.level)}, color: Ink, plain: true, at: p.points(xys)}
		if c.level == s.Target { // has the choice of place
			p.exact(xys, red, 2.2, 5)
			l.color, l.plain = red, false
			l.lines[0] += " target"
			labels = slices.Insert(labels, 0, l)
			continue
		}
		p.exact(xys, Ink, 0.9, 2)
		labels = append(labels, l)
	}
	p.draw()
	if own := sim.TotalArea(s.Roofs) * ar.factor; own >= lo && own <= hi && own > 0 {
		y := p.y(own)
		pg.c.StrokeLine2(stroke(Ink, 0.8, 1.5, 2), area.Min.X, y, area.Max.X, y)
		p.lines = append(p.lines, obstacle{[]vg.Point{{X: area.Min.X, Y: y}, {X: area.Max.X, Y: y}}, 3})
		site := label{lines: []string{"this site, " + ar.show(own/ar.factor)}, color: Ink, lead: true, at: []vg.Point{{X: area.Max.X - 30, Y: y}}}
		tank, says := r.Main.Tank*vol.factor, meets(r, vol)
		if around {
			tank, says = r.Turned.Tank*vol.factor, "with "+vol.show(r.Turned.Tank)
		}
		if finite(tank) && tank >= p.plot.X.Min && tank <= p.plot.X.Max {
			site.at = []vg.Point{{X: p.x(tank), Y: y}}
			site.lines = append(site.lines, says)
			p.mark(site.at[0], blue, false)
		}
		p.put(site)
	}
	if around && finite(r.Turned.Roof) {
		roof, tank := r.Turned.Roof*ar.factor, r.Turned.Tank*vol.factor
		if roof >= lo && roof <= hi && tank >= p.plot.X.Min && tank <= p.plot.X.Max {
			at := vg.Point{X: p.x(tank), Y: p.y(roof)}
			p.mark(at, red, false)
			p.put(label{lines: []string{ar.show(r.Turned.Roof) + " with " + vol.show(r.Turned.Tank)}, color: red, lead: true, at: []vg.Point{at}})
		}
	}
	p.onLines(labels)
}

// region bounds what reaches a level: the contour closed by the area's right
// edge, taken at every area.
func (p *panel) region(g grid, level float64, vol, ar scale) []vg.Point {
	path := g.contour(level)
	top, foot := len(g.areas)-1, 0
	n := len(g.sizes) - 1
	if len(path) < 2 {
		if g.share[foot][0] >= level && g.share[top][0] >= level { // all of it
			return []vg.Point{p.area.Min, {X: p.area.Min.X, Y: p.area.Max.Y}, p.area.Max, {X: p.area.Max.X, Y: p.area.Min.Y}}
		}
		return nil
	}
	var ring plotter.XYs
	if g.share[top][n] >= level {
		ring = append(ring, plotter.XY{X: g.sizes[n], Y: g.areas[top]})
	}
	if g.share[top][0] > level { // even the smallest size, under the largest roofs
		ring = append(ring, plotter.XY{X: g.sizes[0], Y: g.areas[top]})
	}
	ring = append(ring, path...)
	if g.share[foot][0] > level {
		ring = append(ring, plotter.XY{X: g.sizes[0], Y: g.areas[foot]})
	}
	if g.share[foot][n] >= level {
		ring = append(ring, plotter.XY{X: g.sizes[n], Y: g.areas[foot]})
	}
	out := make([]vg.Point, len(ring))
	for i, at := range ring {
		x := min(max(at.X*vol.factor, p.plot.X.Min), p.plot.X.Max)
		out[i] = vg.Point{X: p.x(x), Y: p.y(at.Y * ar.factor)}
	}
	return out
}

// onLines sets each label on its own line, on a plate, where no other line or
// text is; one without such a place is set beside the line or left out.
func (p *panel) onLines(labels []label) {
	var rest []label
	for _, l := range labels {
		w, h := l.size()
		best, least := vg.Point{}, math.Inf(1)
		for i, at := range l.at {
			r := inset(around(at, w, h), -2, -1, -2, -1)
			if !within(r, p.area) || r.Max.Y > p.area.Max.Y || !p.page.free(r, 3) {
				continue
			}
			cost := 0.05 * float64(i)
			for _, o := range p.lines {
				if o.path[0] == l.at[0] { // its own
					continue
				}
				for j := 1; j < len(o.path); j++ {
					cost += 10 * float64(inside(grow(r, 3), o.path[j-1], o.path[j]))
				}
			}
			if cost < least {
				best, least = at, cost
			}
		}
		if least > 8 {
			rest = append(rest, l)
			continue
		}
		p.fill(inset(around(best, w, h), -2, -0.5, -2, -0.5), color.NRGBA{0xff, 0xff, 0xff, 0xe6})
		p.page.text(l.lines[0], l.face(0), readable(l.color), best.X, best.Y-l.face(0).size*0.35, 0.5)
	}
	p.put(rest...)
}
