package figure

import (
	"fmt"
	"image/color"
	"math"

	"gonum.org/v1/plot/vg"

	"tankodds/rainfall"
	"tankodds/report/words"
	"tankodds/sim"
)

// balanceFigure draws what a mean year's months want, what of it the tank
// supplies, what must be topped up, and what overflows.
func balanceFigure(r *sim.Result, rec *rainfall.Summary, opt Options) (Figure, bool) {
	months := r.Months
	if len(months) != 12 || r.Season == nil {
		return Figure{}, false
	}
	tank := r.Season.Tank
	year := balanceSum(months)
	vol := volumeScale(opt.Units, max(reach(months)))
	held := volumeScale(opt.Units, tank)
	f := Figure{Name: "balance"}
	f.Title = fmt.Sprintf("What %s supplies month by month", aTank(held, tank))
	if year.Demand > 0 && finite(year.OfRain()) {
		f.Title = words.UpperFirst(aTank(held, tank)) + fmt.Sprintf(" supplies %s; %s", shareOfYear(year.OfRain()/year.Demand), topUpWords(r.Study, months, year))
	}
	what := fmt.Sprintf("Mean month, in %s: above the line the water wanted, as supplied by the tank and %s; below it what overflows; %s.",
		vol.name(), words.Lacking(r.Study), roofName(opt.Units, sim.TotalArea(r.Study.Roofs)))
	note := ""
	if shrink(months) != 1 {
		note = "What overflows has a scale of its own."
	}
	f.Caption = join(note, seasonLine(r, rec))
	return f.drawn(what, fmt.Sprintf("In a mean year %s is supplied, %s is %s, and %s overflows.",
		showNear(vol, year.OfRain(), year.Demand), showNear(vol, year.TopUp(), year.Demand), words.Lacking(r.Study), showNear(vol, year.Spilled, year.Demand)), func(pg *page, room vg.Rectangle) { drawBalance(pg, r.Study, months, year, vol, room) })
}

// balanceSum adds the months up.
func balanceSum(months []sim.Month) (year sim.Month) {
	for _, m := range months {
		year.Inflow += m.Inflow
		year.Demand += m.Demand
		year.Supplied += m.OfRain()
		year.Spilled += m.Spilled
	}
	return year
}

// nothing is the share of the demand below which an amount is not worth a
// number.
const nothing = 0.0005

// showNear sets a quantity that is nothing beside another as 0.
func showNear(s scale, x, beside float64) string {
	if math.Abs(x) < nothing*beside {
		x = 0
	}
	return s.show(x)
}

func shareOfYear(share float64) string {
	switch {
	case share > 1-nothing:
		return "all of the year’s demand"
	case share < nothing:
		return "next to nothing of the year’s demand"
	}
	return percent(share) + " of the year’s demand"
}

// topUpWords names the month that is topped up most.
func topUpWords(s *sim.Study, months []sim.Month, year sim.Month) string {
	worst := 0
	for k, m := range months {
		if m.TopUp() > months[worst].TopUp() {
			worst = k
		}
	}
	if !(year.TopUp() > nothing*year.Demand) {
		return "hardly any is " + words.Lacking(s)
	}
	return "most is " + words.Lacking(s) + " in " + months[worst].Month.String()
}

// Bars that reach farther below the line than mostBelow times those above it
// would leave these no height: they get a scale of their own, and the longest
// reaches shrunkTo times.
const (
	mostBelow = 3.0
	shrunkTo  = 1.5
)

// shrink is the scale below the line over that above it.
func shrink(months []sim.Month) float64 {
	if above, below := reach(months); above > 0 && below > mostBelow*above {
		return shrunkTo * above / below
	}
	return 1
}

// reach returns the longest bars above and below the line, L.
func reach(months []sim.Month) (above, below float64) {
	return most(months, func(m sim.Month) float64 { return m.Demand }), most(months, func(m sim.Month) float64 { return m.Spilled })
}

func drawBalance(pg *page, study *sim.Study, months []sim.Month, year sim.Month, vol scale, room vg.Rectangle) {
	above, below := reach(months)
	by := shrink(months)
	above, below = above*vol.factor, by*below*vol.factor
	if above == 0 && below == 0 {
		above = 1
	}
	up := plainTicks(0, above, 4, vol.unit)
	down, _ := ticks(0, below/by, int(math.Ceil(4*below/max(above, below*0.2))))
	if len(up.at) > 1 && by == 1 { // one step for both ways
		step := up.at[1] - up.at[0]
		down = down[:0]
		for v := step; v <= below*1.0001; v += step {
			down = append(down, v)
		}
	}
	both := tickRow{name: func(v float64, top bool) string {
		if v < 0 {
			v /= -by
		}
		return up.name(v, top)
	}}
	for i := len(down) - 1; i >= 0; i-- {
		if down[i] > 0 {
			both.at = append(both.at, -down[i]*by)
		}
	}
	both.at = append(both.at, up.at...)
	ends := balanceEnds(study, year, vol)
	area := inset(room, both.width()+6, 18, widestEnd(ends)+endGap, 6)
	p := newPanel(pg, area, axis{min: 0, max: 12}, axis{min: -below * 1.02, max: max(above*1.02, both.at[len(both.at)-1])})
	p.yAxis(both)
	for k, m := range months {
		x0, x1 := float64(k)+0.06, float64(k+1)-0.06
		supplied, wanted, spilled := m.OfRain()*vol.factor, m.Demand*vol.factor, m.Spilled*vol.factor
		p.bar(x0, x1, 0, supplied, Tint(blue, 0.8))
		if wanted > supplied {
			p.bar(x0, x1, supplied, wanted, orange)
		}
		p.bar(x0, x1, -spilled*by, 0, Tint(sky, 0.55))
	}
	p.draw()
	pg.c.StrokeLine2(stroke(Baseline, 1), area.Min.X, p.y(0), area.Max.X, p.y(0))
	for k, m := range months {
		pg.text(monthName(m.Month, p.x(1)-p.x(0)), tickFace, Muted, p.x(float64(k)+0.5), area.Min.Y-13, 0.5)
	}
	last := months[11]
	middle := func(a, b float64) vg.Length {
		if !finite(a) || !finite(b) {
			a, b = 0, 0
		}
		return p.y((a + b) / 2 * vol.factor)
	}
	ends[0].y = middle(last.OfRain(), max(last.Demand, last.OfRain()))
	ends[1].y = middle(0, last.OfRain())
	ends[2].y = middle(0, -last.Spilled*by)
	p.ends(ends, area.Min.Y-6, area.Max.Y+8)
}

// balanceEnds names the three kinds of water, from the top down.
func balanceEnds(study *sim.Study, year sim.Month, vol scale) []endLabel {
	end := func(name string, x float64, c color.NRGBA) endLabel {
		e := endLabel{lines: []string{name, showNear(vol, x, year.Demand) + " a year"}, bold: 1, color: c}
		if year.Demand > 0 && finite(x) && name != "overflows" && math.Abs(x) > nothing*year.Demand {
			e.lines = append(e.lines, percent(x/year.Demand)+" of demand")
		}
		return e
	}
	out := []endLabel{end(words.Lacking(study), year.TopUp(), orange), end("supplied", year.OfRain(), blue), end("overflows", year.Spilled, sky)}
	if year.Inflow > 0 && finite(year.Spilled) && year.Spilled > nothing*year.Inflow {
		out[2].lines = append(out[2].lines, percent(year.Spilled/year.Inflow)+" of inflow")
	}
	return out
}
