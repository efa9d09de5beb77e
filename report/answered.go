package report

import (
	"context"

	"tankodds/report/site"
	"tankodds/sim"
)

// RowOf answers a plan under one record of a comparison, or says in the row why it
// cannot. Its error is that the work is stopped.
func RowOf(ctx context.Context, version string, plan *site.Plan, from site.Files, file string, at, workers int) (*Row, error) {
	p, study := *plan, *plan.Study
	p.Study, p.Name, p.Record.Embedded, p.Record.File = &study, "", false, file
	study.Workers, study.Progress = workers, nil
	rec, series, err := p.Record.Usable(from, study.StorageYear)
	var r *sim.Result
	if err == nil {
		r, err = sim.SizeBriefly(ctx, series, p.Generator, &study)
	}
	if ctx.Err() != nil {
		return nil, ctx.Err()
	}
	if err != nil {
		return FailedRow(at, file, err), nil
	}
	return NewRow(at, NewSizing(version, &p, rec, r))
}
