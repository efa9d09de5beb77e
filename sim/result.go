package sim

import (
	"math"
	"slices"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
)

// Interval is an estimate and the bounds that hold it at the study's level.
type Interval struct{ Estimate, Low, High float64 }

// Cell is one tank under one roof area.
type Cell struct {
	Area float64 // total roof area, m²
	Tank float64 // nominal tank size, L

	// The measures. Low and High carry the record error where the study asks
	// for it, the Monte Carlo error alone otherwise.
	Volumetric, Time, Annual Interval
	// MonteCarlo is the same three with the Monte Carlo error alone, in the
	// order of Measure.
	MonteCarlo [3]Interval

	ShortDays  float64 // a year
	SpillShare float64 // ΣO/ΣQ; 0 where nothing flowed in
	Supplied   float64 // L a year
	Demand     float64 // L a year
	Inflow     float64 // L a year
	Spilled    float64 // L a year

	said Claim // of the annual reliability
}

// Of returns the cell's interval for a measure.
func (c *Cell) Of(m Measure) Interval {
	switch m {
	case Time:
		return c.Time
	case Volume:
		return c.Volumetric
	}
	return c.Annual
}

// Answer is the size that a target needs under one roof area. Sizes are
// nominal, L. A size that does not exist is NaN.
type Answer struct {
	Area      float64
	Tank      float64 // the smallest size that meets the target, to 0.2 %
	Low, High float64 // its band from the length of the record
	Safe      float64 // the smallest size whose lower bound meets the target
	Listed    float64 // the smallest of Study.Sizes that meets the target
	Beyond    float64 // a size beyond the range that would meet it, where none within does
	Cell      Cell    // the measures at Tank, or at the largest size where Tank is NaN
	Reason    string  // one plain sentence: why this size, or why none
}

// The methods of a Stop.
const (
	ByValue = "net present value"
	ByKnee  = "knee"
	ByGain  = "gain"
)

// Stop is the size where more storage stops paying, by one method.
type Stop struct {
	Method    string  // ByValue, ByKnee or ByGain
	Tank      float64 // nominal, L; NaN where the method finds none
	Low, High float64 // its band from the length of the record
	Detail    string  // what the method does, with its numbers and source
}

// Season is what the tank holds through the water year at one size.
type Season struct {
	Tank           float64   // nominal, L
	Low, Mid, High []float64 // 5 %, 50 % and 95 % of storage at each day's end, L; DaysPerYear each
	Driest         []float64 // the same days of the driest real year, L; NaN on days beyond the record's ends
	DriestLabel    int       // the calendar year in which that water year began
}

// RealYear is one usable water year of the record, run through a tank as part
// of the whole record.
type RealYear struct {
	Label      int     // the calendar year in which it begins
	Rain       float64 // mm
	Supplied   float64 // L
	Demand     float64 // L
	Spilled    float64 // L
	ShortDays  int
	LongestDry int        // its longest run of short days
	Short      []ShortDay // its short days, in order
	Needs      float64    // the smallest nominal size that would have made it a good year, see ReplayYear.Needs
}

// Outlook is layer three: the short years that the next Horizon years may
// bring at one size, record error and chance together.
type Outlook struct {
	Tank           float64 // nominal, L
	Horizon        int     // years
	Low, Mid, High float64 // short years at the study's level, and the median
}

// Result is everything that a study found.
type Result struct {
	Study     *Study
	Years     *rainfall.Years
	Generator gen.Generator
	Simulated int             // synthetic years simulated, those dropped not counted
	Params    []gen.Parameter // of the fitted generator

	Cells    [][]Cell   // [area][size] as in Study.Areas and Study.Sizes
	Answers  []Answer   // one an area
	Main     Answer     // for the site's own roofs
	Curve    []Cell     // for the site's own roofs, at finely stepped sizes over the range of Study.Sizes
	Stops    []Stop     // for the site's own roofs, the preferred method first
	Season   *Season    // at the main answer, or the largest size where there is none
	Months   []Month    // the mean year at the same size, from the water year's first month on
	Real     []RealYear // at the same size, in order
	Peak     *PeakSpill // the largest daily spill of the real record at the same size; nil for none
	Outlook  *Outlook   // at the same size
	Thumbs   []Thumb    // what rules of thumb would have said, for the site's own roofs
	Warnings []rainfall.Warning
}

// Enough is the nominal size that every real year would have been a good one
// with, L; +Inf where there is none within the reach of ReplayYear.Needs, NaN
// without a year.
func (r *Result) Enough() float64 {
	needs := make([]float64, len(r.Real))
	for i, y := range r.Real {
		needs[i] = y.Needs
	}
	return largest(needs)
}

// Enough is Result.Enough of the whole years of a replay.
func (r *ReplayResult) Enough() float64 {
	var needs []float64
	for _, y := range r.Years {
		if y.Whole {
			needs = append(needs, y.Needs)
		}
	}
	return largest(needs)
}

func largest(x []float64) float64 {
	if len(x) == 0 {
		return math.NaN()
	}
	return slices.Max(x)
}
