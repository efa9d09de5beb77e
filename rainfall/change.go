package rainfall

// change tests the totals of usable water years for a trend and a step.
func change(totals []float64, labels []int) *Change {
	years := make([]float64, len(labels))
	for i, l := range labels {
		years[i] = float64(l)
	}
	step := Pettitt(totals)
	return &Change{
		MannKendall:  MannKendall(totals).P,
		SenPerDecade: 10 * SenSlope(years, totals),
		Pettitt:      step.P,
		StepLabel:    labels[step.At],
		Before:       step.Before,
		After:        step.After,
	}
}
