package words

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"tankodds/report/units"
	"tankodds/sim"
)

// What is worth most among the sizes with a price is said as it is: the only one,
// the smallest, the largest, one between, or one that does not pay.
func TestWorthMost(t *testing.T) {
	s := &sim.Study{Costs: &sim.Costs{Sizes: []float64{1000, 5000, 9000}, Prices: []float64{100, 200, 300}, Water: 4, Life: 20, Discount: 0.03}}
	one := &sim.Study{Costs: &sim.Costs{Sizes: []float64{5000}, Prices: []float64{200}, Water: 4, Life: 20, Discount: 0.03}}
	nan := math.NaN()
	for _, c := range []struct {
		s    *sim.Study
		stop sim.Stop
		want string
	}{
		{one, sim.Stop{Tank: 5000, Supplied: 20_000, Low: nan, High: nan}, "5,000 L: over 20 years at 3 % a year, the water saves 990 more than the tank costs in all. It is the only size with a price."},
		{one, sim.Stop{Tank: 5000, Supplied: 100, Low: nan, High: nan}, "no size with a price pays for itself. 5,000 L loses least: over 20 years at 3 % a year, the water saves 194 less than the tank costs."},
		{s, sim.Stop{Tank: 1000, Supplied: 20_000, Low: nan, High: nan}, "It is the smallest with a price; a smaller one might be worth more."},
		{s, sim.Stop{Tank: 9000, Supplied: 20_000, Low: 5000, High: 9000}, "The record leaves open whether it is 5,000 or 9,000 L. It is the largest with a price; a larger one might be worth more."},
		{s, sim.Stop{Tank: 5000, Supplied: 20_000, Low: nan, High: nan}, "of the sizes with a price, 5,000 L is worth most: over 20 years at 3 % a year, the water saves 990 more than the tank costs in all. Beyond it you buy safety."},
	} {
		assert.Contains(t, worthMost(units.SI, c.s, sim.Answer{Tank: 3000}, c.stop), c.want)
	}
	assert.NotContains(t, worthMost(units.SI, s, sim.Answer{Tank: nan}, sim.Stop{Tank: 5000, Supplied: 20_000, Low: nan, High: nan}), "Beyond it")
}
