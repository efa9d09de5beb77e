package gen

import (
	"math"
	"sort"

	"tankodds/rainfall"
)

// The papers that judge synthetic rain by these statistics.
const (
	byOccurrence = "Srikanthan & McMahon 2001, HESS 5:653; chain: Richardson 1981"
	bySpells     = "Srikanthan & McMahon 2001, HESS 5:653"
	byAmounts    = "Chowdhury et al. 2017, HESS 21:6541"
	bySpread     = "Katz & Parlange 1998, J. Climate 11:591"
	byLow        = "low rain over months: Chowdhury et al. 2017, HESS 21:6541; Srikanthan & McMahon 2001"
)

const quarters = 4 // of a water year, three months each

// statistic is one number of a record.
type statistic struct {
	name, season, unit string
	value              float64
	source             string
}

// quarterStats gathers what is judged by quarter of the water year.
type quarterStats struct {
	from, to     [2]float64 // days after a dry [0] or wet [1] day; those of them wet
	days, wet    float64    // all days, wet days
	sum, sq, cub float64    // of the wet days' depths, mm
	spell        [2][]int   // lengths of dry [0] and wet [1] spells that begin here
}

// statistics returns the statistics of the record in a fixed order. Spells
// and months end where years are not adjacent; a spell counts where it
// begins, and one cut off at the beginning or end of a run of years counts
// with the days seen.
func statistics(y *rainfall.Years) []statistic {
	calendar := rainfall.Calendar(y.Start)
	month := calendar.Nth()
	var q [quarters]quarterStats
	var monthly [12][]float64
	var annual, chain []float64 // chain: monthly totals of the run
	longest, highest := 0, 0.0
	low := map[int]float64{}
	lowest := func() {
		for _, k := range lowMonths {
			for i := k; i <= len(chain); i++ {
				sum := 0.0
				for _, x := range chain[i-k : i] {
					sum += x
				}
				if old, ok := low[k]; !ok || sum < old {
					low[k] = sum
				}
			}
		}
		chain = chain[:0]
	}
	begun, run, was := 0, 0, -1 // the spell: quarter, days, state
	end := func() {
		if run > 0 {
			q[begun].spell[was] = append(q[begun].spell[was], run)
			if was == 0 {
				longest = max(longest, run)
			}
		}
		run, was = 0, -1
	}
	for i, rain := range y.Rain {
		if i == 0 || y.Label[i] != y.Label[i-1]+1 {
			end()
			lowest()
		}
		var total [12]float64
		year := 0.0
		for d, x := range rain {
			total[month[d]] += x
			at := int(month[d]) * quarters / 12
			wet := q[at].add(x, was)
			if wet != was {
				end()
				begun, was = at, wet
			}
			run++
			highest = math.Max(highest, x)
		}
		for k, x := range total {
			monthly[k] = append(monthly[k], x)
			year += x
		}
		chain = append(chain, total[:]...)
		annual = append(annual, year)
	}
	end()
	lowest()

	var out []statistic
	for k := range q {
		a, z := calendar.Month(3*k).String(), calendar.Month(3*k+2).String()
		out = append(out, q[k].list(a[:3]+"-"+z[:3])...)
	}
	for k, v := range monthly {
		name := calendar.Month(k).String()
		out = append(out,
			statistic{"mean monthly total", name, "mm", mean(v), byAmounts},
			statistic{"SD of monthly totals", name, "mm", deviation(v), bySpread})
	}
	out = append(out,
		statistic{"mean annual total", wholeYear, "mm", mean(annual), byAmounts},
		statistic{"SD of annual totals", wholeYear, "mm", deviation(annual), bySpread},
		statistic{"lag-1 of annual totals", wholeYear, "", lagOne(y, annual), bySpread})
	for _, k := range lowMonths {
		if x, ok := low[k]; ok {
			out = append(out, statistic{lowName[k], wholeYear, "mm", x, byLow})
		}
	}
	return append(out,
		statistic{"longest dry spell", wholeYear, "days", float64(longest), bySpells},
		statistic{"wettest day", wholeYear, "mm", highest, byAmounts})
}

const wholeYear = "year"

// lowMonths are the numbers of consecutive months whose driest total is
// judged: these empty a tank.
var lowMonths = []int{3, 6, 12, 24}

var lowName = map[int]string{3: "driest 3 months", 6: "driest 6 months", 12: "driest 12 months", 24: "driest 24 months"}

// add counts a day and returns whether it is wet, 1 or 0; was is the day
// before, -1 where not known.
func (s *quarterStats) add(x float64, was int) int {
	wet := 0
	s.days++
	if x >= rainfall.WetDay {
		wet = 1
		s.wet++
		s.sum += x
		s.sq += float64(x * x)
		s.cub += float64(x * float64(x*x))
	}
	if was >= 0 {
		s.from[was]++
		s.to[was] += float64(wet)
	}
	return wet
}

func (s *quarterStats) list(season string) []statistic {
	m := ratio(s.sum, s.wet)
	v := math.Max(0, ratio(s.sq, s.wet)-float64(m*m))
	third := ratio(s.cub, s.wet) - float64(3*m*ratio(s.sq, s.wet)) + float64(2*m*float64(m*m))
	skew := 0.0
	if v > 1e-12*m*m {
		skew = third / (v * math.Sqrt(v))
	}
	return []statistic{
		{"wet-day frequency", season, "", ratio(s.wet, s.days), byOccurrence},
		{"p01, wet after dry", season, "", ratio(s.to[0], s.from[0]), byOccurrence},
		{"p11, wet after wet", season, "", ratio(s.to[1], s.from[1]), byOccurrence},
		{"mean wet spell", season, "days", meanSpell(s.spell[1]), bySpells},
		{"90 % wet spell", season, "days", highSpell(s.spell[1]), bySpells},
		{"mean dry spell", season, "days", meanSpell(s.spell[0]), bySpells},
		{"90 % dry spell", season, "days", highSpell(s.spell[0]), bySpells},
		{"mean wet-day depth", season, "mm", m, byAmounts},
		{"SD of wet-day depth", season, "mm", math.Sqrt(v), byAmounts},
		{"skew of wet-day depth", season, "", skew, byAmounts},
	}
}

func ratio(a, b float64) float64 {
	if b == 0 {
		return 0
	}
	return a / b
}

func meanSpell(v []int) float64 {
	sum := 0
	for _, n := range v {
		sum += n
	}
	return ratio(float64(sum), float64(len(v)))
}

// highSpell returns the length that 90 % of the spells do not exceed, the
// smallest such.
func highSpell(v []int) float64 {
	if len(v) == 0 {
		return 0
	}
	sort.Ints(v)
	return float64(v[(9*len(v)+9)/10-1])
}

// deviation returns the standard deviation, divisor n − 1; 0 for fewer than
// two values.
func deviation(v []float64) float64 {
	if len(v) < 2 {
		return 0
	}
	m, sum := mean(v), 0.0
	for _, x := range v {
		sum += float64((x - m) * (x - m))
	}
	return math.Sqrt(sum / float64(len(v)-1))
}

// lagOne returns the autocorrelation of the annual totals at one year over
// the pairs of adjacent years: their mean product about the mean of all years
// over the variance of all; 0 where the totals do not vary or none adjoin.
func lagOne(y *rainfall.Years, annual []float64) float64 {
	m := mean(annual)
	sum, pairs, square := 0.0, 0.0, 0.0
	for i, x := range annual {
		square += float64((x - m) * (x - m))
		if i > 0 && y.Label[i] == y.Label[i-1]+1 {
			sum += float64((x - m) * (annual[i-1] - m))
			pairs++
		}
	}
	return ratio(ratio(sum, pairs), square/float64(len(annual)))
}
