package report

import "tankodds/report/units"

// Comparison is the same site under several records, ready to be shown. The
// order is the one the records were given in.
type Comparison struct {
	Version string
	Title   string // of the site, "" where it has none
	Sizings []*Sizing
	Units   units.System
}
