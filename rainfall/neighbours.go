package rainfall

// Lending is what records of other gauges near by lend to a short one. Package near
// finds it.
type Lending struct {
	Gain float64     `key:"worth_factor" doc:"how many own years a year of the record is worth to the share of good years with what was borrowed; 1 where nothing was"`
	H    float64     `key:"heterogeneity" doc:"H of Hosking & Wallis of the own record and the neighbours left, 0 where none was"`
	From []Neighbour `key:"records" doc:"the records of neighbours, in the order they were named"`

	Years *Years `key:"-"` // the own ones followed by those borrowed; nil where nothing was
}

// Lent says whether anything was borrowed.
func (b *Lending) Lent() bool { return b != nil && b.Years != nil }

// Neighbour is one of these records and what was found when it was laid beside the
// own one. NaN where the common years are too few to tell.
type Neighbour struct {
	File    string  `key:"file" doc:"the name it was read under"`
	SHA256  string  `key:"sha256" doc:"of the file's bytes"`
	Name    string  `key:"name" doc:"its place, station or file"`
	Usable  int     `key:"usable_years" doc:"its usable water years"`
	Common  int     `key:"common_years" doc:"usable water years that both records have"`
	Years   float64 `key:"year_correlation" doc:"of their totals in the common years, leant on that of the months where these are few"`
	Months  float64 `key:"month_correlation" doc:"of their monthly totals in the common years, less each calendar month's mean"`
	Shifted float64 `key:"other_months_share" doc:"share of a year's rain that falls in other months"`
	Wet     float64 `key:"wet_day_ratio" doc:"its wet days a year over those of the own record, its rain scaled"`
	Spread  float64 `key:"spread_t" doc:"t of the Pitman–Morgan test that years differ by as much at both, above 0 where they do more in the own record"`
	CV      float64 `key:"l_cv" doc:"L-CV of its totals of years"`
	D       float64 `key:"discordancy,omitzero" doc:"D of Hosking & Wallis, where there are five records or more"`
	Factor  float64 `key:"factor" doc:"by which its rain is multiplied, none where it lent nothing"`
	Why     Unfit   `key:"left_out" doc:"why it lent nothing: few_common, months, season, wet_days, spread, discordant, heterogeneous or little; empty where it did"`
}

// Unfit says why a neighbour lends nothing.
type Unfit string

// The reasons for it, in the order in which they are looked at.
const (
	FewCommonYears  Unfit = "few_common"    // fewer than near.LeastCommon
	OtherMonths     Unfit = "months"        // go together by less than LeastAlike
	OtherSeason     Unfit = "season"        // its rain falls in other months
	OtherWetDays    Unfit = "wet_days"      // it rains on more or fewer days
	OtherSpread     Unfit = "spread"        // its years differ more or less
	Discordant      Unfit = "discordant"    // among five records or more
	Heterogeneous   Unfit = "heterogeneous" // the region is with it
	TooLittleToLend Unfit = "little"        // it fits, but all together tell too little
)
