package figure

import (
	"fmt"
	"strings"

	"gonum.org/v1/plot/vg"

	"tankodds/sim"
)

// mostRanked is how many stations have a row with a name each.
const mostRanked = 24

// ranked draws the stations in the order of the size they need, with its band; those
// without a size come last.
func (z *compared) ranked() (Figure, bool) {
	sized := z.sized()
	if len(z.all) < 2 || len(sized) == 0 {
		return Figure{}, false
	}
	top := most(sized, func(x Station) float64 { return x.Tank })
	vol := volumeScale(z.units, top)
	f := Figure{Name: "compare-ranked"}
	least, largest := sized[0], sized[len(sized)-1]
	switch ratio := largest.Tank / least.Tank; {
	case len(sized) == 1:
		f.Title = fmt.Sprintf("Only with the rain of %s does a tank meet %s: %s", fileName(least.Name), z.goal(), vol.show(least.Tank))
		if len(fill(f.Title, titleFace, Width-2*Margin)) > 2 {
			f.Title = fmt.Sprintf("Only with one of %d records does a tank meet %s: %s", len(z.all), z.goal(), vol.show(least.Tank))
		}
	case vol.show(least.Tank) == vol.show(largest.Tank):
		f.Title = fmt.Sprintf("%s takes %s with each record", z.goal(), vol.show(least.Tank))
	default:
		f.Title = fmt.Sprintf("%s takes from %s to %s, %s times as much", z.goal(), vol.show(least.Tank), vol.show(largest.Tank), threeDigits(ratio))
	}
	what := fmt.Sprintf("Tank for %s in %s, by record; bar: its %s interval; upright: the safe size, whose lower bound meets the target.", z.goal(), vol.name(), percent(z.study.Level))
	many := len(z.all) > mostRanked
	if many {
		what = fmt.Sprintf("Tank for %s in %s, record by record from the smallest; pale: its %s interval.", z.goal(), vol.name(), percent(z.study.Level))
	}
	lo, hi := z.ends(sized)
	if wantsLog([]float64{lo, (lo + hi) / 2, hi}) {
		what = strings.TrimSuffix(what, ".") + "; the axis of sizes is logarithmic."
	}
	note := z.without()
	if many {
		note = join(note, "Named are some, evenly chosen by size.")
	}
	f.Caption = join(note, z.source())
	said := ""
	for _, k := range evenly(len(sized), 40) {
		said = join(said, fileName(sized[k].Name)+": "+z.needs(sized[k], vol)+".")
	}
	return f.drawn(what, said, func(pg *page, room vg.Rectangle) { z.drawRanked(pg, sized, vol, lo, hi, many, room) })
}

// ends are the least and the most that the sizes and their bands are drawn over: a
// band that is far wider than the sizes runs off.
func (z *compared) ends(sized []Station) (lo, hi float64) {
	lo, hi = sized[0].Tank, sized[len(sized)-1].Tank
	most := 2.5 * hi
	for _, x := range sized {
		for _, b := range []float64{x.Low, x.High, x.Safe} {
			if b > 0 && finite(b) {
				lo, hi = min(lo, b), max(hi, min(b, most))
			}
		}
	}
	return lo, hi * 1.03
}

func (z *compared) drawRanked(pg *page, sized []Station, vol scale, lo, hi float64, many bool, room vg.Rectangle) {
	rows := len(sized)
	g := z.groups()
	if !many {
		rows = len(z.all)
	}
	const widest = 170
	left := vg.Length(0)
	named := evenly(len(sized), 14)
	if !many {
		for _, x := range z.all {
			left = max(left, tickFace.width(clipAt(fileName(x.Name), tickFace, widest)))
		}
	} else {
		for _, k := range named {
			left = max(left, tickFace.width(clipAt(fileName(sized[k].Name), tickFace, widest)))
		}
	}
	area := inset(room, left+10, 20, 14, 4)
	legend := g.rows(g.rest(sized), area.Max.X-room.Min.X)
	area.Max.Y -= legendHeight(legend)
	x, xTicks := sizeAxis([]float64{lo, (lo + hi) / 2, hi}, 0, vol)
	x.max = hi * vol.factor
	p := newPanel(pg, area, x, axis{min: 0, max: float64(rows)})
	for _, v := range xTicks.at {
		pg.c.StrokeLine2(stroke(Hairline, 0.6), p.x(v), area.Min.Y, p.x(v), area.Max.Y)
	}
	apart := vg.Length(0) // for those without a size, below all others
	if many && len(sized) < len(z.all) {
		apart = 22
	}
	row := (area.Size().Y - apart) / vg.Length(rows)
	mid := func(k int) vg.Length { return area.Max.Y - row*(vg.Length(k)+0.5) }
	within := func(v float64) vg.Length { return min(max(p.x(v*vol.factor), area.Min.X), area.Max.X) }
	thick := min(row*0.55, 6)
	if many {
		thick = max(row, 0.35)
	}
	for k, s := range sized {
		c := g.color(g.of(s))
		from, to := s.Tank, s.Tank
		if finite(s.Low) && s.Low > 0 {
			from = s.Low
		}
		open := !finite(s.High) && finite(s.Low)
		if finite(s.High) {
			to = s.High
		}
		end := within(to)
		if open {
			end = area.Max.X
		}
		if from != to || open {
			pg.c.StrokeLine2(stroke(Tint(c, 0.3), thick), within(from), mid(k), end, mid(k))
		}
	}
	for k, s := range sized {
		c := g.color(g.of(s))
		at := vg.Point{X: within(s.Tank), Y: mid(k)}
		if many {
			p.symbol(max(0, g.of(s)), at, c, max(1.1, min(3, row*0.45)))
			continue
		}
		if finite(s.Safe) && s.Safe*vol.factor <= hi*vol.factor {
			pg.c.StrokeLine2(stroke(readable(c), 1.4), within(s.Safe), mid(k)-row*0.3, within(s.Safe), mid(k)+row*0.3)
		}
		p.symbol(max(0, g.of(s)), at, c, min(3.6, row*0.34))
	}
	p.xAxis(xTicks)
	p.legend(g, legend, room.Min.X, area.Max.Y+legendHeight(legend)-10)
	name := func(s Station, k int) {
		pg.text(clipAt(fileName(s.Name), tickFace, widest), tickFace, Muted, area.Min.X-6, mid(k)-tickFace.size*0.35, 1)
	}
	if many {
		for _, k := range named {
			name(sized[k], k)
		}
		if apart > 0 {
			block := vg.Rectangle{Min: vg.Point{X: area.Min.X + 1, Y: area.Min.Y + 2}, Max: vg.Point{X: area.Max.X, Y: area.Min.Y + apart - 4}}
			p.fill(block, Tint(bystand, 0.3))
			pg.text(clipAt(z.apart(), tickFace, block.Size().X-10), tickFace, Ink, block.Min.X+6, (block.Min.Y+block.Max.Y)/2-tickFace.size*0.35, 0)
		}
		return
	}
	for k, s := range sized {
		name(s, k)
	}
	k := len(sized)
	if k < rows { // a line between those with a size and those without
		y := area.Max.Y - row*vg.Length(k)
		pg.c.StrokeLine2(stroke(Baseline, 0.7, 2, 2), area.Min.X, y, area.Max.X, y)
	}
	for _, s := range z.all {
		if finite(s.Tank) {
			continue
		}
		name(s, k)
		why := "no size meets the target"
		if s.Grade == sim.TooShort {
			why = "too few years to size a tank"
		}
		if row >= tickFace.size {
			pg.text(why, tickFace, Muted, area.Min.X+6, mid(k)-tickFace.size*0.35, 0)
		}
		k++
	}
}

// apart counts, in few words, the stations that no size is drawn for.
func (z *compared) apart() string {
	beyond, short := z.unsized()
	switch {
	case short == 0:
		return countOf(beyond, "more record") + ": no size meets the target"
	case beyond == 0:
		return countOf(short, "more record") + ": too few years"
	}
	return fmt.Sprintf("%s: target out of reach of %d, too few years of %d", countOf(beyond+short, "more record"), beyond, short)
}
