package sim

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"tankodds/sim/internal/steady"
)

// Regional is one curve fitted to those of many records, in numbers without a unit:
// share of a measure against the storage fraction, tank over what the roofs give in a
// mean year, for records of any demand fraction and seasonality.
//
// At each storage fraction the logits of the records' shares are fitted by least
// squares, on nothing, on the logarithm of the demand fraction, or on that and the
// seasonality: the one whose fit errs least at records that it has not seen. Nothing is
// assumed of the curve's shape but that it rises.
type Regional struct {
	On       FittedOn        `key:"fitted_on" doc:"what the fit knows of a record: nothing, demand or demand-and-seasonality"`
	Records  int             `key:"records" doc:"how many it rests on"`
	Demand   float64         `key:"demand_fraction" doc:"their median, which the curve is drawn at"`
	Season   float64         `key:"seasonality" doc:"their median, which the curve is drawn at"`
	LeftOut  float64         `key:"error" doc:"root mean square of what the fit errs by at a record left out of it, as a share; of all storage fractions"`
	Points   []RegionalPoint `key:"points" doc:"the curve"`
	Reaches  float64         `key:"storage_for_target" doc:"storage fraction at which the curve reaches the target; null where it does not"`
	Reaches5 float64         `key:"storage_for_target_low" doc:"the same of the upper bound"`
	Reaches9 float64         `key:"storage_for_target_high" doc:"the same of the lower bound"`
}

// FittedOn is what a regional curve knows of a record.
type FittedOn string

const (
	OnNothing FittedOn = "nothing"
	OnDemand  FittedOn = "demand"
	OnBoth    FittedOn = "demand-and-seasonality"
)

// RegionalPoint is the fit at one storage fraction.
type RegionalPoint struct {
	Store     float64 `key:"storage_fraction" doc:"tank over what the roofs give in a mean year"`
	Records   int     `key:"records" doc:"whose curves reach so far"`
	Constant  float64 `key:"constant" doc:"of the logit of the share"`
	PerDemand float64 `key:"per_ln_demand_fraction" doc:"what the logit rises by where the logarithm of the demand fraction rises by 1"`
	PerSeason float64 `key:"per_seasonality" doc:"the same of the seasonality"`
	Share     float64 `key:"share" doc:"at the median demand fraction and seasonality"`
	Low       float64 `key:"low" doc:"above which nineteen of twenty records left out lie"`
	High      float64 `key:"high" doc:"below which nineteen of twenty do"`
	Error     float64 `key:"error" doc:"root mean square of what the fit errs by at a record left out, as a share"`
}

// Unitless is a record's curve for a regional one: rising storage fractions and the
// share at each.
type Unitless struct {
	Store, Share   []float64
	Demand, Season float64
}

// LeastRegional is the fewest records that a regional curve is fitted to.
const LeastRegional = 10

// regionalSteps is at how many storage fractions.
const regionalSteps = 24

// mostLogit bounds the shares that are fitted: below 0.5 % and above 99.5 % a share is
// as good as none or all.
const leastShare = 0.005

// Region fits one curve to those of records; nil for fewer than LeastRegional.
func Region(all []Unitless, target float64) *Regional {
	all = slices.DeleteFunc(slices.Clone(all), func(u Unitless) bool {
		return len(u.Store) < 2 || !(u.Demand > 0) || math.IsInf(u.Demand, 0) || math.IsNaN(u.Season)
	})
	if len(all) < LeastRegional {
		return nil
	}
	var lows, highs, demands, seasons []float64
	for _, u := range all {
		lows, highs = append(lows, u.Store[0]), append(highs, u.Store[len(u.Store)-1])
		demands, seasons = append(demands, u.Demand), append(seasons, u.Season)
	}
	// Where most curves are: four of five begin before and end after.
	low, high := shareBelow(lows, 0.8), shareBelow(highs, 0.2)
	if !(low > 0 && high > low) {
		return nil
	}
	var best *Regional
	for _, on := range []FittedOn{OnNothing, OnDemand, OnBoth} {
		r := &Regional{On: on, Demand: shareBelow(demands, 0.5), Season: shareBelow(seasons, 0.5), Records: len(all)}
		sum, n := 0.0, 0
		for k := range regionalSteps {
			s := min(max(steady.Round(low*math.Pow(high/low, float64(k)/(regionalSteps-1))), low), high)
			p, errs, ok := regionalAt(all, s, r)
			if !ok {
				continue
			}
			for _, e := range errs {
				sum += float64(e * e)
				n++
			}
			r.Points = append(r.Points, p)
		}
		if len(r.Points) < 2 {
			continue
		}
		r.LeftOut = math.Sqrt(sum / float64(n))
		if best == nil || r.LeftOut < 0.98*best.LeftOut { // the simpler one where it is nearly as good
			best = r
		}
	}
	if best == nil {
		return nil
	}
	best.rise()
	best.Reaches = best.where(target, func(p RegionalPoint) float64 { return p.Share })
	best.Reaches5 = best.where(target, func(p RegionalPoint) float64 { return p.High })
	best.Reaches9 = best.where(target, func(p RegionalPoint) float64 { return p.Low })
	for _, x := range best.numbers() {
		*x = steady.Round(*x) // a logarithm's last bit is a processor's own
	}
	return best
}

// numbers are all that was reckoned.
func (r *Regional) numbers() []*float64 {
	out := []*float64{&r.LeftOut, &r.Reaches, &r.Reaches5, &r.Reaches9}
	for k := range r.Points {
		p := &r.Points[k]
		out = append(out, &p.Constant, &p.PerDemand, &p.PerSeason, &p.Share, &p.Low, &p.High, &p.Error)
	}
	return out
}

// regionalAt fits the shares at one storage fraction, and tells what the fit errs by at
// each record when that is left out.
func regionalAt(all []Unitless, s float64, r *Regional) (p RegionalPoint, errs []float64, ok bool) {
	var x, y []float64
	terms := map[FittedOn]int{OnNothing: 1, OnDemand: 2, OnBoth: 3}[r.On]
	row := func(demand, season float64) []float64 { return []float64{1, math.Log(demand), season}[:terms] }
	for _, u := range all {
		if share, in := at(u, s); in {
			x, y = append(x, row(u.Demand, u.Season)...), append(y, logit(share))
		}
	}
	n := len(y)
	if n < LeastRegional || n < 3*terms || slices.Min(y) == slices.Max(y) { // all none, or all
		return p, nil, false
	}
	design := mat.NewDense(n, terms, x)
	var qr mat.QR
	qr.Factorize(design)
	if qr.Cond() > 1e8 { // all of one demand or one seasonality
		return p, nil, false
	}
	var b mat.VecDense
	if qr.SolveVecTo(&b, false, mat.NewVecDense(n, y)) != nil {
		return p, nil, false
	}
	// The residual of a record left out is its own over 1 − its leverage.
	var q mat.Dense
	qr.QTo(&q)
	left := make([]float64, n)
	for i := range n {
		leverage, fit := 0.0, 0.0
		for k := range terms {
			leverage += float64(q.At(i, k) * q.At(i, k))
			fit += float64(design.At(i, k) * b.AtVec(k))
		}
		left[i] = (y[i] - fit) / max(0.05, 1-leverage)
		errs = append(errs, expit(y[i])-expit(y[i]-left[i]))
	}
	p = RegionalPoint{Store: s, Records: n, Constant: b.AtVec(0)}
	if terms > 1 {
		p.PerDemand = b.AtVec(1)
	}
	if terms > 2 {
		p.PerSeason = b.AtVec(2)
	}
	z := p.Constant + float64(p.PerDemand*math.Log(r.Demand)) + float64(p.PerSeason*r.Season)
	p.Share, p.Low, p.High = expit(z), expit(z+shareBelow(left, 0.05)), expit(z+shareBelow(left, 0.95))
	for _, e := range errs {
		p.Error += float64(e * e)
	}
	p.Error = math.Sqrt(p.Error / float64(n))
	return p, errs, true
}

// rise levels what chance makes dip.
func (r *Regional) rise() {
	for k := 1; k < len(r.Points); k++ {
		p, before := &r.Points[k], r.Points[k-1]
		p.Share, p.Low, p.High = max(p.Share, before.Share), max(p.Low, before.Low), max(p.High, before.High)
	}
}

// where is the storage fraction at which a curve reaches a share, between two points by
// its logarithm; NaN where it does not, or lies above from the first on.
func (r *Regional) where(share float64, of func(RegionalPoint) float64) float64 {
	for k, p := range r.Points {
		if of(p) < share {
			continue
		}
		if k == 0 {
			break
		}
		before := r.Points[k-1]
		t := (share - of(before)) / (of(p) - of(before))
		return before.Store * math.Pow(p.Store/before.Store, t)
	}
	return math.NaN()
}

// at is the share of a record's curve at a storage fraction, straight between two
// points, and whether the curve is known there.
func at(u Unitless, s float64) (float64, bool) {
	k, found := slices.BinarySearch(u.Store, s)
	if found {
		return u.Share[k], true
	}
	if k == 0 || k == len(u.Store) {
		return 0, false
	}
	t := (s - u.Store[k-1]) / (u.Store[k] - u.Store[k-1])
	return u.Share[k-1] + float64(t*(u.Share[k]-u.Share[k-1])), true
}

func logit(p float64) float64 {
	p = min(max(p, leastShare), 1-leastShare)
	return math.Log(p / (1 - p))
}

func expit(z float64) float64 { return 1 / (1 + math.Exp(-z)) }

// shareBelow is the value below which a share of values lies, straight between two.
func shareBelow(x []float64, p float64) float64 {
	sorted := slices.Clone(x)
	slices.Sort(sorted)
	return between(sorted, float64(p*float64(len(sorted)-1)))
}
