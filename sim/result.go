package sim

import (
	"fmt"
	"math"
	"slices"
	"time"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
	"tankodds/sim/internal/store"
)

// Interval is an estimate and the bounds that hold it at the study's level.
type Interval struct {
	Estimate float64 `key:"estimate" doc:"the most likely value"`
	Low      float64 `key:"low" doc:"lower bound at the study's level"`
	High     float64 `key:"high" doc:"upper bound at the study's level"`
}

// Measures are the three measures of one tank.
type Measures struct {
	Volumetric Interval `key:"volumetric" doc:"share of the water wanted that is supplied"`
	Time       Interval `key:"time" doc:"share of days that are not short"`
	Annual     Interval `key:"annual" doc:"share of water years with no more short days than allowed"`
}

// Of returns the interval of one measure.
func (s *Measures) Of(m Measure) Interval { return *s.At(m) }

// At is Of, to be written to.
func (s *Measures) At(m Measure) *Interval {
	switch m {
	case Time:
		return &s.Time
	case Volume:
		return &s.Volumetric
	}
	return &s.Annual
}

// Cell is one tank under one roof area.
type Cell struct {
	Area float64 `key:"roof_m2" doc:"total roof area"`
	Tank float64 `key:"tank_l" doc:"nominal size of the tank"`

	// The measures, whose bounds carry the record error where the study asks
	// for it, the Monte Carlo error alone otherwise.
	Measures

	ShortDays  float64  `key:"short_days_per_year" doc:"short days in a mean synthetic year"`
	SpillShare float64  `key:"spill_share" doc:"share of the inflow that spills, 0 where nothing flows in"`
	Supplied   float64  `key:"supplied_l_per_year" doc:"water supplied"`
	Demand     float64  `key:"demand_l_per_year" doc:"water wanted"`
	Inflow     float64  `key:"inflow_l_per_year" doc:"water that the roofs give"`
	Spilled    float64  `key:"spilled_l_per_year" doc:"water that runs over"`
	MonteCarlo Measures `key:"monte_carlo,tree" doc:"the measures of the synthetic years as they are, with the Monte Carlo error alone"`

	said Claim // of the annual reliability
}

// Grade is how far the record carries an answer.
type Grade uint8

const (
	// Shown: the record is long enough to show the target.
	Shown Grade = iota
	// Indicated: a size meets it by what the record tells, which is too short to
	// show it.
	Indicated
	// TooShort: no size is told from less than FewYears.
	TooShort
	// OutOfReach: no size meets it, however large.
	OutOfReach
)

// FewYears is the shortest record, in usable years, that a size is told from.
const FewYears = 5

var gradeNames = []string{"shown", "indicated", "too-short", "out-of-reach"}

// String names the grade by a short fixed word.
func (g Grade) String() string { return gradeNames[g] }

// MarshalText returns the grade's word.
func (g Grade) MarshalText() ([]byte, error) { return []byte(g.String()), nil }

// UnmarshalText reads a grade's word.
func (g *Grade) UnmarshalText(text []byte) error {
	k := slices.Index(gradeNames, string(text))
	if k < 0 {
		return fmt.Errorf("%q is no grade of an answer", text)
	}
	*g = Grade(k)
	return nil
}

// Why says why no size meets a target.
type Why uint8

const (
	// Meets: one does.
	Meets Why = iota
	// YieldTooSmall: the roofs yield less than is wanted, and no tank mends that.
	YieldTooSmall
	// NoneWithinReach: no size meets the target, however large.
	NoneWithinReach
	// TooFewYears: the record is shorter than FewYears.
	TooFewYears
)

var whyNames = []string{"meets", "yield-too-small", "none-within-reach", "too-few-years"}

// String names the reason by a short fixed word.
func (w Why) String() string { return whyNames[w] }

// MarshalText returns the reason's word.
func (w Why) MarshalText() ([]byte, error) { return []byte(w.String()), nil }

// UnmarshalText reads a reason's word.
func (w *Why) UnmarshalText(text []byte) error {
	k := slices.Index(whyNames, string(text))
	if k < 0 {
		return fmt.Errorf("%q is no reason of an answer", text)
	}
	*w = Why(k)
	return nil
}

// Answer is the size that a target needs under one roof area. A size that does
// not exist is NaN.
type Answer struct {
	Grade   Grade   `key:"grade" doc:"shown, indicated (the record is too short to show the target), too-short (for any size) or out-of-reach"`
	Shows   int     `key:"years_to_show" doc:"usable years that would show the target at this site, had none of them a failure"`
	Measure Measure `key:"measure" doc:"what the target is about: annual, time or volume"`
	Target  float64 `key:"target" doc:"the share to be met"`
	Allow   int     `key:"allowed_short_days" doc:"short days a year that still make a good year"`
	Area    float64 `key:"roof_m2" doc:"total roof area"`
	Tank    float64 `key:"tank_l" doc:"the smallest nominal size of three digits in the reader's unit that meets the target"`
	Exact   float64 `key:"exact_l" doc:"the smallest of all nominal sizes that does; for time and volume by a straight line between two of three digits"`
	Low     float64 `key:"low_l" doc:"lower end of its band from the length of the record"`
	High    float64 `key:"high_l" doc:"upper end of its band from the length of the record"`
	Lead    float64 `key:"lead_l" doc:"the size to go by: listed_tank_l of sizes for sale, tank_l where none of them is enough or none is for sale"`
	Safe    float64 `key:"safe_tank_l" doc:"the smallest size whose lower bound meets the target"`
	Listed  float64 `key:"listed_tank_l" doc:"the smallest of the sizes asked about that meets the target"`
	Sure    float64 `key:"listed_safe_l" doc:"the smallest of the sizes asked about whose lower bound meets the target"`
	Cell    Cell    `key:"cell" doc:"the measures at lead_l, or at the largest asked about where there is none"`
	Why     Why     `key:"why" doc:"why no size meets the target, meets where one does"`
	Reached float64 `key:"largest_reaches" doc:"what the largest size reaches, a share like the target"`
}

// Season is what the tank holds through the water year at one size. Each list
// has DaysPerYear values, the first of the water year first.
type Season struct {
	Tank        float64   `key:"tank_l" doc:"nominal size of the tank"`
	Years       int       `key:"years" doc:"synthetic years that this and the mean year are read from"`
	Low         []float64 `key:"low_l" doc:"what it holds at each day's end or less in 5 % of years"`
	Mid         []float64 `key:"median_l" doc:"what it holds at each day's end or less in half of the years"`
	High        []float64 `key:"high_l" doc:"what it holds at each day's end or less in 95 % of years"`
	Driest      []float64 `key:"driest_l" doc:"the same days of the driest real year, none on days beyond the record's ends"`
	DriestLabel int       `key:"driest_year" doc:"calendar year in which that water year began"`

	Uses []UseShare `key:"uses,omitempty" doc:"what each use is given, where they are served one after the other"`
}

// Water is what happens to the water of some days.
type Water struct {
	Inflow   float64 `key:"inflow_l" doc:"water that the roofs give"`
	Demand   float64 `key:"demand_l" doc:"water wanted"`
	Supplied float64 `key:"supplied_l" doc:"water supplied"`
	Spilled  float64 `key:"spill_l" doc:"water that runs over"`
	LetIn    float64 `key:"mains_in_l,omitzero" doc:"mains let into the tank"`
	Fell     float64 `key:"open_rain_l,omitzero" doc:"rain onto open water"`
	Dried    float64 `key:"evaporated_l,omitzero" doc:"water that evaporates from it"`
	Pumped   float64 `key:"pumped_l,omitzero" doc:"water pumped from surge tanks into the tank"`
}

// Lacks is what was wanted and not supplied.
func (w Water) Lacks() float64 { return w.Demand - w.Supplied }

// OfRain is what was supplied but for the mains let into the tank.
func (w Water) OfRain() float64 { return max(0, w.Supplied-w.LetIn) }

// TopUp is what the roofs did not give and something else, or nobody, did.
func (w Water) TopUp() float64 { return w.Demand - w.OfRain() }

// parts are its volumes.
func (w *Water) parts() [8]*float64 {
	return [...]*float64{&w.Inflow, &w.Demand, &w.Supplied, &w.Spilled, &w.LetIn, &w.Fell, &w.Dried, &w.Pumped}
}

func (w *Water) add(o Water) {
	w.Inflow += o.Inflow
	w.Demand += o.Demand
	w.Supplied += o.Supplied
	w.Spilled += o.Spilled
	w.LetIn += o.LetIn
	w.Fell += o.Fell
	w.Dried += o.Dried
	w.Pumped += o.Pumped
}

// over is the same divided by n.
func (w Water) over(n float64) Water {
	for _, x := range w.parts() {
		*x /= n
	}
	return w
}

// whole takes out of sums what rounding put in: they are of whole units.
func (w *Water) whole() {
	for _, x := range w.parts() {
		*x = store.Litres(store.Units(*x))
	}
}

// Outlook is layer three: the short years that the next Horizon years may
// bring at one size, record error and chance together.
type Outlook struct {
	Tank    float64 `key:"tank_l" doc:"nominal size of the tank"`
	Horizon int     `key:"years" doc:"years ahead"`
	Low     float64 `key:"low" doc:"short years among them, lower bound at the study's level"`
	Mid     float64 `key:"median" doc:"short years among them, the median"`
	High    float64 `key:"high" doc:"short years among them, upper bound at the study's level"`
}

// Result is everything that a study found: plain data, which can be written
// and read back.
type Result struct {
	Study *Study `key:"-"` // what was asked

	Usable    int        `key:"usable_years" doc:"usable water years of the record"`
	WaterYear time.Month `key:"water_year_starts" doc:"month in which the water year begins"`
	Filled    int        `key:"filled_days" doc:"days of the usable years that were missing and filled"`

	Generator       string          `key:"generator" doc:"name of the generator of synthetic rain"`
	GeneratorWhat   string          `key:"generator_what" doc:"what it does"`
	GeneratorSource string          `key:"generator_source" doc:"the papers it follows"`
	Params          []gen.Parameter `key:"generator_parameters" doc:"its parameters as fitted"`
	Simulated       int             `key:"years" doc:"synthetic years simulated, those dropped not counted"`

	Main     Answer             `key:"answer" doc:"the size for the site's own roofs"`
	Near     *Near              `key:"neighbours,omitempty" doc:"what records of neighbours lent; left out where none was named"`
	Turned   *Turned            `key:"turned" doc:"what the largest size asked about is enough for; none where it is not asked and a size meets the target"`
	Answers  []Answer           `key:"answers" doc:"the same for each roof area"`
	Cells    []Cell             `key:"cells" doc:"every tank size under every roof area, area by area"`
	Curve    []Cell             `key:"curve" doc:"the site's own roofs at finely stepped sizes over the same range"`
	Stop     Stop               `key:"stop" doc:"where more storage stops paying, for the site's own roofs"`
	Offers   []Offer            `key:"offers" doc:"what each tank with a price costs and brings, for the site's own roofs"`
	Turnover []Turn             `key:"turnover" doc:"how often a year the last litre of a tank is used, for the site's own roofs at rising sizes"`
	Outlook  *Outlook           `key:"outlook" doc:"the years ahead at the size of the answer, or the largest where there is none"`
	Season   *Season            `key:"season" doc:"the tank's year at that size"`
	Months   []Month            `key:"months" doc:"the mean year at that size, from the water year's first month on"`
	Explain  []Influence        `key:"influences" doc:"what each uncertain input is worth to the size, the most first; none where not asked"`
	Ends     []End              `key:"ends" doc:"the answer for the fewest and the most people, none where their number is not said to vary"`
	Filling  []Filling          `key:"filling" doc:"how long the tank takes to fill from empty, by the month in which that begins"`
	Real     []RealYear         `key:"real_years" doc:"the usable years of the record at that size, in order"`
	Peak     *PeakSpill         `key:"peak" doc:"the largest daily spill of the real record at that size"`
	Overflow *Overflow          `key:"overflow" doc:"what leaves a tank of that size, for those who must carry it off"`
	Ways     []Way              `key:"ways,omitempty" doc:"what the real record gives with what belongs to the tank done in other ways"`
	Surges   []SurgeSize        `key:"surge_sizes,omitempty" doc:"the answer with surge tanks of other sizes, none where none is to be compared"`
	Thumbs   []Thumb            `key:"thumbs" doc:"what rules of thumb would have said"`
	Findings []rainfall.Finding `key:"findings" doc:"what must be told of the result"`
}

// Rows returns the cells by area, each row one of Answers.
func (r *Result) Rows() [][]Cell {
	if len(r.Answers) == 0 || len(r.Cells) == 0 {
		return nil
	}
	return slices.Collect(slices.Chunk(r.Cells, len(r.Cells)/len(r.Answers)))
}

// Enough is the nominal size that every real year would have been a good one
// with, L; +Inf where there is none, NaN
// without a year.
func (r *Result) Enough() float64 { return enough(r.Real) }

// enough is the most that a whole year needs.
func enough(years []RealYear) float64 {
	most := math.NaN()
	for _, y := range years {
		if y.Whole && !(y.Needs <= most) {
			most = y.Needs
		}
	}
	return most
}
