package figure

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
)

// fractions draws the curves without a unit: the share against the tank as a part of
// what the roofs give in a mean year.
func (z *compared) fractions() (Figure, bool) {
	var cs []Station
	for _, x := range z.all {
		if len(x.Curve) > 1 && x.Inflow > 0 && x.Demand > 0 && finite(x.Inflow) {
			cs = append(cs, x)
		}
	}
	if len(cs) < 3 {
		return Figure{}, false
	}
	slices.SortStableFunc(cs, func(a, b Station) int {
		switch x, y := a.Demand/a.Inflow, b.Demand/b.Inflow; {
		case x < y:
			return -1
		case x > y:
			return 1
		}
		return 0
	})
	least, most := cs[0].Demand/cs[0].Inflow, cs[len(cs)-1].Demand/cs[len(cs)-1].Inflow
	f := Figure{Name: "compare-fractions"}
	if reach := z.reached(); finite(reach) {
		f.Title = fmt.Sprintf("As one curve, %s takes a tank of %s of what the roofs give in a year", z.goal(), percent(reach))
	} else if !varies(cs) {
		f.Title = fmt.Sprintf("The use is %s of what the roofs give, of each record", percent(least))
	} else {
		f.Title = fmt.Sprintf("The use is from %s to %s of what the roofs give", percent(least), percent(most))
	}
	what := fmt.Sprintf("Share of %s, by the storage fraction: the tank over what the roofs give in a mean year. The axis is logarithmic.", of(z.study))
	note := fmt.Sprintf("Thin: %d records, of one demand fraction, the water wanted over what the roofs give: %s.", len(cs), threeDigits(least))
	if varies(cs) {
		note = fmt.Sprintf("Thin: %d records in three classes alike in number, the darker the larger their demand fraction, the water wanted over what the roofs give: %s to %s.", len(cs), threeDigits(least), threeDigits(most))
	}
	if len(z.regional) > 1 {
		note = join(note, "Thick: one curve fitted to all, at their median; between the fine lines: where nine of ten records of that demand and seasonality would lie.")
	}
	if z.likeGould(cs) {
		note = join(note, "Orange: Gould 1987 for ten stations of Botswana, about 0.4 for seven tenths of what the roofs give, at 95 %; a wide band, for it is another climate.")
	}
	note = join(note, z.melbourneNote(cs))
	f.Caption = join(note, z.source())
	said := ""
	for _, k := range evenly(len(z.regional), 8) {
		q := z.regional[k]
		said = join(said, fmt.Sprintf("At a storage fraction of %s: %s (%s to %s).", threeDigits(q.Store), percent(q.Share), percent(q.Low), percent(q.High)))
	}
	return f.drawn(what, said, func(pg *page, room vg.Rectangle) { z.drawFractions(pg, cs, room) })
}

// varies says whether the demand fractions of stations, in rising order, differ by
// more than is seen in three digits.
func varies(cs []Station) bool {
	least, most := cs[0].Demand/cs[0].Inflow, cs[len(cs)-1].Demand/cs[len(cs)-1].Inflow
	return most > 1.005*least
}

// reached is the storage fraction at which the fitted curve meets the target; NaN where
// it does not.
func (z *compared) reached() float64 {
	for k, q := range z.regional {
		if q.Share < z.study.Target {
			continue
		}
		if k == 0 {
			break
		}
		b := z.regional[k-1]
		return b.Store * math.Pow(q.Store/b.Store, (z.study.Target-b.Share)/(q.Share-b.Share))
	}
	return math.NaN()
}

// Gould (1987, 3rd IRCSA conference, paper C.2, the abstract read): at ten stations in
// Botswana, by months, the best tank is about 0.4 of what the roofs give in a year and
// supplies about 0.7 of that at a reliability of 95 %. It is shown as a wide band.
const (
	gouldFrom, gouldTo, gouldLow = 0.3, 0.5, 0.9
	gouldLeast, gouldMost        = 0.55, 0.85 // of the median demand fraction
)

// likeGould says whether that can be held beside what is drawn.
func (z *compared) likeGould(cs []Station) bool {
	mid := cs[len(cs)/2]
	d, hi := mid.Demand/mid.Inflow, 0.0
	for _, c := range cs {
		hi = max(hi, c.Curve[len(c.Curve)-1].Tank/c.Inflow)
	}
	return d >= gouldLeast && d <= gouldMost && hi > gouldFrom && z.study.Target >= gouldLow
}

func (z *compared) drawFractions(pg *page, cs []Station, room vg.Rectangle) {
	lo, hi := math.Inf(1), 0.0
	for _, c := range cs {
		for _, q := range c.Curve {
			if q.Tank > 0 {
				lo, hi = min(lo, q.Tank/c.Inflow), max(hi, q.Tank/c.Inflow)
			}
		}
	}
	lo = max(lo, hi/1000)
	area := inset(room, 34, 20, 14, 4)
	p := newPanel(pg, area, axis{min: lo, max: hi, log: true}, axis{min: 0, max: 1})
	p.yAxis(shares)
	var low, mid, high plotter.XYs
	for _, q := range z.regional {
		if q.Store >= lo && q.Store <= hi {
			low, mid, high = append(low, plotter.XY{X: q.Store, Y: q.Low}), append(mid, plotter.XY{X: q.Store, Y: q.Share}), append(high, plotter.XY{X: q.Store, Y: q.High})
		}
	}
	p.band(low, high, Tint(blue, 0.14))
	// Three classes of one shade each, the smallest demand fraction first; one where
	// it is the same of all.
	width := vg.Length(0.9)
	if len(cs) >= manyCurves {
		width = 0.45
	}
	tints := []float64{0.35, 0.6, 0.95}
	if !varies(cs) {
		tints = tints[1:2]
	}
	for class, tint := range tints {
		var lines []plotter.XYs
		for _, c := range cs[class*len(cs)/len(tints) : (class+1)*len(cs)/len(tints)] {
			line := make(plotter.XYs, 0, len(c.Curve))
			for _, q := range c.Curve {
				if s := q.Tank / c.Inflow; s >= lo {
					line = append(line, plotter.XY{X: s, Y: unit(q.Share.Estimate)})
				}
			}
			lines = append(lines, line)
		}
		p.faint(lines, Tint(Baseline, tint), width)
	}
	p.across(z.study.Target, stroke(Muted, 0.9), 3)
	p.edges(low, high)
	if z.likeGould(cs) {
		from, to := p.at(plotter.XY{X: max(lo, gouldFrom), Y: gouldLow}), p.at(plotter.XY{X: min(hi, gouldTo), Y: 1})
		p.plot.Add(drawing(func() {
			pg.shape(Tint(orange, 0.45), from, vg.Point{X: to.X, Y: from.Y}, to, vg.Point{X: from.X, Y: to.Y})
			pg.c.StrokeLines(stroke(readable(orange), 1), []vg.Point{from, {X: to.X, Y: from.Y}, to, {X: from.X, Y: to.Y}, from})
		}))
	}
	from, to := z.likeMelbourne(cs)
	p.drawMelbourne(from, to, lo, hi)
	p.curve(mid, blue, 2.4, 6)
	p.draw()
	p.xAxis(tickRow{logTicks(lo, hi), func(v float64, _ bool) string { return threeDigits(v) }})
	labels := []label{p.targetLabel(z.study.Target, Ink)}
	if len(mid) > 1 {
		labels = append(labels, label{lines: []string{"fitted to all " + countOf(len(cs), "record")}, color: blue, lead: true, plate: true, at: p.points(mid)})
	}
	p.put(labels...)
}
