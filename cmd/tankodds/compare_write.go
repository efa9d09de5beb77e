package main

import (
	"tankodds/report"
	"tankodds/report/figure"
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
	stations, err := z.Drawn()
	if err != nil {
		return err
	}
	for _, f := range figure.Comparison(z.Study, stations, z.Study.Years, report.RegionalPoints(z.Region), figureOptions(z.Units)) {
		files = append(files, renderings(report.FigureFiles(f))...)
	}
	return writeAll(out, files)
}
