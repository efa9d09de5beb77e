package figure

import (
	"fmt"
	"image/color"
	"slices"

	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"

	"tankodds/rainfall"
	"tankodds/report/words"
	"tankodds/sim"
)

// turnoverFigure draws how often a year the last litre of a tank is used, at
// the site's own roofs, and how often it must be to pay.
func turnoverFigure(r *sim.Result, rec *rainfall.Summary, opt Options) (Figure, bool) {
	turns := r.Turnover
	if len(turns) < 2 || !(turns[0].Times > seldomUsed) || r.Main.Grade == sim.TooShort {
		return Figure{}, false
	}
	u := opt.Units
	vol := volumeScale(u, turns[len(turns)-1].Tank)
	litre := vol.litre()
	f := Figure{Name: "turnover", Title: fmt.Sprintf("How often a year the last %s of a tank is used", litre)}
	note := ""
	if st := r.Stop; finite(st.Tank) {
		says := words.Worth(r.Study, st)
		if says == words.WorthMost {
			says = "is " + says
		}
		f.Title = fmt.Sprintf("At these prices, %s %s", vol.show(st.Tank), says)
		if st.Method == sim.ByTurnover {
			f.Title = fmt.Sprintf("Up to %s, the last %s is used at least every other year", vol.show(st.Tank), litre)
		}
		note = "Method: " + sentence(words.Method(st.Method, r.Study))
	}
	what := fmt.Sprintf("How often a year the last %s of a tank is used, by its size in %s; %s; the vertical axis is logarithmic.", litre, vol.name(), roofName(u, sim.TotalArea(r.Study.Roofs)))
	f.Caption = join(note, sourceLine(r, rec))
	said := fmt.Sprintf("It falls from %s at %s to %s at %s.", words.Often(turns[0].Times), vol.show(turns[0].Tank),
		words.Often(turns[len(turns)-1].Times), vol.show(turns[len(turns)-1].Tank))
	return f.drawn(what, said, func(pg *page, room vg.Rectangle) { drawTurnover(pg, r, vol, room) })
}

// seldomUsed is where the axis ends: once in a hundred years.
const seldomUsed = 0.01

// often are the ticks of how often a year.
var often = tickRow{[]float64{0.01, 0.1, 1, 10, 100}, func(v float64, _ bool) string { return words.Often(v) }}

func drawTurnover(pg *page, r *sim.Result, vol scale, room vg.Rectangle) {
	var curve plotter.XYs
	top, last := 1.0, 0.0
	for _, t := range r.Turnover {
		curve = append(curve, plotter.XY{X: t.Tank * vol.factor, Y: max(seldomUsed, t.Times)})
		last = t.Tank
		if finite(t.Times) {
			top = max(top, t.Times)
		}
	}
	ticks := often
	for ticks.at[len(ticks.at)-1] > top {
		ticks.at = ticks.at[:len(ticks.at)-1]
	}
	hi := last * vol.factor
	x, xTicks := sizeAxis([]float64{0, last}, 0, vol)
	p := newPanel(pg, inset(room, ticks.width()+6, 20, 12, 4), x, axis{min: seldomUsed, max: top * 1.2, log: true})
	p.yAxis(ticks)
	st := r.Stop
	var labels []label
	if st.Method == sim.ByTurnover {
		labels = append(labels, p.thresholdLabel(sim.AsWater, "every other year", green))
	}
	p.curve(curve, blue, 2.3, 5)
	p.draw()
	p.xAxis(xTicks)
	if at := st.Tank * vol.factor; at <= hi {
		labels = append(labels, p.stopLine(r.Study, st, vol))
	}
	if y, ok := along(curve, r.Main.Tank*vol.factor); ok {
		at := vg.Point{X: p.x(r.Main.Tank * vol.factor), Y: p.y(y)}
		p.mark(at, blue, false)
		labels = append(labels, label{lines: []string{meets(r, vol), "its last " + vol.litre() + " is used " + words.Often(y)},
			color: blue, at: []vg.Point{at}, lead: true})
	}
	p.put(labels...)
	for _, t := range r.Turnover {
		p.reads(t.Tank*vol.factor, max(seldomUsed, t.Times), "%s: its last %s is used %s", vol.show(t.Tank), vol.litre(), words.Often(t.Times))
	}
}

// thresholdLabel draws a line across the figure and names it.
func (p *panel) thresholdLabel(v float64, name string, c color.NRGBA) label {
	p.across(v, stroke(c, 0.9), 3)
	l := label{lines: []string{name}, color: c}
	for x := p.area.Min.X + 4; x < p.area.Max.X; x += 8 {
		l.at = append(l.at, vg.Point{X: x, Y: p.y(v) - 1})
	}
	return l
}

// stopLine marks the stop: a hairline through the figure, its band as a bar on
// the foot line; and returns its name.
func (p *panel) stopLine(s *sim.Study, st sim.Stop, vol scale) label {
	x := p.x(st.Tank * vol.factor)
	p.page.c.StrokeLine2(stroke(green, 1), x, p.area.Min.Y, x, p.area.Max.Y)
	p.lines = append(p.lines, obstacle{[]vg.Point{{X: x, Y: p.area.Min.Y}, {X: x, Y: p.area.Max.Y}}, 5})
	lines := stopLines(s, st, vol)
	if b := vol.between(st.Low, st.High); finite(st.Low) && finite(st.High) && b != "" {
		lines = slices.Insert(lines, len(lines)-1, "("+b+")")
		lo := max(p.plot.X.Min, st.Low*vol.factor)
		hi := min(p.plot.X.Max, st.High*vol.factor)
		if hi > lo {
			p.page.c.StrokeLine2(stroke(green, 3), p.x(lo), p.area.Min.Y, p.x(hi), p.area.Min.Y)
		}
	}
	l := label{lines: lines, color: green, lead: true}
	for y := p.area.Max.Y - 20; y > p.area.Min.Y; y -= 30 {
		l.at = append(l.at, vg.Point{X: x, Y: y})
	}
	return l
}
