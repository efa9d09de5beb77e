package sim

import (
	"fmt"
	"math"
	"slices"

	"tankodds/sim/internal/check"
)

// Costs are what tanks for sale cost and what the water they save is worth. Every
// amount is in one currency.
type Costs struct {
	Sizes    []float64 `key:"sizes_l" doc:"nominal sizes for sale, rising"`
	Prices   []float64 `key:"prices" doc:"of each, installed"`
	Water    float64   `key:"water_price_per_m3" doc:"value of water not bought"`
	Sewer    float64   `key:"sewer_price_per_m3" doc:"charge for the sewer saved with it"`
	Life     float64   `key:"life_years" doc:"years that the tank serves"`
	Discount float64   `key:"discount_rate" doc:"a year, 0.05 being 5 %"`
	Rise     float64   `key:"price_rise" doc:"of water and sewer, a year, 0.03 being 3 %"`
	Rates    Rates     `key:"rates" doc:"whether discount and rise are real, beyond inflation, or nominal, with it"`
	Upkeep   float64   `key:"upkeep_per_year" doc:"cleaning, repairs"`
	Pump     float64   `key:"pump_price" doc:"of each pump that replaces one"`
	PumpLife float64   `key:"pump_life_years" doc:"years after which a pump is replaced"`
	Energy   float64   `key:"energy_kwh_per_m3" doc:"that pumping takes"`
	Power    float64   `key:"power_price_per_kwh" doc:"of it"`
	Currency string    `key:"currency" doc:"a sign to print"`
}

// Rates are real or nominal. One of each would flatter, or wrong, a tank.
type Rates uint8

const (
	Real    Rates = iota // beyond inflation
	Nominal              // with inflation
)

var rateNames = []string{"real", "nominal"}

// String returns "real" or "nominal".
func (r Rates) String() string { return rateNames[r] }

// MarshalText returns what String does.
func (r Rates) MarshalText() ([]byte, error) { return []byte(r.String()), nil }

// UnmarshalText reads what String returns.
func (r *Rates) UnmarshalText(text []byte) error {
	k := slices.Index(rateNames, string(text))
	if k < 0 {
		return fmt.Errorf("rates %q are neither real nor nominal", text)
	}
	*r = Rates(k)
	return nil
}

// Check returns the first thing wrong with the costs.
func (c *Costs) Check() error {
	var f check.First
	if f.Need(len(c.Sizes) >= 1 && len(c.Prices) == len(c.Sizes), "a price of each size for sale is needed"); f.Err != nil {
		return f.Err
	}
	for i, x := range c.Sizes {
		f.Of("sizes_l[%d]", i)
		f.Need(check.AboveZero(x) && (i == 0 || x > c.Sizes[i-1]), "sizes with a price must be above 0 and rising; number %d is %g L", i+1, x)
		f.Of("prices[%d]", i)
		f.Need(check.FromZero(c.Prices[i]), "the price of %g L is %g; it must be 0 or more", x, c.Prices[i])
	}
	f.Of("water_price_per_m3")
	f.Need(check.FromZero(c.Water), "a water price of %g is not 0 or more", c.Water)
	f.Of("life_years")
	f.Need(check.AboveZero(c.Life), "a life of %g years is not above 0", c.Life)
	f.Need(c.Life <= mostLife, "a life of %g years; %d are the most", c.Life, mostLife)
	f.Of("discount_rate")
	f.Need(check.FromZero(c.Discount), "a discount rate of %g is not 0 or more", c.Discount)
	f.Of("price_rise")
	f.Need(c.Rise > -1 && c.Rise <= 1, "water prices that rise by %g a year are not from -1 to 1", c.Rise)
	for _, x := range []struct {
		is        float64
		key, what string
	}{
		{c.Sewer, "sewer_price_per_m3", "a sewer price"}, {c.Upkeep, "upkeep_per_year", "upkeep"}, {c.Pump, "pump_price", "the price of a pump"},
		{c.PumpLife, "pump_life_years", "a pump's life"}, {c.Energy, "energy_kwh_per_m3", "energy"}, {c.Power, "power_price_per_kwh", "a price of power"},
	} {
		f.Of("%s", x.key)
		f.Need(check.FromZero(x.is), "%s of %g is not 0 or more", x.what, x.is)
	}
	f.Of("pump_life_years")
	f.Need(c.Pump == 0 || c.PumpLife > 0, "a pump has a price and no life")
	return f.Err
}

// Taken where a site states none.
const (
	// DefaultLife of a tank, years: metal tanks, Melbourne Water 2003, as quoted
	// elsewhere; 10 to 100 by material.
	DefaultLife = 25
	// DefaultDiscount a year: the rate of time preference of the Green Book of HM
	// Treasury, from memory, unverified. It is real, beyond inflation.
	DefaultDiscount = 0.035
)

// Price returns what a tank of a nominal size costs; NaN where that is not
// known: nothing is read between two prices.
func (c *Costs) Price(nominal float64) float64 {
	if k, ok := slices.BinarySearch(c.Sizes, nominal); ok {
		return c.Prices[k]
	}
	return math.NaN()
}

// mostLife bounds what is added up year by year.
const mostLife = 200

// years lists what a tank that saves so many litres brings in each year of its
// life, prices as they then are, less what it takes to run: upkeep, power, and a
// pump where one is due before the last year's end.
func (c *Costs) years(supplied float64) []float64 {
	m3 := supplied / 1000
	out := make([]float64, int(math.Round(c.Life)))
	price, due := c.Water+c.Sewer, c.PumpLife
	for y := range out {
		out[y] = float64(price*m3) - c.Upkeep - float64(c.Power*c.Energy*m3)
		price = float64(price * (1 + c.Rise))
		for c.Pump > 0 && due <= float64(y+1) && due < c.Life {
			out[y] -= c.Pump
			due += c.PumpLife
		}
	}
	return out
}

// present is the value today of an amount at the end of each year from the first
// on.
func present(amounts []float64, discount float64) float64 {
	sum := 0.0
	for k := len(amounts) - 1; k >= 0; k-- {
		sum = (sum + amounts[k]) / (1 + discount)
	}
	return sum
}

// Value returns the net present value of a tank that saves supplied litres a
// year; NaN of a size without a price.
//
//	NPV = −K₀ + Σ_{y=1..n} [p(1+g)^(y−1)·W − M − e·q·W − K_y](1+i)^−y
//
// W is the water saved, p the price of water and sewer, g its rise, M upkeep, e
// the price of power, q the energy a volume, K_y a pump where one is due.
func (c *Costs) Value(nominal, supplied float64) float64 {
	return present(c.years(supplied), c.Discount) - c.Price(nominal)
}

// Levelised returns what a m³ of the water saved costs over the tank's life:
// the present value of all costs over that of the water.
func (c *Costs) Levelised(nominal, supplied float64) float64 {
	return c.total(nominal, supplied) / c.water(supplied)
}

// total is the present value of all that a tank costs.
func (c *Costs) total(nominal, supplied float64) float64 {
	free := *c
	free.Water, free.Sewer = 0, 0
	return -free.Value(nominal, supplied)
}

// water is the present value of so many litres a year, m³.
func (c *Costs) water(supplied float64) float64 {
	years := make([]float64, int(math.Round(c.Life)))
	for y := range years {
		years[y] = supplied / 1000
	}
	return present(years, c.Discount)
}

// Payback returns the years after which a tank has paid for itself, discounted;
// NaN where that never comes within its life.
func (c *Costs) Payback(nominal, supplied float64) float64 {
	return Payback(c.Price(nominal), c.years(supplied), c.Discount)
}

// Payback returns the years after which what comes in at the end of each,
// discounted, has paid a price: by a straight line within the year, and for good;
// NaN where it never does.
func Payback(price float64, in []float64, discount float64) float64 {
	have, factor, at := -price, 1.0, math.NaN()
	if have >= 0 {
		at = 0
	}
	for y, x := range in {
		factor /= 1 + discount
		x = float64(x * factor)
		switch {
		case have < 0 && have+x >= 0:
			at = float64(y) - have/x
		case have >= 0 && have+x < 0:
			at = math.NaN()
		}
		have += x
	}
	return at
}
