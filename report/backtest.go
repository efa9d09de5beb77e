package report

import (
	"tankodds/rainfall"
	"tankodds/sim/backtest"
)

// Backtest is a finished backtest, ready to be shown.
type Backtest struct {
	Version string
	Records []*rainfall.Summary // as in Result.Records
	Result  *backtest.Result
}
