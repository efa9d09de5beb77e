package sim

import (
	"context"
	"slices"
)

// End is the answer were as few, or as many, people to use the water as is said
// they may be.
type End struct {
	Use  float64 `key:"use_l_per_day" doc:"mean use"`
	Tank float64 `key:"tank_l" doc:"the smallest nominal size of three digits that meets the target"`
	Safe float64 `key:"safe_tank_l" doc:"the smallest size whose lower bound meets the target"`
	Lead float64 `key:"lead_l" doc:"the size to go by, as in the answer"`
}

// Ends answers the study for the fewest and for the most people, with the same
// synthetic rain; none where their number is not said to vary.
func (q *Question) Ends(ctx context.Context) (out []End, err error) {
	s := q.study
	if !slices.ContainsFunc(s.Uses, func(u Use) bool { return u.Spread > 0 }) {
		return nil, nil
	}
	for _, way := range []float64{-1, 1} {
		study := *s
		study.Uses, study.Areas = slices.Clone(s.Uses), []float64{TotalArea(s.Roofs)}
		study.Costs, study.Progress = nil, nil
		for i := range study.Uses {
			u := &study.Uses[i]
			u.People, u.Spread = u.People+float64(way*u.Spread), 0
		}
		if err := study.Check(); err != nil {
			return nil, err
		}
		a, _, err := q.answered(ctx, &study)
		if err != nil {
			return nil, err
		}
		out = append(out, End{Use: MeanDemand(study.Uses), Tank: a.Tank, Safe: a.Safe, Lead: a.Lead})
	}
	return out, nil
}

// answered answers another study with the same synthetic rain: for the site's own
// roofs, and the cells of the sizes asked about.
func (q *Question) answered(ctx context.Context, study *Study) (Answer, []Cell, error) {
	other := *q
	other.study, other.progress = study, &progress{}
	other.ensemble = NewEnsemble(study, q.series.Years.Start).Under(q.series)
	curves, err := other.Curves(ctx)
	if err != nil {
		return Answer{}, nil, err
	}
	sizes, err := other.Solve(ctx, curves)
	if err != nil {
		return Answer{}, nil, err
	}
	claims := other.Claim(curves, sizes)
	answers := other.Answer(sizes, claims)
	return answers[len(sizes)-1], claims.Rows[0], nil
}
