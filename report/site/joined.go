package site

import (
	"go.yaml.in/yaml/v3"

	"tankodds/report/units"
	"tankodds/sim"
)

// joined says whether the tank is several.
func joined(p *Plan) bool { return len(p.Study.Joined) > 0 }

const joinedExample = "as in {area: 2 m2, height: 1.8 m, outlet: 0.1 m, base: 0.2 m}"

// mostJoined is more than anybody joins.
const mostJoined = 100

// readJoined reads a list of joined tanks.
func readJoined(a At, g given) error {
	items, listed, err := g.list(mostJoined)
	if err != nil {
		return err
	}
	if !listed {
		return g.notAList()
	}
	a.Study.Joined = nil
	for _, item := range items {
		n := resolve(item.node)
		if n.Kind != yaml.MappingNode {
			return item.fail("a joined tank has an area and a height, %s", joinedExample)
		}
		var part sim.Part
		for i := 0; i < len(n.Content); i += 2 {
			value := given{node: n.Content[i+1]}
			switch key := n.Content[i].Value; key {
			case "area":
				part.Area, err = value.quantity(a, units.Area, "a tank's area")
			case "base":
				part.Base, err = value.quantity(a, units.Length, "the height of a floor")
			case "height":
				part.Height, err = value.quantity(a, units.Length, "the height of an overflow")
			case "outlet":
				part.Outlet, err = value.quantity(a, units.Length, "the height of an outlet")
			default:
				err = item.fail("%q is not known; a joined tank has area, height, outlet and base", short(key))
			}
			if err != nil {
				return err
			}
		}
		if !(part.Area > 0) || !(part.Height > 0) {
			return item.fail("a joined tank has an area and a height, %s", joinedExample)
		}
		if err := part.Check(); err != nil {
			return item.fail("%v", err)
		}
		a.Study.Joined = append(a.Study.Joined, part)
	}
	return nil
}

// finishJoined makes joined tanks the size asked about: what of them cannot be
// drawn is dead.
func (p *Plan) finishJoined() error {
	s := p.Study
	if !joined(p) {
		return nil
	}
	if s.Sizes != nil || s.Costs != nil || s.Dead > 0 || s.Under.Dead > 0 {
		return p.wrong(about{"tank.joined", "tank.sizes", "tank.prices", "tank.dead", "--price"}, "the tanks joined are the size asked about; leave out sizes, prices and dead")
	}
	holds, usable := sim.Joined(s.Joined)
	if !(usable > 0) {
		return p.wrong(about{"tank.joined"}, "the lowest overflow of the joined tanks lies below the highest outlet: nothing can be drawn")
	}
	s.Sizes, s.Under.Dead = []float64{holds}, holds-usable
	return nil
}

// readInstalled reads the month in which the tank is installed.
func readInstalled(a At, g given) error {
	text, err := g.text()
	if err != nil {
		return err
	}
	m, err := parseMonth(text)
	a.Study.Begins = int(m)
	return err
}
