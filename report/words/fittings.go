package words

import (
	"fmt"
	"math"
	"strings"

	"tankodds/report/units"
	"tankodds/sim"
)

// Level says where a level in the tank is.
func Level(u units.System, l sim.Level) string {
	switch {
	case l.Share > 0:
		return units.Percent(l.Share) + " of what can be drawn"
	case l.Litres > 0:
		return u.Volume(l.Litres)
	}
	return "the outlet"
}

// Depths lists twelve depths of the months.
func Depths(u units.System, of [12]float64) string {
	column := u.DepthColumn(of[:]...)
	var all []string
	for _, x := range of {
		all = append(all, column.Cell(x))
	}
	return strings.Join(all, ", ") + " " + column.Unit
}

// Air says where evapotranspiration comes from.
func Air(u units.System, a sim.Air) string {
	if a.Temperatures {
		return "from the record's temperatures (Hargreaves, FAO-56 equation 52)"
	}
	return Depths(u, a.Monthly)
}

// Way says how what belongs to the tank is done.
func Way(u units.System, s *sim.Study, what string) string {
	switch what {
	case "as-is":
		return "as asked"
	case "mains-direct":
		return "mains straight to the use"
	case "mains-20":
		return "mains let in below 20 %, up to 20 %"
	case "mains-50":
		return "mains let in below 20 %, up to 50 %"
	case "pumps-after":
		return "pumps only after the storm"
	case "pumps-through":
		return "pumps all through the storm"
	case "no-surge":
		return "no surge tanks: roofs drain to the tank"
	case "one-tank":
		surge := 0.0
		for _, r := range s.Roofs {
			surge += r.Surge
		}
		return fmt.Sprintf("no surge tanks, and a tank %s larger", u.Volume(surge))
	case "no-keep":
		return "no levels: all uses served to the last"
	case "closed":
		return "no open water"
	}
	return what
}

// Pumping says what the pumps of surge tanks have to do, "" where there are none.
func Pumping(u units.System, r *sim.Result) string {
	s, pumped := r.Study, 0.0
	for _, m := range r.Months {
		pumped += m.Pumped
	}
	if pumped == 0 {
		return ""
	}
	p := s.Fitted.Pumping
	taken := fmt.Sprintf("rain is taken to fall in %g h", p.Storm)
	if p.Storm == 0 {
		taken = "pumps are taken to run only after the rain"
	}
	out := fmt.Sprintf("The pumps move %s a year. A day has one step here, so the hours of a storm are not seen: %s. The truth lies between pumps that run only after the storm and pumps that run all through it.", u.Volume(pumped), taken)
	if p.Lift > 0 {
		kwh := sim.PumpEnergy(pumped, p.Lift, sim.PumpEfficiency)
		out += fmt.Sprintf(" To lift that by %s takes about %s kWh a year, if the pumps turn %s of their power into lift (common practice, no source); starts and stand-by come on top.", u.Length(p.Lift), units.Significant(kwh, 2), units.Percent(sim.PumpEfficiency))
	}
	return out
}

// JoinedTanks says what joined tanks hold together.
func JoinedTanks(u units.System, parts []sim.Part) string {
	holds, usable := sim.Joined(parts)
	return fmt.Sprintf("%d, which hold %s filled to their own overflows; %s can be drawn between the lowest overflow and the highest outlet", len(parts), u.Volume(holds), u.Volume(usable))
}

// Pressure says a pressure given in kPa.
func Pressure(s units.System, kpa float64) string {
	if s == units.US {
		return units.Significant(kpa/(units.PaPerPSI/1000), 2) + " psi"
	}
	return units.Significant(kpa, 3) + " kPa"
}

// Lacking says what becomes of the water that rain does not give, after "is".
func Lacking(s *sim.Study) string {
	switch s.Mains {
	case sim.None:
		return "lacking"
	case sim.IntoTank:
		return "mains or lacking"
	}
	return "topped up"
}

// Surges says what larger surge tanks save of the main tank: "" where fewer than two
// sizes have an answer.
func Surges(u units.System, r *sim.Result) string {
	var least, most *sim.SurgeSize
	for i := range r.Surges {
		x := &r.Surges[i]
		if math.IsNaN(x.Tank) {
			continue
		}
		if least == nil || x.Surge < least.Surge {
			least = x
		}
		if most == nil || x.Surge > most.Surge {
			most = x
		}
	}
	if least == nil || least == most {
		return ""
	}
	head := fmt.Sprintf("Surge tanks of %s each in place of %s ", u.Volume(most.Surge), u.Volume(least.Surge))
	if least.Tank <= most.Tank {
		return head + "save nothing of the tank."
	}
	return head + fmt.Sprintf("let the tank be %s smaller: %s in place of %s.", u.Volume(least.Tank-most.Tank), u.Volume(most.Tank), u.Volume(least.Tank))
}
