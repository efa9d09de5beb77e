package report

import (
	"fmt"
	"math"

	"tankodds/report/codec"
	"tankodds/report/units"
	"tankodds/sim"
)

// region fits one curve without a unit to those of the stations; nil of few.
func (z *Comparison) region() (*sim.Regional, error) {
	curves, err := z.Curves()
	if err != nil {
		return nil, err
	}
	var all []sim.Unitless
	for i, curve := range curves {
		x := &z.Stations[i]
		if curve == nil || !(x.Inflow > 0) {
			continue
		}
		u := sim.Unitless{Demand: x.Demand, Season: x.Seasonality}
		for _, p := range curve {
			u.Store, u.Share = append(u.Store, p[0]/x.Inflow), append(u.Share, p[1])
		}
		all = append(all, u)
	}
	return sim.Region(all, z.Study.Target), nil
}

// RegionalCSV returns a regional curve as a tidy table: a row a storage fraction.
func RegionalCSV(r *sim.Regional) ([]byte, error) { return codec.Rows(r.Points) }

// regional says what the regional curve tells, "" where there is none.
func (z *Comparison) regional() string {
	r := z.Region
	if r == nil {
		return ""
	}
	on := map[sim.FittedOn]string{
		sim.OnNothing: "", sim.OnDemand: " and their demand fraction", sim.OnBoth: ", their demand fraction and seasonality",
	}[r.On]
	out := fmt.Sprintf("One curve for all %d records, of the storage fraction%s, errs by %s at a record left out of it", r.Records, on, units.Fixed(100*r.LeftOut, 0)+" percentage points")
	if !math.IsNaN(r.Reaches) {
		out += fmt.Sprintf("; at a demand fraction of %s it reaches the target with a storage fraction of %s", units.Fixed(r.Demand, 2), units.Significant(r.Reaches, 2))
		if !math.IsNaN(r.Reaches5) && !math.IsNaN(r.Reaches9) {
			out += fmt.Sprintf(" (%s to %s for nine records in ten)", units.Significant(r.Reaches5, 2), units.Significant(r.Reaches9, 2))
		}
	}
	return out + ". regional.csv has it as a table."
}
