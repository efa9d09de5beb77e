package figure

import (
	"fmt"
	"math"
	"slices"
	"time"

	"gonum.org/v1/plot/vg"

	"tankodds/rainfall"
	"tankodds/report/words"
	"tankodds/sim"
)

// yearBar is one year of the record as it is drawn; NaN where it is no use.
type yearBar struct {
	label int
	mm    float64
}

// recordFigure draws the record itself: the total of each usable water year,
// what is missing, and the year's course by months.
func recordFigure(_ *sim.Result, rec *rainfall.Summary, opt Options) (Figure, bool) {
	if rec == nil || rec.Days == 0 {
		return Figure{}, false
	}
	d := depthScale(opt.Units)
	bars, start := yearBars(rec), rec.Start
	f := Figure{Name: "record"}
	used, mean, driest := 0, 0.0, -1
	for i, b := range bars {
		if !finite(b.mm) {
			continue
		}
		used++
		mean += b.mm
		if driest < 0 || b.mm < bars[driest].mm {
			driest = i
		}
	}
	switch used {
	case 0:
		mean = math.NaN()
		f.Title = fmt.Sprintf("%s holds no usable year", placeName(rec))
	case 1:
		f.Title = fmt.Sprintf("%s: one usable year, with %s", placeName(rec), inWords(d, mean))
	default:
		mean /= float64(used)
		f.Title = fmt.Sprintf("%s: %s in a mean year, %s in the driest", placeName(rec), inWords(d, mean), inWords(d, bars[driest].mm))
	}
	what := fmt.Sprintf("Rain of each usable water year, from %v on, and of a mean month, in %s.", start, d.name())
	note := ""
	if gaps := len(bars) - used; gaps > 0 {
		note = fmt.Sprintf("Not used for missing days: %d of %d years.", gaps, len(bars))
	}
	f.Caption = join(note, recordLine(rec))
	return f.drawn(what, "", func(pg *page, room vg.Rectangle) { drawRecord(pg, rec, bars, start, mean, driest, d, room) })
}

// inWords sets a depth for a title: "23 in in a year" does not read.
func inWords(s scale, mm float64) string {
	if s.unit == "in" {
		return threeDigits(mm*s.factor) + nbsp + "inches"
	}
	return s.show(mm)
}

// yearBars returns every water year from the record's first to its last. Years
// that the record's ends cut short are no gaps in it, and left out where they
// are of no use.
func yearBars(rec *rainfall.Summary) []yearBar {
	total := map[int]float64{}
	for _, y := range rec.Usable {
		total[y.Label] = y.MM
	}
	edge := map[int]bool{}
	for _, y := range rec.Rejected {
		edge[y.Label] = y.Edge()
	}
	var bars []yearBar
	c := rainfall.Calendar(rec.Start)
	first, last := c.Label(rec.First), c.Label(rec.Last)
	for label := first; label <= last; label++ {
		mm, ok := total[label]
		if !ok {
			mm = math.NaN()
		}
		bars = append(bars, yearBar{label, mm})
	}
	if len(bars) > 1 && edge[first] {
		bars = bars[1:]
	}
	if len(bars) > 1 && edge[last] {
		bars = bars[:len(bars)-1]
	}
	return bars
}

func drawRecord(pg *page, rec *rainfall.Summary, bars []yearBar, start time.Month, mean float64, driest int, d scale, room vg.Rectangle) {
	const between = 64 // for the mean line's name and the next panel's axis
	share, top, foot := vg.Length(0.7), room.Max.Y-18, room.Min.Y+24
	narrow := room.Size().X < 400 // as on a telephone
	if narrow {
		share, top = 0.52, top-12
	}
	split := room.Min.X + (room.Size().X-between)*share
	if slices.ContainsFunc(bars, func(b yearBar) bool { return !finite(b.mm) }) {
		foot = room.Min.Y + 36 // a further line, that names the gaps
	}
	annual := most(bars, func(b yearBar) float64 { return b.mm * d.factor })
	monthly := most(rec.Monthly[:], func(mm float64) float64 { return mm * d.factor })
	yTicks := depthTicks(annual, d)
	p := newPanel(pg, vg.Rectangle{Min: vg.Point{X: room.Min.X + yTicks.width() + 6, Y: foot}, Max: vg.Point{X: split, Y: top}},
		axis{min: 0, max: float64(len(bars))}, axis{min: 0, max: max(annual*1.08, yTicks.at[len(yTicks.at)-1])})
	pg.text("By year", nameFace, Ink, room.Min.X, room.Max.Y-8, 0)
	p.yAxis(yTicks)
	for i, b := range bars {
		c := Tint(blue, 0.75)
		if i == driest {
			c = red
		}
		if finite(b.mm) {
			p.bar(float64(i), float64(i+1), 0, b.mm*d.factor, c)
		}
	}
	p.draw()
	p.yearNames(bars)
	p.gaps(bars)
	if finite(mean) && mean > 0 {
		y := p.y(mean * d.factor)
		pg.c.StrokeLine2(stroke(Ink, 1), p.area.Min.X, y, p.area.Max.X, y)
		pg.text("mean", nameFace, Ink, p.area.Max.X+4, y+1, 0)
		pg.text(d.show(mean), labelFace, Ink, p.area.Max.X+4, y+1-labelFace.leading(), 0)
	}
	if driest >= 0 && len(bars) > 1 {
		p.nameBar(driest, bars[driest].mm*d.factor, "driest: "+words.WaterYear(bars[driest].label, start)+", "+d.show(bars[driest].mm))
	}

	yTicks = depthTicks(monthly, d)
	q := newPanel(pg, vg.Rectangle{Min: vg.Point{X: split + between + yTicks.width() - 4, Y: foot}, Max: vg.Point{X: room.Max.X, Y: top}},
		axis{min: 0, max: 12}, axis{min: 0, max: max(monthly*1.08, yTicks.at[len(yTicks.at)-1])})
	pg.text("In a mean month", nameFace, Ink, split+between-10, room.Max.Y-8, 0)
	q.yAxis(yTicks)
	for k := range 12 {
		if mm := rec.Monthly[rainfall.Calendar(start).Month(k)-1]; finite(mm) {
			q.bar(float64(k), float64(k+1), 0, mm*d.factor, Tint(blue, 0.75))
		}
	}
	q.draw()
	q.foot()
	for k := range 12 {
		s := rainfall.Calendar(start).Month(k).String()[:1]
		if narrow {
			if s = rainfall.Calendar(start).Month(k).String()[:3]; k%3 != 0 {
				continue
			}
		}
		pg.text(s, tickFace, Muted, q.x(float64(k)+0.5), q.area.Min.Y-12, 0.5)
	}
}

// depthTicks returns ticks from 0 to most.
func depthTicks(most float64, d scale) tickRow {
	if !(most > 0) {
		most = 1
	}
	return plainTicks(0, most, 5, d.unit)
}

// gaps marks, below the foot line, the years that are no use.
func (p *panel) gaps(bars []yearBar) {
	p.foot()
	y := p.area.Min.Y
	runs := stretches(len(bars), func(i int) bool { return !finite(bars[i].mm) })
	for _, r := range runs {
		p.page.c.StrokeLine2(stroke(orange, 3), p.x(float64(r[0]))+0.4, y-3.5, p.x(float64(r[1]))-0.4, y-3.5)
	}
	if runs == nil {
		return
	}
	at := longest(runs)
	w := unusableFace.width(unusableWords)
	x := min(max(p.x(float64(at[0])+float64(at[1]-at[0])/2), p.area.Min.X+w/2), p.area.Max.X-w/2)
	p.page.text(unusableWords, unusableFace, readable(orange), x, y-29, 0.5)
}

// What is set beside years that are no use.
const unusableWords = "not usable"

var unusableFace = face{8, false}

// yearNames sets the years below the axis, as many as fit.
func (p *panel) yearNames(bars []yearBar) {
	if len(bars) == 0 {
		return
	}
	first, last := bars[0].label, bars[len(bars)-1].label
	width := tickFace.width("0000") + 14
	step := yearStep(p.area.Size().X/vg.Length(len(bars)), width)
	y := p.area.Min.Y - 18
	for label := first; label <= last; label++ {
		if label%step != 0 {
			continue
		}
		x := p.x(float64(label-first) + 0.5)
		s := fmt.Sprint(label)
		if b := box(s, tickFace, x, y, 0.5); b.Max.X < p.area.Max.X+14 && p.page.free(b, 3) {
			p.page.c.StrokeLine2(stroke(Baseline, 0.6), x, p.area.Min.Y-6, x, p.area.Min.Y-9)
			p.page.text(s, tickFace, Muted, x, y, 0.5)
		}
	}
}

// yearStep returns how many years there are from one that is named to the
// next: a round number that leaves each name its room.
func yearStep(year, room vg.Length) int {
	steps := []int{1, 2, 5, 10, 20, 25, 50, 100, 200, 500}
	for _, k := range steps {
		if year*vg.Length(k) >= room {
			return k
		}
	}
	return steps[len(steps)-1]
}

// nameBar names a bar above all others, a line leading up from its top through
// the room that it leaves free.
func (p *panel) nameBar(i int, v float64, s string) {
	x, y := p.x(float64(i)+0.5), p.area.Max.Y+2
	w := nameFace.width(s)
	left := min(max(x-w/2, p.area.Min.X), p.area.Max.X-w)
	p.page.c.StrokeLine2(stroke(red, 0.8), x, p.y(v)+2, x, y-3)
	p.page.text(s, nameFace, readable(red), left, y, 0)
}

// Record draws a record by itself; false where nothing of it can be drawn.
func Record(rec *rainfall.Summary, opt Options) (Figure, bool) { return recordFigure(nil, rec, opt) }
