package site

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"tankodds/rainfall/gen"
	"tankodds/rainfall/read"
	"tankodds/report/units"
	"tankodds/sim"
	"tankodds/sim/backtest"
)

// Values that one parameter alone has.

// priced says whether the site has costs.
func priced(p *Plan) bool { return p.Study.Costs != nil }

// sewered, pumped and powered say of what costs there are.
func sewered(p *Plan) bool { return priced(p) && p.Study.Costs.Sewer > 0 }
func pumped(p *Plan) bool  { return priced(p) && p.Study.Costs.Pump > 0 }
func powered(p *Plan) bool { return priced(p) && p.Study.Costs.Energy > 0 }

// stressed says whether the synthetic rain is changed.
func stressed(p *Plan) bool { return !p.Study.Stress.None() }

// detains says whether there is room above the store.
func detains(p *Plan) bool { return p.Study.Detain > 0 }

// readRecord reads the path of the record. A flag that names one takes another
// than the site file's, whose path is relative to it.
func readRecord(a At, g given) error {
	path, err := g.text()
	if g.node == nil {
		a.Record.replace(path)
	} else {
		a.Record.File = beside(a.File, path)
	}
	return err
}

// readSecond reads the path of the second gauge's record.
func readSecond(a At, g given) error {
	path, err := g.text()
	if path == "-" {
		return g.fail("a second gauge is a file of its own")
	}
	a.Record.Second = beside(a.File, path)
	return err
}

// readRainUnit reads the unit of a rain file.
func readRainUnit(a At, g given) error {
	text, err := g.text()
	unit := strings.ToLower(strings.ReplaceAll(text, " ", ""))
	switch unit {
	case "inch", "inches":
		unit = "in"
	case "millimetre", "millimetres", "millimeter", "millimeters":
		unit = "mm"
	}
	a.Record.Unit = unit
	return err
}

// readScale reads how much more rain the site has than the gauge.
func readScale(a At, g given) error {
	text, err := g.text()
	if err != nil {
		return err
	}
	a.Record.Scale, err = units.Number("a factor", text)
	if err == nil && a.Record.Scale == 0 {
		err = checkScale(a)
	}
	return err
}

// checkScale wants a factor that a neighbour's rain may have.
func checkScale(a At) error {
	if x := a.Record.Scale; !(x >= 0.5 && x <= 2) {
		return fmt.Errorf("the site's rain is %g times the gauge's; it is from 0.5 to 2, or the gauge is too far off", x)
	}
	return nil
}

// readTank reads the one tank of a replay.
func readTank(a At, g given) error {
	if text, err := g.text(); err == nil && strings.ContainsAny(text, ",;") || strings.Contains(text, "..") {
		if list, system, err := units.ParseList(units.Volume, "a tank size", text); err == nil && len(list) > 1 {
			return &fault{text: fmt.Sprintf("%s are several sizes, and a record is replayed through one tank; name one, as in --tank %s", short(text), asTyped(units.Volume.Typed(list[0], system))),
				hint: "tankodds size --tanks " + asTyped(text) + " tries all of them"}
		}
	}
	size, err := g.quantity(a, units.Volume, "a tank size")
	a.Study.Sizes = []float64{size}
	return err
}

// checkMissing wants numbers that stand for none.
func checkMissing(a At) error {
	if err := (read.Options{Missing: a.Record.Missing}).Check(""); err != nil {
		return &fault{text: fmt.Sprintf("%q is not made of numbers", a.Record.Missing), hint: err.Hint}
	}
	return nil
}

// months are the words for them.
var months = strings.Fields("jan feb mar apr may jun jul aug sep oct nov dec")

// readMonth reads the month in which the water year begins.
func readMonth(a At, g given) error {
	text, err := g.text()
	if err != nil {
		return err
	}
	m, err := parseMonth(text)
	a.Record.WaterYear = int(m)
	return err
}

// unstatedSurface says what a roof is taken for that does not say.
func unstatedSurface() string {
	s, _ := sim.FindSurface(sim.DefaultSurface)
	return fmt.Sprintf("%s: runoff %g", s.Name, s.Runoff)
}

// shares reads a list of shares, "none" for none where there may be none.
func shares(what string, field func(At) *[]float64, none bool) func(At, given) error {
	return func(a At, g given) error {
		if text, _ := g.text(); none && strings.TrimSpace(text) == "none" {
			*field(a) = nil
			return nil
		}
		return list(field, func(word string) (float64, error) {
			q, err := units.Parse(units.Share, what, word)
			return q.Value, err
		})(a, g)
	}
}

// list reads words parted by commas.
func list[T any](field func(At) *[]T, parse func(string) (T, error)) func(At, given) error {
	return func(a At, g given) error {
		text, err := g.text()
		if err != nil {
			return err
		}
		*field(a) = nil
		for word := range strings.SplitSeq(text, ",") {
			x, err := parse(strings.TrimSpace(word))
			if err != nil {
				return err
			}
			*field(a) = append(*field(a), x)
		}
		return nil
	}
}

// yearsToLearn reads how many years a window of a backtest learns from.
func yearsToLearn(word string) (int, error) {
	n, err := strconv.Atoi(word)
	if err != nil || n < backtest.LeastLearn {
		return 0, fmt.Errorf("%q is not a whole number of years, %d or more", word, backtest.LeastLearn)
	}
	return n, nil
}

// checkTarget wants a reliability that can be shown.
func checkTarget(a At) error { return checkTargets([]float64{a.Study.Target}) }

func checkTargets(all []float64) error {
	for _, x := range all {
		if !(x > 0 && x < 1) {
			return fmt.Errorf("a target of %g cannot be shown; write a share between 0 and 1 such as 0.9 or 99%%", x)
		}
	}
	return nil
}

// readDead reads dead storage, a share of the tank or a volume.
func readDead(a At, g given) error {
	text, err := g.text()
	if err == nil {
		share, is, err := g.depthOf(a, text)
		if is {
			if err == nil {
				a.Study.Dead, a.Study.Under.Dead = share, 0
			}
			return err
		}
	}
	share, err := g.quantity(a, units.Share, "dead storage")
	if err == nil {
		a.Study.Dead, a.Study.Under.Dead = share, 0
		return nil
	}
	volume, other := g.quantity(a, units.Volume, "dead storage")
	if other != nil {
		return g.fail("%q is no dead storage; write a share such as 3 %%, a volume such as 150 L, or a depth of the tank's height such as 10 cm of 1.8 m", short(text))
	}
	a.Study.Dead, a.Study.Under.Dead = 0, volume
	return nil
}

// depthOf reads "10 cm of 1.8 m", a depth of an upright tank's height, as a share;
// is says whether the text has that form.
func (g given) depthOf(a At, text string) (share float64, is bool, err error) {
	depth, of, is := strings.Cut(text, " of ")
	if !is {
		return 0, false, nil
	}
	d, err := units.Parse(units.Length, "a depth", depth)
	h, wrong := units.Parse(units.Length, "a height", of)
	if err != nil || wrong != nil || !(d.Value < h.Value) {
		return 0, true, g.fail("%q is no depth of the tank's height; write 10 cm of 1.8 m, or 4 in of 6 ft", short(text))
	}
	a.votes.add(h.System)
	return d.Value / h.Value, true, nil
}

// mainsWords are those that can be given; that nothing is said is none of them.
var mainsWords = []string{sim.Direct.String(), sim.None.String(), sim.IntoTank.String()}

// readMains reads what gives the water that the tank lacks.
func readMains(a At, g given) error {
	text, err := g.text()
	if err != nil {
		return err
	}
	word := strings.ToLower(strings.TrimSpace(text))
	if !slices.Contains(mainsWords, word) {
		return g.fail("%q is none of %s", short(text), strings.Join(mainsWords, ", "))
	}
	return a.Study.Mains.UnmarshalText([]byte(word))
}

// readReserve reads what is kept: a volume, a share of the tank, or a depth.
func readReserve(a At, g given) error {
	text, err := g.text()
	if err != nil {
		return err
	}
	under := &a.Study.Under
	share, is, err := g.depthOf(a, text)
	switch {
	case is && err != nil:
		return err
	case !is:
		q, wrong := units.Parse(units.Share, "a reserve", text)
		if is = wrong == nil && strings.TrimSpace(text) != "0"; is {
			share = q.Value
		}
	}
	if is {
		if share >= 1 {
			return g.fail("%s is the whole tank; write less than 100 %%, or a volume such as 10000 L", short(text))
		}
		under.Share, under.Reserve = share, 0
		return nil
	}
	volume, err := g.quantity(a, units.Volume, "a reserve")
	if err != nil {
		return g.fail("%q is no reserve; write a volume such as 10000 L, a share such as 20 %%, or a depth of the tank's height such as 40 cm of 1.8 m", short(text))
	}
	under.Share, under.Reserve = 0, volume
	return nil
}

// sayDead says it.
func sayDead(a At, s units.System) string {
	if a.Study.Under.Dead > 0 {
		return s.Volume(a.Study.Under.Dead)
	}
	return units.Percent(a.Study.Dead) + " of the nominal size"
}

// checkDead wants something left to use.
func checkDead(a At) error {
	if a.Study.Dead >= 1 {
		return fmt.Errorf("dead storage of %s leaves nothing usable; write less than 100 %%", units.Percent(a.Study.Dead))
	}
	return nil
}

func generatorNames() []string {
	var names []string
	for _, g := range gen.All() {
		names = append(names, g.Name)
	}
	return names
}

// readDate reads a date as it is to be printed.
func readDate(a At, g given) error {
	text, err := g.text()
	if a.Cover.Date = OneLine(text); a.Cover.Date == "today" {
		a.Cover.Date = time.Now().Format(time.DateOnly)
	}
	return err
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
		hint = "as in --" + p.Flag + " " + asTyped(p.Example)
	}
	return misuse(hint, "--%s: %v", p.Flag, err)
}

// asTyped is the example of a site file as a shell takes it: one entry of a list, a
// quantity without its blank, and in quotes what a shell would take for its own.
func asTyped(example string) string {
	if list, ok := strings.CutPrefix(example, "["); ok {
		example, _, _ = strings.Cut(strings.TrimSuffix(list, "]"), ",")
	}
	switch {
	case strings.HasPrefix(example, `"`):
	case strings.Count(example, " ") == 1 && units.Known(example):
		example = strings.Replace(example, " ", "", 1)
	case strings.ContainsAny(example, " ><$&*;"):
		example = "'" + example + "'"
	}
	return example
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

// startWithout is what is taken where no starting storage is stated.
var startWithout = fmt.Sprintf("what its first %d years, run once, leave in it", sim.RunIn)

// sayStart says with what a tank begins.
func sayStart(a At, s units.System) string {
	if a.Study.Start == nil {
		return startWithout
	}
	return s.Volume(*a.Study.Start)
}
