package site

import (
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"time"

	"go.yaml.in/yaml/v3"

	"tankodds/rainfall/read"
	"tankodds/report/units"
	"tankodds/report/words"
	"tankodds/sim"
)

// beginsQuantity knows the first word of a quantity.
var beginsQuantity = regexp.MustCompile(`^[-+.]?[0-9½¼¾]|^[-+]`)

// split cuts words such as "studio 140 m2 metal" into what stands before the
// quantity, the quantity and what stands after. The quantity begins with the
// first word that begins like a number and is as long as it can be.
func split(kind units.Kind, what, s string) (before []string, q units.Quantity, after []string, err error) {
	fields := strings.Fields(s)
	at := 0
	for at < len(fields) && !beginsQuantity.MatchString(fields[at]) {
		at++
	}
	if at == len(fields) {
		return nil, q, nil, fmt.Errorf("%q has no quantity; %s is %s such as %s", OneLine(s), what, kind, kind.Example())
	}
	end := len(fields)
	quantity := func() string { return strings.TrimRight(strings.Join(fields[at:end], " "), ",;") }
	for end > at+1 && !units.Known(quantity()) {
		end--
	}
	if end == at+1 && len(fields) > end { // where the fault is in the number, more of it is shown
		if _, wrong := units.Number("", fields[at]); wrong != nil && !units.Known(fields[at]) || beginsQuantity.MatchString(fields[end]) {
			end++
		}
	}
	if q, err = units.Parse(kind, what, quantity()); err != nil && end == at+1 && len(fields) > end { // a word that is no unit follows
		err = fmt.Errorf("in %q %w", OneLine(s), err)
	}
	return fields[:at], q, fields[end:], err
}

// parseRoof reads "140m2", "140 m2 metal" or "studio 140m2 metal".
func parseRoof(a At, s string) (sim.Roof, error) {
	before, q, after, err := split(units.Area, "a roof", s)
	if err != nil {
		return sim.Roof{}, err
	}
	r := sim.NewRoof(q.Value)
	var surface sim.Surface
	named := false
	if len(after) > 0 && surfaceWords(strings.Join(after, " ")) != "roof" {
		if surface, err = findSurface(strings.Join(after, " ")); err != nil {
			return r, err
		}
		named = true
	} else {
		surface, before, named = leadingSurface(before)
	}
	if named {
		r.Surface, r.Runoff = surface.Name, surface.Runoff
	}
	a.votes.add(q.System)
	r.Name = strings.Join(before, " ")
	if err := bounded(r.Name, mostName); err != nil {
		return r, fmt.Errorf("the name is too long: %w", err)
	}
	if r.Area == 0 {
		return r, fmt.Errorf("%q has no area; a roof is above 0, such as %s", OneLine(s), units.Area.Example())
	}
	if err := checkArea(r.Area); err != nil {
		return r, err
	}
	return r, r.Check()
}

// checkArea wants a roof that can be reckoned with.
func checkArea(area float64) error {
	if area < mostArea {
		return nil
	}
	return fmt.Errorf("a roof of %s (%s) is larger than can be reckoned with; write one below %s (%s)",
		units.SI.Area(area), units.US.Area(area), units.SI.Area(mostArea), units.US.Area(mostArea))
}

// checkLoss wants a depth that the wettest day ever measured does not drown in.
func checkLoss(what string, mm float64) error {
	if mm <= read.MaxDaily {
		return nil
	}
	return fmt.Errorf("%s of %s (%s) is deeper than the wettest day ever measured, %s (%s), so no rain would reach the tank; write one such as %s", what,
		units.SI.Depth(mm), units.US.Depth(mm), units.Fixed(read.MaxDaily, 0)+" mm", units.US.Depth(read.MaxDaily), units.Depth.Example())
}

// readSurface reads the name of a surface, which brings its runoff coefficient
// with it.
func readSurface(a At, g given) error {
	text, err := g.text()
	if err != nil {
		return err
	}
	known, err := findSurface(text)
	if err != nil {
		return err
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
	all, err := g.all(7)
	if err != nil {
		return err
	}
	a.Use.Days, err = parseDays(strings.Join(all, " "))
	return err
}

// parseDays reads "weekdays", "weekends" or names of days such as "mon, wed".
func parseDays(s string) (days sim.Weekdays, err error) {
	fields := strings.FieldsFunc(strings.ToLower(s), func(r rune) bool { return r == ' ' || r == ',' })
	if len(fields) == 0 {
		return days, fmt.Errorf("no day is named; write weekdays, weekends or days such as mon,wed or mon-fri")
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
		from, to, ranged := strings.Cut(w, "-")
		if !ranged {
			to = from
		}
		day := func(w string) (int, bool) {
			return begins(w, 7, func(i int) string { return time.Weekday(i).String() })
		}
		d, ok := day(from)
		last, also := day(to)
		if !ok || !also {
			return days, fmt.Errorf("%q is no day; write weekdays, weekends or days such as mon,wed or mon-fri", w)
		}
		for ; ; d = (d + 1) % 7 { // fri-mon goes over the weekend
			if days[d] = true; d == last {
				break
			}
		}
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
		return g.fail("it takes twelve volumes, January first, and %d are given", len(items))
	}
	for m, item := range items {
		if a.Use.Monthly[m], err = item.quantity(a, units.Volume, "a month's use"); err != nil {
			return err
		}
	}
	return nil
}

// eaten finds what a shell leaves of $1,400 or of $900 that stands in no single
// quotes, as far as that can be told.
var eaten = regexp.MustCompile(`^\s*(?:,|0[0-9]|$)`)

// readPrices reads a mapping of tank sizes to prices, or SIZE=PRICE once for
// each.
func readPrices(a At, g given) error {
	type offer struct{ size, price given }
	var offers []offer
	if g.node == nil {
		for _, text := range g.texts {
			size, price, ok := strings.Cut(text, "=")
			if !ok {
				return fmt.Errorf("%q is not a size and its price, as in 5000L=1600", OneLine(text))
			}
			if eaten.MatchString(price) {
				return fmt.Errorf("%q has lost the beginning of its price; the shell takes a $ for its own, so write it in single quotes, as in '%s=$1,400'", OneLine(text), OneLine(size))
			}
			offers = append(offers, offer{given{texts: []string{size}}, given{texts: []string{price}}})
		}
	} else if m := resolve(g.node); m.Kind == yaml.MappingNode {
		for i := 0; i < len(m.Content); i += 2 {
			offers = append(offers, offer{given{node: m.Content[i]}, given{node: m.Content[i+1]}})
		}
	}
	switch n := len(offers); {
	case n == 0:
		return g.fail("they are sizes, each with its price, as in {2000 L: 900, 10000 L: 2600}")
	case n > mostSizes:
		return g.fail("it has %s entries; it may have %s", words.Whole(n), words.Whole(mostSizes))
	}
	prices := map[float64]float64{}
	var sizes []float64
	for _, o := range offers {
		size, err := o.size.quantity(a, units.Volume, "a tank size")
		if err != nil {
			return err
		}
		if !(size > 0) {
			return o.size.fail("a tank size is above 0")
		}
		if _, twice := prices[size]; twice {
			return g.fail("one size has two prices")
		}
		text, err := o.price.text()
		if err != nil {
			return err
		}
		x, sign, err := units.Money("a price", text)
		if err != nil && o.price.node != nil {
			return &fault{line: o.price.node.Line, text: err.Error(), hint: "write each size with its price, as in {2000 L: 900, 10000 L: 2600}"}
		}
		if err != nil {
			return err
		}
		if err := a.pay(sign); err != nil {
			return o.price.fail("%v", err)
		}
		prices[size], sizes = x, append(sizes, size)
	}
	slices.Sort(sizes)
	c := a.costs()
	c.Sizes, c.Prices = sizes, nil
	for _, size := range sizes {
		c.Prices = append(c.Prices, prices[size])
	}
	return nil
}

// readWaterPrice reads the price of water.
func readWaterPrice(a At, g given) error {
	text, err := g.text()
	if err != nil {
		return err
	}
	q, err := units.Parse(units.Price, "a water price", text)
	if err == nil {
		err = a.pay(q.Sign)
	}
	if err != nil {
		return g.fail("%v", err)
	}
	a.votes.add(q.System)
	a.costs().Water = q.Value
	return nil
}

// pay takes the sign of a price for that of the currency; all have the same.
func (a At) pay(sign string) error {
	c := a.costs()
	if sign != "" && c.Currency != "" && sign != c.Currency {
		return fmt.Errorf("a price in %s stands beside one in %s; write both in one currency, or without a sign", sign, c.Currency)
	}
	c.Currency = cmp.Or(sign, c.Currency)
	return nil
}
