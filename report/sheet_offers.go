package report

import (
	"fmt"
	"math"

	"tankodds/report/sheet"
	"tankodds/report/units"
	"tankodds/report/words"
	"tankodds/sim"
)

// offers is what each tank with a price costs and brings.
func (b *sheetMaker) offers() []sheet.Block {
	if len(b.r.Offers) == 0 {
		return nil
	}
	c := b.s.Costs
	var tanks, water []float64
	for _, o := range b.r.Offers {
		tanks, water = append(tanks, o.Tank), append(water, o.Supplied)
	}
	tank, supplied := b.u.VolumeColumn(tanks...), b.u.VolumeColumn(water...)
	t := &sheet.Table{
		Name:    "offers",
		Caption: "What each tank with a price costs and brings",
		Columns: []sheet.Column{{Title: "Tank", Unit: tank.Unit}, {Title: "Installed", Unit: c.Currency}, {Title: "Supplied", Unit: supplied.Unit + " a year"},
			{Title: "Net value", Unit: c.Currency}, {Title: "Pays back in", Unit: "years"}, {Title: "Water costs", Unit: b.perVolume()}, {Title: "More water costs", Unit: b.perVolume()}},
		Notes: []string{
			fmt.Sprintf("Over %g years, %s a year off for what comes later (%v rates). Net value: what the water saves, less all that the tank costs. Water costs: all that, a volume of water supplied; more water: what one size up costs more, a volume that it supplies more.", c.Life, units.Percent(c.Discount), c.Rates),
			"“Never” is within that time. The band of the record is not in these numbers.",
		},
	}
	for _, o := range b.r.Offers {
		row := sheet.Row{Cells: []string{tank.Cell(o.Tank), units.Amount(o.Price, ""), supplied.Cell(o.Supplied), units.Amount(o.Value, ""), "never", b.perVolumeCell(o.Levelised), b.perVolumeCell(o.Step)}}
		if !math.IsNaN(o.Payback) {
			row.Cells[4] = units.Fixed(o.Payback, 1)
		}
		if o.Tank == b.r.Stop.Tank {
			row.Mark = words.Worth(b.s, b.r.Stop)
		}
		t.Rows = append(t.Rows, row)
	}
	return []sheet.Block{{Table: t}, b.choices()}
}

// perVolume is the unit of a price by volume, and perVolumeCell one without its
// currency.
func (b *sheetMaker) perVolume() string {
	if b.u == units.US {
		return b.s.Costs.Currency + " per 1,000 gal"
	}
	return b.s.Costs.Currency + " per m³"
}

func (b *sheetMaker) perVolumeCell(perM3 float64) string {
	if b.u == units.US {
		perM3 *= units.LPerGallon
	}
	return units.Fixed(perM3, 2)
}

// choices are the offers that stand out, a sentence each.
func (b *sheetMaker) choices() sheet.Block {
	a, st := b.r.Main, b.r.Stop
	about := map[float64][]string{}
	var order []float64
	add := func(tank float64, what string) {
		if math.IsNaN(tank) {
			return
		}
		if about[tank] == nil {
			order = append(order, tank)
		}
		about[tank] = append(about[tank], what)
	}
	add(st.Tank, "is worth most as water")
	if a.Grade == sim.Indicated {
		add(a.Listed, "is the smallest for which this record points to the target, though it cannot show it")
	} else {
		add(a.Listed, "is the smallest that meets the target")
	}
	add(a.Sure, "is the smallest that is sure to meet it, as far as the record can tell")
	out := sheet.Block{}
	for _, tank := range order {
		text := ""
		for k, what := range about[tank] {
			if k > 0 {
				text += " and "
			}
			text += what
		}
		if o := b.offer(tank); o != nil {
			text += fmt.Sprintf(": %s installed", units.Amount(o.Price, b.s.Costs.Currency))
		}
		out.List = append(out.List, sheet.Item{Lead: b.u.Volume(tank), Text: text + "."})
	}
	return out
}

func (b *sheetMaker) offer(tank float64) *sim.Offer {
	for i := range b.r.Offers {
		if b.r.Offers[i].Tank == tank {
			return &b.r.Offers[i]
		}
	}
	return nil
}
