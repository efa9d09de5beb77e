package site

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"go.yaml.in/yaml/v3"

	"tankodds/report/units"
	"tankodds/report/words"
	"tankodds/sim"
)

// SurfaceNames lists the surfaces that can be named.
func SurfaceNames() []string {
	var names []string
	for _, s := range sim.Surfaces() {
		if s.Name != sim.DefaultSurface {
			names = append(names, s.Name)
		}
	}
	return names
}

// split cuts words such as "studio 140 m2 metal" into what stands before the
// quantity, the quantity and what stands after. The quantity begins with the
// first word that begins like a number and is as long as it can be.
func split(kind units.Kind, what, s string) (before []string, q units.Quantity, after []string, err error) {
	fields := strings.Fields(s)
	at := 0
	for at < len(fields) && !strings.ContainsAny(fields[at][:1], "0123456789.-+") {
		at++
	}
	if at == len(fields) {
		return nil, q, nil, fmt.Errorf("%q has no quantity; %s is %s such as %s", OneLine(s), what, kind, kind.Example())
	}
	end := len(fields)
	for end > at+1 && !units.Known(strings.Join(fields[at:end], " ")) {
		end--
	}
	q, err = units.Parse(kind, what, strings.Join(fields[at:end], " "))
	return fields[:at], q, fields[end:], err
}

// parseRoof reads "140m2", "140 m2 metal" or "studio 140m2 metal".
func parseRoof(a At, s string) (sim.Roof, error) {
	before, q, after, err := split(units.Area, "a roof", s)
	if err != nil {
		return sim.Roof{}, err
	}
	r := sim.NewRoof(q.Value)
	var name []string
	for i, w := range append(before, after...) {
		surface, ok := sim.FindSurface(strings.ToLower(w))
		switch {
		case ok:
			r.Surface, r.Runoff = surface.Name, surface.Runoff
		case i < len(before):
			name = append(name, w)
		default:
			return r, noSurface(w)
		}
	}
	a.votes.add(q.System)
	r.Name = strings.Join(name, " ")
	if err := bounded(r.Name, mostName); err != nil {
		return r, fmt.Errorf("the name is too long: %w", err)
	}
	return r, r.Check()
}

func noSurface(name string) error {
	return fmt.Errorf("no surface is called %q; there are %s", name, strings.Join(SurfaceNames(), ", "))
}

// readSurface reads the name of a surface, which brings its runoff coefficient
// with it.
func readSurface(a At, g given) error {
	text, err := g.text()
	if err != nil {
		return err
	}
	known, ok := sim.FindSurface(strings.ToLower(text))
	if !ok {
		return noSurface(text)
	}
	a.Roof.Surface, a.Roof.Runoff = known.Name, known.Runoff
	return nil
}

// parseUse reads "300L/day", "toilets 120 L/day weekdays" or "50L/day mon,wed".
func parseUse(a At, s string) (sim.Use, error) {
	before, q, after, err := split(units.Flow, "a use", s)
	if err != nil {
		return sim.Use{}, err
	}
	u := sim.Use{Name: strings.Join(before, " "), Daily: q.Value}
	if len(after) > 0 {
		if u.Days, err = parseDays(strings.Join(after, " ")); err != nil {
			return u, err
		}
	}
	if !(u.Daily > 0) {
		return u, fmt.Errorf("%q wants no water; a use is above 0", OneLine(s))
	}
	a.votes.add(q.System)
	if err := bounded(u.Name, mostName); err != nil {
		return u, fmt.Errorf("the name is too long: %w", err)
	}
	return u, u.Check()
}

// each reads a flag that is typed once for each of several things.
func each[T any](field func(At) *[]T, parse func(At, string) (T, error)) func(At, given) error {
	return func(a At, g given) error {
		*field(a) = nil
		for _, text := range g.texts {
			x, err := parse(a, text)
			if err != nil {
				return err
			}
			*field(a) = append(*field(a), x)
		}
		return nil
	}
}

// readDaily reads a volume per time, or a volume, which is then a day's.
func readDaily(a At, g given) (err error) {
	if a.Use.Daily, err = g.quantity(a, units.Flow, "a daily use"); err != nil {
		a.Use.Daily, err = g.quantity(a, units.Volume, "a daily use")
	}
	return err
}

// readDays reads "weekdays", "weekends" or days, in a text or a list.
func readDays(a At, g given) error {
	items, listed, err := g.list(7)
	if err != nil {
		return err
	}
	if !listed {
		items = []given{g}
	}
	var all []string
	for _, item := range items {
		text, err := item.text()
		if err != nil {
			return err
		}
		all = append(all, text)
	}
	a.Use.Days, err = parseDays(strings.Join(all, " "))
	return err
}

// parseDays reads "weekdays", "weekends" or names of days such as "mon, wed".
func parseDays(s string) (days sim.Weekdays, err error) {
	fields := strings.FieldsFunc(strings.ToLower(s), func(r rune) bool { return r == ' ' || r == ',' })
	if len(fields) == 0 {
		return days, fmt.Errorf("no day is named; write weekdays, weekends or days such as mon,wed")
	}
	for _, w := range fields {
		switch w {
		case "daily", "everyday":
			days = sim.Weekdays{true, true, true, true, true, true, true}
			continue
		case "weekdays":
			for d := time.Monday; d <= time.Friday; d++ {
				days[d] = true
			}
			continue
		case "weekends":
			days[time.Saturday], days[time.Sunday] = true, true
			continue
		}
		d, ok := begins(w, 7, func(i int) string { return time.Weekday(i).String() })
		if !ok {
			return days, fmt.Errorf("%q is no day; write weekdays, weekends or days such as mon,wed", w)
		}
		days[d] = true
	}
	return days, nil
}

// readMonthly reads twelve volumes, January first.
func readMonthly(a At, g given) error {
	items, listed, err := g.list(12)
	switch {
	case err != nil:
		return err
	case !listed:
		return g.notAList()
	case len(items) != 12:
		return g.fail("it holds %d volumes; it is 12, January first", len(items))
	}
	for m, item := range items {
		if a.Use.Monthly[m], err = item.quantity(a, units.Volume, "a month's use"); err != nil {
			return err
		}
	}
	return nil
}

// readPrices reads a mapping of tank sizes to prices.
func readPrices(a At, g given) error {
	m := resolve(g.node)
	if m.Kind != yaml.MappingNode || len(m.Content) < 4 {
		return g.fail("they are of at least two sizes, each with its price, as in {2000 L: 900, 10000 L: 2600}")
	}
	if len(m.Content) > 2*mostSizes {
		return g.fail("it has %s entries; it may have %s", words.Whole(len(m.Content)/2), words.Whole(mostSizes))
	}
	type offer struct{ size, price float64 }
	var offers []offer
	for i := 0; i < len(m.Content); i += 2 {
		size, price := given{node: m.Content[i]}, given{node: m.Content[i+1]}
		text, err := price.text()
		if err != nil {
			return err
		}
		var o offer
		if o.size, err = size.quantity(a, units.Volume, "a tank size"); err != nil {
			return err
		}
		if !(o.size > 0) {
			return size.fail("a tank size is above 0")
		}
		if o.price, err = units.Number("a price", text); err != nil {
			return price.fail("%v", err)
		}
		offers = append(offers, o)
	}
	slices.SortStableFunc(offers, func(a, b offer) int { return cmp.Compare(a.size, b.size) })
	c := a.costs()
	for i, o := range offers {
		if i > 0 && o.size == offers[i-1].size {
			return g.fail("one size has two prices")
		}
		c.Sizes, c.Prices = append(c.Sizes, o.size), append(c.Prices, o.price)
	}
	return nil
}

// later refuses a key that is kept for what this version does not do.
func later(_ At, g given) error {
	return g.fail("irrigation by area and plant factor is not read by this version; give monthly: with twelve volumes")
}
