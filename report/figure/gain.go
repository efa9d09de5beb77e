package figure

import (
	"fmt"
	"math"

	"gonum.org/v1/plot/vg"

	"tankodds/rainfall"
	"tankodds/report/words"
	"tankodds/sim"
)

// gainFigure draws what each further step of storage adds to the water
// supplied in a year, at the site's own roofs.
func gainFigure(r *sim.Result, rec *rainfall.Summary, opt Options) (Figure, bool) {
	cells := apart(r.Curve)
	if len(cells) < 2 || len(r.Study.Sizes) < 2 {
		return Figure{}, false
	}
	u := opt.Units
	vol := volumeScale(u, cells[len(cells)-1].Tank)
	step := gainStep(u, cells[len(cells)-1].Tank)
	f := Figure{Name: "gain"}
	per := vol.show(step)
	st, ok := firstStop(r)
	f.Title = fmt.Sprintf("What each further %s of storage adds", per)
	if ok {
		f.Title = fmt.Sprintf("Beyond about %s, more storage stops paying", vol.show(st.Tank))
	}
	what := fmt.Sprintf("Water supplied in a mean year by each further %s of tank, in %s; %s.",
		per, vol.name(), roofName(u, cells[0].Area))
	note := ""
	if ok {
		note = "Method: " + sentence(words.Method(st.Method, r.Study))
	}
	f.Caption = join(note, sourceLine(r, rec))
	first, last := gain(cells, 1)*step*vol.factor, gain(cells, len(cells)-1)*step*vol.factor
	return f.drawn(what, fmt.Sprintf("It falls from %s to %s %s a year.", threeDigits(first), threeDigits(last), vol.unit), func(pg *page, room vg.Rectangle) { drawGain(pg, r, cells, vol, step, room) })
}

// maxBars is how many bars tell the course of a curve.
const maxBars = 40

// apart returns the cells that are at least a step of the axis apart, so that
// it holds at most maxBars steps; the first and last are among them.
func apart(cells []sim.Cell) []sim.Cell {
	n := len(cells)
	if n <= maxBars+1 {
		return cells
	}
	sizes := sizesOf(cells)
	at := func(x float64) float64 { return x }
	if wantsLog(sizes) {
		at = math.Log
	}
	step := (at(sizes[n-1]) - at(sizes[0])) / maxBars
	out := cells[:1:1]
	for i := 1; i < n-1; i++ {
		if at(sizes[i])-at(out[len(out)-1].Tank) >= step*(1-1e-9) && at(sizes[n-1])-at(sizes[i]) >= step/2 {
			out = append(out, cells[i])
		}
	}
	return append(out, cells[n-1])
}

func sizesOf(cells []sim.Cell) []float64 {
	sizes := make([]float64, len(cells))
	for i := range cells {
		sizes[i] = cells[i].Tank
	}
	return sizes
}

// gain is what the step from size i−1 to size i adds: L a year per L.
func gain(cells []sim.Cell, i int) float64 {
	return (cells[i].Supplied - cells[i-1].Supplied) / (cells[i].Tank - cells[i-1].Tank)
}

func drawGain(pg *page, r *sim.Result, cells []sim.Cell, vol scale, step float64, room vg.Rectangle) {
	least, most := 0.0, 0.0
	for i := 1; i < len(cells); i++ {
		if g := gain(cells, i) * step * vol.factor; finite(g) {
			least, most = min(least, g), max(most, g)
		}
	}
	if most == least {
		most = least + 1
	}
	x, xTicks := sizeAxis(sizesOf(cells), 0, vol)
	yTicks := plainTicks(least, most, 5, vol.unit)
	p := newPanel(pg, inset(room, yTicks.width()+6, 20, 12, 4), x, axis{min: least, max: most * 1.06})
	st, ok := firstStop(r)
	p.yAxis(yTicks)
	for i := 1; i < len(cells); i++ {
		from, to := cells[i-1].Tank, cells[i].Tank
		g := gain(cells, i) * step * vol.factor
		p.bar(from*vol.factor, to*vol.factor, min(0, g), max(0, g), blue)
		if at := max(from, st.Tank); ok && at < to*(1-1e-9) { // past the stop
			p.bar(at*vol.factor, to*vol.factor, min(0, g), max(0, g), Tint(blue, 0.35))
		}
	}
	p.draw()
	for i := 1; i < len(cells); i++ {
		g := gain(cells, i) * step * vol.factor
		p.reads((cells[i-1].Tank+cells[i].Tank)/2*vol.factor, max(0, g), "from %s to %s: each further %s supplies %s%s%s more a year",
			vol.show(cells[i-1].Tank), vol.show(cells[i].Tank), vol.show(step), threeDigits(g), nbsp, vol.unit)
	}
	p.xAxis(xTicks)
	if at := st.Tank * vol.factor; ok && at >= p.plot.X.Min && at <= p.plot.X.Max {
		p.stopLine(st, vol)
	}
}

// stopLine marks the stop: a hairline through the figure, its band as a bar on
// the foot line, its name beside it.
func (p *panel) stopLine(st sim.Stop, vol scale) {
	x := p.x(st.Tank * vol.factor)
	p.page.c.StrokeLine2(stroke(green, 1), x, p.area.Min.Y, x, p.area.Max.Y)
	p.lines = append(p.lines, obstacle{[]vg.Point{{X: x, Y: p.area.Min.Y}, {X: x, Y: p.area.Max.Y}}, 5})
	lines := []string{"more storage stops paying", "at " + vol.show(st.Tank)}
	if b := vol.between(st.Low, st.High, 0, math.NaN()); finite(st.Low) && finite(st.High) && b != "" {
		lines[1] += " (" + b + ")"
		lo := max(p.plot.X.Min, st.Low*vol.factor)
		hi := min(p.plot.X.Max, st.High*vol.factor)
		if hi > lo {
			p.page.c.StrokeLine2(stroke(green, 3), p.x(lo), p.area.Min.Y, p.x(hi), p.area.Min.Y)
		}
	}
	l := label{lines: append(lines, stopName(st.Method)), color: green, lead: true}
	for y := p.area.Max.Y - 20; y > p.area.Min.Y; y -= 30 {
		l.at = append(l.at, vg.Point{X: x, Y: y})
	}
	p.put(l)
}
