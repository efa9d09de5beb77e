package figure

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"

	"tankodds/sim"
)

// climate draws the size that each station needs against how seasonal its rain is and
// against its longest dry spell.
func (z *compared) climate() (Figure, bool) {
	var cs []Station
	for _, x := range z.sized() {
		if finite(x.Seasonality) && finite(x.DrySpell) && x.DrySpell > 0 {
			cs = append(cs, x)
		}
	}
	if len(cs) < 4 {
		return Figure{}, false
	}
	vol := volumeScale(z.units, most(cs, func(x Station) float64 { return x.Tank }))
	tanks, seasons, spells := make([]float64, len(cs)), make([]float64, len(cs)), make([]float64, len(cs))
	for i, x := range cs {
		tanks[i], seasons[i], spells[i] = x.Tank, x.Seasonality, x.DrySpell
	}
	bySeason, bySpell := sim.RankCorrelation(seasons, tanks), sim.RankCorrelation(spells, tanks)
	f := Figure{Name: "compare-climate"}
	says := func(r float64) string {
		switch {
		case math.IsNaN(r):
			return "has no rank correlation with"
		case math.Abs(r) < 2/math.Sqrt(float64(len(cs)-1)): // two standard errors of none
			return "does not follow"
		case r > 0:
			return "rises with"
		}
		return "falls with"
	}
	seen := func(r float64) string { // nothing where it is not defined
		if math.IsNaN(r) {
			return ""
		}
		return " (" + signed(r) + ")"
	}
	first := strings.Replace(seen(bySeason), "(", "(rank correlation"+nbsp, 1)
	switch a, b := says(bySeason), says(bySpell); {
	case a == b:
		f.Title = fmt.Sprintf("The tank needed %s the rain's seasonality%s and the longest dry spell%s", a, first, seen(bySpell))
	default:
		f.Title = fmt.Sprintf("The tank needed %s the rain's seasonality%s, and %s the longest dry spell%s", a, first, b, seen(bySpell))
	}
	what := fmt.Sprintf("Tank for %s in %s, by record. Seasonality: index of Walsh & Lawler (1981), 0 where all months are alike, 1.83 where all rain falls in one.", z.goal(), vol.name())
	note := fmt.Sprintf("Rank correlation (Spearman) of %d records: %s with seasonality, %s with the dry spell; alone it says nothing of causes.", len(cs), signed(bySeason), signed(bySpell))
	f.Caption = join(note, z.without(), z.source())
	said := ""
	for _, k := range evenly(len(cs), 20) {
		x := cs[k]
		said = join(said, fmt.Sprintf("%s: seasonality %s, dry spell %s, %s.", fileName(x.Name), threeDigits(x.Seasonality), countOf(int(x.DrySpell), "day"), vol.show(x.Tank)))
	}
	return f.drawn(what, said, func(pg *page, room vg.Rectangle) { z.drawClimate(pg, cs, vol, room) })
}

func signed(r float64) string {
	if math.IsNaN(r) {
		return "not defined"
	}
	return fmt.Sprintf("%+.2f", r)
}

// mostBands is of how many stations the bands are drawn beside their marks.
const mostBands = 60

func (z *compared) drawClimate(pg *page, cs []Station, vol scale, room vg.Rectangle) {
	lo, hi := cs[0].Tank, cs[len(cs)-1].Tank
	top := hi
	for _, x := range cs {
		if finite(x.High) && len(cs) <= mostBands {
			top = max(top, min(x.High, 1.6*hi))
		}
	}
	y := axis{min: 0, max: 1.08 * top * vol.factor}
	yTicks := plainTicks(0, y.max, 5, vol.unit)
	if hi > logFrom*lo {
		y = axis{min: 0.85 * lo * vol.factor, max: 1.15 * top * vol.factor, log: true}
		yTicks = tickRow{logTicks(y.min, y.max), withUnit(threeDigits, vol.unit)}
	}
	g := z.groups()
	const gap = 26
	left := yTicks.width() + 8
	width := (room.Size().X - left - gap - 8) / 2
	bottom, head := vg.Length(34), vg.Length(6)
	legend := g.rows(g.rest(cs), room.Size().X)
	head += legendHeight(legend)
	for side, of := range []struct {
		name string
		is   func(Station) float64
	}{{"seasonality of the rain", func(x Station) float64 { return x.Seasonality }}, {"longest dry spell, days", func(x Station) float64 { return x.DrySpell }}} {
		area := inset(room, left+vg.Length(side)*(width+gap), bottom, 0, head)
		area.Max.X = area.Min.X + width
		from, to := of.is(cs[0]), of.is(cs[0])
		for _, x := range cs {
			from, to = min(from, of.is(x)), max(to, of.is(x))
		}
		pad := 0.06 * (to - from)
		if pad == 0 {
			pad = 0.1 * max(to, 0.1)
		}
		x := axis{min: max(0, from-pad), max: to + pad}
		xTicks := plainTicks(x.min, x.max, 5, "")
		xTicks.name = func(v float64, _ bool) string { return threeDigits(v) }
		if side == 1 && to > 12*from {
			x = axis{min: from / 1.15, max: to * 1.15, log: true}
			xTicks.at = logTicks(x.min, x.max)
		}
		p := newPanel(pg, area, x, y)
		for _, v := range yTicks.at {
			p.across(v, stroke(Hairline, 0.6), 0.12)
		}
		r := vg.Length(3.2)
		if len(cs) > 100 {
			r = 1.7
		}
		var points []vg.Point
		for _, s := range cs {
			points = append(points, p.at(plotter.XY{X: of.is(s), Y: s.Tank * vol.factor}))
		}
		p.plot.Add(drawing(func() {
			for i, s := range cs {
				if len(cs) > mostBands {
					break
				}
				up, down := area.Max.Y, points[i].Y
				if finite(s.High) {
					up = min(up, p.y(s.High*vol.factor))
				}
				if finite(s.Low) && s.Low > 0 {
					down = max(area.Min.Y, p.y(max(s.Low*vol.factor, y.min)))
				}
				if finite(s.Low) || finite(s.High) {
					pg.c.StrokeLine2(stroke(Tint(g.color(g.of(s)), 0.4), 1), points[i].X, down, points[i].X, up)
				}
			}
			for i, s := range cs {
				p.symbol(max(0, g.of(s)), points[i], g.color(g.of(s)), r)
			}
		}))
		for _, at := range points {
			p.dots = append(p.dots, around(at, 2*r, 2*r))
		}
		p.draw()
		if side == 0 {
			p.yNames(yTicks)
		}
		p.xAxis(xTicks)
		pg.text(of.name, tickFace, Muted, (area.Min.X+area.Max.X)/2, area.Min.Y-28, 0.5)
		var labels []label
		for _, k := range extremes(cs, of.is) {
			p.ring(points[k], r)
			labels = append(labels, label{lines: []string{clipAt(fileName(cs[k].Name), labelFace, 110)}, plain: true, color: Ink, lead: true, at: []vg.Point{points[k]}})
		}
		p.put(labels...)
	}
	(&panel{page: pg}).legend(g, legend, room.Min.X, room.Max.Y-10)
}

// extremes are the places of the stations to be named: the ends of both axes.
func extremes(cs []Station, is func(Station) float64) []int {
	least, most := 0, 0
	for i, x := range cs {
		if is(x) < is(cs[least]) {
			least = i
		}
		if is(x) > is(cs[most]) {
			most = i
		}
	}
	out := []int{0, len(cs) - 1, least, most}
	slices.Sort(out)
	return slices.Compact(out)
}
