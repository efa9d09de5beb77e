// Package store takes tanks through days in whole units of volume: one tank by
// the rule as it is written (Rule.Day), and all sizes at once (Sweep). It knows
// volumes and days alone: no roofs, no uses, no rain.
//
// Whole numbers make every result exact: the water balance holds to the unit,
// no day is short by rounding, and sums are the same in any order, on any
// machine.
package store

import (
	"fmt"
	"slices"
)

// PerLitre is how many units of volume a litre has: the unit is 10 mL.
const PerLitre = 100

// Most is the largest inflow and demand of a day and the largest size, units: 11
// million m³. The sums over a thousand years of them stay in reach of an int64.
const Most = 1 << 40

// Units returns a volume in litres, 0 or more, as the nearest whole number of
// units; Most for more, and for NaN.
func Units(litres float64) int64 {
	if x := float64(litres*PerLitre) + 0.5; x < Most {
		return int64(x)
	}
	return Most
}

// Litres returns units as litres.
func Litres(units int64) float64 { return float64(units) / PerLitre }

// Rule says in which order a day's draw and its spill happen.
type Rule uint8

const (
	// YAS, yield after spillage, draws only on what yesterday left: the
	// careful rule, and the default (Jenkins et al. 1978; Fewkes & Butler
	// 2000).
	YAS Rule = iota
	// YBS, yield before spillage, lets today's rain be drawn today.
	YBS
)

var ruleWords = []string{"yas", "ybs"}

// String returns "yas" or "ybs".
func (r Rule) String() string { return ruleWords[r] }

// MarshalText returns what String does.
func (r Rule) MarshalText() ([]byte, error) { return []byte(r.String()), nil }

// UnmarshalText reads what ParseRule does.
func (r *Rule) UnmarshalText(text []byte) (err error) {
	*r, err = ParseRule(string(text))
	return err
}

// ParseRule reads "yas" or "ybs".
func ParseRule(s string) (Rule, error) {
	r := slices.Index(ruleWords, s)
	if r < 0 {
		return 0, fmt.Errorf("rule %q is neither yas nor ybs", s)
	}
	return Rule(r), nil
}

// Day takes one tank of usable size s, holding v, through a day of inflow q
// and demand d, all in units and 0 to Most. V′ is yesterday's storage:
//
//	YAS: Y = min(D, V′)      V = min(V′ + Q − Y, S − Y)
//	YBS: Y = min(D, V′ + Q)  V = min(V′ + Q − Y, S)
//	O = V′ + Q − Y − V
//
// A day is short where Y < D.
func (r Rule) Day(s, v, q, d int64) (yield, spill, storage int64) {
	w, room := v+q, s
	if r == YBS {
		yield = min(d, w)
	} else {
		yield = min(d, v)
		room -= yield
	}
	w -= yield
	storage = min(w, room)
	return yield, w - storage, storage
}
