package figure

import (
	"fmt"
	"math"
	"strings"
	"unicode"

	"tankodds/report/units"
	"tankodds/report/words"
	"tankodds/sim"
)

// nbsp keeps a number and its unit on one line.
const nbsp = "\u00a0"

// scale is a unit that a figure shows quantities of one kind in: shown =
// inside × factor. It is chosen once a figure.
type scale struct {
	unit   string
	factor float64
}

func volumeScale(u units.System, most float64) scale { return scaleOf(u.VolumeColumn(most)) }
func areaScale(u units.System) scale                 { return scaleOf(u.AreaColumn()) }
func depthScale(u units.System) scale                { return scaleOf(u.DepthColumn()) }

func scaleOf(c units.Column) scale { return scale{c.Unit, c.Value(1)} }

// threeDigits sets x to three significant digits.
func threeDigits(x float64) string { return units.Significant(x, 3) }

// show sets a quantity in the scale, with its unit.
func (s scale) show(inside float64) string { return threeDigits(inside*s.factor) + nbsp + s.unit }

// litre names one unit of what a tank is larger by.
func (s scale) litre() string {
	if s.unit == "gal" {
		return words.Litre(units.US)
	}
	return words.Litre(units.SI)
}

// name words the unit.
func (s scale) name() string {
	if name, ok := unitNames[s.unit]; ok {
		return name
	}
	return s.unit
}

var unitNames = map[string]string{"L": "litres", "gal": "US gallons", "mm": "millimetres", "in": "inches"}

// percent sets a share on one line: 90 %, 99.5 %.
func percent(share float64) string { return strings.ReplaceAll(units.Percent(share), " ", nbsp) }

// between words a band in the scale. A bound that does not exist (NaN) lies
// beyond the sizes simulated, from least to most.
func (s scale) between(low, high float64) string {
	lo, hi := finite(low), finite(high)
	switch {
	case lo && hi && threeDigits(low*s.factor) == threeDigits(high*s.factor):
		return "" // nothing to tell
	case lo && hi:
		return threeDigits(low*s.factor) + " to " + s.show(high)
	case lo:
		return s.show(low) + " or more"
	}
	return ""
}

// most returns the largest of the finite values, 0 where there is none above.
func most[T any](of []T, value func(T) float64) float64 {
	top := 0.0
	for _, v := range of {
		if x := value(v); finite(x) {
			top = max(top, x)
		}
	}
	return top
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

// clean drops what must not reach an XML file: broken UTF-8 and control
// characters.
func clean(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || r == 0xfffe || r == 0xffff {
			return ' '
		}
		return r
	}, strings.ToValidUTF8(s, "?"))
}

// sentence gives words their first capital and their full stop.
func sentence(s string) string {
	if s = strings.TrimSpace(s); s == "" {
		return ""
	}
	return strings.TrimRight(words.UpperFirst(s), ".") + "."
}

// of words what a target is a share of.
func of(s *sim.Study) string {
	switch {
	case s.Measure == sim.Time:
		return "days fully supplied"
	case s.Measure == sim.Volume:
		return "the demand supplied"
	case s.Allow == 0:
		return "years without a short day"
	}
	return "years with " + fewShortDays(s)
}

// does words what a tank that meets the target does.
func does(s *sim.Study) string {
	goal := percent(s.Target)
	switch {
	case s.Measure == sim.Time:
		return "meets the demand in full on " + goal + " of days"
	case s.Measure == sim.Volume:
		return "supplies " + goal + " of the demand"
	case s.Allow == 0:
		return "has no short day in " + goal + " of years"
	}
	return "has " + fewShortDays(s) + " in " + goal + " of years"
}

// fewShortDays words how many short days a good year may have.
func fewShortDays(s *sim.Study) string {
	if s.Allow == 1 {
		return "at most one short day"
	}
	return fmt.Sprintf("at most %d short days", s.Allow)
}

// ticks returns round numbers from lo to hi, about want of them, and how many
// decimals they need.
func ticks(lo, hi float64, want int) (at []float64, decimals int) {
	if !(hi > lo) {
		return []float64{lo}, 0
	}
	raw := (hi - lo) / float64(max(1, want))
	base := math.Pow(10, math.Floor(math.Log10(raw)))
	step := 10 * base
	for _, k := range []float64{1, 2, 5} {
		if k*base >= raw*0.999 {
			step = k * base
			break
		}
	}
	for i := math.Ceil(lo/step - 1e-9); i*step <= hi*(1+1e-12)+step*1e-9; i++ {
		at = append(at, i*step)
	}
	return at, max(0, int(math.Ceil(-math.Log10(step)-1e-9)))
}

// logTicks returns 1, 2 and 5 times the powers of ten from lo to hi; over
// more than three decades the powers alone.
func logTicks(lo, hi float64) []float64 {
	mult := []float64{1, 2, 5}
	if math.Log10(hi/lo) > 3 {
		mult = mult[:1]
	}
	var at []float64
	for e := math.Floor(math.Log10(lo)); e <= math.Ceil(math.Log10(hi)); e++ {
		for _, m := range mult {
			if x := m * math.Pow(10, e); x >= lo*(1-1e-9) && x <= hi*(1+1e-9) {
				at = append(at, x)
			}
		}
	}
	return at
}

// wantsLog reports whether sizes need a logarithmic axis to be told apart:
// they span more than two decades. Anything less reads better on a plain one.
func wantsLog(sizes []float64) bool {
	n := len(sizes)
	return n > 2 && sizes[0] > 0 && sizes[n-1] > 100*sizes[0]
}
