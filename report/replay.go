package report

import (
	"tankodds/rainfall"
	"tankodds/report/units"
	"tankodds/report/words"
	"tankodds/sim"
)

// Replayed is the real record through one tank, ready to be shown.
type Replayed struct {
	Version string
	Title   string
	Record  *rainfall.Summary
	Result  *sim.ReplayResult
	Uses    []sim.Use
	Units   units.System
}

// warnings returns what must be told of the record, its plausibility and the
// days passed over.
func (z *Replayed) warnings(u units.System) []words.Warning {
	out := append(words.Warned(z.Record.Findings, u, false), words.Warned(z.Record.Suspicious(), u, false)...)
	return append(out, words.Warned(z.Result.Findings(), u, false)...)
}
