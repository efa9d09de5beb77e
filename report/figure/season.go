package figure

import (
	"fmt"
	"time"

	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"

	"tankodds/rainfall"
	"tankodds/report/words"
	"tankodds/sim"
)

// seasonFigure draws what the tank holds through the water year, and the real
// year that was hardest on it on top.
func seasonFigure(r *sim.Result, rec *rainfall.Summary, opt Options) (Figure, bool) {
	s := r.Season
	const n = rainfall.DaysPerYear
	if s == nil || len(s.Mid) != n || len(s.Low) != n || len(s.High) != n {
		return Figure{}, false
	}
	start := startOf(r)
	vol := volumeScale(opt.Units, s.Tank)
	f := Figure{Name: "season"}
	f.Title = fmt.Sprintf("What %s holds through the year", aTank(vol, s.Tank))
	driest := len(s.Driest) == n
	year := words.WaterYear(s.DriestLabel, start)
	if driest {
		f.Title = fmt.Sprintf("In the hardest real year, %s, %s %s", year, aTank(vol, s.Tank), fared(r, vol, start))
	}
	what := fmt.Sprintf("Water held at each day’s end, in %s, from %v on; %s.", vol.name(), start, roofName(opt.Units, sim.TotalArea(r.Study.Roofs)))
	f.Caption = join("Band: 5 % to 95 % of simulated years.", seasonLine(r, rec))
	_, lm := lowest(s.Mid)
	return f.drawn(what, fmt.Sprintf("The median is lowest at %s.", vol.show(lm)), func(pg *page, room vg.Rectangle) { drawSeason(pg, r, vol, start, year, driest, room) })
}

// lowest returns the first lowest of the finite values.
func lowest(xs []float64) (at int, least float64) {
	found := false
	for i, x := range xs {
		if finite(x) && (!found || x < least) {
			at, least, found = i, x, true
		}
	}
	return at, least
}

// empty is the share of its size below which a tank is called empty.
const empty = 0.005

// fared words what the hardest real year did to the tank.
func fared(r *sim.Result, vol scale, start time.Month) string {
	s := r.Season
	for _, y := range r.Real {
		switch {
		case y.Label != s.DriestLabel:
		case y.ShortDays == 1:
			return "fell short on one day"
		case y.ShortDays > 1:
			return fmt.Sprintf("fell short on %d days", y.ShortDays)
		}
	}
	day, least := lowest(s.Driest)
	if least <= empty*s.Tank {
		return "ran dry in " + when(day, start)
	}
	return "fell to " + vol.show(least) + " in " + when(day, start)
}

// when words a day of the water year: "late August".
func when(day int, start time.Month) string {
	m, d := rainfall.Calendar(start).MonthDay(day)
	part := "late"
	switch {
	case d <= 10:
		part = "early"
	case d <= 20:
		part = "mid"
	}
	return part + nbsp + m.String()
}

func drawSeason(pg *page, r *sim.Result, vol scale, start time.Month, year string, driest bool, room vg.Rectangle) {
	s := r.Season
	top := r.Study.Usable(s.Tank) * vol.factor
	yTicks := plainTicks(0, top, 5, vol.unit)
	area := inset(room, yTicks.width()+6, 20, 4, 14)
	p := newPanel(pg, area, axis{min: 0, max: rainfall.DaysPerYear - 1}, axis{min: 0, max: top})
	line := func(xs []float64) plotter.XYs {
		out := make(plotter.XYs, len(xs))
		for i, x := range xs {
			out[i] = plotter.XY{X: float64(i), Y: min(top, max(0, x*vol.factor))}
			if !finite(x) {
				out[i].Y = x
			}
		}
		return out
	}
	low, high := line(s.Low), line(s.High)
	p.band(low, high, Tint(blue, 0.18))
	p.yAxis(yTicks)
	mid := line(s.Mid)
	p.curve(mid, blue, 2.2, 5)
	var dry plotter.XYs
	if driest {
		dry = line(s.Driest)
		p.curve(dry, red, 1.3, 4)
	}
	p.months(start)
	p.draw()
	pg.c.StrokeLine2(stroke(Ink, 1), area.Min.X, area.Max.Y, area.Max.X, area.Max.Y)
	full := "full: " + vol.show(s.Tank)
	if r.Study.Usable(s.Tank) < s.Tank {
		full = "full: " + vol.show(r.Study.Usable(s.Tank)) + " usable"
	}
	pg.text(full, labelFace, Ink, area.Max.X, area.Max.Y+4, 1)
	var labels []label
	if driest {
		labels = append(labels, label{lines: []string{"hardest real year, " + year}, color: red, at: p.anchors(dry)})
	}
	labels = append(labels, label{lines: []string{"median"}, color: blue, at: p.anchors(mid)})
	lows, highs := p.points(low), p.points(high)
	home := func(r vg.Rectangle) bool { // within the band
		for i, at := range lows {
			if at.X >= r.Min.X-4 && at.X <= r.Max.X+4 && !(at.Y <= r.Min.Y && highs[i].Y >= r.Max.Y) {
				return false
			}
		}
		return true
	}
	if at := p.widest(low, mid, high); len(at) > 0 {
		labels = append(labels, label{lines: []string{"90" + nbsp + "% of simulated years"}, plain: true, color: blue, at: at, lead: true, home: home})
	}
	p.put(labels...)
	for i := 0; i < len(mid); i += 3 {
		words := fmt.Sprintf("%s: %s in the middle year, %s to %s in 90%s%% of years", dayName(i, start), vol.show(s.Mid[i]), vol.show(s.Low[i]), vol.show(s.High[i]), nbsp)
		if dry != nil {
			words += fmt.Sprintf("; %s in %s", vol.show(s.Driest[i]), year)
		}
		p.reads(float64(i), mid[i].Y, "%s", words)
	}
}

// dayName names a day of the water year: "14 August".
func dayName(day int, start time.Month) string {
	m, d := rainfall.Calendar(start).MonthDay(day)
	return fmt.Sprintf("%d%s%v", d, nbsp, m)
}

// widest returns points in the middle of the band's wider half, above or
// below the median, the widest first.
func (p *panel) widest(low, mid, high plotter.XYs) []vg.Point {
	var at []vg.Point
	var rooms []float64
	for i := 30; i < len(mid)-30; i += 4 {
		for _, half := range [][2]float64{{low[i].Y, mid[i].Y}, {mid[i].Y, high[i].Y}} {
			if !finite(half[0]) || !finite(half[1]) {
				continue
			}
			if room := p.y(half[1]) - p.y(half[0]); room > 24 {
				at = append(at, vg.Point{X: p.x(mid[i].X), Y: (p.y(half[0]) + p.y(half[1])) / 2})
				rooms = append(rooms, float64(room))
			}
		}
	}
	return bestFirst(at, rooms)[:min(len(at), 40)]
}

// anchors returns points along a curve to which its name may be set.
func (p *panel) anchors(xys plotter.XYs) []vg.Point {
	var out []vg.Point
	for i := 15; i < len(xys)-15; i += 5 {
		if finite(xys[i].Y) {
			out = append(out, p.at(xys[i]))
		}
	}
	return out
}

// months sets the foot line of a water year: a tick where a month begins, its
// name in the middle.
func (p *panel) months(start time.Month) {
	p.foot()
	y := p.area.Min.Y
	c := rainfall.Calendar(start)
	at := c.Starts()
	for k := range 12 {
		x := p.x(float64(at[k]))
		p.page.c.StrokeLine2(stroke(Baseline, 0.8), x, y, x, y-3)
		p.page.text(monthName(c.Month(k), p.x(float64(at[k+1]))-p.x(float64(at[k]))), tickFace, Muted, p.x(float64(at[k]+at[k+1])/2), y-13, 0.5)
	}
}

// monthName shortens the name of a month to its three letters or, where the
// room is narrow, to its first.
func monthName(m time.Month, room vg.Length) string {
	if tickFace.width("Mar ") > room {
		return m.String()[:1]
	}
	return m.String()[:3]
}
