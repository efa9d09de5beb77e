package site

import (
	"path/filepath"
	"slices"

	"tankodds/sim"
)

// mostNeighbours is more than anybody has of one climate.
const mostNeighbours = 30

// readNeighbours reads the paths of neighbours' records: a list in a site file, or
// a flag as often as there are.
func readNeighbours(a At, g given) error {
	items, listed, err := g.list(mostNeighbours)
	switch {
	case err != nil:
		return err
	case g.node == nil:
		for _, text := range g.texts {
			items = append(items, given{texts: []string{text}})
		}
	case !listed: // one by itself
		items = []given{g}
	}
	if len(items) > mostNeighbours {
		return g.fail("%d are named; %d are the most", len(items), mostNeighbours)
	}
	a.Record.Near = nil
	for _, item := range items {
		path, err := item.text()
		if err != nil {
			return err
		}
		if path == "-" || path == "" {
			return item.fail("a neighbour's record is a file of its own")
		}
		if g.node != nil {
			path = beside(a.File, path)
		}
		path = filepath.ToSlash(path)
		n := Neighbour{File: path}
		if slices.Contains(a.Record.Near, n) {
			return item.fail("%s is named twice", short(path))
		}
		a.Record.Near = append(a.Record.Near, n)
	}
	return nil
}

// finishNeighbours refuses them where nothing shows that they help.
func (p *Plan) finishNeighbours() error {
	s, near := p.Study, about{"rain.neighbours", "target.measure", "target.solve"}
	switch {
	case p.Record.Near == nil || p.Command != Size:
		return nil
	case s.Measure != sim.Annual:
		return p.wrong(near, "neighbours sharpen a target of good years; of days and of water their bounds did not hold what they said on real records; %s",
			p.example(near, "leave out neighbours:, or write measure: annual", "leave out neighbours:, or write measure: annual", "leave out --neighbour, or give --measure annual", "leave out --neighbour, or give --measure annual"))
	case s.Sought != sim.ForTank:
		return p.wrong(near, "neighbours go with the smallest tank alone; %s",
			p.example(near, "leave out neighbours: or solve:", "leave out neighbours: or solve:", "leave out --neighbour or --solve", "leave out --neighbour or --solve"))
	case !s.RecordError:
		return misuse("leave out --neighbour or --record-error", "neighbours narrow the error of a short record, which is not asked for")
	}
	return nil
}
