package sim

import "time"

// The rules by which tanks were sized before daily simulation. They are here
// to be shown beside the simulated size, not to replace it: they know nothing
// of how rain is spread over the year, and differ among themselves by a
// factor of three.

// AnnualYield returns the litres that the roofs collect in a year of rain mm,
// of which loss mm wet the roof and dry off again:
//
//	Σ A·e·C·max(0, rain − loss)
//
// The form is that of enHealth, Guidance on use of rainwater tanks (2011),
// App. B, which takes 24 mm a year (2 mm a month) for loss and has no filter
// share; handbooks that have no loss take 0. First flush and the roof's own
// wetting loss, both daily, do not enter.
func AnnualYield(roofs []Roof, rain, loss float64) float64 {
	sum := 0.0
	for _, r := range roofs {
		sum += float64(r.Area * float64(r.Filter*float64(r.Runoff*max(0, rain-loss))))
	}
	return sum
}

// The shares of a year's yield or demand, whichever is less, that a store holds
// by two rules: 18.25 days of it (the intermediate approach of BS 8515, as used
// in the Toronto STEP low-impact-development guide), and about 22 days (DIN
// 1989-1 as quoted in practice).
const (
	FivePercent = 0.05
	SixPercent  = 0.06
)

// DrySeason returns the store that carries the uses (L a month, January
// first) through a dry season of months months from month first on, with no
// rain at all, L: common practice, no source.
func DrySeason(use [12]float64, first time.Month, months int) float64 {
	sum := 0.0
	for k := range months {
		sum += use[(int(first)-1+k)%12]
	}
	return sum
}
