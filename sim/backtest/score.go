package backtest

import "math"

// Score sums up the cases of one generator and kind of tank.
type Score struct {
	Generator string  `key:"generator" doc:"name of the generator"`
	Tanks     string  `key:"tanks" doc:"target: sized for a target; given: the same for every generator"`
	Target    float64 `key:"target" doc:"share of good years to be met, none for all targets together and given tanks"`
	Cases     int     `key:"cases" doc:"claims made"`
	Unmet     int     `key:"unmet" doc:"claims not made, because no tank that was tried met the target"`

	Inside50 float64 `key:"inside_50" doc:"share of outcomes in the 50 % intervals, by the randomised PIT"`
	Inside80 float64 `key:"inside_80" doc:"the same at 80 %"`
	Inside90 float64 `key:"inside_90" doc:"the same at 90 %"`
	Width    float64 `key:"width_90" doc:"mean width of the 90 % interval, share of years"`
	Winkler  float64 `key:"interval_score_90" doc:"mean interval score of the 90 % interval of the share of short years"`
	Stated   float64 `key:"stated" doc:"mean share of good years expected, as claimed"`
	Realised float64 `key:"realised" doc:"mean share of good years seen"`
	Bias     float64 `key:"bias" doc:"stated less realised: above 0 is too bold"`
	Raw      float64 `key:"bias_of_synthetic_share" doc:"the bias of the share of good years among the synthetic ones, taken for a claim as it is"`
	Brier    float64 `key:"brier_no_short_year" doc:"Brier score of no short year in the years that judge"`
	// MonteCarlo is what a claim that knows of no other error holds.
	MonteCarlo float64 `key:"inside_monte_carlo_90" doc:"share of outcomes within the Monte Carlo error of the synthetic share, at 90 %"`

	PITs   [10]float64 `key:"pit_tenths" doc:"share of outcomes whose PIT lies in each tenth"`
	None   []Bin       `key:"reliability_no_short_year" doc:"of the probability claimed of no short year"`
	Shares []Bin       `key:"reliability_share" doc:"of the share of good years expected"`
}

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
		mine := func(want func(*Case) bool) []*Case {
			var out []*Case
			for i := range r.Cases {
				if c := &r.Cases[i]; c.Generator == g && want(c) {
					out = append(out, c)
				}
			}
			return out
		}
		add := func(s Score, cases []*Case, asked int) {
			s.Generator, s.Unmet = g, asked-len(cases)
			s.sum(cases)
			r.Scores = append(r.Scores, s)
		}
		if len(b.Targets) > 0 {
			add(Score{Tanks: ForTarget, Target: math.NaN()}, mine(func(c *Case) bool { return !math.IsNaN(c.Target) }), asked*len(b.Targets))
		}
		for _, t := range b.Targets {
			add(Score{Tanks: ForTarget, Target: t}, mine(func(c *Case) bool { return c.Target == t }), asked)
		}
		if len(b.Tanks) > 0 {
			add(Score{Tanks: Given, Target: math.NaN()}, mine(func(c *Case) bool { return math.IsNaN(c.Target) }), asked*len(b.Tanks))
		}
	}
}

// sum fills in a score from its cases.
func (s *Score) sum(cases []*Case) {
	s.Cases = len(cases)
	s.None, s.Shares = bins(noneEdges), bins(shareEdges)
	if len(cases) == 0 {
		return
	}
	for _, c := range cases {
		years := float64(c.Judge)
		good := 1 - float64(c.Seen)/years
		s.Inside50 += one(c.Inside50)
		s.Inside80 += one(c.Inside80)
		s.Inside90 += one(c.Inside90)
		low, high := c.Low90/years, c.High90/years
		s.Width += high - low
		s.Winkler += Winkler(low, high, 1-good, 0.9)
		s.Stated += c.Claim.Estimate
		s.Realised += good
		s.Raw += c.Share.Estimate - good
		s.Brier += Brier(c.None, c.Seen == 0)
		s.MonteCarlo += one(good >= c.Share.Low && good <= c.Share.High)
		s.PITs[min(int(c.PIT*10), 9)]++
		put(s.None, c.None, one(c.Seen == 0))
		put(s.Shares, c.Claim.Estimate, good)
	}
	n := float64(len(cases))
	for _, x := range []*float64{&s.Inside50, &s.Inside80, &s.Inside90, &s.Width, &s.Winkler, &s.Stated, &s.Realised, &s.Raw, &s.Brier, &s.MonteCarlo} {
		*x /= n
	}
	for k := range s.PITs {
		s.PITs[k] /= n
	}
	s.Bias = s.Stated - s.Realised
	s.None, s.Shares = means(s.None), means(s.Shares)
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
