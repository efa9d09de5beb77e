package gen

import (
	"fmt"
	"math"
	"math/rand/v2"
	"time"

	"tankodds/rainfall"
)

// Stress changes synthetic rain to show what a drier climate would do to an
// answer. It is a stress, never a forecast. The zero Stress changes nothing.
type Stress struct {
	// Rain multiplies the depths of each month; all zero stands for all one.
	Rain [12]float64 `key:"rain_factors" doc:"on the depths of each month, January first, all 0 for none"`
	// DrySpell, 1 or more, multiplies the length of every dry spell: of the
	// days that it adds, the rain is held back and falls on the first day
	// after them, so that the amount stays as it is. 0 stands for 1.
	DrySpell float64 `key:"dry_spell_factor" doc:"on the length of every dry spell"`
}

// MostDrySpell bounds Stress.DrySpell, and MostRain each month's factor.
const (
	MostDrySpell = 5
	MostRain     = 3
)

// None says whether the stress changes nothing.
func (s Stress) None() bool {
	for _, x := range s.Rain {
		if x != 1 && s.Rain != ([12]float64{}) {
			return false
		}
	}
	return s.DrySpell == 0 || s.DrySpell == 1
}

// Check returns the first thing wrong with the stress.
func (s Stress) Check() error {
	for m, x := range s.Rain {
		if !(x >= 0 && x <= MostRain) {
			return fmt.Errorf("rain of %v × %g is not from 0 to %d", time.Month(m+1), x, MostRain)
		}
	}
	if s.DrySpell != 0 && !(s.DrySpell >= 1 && s.DrySpell <= MostDrySpell) {
		return fmt.Errorf("dry spells × %g is not from 1 to %d", s.DrySpell, MostDrySpell)
	}
	return nil
}

// Apply returns the generator with its synthetic rain stressed.
func (s Stress) Apply(g Generator) Generator {
	if s.None() {
		return g
	}
	fit := g.Fit
	g.Fit = func(y *rainfall.Years) (Sampler, error) {
		inner, err := fit(y)
		if err != nil {
			return nil, err
		}
		out := stressed{Sampler: inner, spell: s.DrySpell}
		for d, m := range rainfall.Calendar(y.Start).Months() {
			out.scale[d] = 1
			if s.Rain != ([12]float64{}) {
				out.scale[d] = s.Rain[m-1]
			}
		}
		if d, ok := inner.(Dated); ok {
			return stressedDated{out, d}, nil
		}
		return out, nil
	}
	return g
}

type stressed struct {
	Sampler
	scale [rainfall.DaysPerYear]float64
	spell float64
}

func (s stressed) Sample(dst []float64, rng *rand.Rand) {
	s.Sampler.Sample(dst, rng)
	s.strain(dst, nil)
}

// strain stresses rain, and forgets in from the day of the record where rain
// was moved away from it or to it: what was a wet day is a dry one.
func (s stressed) strain(dst []float64, from []int32) {
	if s.spell > 1 {
		stretch(dst, from, s.spell)
	}
	for t := range dst {
		dst[t] *= s.scale[t%rainfall.DaysPerYear]
	}
}

// stressedDated is stressed for a Sampler that is Dated.
type stressedDated struct {
	stressed
	inner Dated
}

func (s stressedDated) SampleDated(dst []float64, from []int32, rng *rand.Rand) {
	s.inner.SampleDated(dst, from, rng)
	s.strain(dst, from)
}

// Parameters are those of the generator stressed.
func (s stressed) Parameters() []Parameter {
	if d, ok := s.Sampler.(Described); ok {
		return d.Parameters()
	}
	return nil
}

// stretch makes every dry spell k times as long. Parts of a day are carried
// to the next spell; what would fall beyond the trace falls on its last day.
// Days whose rain it changes are NoDay in from, which may be nil.
func stretch(rain []float64, from []int32, k float64) {
	carry, dry := 0.0, 0
	for t := 0; t < len(rain); t++ {
		if rain[t] < rainfall.WetDay {
			dry++
			continue
		}
		more := float64((k-1)*float64(dry)) + carry
		dry = 0
		days := int(math.Floor(more))
		carry = more - float64(days)
		end := min(t+days, len(rain)-1)
		held := 0.0
		for ; t < end; t++ {
			if rain[t] > 0 && from != nil {
				from[t] = NoDay
			}
			held += rain[t]
			rain[t] = 0
		}
		rain[t] += held
		if held > 0 && from != nil {
			from[t] = NoDay
		}
	}
}
