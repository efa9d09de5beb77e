package report

import (
	"fmt"
	"math"

	"tankodds/report/codec"
	"tankodds/report/sheet"
	"tankodds/report/units"
	"tankodds/report/words"
	"tankodds/sim"
)

// Pair is what can be told of two records of a comparison beside each other.
type Pair struct {
	First  string `key:"first" doc:"file of the first record"`
	Second string `key:"second" doc:"file of the second"`
	sim.Difference
	At float64 `key:"at_l" doc:"the size that the shares are of"`

	first, second int // places among the stations
}

// How many records are held against each other: each pair of so many; and on a sheet
// each against the first, of so few.
const (
	mostPaired = 50
	fewPaired  = 6
)

// pairs holds each two answered records against each other, of at most mostPaired;
// none of more.
func (z *Comparison) pairs() ([]Pair, error) {
	if n := z.Answered(); n < 2 || n > mostPaired {
		return nil, nil
	}
	all := make([]*sim.Gauged, len(z.Stations))
	err := z.eachShown(z.answeredAt, func(i int, r *Row) error {
		all[i] = gauged(r, z.Study.Measure)
		return nil
	})
	if err != nil {
		return nil, err
	}
	var out []Pair
	for i, a := range all {
		for j, b := range all {
			if j <= i || a == nil || b == nil {
				continue
			}
			p := Pair{z.Stations[i].File, z.Stations[j].File, sim.Differ(*a, *b, z.Study.Target, z.Study.Measure == sim.Annual), z.Stations[i].At, i, j}
			if z.Stations[i].At != z.Stations[j].At {
				nan := math.NaN()
				p.At, p.Share, p.Shares = nan, sim.Interval{Estimate: nan, Low: nan, High: nan}, ""
			}
			out = append(out, p)
		}
	}
	return out, nil
}

// gauged is what a row lets be said. Where it is not known what a year needs, the
// driest is that of the least rain.
func gauged(r *Row, m sim.Measure) *sim.Gauged {
	x := &r.Station
	out := &sim.Gauged{Size: sim.Interval{Estimate: x.Tank, Low: x.Low, High: x.High}, Share: x.of(m)}
	known := true
	for _, y := range r.Years {
		known = known && !math.IsNaN(y.Needs)
	}
	for _, y := range r.Years {
		needs := -y.Rain
		if known {
			needs = y.Needs
		}
		out.Years = append(out.Years, sim.Year{Year: y.Year, Needs: needs})
	}
	return out
}

// of is the reliability of a measure at the size that all three are of.
func (x *Station) of(m sim.Measure) sim.Interval {
	return (&sim.Measures{Annual: x.GoodYears, Time: x.DaysMet, Volumetric: x.WaterMet}).Of(m)
}

// DifferencesCSV returns the pairs as a tidy table.
func DifferencesCSV(pairs []Pair) ([]byte, error) { return codec.Rows(pairs) }

// differ says whether the records differ from the first or only their years do.
func (z *Comparison) differ() []sheet.Block {
	n, pairs := z.Answered(), z.Pairs
	if len(pairs) == 0 {
		return nil
	}
	level := units.Percent(z.Study.Level)
	if n > fewPaired {
		told := 0
		for _, p := range pairs {
			if p.Sizes == sim.Larger || p.Sizes == sim.Smaller {
				told++
			}
		}
		return []sheet.Block{{Text: fmt.Sprintf("Of %s of records %s can be told apart by the size that they need, at %s; differences.csv has each.",
			words.Plural(len(pairs), "pair"), words.Whole(told), level)}}
	}
	names := labels(z.Stations, 30)
	block := sheet.Block{}
	first := pairs[0].first
	for _, p := range pairs {
		if p.first == first {
			block.List = append(block.List, sheet.Item{Lead: names[p.second] + ":", Text: z.differs(&p, names[first], level)})
		}
	}
	return []sheet.Block{{Text: "Do they differ, or only their years?"}, block}
}

// differs says how the second record of a pair stands to the first.
func (z *Comparison) differs(p *Pair, first, level string) string {
	a, b := &z.Stations[p.first], &z.Stations[p.second]
	r := p.Ratio
	from := fmt.Sprintf("%d and %s", a.Usable, words.Plural(b.Usable, "year"))
	if p.Years > 0 {
		from += fmt.Sprintf(", %d of which both have", p.Years)
	}
	factor := func(x float64) string { return units.Fixed(x, 2) }
	between := ""
	switch low, high := r.Low > 0, !math.IsNaN(r.High) && !math.IsInf(r.High, 0); {
	case low && high:
		between = fmt.Sprintf("between %s and %s times", factor(r.Low), factor(r.High))
	case low:
		between = fmt.Sprintf("at least %s times", factor(r.Low))
	case high:
		between = fmt.Sprintf("at most %s times", factor(r.High))
	}
	switch {
	case p.Sizes == "":
		return "no size is told for one of the two, so the sizes cannot be compared."
	case between == "":
		return "cannot tell: one of the two has no band."
	case p.Sizes == sim.CannotTell:
		return fmt.Sprintf("cannot tell from %s. Its tank may be %s that of %s (%s).", from, between, first, level)
	case p.Sizes == sim.Larger:
		return fmt.Sprintf("needs a larger tank than %s: %s its size (%s; from %s).", first, between, level, from)
	}
	return fmt.Sprintf("needs a smaller tank than %s: %s its size (%s; from %s).", first, between, level, from)
}
