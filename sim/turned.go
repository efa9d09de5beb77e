package sim

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
)

// Sought is what is asked for.
type Sought uint8

const (
	// ForTank: the smallest tank.
	ForTank Sought = iota
	// ForUse: of one tank, the largest use.
	ForUse
	// ForRoof: of one tank, the smallest roof.
	ForRoof
)

var soughtNames = []string{"tank", "use", "roof"}

// String names it by a short fixed word.
func (x Sought) String() string { return soughtNames[x] }

// MarshalText returns the word.
func (x Sought) MarshalText() ([]byte, error) { return []byte(x.String()), nil }

// UnmarshalText reads the word.
func (x *Sought) UnmarshalText(text []byte) error {
	k := slices.Index(soughtNames, string(text))
	if k < 0 {
		return fmt.Errorf("%q is none of %s", text, strings.Join(soughtNames, ", "))
	}
	*x = Sought(k)
	return nil
}

// Turned is what a tank is enough for: the question of the size turned round. All
// uses are scaled alike, and all roofs. Every number has three digits in the
// reader's unit, and the next does not meet the target. All are NaN where there
// is none; the bounds also where the record's error is not weighed, and where
// nobody asked and few years tell the other two.
//
// Both were run with all the rain of the main run as they are printed, and so was
// the next. The bounds are those of few traces, less what these err by at the
// numbers themselves: they are right to some hundredths.
type Turned struct {
	Tank  float64 `key:"tank_l" doc:"nominal size of the tank"`
	Years int     `key:"years" doc:"synthetic years that tell it: few where it was not asked for, and it is about right then"`
	Shown bool    `key:"shown" doc:"whether the record is long enough to show the target; without it nothing is safe"`

	Use     float64 `key:"use_l_per_day" doc:"the largest mean use that meets the target under the site's own roofs"`
	UseSafe float64 `key:"safe_use_l_per_day" doc:"the largest whose lower bound meets it"`
	UseHigh float64 `key:"use_high_l_per_day" doc:"the largest whose upper bound meets it"`

	Roof     float64 `key:"roof_m2" doc:"the smallest total roof area, of the same make-up, that meets the target with the site's own uses"`
	RoofLow  float64 `key:"roof_low_m2" doc:"the smallest whose upper bound meets it"`
	RoofSafe float64 `key:"safe_roof_m2" doc:"the smallest whose lower bound meets it"`

	MapYears int    `key:"map_years" doc:"synthetic years that the map rests on"`
	Map      []Spot `key:"map" doc:"tanks under other roofs with the site's own uses, roof by roof; none where it was not asked for"`
}

// Spot is a tank of Turned's map.
type Spot struct {
	Roof  float64 `key:"roof_m2" doc:"total roof area"`
	Tank  float64 `key:"tank_l" doc:"nominal size of the tank"`
	Share float64 `key:"share" doc:"of the study's measure: what is stated"`
}

// Turned finds what the largest size asked about is enough for, where that is
// asked or no size meets the target; nil elsewhere, from a record of less than
// FewYears, and for a site whose days hang on what the tank holds (Study.Slow):
// there a use is no roof.
func (q *Question) Turned(ctx context.Context, c *Curves, a Answer) (*Turned, error) {
	s := q.study
	if a.Grade == TooShort || s.Sought == ForTank && a.Grade != OutOfReach {
		return nil, nil
	}
	if s.Slow() {
		return q.turnedSlowly(ctx, a)
	}
	nan := math.NaN()
	out := &Turned{Tank: s.largest(), Use: nan, UseSafe: nan, UseHigh: nan, Roof: nan, RoofLow: nan, RoofSafe: nan}
	out.Shown = q.series.Years.Len() >= a.Shows
	traces := glanceTraces
	if s.Sought == ForTank {
		traces = aboutTraces
	}
	few := q.turner(traces)
	if err := few.glance(ctx, q); err != nil {
		return nil, err
	}
	if s.Sought == ForTank {
		out.Use, out.Roof, out.Years = few.about(ofUse), few.about(ofRoof), few.q.traces*q.length
		return out, nil
	}
	if err := few.closer(ctx); err != nil {
		return nil, err
	}
	t := q.turner(q.traces)
	t.points = []point{{x: 1, run: c.Totals, row: c.own(), w: c.weights[len(c.weights)-1]}}
	found, ok, err := t.settle(ctx, few)
	if err != nil {
		return nil, err
	}
	out.Years = q.traces * q.length
	var around []float64
	for of, to := range [2][3]*float64{{&out.Use, &out.UseHigh, &out.UseSafe}, {&out.Roof, &out.RoofLow, &out.RoofSafe}} {
		if !ok[of] {
			continue
		}
		*to[byValue] = t.levers[of].value(found[of])
		around = append(around, t.levers[of].x(found[of]))
		if s.RecordError {
			*to[byHigh] = t.bound(few, of, byHigh, found[of])
			if out.Shown {
				*to[byLow] = t.bound(few, of, byLow, found[of])
			}
		}
	}
	out.MapYears = min(mapTraces, q.traces) * q.length
	out.Map, err = t.spots(ctx, q, around...)
	return out, err
}
