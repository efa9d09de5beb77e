package figure

import (
	"fmt"
	"math"

	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"

	"tankodds/sim"
)

// Khastagir & Jayasuriya (2010, Journal of Hydrology, "Optimal sizing of rain water
// tanks for domestic water conservation"), for Melbourne: with A the roof in m², R the
// rain and D the use of a year in mm and L, and C the tank in L, C/A^1.5 is a·e^(b·x) of
// x = D/(A·R), one pair of a and b for each reliability. Read as quoted by another, who
// does not say whether the reliability is of days or of water; no other measure is
// held beside it. The rain of Melbourne is from its abstract. The range of x is computed
// from the uses quoted, 16 and 56 L a day for each of three people, 200 m² and 700 mm.
var melbourne = []struct{ share, a, b float64 }{{0.85, 0.08, 5.58}, {0.90, 0.15, 5.16}, {0.95, 0.29, 4.85}}

const (
	melbourneLeast, melbourneMost = 450.0, 1050.0 // rain of a year, mm
	melbourneLow, melbourneHigh   = 0.125, 0.438  // x
	melbourneLoose                = 0.25          // of the storage to either side, as with Gould's: it is another climate
)

// melbourneTank is the tank in L of the k-th reliability under a roof in m².
func melbourneTank(k int, x, roof float64) float64 {
	return melbourne[k].a * math.Exp(melbourne[k].b*x) * math.Pow(roof, 1.5)
}

// likeMelbourne are the ends of the storage fractions of each reliability, over the
// records that have rain and demand like the places that it is of; none where fewer
// than half of all are like them, or the comparison is of another measure.
func (z *compared) likeMelbourne(cs []Station) (low, high plotter.XYs) {
	roof := sim.TotalArea(z.study.Roofs)
	if z.study.Measure == sim.Annual || !(roof > 0) {
		return nil, nil
	}
	alike := 0
	for k, m := range melbourne {
		least, most := math.Inf(1), 0.0
		alike = 0
		for _, c := range cs {
			x := c.Demand / (roof * c.Annual)
			if !(c.Annual >= melbourneLeast && c.Annual <= melbourneMost && x >= melbourneLow-5e-4 && x <= melbourneHigh+5e-4) {
				continue
			}
			alike++
			s := melbourneTank(k, x, roof) / c.Inflow
			least, most = min(least, s), max(most, s)
		}
		low = append(low, plotter.XY{X: least * (1 - melbourneLoose), Y: m.share})
		high = append(high, plotter.XY{X: most * (1 + melbourneLoose), Y: m.share})
	}
	if 2*alike < len(cs) {
		return nil, nil
	}
	return low, high
}

// melbourneNote says what the band of Melbourne is.
func (z *compared) melbourneNote(cs []Station) string {
	if low, _ := z.likeMelbourne(cs); low == nil {
		return ""
	}
	return fmt.Sprintf("Green: Khastagir & Jayasuriya 2010 for Melbourne, 85 to 95 %% (as quoted, of days or of water), for a roof of %s and the records with %s to %s of rain; a wide band, for it is another climate.",
		z.units.Area(sim.TotalArea(z.study.Roofs)), z.units.Depth(melbourneLeast), z.units.Depth(melbourneMost))
}

// drawMelbourne draws it between the ends of the axis.
func (p *panel) drawMelbourne(low, high plotter.XYs, lo, hi float64) {
	if low == nil || low[0].X > hi || high[len(high)-1].X < lo {
		return
	}
	var path []vg.Point
	for _, q := range low {
		path = append(path, p.at(plotter.XY{X: min(hi, max(lo, q.X)), Y: q.Y}))
	}
	for k := len(high) - 1; k >= 0; k-- {
		path = append(path, p.at(plotter.XY{X: min(hi, max(lo, high[k].X)), Y: high[k].Y}))
	}
	p.plot.Add(drawing(func() {
		p.page.shape(Tint(green, 0.4), path...)
		p.page.c.StrokeLines(stroke(readable(green), 1), append(path, path[0]))
	}))
}
