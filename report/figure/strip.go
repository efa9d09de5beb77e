package figure

import (
	"fmt"
	"image/color"
	"sort"
	"strings"
	"time"

	"gonum.org/v1/plot/vg"

	"tankodds/rainfall"
	"tankodds/report/units"
	"tankodds/report/words"
	"tankodds/sim"
)

// strip is one water year of the record as it is drawn.
type strip struct {
	label int
	short int  // short days, 0 to 365
	used  bool // false where the record has no usable year
	days  [rainfall.DaysPerYear]bool
}

// stripFigure draws every real year as a strip with its short days, the worst
// years named with how many they are.
func stripFigure(r *sim.Result, rec *rainfall.Summary, opt Options) (Figure, bool) {
	if len(r.Real) == 0 || r.Season == nil {
		return Figure{}, false
	}
	strips := stripsOf(r.Real)
	if strips == nil {
		return Figure{}, false
	}
	start := startOf(r)
	tank := r.Season.Tank
	vol := volumeScale(opt.Units, tank)
	worst, short := worstStrips(strips)
	f := Figure{Name: "strip"}
	n := len(r.Real)
	switch {
	case short == 0 && n == 1:
		f.Title = fmt.Sprintf("In the one real year, %s would never have run short", aTank(vol, tank))
	case short == 0:
		f.Title = fmt.Sprintf("In none of the %d real years would %s have run short", n, aTank(vol, tank))
	case n == 1:
		f.Title = fmt.Sprintf("In the one real year, %s would have run short on %s", aTank(vol, tank), countOf(strips[0].short, "day"))
	default:
		w := strips[worst[0]]
		f.Title = words.UpperFirst(aTank(vol, tank)) + fmt.Sprintf(" would have run short in %d of %s; worst %s, on %s",
			short, countOf(n, "real year"), words.WaterYear(w.label, start), countOf(w.short, "day"))
	}
	bin := binOf(strips)
	what := fmt.Sprintf("A row a water year, from %v on; marked are the days on which the tank could not meet the demand in full; %s.",
		start, roofName(opt.Units, sim.TotalArea(r.Study.Roofs)))
	note := ""
	if bin > 1 {
		note = fmt.Sprintf("Drawn by %d days: pale red where at least one of them was short, full red where at least half were.", bin)
	}
	if n < len(strips) {
		note = join(note, fmt.Sprintf("Not usable for missing days: %d of %d years.", len(strips)-n, len(strips)))
	}
	f.Caption = join("The whole record, day by day, through one tank.", note, recordLine(rec))
	return f.drawn(what, worstWords(strips, worst, start), func(pg *page, room vg.Rectangle) { drawYears(pg, strips, worst, start, bin, room) })
}

func countOf(n int, one string) string {
	if n == 1 {
		return "1" + nbsp + one
	}
	return units.Fixed(float64(n), 0) + nbsp + one + "s"
}

// mostStrips is how many years, with those between them that are no use, are
// drawn: far more than any gauge has kept.
const mostStrips = 400

// stripsOf returns a strip a year from the first to the last, nil where that
// is nonsense.
func stripsOf(real []sim.RealYear) []strip {
	first, last := real[0].Label, real[0].Label
	for _, y := range real {
		first, last = min(first, y.Label), max(last, y.Label)
	}
	if last-first >= mostStrips {
		return nil
	}
	out := make([]strip, last-first+1)
	for i := range out {
		out[i].label = first + i
	}
	for _, y := range real {
		s := &out[y.Label-first]
		s.used, s.short = true, y.ShortDays
		for _, d := range y.Short {
			if d.Day >= 0 && d.Day < len(s.days) {
				s.days[d.Day] = true
			}
		}
	}
	return out
}

// worstStrips returns the years with short days, the worst first, and how
// many they are.
func worstStrips(strips []strip) (order []int, short int) {
	for i, s := range strips {
		if s.short > 0 {
			order = append(order, i)
		}
	}
	sort.SliceStable(order, func(a, b int) bool { return strips[order[a]].short > strips[order[b]].short })
	return order, len(order)
}

// worstWords names up to five of the worst years.
func worstWords(strips []strip, worst []int, start time.Month) string {
	var names []string
	for _, i := range worst[:min(len(worst), 5)] {
		names = append(names, fmt.Sprintf("%s (%s)", words.WaterYear(strips[i].label, start), countOf(strips[i].short, "day")))
	}
	if names == nil {
		return ""
	}
	return "Short days: " + strings.Join(names, ", ") + "."
}

// mostRuns is how many runs of short days are drawn one by one; beyond it the
// figure would be too large a file, and nobody could tell them apart.
const mostRuns = 1400

// span is a run of bins of one tone within a strip.
type span struct {
	from, to int // days
	tone     int // 1 pale, 2 full
}

// spans returns the runs of short days, drawn by bin days.
func (s *strip) spans(bin int) []span {
	var out []span
	for from := 0; from < len(s.days); from += bin {
		to := min(from+bin, len(s.days))
		n := 0
		for _, short := range s.days[from:to] {
			if short {
				n++
			}
		}
		if n == 0 {
			continue
		}
		tone := 1
		if 2*n >= to-from {
			tone = 2
		}
		if k := len(out) - 1; k >= 0 && out[k].to == from && out[k].tone == tone {
			out[k].to = to
			continue
		}
		out = append(out, span{from, to, tone})
	}
	return out
}

// binOf returns by how many days the strips are drawn: 1 where that can be.
func binOf(strips []strip) int {
	for _, bin := range []int{1, 3, 5, 10} {
		n := 0
		for i := range strips {
			n += len(strips[i].spans(bin))
		}
		if n <= mostRuns {
			return bin
		}
	}
	return 15
}

func drawYears(pg *page, strips []strip, worst []int, start time.Month, bin int, room vg.Rectangle) {
	count := func(i int) string { return countOf(strips[i].short, "day") }
	row := (room.Size().Y - 24) / vg.Length(len(strips))
	row = min(row, 60)
	left, right := tickFace.width(words.WaterYear(strips[0].label, start)), nameFace.width("no day")
	for _, i := range worst {
		right = max(right, nameFace.width(words.WaterYear(strips[i].label, start)+": "+count(i)))
	}
	area := inset(room, left+8, 0, right+endGap, 4)
	area.Min.Y = area.Max.Y - row*vg.Length(len(strips))
	p := newPanel(pg, area, axis{min: 0, max: rainfall.DaysPerYear}, axis{min: 0, max: float64(len(strips))})
	mid := func(i int) vg.Length { return area.Max.Y - row*(vg.Length(i)+0.5) }
	thick := max(row-min(1, row*0.25), 0.4)
	var paths [4]vg.Path // ground, pale, full, not usable
	line := func(tone int, i int, from, to vg.Length) {
		paths[tone].Move(vg.Point{X: from, Y: mid(i)})
		paths[tone].Line(vg.Point{X: to, Y: mid(i)})
	}
	for i := range strips {
		if !strips[i].used {
			line(3, i, area.Min.X, area.Max.X)
			continue
		}
		line(0, i, area.Min.X, area.Max.X)
		for _, s := range strips[i].spans(bin) {
			line(s.tone, i, p.x(float64(s.from)), p.x(float64(s.to)))
		}
	}
	for tone, c := range []color.NRGBA{Tint(blue, 0.16), Tint(red, 0.5), red, Tint(bystand, 0.3)} {
		if len(paths[tone]) > 0 {
			pg.c.SetLineStyle(stroke(c, thick))
			pg.c.Stroke(paths[tone])
		}
	}
	p.months(start)
	p.stripNames(strips, start, row, mid)
	p.unusable(strips, row, mid)
	p.worstNames(strips, worst, start, mid)
}

// stripNames sets the years to the left, as many as fit.
func (p *panel) stripNames(strips []strip, start time.Month, row vg.Length, mid func(int) vg.Length) {
	step := yearStep(row, tickFace.size+1)
	for i, s := range strips {
		if s.label%step == 0 {
			p.page.text(words.WaterYear(s.label, start), tickFace, Muted, p.area.Min.X-6, mid(i)-tickFace.size*0.35, 1)
		}
	}
}

// unusable says so on the longest run of years that are.
func (p *panel) unusable(strips []strip, row vg.Length, mid func(int) vg.Length) {
	at := longest(stretches(len(strips), func(i int) bool { return !strips[i].used }))
	if n := at[1] - at[0]; n > 0 && row*vg.Length(n) >= unusableFace.size {
		y := (mid(at[0]) + mid(at[1]-1)) / 2
		p.page.text(unusableWords, unusableFace, Muted, p.area.Min.X+6, y-unusableFace.size*0.35, 0)
	}
}

// mostNamed is how many of the worst years are named.
const mostNamed = 12

// worstNames names the worst years where their strips end: the worst in bold.
func (p *panel) worstNames(strips []strip, worst []int, start time.Month, mid func(int) vg.Length) {
	room := p.area.Max.Y + 8 - (p.area.Min.Y - 6)
	n := min(len(worst), mostNamed, int(room/(labelFace.leading()*0.95+1)))
	var ends []endLabel
	named := append([]int(nil), worst[:n]...)
	sort.Ints(named)
	for _, i := range named {
		e := endLabel{lines: []string{words.WaterYear(strips[i].label, start) + ": " + countOf(strips[i].short, "day")}, color: red, y: mid(i)}
		if i == worst[0] {
			e.bold = 1
		}
		ends = append(ends, e)
	}
	if len(ends) > 0 {
		p.ends(ends, p.area.Min.Y-6, p.area.Max.Y+8)
	}
}
