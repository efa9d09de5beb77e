package figure

import (
	"fmt"
	"math"

	"gonum.org/v1/plot/vg"

	"tankodds/rainfall"
	"tankodds/report/units"
	"tankodds/report/words"
	"tankodds/sim"
)

// influencesFigure draws what each uncertain input is worth to the size: a bar
// from its one end to the other.
func influencesFigure(r *sim.Result, rec *rainfall.Summary, opt Options) (Figure, bool) {
	if len(r.Explain) == 0 {
		return Figure{}, false
	}
	what, _, _ := words.Influence(opt.Units, r.Explain[0])
	f := Figure{Name: "influences", Title: fmt.Sprintf("What matters most to the size: %s", what)}
	f.Caption = join("One input at a time, with the same synthetic rain.", recordLine(rec), simulatedLine(r, min(r.Simulated, sim.ExplainYears)))
	sub := fmt.Sprintf("How much larger or smaller the tank must be, in %%, if an input is not as taken; %s.", roofName(opt.Units, sim.TotalArea(r.Study.Roofs)))
	return f.drawn(sub, "", func(pg *page, room vg.Rectangle) { drawInfluences(pg, r.Explain, opt.Units, room) })
}

// openEnd is how far a bar reaches where no size is enough, beside the longest.
const openEnd = 1.25

func drawInfluences(pg *page, all []sim.Influence, u units.System, room vg.Rectangle) {
	change := func(x float64) float64 { return 100 * (x - 1) }
	lo, hi := -5.0, 5.0
	for _, x := range all {
		for _, v := range []float64{x.A, x.B} {
			if finite(v) {
				lo, hi = min(lo, change(v)), max(hi, change(v))
			}
		}
	}
	end := func(x float64) float64 {
		if finite(x) {
			return change(x)
		}
		return openEnd * hi
	}
	widest := vg.Length(0)
	for _, x := range all {
		what, _, _ := words.Influence(u, x)
		widest = max(widest, labelFace.width(what))
	}
	n := float64(len(all))
	area := inset(room, widest+10, 20, 4, 4)
	// Room at either side for the ends' words.
	margin := 0.32 * (hi - lo)
	p := newPanel(pg, area, axis{min: lo - margin, max: openEnd*hi + margin}, axis{min: 0, max: n})
	at, _ := ticks(lo, hi, 5)
	p.xAxis(tickRow{at, func(v float64, last bool) string {
		s := units.Fixed(math.Abs(v), 0)
		switch {
		case v > 0:
			s = "+" + s
		case v < 0:
			s = "−" + s
		}
		if last {
			s += " %"
		}
		return s
	}})
	p.draw()
	for k, x := range all {
		y := n - float64(k) - 0.5
		what, from, to := words.Influence(u, x)
		pg.text(what, labelFace, Ink, area.Min.X-6, p.y(y)-labelFace.size*0.35, 1)
		a, b := end(x.A), end(x.B)
		if a > b {
			a, b, from, to = b, a, to, from
		}
		bar := func(from, to float64, down bool) {
			c := Tint(orange, 0.9)
			if down {
				c = Tint(blue, 0.8)
			}
			p.fill(vg.Rectangle{Min: vg.Point{X: p.x(from), Y: p.y(y - 0.3)}, Max: vg.Point{X: p.x(to), Y: p.y(y + 0.3)}}, c)
		}
		bar(min(a, 0), min(b, 0), true)
		bar(max(a, 0), max(b, 0), false)
		pg.text(from, tickFace, Ink, p.x(min(a, 0))-4, p.y(y)-tickFace.size*0.35, 1)
		if !finite(x.A) || !finite(x.B) { // the bar has no end
			pg.text(to+": never large enough", tickFace, Ink, p.x(b)-4, p.y(y)-tickFace.size*0.35, 1)
			continue
		}
		pg.text(to, tickFace, Ink, p.x(max(b, 0))+4, p.y(y)-tickFace.size*0.35, 0)
	}
	pg.c.StrokeLine2(stroke(Baseline, 1), p.x(0), area.Min.Y, p.x(0), area.Max.Y)
}
