package sim

import (
	"context"
	"slices"
)

// SurgeSize is the answer with every surge tank of one size.
type SurgeSize struct {
	Surge float64   `key:"surge_l" doc:"size of each surge tank"`
	Grade Grade     `key:"grade" doc:"as of the answer"`
	Tank  float64   `key:"tank_l" doc:"the smallest nominal size of the main tank that meets the target"`
	Low   float64   `key:"low_l" doc:"lower end of its band"`
	High  float64   `key:"high_l" doc:"upper end of its band"`
	Safe  float64   `key:"safe_tank_l" doc:"the smallest size whose lower bound meets the target"`
	Sizes []float64 `key:"sizes_l" doc:"main tanks asked about"`
	Share []float64 `key:"shares" doc:"what is stated of the target's measure at each"`
}

// Surges answers the study for each surge size that is to be compared, with the same
// synthetic rain; none where none is. Each costs what the study itself does.
func (q *Question) Surges(ctx context.Context) (out []SurgeSize, err error) {
	s := q.study
	for _, size := range s.Fitted.Pumping.Sizes {
		study := *s
		study.Roofs, study.Areas = slices.Clone(s.Roofs), []float64{TotalArea(s.Roofs)}
		study.Costs, study.Progress, study.Sought = nil, nil, ForTank
		for i := range study.Roofs {
			if study.Roofs[i].Surge > 0 {
				study.Roofs[i].Surge = size
			}
		}
		if err := study.Check(); err != nil {
			return nil, err
		}
		a, cells, err := q.answered(ctx, &study)
		if err != nil {
			return nil, err
		}
		x := SurgeSize{Surge: size, Grade: a.Grade, Tank: a.Tank, Low: a.Low, High: a.High, Safe: a.Safe}
		for _, c := range cells {
			x.Sizes, x.Share = append(x.Sizes, c.Tank), append(x.Share, c.Of(s.Measure).Estimate)
		}
		out = append(out, x)
	}
	return out, nil
}
