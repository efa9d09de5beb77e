package gen

import (
	"fmt"
	"math"
	"sort"

	"tankodds/rainfall"
)

// Row compares one statistic of the record with the same of synthetic records
// of its length.
type Row struct {
	Statistic string  `key:"statistic" doc:"what is compared"`
	Season    string  `key:"season" doc:"year, a month or a quarter such as Oct-Dec"`
	Unit      string  `key:"unit" doc:"empty for a pure number"`
	Real      float64 `key:"real" doc:"of the record"`
	Mean      float64 `key:"mean" doc:"over the synthetic records"`
	Low       float64 `key:"low" doc:"lower bound of their middle 90 %"`
	High      float64 `key:"high" doc:"and upper bound"`
	Pass      bool    `key:"pass" doc:"whether the real value lies between them"`
	Rule      string  `key:"rule" doc:"when a row passes"`
	Source    string  `key:"source" doc:"where the statistic comes from"`
}

const (
	fidelityStream  = 11  // of Source: apart from those of a simulation
	fidelityRecords = 200 // synthetic records at least
)

// Fidelity compares the record with synthetic ones: at least 200, and as many
// as make up the given number of years. Each has the record's own number of
// years, cut where the record has a gap; what came before its first year is
// run and dropped. Wet days have WetDay mm or more.
//
// A row passes if the real value lies within the middle 90 % of the synthetic
// records' values, bounds included: "good" in Bennett et al. 2018 (J. Hydrol.
// 556:1123: from memory, unverified). A perfect generator fails some rows by
// chance, fewer than one in ten as it has learnt from the same record. A
// statistic that a record cannot have, such as the mean of no wet day, is 0.
func Fidelity(y *rainfall.Years, s Sampler, seed uint64, years int) []Row {
	n := y.Len()
	if n == 0 {
		return nil
	}
	real := statistics(y)
	records := max(fidelityRecords, (years+n-1)/n)
	values := make([][]float64, len(real))
	trace := make([]float64, (n+1)*rainfall.DaysPerYear)
	synthetic := &rainfall.Years{Start: y.Start, Label: y.Label, Rain: make([][]float64, n)}
	for k := range records {
		s.Sample(trace, Source(seed, fidelityStream, uint64(k)))
		for i := range synthetic.Rain {
			synthetic.Rain[i] = trace[(i+1)*rainfall.DaysPerYear:][:rainfall.DaysPerYear]
		}
		for j, x := range statistics(synthetic) {
			values[j] = append(values[j], x.value)
		}
	}
	rule := fmt.Sprintf(fidelityRule, records, n)
	rows := make([]Row, len(real))
	for j, x := range real {
		v := values[j]
		sort.Float64s(v)
		r := Row{Statistic: x.name, Season: x.season, Unit: x.unit, Real: x.value, Mean: mean(v),
			Low: quantile(v, 0.05), High: quantile(v, 0.95), Rule: rule, Source: x.source}
		// Sums made in another order may differ in their last bits.
		slack := 1e-9 * math.Max(math.Abs(r.Low), math.Abs(r.High))
		r.Pass = x.value >= r.Low-slack && x.value <= r.High+slack
		rows[j] = r
	}
	return rows
}

// fidelityRule is what a statistic is judged by, and whose rule that is.
const fidelityRule = "real value inside the 5-95 %% range of %d synthetic records of %d years (Bennett et al. 2018)"

// quantile reads sorted values at p by straight lines between order
// statistics (definition 7 of Hyndman & Fan 1996).
func quantile(sorted []float64, p float64) float64 {
	at := float64(p * float64(len(sorted)-1))
	i := min(int(at), len(sorted)-2)
	if i < 0 {
		return sorted[0]
	}
	return sorted[i] + float64((at-float64(i))*(sorted[i+1]-sorted[i]))
}
