package report

import "encoding/json"

// EvidenceJSON returns everything that the answer rests on and every number
// shown, as one object of the schema tankodds/evidence/1: the size object
// and, in it, the inputs that would give it again.
func (z *Sizing) EvidenceJSON() ([]byte, error) {
	size, err := z.JSON()
	if err != nil {
		return nil, err
	}
	s := z.Result.Study
	type tankJSON struct {
		Sizes []number `json:"sizes_l"`
		Areas []number `json:"roof_areas_m2"`
		Dead  number   `json:"dead_share"`
		Start number   `json:"start_l"`
	}
	tank := tankJSON{Dead: number(s.Dead), Start: number(s.Start)}
	for _, x := range s.Sizes {
		tank.Sizes = append(tank.Sizes, number(x))
	}
	for _, x := range s.Areas {
		tank.Areas = append(tank.Areas, number(x))
	}
	type costsJSON struct {
		Sizes    []float64 `json:"sizes_l"`
		Prices   []float64 `json:"prices"`
		Water    float64   `json:"water_price_per_m3"`
		Life     float64   `json:"life_years"`
		Discount float64   `json:"discount_rate"`
		Currency string    `json:"currency"`
	}
	var costs *costsJSON
	if c := s.Costs; c != nil {
		costs = &costsJSON{c.Sizes, c.Prices, c.Water, c.Life, c.Discount, c.Currency}
	}
	var words []string
	for _, x := range z.Answer() {
		words = append(words, x.Text)
	}
	type curveJSON struct {
		Tank     number       `json:"tank_l"`
		Measure  intervalJSON `json:"measure"`
		Supplied number       `json:"supplied_l_per_year"`
	}
	var curve []curveJSON
	for _, c := range z.Result.Curve {
		curve = append(curve, curveJSON{number(c.Tank), interval(c.Of(s.Measure)), number(c.Supplied)})
	}
	return marshal(struct {
		Schema     string          `json:"schema"`
		Version    string          `json:"version"`
		File       string          `json:"rain_file"`
		Unit       string          `json:"rain_unit"`
		Tank       tankJSON        `json:"tank"`
		Allow      int             `json:"allowed_short_days"`
		Replicates int             `json:"resampled_records"`
		Horizon    int             `json:"horizon_years"`
		GainStop   number          `json:"gain_stop_share"`
		Costs      *costsJSON      `json:"costs"`
		Units      string          `json:"units"`
		Words      []string        `json:"words"`
		Curve      []curveJSON     `json:"curve"`
		Size       json.RawMessage `json:"size"`
	}{"tankodds/evidence/1", z.Version, z.Record.File, z.Record.Unit, tank, s.Allow, s.Replicates, s.Horizon, number(s.GainStop),
		costs, z.Units.String(), words, curve, size})
}
