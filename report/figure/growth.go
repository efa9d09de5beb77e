package figure

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"

	"tankodds/report/units"
)

// Grown is one run of a measured program: how much was asked of it, how long
// it took and how much memory it held.
type Grown struct {
	Size    float64 // years, cells or workers, > 0
	Seconds float64 // wall time, > 0
	MB      float64 // peak memory, 10⁶ bytes
}

// Growth draws how time and memory grow with the synthetic years, the cells of
// the grid and the workers, each rising. note says what was measured and on
// which machine. It says false where any of the three has no run.
func Growth(years, cells, workers []Grown, note string) (Figure, bool) {
	if len(years) == 0 || len(cells) == 0 || len(workers) == 0 {
		return Figure{}, false
	}
	f := Figure{Name: "growth", Title: growthTitle(years, cells), Caption: note}
	what := "Dots are medians; the grey line is growth in proportion to the work."
	f.Desc = join(f.Title+".", what)
	for _, s := range []struct {
		runs []Grown
		of   string
	}{{years, "years"}, {cells, "cells"}, {workers, "workers"}} {
		var said []string
		for _, g := range s.runs {
			said = append(said, fmt.Sprintf("%s in %s s with %s MB", units.Fixed(g.Size, 0), seconds(g.Seconds), units.Fixed(g.MB, 0)))
		}
		f.Desc += " " + capital(s.of) + ": " + strings.Join(said, ", ") + "."
	}
	f.Desc = join(f.Desc, note)
	f.draw = func(pg *page) { drawGrowth(pg, years, cells, workers, pg.frame(f.Title, join(note, what), "")) }
	return f, true
}

// Bounds of what the title may claim. Growth is judged between runs so far
// apart that the noise of a clock does not decide.
const (
	farApart   = 8    // times the work
	proportion = 1.15 // time over the growth of the work
	flat       = 1.5  // memory of the longest run over that of the shortest
)

// growthTitle says what was found.
func growthTitle(years, cells []Grown) string {
	time := "Time grows no faster than the work"
	for _, runs := range [][]Grown{years, cells} {
		for i, few := range runs {
			for _, many := range runs[i+1:] {
				if work := many.Size / few.Size; work >= farApart && many.Seconds/few.Seconds > proportion*work {
					time = "Time grows faster than the work"
				}
			}
		}
	}
	first, last := years[0], years[len(years)-1]
	if last.MB <= flat*first.MB {
		return time + "; memory does not grow with the years"
	}
	return time + "; memory grows with the years"
}

// seconds sets a time to two significant digits.
func seconds(s float64) string { return units.Significant(s, 2) }

func drawGrowth(pg *page, years, cells, workers []Grown, room vg.Rectangle) {
	const gap, gutter = 30, 40 // between panels; for the names of the first's ticks
	lo, hi, most := math.Inf(1), 0.0, 0.0
	for _, runs := range [][]Grown{years, cells, workers} {
		for _, g := range runs {
			most = max(most, g.MB)
			lo, hi = min(lo, g.Seconds), max(hi, g.Seconds)
		}
	}
	wide := (room.Max.X - room.Min.X - gutter - 2*gap) / 3
	for i, s := range []struct {
		runs []Grown
		name string
	}{{years, "synthetic years"}, {cells, "cells: tanks × roofs"}, {workers, "workers"}} {
		left := room.Min.X + gutter + vg.Length(i)*(wide+gap)
		g := growthPanel{page: pg, runs: s.runs, name: s.name, most: most, first: i == 0, time: axis{min: lo / 2.6, max: hi * 2.4, log: true},
			room: vg.Rectangle{Min: vg.Point{X: left, Y: room.Min.Y}, Max: vg.Point{X: left + wide, Y: room.Max.Y}}}
		g.draw(i == 2)
	}
}

// growthPanel is one column of the figure: time or speed above, memory below,
// over the same axis.
type growthPanel struct {
	page  *page
	room  vg.Rectangle
	runs  []Grown
	name  string
	time  axis
	most  float64 // MB, of all columns
	first bool    // the ticks are named
}

func (g growthPanel) draw(speed bool) {
	const foot, memory, between = 20, 56, 30
	low, high := g.runs[0].Size, g.runs[len(g.runs)-1].Size
	x := axis{min: low / math.Pow(high/low, 0.07), max: high * math.Pow(high/low, 0.07), log: true}
	if speed {
		x = axis{min: low - (high-low)*0.1, max: high + (high-low)*0.1}
	}
	top, bottom := g.room, g.room
	top.Min.Y += foot + memory + between
	top.Max.Y -= 18
	g.page.text(g.name, nameFace, ink, top.Min.X, g.room.Max.Y-6, 0)
	if speed {
		g.speed(top, x)
	} else {
		g.times(top, x)
	}

	bottom.Min.Y += foot
	bottom.Max.Y = bottom.Min.Y + memory
	m := newPanel(g.page, bottom, x, axis{min: 0, max: max(100, math.Ceil(g.most/100)*100)})
	m.yAxis([]float64{0, m.plot.Y.Max}, g.named(func(v float64) string { return units.Fixed(v, 0) + nbsp + "MB" }))
	m.draw()
	var at []float64
	for _, r := range g.runs {
		at = append(at, r.Size)
		x := m.x(r.Size)
		m.fill(vg.Rectangle{Min: vg.Point{X: x - 4, Y: bottom.Min.Y}, Max: vg.Point{X: x + 4, Y: m.y(r.MB)}}, tint(baseline, 0.7))
	}
	m.xAxis(at, func(v float64, last bool) string {
		if !speed && !last && v != low && !tenfold(v) {
			return ""
		}
		return units.Fixed(v, 0)
	})
	if g.first {
		g.page.text("peak memory", tickFace, muted, bottom.Min.X, bottom.Max.Y+5, 0)
	}
}

// times draws the wall times beside growth in proportion to the last, on
// logarithmic axes.
func (g growthPanel) times(area vg.Rectangle, x axis) {
	p := newPanel(g.page, area, x, g.time)
	at := logTicks(g.time.min, g.time.max)
	if len(at) > 5 { // the powers of ten alone
		var tens []float64
		for _, v := range at {
			if tenfold(v) {
				tens = append(tens, v)
			}
		}
		at = tens
	}
	p.yAxis(at, g.named(func(v float64) string { return seconds(v) + nbsp + "s" }))
	last := g.runs[len(g.runs)-1]
	var line, took plotter.XYs
	for _, v := range []float64{x.min, x.max} {
		line = append(line, plotter.XY{X: v, Y: last.Seconds * v / last.Size})
	}
	for _, r := range g.runs {
		took = append(took, plotter.XY{X: r.Size, Y: r.Seconds})
	}
	g.points(p, clipLow(line, g.time.min), took, func(r Grown) string { return seconds(r.Seconds) + nbsp + "s" })
}

// speed draws how many times as fast as the first so many workers are.
func (g growthPanel) speed(area vg.Rectangle, x axis) {
	one, last := g.runs[0], g.runs[len(g.runs)-1]
	p := newPanel(g.page, area, x, axis{min: 0, max: last.Size / one.Size * 1.15})
	at, decimals := ticks(0, last.Size/one.Size, min(4, len(g.runs)))
	p.yAxis(at, func(v float64, _ bool) string { return units.Fixed(v, decimals) + nbsp + "×" })
	var line, fast plotter.XYs
	for _, r := range g.runs {
		line = append(line, plotter.XY{X: r.Size, Y: r.Size / one.Size})
		fast = append(fast, plotter.XY{X: r.Size, Y: one.Seconds / r.Seconds})
	}
	g.points(p, line, fast, func(r Grown) string {
		if r == one {
			return seconds(r.Seconds) + nbsp + "s"
		}
		return seconds(r.Seconds) + nbsp + "s: " + units.Significant(one.Seconds/r.Seconds, 3) + nbsp + "×"
	})
}

// points draws a curve with its runs over the line that it is held against,
// and names the first and the last.
func (g growthPanel) points(p *panel, line, curve plotter.XYs, name func(Grown) string) {
	p.curve(line, bystand, 1.2, 1)
	p.curve(curve, blue, 1.8, 3)
	p.draw()
	p.xAxis(nil, nil)
	var labels []label
	for i, at := range curve {
		pt := vg.Point{X: p.x(at.X), Y: p.y(at.Y)}
		p.dot(pt, blue, 3)
		g.page.marks = append(g.page.marks, grow(vg.Rectangle{Min: pt, Max: pt}, 3))
		if i == 0 || i == len(curve)-1 {
			labels = append(labels, label{lines: []string{name(g.runs[i])}, color: blue, at: []vg.Point{pt}, lead: true})
		}
	}
	p.put(labels...)
}

// tenfold reports whether v is a power of ten.
func tenfold(v float64) bool {
	e := math.Log10(v)
	return math.Abs(e-math.Round(e)) < 1e-9
}

// named names the ticks of the first column alone.
func (g growthPanel) named(name func(float64) string) func(float64, bool) string {
	return func(v float64, _ bool) string {
		if !g.first {
			return ""
		}
		return name(v)
	}
}

// clipLow cuts the lower end of a line that is straight on logarithmic axes
// where it would leave the panel.
func clipLow(line plotter.XYs, least float64) plotter.XYs {
	a, b := line[0], line[1]
	slope := math.Log(b.Y/a.Y) / math.Log(b.X/a.X)
	for i, at := range line {
		if at.Y < least {
			line[i] = plotter.XY{X: at.X * math.Pow(least/at.Y, 1/slope), Y: least}
		}
	}
	return line
}
