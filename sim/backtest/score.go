package backtest

import (
	"maps"
	"math"
	"slices"

	"tankodds/sim"
)

// Score sums up the cases of one generator, measure and kind of tank.
type Score struct {
	Generator string      `key:"generator" doc:"name of the generator"`
	Measure   sim.Measure `key:"measure" doc:"what was claimed: annual, time or volume"`
	Tanks     string      `key:"tanks" doc:"target: sized for a target; given: the same for every generator"`
	Target    float64     `key:"target" doc:"share to be met, none for all targets together and given tanks"`
	Cases     int         `key:"cases" doc:"claims made"`
	Unmet     int         `key:"unmet" doc:"claims not made, because no tank that was tried met the target"`

	// Windows of one record overlap: their cases tell less than their number.
	Independent float64 `key:"independent" doc:"stretches of years that judged and do not overlap, of all records: what the errors rest on"`
	Few         bool    `key:"few" doc:"whether they are too few to judge by"`

	Inside50 float64 `key:"inside_50" doc:"share of outcomes in the 50 % intervals, by the randomised PIT"`
	Inside80 float64 `key:"inside_80" doc:"the same at 80 %"`
	Inside90 float64 `key:"inside_90" doc:"the same at 90 %"`
	Error90  float64 `key:"inside_90_error" doc:"standard error of that"`
	Width    float64 `key:"width_90" doc:"mean width of the 90 % interval of what fails, a share"`
	Winkler  float64 `key:"interval_score_90" doc:"mean interval score of it"`
	Stated   float64 `key:"stated" doc:"mean share stated"`
	Realised float64 `key:"realised" doc:"mean share seen"`
	Bias     float64 `key:"bias" doc:"stated less realised: above 0 is too bold"`
	BiasErr  float64 `key:"bias_error" doc:"standard error of that"`
	Raw      float64 `key:"bias_of_synthetic_share" doc:"the bias of the share among the synthetic years, taken for a claim as it is"`
	Brier    float64 `key:"brier_no_short_year" doc:"Brier score of no short year in the years that judge"`

	Worst       string  `key:"worst_record" doc:"the record whose 90 % intervals held least"`
	WorstInside float64 `key:"worst_inside_90" doc:"what they held there"`

	// A naive claim takes the synthetic years for the truth.
	Naive      float64 `key:"naive_inside_90" doc:"share of outcomes in the naive 90 % intervals"`
	NaiveScore float64 `key:"naive_interval_score_90" doc:"mean interval score of these"`
	MonteCarlo float64 `key:"inside_monte_carlo_90" doc:"share of outcomes within the Monte Carlo error of the synthetic share, at 90 %"`
	Sized      float64 `key:"band_held" doc:"how often the band of sizes held the size that the years that judge needed, none for given tanks"`
	SafeCases  int     `key:"safe_sizes" doc:"safe sizes stated"`
	SafeMet    float64 `key:"safe_met" doc:"how often they met the target in the years that judge"`
	SafeChance float64 `key:"safe_chance" doc:"how often that was to be expected, chance in so few years counted"`
	SafeMetErr float64 `key:"safe_met_error" doc:"standard error of how often they did"`

	PITs   [10]float64 `key:"pit_tenths" doc:"share of outcomes whose PIT lies in each tenth"`
	None   []Bin       `key:"reliability_no_short_year" doc:"of the probability claimed of no short year"`
	Shares []Bin       `key:"reliability_share" doc:"of the share stated"`
}

// fewCases is how many stretches that do not overlap a share must rest on.
const fewCases = 10

// What the tanks of a Score are.
const (
	ForTarget = "target" // sized for a target
	Given     = "given"  // the same for every generator
)

// Bin is a point of a reliability diagram: the cases whose claim lies from
// From to below To (Murphy & Winkler 1977, Appl. Stat. 26:41: from memory,
// unverified).
type Bin struct {
	From    float64 `key:"from" doc:"least claim"`
	To      float64 `key:"to" doc:"the claims are below it"`
	Cases   int     `key:"cases" doc:"how many they are"`
	Claimed float64 `key:"claimed" doc:"mean of the claims"`
	Seen    float64 `key:"seen" doc:"how often the event came, or the mean share seen"`
}

// noneEdges and shareEdges bound the bins of a Score.
var (
	noneEdges  = []float64{0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1}
	shareEdges = []float64{0, 0.2, 0.4, 0.6, 0.7, 0.75, 0.8, 0.85, 0.9, 0.95, 0.975, 1}
)

// score sums up the cases.
func (r *Result) score() {
	b := r.Study
	windows := 0
	for _, rec := range r.Records {
		windows += rec.Windows
	}
	asked := windows * len(b.Demands)
	for _, g := range r.Generators {
		for m := sim.Annual; m <= sim.Volume; m++ {
			mine := func(want func(*Case) bool) []*Case {
				var out []*Case
				for i := range r.Cases {
					if c := &r.Cases[i]; c.Generator == g && c.Measure == m && want(c) {
						out = append(out, c)
					}
				}
				return out
			}
			add := func(s Score, cases []*Case, asked int) {
				s.Generator, s.Measure, s.Unmet = g, m, asked-len(cases)
				s.sum(cases)
				r.Scores = append(r.Scores, s)
			}
			var targets []float64
			for _, x := range b.goals() {
				if x.measure == m {
					targets = append(targets, x.share)
				}
			}
			if len(targets) > 0 {
				add(Score{Tanks: ForTarget, Target: math.NaN()}, mine(func(c *Case) bool { return !math.IsNaN(c.Target) }), asked*len(targets))
			}
			for _, t := range targets {
				add(Score{Tanks: ForTarget, Target: t}, mine(func(c *Case) bool { return c.Target == t }), asked)
			}
			if len(b.Tanks) > 0 {
				add(Score{Tanks: Given, Target: math.NaN()}, mine(func(c *Case) bool { return math.IsNaN(c.Target) }), asked*len(b.Tanks))
			}
		}
	}
}

// sum fills in a score from its cases.
func (s *Score) sum(cases []*Case) {
	s.Cases = len(cases)
	s.None, s.Shares = bins(noneEdges), bins(shareEdges)
	s.Sized, s.SafeMet, s.SafeChance, s.SafeMetErr = math.NaN(), math.NaN(), math.NaN(), math.NaN()
	s.Independent, s.Few = independent(cases), true
	if len(cases) == 0 {
		return
	}
	s.Few = s.Independent < fewCases
	n, sized, met, chance, square := float64(len(cases)), 0.0, 0.0, 0.0, 0.0
	for _, c := range cases {
		good := 1 - c.Failed
		s.Inside50 += one(c.Inside50)
		s.Inside80 += one(c.Inside80)
		s.Inside90 += one(c.Inside90)
		s.Width += (c.High90 - c.Low90)
		s.Winkler += Winkler(c.Low90, c.High90, c.Failed, 0.9)
		s.Naive += one(c.Failed >= c.NaiveLow && c.Failed <= c.NaiveHigh)
		s.NaiveScore += Winkler(c.NaiveLow, c.NaiveHigh, c.Failed, 0.9)
		s.Stated += c.Claim.Estimate
		s.Realised += good
		square += float64((c.Claim.Estimate - good) * (c.Claim.Estimate - good))
		s.Raw += (c.Share.Estimate - good)
		s.Brier += Brier(c.None, c.Short == 0)
		s.MonteCarlo += one(good >= c.Share.Low && good <= c.Share.High)
		s.PITs[min(int(c.PIT*10), 9)] += 1
		put(s.None, c.None, one(c.Short == 0))
		put(s.Shares, c.Claim.Estimate, good)
		sized += one(c.Sized)
		if !math.IsNaN(c.Safe) {
			s.SafeCases++
			met += one(c.SafeMet)
			chance += c.Chance
		}
	}
	for _, x := range []*float64{&s.Inside50, &s.Inside80, &s.Inside90, &s.Width, &s.Winkler, &s.Naive, &s.NaiveScore, &s.Stated, &s.Realised, &s.Raw, &s.Brier, &s.MonteCarlo, &sized} {
		*x /= n
	}
	for k := range s.PITs {
		s.PITs[k] /= n
	}
	s.Bias = s.Stated - s.Realised
	s.BiasErr = math.Sqrt(max(0, square/n-float64(s.Bias*s.Bias)) / s.Independent)
	of := func(share float64) float64 {
		share = (share*s.Independent + 0.5) / (s.Independent + 1) // of none or of all it is not 0
		return math.Sqrt(share * (1 - share) / s.Independent)
	}
	s.Error90 = of(s.Inside90)
	if s.Tanks == ForTarget {
		s.Sized = sized
	}
	if s.SafeCases > 0 {
		s.SafeMet, s.SafeChance = met/float64(s.SafeCases), chance/float64(s.SafeCases)
		s.SafeMetErr = of(s.SafeMet)
	}
	s.worst(cases)
	s.None, s.Shares = means(s.None), means(s.Shares)
}

// worst finds the record whose 90 % intervals held least.
func (s *Score) worst(cases []*Case) {
	inside, all := map[string]float64{}, map[string]float64{}
	var names []string
	for _, c := range cases {
		if all[c.Record] == 0 {
			names = append(names, c.Record)
		}
		all[c.Record]++
		inside[c.Record] += one(c.Inside90)
	}
	s.WorstInside = math.Inf(1)
	for _, name := range names {
		if x := inside[name] / all[name]; x < s.WorstInside {
			s.Worst, s.WorstInside = name, x
		}
	}
}

// independent counts stretches of the years that judged, as long as a claim
// looks ahead, that do not overlap: at least one a record.
func independent(cases []*Case) float64 {
	type span struct {
		from, to, n int
		ahead       float64
	}
	spans := map[string]span{}
	for _, c := range cases {
		x, ok := spans[c.Record]
		if !ok {
			x = span{from: c.JudgeFrom, to: c.JudgeTo}
		}
		x.from, x.to, x.n, x.ahead = min(x.from, c.JudgeFrom), max(x.to, c.JudgeTo), x.n+1, x.ahead+float64(c.Judge)
		spans[c.Record] = x
	}
	sum := 0.0
	for _, name := range slices.Sorted(maps.Keys(spans)) {
		x := spans[name]
		sum += max(1, float64(x.to-x.from+1)/(x.ahead/float64(x.n)))
	}
	return sum
}

// one counts what is true.
func one(x bool) float64 {
	if x {
		return 1
	}
	return 0
}

func bins(edges []float64) []Bin {
	out := make([]Bin, len(edges)-1)
	for k := range out {
		out[k] = Bin{From: edges[k], To: edges[k+1]}
	}
	return out
}

// put adds a case to its bin; the last bin holds its upper edge.
func put(b []Bin, claimed, seen float64) {
	for k := range b {
		if claimed < b[k].To || k == len(b)-1 {
			b[k].Cases++
			b[k].Claimed += claimed
			b[k].Seen += seen
			return
		}
	}
}

// means turns sums into means and drops the bins without a case.
func means(b []Bin) []Bin {
	var out []Bin
	for _, x := range b {
		if x.Cases > 0 {
			x.Claimed /= float64(x.Cases)
			x.Seen /= float64(x.Cases)
			out = append(out, x)
		}
	}
	return out
}
