package sim

import (
	"math"
	"slices"

	"tankodds/sim/internal/check"
	"tankodds/sim/internal/steady"
)

// Costs are the prices that make "where more storage stops paying" a matter
// of money.
type Costs struct {
	Sizes    []float64 `key:"sizes_l" doc:"nominal sizes with a known price, rising, at least two"`
	Prices   []float64 `key:"prices" doc:"of each, installed, in any currency"`
	Water    float64   `key:"water_price_per_m3" doc:"value of water not bought, in the same currency"`
	Life     float64   `key:"life_years" doc:"years that the tank serves"`
	Discount float64   `key:"discount_rate" doc:"a year, 0.05 being 5 %"`
	Currency string    `key:"currency" doc:"a sign to print"`
}

// Check returns the first thing wrong with the costs.
func (c *Costs) Check() error {
	var f check.First
	if f.Need(len(c.Sizes) >= 2 && len(c.Prices) == len(c.Sizes), "prices of at least two tank sizes are needed"); f.Err != nil {
		return f.Err
	}
	for i, x := range c.Sizes {
		f.Need(check.AboveZero(x) && (i == 0 || x > c.Sizes[i-1]), "sizes with a price must be above 0 and rising; number %d is %g L", i+1, x)
		f.Need(check.FromZero(c.Prices[i]), "the price of %g L is %g; it must be 0 or more", x, c.Prices[i])
	}
	f.Need(check.FromZero(c.Water), "a water price of %g is not 0 or more", c.Water)
	f.Need(check.AboveZero(c.Life), "a life of %g years is not above 0", c.Life)
	f.Need(check.FromZero(c.Discount), "a discount rate of %g is not 0 or more", c.Discount)
	return f.Err
}

// Taken where a site states none.
const (
	// DefaultLife of a tank, years: 35 Australian metal tanks, Taylor 2005, CRC
	// for Catchment Hydrology (as quoted elsewhere).
	DefaultLife = 25
	// DefaultDiscount a year: the public rate among those in table 6.1 of
	// Roebuck's thesis on the whole-life cost of roof water.
	DefaultDiscount = 0.035
)

// AnnuityFactor is the present value of 1 a year for life years at a discount
// rate i: (1 − (1+i)^−n)/i, or n where i is 0.
func AnnuityFactor(i, life float64) float64 {
	if i == 0 {
		return life
	}
	return (1 - steady.Round(math.Pow(1+i, -life))) / i
}

// Price returns what a tank of a nominal size costs; NaN where that is not
// known: nothing is read between two prices.
func (c *Costs) Price(nominal float64) float64 {
	if k, ok := slices.BinarySearch(c.Sizes, nominal); ok {
		return c.Prices[k]
	}
	return math.NaN()
}

// worth is what a litre supplied every year is worth over the tank's life.
func (c *Costs) worth() float64 { return c.Water / 1000 * AnnuityFactor(c.Discount, c.Life) }

// Value returns the net present value of a tank that saves supplied litres a
// year: the worth of the water over the tank's life less its price.
func (c *Costs) Value(nominal, supplied float64) float64 {
	return float64(supplied*c.worth()) - c.Price(nominal)
}
