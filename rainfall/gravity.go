package rainfall

import (
	"fmt"
	"maps"
	"slices"
)

// Gravity is how much a finding matters, the gravest least.
type Gravity uint8

const (
	Grave Gravity = iota // the record may be wrong, and the answer with it
	Mind                 // something was done, or cannot be known: mind it
	Note                 // for information
)

func (g Gravity) String() string { return [...]string{"grave", "mind", "note"}[g] }

// MarshalText writes the word for it.
func (g Gravity) MarshalText() ([]byte, error) { return []byte(g.String()), nil }

// UnmarshalText reads the word.
func (g *Gravity) UnmarshalText(text []byte) error {
	for x := Grave; x <= Note; x++ {
		if x.String() == string(text) {
			*g = x
			return nil
		}
	}
	return fmt.Errorf("%q is no gravity of a finding", text)
}

// GravityOf returns the gravity of the findings of a kind.
func GravityOf(code string) Gravity {
	g, ok := gravity[code]
	if !ok {
		panic("rainfall: no gravity of the finding " + code) // a test goes through all
	}
	return g
}

// Codes lists the kinds of findings, for the test that looks for their words.
func Codes() []string { return slices.Sorted(maps.Keys(gravity)) }

// gravity has a row for every code in use.
var gravity = map[string]Gravity{
	// Findings of the rules of plausibility.
	"extreme-day": Grave,
	"repeated":    Grave,
	"wet-year":    Grave,
	"zero-run":    Grave,
	"zero-month":  Grave,
	"weekday":     Grave,
	// What a file cannot be trusted to say.
	"modelled":      Grave,
	"unit-doubtful": Grave,
	"unit-change":   Grave,
	"absent-zero":   Grave,
	// What was done to it, or left open.
	"columns-unused":  Mind,
	"doubtful":        Mind,
	"flag":            Mind,
	"indicator":       Mind,
	"missing-code":    Mind,
	"presumed":        Mind,
	"rain-only":       Mind,
	"total-long":      Mind,
	"total-lost":      Mind,
	"total-span":      Mind,
	"two-digit-years": Mind,
	"uncertain":       Mind,
	"unit-inferred":   Mind,
	// What the answer rests on.
	"short-record": Mind,
	"scaled":       Mind,
	"second-gauge": Mind,
	"skipped":      Mind,
	"step":         Mind,
	"stress":       Mind,
	"trend":        Mind,
	// What changed nothing.
	"duplicate":       Note,
	"option-ignored":  Note,
	"no-day":          Note,
	"station-ignored": Note,
	"titles":          Note,
	"unit-ignored":    Note,
}
