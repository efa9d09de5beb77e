package site

import (
	"fmt"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"

	"tankodds/report/units"
)

// readAmount reads an amount of money, which may be by something: 50, $0.15 per
// kWh.
func readAmount(field func(At) *float64, what string, by ...string) func(At, given) error {
	return func(a At, g given) error {
		text, err := g.text()
		if err != nil {
			return err
		}
		for _, end := range by {
			if bare, ok := strings.CutSuffix(text, end); ok {
				text = bare
				break
			}
		}
		x, sign, err := units.Money(what, text)
		if err == nil && !(x >= 0) {
			err = fmt.Errorf("%s of %g is below 0", what, x)
		}
		if err == nil {
			err = a.pay(sign)
		}
		if err != nil {
			return g.fail("%v", err)
		}
		*field(a) = x
		return nil
	}
}

// readEnergy reads the energy that pumping takes, kWh a m³.
func readEnergy(a At, g given) error {
	text, err := g.text()
	if err != nil {
		return err
	}
	bare := text
	for _, end := range []string{"kWh/m3", "kWh/m³", "kwh/m3", "kWh per m3", "kWh per m³"} {
		bare = strings.TrimSuffix(bare, end)
	}
	x, err := units.Number("energy", bare)
	if err == nil && !(x >= 0) {
		err = fmt.Errorf("energy of %g kWh a m³ is below 0", x)
	}
	if err != nil {
		return g.fail("%v, or with its unit, as in 1.5 kWh/m3", err)
	}
	a.costs().Energy = x
	return nil
}

// readSewer reads the charge for the sewer, by volume.
func readSewer(a At, g given) error {
	text, err := g.text()
	if err != nil {
		return err
	}
	q, err := units.Parse(units.Price, "a sewer price", text)
	if err == nil {
		err = a.pay(q.Sign)
	}
	if err != nil {
		return g.fail("%v", err)
	}
	a.votes.add(q.System)
	a.costs().Sewer = q.Value
	return nil
}

// readOffers reads a list of tanks for sale, each with its size, its price and,
// where it costs more, its installation. Prices and offers are one thing, given
// in two ways.
func readOffers(a At, g given) error {
	items, listed, err := g.list(mostSizes)
	if err != nil {
		return err
	}
	if !listed {
		return g.notAList()
	}
	var sizes, prices []float64
	for _, item := range items {
		n := resolve(item.node)
		if n.Kind != yaml.MappingNode {
			return item.fail("an offer has a size and a price, as in {size: 5000 L, price: 1600, install: 400}")
		}
		var size, sum float64
		priced := false
		for i := 0; i < len(n.Content); i += 2 {
			value := given{node: n.Content[i+1]}
			switch key := n.Content[i].Value; key {
			case "size":
				size, err = value.quantity(a, units.Volume, "a tank size")
			case "price", "install":
				x := 0.0
				err = readAmount(func(At) *float64 { return &x }, "a price")(a, value)
				sum, priced = sum+x, priced || key == "price"
			default:
				err = item.fail("%q is not known; an offer has size, price and install", short(key))
			}
			if err != nil {
				return err
			}
		}
		if !(size > 0) || !priced {
			return item.fail("an offer has a size and a price, as in {size: 5000 L, price: 1600, install: 400}")
		}
		at, twice := slices.BinarySearch(sizes, size)
		if twice {
			return item.fail("one size has two prices")
		}
		sizes, prices = slices.Insert(sizes, at, size), slices.Insert(prices, at, sum)
	}
	a.costs().Sizes, a.costs().Prices = sizes, prices
	return nil
}
