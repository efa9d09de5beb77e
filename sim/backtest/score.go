package backtest

import "math"

// Score sums up the cases of one generator and kind of tank.
type Score struct {
	Generator string
	Target    float64 // NaN where the cases are of several targets or of given tanks
	Given     bool    // the tanks were given, the same for every generator
	Cases     int
	Unmet     int // claims not made, because no tank that was tried met the target

	Inside   [3]float64 // share of outcomes in the intervals of Levels, by the randomised PIT
	Width    float64    // mean width of the 90 % interval, share of years
	Winkler  float64    // mean interval score of the 90 % interval of the share of short years
	Stated   float64    // mean share of good years expected, as claimed
	Realised float64    // mean share of good years seen
	Bias     float64    // Stated − Realised: above 0 is too bold
	// Raw is Bias for the share of good years among the synthetic ones, taken
	// for a claim as it is.
	Raw   float64
	Brier float64 // of "no short year in the years that judge"
	// MonteCarlo is the share of outcomes that lie within the Monte Carlo
	// error of the synthetic years' share, at 90 %: what a claim that knows of
	// no other error holds.
	MonteCarlo float64

	PITs   [10]float64 // share of outcomes whose PIT lies in each tenth
	None   []Bin       // of the probability claimed of no short year
	Shares []Bin       // of the share of good years expected
}

// Bin is a point of a reliability diagram: the cases whose claim lies from
// From to below To (Murphy & Winkler 1977, Appl. Stat. 26:41: from memory,
// unverified).
type Bin struct {
	From, To float64
	Cases    int
	Claimed  float64 // mean of the claims
	Seen     float64 // how often the event came, or the mean share seen
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
	for _, n := range r.Windows {
		windows += n
	}
	asked := windows * len(b.Demands)
	for _, g := range r.Generators {
		mine := func(want func(*Case) bool) []*Case {
			var out []*Case
			for i := range r.Cases {
				if c := &r.Cases[i]; c.Generator == g.Name && want(c) {
					out = append(out, c)
				}
			}
			return out
		}
		add := func(s Score, cases []*Case, asked int) {
			s.Generator, s.Unmet = g.Name, asked-len(cases)
			s.sum(cases)
			r.Scores = append(r.Scores, s)
		}
		if len(b.Targets) > 0 {
			add(Score{Target: math.NaN()}, mine(func(c *Case) bool { return !math.IsNaN(c.Target) }), asked*len(b.Targets))
		}
		for _, t := range b.Targets {
			add(Score{Target: t}, mine(func(c *Case) bool { return c.Target == t }), asked)
		}
		if len(b.Tanks) > 0 {
			add(Score{Target: math.NaN(), Given: true}, mine(func(c *Case) bool { return math.IsNaN(c.Target) }), asked*len(b.Tanks))
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
	const ninety = len(Levels) - 1
	for _, c := range cases {
		years := float64(c.Judge)
		good := 1 - float64(c.Seen)/years
		for l, in := range c.Inside {
			if in {
				s.Inside[l]++
			}
		}
		low, high := c.Low[ninety]/years, c.High[ninety]/years
		s.Width += high - low
		s.Winkler += Winkler(low, high, 1-good, Levels[ninety])
		s.Stated += c.Claim.Estimate
		s.Realised += good
		s.Raw += c.Share.Estimate - good
		s.Brier += Brier(c.Short[0], c.Seen == 0)
		if good >= c.Share.Low && good <= c.Share.High {
			s.MonteCarlo++
		}
		s.PITs[min(int(c.PIT*10), 9)]++
		none := 0.0
		if c.Seen == 0 {
			none = 1
		}
		put(s.None, c.Short[0], none)
		put(s.Shares, c.Claim.Estimate, good)
	}
	n := float64(len(cases))
	for _, x := range []*float64{&s.Width, &s.Winkler, &s.Stated, &s.Realised, &s.Raw, &s.Brier, &s.MonteCarlo} {
		*x /= n
	}
	for l := range s.Inside {
		s.Inside[l] /= n
	}
	for k := range s.PITs {
		s.PITs[k] /= n
	}
	s.Bias = s.Stated - s.Realised
	s.None, s.Shares = means(s.None), means(s.Shares)
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
