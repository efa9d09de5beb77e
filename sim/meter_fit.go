package sim

import (
	"context"
	"math"
	"slices"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
	"tankodds/sim/internal/parallel"
)

// Metered is the model of the real record held against the readings of a
// meter: how far off it is, and by what the inflow would have to be multiplied
// to come nearest.
type Metered struct {
	Of        MeterOf       `key:"of" doc:"what the meter measures: draw, mains or level"`
	First     rainfall.Date `key:"first" doc:"first day of the first interval between two readings"`
	Last      rainfall.Date `key:"last" doc:"last day of the last"`
	Left      int           `key:"intervals_left_out" doc:"intervals with days that the record lacks, not looked at"`
	Turnover  float64       `key:"readings_l" doc:"sum of what the intervals' readings show, without their signs"`
	Demand    MeterDemand   `key:"demand" doc:"the intervals in which the meter shows nothing but the water wanted"`
	Fitted    int           `key:"intervals_fitted" doc:"intervals in which the modelled tank falls short or, of a level, moves"`
	Days      int           `key:"days_fitted" doc:"their days"`
	Tells     bool          `key:"tells" doc:"whether the meter can tell of the inflow: the slopes are 1 % of the readings at least, or mains gave water where no factor looked at makes the tank lack any"`
	SlopeSum  float64       `key:"slope_share" doc:"sum of the slopes' sizes over that of the readings"`
	Level     float64       `key:"level" doc:"of the bounds"`
	Factor    Interval      `key:"factor" doc:"by what the inflow is to be multiplied; a bound is none where the readings set none"`
	Beyond    int           `key:"beyond" doc:"1 where even the largest factor is too small, −1 where even the smallest is too large, else 0"`
	Runoff    Interval      `key:"runoff" doc:"the runoff coefficient with which the roof gives so much, wetting and first flush as stated; none with several roofs; above 1 it is more than the gauge's rain"`
	Misfit    float64       `key:"misfit_l2_per_day" doc:"sum of squares of the intervals fitted, each over its days, as the site is stated"`
	MisfitAt  float64       `key:"misfit_at_factor_l2_per_day" doc:"the same with the factor"`
	Slope     float64       `key:"misfit_slope_l2_per_day" doc:"change of the misfit with the factor as the site is stated, a factor of 1: below 0 where a larger one fits better"`
	Shift     int           `key:"shift_days" doc:"−1 or 1 where the readings fit far better dated a day earlier or later, else 0"`
	MisfitTo  float64       `key:"misfit_of_shift_l2_per_day" doc:"sum of squares of the intervals then fitted, each over its days, with the best factor; none without a shift"`
	DaysTo    int           `key:"days_of_shift" doc:"days of those intervals"`
	Block     int           `key:"block_intervals" doc:"intervals in a row that are drawn together for the bounds"`
	Draws     int           `key:"draws" doc:"resampled sets of intervals behind the bounds"`
	Intervals []MeterRow    `key:"intervals" doc:"the intervals between readings"`
}

// MeterDemand compares the water wanted with that metered.
type MeterDemand struct {
	Intervals int     `key:"intervals" doc:"how many there are"`
	Days      int     `key:"days" doc:"their days"`
	Stated    float64 `key:"stated_l" doc:"water wanted as the site states it"`
	Metered   float64 `key:"metered_l" doc:"water wanted as the meter shows it"`
}

// MeterRow is one interval between two readings.
type MeterRow struct {
	From rainfall.Date `key:"from" doc:"its first day"`
	To   rainfall.Date `key:"to" doc:"its last day, in the evening of which the meter was read"`
	Days int           `key:"days" doc:"its days"`
	Water
	Metered  float64 `key:"metered_l" doc:"drawn, topped up, or by how much the tank held more, as metered"`
	Modelled float64 `key:"modelled_l" doc:"the same as modelled"`
	At       float64 `key:"modelled_at_factor_l" doc:"the same with the factor, none where there is none"`
	Slope    float64 `key:"slope_l" doc:"change of what is modelled with the factor"`
	Fitted   bool    `key:"fitted" doc:"whether the factor was fitted to it"`
}

// The factors that are looked at, each 2 % above the one before.
const (
	factorStep  = 1.02
	stepsDown   = 80 // to 0.205
	stepsUp     = 55 // to 2.97
	MeterDraws  = 1000
	streamMeter = 2 // the draws of intervals
	// leastSlopes is the share of the readings below which the meter says
	// nothing of the inflow: a choice, no source.
	leastSlopes = 0.01
)

// factors lists them; factors[stepsDown] is 1.
func factors() []float64 {
	out := make([]float64, stepsDown+1+stepsUp)
	out[stepsDown] = 1
	for j := stepsDown; j > 0; j-- {
		out[j-1] = out[j] / factorStep
	}
	for j := stepsDown; j < len(out)-1; j++ {
		out[j+1] = out[j] * factorStep
	}
	return out
}

// LeastFactor and MostFactor bound the factors that are looked at.
func LeastFactor() float64 { return factors()[0] }

// MostFactor is the largest factor that is looked at.
func MostFactor() float64 { return factors()[stepsDown+stepsUp] }

// Meter holds the model of a record, as Replay has it, against the readings of
// a meter at the tank. Intervals of which the series lacks a day are left out.
//
// One number is fitted, a factor on the inflow, by least squares over the
// intervals in which the modelled tank falls short or, of a level, moves; an
// interval's weight is one over its days, as if its error were made of those of
// its days. The bounds, at a two-sided level such as 0.9, come from resampling
// runs of such intervals (circular block bootstrap: Politis & Romano 1992, from
// memory, unverified), with a run as long as the cube root of their number. They
// are the same for the same seed, whatever the number of workers.
func Meter(ctx context.Context, s *rainfall.Series, roofs []Roof, uses []Use, tank Tank, m *Readings, level float64, seed uint64, workers int) (*Metered, error) {
	q, left := newMetering(s, roofs, uses, tank, m)
	f, err := fitTo(ctx, q, factors(), stepsDown, workers)
	if err != nil {
		return nil, err
	}
	if err := f.estimate(); err != nil {
		return nil, err
	}
	if err := f.dates(m, func(m *Readings) (*meterFit, error) {
		q, _ := newMetering(s, roofs, uses, tank, m)
		k, one := everyNth(factors(), stepsDown, coarse)
		return fitTo(ctx, q, k, one, workers)
	}); err != nil {
		return nil, err
	}
	f.bounds(level, gen.Source(seed, streamMeter, 0))
	f.out.Left = left
	if k := f.out.Factor; len(roofs) == 1 && len(q.spans) > 0 {
		rain := q.wet()
		f.out.Runoff = Interval{roofs[0].runoffFor(k.Estimate, rain), roofs[0].runoffFor(k.Low, rain), roofs[0].runoffFor(k.High, rain)}
	}
	return f.out, nil
}

// wet is the rain from the first reading to the last, 0 where it is missing.
func (m *metering) wet() []float64 {
	out := slices.Clone(m.series.Between(m.spans[0].from, m.spans[len(m.spans)-1].to).Depth)
	for t, p := range out {
		if math.IsNaN(p) {
			out[t] = 0
		}
	}
	return out
}

// runoffFor is the runoff coefficient with which the roof gives k times as much of
// some rain: k times its own but for what wetting and first flush take, which
// stay as they are. NaN for no k, and where nothing flows.
func (r Roof) runoffFor(k float64, rain []float64) float64 {
	gives := func(runoff float64) float64 {
		other := r
		other.Runoff = runoff
		sum := 0.0
		var b diverter
		for t, p := range rain {
			if p > 0 {
				sum += other.yield(&b, t, p)
			}
		}
		return sum
	}
	want := float64(k * gives(r.Runoff))
	low, high := 0.0, 2*r.Runoff*MostFactor()
	if !(want > 0) || gives(high) < want {
		return math.NaN()
	}
	for range 50 {
		if middle := (low + high) / 2; gives(middle) < want {
			low = middle
		} else {
			high = middle
		}
	}
	return high
}

// fitTo runs the model with each of some factors, of which one, by its place, is 1.
func fitTo(ctx context.Context, m *metering, k []float64, one, workers int) (*meterFit, error) {
	curves := make([][]meterModel, len(k))
	err := parallel.InOrder(ctx, workers, len(k), func() struct{} { return struct{}{} },
		func(_ struct{}, j int) ([]meterModel, error) { return m.at(k[j]) },
		func(j int, x []meterModel) error { curves[j] = x; return nil })
	if err != nil {
		return nil, err
	}
	return newFit(m, k, one, curves), nil
}

// meterFit finds the factor.
type meterFit struct {
	*metering
	k      []float64
	one    int            // the place of the factor 1
	curves [][]meterModel // of each factor
	used   []int          // the intervals fitted
	best   int            // the place of the factor nearest to that found
	out    *Metered
}

var noInterval = Interval{math.NaN(), math.NaN(), math.NaN()}

func newFit(m *metering, k []float64, one int, curves [][]meterModel) *meterFit {
	f := &meterFit{metering: m, k: k, one: one, curves: curves, out: &Metered{Of: m.of, Factor: noInterval, Runoff: noInterval, MisfitTo: math.NaN()}}
	for i, x := range m.spans {
		now := curves[one][i]
		f.out.Turnover += math.Abs(x.litres)
		f.out.Intervals = append(f.out.Intervals, MeterRow{From: x.from, To: x.to, Days: x.days(), Water: now.Water, Metered: x.litres, Modelled: now.litres, At: math.NaN()})
	}
	if n := len(m.spans); n > 0 {
		f.out.First, f.out.Last = m.spans[0].from, m.spans[n-1].to
	}
	return f
}

func (x meterSpan) days() int { return int(x.to-x.from) + 1 }

// off is the weighted square of what a model of an interval is off.
func (f *meterFit) off(i int, model meterModel) float64 {
	d := model.litres - f.spans[i].litres
	return float64(d*d) / float64(f.spans[i].days())
}

// misfit is the sum of squares over the intervals fitted.
func (f *meterFit) misfit(model []meterModel) float64 {
	sum := 0.0
	for _, i := range f.used {
		sum += f.off(i, model[i])
	}
	return sum
}

// choose takes the intervals that are fitted, and finds the best factor of those
// there are. It says whether the mains gave water although no factor explains it.
func (f *meterFit) choose() (gave bool) {
	f.best = f.one
	f.take(f.one)
	// With another factor the tank falls short in other intervals: those are
	// taken too, until none is added.
	for added := true; added && len(f.used) > 0; {
		f.best = f.lowest()
		added = f.take(f.best)
	}
	f.slopes()
	if f.of == MainsMeter && !(f.out.SlopeSum >= leastSlopes) && f.lacked() {
		f.best = f.lowest()
		f.slopes()
		gave = f.best == 0
	}
	for _, i := range f.used {
		f.out.Days += f.spans[i].days()
	}
	return gave
}

// estimate finds the factor and what stands beside it.
func (f *meterFit) estimate() error {
	gave := f.choose()
	f.demand()
	out := f.out
	out.Fitted = len(f.used)
	out.Misfit, out.MisfitAt = f.misfit(f.curves[f.one]), math.NaN()
	out.Slope = (f.misfit(f.curves[f.one+1]) - f.misfit(f.curves[f.one-1])) / (f.k[f.one+1] - f.k[f.one-1])
	if out.Tells = out.Turnover > 0 && (out.SlopeSum >= leastSlopes || gave); !out.Tells {
		return nil
	}
	switch f.best {
	case 0:
		out.Beyond = -1
		return nil
	case len(f.k) - 1:
		out.Beyond = 1
		return nil
	}
	model, err := f.refine()
	if err != nil {
		return err
	}
	out.MisfitAt = f.misfit(model)
	for i := range out.Intervals {
		out.Intervals[i].At = model[i].litres
	}
	return nil
}

// take adds the intervals that inform with the factor at a place, and says
// whether there were any more.
func (f *meterFit) take(j int) (added bool) {
	for i := range f.spans {
		if !f.out.Intervals[i].Fitted && f.curves[j][i].informs(f.of) {
			f.out.Intervals[i].Fitted, added = true, true
		}
	}
	f.used = f.used[:0]
	for i, x := range f.out.Intervals {
		if x.Fitted {
			f.used = append(f.used, i)
		}
	}
	return added
}

// lacked takes, where the model as stated tells nothing, the intervals in which
// the mains gave water: the tank did lack it. It says whether there are enough.
func (f *meterFit) lacked() bool {
	var used []int
	for i, x := range f.out.Intervals {
		if x.Metered > leastSlopes*x.Demand {
			used = append(used, i)
		}
	}
	if len(used) < LeastIntervals {
		return false
	}
	for i := range f.out.Intervals {
		f.out.Intervals[i].Fitted = slices.Contains(used, i)
	}
	f.used = used
	return true
}

// lowest is the place of the factor with the least misfit.
func (f *meterFit) lowest() int {
	least, at := math.Inf(1), f.one
	for j, c := range f.curves {
		if x := f.misfit(c); x < least {
			least, at = x, j
		}
	}
	return at
}

// slopes is how the model of each interval changes with the factor, there.
func (f *meterFit) slopes() {
	a, z := max(f.best-1, 0), min(f.best+1, len(f.k)-1)
	sum := 0.0
	for i := range f.spans {
		slope := (f.curves[z][i].litres - f.curves[a][i].litres) / (f.k[z] - f.k[a])
		f.out.Intervals[i].Slope = slope
		sum += math.Abs(slope)
	}
	f.out.SlopeSum = sum / f.out.Turnover
}

// demand adds up the intervals in which the meter shows the water wanted.
func (f *meterFit) demand() {
	d := &f.out.Demand
	for i, x := range f.spans {
		now, best := &f.curves[f.one][i], &f.curves[f.best][i]
		if !now.demandAlone(f.of) || !best.demandAlone(f.of) {
			continue
		}
		d.Intervals++
		d.Days += x.days()
		d.Stated += now.Demand
		if f.of == LevelSensor {
			d.Metered -= x.litres
		} else {
			d.Metered += x.litres
		}
	}
}

// refine finds the factor between those beside the best by the golden section,
// each time with a replay of its own, and returns its model.
func (f *meterFit) refine() ([]meterModel, error) {
	const golden, within = 0.6180339887498949, 1e-5
	a, z := f.k[f.best-1], f.k[f.best+1]
	type point struct {
		k, misfit float64
		model     []meterModel
	}
	look := func(k float64) (point, error) {
		model, err := f.at(k)
		if err != nil {
			return point{}, err
		}
		return point{k, f.misfit(model), model}, nil
	}
	x, err := look(z - float64(golden*(z-a)))
	if err != nil {
		return nil, err
	}
	y, err := look(a + float64(golden*(z-a)))
	for err == nil && z-a > within {
		if x.misfit <= y.misfit {
			z, y = y.k, x
			x, err = look(z - float64(golden*(z-a)))
		} else {
			a, x = x.k, y
			y, err = look(a + float64(golden*(z-a)))
		}
	}
	if err != nil {
		return nil, err
	}
	if y.misfit < x.misfit {
		x = y
	}
	if here := (point{f.k[f.best], f.misfit(f.curves[f.best]), f.curves[f.best]}); here.misfit < x.misfit {
		x = here
	}
	f.out.Factor.Estimate = x.k
	return x.model, nil
}

// bounds resamples runs of the intervals fitted, in a circle, and takes from the
// factors so found the bounds that hold the estimate. Runs of L of n intervals
// spread less than the whole, by (n − L)/n in square, and are no more than n/L
// observations: both are made up for, the latter by Student's t.
func (f *meterFit) bounds(level float64, rng interface{ IntN(int) int }) {
	out, n := f.out, len(f.used)
	out.Level = level
	if math.IsNaN(out.Factor.Estimate) || n < LeastIntervals {
		return
	}
	run := 1
	for run*run*run < n {
		run++
	}
	out.Block, out.Draws = run, MeterDraws
	// Sums from the first interval on, twice round, so that a run is a difference.
	sums := make([][]float64, len(f.k))
	for j, c := range f.curves {
		sums[j] = make([]float64, 1, 2*n+1)
		for t := range 2 * n {
			i := f.used[t%n]
			sums[j] = append(sums[j], sums[j][t]+f.off(i, c[i]))
		}
	}
	found := make([]float64, MeterDraws)
	drawn := make([]float64, len(f.k))
	for b := range found {
		clear(drawn)
		for left := n; left > 0; left -= run {
			a := rng.IntN(n)
			z := a + min(run, left)
			for j := range drawn {
				drawn[j] += sums[j][z] - sums[j][a]
			}
		}
		found[b] = f.bottom(drawn)
	}
	slices.Sort(found)
	more := math.Sqrt(float64(n)/float64(n-run)) * studentQuantile(level, n/run-1) / studentQuantile(level, 0)
	bound := func(p float64) float64 {
		x := quantile(found, p)
		if x <= f.k[0] || x >= f.k[len(f.k)-1] {
			return math.NaN()
		}
		if x = out.Factor.Estimate + float64(more*(x-out.Factor.Estimate)); !(x > 0) {
			return math.NaN()
		}
		return x
	}
	low, high := bound((1-level)/2), bound((1+level)/2)
	out.Factor.Low, out.Factor.High = min(low, out.Factor.Estimate), max(high, out.Factor.Estimate)
}

// bottom is where misfits of all factors are least, by a parabola through the
// least and its neighbours.
func (f *meterFit) bottom(misfit []float64) float64 {
	at := 0
	for j, x := range misfit {
		if x < misfit[at] {
			at = j
		}
	}
	if at == 0 || at == len(misfit)-1 {
		return f.k[at]
	}
	below, above := misfit[at-1]-misfit[at], misfit[at+1]-misfit[at]
	if !(below+above > 0) {
		return f.k[at]
	}
	step := 0.5 * (below - above) / (below + above) // of the distance to a neighbour, −½ to ½
	if step < 0 {
		return f.k[at] + float64(step*(f.k[at]-f.k[at-1]))
	}
	return f.k[at] + float64(step*(f.k[at+1]-f.k[at]))
}
