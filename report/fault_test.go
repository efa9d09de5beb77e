package report

import (
	"errors"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/report/codec"
	"tankodds/sim"
)

// What a check finds wrong is named by the keys that evidence has, so that its line is
// found there.
func TestFaultsAreFoundInEvidence(t *testing.T) {
	site := func() *sim.Study {
		s := sim.Defaults()
		s.Roofs, s.Areas = []sim.Roof{sim.NewRoof(100), sim.NewRoof(50)}, []float64{150}
		s.Uses, s.Sizes = []sim.Use{{Daily: 100}, {Daily: 50, Except: []sim.Span{{FromMonth: 1, FromDay: 1, ToMonth: 2, ToDay: 1}}}}, []float64{1000, 2000}
		s.Costs = &sim.Costs{Sizes: []float64{1000, 2000}, Prices: []float64{1, 2}, Life: 20}
		s.Joined = []sim.Part{{Area: 1, Height: 2}}
		s.Air.Monthly[3] = 100
		return s
	}
	require.NoError(t, site().Check())
	for want, spoil := range map[string]func(*sim.Study){
		"roofs[1].area_m2":          func(s *sim.Study) { s.Roofs[1].Area = 0 },
		"roofs[0].runoff":           func(s *sim.Study) { s.Roofs[0].Runoff = 2 },
		"roofs[0].wetting_mm":       func(s *sim.Study) { s.Roofs[0].Wetting = -1 },
		"roofs[0].first_flush_mm":   func(s *sim.Study) { s.Roofs[0].FirstFlush = -1 },
		"roofs[0].filter":           func(s *sim.Study) { s.Roofs[0].Filter = 0 },
		"roofs[0].drains_days":      func(s *sim.Study) { s.Roofs[0].Drains = 0 },
		"roofs[0].surge_l":          func(s *sim.Study) { s.Roofs[0].Surge = -1 },
		"roofs[0].pump_l_per_min":   func(s *sim.Study) { s.Roofs[0].Surge, s.Roofs[0].Pump = 5, -1 },
		"uses[0].daily_l":           func(s *sim.Study) { s.Uses[0].Daily = -1 },
		"uses[1].people":            func(s *sim.Study) { s.Uses[1].People = -1 },
		"uses[1].people_spread":     func(s *sim.Study) { s.Uses[1].Spread = 1 },
		"uses[1].each_l":            func(s *sim.Study) { s.Uses[1].Each = -1 },
		"uses[1].except[0]":         func(s *sim.Study) { s.Uses[1].Except[0].ToDay = 32 },
		"uses[1].needs_kpa":         func(s *sim.Study) { s.Uses[1].Needs = -1 },
		"uses[1].keep":              func(s *sim.Study) { s.Uses[1].Keep.Share = 1 },
		"uses[1].bed.area_m2":       func(s *sim.Study) { s.Uses[1].Bed.Area = -1 },
		"uses[1].monthly_l[4]":      func(s *sim.Study) { s.Uses[1].Monthly[4] = -1 },
		"uses":                      func(s *sim.Study) { s.Uses[0].Daily, s.Uses[1].Daily = 0.1, 0 },
		"tank_sizes_l[1]":           func(s *sim.Study) { s.Sizes[1] = 1000 },
		"roof_areas_m2[0]":          func(s *sim.Study) { s.Areas[0] = -1 },
		"size_unit_l":               func(s *sim.Study) { s.Unit = 0 },
		"roof_unit_m2":              func(s *sim.Study) { s.AreaUnit = -1 },
		"dead_share":                func(s *sim.Study) { s.Dead = 1 },
		"under.reserve_l":           func(s *sim.Study) { s.Under.Reserve = -1 },
		"under.reserve_share":       func(s *sim.Study) { s.Under.Share = 1 },
		"under.dead_l":              func(s *sim.Study) { s.Under.Dead = -1 },
		"detain_l":                  func(s *sim.Study) { s.Detain = -1 },
		"fitted":                    func(s *sim.Study) { s.Fitted.Open = -1 },
		"fitted.of":                 func(s *sim.Study) { s.Fitted.Of = "nobody" },
		"joined[0].height_m":        func(s *sim.Study) { s.Joined[0].Height = 0 },
		"installed_month":           func(s *sim.Study) { s.Begins = 13 },
		"air.et0_monthly_mm[3]":     func(s *sim.Study) { s.Air.Monthly[3] = -1 },
		"air.et0_scale":             func(s *sim.Study) { s.Air.Scale = 3 },
		"stress":                    func(s *sim.Study) { s.Stress.Rain[1] = -1 },
		"target":                    func(s *sim.Study) { s.Target = 1 },
		"start_l":                   func(s *sim.Study) { s.Start = new(-1.0) },
		"years":                     func(s *sim.Study) { s.Years = 1 },
		"allowed_short_days":        func(s *sim.Study) { s.Allow = -1 },
		"horizon_years":             func(s *sim.Study) { s.Horizon = 99 },
		"level":                     func(s *sim.Study) { s.Level = 0 },
		"costs.sizes_l[1]":          func(s *sim.Study) { s.Costs.Sizes[1] = 0 },
		"costs.prices[0]":           func(s *sim.Study) { s.Costs.Prices[0] = -1 },
		"costs.water_price_per_m3":  func(s *sim.Study) { s.Costs.Water = -1 },
		"costs.life_years":          func(s *sim.Study) { s.Costs.Life = 999 },
		"costs.discount_rate":       func(s *sim.Study) { s.Costs.Discount = -1 },
		"costs.price_rise":          func(s *sim.Study) { s.Costs.Rise = 2 },
		"costs.sewer_price_per_m3":  func(s *sim.Study) { s.Costs.Sewer = -1 },
		"costs.upkeep_per_year":     func(s *sim.Study) { s.Costs.Upkeep = -1 },
		"costs.pump_price":          func(s *sim.Study) { s.Costs.Pump = -1 },
		"costs.pump_life_years":     func(s *sim.Study) { s.Costs.Pump = 1 },
		"costs.energy_kwh_per_m3":   func(s *sim.Study) { s.Costs.Energy = -1 },
		"costs.power_price_per_kwh": func(s *sim.Study) { s.Costs.Power = -1 },
	} {
		s := site()
		spoil(s)
		var fault *sim.Fault
		if assert.True(t, errors.As(s.Check(), &fault), want) {
			assert.Equal(t, want, fault.Path, fault.Text)
		}
		n := codec.Encode(s)
		for part := range strings.SplitSeq(strings.ReplaceAll(want, "[", ".["), ".") {
			if place, ok := strings.CutPrefix(part, "["); ok {
				i, err := strconv.Atoi(strings.TrimSuffix(place, "]"))
				require.NoError(t, err)
				n = n.Item(i)
			} else {
				n = n.At(part)
			}
			require.NotNil(t, n, "%s: %s is no key", want, part)
		}
	}
}
