package site

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"

	"tankodds/rainfall/gen"
	"tankodds/rainfall/read"
	"tankodds/report/units"
	"tankodds/sim"
)

// Values that one parameter alone has.

// priced says whether the site has costs.
func priced(p *Plan) bool { return p.Study.Costs != nil }

// stressed says whether the synthetic rain is changed.
func stressed(p *Plan) bool { return !p.Study.Stress.None() }

// inWords makes the sheet say a value in words.
func inWords(v Value, say func(At, units.System) string) Value {
	v.words = say
	return v
}

// bare makes the sheet show a coefficient as a number.
func bare(v Value, field func(At) *float64) Value {
	v.column = func(all []At, _ units.System) (string, []string) {
		var cells []string
		for _, a := range all {
			cells = append(cells, units.Fixed(*field(a), 2))
		}
		return "", cells
	}
	return v
}

// recordFile reads the path of the record. A flag that names one takes another
// than the site file's, whose path is relative to it.
func recordFile() Value {
	return Value{
		Files: true,
		field: func(a At) any { return &a.Record.File },
		read: func(a At, g given) error {
			path, err := g.text()
			if err != nil {
				return err
			}
			if g.node == nil {
				a.Record.replace(path)
			} else {
				a.Record.File = beside(a.File, path)
			}
			return nil
		},
		show: func(At, units.System) string { return "" },
	}
}

// rainUnit reads the unit of a rain file.
func rainUnit(field func(At) *string) Value {
	v := oneOf(field, "mm", "in", "0.1mm")
	known := v.read
	v.read = func(a At, g given) error {
		text, err := g.text()
		if err != nil {
			return err
		}
		text = strings.ReplaceAll(text, " ", "")
		if s := strings.ToLower(text); s == "inch" || s == "inches" {
			text = "in"
		}
		return known(a, given{texts: []string{text}})
	}
	return orNone(field, v)
}

// missingNumbers reads the numbers that stand for none.
func missingNumbers(field func(At) *string) Value {
	return single(field, func(_ At, text string) (string, error) { return text, nil }, func(text string) error {
		if err := (read.Options{Missing: text}).Check(""); err != nil {
			return &fault{text: fmt.Sprintf("%q is not made of numbers", text), hint: err.Hint}
		}
		return nil
	}, typed)
}

// unstatedSurface says what a roof is taken for that does not say.
func unstatedSurface() string {
	s, _ := sim.FindSurface(sim.DefaultSurface)
	return fmt.Sprintf("%s: runoff %g", s.Name, s.Runoff)
}

// wholeNumber and share read one entry of a list.
func wholeNumber(word string) (int, error) {
	n, err := strconv.Atoi(word)
	if err != nil {
		return 0, fmt.Errorf("%q is not a whole number", word)
	}
	return n, nil
}

func share(word string) (float64, error) {
	q, err := units.Parse(units.Share, "a share", word)
	return q.Value, err
}

// target reads a reliability, which cannot be certain.
func target(field func(At) *float64) Value {
	v := quantity(units.Share, "a target", field, func(x float64) error {
		if !(x > 0 && x < 1) {
			return fmt.Errorf("a target of %g cannot be shown; write a share between 0 and 1 such as 0.9 or 99%%", x)
		}
		return nil
	})
	v.show = func(a At, _ units.System) string { return strconv.FormatFloat(*field(a), 'g', -1, 64) }
	return v
}

func generatorNames() []string {
	var names []string
	for _, g := range gen.All() {
		names = append(names, g.Name)
	}
	return names
}

// generator reads the name of a rain generator.
func generator(field func(At) *gen.Generator) Value {
	v := single(field, func(_ At, text string) (gen.Generator, error) { return gen.Find(text) }, nil,
		func(g gen.Generator, _ units.System) string { return g.Name })
	v.Words = generatorNames()
	return v
}

// kernel reads the name of a kernel; which of them there are is the machine's
// affair, and a completion script is used on others.
func kernel(field func(At) *string) Value {
	v := text(mostName, field)
	v.Words = []string{"auto", "go", "avx2", "avx512"}
	return v
}

// systemOfUnits reads a system of units.
func systemOfUnits(field func(At) *units.System) Value {
	v := single(field, func(_ At, text string) (units.System, error) { return units.ParseSystem(text) }, nil, typed)
	v.Words = []string{units.SI.String(), units.US.String()}
	return v
}

// folder reads the path of a folder.
func folder(field func(At) *string) Value {
	v := single(field, func(_ At, path string) (string, error) { return path, nil }, nil, typed)
	v.Folders = true
	return v
}

// date reads a date as it is to be printed.
func date(field func(At) *string) Value {
	return single(field, func(_ At, s string) (string, error) {
		if s = OneLine(s); s == "today" {
			s = time.Now().Format(time.DateOnly)
		}
		return s, nil
	}, func(s string) error { return bounded(s, mostName) }, typed)
}

// Misuse is a mistake in what was typed on the command line.
type Misuse struct {
	Text string
	Hint string // a remedy, "" where Text holds it
}

func (m *Misuse) Error() string { return m.Text }

func misuse(hint, format string, args ...any) error {
	return &Misuse{Text: fmt.Sprintf(format, args...), Hint: hint}
}

// flagError is an error about the value of a flag.
func (p *Parameter) flagError(err error) error {
	hint := ""
	if f := (*fault)(nil); errors.As(err, &f) {
		hint = f.hint
	}
	if hint == "" && p.Example != "" {
		hint = "as in --" + p.Flag + " " + p.Example
	}
	return misuse(hint, "--%s: %v", p.Flag, err)
}

// Nearest returns the candidate that a mistyped word most likely means, ""
// where none is close.
func Nearest(word string, candidates []string) string {
	best, least := "", 1+len(word)/3
	for _, c := range candidates {
		if d := edits(word, c); d <= least && (best == "" || d < edits(word, best)) {
			best = c
		}
	}
	return best
}

// edits counts the insertions, deletions and substitutions of one letter that
// turn a into b (Levenshtein 1966, from memory).
func edits(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			cost := 1
			if a[i] == b[j] {
				cost = 0
			}
			diagonal, row[j+1] = row[j+1], min(diagonal+cost, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(b)]
}
