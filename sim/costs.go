package sim

// Costs are the prices that make "where more storage stops paying" a matter
// of money.
type Costs struct {
	Sizes    []float64 // nominal sizes with a known price, L, rising, at least two
	Prices   []float64 // of each, installed, in any currency
	Water    float64   // value of a m³ of water not bought, same currency
	Life     float64   // years the tank serves
	Discount float64   // a year, e.g. 0.05
	Currency string    // a sign to print, "" for none
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
