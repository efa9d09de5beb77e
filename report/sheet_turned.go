package report

import (
	"tankodds/report/sheet"
	"tankodds/report/words"
	"tankodds/sim"
)

// turned is what the tank asked about is enough for, where that was asked.
func (z *Sizing) turned() []sheet.Fact {
	s := z.Result.Study
	if z.Result.Turned == nil || s.Sought == sim.ForTank {
		return nil
	}
	first, second := words.Turned(z.Units, z.Result)
	labels := [2]string{"Largest use", "Smallest roof"}
	if s.Sought == sim.ForRoof {
		labels[0], labels[1] = labels[1], labels[0]
	}
	return []sheet.Fact{{Label: labels[0], Value: first}, {Label: labels[1], Value: second}}
}
