package report

import (
	"fmt"

	"tankodds/report/sheet"
	"tankodds/report/site"
	"tankodds/report/units"
	"tankodds/report/words"
	"tankodds/sim"
)

// cautions are what must be minded, with this site's own numbers first.
func (b *sheetMaker) cautions() sheet.Section {
	own := []sheet.Item{b.mass()}
	own = append(own, b.spill(), b.flush(), b.head())
	if b.s.Mains == sim.IntoTank {
		own = append(own, sheet.Item{Lead: "Mains into the tank.", Text: "Let them in through an air gap above the highest water, so that tank water can never flow back."})
		if up, day := b.s.Fitted.TopUp, sim.MeanDemand(b.s.Uses); up.Below.Litres+up.Below.Share*b.s.Usable(b.r.Season.Tank) < day {
			own = append(own, sheet.Item{Lead: "Level of the mains.", Text: fmt.Sprintf("The level below which mains are let in holds less than a day of use, %s. On a dry day the tank can run out before they come.", b.u.Volume(day))})
		}
	}
	for _, r := range b.s.Roofs {
		if r.Surge > 0 {
			own = append(own, sheet.Item{Lead: "Surge tanks.", Text: "Protect each pump against running dry. Every surge tank and the main tank need an overflow of their own, each to a safe place."})
			break
		}
	}
	if b.s.Fitted.Open > 0 {
		own = append(own, sheet.Item{Lead: "Animals.", Text: "A dry trough in heat kills: keep days of use in hand, and ask a vet about the quality of the water."})
	}
	if b.s.Under.Kept(1) > 0 {
		own = append(own, sheet.Item{Lead: "Fire.", Text: "Ask the fire authority about the volume kept, its outlet and the way to it."})
	}
	return sheet.Section{ID: "cautions", Heading: "Take care", Where: sheet.Report, Blocks: []sheet.Block{{List: own}, {List: generalCautions()}}}
}

// mass is that of the full tank, at the size answered or looked at.
func (b *sheetMaker) mass() sheet.Item {
	size := b.r.Season.Tank
	water, shell := sim.FullMass(size)
	return sheet.Item{Lead: "Mass.", Text: fmt.Sprintf("A full tank of %s holds %s of water. With the tank itself it weighs about %s (plastic or thin steel, %s of the water's mass: %s). Concrete may double this. Build a level base for it.",
		b.u.Volume(size), b.u.Mass(water), b.u.Mass(water+shell), units.Percent(sim.EmptyShare), site.CommonPractice)}
}

// spill is the largest overflow that the real record would have brought.
func (b *sheetMaker) spill() sheet.Item {
	const end = "Lead the overflow to a safe place, away from foundations and neighbours. Use a pipe at least as large as the inlet."
	p := b.r.Peak
	if p == nil {
		return sheet.Item{Lead: "Overflow.", Text: fmt.Sprintf("In the real record a tank of %s never overflows. %s", b.u.Volume(b.r.Season.Tank), end)}
	}
	return sheet.Item{Lead: "Overflow.", Text: fmt.Sprintf("On %v it rained %s. On that day %s would have overflowed from %s tank. %s",
		p.Date, b.u.Depth(p.Rain), b.u.Volume(p.Spill), units.An(b.u.Volume(b.r.Season.Tank)), end)}
}

// flush is what each first-flush diverter must hold.
func (b *sheetMaker) flush() sheet.Item {
	var parts string
	none := true
	for i, r := range b.s.Roofs {
		if r.FirstFlush > 0 {
			none = false
		}
		if i > 0 {
			parts += "; "
		}
		parts += fmt.Sprintf("%s %s", r.Name, b.u.Volume(r.FlushVolume()))
	}
	if none {
		return sheet.Item{Lead: "First flush.", Text: "This study has no diverter. What washes off the roof goes into the tank."}
	}
	return sheet.Item{Lead: "First flush.", Text: fmt.Sprintf("The diverter must hold: %s. It must drain within the dry days stated, or it is still full at the next storm.", parts)}
}

// head is the pressure that height gives.
func (b *sheetMaker) head() sheet.Item {
	per := fmt.Sprintf("%.1f kPa for every 1 m", sim.KPaPerM)
	if b.u == units.US {
		per = fmt.Sprintf("%.3f psi for every 1 ft", sim.PSIPerFt)
	}
	s := fmt.Sprintf("Water above an outlet gives %s.", per)
	if above := b.s.Fitted.Above; above > 0 {
		kpa := above * sim.KPaPerM
		s += fmt.Sprintf(" With the tank's outlet %s above the uses that is %s when the tank is nearly empty, less what pipes take.", b.u.Length(above), words.Pressure(b.u, kpa))
		for _, u := range b.s.Uses {
			switch {
			case u.Needs > kpa:
				s += fmt.Sprintf(" It is not enough for %s, which needs %s: that takes a pump.", u.Name, words.Pressure(b.u, u.Needs))
			case u.Needs > 0:
				s += fmt.Sprintf(" %s needs %s.", words.UpperFirst(u.Name), words.Pressure(b.u, u.Needs))
			}
		}
	} else {
		s += " The heights of tank and outlets are not in this study."
	}
	if e := b.z.Cover.Elevation; e != nil {
		s += fmt.Sprintf(" The site's elevation above sea level, %s, is not that height.", b.u.Length(*e))
	}
	return sheet.Item{Lead: "Head.", Text: s}
}

// generalCautions hold everywhere. A sheet binds its texts where they stand,
// so each has its own.
func generalCautions() []sheet.Item {
	return []sheet.Item{
		{Lead: "Not drinking water.", Text: "Collected roof water is not drinking water unless it is treated and tested as the local authority requires. Label every outlet."},
		{Lead: "No cross-connection.", Text: "Never join tank and mains without backflow protection. Have a licensed plumber fit it."},
		{Lead: "Mosquitoes.", Text: "Screen every opening."},
		{Lead: "Entry and lids.", Text: "Never enter a tank: it is a confined space. Lock its lids against children."},
		{Lead: "Empty tanks.", Text: "A buried one can float, and one above ground can blow away or slide in an earthquake. Anchor it."},
		{Lead: "Frost.", Text: "Drain pipes and diverters before it freezes."},
		{Lead: "Hot water.", Text: "Keep it at 60 °C or 140 °F, against legionella."},
		{Lead: "Pumps.", Text: "On a protected circuit, by a licensed electrician."},
		{Lead: "Unfit roofs.", Text: "Lead, bitumen, unknown paint and treated timber make a roof unfit for many uses. Do not cut or scrub asbestos."},
		{Lead: "Permits and codes.", Text: "Ask the authority having jurisdiction."},
		{Lead: "Estimates.", Text: "The figures are estimates from past rain. The climate may change."},
	}
}
