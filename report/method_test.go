package report

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"tankodds/sim"
)

// What belongs to the tank is told of what the site has, and of nothing else.
func TestMethodTellsOfWhatTheSiteHas(t *testing.T) {
	for name, change := range map[string]func(s *sim.Study){
		"surge tank": func(s *sim.Study) { s.Roofs[0].Surge, s.Roofs[0].Pump = 500, 5 },
		"Mains let": func(s *sim.Study) {
			s.Fitted.TopUp = sim.TopUp{Below: sim.Level{Share: 0.2}, To: sim.Level{Share: 0.2}, Rate: 2}
		},
		"Open water": func(s *sim.Study) { s.Fitted.Open = 2 },
		"":           func(s *sim.Study) { s.Uses[0].Keep = sim.Level{Litres: 100} },
	} {
		z := smallSizing(t)
		study := *z.Result.Study
		study.Roofs, study.Uses = slices.Clone(study.Roofs), slices.Clone(study.Uses)
		change(&study)
		z.Result.Study = &study
		text := fmt.Sprint((&sheetMaker{z: z, r: z.Result, s: z.Result.Study, u: z.Units, m: z.Record}).method())
		assert.Contains(t, text, "What belongs to the tank.", name)
		for _, what := range []string{"surge tank", "Mains let", "Open water"} {
			assert.Equal(t, what == name, strings.Contains(text, what), "%s, of %s", what, name)
		}
	}
}
