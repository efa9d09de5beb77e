package sim

import "math"

// Offer is what a tank for sale costs and brings.
type Offer struct {
	Tank      float64 `key:"tank_l" doc:"nominal size"`
	Price     float64 `key:"price" doc:"installed"`
	Supplied  float64 `key:"supplied_l_per_year" doc:"water supplied, the mean of the synthetic years"`
	Value     float64 `key:"net_present_value" doc:"what it saves over its life, less all it costs, as of today"`
	Levelised float64 `key:"levelised_per_m3" doc:"all it costs over its life, a m³ of the water supplied"`
	Payback   float64 `key:"payback_years" doc:"discounted; none where it never pays for itself"`
	Step      float64 `key:"step_per_m3" doc:"what it costs more than the one before, a m³ that it supplies more; none of the first, and where it hardly supplies more"`
}

// more is what a tank supplies at least beside the one before for that to be called
// more water.
const more = 1.01

// Offers lists the sizes for sale under the site's own roofs, rising; none without
// prices.
func (s *Study) Offers(c *Curves) (out []Offer) {
	if s.Costs == nil {
		return nil
	}
	costs := s.Costs
	for k, size := range costs.Sizes {
		supplied := c.supplied(size)
		o := Offer{Tank: size, Price: costs.Prices[k], Supplied: supplied, Value: costs.Value(size, supplied),
			Levelised: costs.Levelised(size, supplied), Payback: costs.Payback(size, supplied), Step: math.NaN()}
		if k > 0 && supplied > more*out[k-1].Supplied {
			a, b := costs.total(out[k-1].Tank, out[k-1].Supplied), costs.total(size, supplied)
			o.Step = (b - a) / costs.water(supplied-out[k-1].Supplied)
		}
		out = append(out, o)
	}
	return out
}
