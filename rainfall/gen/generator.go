package gen

import (
	"fmt"
	"math/rand/v2"
	"strings"

	"tankodds/rainfall"
)

// Generator makes a Sampler of synthetic rain from usable water years. Adding
// one is one file and one line in Generators.
type Generator struct {
	Name   string // as --generator takes it
	What   string // one plain sentence, no full stop
	Source string // the papers it follows
	// Fit learns from the years. It fails, with a reason, where they are too
	// few or of the wrong kind. It does not keep or change the years' depths
	// beyond reading them.
	Fit func(*rainfall.Years) (Sampler, error)
}

// Sampler draws synthetic rain.
type Sampler interface {
	// Sample fills dst with consecutive water years of DaysPerYear depths in
	// mm, all ≥ 0 and finite. len(dst) is a multiple of DaysPerYear. All
	// randomness comes from rng; a Sampler may be used by several goroutines
	// at once, each with its own rng and dst.
	Sample(dst []float64, rng *rand.Rand)
}

// Dated is a Sampler whose days are days of the record, as what goes with the
// rain of a day, its temperature say, is wanted too.
type Dated interface {
	Sampler
	// SampleDated is Sample, with the same rain from the same rng. It fills
	// from, as long as dst, with the day of the record that each day is, as
	// i = year·DaysPerYear + place: its rain, before any stress, is
	// Rain[i/DaysPerYear][i%DaysPerYear] of the years that the Sampler was
	// fitted to. A day that is none of them is NoDay. With from nil it is
	// Sample.
	SampleDated(dst []float64, from []int32, rng *rand.Rand)
}

// NoDay stands for a day that is none of the record.
const NoDay int32 = -1

// dated writes n days of the record, from day d of a year on, into from at t.
func dated(from []int32, t, n int, year int32, d int) {
	if from == nil {
		return
	}
	day := year*rainfall.DaysPerYear + int32(d)
	for k := range from[t : t+n] {
		from[t+k] = day + int32(k)
	}
}

// Parameter is one fitted or chosen number of a Sampler.
type Parameter struct {
	Name  string  `key:"name" doc:"what it is"`
	Value float64 `key:"value" doc:"as fitted or chosen"`
	Unit  string  `key:"unit" doc:"what it is measured in"`
}

// Described is what a Sampler that has parameters to show also implements.
type Described interface {
	Parameters() []Parameter
}

// Generators lists the generators, the default first.
func All() []Generator {
	return []Generator{Guided(), WaterYears(), Blocks(), Neighbours(), Chain()}
}

// Find returns the generator of that name; "" is the default.
func Find(name string) (Generator, error) {
	all := All()
	if name == "" {
		return all[0], nil
	}
	var names []string
	for _, g := range all {
		if g.Name == name {
			return g, nil
		}
		names = append(names, g.Name)
	}
	return Generator{}, fmt.Errorf("no generator is named %q; there are %s", name, strings.Join(names, ", "))
}

// Source returns the random source of one trace: the same for the same seed,
// stream and trace, whatever ran before it. The three numbers are mixed
// (splitmix64: Steele, Lea & Flood 2014, from memory) so that neighbouring
// traces start in unrelated states.
func Source(seed, stream, trace uint64) *rand.Rand {
	a := mix(seed + 0x9e3779b97f4a7c15)
	b := mix(a ^ mix(stream+0xd1b54a32d192ed03))
	c := mix(b ^ mix(trace+0x8cb92ba72f3d8dd7))
	return rand.New(rand.NewPCG(b, c))
}

func mix(z uint64) uint64 {
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}
