package sim

// Way is what the real record would have given with what belongs to the tank done
// in another way, at the same size.
type Way struct {
	What       string  `key:"what" doc:"as-is, or what is other: mains-direct, mains-20, mains-50, pumps-after (the storm alone), pumps-through (the storm), no-surge, one-tank (as large as all together), no-keep, closed"`
	Volumetric float64 `key:"volumetric" doc:"share of the water wanted that rain supplied"`
	ShortDays  float64 `key:"short_days_per_year" doc:"days on which the tank fell short"`
	LetIn      float64 `key:"mains_in_l_per_year" doc:"mains let into the tank"`
	Lacks      float64 `key:"lacking_l_per_year" doc:"water wanted and not supplied: mains straight to the use, where there are any"`
	Spilled    float64 `key:"spilled_l_per_year" doc:"water that ran over"`
	Pumped     float64 `key:"pumped_l_per_year" doc:"water pumped from surge tanks"`
	Dried      float64 `key:"evaporated_l_per_year" doc:"water that evaporated"`
}

// Ways lists what is asked of a tank of a nominal size first and the other ways
// after it; none where the tank is alone. What a day has one step for, the hours
// of a storm, lies between two of them.
func (q *Question) Ways(nominal float64) (out []Way, err error) {
	s := q.study
	if !s.Slow() {
		return nil, nil
	}
	try := func(what string, change func(t *Tank, roofs []Roof, uses []Use)) {
		tank, roofs, uses := s.Tank(nominal), append([]Roof(nil), s.Roofs...), append([]Use(nil), s.Uses...)
		change(&tank, roofs, uses)
		r, failed := Replay(q.series, roofs, uses, tank)
		if failed != nil {
			err = failed
			return
		}
		years := float64(r.Days) / 365.2425
		out = append(out, Way{
			What: what, Volumetric: r.Volumetric, ShortDays: float64(r.ShortDays) / years,
			LetIn: r.LetIn / years, Lacks: r.Lacks() / years, Spilled: r.Spilled / years, Pumped: r.Pumped / years, Dried: r.Dried / years,
		})
	}
	try("as-is", func(*Tank, []Roof, []Use) {})
	if up := s.Fitted.TopUp; up.To != (Level{}) {
		try("mains-direct", func(t *Tank, _ []Roof, _ []Use) { t.Fittings.TopUp = TopUp{} })
		for _, to := range []struct {
			what  string
			share float64
		}{{"mains-20", 0.2}, {"mains-50", 0.5}} {
			other := TopUp{Below: Level{Share: 0.2}, To: Level{Share: to.share}, Rate: up.Rate}
			if other != up {
				try(to.what, func(t *Tank, _ []Roof, _ []Use) { t.Fittings.TopUp = other })
			}
		}
	}
	surge := 0.0
	for _, r := range s.Roofs {
		surge += r.Surge
	}
	if surge > 0 {
		alone := func(roofs []Roof) {
			for i := range roofs {
				roofs[i].Surge, roofs[i].Pump = 0, 0
			}
		}
		if s.Fitted.Pumping.Storm > 0 {
			try("pumps-after", func(t *Tank, _ []Roof, _ []Use) { t.Fittings.Pumping.Storm = 0 })
		}
		try("pumps-through", func(t *Tank, _ []Roof, _ []Use) { t.Fittings.Pumping.Storm = t.Fittings.Pumping.Hours })
		try("no-surge", func(_ *Tank, roofs []Roof, _ []Use) { alone(roofs) })
		try("one-tank", func(t *Tank, roofs []Roof, _ []Use) {
			alone(roofs)
			t.Nominal += surge / (1 - t.Dead - t.Under.Share)
		})
	}
	for _, u := range s.Uses {
		if u.Keep != (Level{}) {
			try("no-keep", func(_ *Tank, _ []Roof, uses []Use) {
				for i := range uses {
					uses[i].Keep = Level{}
				}
			})
			break
		}
	}
	if s.Fitted.Open > 0 {
		try("closed", func(t *Tank, _ []Roof, _ []Use) { t.Fittings.Open = 0 })
	}
	if len(out) == 1 { // nothing that could be other
		out = nil
	}
	return out, err
}

// PumpEnergy is what it takes to lift so many litres by a height, kWh: ρ·g·h·V over
// the share of the power that the pump turns into lift.
func PumpEnergy(litres, lift, efficiency float64) float64 {
	return litres * 9.80665 * lift / (3.6e6 * efficiency)
}

// PumpEfficiency is that of small pumps: common practice, no source.
const PumpEfficiency = 0.3
