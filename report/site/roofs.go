package site

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"go.yaml.in/yaml/v3"

	"tankodds/report/units"
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
	words := strings.Fields(s)
	at := 0
	for at < len(words) && !strings.ContainsAny(words[at][:1], "0123456789.-+") {
		at++
	}
	if at == len(words) {
		return nil, q, nil, fmt.Errorf("%q has no quantity; %s is %s such as %s", OneLine(s), what, kind, kind.Example())
	}
	end := len(words)
	for end > at+1 && !units.Known(strings.Join(words[at:end], " ")) {
		end--
	}
	q, err = units.Parse(kind, what, strings.Join(words[at:end], " "))
	return words[:at], q, words[end:], err
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

// surface reads the name of a surface, which brings its runoff coefficient
// with it.
func surface(field func(At) *sim.Roof) Value {
	v := single(func(a At) *string { return &field(a).Surface }, func(a At, s string) (string, error) {
		known, ok := sim.FindSurface(strings.ToLower(s))
		if !ok {
			return "", noSurface(s)
		}
		field(a).Runoff = known.Runoff
		return known.Name, nil
	}, nil, typed)
	v.Words = SurfaceNames()
	return v
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

// several reads a flag that is typed once for each of several things.
func several[T any](field func(At) *[]T, parse func(At, string) (T, error)) Value {
	return Value{
		several: true,
		field:   func(a At) any { return field(a) },
		read: func(a At, g given) error {
			*field(a) = nil
			for _, text := range g.texts {
				x, err := parse(a, text)
				if err != nil {
					return err
				}
				*field(a) = append(*field(a), x)
			}
			return nil
		},
	}
}

// daily reads a volume per time, or a volume, which is then a day's.
func daily(field func(At) *float64) Value {
	v := quantity(units.Flow, "a daily use", field)
	v.read = func(a At, g given) error {
		text, err := g.text()
		if err != nil {
			return err
		}
		q, err := units.Parse(units.Flow, "a daily use", text)
		if err != nil {
			q, err = units.Parse(units.Volume, "a daily use", text)
		}
		*field(a) = q.Value
		a.votes.add(q.System)
		return err
	}
	v.show = func(a At, s units.System) string { return units.Volume.Typed(*field(a), s) }
	column := v.column
	v.column = func(all []At, s units.System) (string, []string) {
		unit, cells := column(all, s)
		for i, a := range all {
			if *field(a) == 0 {
				cells[i] = "–"
			}
		}
		return unit, cells
	}
	return v
}

// weekdays reads "weekdays", "weekends" or days, in a text or a list.
func weekdays(field func(At) *sim.Weekdays) Value {
	v := single(field, func(_ At, s string) (sim.Weekdays, error) { return parseDays(s) }, nil, func(sim.Weekdays, units.System) string { return "" })
	one := v.read
	v.read = func(a At, g given) error {
		items, listed, err := g.list(7)
		if err != nil || !listed {
			return cmp.Or(err, one(a, g))
		}
		var all []string
		for _, item := range items {
			text, err := item.text()
			if err != nil {
				return err
			}
			all = append(all, text)
		}
		return one(a, given{texts: []string{strings.Join(all, " ")}})
	}
	return v
}

// parseDays reads "weekdays", "weekends" or names of days such as "mon, wed".
func parseDays(s string) (days sim.Weekdays, err error) {
	words := strings.FieldsFunc(strings.ToLower(s), func(r rune) bool { return r == ' ' || r == ',' })
	if len(words) == 0 {
		return days, fmt.Errorf("no day is named; write weekdays, weekends or days such as mon,wed")
	}
	for _, w := range words {
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

// monthly reads twelve volumes, January first.
func monthly(field func(At) *[12]float64) Value {
	return Value{
		field: func(a At) any { return field(a) },
		read: func(a At, g given) error {
			items, listed, err := g.list(12)
			switch {
			case err != nil:
				return err
			case !listed:
				return notAList(g)
			case len(items) != 12:
				return g.fail("it holds %d volumes; it is 12, January first", len(items))
			}
			for m, item := range items {
				if field(a)[m], err = item.quantity(a, units.Volume, "a month's use"); err != nil {
					return err
				}
			}
			return nil
		},
		show: func(At, units.System) string { return "" },
	}
}

func notAList(g given) error {
	return g.fail("it is a list; begin each entry with \"- \" or write [one, two]")
}

// prices reads a mapping of tank sizes to prices.
func prices() Value {
	const example = "{2000 L: 900, 10000 L: 2600}"
	return Value{
		field: func(a At) any { return &a.costs().Prices },
		show:  func(At, units.System) string { return "" },
		read: func(a At, g given) error {
			m := resolve(g.node)
			if m.Kind != yaml.MappingNode || len(m.Content) < 4 {
				return g.fail("they are of at least two sizes, each with its price, as in %s", example)
			}
			if len(m.Content) > 2*mostSizes {
				return g.fail("it has %s entries; it may have %s", count(len(m.Content)/2), count(mostSizes))
			}
			type offer struct{ size, price float64 }
			var offers []offer
			for i := 0; i < len(m.Content); i += 2 {
				size, price := given{node: m.Content[i]}, given{node: m.Content[i+1]}
				var o offer
				var err error
				if o.size, err = size.quantity(a, units.Volume, "a tank size"); err != nil {
					return err
				}
				if !(o.size > 0) {
					return size.fail("a tank size is above 0")
				}
				text, err := price.text()
				if err != nil {
					return err
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
		},
	}
}

// later refuses a key that is kept for what this version does not do.
func later() Value {
	return Value{read: func(_ At, g given) error {
		return g.fail("irrigation by area and plant factor is not read by this version; give monthly: with twelve volumes")
	}}
}
