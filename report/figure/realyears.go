package figure

import (
	"math"
	"sort"

	"gonum.org/v1/plot/plotter"

	"tankodds/sim"
)

// realYears returns the sizes that the record's own years needed, rising, L,
// where their share can stand beside the curve: what is drawn is the share of
// good years, and of one curve. A year that no size would do for is +Inf.
func realYears(r *sim.Result, curves []curveOf) []float64 {
	if r.Study.Measure != sim.Annual || len(curves) != 1 || !curves[0].own || len(r.Real) < 2 {
		return nil
	}
	needs := make([]float64, len(r.Real))
	for i, y := range r.Real {
		if needs[i] = y.Needs; math.IsNaN(y.Needs) {
			return nil
		}
	}
	sort.Float64s(needs)
	if sizes := r.Study.Sizes; needs[len(needs)-1] < sizes[0] || needs[0] > sizes[len(sizes)-1] {
		return nil
	}
	return needs
}

// stepsWithin returns the share of needs met by each size on the axis.
func stepsWithin(needs []float64, x axis, vol scale) plotter.XYs {
	if len(needs) == 0 {
		return nil
	}
	share := func(k int) float64 { return float64(k) / float64(len(needs)) }
	k := sort.Search(len(needs), func(i int) bool { return needs[i]*vol.factor > x.min })
	var out plotter.XYs
	if k > 0 {
		out = plotter.XYs{{X: x.min, Y: share(k)}}
	}
	for ; k < len(needs) && needs[k]*vol.factor <= x.max; k++ {
		at := needs[k] * vol.factor
		out = append(out, plotter.XY{X: at, Y: share(k)}, plotter.XY{X: at, Y: share(k + 1)})
	}
	if k < len(needs) {
		out = append(out, plotter.XY{X: x.max, Y: share(k)})
	}
	return out
}

// realLabel names the steps where they are farthest from the curve.
func (p *panel) realLabel(real, own plotter.XYs) label {
	out := label{lines: []string{"the real years"}, color: Ink, lead: true}
	var off []float64
	for _, q := range real {
		if y, ok := along(own, q.X); ok && q.Y > 0.1 && q.Y < 0.9 {
			out.at, off = append(out.at, p.at(q)), append(off, math.Abs(q.Y-y))
		}
	}
	out.at = bestFirst(out.at, off)
	return out
}
