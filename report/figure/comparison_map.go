package figure

import (
	"fmt"
	"image/color"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"

	"tankodds/report/units"
)

// leastPlaced is the fewest stations with a position that a map is drawn of.
const leastPlaced = 3

// positions draws the stations where they stand, the darker the larger the tank that
// they need. There is nothing on the map but the graticule: no data from elsewhere.
func (z *compared) positions() (Figure, bool) {
	var cs []Station
	for _, x := range z.all {
		if finite(x.Latitude) && finite(x.Longitude) {
			cs = append(cs, x)
		}
	}
	if len(cs) < leastPlaced {
		return Figure{}, false
	}
	west := cutOf(cs)
	for i := range cs { // from the cut eastward
		cs[i].Longitude = west + math.Mod(math.Mod(cs[i].Longitude-west, 360)+360, 360)
	}
	v := viewOf(cs)
	if !(v.north-v.south > 1e-6) && !(v.east-v.west > 1e-6) {
		return Figure{}, false
	}
	sized := (&compared{all: cs}).sized()
	f := Figure{Name: "compare-map", Title: "Where the records were taken: no tank meets the target at any of them"}
	vol := volumeScale(z.units, most(sized, func(x Station) float64 { return x.Tank }))
	if n := len(sized); n > 0 {
		f.Title = fmt.Sprintf("%s takes most at %s, with %s", z.goal(), fileName(sized[n-1].Name), vol.show(sized[n-1].Tank))
		if len(fill(f.Title, titleFace, Width-2*Margin)) > 2 {
			f.Title = fmt.Sprintf("%s takes from %s to %s", z.goal(), vol.show(sized[0].Tank), vol.show(sized[n-1].Tank))
		}
	}
	what := fmt.Sprintf("Records by latitude and longitude; shade: the tank for %s in %s.", z.goal(), vol.name())
	if len(sized) < len(cs) {
		what = strings.TrimSuffix(what, ".") + "; crosses: no size told."
	}
	note := ""
	if n := len(z.all) - len(cs); n > 0 {
		note = fmt.Sprintf("%s of unknown position not drawn.", countOf(n, "record"))
	}
	f.Caption = join(note, "Equirectangular, true to scale at the middle latitude.", z.source())
	said := ""
	for _, k := range evenly(len(cs), 30) {
		said = join(said, fmt.Sprintf("%s at %s: %s.", fileName(cs[k].Name), place(cs[k].Latitude, cs[k].Longitude), z.needs(cs[k], vol)))
	}
	return f.drawn(what, said, func(pg *page, room vg.Rectangle) { drawPositions(pg, cs, sized, v, vol, room) })
}

// cutOf is the longitude at which the map begins: east of the widest gap between two
// stations, so that none is torn from its neighbours at the antimeridian.
func cutOf(cs []Station) float64 {
	at := make([]float64, len(cs))
	for i, x := range cs {
		at[i] = math.Mod(math.Mod(x.Longitude, 360)+360, 360)
	}
	slices.Sort(at)
	cut, widest := at[0], at[0]+360-at[len(at)-1]
	for i := 1; i < len(at); i++ {
		if gap := at[i] - at[i-1]; gap > widest {
			cut, widest = at[i], gap
		}
	}
	if cut > 180 {
		cut -= 360
	}
	return cut
}

// view is what a map shows, degrees.
type view struct{ west, east, south, north float64 }

func viewOf(cs []Station) view {
	v := view{math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)}
	for _, x := range cs {
		v.west, v.east = min(v.west, x.Longitude), max(v.east, x.Longitude)
		v.south, v.north = min(v.south, x.Latitude), max(v.north, x.Latitude)
	}
	return v
}

// fitted is the view widened to an area: with some room around, and true to scale at
// its middle latitude.
func (v view) fitted(w, h vg.Length) view {
	pad := max(0.08*max(v.east-v.west, v.north-v.south), 0.05)
	side := min(pad, (360-(v.east-v.west))/2) // no place stands on a map twice
	v.west, v.east, v.south, v.north = v.west-side, v.east+side, max(-90, v.south-pad), min(90, v.north+pad)
	squeeze := v.squeeze()
	wide, high := (v.east-v.west)*squeeze, v.north-v.south
	if ratio := float64(w / h); wide < high*ratio {
		more := (high*ratio - wide) / squeeze / 2
		more = min(more, (360-(v.east-v.west))/2)
		v.west, v.east = v.west-more, v.east+more
	} else {
		more := (wide/ratio - high) / 2
		v.south, v.north = v.south-more, v.north+more
		if over := v.north - 90; over > 0 { // nothing is beyond a pole: look the other way
			v.south, v.north = max(-90, v.south-over), 90
		}
		if over := -90 - v.south; over > 0 {
			v.south, v.north = -90, min(90, v.north+over)
		}
	}
	return v
}

// framed is the part of an area, at its top left, in which the view is true to scale
// at its middle latitude: all of it, unless a pole is near.
func (v view) framed(area vg.Rectangle) vg.Rectangle {
	ratio := vg.Length((v.east - v.west) * v.squeeze() / (v.north - v.south))
	if w, h := area.Size().X, area.Size().Y; w > h*ratio {
		area.Max.X = area.Min.X + h*ratio
	} else {
		area.Min.Y = area.Max.Y - w/ratio
	}
	return area
}

// squeeze is what a degree of longitude is of one of latitude, in the middle.
func (v view) squeeze() float64 {
	return max(0.2, math.Cos((v.south+v.north)/2*math.Pi/180))
}

// place words a position.
func place(latitude, longitude float64) string {
	return degrees(latitude, "N", "S", 2) + " " + degrees(longitude, "E", "W", 2)
}

func degrees(x float64, plus, minus string, decimals int) string {
	x = math.Mod(x+540, 360) - 180
	if x < 0 {
		plus, x = minus, -x
	}
	if x == 0 || x == 180 {
		plus = ""
	}
	return units.Fixed(x, decimals) + "°" + plus
}

// meridians are the longitudes that are drawn: by parts of a circle where they are far
// apart, as on any map.
func meridians(west, east float64) (at []float64, decimals int) {
	const most = 7
	for _, step := range []float64{15, 30, 45, 60, 90} {
		if n := (east - west) / step; n >= 3 && n <= most {
			for x := math.Ceil(west/step) * step; x <= east; x += step {
				at = append(at, x)
			}
			return at, 0
		}
	}
	return ticks(west, east, 6)
}

// ramp is the shade of a share of the way from the least to the most: one hue, from
// pale to dark, so that it reads in grey too.
func ramp(t float64) color.NRGBA {
	if t < 0.5 {
		return Tint(blue, 0.25+1.3*t)
	}
	dark := 1 - (t-0.5)*1.3
	f := func(x uint8) uint8 { return uint8(math.Round(float64(x) * max(0.2, dark))) }
	c := Tint(blue, 0.9)
	return color.NRGBA{f(c.R), f(c.G), f(c.B), 0xff}
}

func drawPositions(pg *page, cs, sized []Station, v view, vol scale, room vg.Rectangle) {
	area := inset(room, 40, 18, 70, 4)
	v = v.fitted(area.Size().X, area.Size().Y)
	area = v.framed(area)
	p := newPanel(pg, area, axis{min: v.west, max: v.east}, axis{min: v.south, max: v.north})
	p.fill(area, Tint(blue, 0.03))
	lat, latDecimals := ticks(max(v.south, -90), min(v.north, 90), 5)
	lon, lonDecimals := meridians(v.west, v.east)
	for _, x := range lon {
		pg.c.StrokeLine2(stroke(Hairline, 0.6), p.x(x), area.Min.Y, p.x(x), area.Max.Y)
	}
	for _, y := range lat {
		pg.c.StrokeLine2(stroke(Hairline, 0.6), area.Min.X, p.y(y), area.Max.X, p.y(y))
		pg.text(degrees(y, "N", "S", latDecimals), tickFace, Muted, area.Min.X-6, p.y(y)-tickFace.size*0.35, 1)
	}
	for _, x := range lon {
		name := degrees(x, "E", "W", lonDecimals)
		if b := box(name, tickFace, p.x(x), area.Min.Y-14, 0.5); b.Min.X >= area.Min.X && b.Max.X <= area.Max.X && pg.free(b, 4) {
			pg.text(name, tickFace, Muted, p.x(x), area.Min.Y-14, 0.5)
		}
	}
	pg.c.StrokeLines(stroke(Baseline, 0.8), []vg.Point{area.Min, {X: area.Max.X, Y: area.Min.Y}, area.Max, {X: area.Min.X, Y: area.Max.Y}, area.Min})
	r := vg.Length(4.2)
	if len(cs) > 60 {
		r = 2.6
	}
	if len(cs) > 300 {
		r = 1.9
	}
	lo, hi := 0.0, 1.0
	if n := len(sized); n > 0 {
		lo, hi = sized[0].Tank, sized[n-1].Tank
	}
	share := func(tank float64) float64 { // by ratio: half the way is the geometric mean
		if hi == lo {
			return 0.5
		}
		return math.Log(tank/lo) / math.Log(hi/lo)
	}
	for _, x := range cs {
		at := p.at(plotter.XY{X: x.Longitude, Y: x.Latitude})
		if !finite(x.Tank) {
			d := r * 0.8
			pg.c.StrokeLine2(stroke(Muted, 1), at.X-d, at.Y-d, at.X+d, at.Y+d)
			pg.c.StrokeLine2(stroke(Muted, 1), at.X-d, at.Y+d, at.X+d, at.Y-d)
			p.dots = append(p.dots, around(at, 2*r, 2*r))
		}
	}
	for _, x := range sized { // the largest last, on top
		at := p.at(plotter.XY{X: x.Longitude, Y: x.Latitude})
		p.dot(at, Baseline, r+0.5)
		p.dot(at, ramp(share(x.Tank)), r)
		p.dots = append(p.dots, around(at, 2*r, 2*r))
	}
	legendOf(pg, lo, hi, share, vol, len(sized) > 0, area)
	var labels []label
	names := cs
	if len(cs) > 12 {
		names = nil
		for _, k := range evenly(len(sized), 2) {
			names = append(names, sized[k])
		}
	}
	for _, x := range names {
		if len(names) < len(cs) {
			p.ring(p.at(plotter.XY{X: x.Longitude, Y: x.Latitude}), r+0.5)
		}
		own := p.at(plotter.XY{X: x.Longitude, Y: x.Latitude})
		home := func(b vg.Rectangle) bool { // clearly nearer to its own dot than to any other, or a line leads to it
			for _, o := range cs {
				if at := p.at(plotter.XY{X: o.Longitude, Y: o.Latitude}); at != own && apartBy(b, at) < 1.5*apartBy(b, own)+2 {
					return false
				}
			}
			return true
		}
		labels = append(labels, label{lines: []string{clipAt(fileName(x.Name), labelFace, 130)}, plain: true, color: Ink, lead: true, home: home, at: []vg.Point{own}})
	}
	p.put(labels...)
}

// legendOf is the row of shades beside the map, with round sizes.
func legendOf(pg *page, lo, hi float64, share func(float64) float64, vol scale, any bool, area vg.Rectangle) {
	if !any {
		return
	}
	x, y, h := area.Max.X+14, area.Max.Y-18, vol
	pg.text("Tank, "+vol.unit, tickFace, Muted, x, y+8, 0)
	var at []float64
	if hi > 2*lo {
		at = logTicks(lo*h.factor, hi*h.factor)
	} else {
		at, _ = ticks(lo*h.factor, hi*h.factor, 4)
	}
	if len(at) < 2 {
		at = []float64{lo * h.factor, hi * h.factor}
		if lo == hi {
			at = at[:1]
		}
	}
	for _, v := range at {
		y -= 15
		c := vg.Point{X: x + 5, Y: y + 3}
		p := &panel{page: pg}
		p.dot(c, Baseline, 4.7)
		p.dot(c, ramp(min(1, max(0, share(v/h.factor)))), 4.2)
		pg.text(threeDigits(v), tickFace, Muted, x+14, y, 0)
	}
}
