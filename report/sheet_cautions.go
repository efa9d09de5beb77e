package report

import (
	"fmt"
	"math"

	"tankodds/report/units"
	"tankodds/sim"
)

// cautions are what must be minded, with this site's own numbers first.
func (b *sheetMaker) cautions() Section {
	own := []Item{b.mass()}
	own = append(own, b.overflow(), b.flush(), b.head())
	return Section{"cautions", "Take care", []Block{{List: own}, {List: generalCautions}}}
}

// mass is that of the full tank, at the size answered or looked at.
func (b *sheetMaker) mass() Item {
	size := b.r.Season.Tank
	if a := b.r.Main; !math.IsNaN(a.Listed) {
		size = a.Listed
	}
	water, shell := sim.FullMass(size)
	return Item{"Mass.", fmt.Sprintf("Full, a tank of %s holds %s of water, and weighs about %s with the tank itself (a plastic or thin-steel one, %s of the water's mass: %s; a concrete one may double it). It needs a level base that bears this.",
		b.u.Volume(size), b.u.Mass(water), b.u.Mass(water+shell), units.Percent(sim.EmptyShare), fromCommon)}
}

// overflow is the largest that the real record would have brought.
func (b *sheetMaker) overflow() Item {
	const end = "Overflow must reach a safe place, away from foundations and neighbours, through a pipe at least as large as the inlet."
	p := b.r.Peak
	if p == nil {
		return Item{"Overflow.", fmt.Sprintf("The real record would never have made %s overflow. %s", b.u.Volume(b.r.Season.Tank), end)}
	}
	return Item{"Overflow.", fmt.Sprintf("On %v, a day of %s of rain, %s would have left %s tank unused. %s",
		p.Date, b.u.Depth(p.Rain), b.u.Volume(p.Spill), units.An(b.u.Volume(b.r.Season.Tank)), end)}
}

// flush is what each first-flush diverter must hold.
func (b *sheetMaker) flush() Item {
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
		return Item{"First flush.", "No diverter was reckoned with: what washes off the roof goes into the tank."}
	}
	return Item{"First flush.", fmt.Sprintf("Volume that the diverter must hold: %s. It must drain within the dry days stated, or it takes nothing from the next storm.", parts)}
}

// head is the pressure that height gives.
func (b *sheetMaker) head() Item {
	per := fmt.Sprintf("%.1f kPa for every 1 m", sim.KPaPerM)
	if b.u == units.US {
		per = fmt.Sprintf("%.3f psi for every 1 ft", sim.PSIPerFt)
	}
	s := fmt.Sprintf("Water standing above an outlet gives %s; the heights of tank and outlets are not in this study.", per)
	if e := b.z.Cover.Elevation; e != nil {
		s += fmt.Sprintf(" The site's elevation above sea level, %s, is not that height.", b.u.Length(*e))
	}
	return Item{"Head.", s}
}

// generalCautions hold everywhere.
var generalCautions = []Item{
	{"Not drinking water.", "Collected roof water is not drinking water unless it is treated and tested as the local authority requires. Label every outlet."},
	{"No cross-connection.", "Backflow protection between tank and mains is work for a licensed plumber."},
	{"Mosquitoes.", "Screen every opening."},
	{"Entry and lids.", "Never enter a tank: it is a confined space. Lock its lids against children."},
	{"Pumps.", "On a protected circuit, by a licensed electrician."},
	{"Unfit roofs.", "Lead flashing, treated shingles and asbestos make a roof unfit for many uses."},
	{"Permits and codes.", "Ask the authority having jurisdiction."},
	{"Estimates.", "The figures are estimates from past rain; the climate may change."},
}
