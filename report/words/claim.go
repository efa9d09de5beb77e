package words

import (
	"fmt"

	"tankodds/sim"
)

// claimConfidence is the confidence with which a record is said to show an
// annual reliability: that of the lower bound of every claim.
const claimConfidence = (1 + sim.DefaultLevel) / 2

// claimTargets are the annual reliabilities that people ask for.
var claimTargets = []float64{0.5, 0.8, 0.9, 0.95, 0.98, 0.99}

// Claim says in one sentence, without a full stop, which annual reliability n
// usable water years can carry and how many the next would need.
func Claim(n int) string {
	need := sim.YearsToShow
	held := -1
	for i, t := range claimTargets {
		if n >= need(t) {
			held = i
		}
	}
	years := Plural(n, "usable year")
	switch {
	case n == 0:
		return fmt.Sprintf("no usable year: nothing can be claimed; 90 %% a year would need %d", need(0.9))
	case held < 0:
		return fmt.Sprintf("%s: too short for any claim; 90 %% a year would need %d", years, need(0.9))
	case claimTargets[held] < 0.9:
		return fmt.Sprintf("%s: enough to speak of %g %% a year and no more; 90 %% would need %d",
			years, 100*claimTargets[held], need(0.9))
	case held == len(claimTargets)-1:
		return fmt.Sprintf("%s: enough to speak of %g %% a year at best", years, 100*claimTargets[held])
	}
	next := claimTargets[held+1]
	return fmt.Sprintf("%s: enough to speak of %g %% a year at best; %g %% would need %d",
		years, 100*claimTargets[held], 100*next, need(next))
}

// FailureBound is the greatest yearly chance of running dry, 0–1, that n
// years without a failure leave possible at the confidence of a claim.
func FailureBound(n int) float64 { return sim.FailureBound(n, claimConfidence) }
