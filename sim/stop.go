package sim

import (
	"math"
	"slices"

	"tankodds/sim/internal/store"
)

// The methods of a Stop.
const (
	ByTurnover = "turnover"          // where no prices are known
	ByValue    = "net present value" // where they are
)

// AsWater is how often a year the last litre of a tank must be used for storage
// to pay as water: every other year. What lies beyond is insurance for dry
// years. Once a year would not do: where there is one dry season a year, sizes
// over a wide range are used about that often, and which of them stands at the
// threshold would be chance.
const AsWater = 0.5

// Stop is the size where more storage stops paying.
type Stop struct {
	Tank     float64 `key:"tank_l" doc:"nominal size, none where not even the first litre pays"`
	Low      float64 `key:"low_l" doc:"lower end of its band from the length of the record"`
	High     float64 `key:"high_l" doc:"upper end of its band from the length of the record"`
	Method   string  `key:"method" doc:"turnover or, with prices, net present value"`
	Least    float64 `key:"least_turnover_per_year" doc:"times a year that the last litre of a tank must be used to pay, none with prices"`
	Supplied float64 `key:"supplied_l_per_year" doc:"water supplied at that size"`
}

// Turn is how often a year the last litre of a tank is used: what a tank
// supplies beyond the next smaller size of three digits, a litre of tank.
type Turn struct {
	Tank  float64 `key:"tank_l" doc:"nominal size of the tank"`
	Times float64 `key:"turnover_per_year" doc:"times a year that its last litre is used"`
}

// turns lists it for every rung under the site's own roofs. The litres are
// usable ones in whole units, so that rounding does not tell on small tanks.
func (s *Study) turns(c *Curves) []Turn {
	row := c.own()
	sizes, sums := c.Totals.rows[row].Sizes, c.Totals.total[row]
	var out []Turn
	size, supplied, apart := int64(0), 0.0, s.apart()
	for _, nominal := range c.Rungs {
		k := sizes.At(nominal)
		if float64(size) > float64(float64(sizes.index.At[k])/apart) {
			continue
		}
		if at := sizes.index.At[k]; at > size {
			times := (sums[k].supplied - supplied) / store.Litres(at-size) / float64(c.Totals.years)
			out = append(out, Turn{nominal, times * (1 - s.Dead - s.Under.Share)})
			size, supplied = at, sums[k].supplied
		}
	}
	return out
}

// apart is how much larger a tank is at least of which it is asked how often its
// last litre is used. Where tanks are gone through one by one few traces are, and
// a rule such as a level that is a share makes a litre more or less chance.
func (s *Study) apart() float64 {
	if s.Slow() {
		return 1.03
	}
	return 1
}

// Turnover lists it at sizes 3 % apart, large ones what lasts for two days, from
// one that lasts a day to the first whose last litre is used less than once in a
// hundred years.
func (s *Study) Turnover(c *Curves) []Turn {
	const seldom, step, days = 0.01, 0.03, 2
	var out []Turn
	day := MeanDemand(s.Uses)
	next := day
	for _, t := range s.turns(c) {
		if t.Tank < next {
			continue
		}
		out, next = append(out, t), t.Tank+min(step*t.Tank, days*day)
		if t.Times < seldom && s.Fitted.TopUp.To == (Level{}) {
			break
		}
	}
	for len(out) > 1 && out[len(out)-2].Times < seldom { // where mains are let in small tanks gain nothing
		out = out[:len(out)-1]
	}
	return out
}

// search is where a stop is looked for: rising nominal sizes, what each of them
// does by a measure, and which is the stop by that, 0 where it lies below them
// and +Inf where it lies beyond.
type search struct {
	sizes, did []float64
	by         Measure
	find       func(sizes, did []float64) float64
}

// asWater searches for the largest size up to which all are used often enough.
func (s *Study) asWater(c *Curves) search {
	var sizes, times []float64
	for _, t := range s.turns(c) {
		sizes, times = append(sizes, t.Tank), append(times, t.Times)
	}
	return search{sizes, times, turning, oftenUsed}
}

// oftenUsed is the last of rising sizes that are all used AsWater or more.
func oftenUsed(sizes, times []float64) float64 {
	switch k := slices.IndexFunc(times, func(x float64) bool { return x < AsWater }); k {
	case -1:
		return math.Inf(1)
	case 0:
		return 0
	default:
		return sizes[k-1]
	}
}

// byValue searches for the size of the largest net present value among those
// with a price.
func (s *Study) byValue(c *Curves) search {
	row := c.own()
	out := search{by: Volume}
	for _, size := range s.Costs.Sizes {
		out.sizes = append(out.sizes, size)
		out.did = append(out.did, c.Totals.total[row][c.Totals.rows[row].Sizes.At(size)].supplied/c.Totals.demand)
	}
	wanted := c.Totals.demand / float64(c.Totals.years)
	out.find = func(sizes, shares []float64) float64 {
		best, at := math.Inf(-1), 0.0
		for k, share := range shares {
			if v := s.Costs.Value(sizes[k], float64(share*wanted)); v > best {
				best, at = v, sizes[k]
			}
		}
		return at
	}
	return out
}

// among is where this study's stop is looked for.
func (s *Study) among(c *Curves) search {
	if s.Costs != nil {
		return s.byValue(c)
	}
	return s.asWater(c)
}

// Stop finds where more storage under the site's own roofs stops paying: with
// prices the size of the largest net present value, without them the largest
// whose last litre is used every other year.
func (s *Study) Stop(c *Curves) Stop {
	out := Stop{Method: ByTurnover, Least: AsWater, Supplied: math.NaN()}
	if s.Costs != nil {
		out.Method, out.Least = ByValue, math.NaN()
	}
	out = s.among(c).stop(out, s, c)
	if !math.IsNaN(out.Tank) {
		out.Supplied = c.supplied(out.Tank)
	}
	return out
}

// stop sets the size of a stop and its band: where it would be had the record
// been so much wetter or drier for every size that a record of its length is so
// once in (1 − level)/2.
func (x search) stop(out Stop, s *Study, c *Curves) Stop {
	known := func(size float64) float64 {
		if size == 0 || math.IsInf(size, 0) {
			return math.NaN()
		}
		return size
	}
	at := x.find(x.sizes, x.did)
	out.Tank, out.Low, out.High = known(at), math.NaN(), math.NaN()
	if !s.RecordError || math.IsNaN(out.Tank) || c.Totals.Worth == 0 {
		return out
	}
	more, less := x.moved(s, c, studentQuantile(s.Level, 0)), x.moved(s, c, -studentQuantile(s.Level, 0))
	out.Low, out.High = known(min(at, more, less)), known(max(at, more, less))
	return out
}

// moved finds the stop with what every size does so many standard errors above
// what it did.
func (x search) moved(s *Study, c *Curves, by float64) float64 {
	w, did := c.weights[len(c.weights)-1], slices.Clone(x.did)
	row := c.Totals.rows[c.own()]
	least := row.Sizes.index.At[row.Ladder[1]] // what the first step adds is no litre beside others
	for k, size := range x.sizes {
		of := c.Totals.between(x.by, c.own(), max(least, s.usable(size)))
		did[k] += float64(by * math.Sqrt(w.variance(Volume, of)))
	}
	return x.find(x.sizes, did)
}
