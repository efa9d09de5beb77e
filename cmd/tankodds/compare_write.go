package main

import (
	"tankodds/report"
	"tankodds/report/figure"
	"tankodds/sim"
)

// writeComparison writes a comparison into a folder.
func writeComparison(out *folder, z *report.Comparison) error {
	files := []rendering{{"answers.csv", z.AnswersCSV}, {"compare.json", z.JSON}}
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
	curves, err := z.Curves()
	if err != nil {
		return err
	}
	var all []figure.Compared
	for i, x := range z.Stations {
		if curves[i] == nil || len(z.Stations) > mostDrawn {
			continue
		}
		r := &sim.Result{Study: z.Study, Simulated: z.Study.Years}
		r.Main = sim.Answer{Tank: x.Tank, Low: x.Low, High: x.High, Area: sim.TotalArea(z.Study.Roofs)}
		if err := r.Main.Grade.UnmarshalText([]byte(x.Grade)); err != nil {
			return err
		}
		for _, p := range curves[i] {
			c := sim.Cell{Area: r.Main.Area, Tank: p[0]}
			*c.Measures.At(z.Study.Measure) = sim.Interval{Estimate: p[1], Low: p[2], High: p[3]}
			r.Curve = append(r.Curve, c)
		}
		all = append(all, figure.Compared{Name: z.Names()[i], Result: r})
	}
	if f, ok := figure.Compare(all, figureOptions(z.Units)); ok {
		files = append(files, figureFiles(f)...)
	}
	return writeAll(out, files)
}

const mostDrawn = 40
