package main

import (
	"fmt"
	"math"
	"os"
	"strings"

	"tankodds/report/units"
)

// The comments in a README between which the tables stand.
const (
	readmeFrom = "<!-- measured by scripts/bench -->\n"
	readmeTo   = "<!-- end of what scripts/bench measured -->\n"
)

// writeReadme writes the tables into the README.
func (b *bench) writeReadme() error {
	text, err := os.ReadFile(b.readme)
	if err != nil {
		return err
	}
	out, err := between(string(text), b.markdown())
	if err != nil {
		return fmt.Errorf("%s: %w", b.readme, err)
	}
	return os.WriteFile(b.readme, []byte(out), 0o666)
}

// between replaces what stands between the comments.
func between(text, tables string) (string, error) {
	before, rest, ok := strings.Cut(text, readmeFrom)
	_, after, ok2 := strings.Cut(rest, readmeTo)
	if !ok || !ok2 {
		return "", fmt.Errorf("no place for the tables: it lies between the lines %q and %q", strings.TrimSpace(readmeFrom), strings.TrimSpace(readmeTo))
	}
	return before + readmeFrom + tables + readmeTo + after, nil
}

// markdown sets what was found as the README shows it.
func (b *bench) markdown() string {
	var s strings.Builder
	cell := func(name string) string {
		x := b.found.get(name)
		if math.IsNaN(x) {
			return "–"
		}
		return units.Significant(x, 2)
	}
	fmt.Fprintf(&s, "\nMeasured on %s; %s.\n\n", b.machine, b.medians())
	s.WriteString("| the store, ns a tank-day | YAS | YBS |\n|---|---|---|\n")
	row := func(name, key string) {
		fmt.Fprintf(&s, "| %s | %s | %s |\n", name, cell("yas/"+key), cell("ybs/"+key))
	}
	for _, p := range peersInC {
		row("tankodds, "+kernelNames[p.width], p.width)
		row("C, "+kernelNames[p.width], p.name)
	}
	row("tankodds, Go alone", "64")
	fmt.Fprintf(&s, "\n| %s years × 50 tanks × 20 roofs, from file to answer | seconds |\n|---|---|\n", units.Fixed(float64(b.years), 0))
	for _, name := range []string{sizeMonteCarlo, sizeOneWorker, sizeRecord, withNumba, withNumPy} {
		fmt.Fprintf(&s, "| %s | %s |\n", name, cell(name))
	}
	fmt.Fprintf(&s, "\nReading the record takes %s ms, the demo begins to print after %s s, and the peak of memory with record error is %s MB at 1,000 years and %s MB at 100,000. All but the store's kernel takes %s %% of the processor time.\n\n",
		units.Significant(1000*b.found.get("reading"), 2), cell("first output"), cell("peak, 1,000 years"), cell("peak, 100,000 years"),
		units.Significant(100*b.found.get("outside, "+sizeMonteCarlo), 2))
	return s.String()
}
