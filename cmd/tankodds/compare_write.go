package main

import (
	"tankodds/report"
	"tankodds/report/figure"
	"tankodds/sim"
)

// writeComparison writes a comparison into a folder.
func writeComparison(out *folder, z *report.Comparison) error {
	files := []rendering{{"answers.csv", z.AnswersCSV}}
	if err := out.write("compare.json", z.WriteJSON); err != nil {
		return err
	}
	if z.Pairs != nil {
		files = append(files, rendering{"differences.csv", func() ([]byte, error) { return report.DifferencesCSV(z.Pairs) }})
	}
	if z.Groups != nil {
		files = append(files, rendering{"groups.csv", func() ([]byte, error) { return report.GroupsCSV(z.Groups) }})
	}
	if z.Region != nil {
		files = append(files, rendering{"regional.csv", func() ([]byte, error) { return report.RegionalCSV(z.Region) }})
	}
	if err := out.write("curves.csv", z.WriteCurves); err != nil {
		return err
	}
	if err := out.write("provenance.txt", z.WriteProvenance); err != nil {
		return err
	}
	stations, err := drawnStations(z)
	if err != nil {
		return err
	}
	for _, f := range figure.Comparison(z.Study, stations, z.Study.Years, regionalPoints(z.Region), figureOptions(z.Units)) {
		files = append(files, renderings(report.FigureFiles(f))...)
	}
	return writeAll(out, files)
}

// drawnStations are the stations as they are drawn.
func drawnStations(z *report.Comparison) ([]figure.Station, error) {
	curves, err := z.Curves()
	if err != nil {
		return nil, err
	}
	names := z.Names()
	var out []figure.Station
	for i, x := range z.Stations {
		if x.Grade == "" { // what could not be read has no place in a figure
			continue
		}
		s := figure.Station{
			Name: names[i], Latitude: x.Latitude, Longitude: x.Longitude, Seasonality: x.Seasonality, DrySpell: x.DrySpell, Annual: x.Annual,
			Tank: x.Tank, Low: x.Low, High: x.High, Safe: x.Safe, Inflow: x.Inflow, Demand: x.Wanted,
		}
		if z.Group != "" {
			s.Group = z.GroupOf(i)
		}
		if err := s.Grade.UnmarshalText([]byte(x.Grade)); err != nil {
			return nil, err
		}
		for _, p := range curves[i] {
			s.Curve = append(s.Curve, figure.Point{Tank: p[0], Share: sim.Interval{Estimate: p[1], Low: p[2], High: p[3]}})
		}
		out = append(out, s)
	}
	return out, nil
}

// regionalPoints are those of the curve fitted to all, none where there is none.
func regionalPoints(r *sim.Regional) (out []figure.RegionalPoint) {
	if r == nil {
		return nil
	}
	for _, p := range r.Points {
		out = append(out, figure.RegionalPoint{Store: p.Store, Share: p.Share, Low: p.Low, High: p.High})
	}
	return out
}
