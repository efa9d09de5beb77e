package sim

import "fmt"

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
	if len(c.Sizes) < 2 || len(c.Prices) != len(c.Sizes) {
		return fmt.Errorf("prices of at least two tank sizes are needed")
	}
	finite := func(x float64) bool { return x-x == 0 }
	for i, x := range c.Sizes {
		if !(x > 0) || !finite(x) || i > 0 && x <= c.Sizes[i-1] {
			return fmt.Errorf("sizes with a price must be above 0 and rising; number %d is %g L", i+1, x)
		}
		if p := c.Prices[i]; !(p >= 0) || !finite(p) {
			return fmt.Errorf("the price of %g L is %g; it must be 0 or more", x, p)
		}
	}
	switch {
	case !(c.Water >= 0) || !finite(c.Water):
		return fmt.Errorf("a water price of %g is not 0 or more", c.Water)
	case !(c.Life > 0) || !finite(c.Life):
		return fmt.Errorf("a life of %g years is not above 0", c.Life)
	case !(c.Discount >= 0) || !finite(c.Discount):
		return fmt.Errorf("a discount rate of %g is not 0 or more", c.Discount)
	}
	return nil
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
