package sim

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"tankodds/rainfall/gen"
	"tankodds/sim/internal/check"
	"tankodds/sim/internal/store"
)

// Measure is what a target is about.
type Measure uint8

const (
	// Annual is the share of water years with no more short days than
	// allowed (none, unless Study.Allow says).
	Annual Measure = iota
	// Time is the share of days that are not short.
	Time
	// Volume is water supplied over water wanted.
	Volume
)

// String returns "annual", "time" or "volume".
func (m Measure) String() string { return [...]string{"annual", "time", "volume"}[m] }

// MarshalText returns what String does.
func (m Measure) MarshalText() ([]byte, error) { return []byte(m.String()), nil }

// UnmarshalText reads what ParseMeasure does.
func (m *Measure) UnmarshalText(text []byte) (err error) {
	*m, err = ParseMeasure(string(text))
	return err
}

// ParseMeasure reads "annual", "time" or "volume".
func ParseMeasure(s string) (Measure, error) {
	for m := Annual; m <= Volume; m++ {
		if m.String() == s {
			return m, nil
		}
	}
	return 0, fmt.Errorf("measure %q is none of annual, time, volume", s)
}

// Mains is what gives the water that the tank lacks.
type Mains uint8

const (
	NotSaid  Mains = iota
	Direct         // mains, to the use
	None           // nothing: the tank is the sole source
	IntoTank       // mains, let into the tank: see TopUp
)

var mainsNames = []string{"not-said", "direct", "none", "tank"}

// String names it by a short fixed word.
func (m Mains) String() string { return mainsNames[m] }

// MarshalText returns the word.
func (m Mains) MarshalText() ([]byte, error) { return []byte(m.String()), nil }

// UnmarshalText reads the word.
func (m *Mains) UnmarshalText(text []byte) error {
	k := slices.Index(mainsNames, string(text))
	if k < 0 {
		return fmt.Errorf("%q is none of %s", text, strings.Join(mainsNames, ", "))
	}
	*m = Mains(k)
	return nil
}

// Study is one question: which tank, under which roof, for which uses, how
// sure.
type Study struct {
	Roofs []Roof    `key:"roofs" doc:"the site's catchments"`
	Areas []float64 `key:"roof_areas_m2" doc:"total roof areas of the grid, to each of which the roofs are scaled"`
	Uses  []Use     `key:"uses" doc:"what draws on the tank"`
	Sizes []float64 `key:"tank_sizes_l" doc:"nominal tank sizes of the grid, rising"`
	// ForSale makes the answer lead with one of Sizes.
	ForSale  bool     `key:"sizes_for_sale" doc:"whether the sizes were listed by hand or have prices: the answer is one of them where one is enough"`
	Unit     float64  `key:"size_unit_l" doc:"the reader's unit of volume: a size that is found has three digits of it"`
	AreaUnit float64  `key:"roof_unit_m2" doc:"the reader's unit of area: a roof that is found has three digits of it; 0 is a square metre"`
	Dead     float64  `key:"dead_share" doc:"dead storage, a share of the nominal size"`
	Under    Under    `key:"under" doc:"what lies under the outlet of all uses besides that share"`
	Start    *float64 `key:"start_l" doc:"storage on the first morning of the record, and of each trace; none where the tank first goes through the record's first years unseen"`
	Rule     Rule     `key:"rule" doc:"yas or ybs: yield after or before spillage"`
	Fitted   Fittings `key:"fitted,omitzero" doc:"what belongs to the tank beside its size"`
	Air      Air      `key:"air,omitzero" doc:"evaporation"`
	Joined   []Part   `key:"joined,omitempty" doc:"tanks that make up the one asked about, none where it is one by itself"`
	Begins   int      `key:"installed_month,omitzero" doc:"month on whose first day the tank is installed, 0 where not said"`
	Detain   float64  `key:"detain_l" doc:"volume above the store that a slow outlet empties by the next morning"`

	Mains   Mains   `key:"mains" doc:"what gives the water that the tank lacks: direct (mains to the use), tank (mains let into the tank), none (nothing), or not said"`
	Measure Measure `key:"measure" doc:"what the target is about: annual, time or volume"`
	Target  float64 `key:"target" doc:"the share to be met"`
	Sought  Sought  `key:"solve" doc:"what is asked for: tank, the smallest; use, the largest of a tank, or roof, the smallest for it"`
	Allow   int     `key:"allowed_short_days" doc:"short days a year that still make a good year"`

	Years       int     `key:"years" doc:"synthetic years asked for, beside the run-in of each trace"`
	Seed        uint64  `key:"seed" doc:"of every random source"`
	RecordError bool    `key:"record_error" doc:"whether the error from the length of the record is weighed"`
	Horizon     int     `key:"horizon_years" doc:"years ahead that the outlook looks"`
	Level       float64 `key:"level" doc:"of every interval"`

	Stress gen.Stress `key:"stress" doc:"of the synthetic rain"`
	Costs  *Costs     `key:"costs" doc:"prices, none where not known"`

	Explain bool `key:"explain" doc:"whether it is told what each uncertain input is worth"`

	Workers  int                   `key:"-"` // goroutines, 0 for all cores
	Progress func(done, total int) `key:"-"` // called from one goroutine; may be nil
}

// Defaults of a Study.
const (
	DefaultTarget  = 0.9
	DefaultSeed    = 1
	DefaultYears   = 100000
	DefaultHorizon = 30
	DefaultLevel   = 0.9
)

// Defaults returns a study with everything as it is where nothing is said, but
// for what must be said: the roofs, the uses, and with them areas and sizes.
func Defaults() *Study {
	return &Study{
		Target: DefaultTarget, Years: DefaultYears, Seed: DefaultSeed,
		RecordError: true, Horizon: DefaultHorizon,
		Level: DefaultLevel, Unit: 1, AreaUnit: 1,
	}
}

// NewStudy returns the study of a site with all else as in Defaults: which tank,
// of these nominal sizes (L, rising; PreferredSizes of the mean demand where
// none is given), gives its uses a year without a short day in nine of ten. It
// fails with the first thing wrong with the roofs, the uses or the sizes.
func NewStudy(roofs []Roof, uses []Use, sizes ...float64) (*Study, error) {
	s := Defaults()
	s.Roofs, s.Areas, s.Uses, s.Sizes = roofs, []float64{TotalArea(roofs)}, uses, sizes
	if len(sizes) == 0 {
		s.Sizes = PreferredSizes(MeanDemand(uses), 1)
	}
	return s, s.Check()
}

// PreferredSizes lists the preferred numbers of the basic series R10 (ISO 3,
// from memory, unverified), in units of so many litres, from about 2 to about
// 400 days of mean use (L a day): at least 23 sizes, L.
func PreferredSizes(perDay, unit float64) []float64 {
	series := [...]float64{100, 125, 160, 200, 250, 315, 400, 500, 630, 800} // hundredths
	var sizes []float64
	for decade := -8; decade <= 10; decade++ {
		for _, r := range series {
			size := r * math.Pow10(decade) * unit
			if size <= 2*perDay {
				sizes = sizes[:0] // of those below only the last is kept
			}
			if sizes = append(sizes, size); size >= 400*perDay {
				return sizes
			}
		}
	}
	return sizes
}

// TraceYears is the length of one synthetic trace, and RunIn how many years
// before them are run and dropped, so that the storage a tank begins with does
// not count: where little more flows in than is used a large tank takes years
// to fill.
const (
	TraceYears = 50
	RunIn      = 5
)

// What a study may hold. A site has a handful of roofs and uses; what so many
// areas and sizes do takes 300 MB.
const (
	MostRoofs = 100
	MostUses  = 100
	MostAreas = 500
	MostCells = 20_000 // tank sizes times roof areas
)

// Check returns the first thing wrong with the study.
func (s *Study) Check() error {
	var f check.First
	cells := float64(len(s.Sizes)) * float64(len(s.Areas))
	f.Of("roofs")
	f.Need(len(s.Roofs) > 0, "no roof")
	f.Need(len(s.Roofs) <= MostRoofs, "%d roofs; %d are the most", len(s.Roofs), MostRoofs)
	f.Of("uses")
	f.Need(len(s.Uses) <= MostUses, "%d uses of water; %d are the most", len(s.Uses), MostUses)
	f.Of("roof_areas_m2")
	f.Need(len(s.Areas) <= MostAreas, "%d roof areas; %d are the most", len(s.Areas), MostAreas)
	f.Of("tank_sizes_l")
	f.Need(cells <= MostCells, "%d tank sizes under %d roof areas are %.0f tanks; %d are the most", len(s.Sizes), len(s.Areas), cells, MostCells)
	f.Of("")
	if f.Also(checkSite(s.Roofs, s.Uses)); f.Err != nil {
		return f.Err
	}
	f.Of("uses")
	f.Need(MeanDemand(s.Uses) > 0, "the uses want no water")
	f.Of("stress")
	f.Also(s.Stress.Check())
	f.Of("tank_sizes_l")
	f.Need(cells > 0, "no tank size or no roof area to simulate")
	for i, x := range s.Sizes {
		f.Of("tank_sizes_l[%d]", i)
		f.Need(check.AboveZero(x) && (i == 0 || x > s.Sizes[i-1]), "tank sizes must be above 0 and rising; number %d is %g L", i+1, x)
		f.Need(x < MostTank, tankTooLarge, x)
	}
	f.Of("size_unit_l")
	f.Need(check.AboveZero(s.Unit), "a unit of volume of %g L is not above 0", s.Unit)
	f.Of("roof_unit_m2")
	f.Need(check.FromZero(s.AreaUnit), "a unit of area of %g m² is below 0", s.AreaUnit)
	f.Of("solve")
	f.Need(s.Sought <= ForRoof, "what number %d asks for is not known", s.Sought)
	for i, a := range s.Areas {
		f.Of("roof_areas_m2[%d]", i)
		f.Need(check.AboveZero(a), "roof area %g m² is not above 0", a)
	}
	f.Of("dead_share")
	f.Need(s.Dead == 0 || check.Between(s.Dead), "dead storage %g is not a share from 0 to below 1", s.Dead)
	f.Of("under")
	f.Also(s.Under.Check())
	f.Need(s.Dead+s.Under.Share < 1, "dead storage and reserve are %g of the tank", s.Dead+s.Under.Share)
	for i, x := range s.Sizes {
		f.Of("tank_sizes_l[%d]", i)
		f.Need(s.Usable(x) > 0, "a tank of %g L holds no more than dead storage and reserve", x)
	}
	f.Of("detain_l")
	f.Also(s.checkDetain())
	f.Of("fitted")
	f.Also(s.Fitted.Check())
	for i, p := range s.Joined {
		f.Of("joined[%d]", i)
		f.Also(p.Check())
	}
	f.Of("installed_month")
	f.Need(s.Begins >= 0 && s.Begins <= 12, "%d is no month", s.Begins)
	f.Of("fitted.of")
	f.Need(s.Fitted.Of == "" || s.works().of() >= 0, "the measures are about %q, which is no use", s.Fitted.Of)
	f.Of("air")
	f.Also(s.Air.Check())
	f.Need(s.Fitted.Open == 0 || s.Air.Known(), "open water, but no evaporation")
	f.Need(!s.Beds() || s.Air.Known(), "a bed, but no evaporation")
	f.Of("target")
	f.Need(check.Between(s.Target), "target %g is not between 0 and 1", s.Target)
	f.Of("start_l")
	f.Need(check.FromZero(s.startsWith()), "starting storage %g L is below 0", s.startsWith())
	f.Of("years")
	f.Need(s.Years >= TraceYears, "%d years; %d are the fewest", s.Years, TraceYears)
	f.Of("allowed_short_days")
	f.Need(s.Allow >= 0, "%d allowed short days; 0 are the fewest", s.Allow)
	f.Of("horizon_years")
	f.Need(s.Horizon >= 1, "a horizon of %d years; 1 is the shortest", s.Horizon)
	f.Of("level")
	f.Need(check.Between(s.Level), "level %g of the intervals is not between 0 and 1", s.Level)
	f.Of("measure")
	f.Need(s.Measure <= Volume, "measure number %d is not known", s.Measure)
	f.Of("horizon_years")
	f.Need(s.Horizon <= TraceYears, "a horizon of %d years is longer than a trace (%d)", s.Horizon, TraceYears)
	if s.Costs != nil {
		f.Of("costs")
		f.Also(s.Costs.Check())
	}
	return f.Err
}

// Fault is what a Check found wrong, and with which field.
type Fault = check.Fault

const tankTooLarge = "a tank of %g L; 11 million m³ is the most" // store.Most

// What can be reckoned with: LeastDemand is the least mean demand, L a day, as
// rounding it to units of 10 mL changes it by half a per cent at most; MostDemand,
// L a day, and MostTank, L, bound what is added up.
const (
	VolumeUnit  = 1.0 / store.PerLitre // of every volume, L
	LeastDemand = 1.0
	MostTank    = store.Most / store.PerLitre
	MostDemand  = MostTank / 100
)

// checkSite returns the first thing wrong with the roofs and the uses.
func checkSite(roofs []Roof, uses []Use) error {
	var f check.First
	for i, r := range roofs {
		f.Of("roofs[%d]", i)
		f.Also(r.Check())
	}
	for i, u := range uses {
		f.Of("uses[%d]", i)
		f.Also(u.Check())
	}
	if f.Err == nil && len(uses) > 0 {
		d := MeanDemand(uses)
		f.Of("uses")
		f.Need(d == 0 || d >= LeastDemand, "the uses want %.2g L a day; %g L is the least, as volumes are whole units of 10 mL", d, LeastDemand)
		f.Need(d < MostDemand, "the uses want %.2g L a day; 110,000 m³ is the most", d)
	}
	return f.Err
}

// works is the site under one tank, whatever its size.
func (s *Study) works() *works { return &works{s.Rule, s.Roofs, s.Uses, s.Fitted} }

// Slow says whether the site can only be looked at tank by tank.
func (s *Study) Slow() bool { return s.works().slow() }

// startsWith is what a tank holds at the start of a trace, L: nothing where it
// is not said.
func (s *Study) startsWith() float64 {
	if s.Start == nil {
		return 0
	}
	return *s.Start
}

// Tank is a tank of a nominal size as the study runs the real record through it:
// after a run-in, unless the study says what it begins with.
func (s *Study) Tank(nominal float64) Tank {
	out := Tank{Nominal: nominal, Dead: s.Dead, Under: s.Under, Start: s.startsWith(), Rule: s.Rule, Allow: s.Allow, Fittings: s.Fitted, Air: s.Air}
	if s.Start == nil {
		out.RunIn = RunIn
	}
	return out
}

// Usable returns the usable size of a nominal one, L.
func (s *Study) Usable(nominal float64) float64 { return s.Under.usable(nominal, s.Dead) }

// Nominal returns the nominal size of a usable one, L.
func (s *Study) Nominal(usable float64) float64 { return s.Under.nominal(usable, s.Dead) }

// Under is what lies under the outlet of all uses, whatever the size of the tank.
type Under struct {
	Dead    float64 `key:"dead_l" doc:"dead storage as a volume"`
	Reserve float64 `key:"reserve_l" doc:"kept for emergencies such as fire"`
	Share   float64 `key:"reserve_share,omitzero" doc:"the same as a share of the nominal size"`
}

// Check returns the first thing wrong with it.
func (u Under) Check() error {
	var f check.First
	f.Of("dead_l")
	f.Need(check.FromZero(u.Dead), "dead storage of %g L is not 0 or more", u.Dead)
	f.Of("reserve_l")
	f.Need(check.FromZero(u.Reserve), "a reserve of %g L is not 0 or more", u.Reserve)
	f.Of("reserve_share")
	f.Need(u.Share == 0 || check.Between(u.Share), "a reserve of %g is not a share from 0 to below 1", u.Share)
	return f.Err
}

// Kept is the reserve in a tank of a nominal size, L.
func (u Under) Kept(nominal float64) float64 { return u.Reserve + float64(u.Share*nominal) }

// usable is what uses can draw of a nominal size, L, of which besides a share is
// dead.
func (u Under) usable(nominal, dead float64) float64 {
	return max(0, float64(nominal*(1-dead-u.Share))-u.Dead-u.Reserve)
}

// nominal is the size of which so much can be drawn.
func (u Under) nominal(usable, dead float64) float64 {
	return (float64(usable) + u.Dead + u.Reserve) / (1 - dead - u.Share)
}

// Rule says in which order a day's draw and its spill happen.
type Rule = store.Rule

// The rules of a day.
const (
	YAS = store.YAS // yield after spillage: the careful one, and the default
	YBS = store.YBS // yield before spillage
)
