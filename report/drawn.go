package report

import (
	"tankodds/report/figure"
	"tankodds/sim"
)

// Drawn are the stations as they are drawn.
func (z *Comparison) Drawn() ([]figure.Station, error) {
	curves, err := z.Curves()
	if err != nil {
		return nil, err
	}
	names := z.Names()
	var out []figure.Station
	for i, x := range z.Stations {
		if x.Grade == "" { // what could not be read has no place in a figure
			continue
		}
		s := figure.Station{
			Name: names[i], Latitude: x.Latitude, Longitude: x.Longitude, Seasonality: x.Seasonality, DrySpell: x.DrySpell, Annual: x.Annual,
			Tank: x.Tank, Low: x.Low, High: x.High, Safe: x.Safe, Inflow: x.Inflow, Demand: x.Wanted,
		}
		if z.Group != "" {
			s.Group = z.GroupOf(i)
		}
		if err := s.Grade.UnmarshalText([]byte(x.Grade)); err != nil {
			return nil, err
		}
		for _, p := range curves[i] {
			s.Curve = append(s.Curve, figure.Point{Tank: p[0], Share: sim.Interval{Estimate: p[1], Low: p[2], High: p[3]}})
		}
		out = append(out, s)
	}
	return out, nil
}

// RegionalPoints are those of the curve fitted to all, none where there is none.
func RegionalPoints(r *sim.Regional) (out []figure.RegionalPoint) {
	if r == nil {
		return nil
	}
	for _, p := range r.Points {
		out = append(out, figure.RegionalPoint{Store: p.Store, Share: p.Share, Low: p.Low, High: p.High})
	}
	return out
}
