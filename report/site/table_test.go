package site

import (
	"math"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"github.com/spf13/pflag"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/report/units"
	"tankodds/sim"
)

// everywhere is a plan in which every parameter has its place.
func everywhere() At {
	a := fresh(Size | Replay | Backtest)
	a.costs()
	return a
}

// Every row can be asked or is an assumption, says what it is, and can be read.
func TestEveryParameterIsExplained(t *testing.T) {
	help := strings.Join(strings.Fields(Keys(73)), " ")
	flags, keys := map[string]Commands{}, map[string]bool{}
	for _, p := range Table {
		name := p.called()
		require.NotEmpty(t, name)
		require.True(t, p.read != nil || p.field != nil, name)
		if p.Doc == "" {
			assert.Empty(t, p.Flag, name)
			assert.True(t, p.Name != "" || p.field == nil, "%s: neither help nor a name on the sheet", name)
			continue
		}
		assert.Equal(t, p.IsSwitch(), !strings.Contains(p.Doc, "`"), "%s: the value's word", name)
		if p.Flag != "" {
			assert.NotZero(t, p.For, name)
			assert.Zero(t, flags[p.Flag]&p.For, "%s: twice a flag of one command", name)
			flags[p.Flag] |= p.For
		}
		if p.Key != "" {
			assert.False(t, keys[p.Key], name)
			keys[p.Key] = true
			assert.NotNil(t, findSection(p.section()), name)
			assert.Contains(t, help, " "+p.name()+" "+strings.Join(strings.Fields(p.about()), " ")+" – ")
		}
	}
	for line := range strings.Lines(Keys(73)) {
		assert.LessOrEqual(t, len([]rune(strings.TrimSuffix(line, "\n"))), 73, line)
	}
}

// fieldsWithoutRow are those of a study that are no parameter of their own.
var fieldsWithoutRow = map[string]string{
	"Study.Progress": "it is the program's",
	"Costs.Sizes":    "they come with the prices",
	"Study.Under":    "its parts have rows",
	"Under.Dead":     "a volume of dead storage stands in its row",
	"Use.Spread":     "it comes with the people",
	"Under.Share":    "it stands in the row of the reserve",
	"Study.Fitted":   "its parts have rows",
	"Fittings.TopUp": "its parts have rows", "Fittings.Pumping": "its parts have rows",
	"Study.Air": "its parts have rows", "Air.Temperatures": "it stands in the row of ET₀",
	"Use.Bed": "its parts have rows", "Bed.Mean": "the record tells it",
	"Options.Temperatures": "whether they are read follows from the uses",
}

// Every field of a study, of its roofs, uses, costs and stress, and of how a
// record is read, is set by a row.
func TestEveryFieldHasARow(t *testing.T) {
	a := everywhere()
	set := map[any]bool{}
	for _, p := range Table {
		if p.field != nil {
			set[p.field(a)] = true
		}
	}
	for _, part := range []any{a.Study, a.Roof, a.Use, a.Study.Costs, &a.Study.Stress, &a.Study.Under, &a.Study.Fitted, &a.Study.Fitted.TopUp, &a.Study.Fitted.Pumping, &a.Study.Air, &a.Use.Bed, &a.Record.Options, &a.Cover} {
		v := reflect.ValueOf(part).Elem()
		for i := range v.NumField() {
			f := v.Type().Field(i)
			name := v.Type().Name() + "." + f.Name
			inner := name == "Study.Stress" || name == "Study.Costs" // looked at by themselves
			if fieldsWithoutRow[name] == "" && !inner {
				assert.True(t, set[v.Field(i).Addr().Interface()], "no row sets %s", name)
			}
		}
	}
}

// What is printed as taken where nothing is given is taken when it is typed,
// and is the same.
func TestDefaultsAreTakenAsPrinted(t *testing.T) {
	tried := 0
	for _, p := range Table {
		for _, u := range []units.System{units.SI, units.US} {
			if p.field == nil || p.IsSwitch() || p.Without != "" || p.taken(Size, u) == "" {
				continue
			}
			for _, text := range []string{p.taken(Size, u), strings.ReplaceAll(p.taken(Size, u), " ", "")} {
				a := everywhere()
				require.NoError(t, p.take(a, given{texts: []string{text}}), "%s %s", p.called(), text)
				if p.Default == "" && u == units.SI && p.Key != "simulation.generator" { // made of functions, which do not compare
					assert.True(t, p.IsDefault(a), "%s %s", p.called(), text)
				}
				tried++
			}
		}
	}
	assert.Greater(t, tried, 60)
}

// The sites to start from hold every key, run as written, and mean nearly the
// same in both systems of units; a key that is left out can be put in as it
// stands there.
func TestSitesToStartFrom(t *testing.T) {
	var sizes []float64
	for _, u := range []units.System{units.SI, units.US} {
		text := File(u)
		p := decoded(t, text)
		require.NoError(t, p.finish())
		assert.Equal(t, u, p.Units)
		sizes = append(sizes, p.Study.Sizes[len(p.Study.Sizes)-1])
		for _, row := range Table {
			if row.Key != "" && row.Doc != "" {
				assert.Regexp(t, `(?m)^[ -]*(# )?`+row.name()+`: `, text)
			}
		}
		for line := range strings.Lines(text) {
			assert.LessOrEqual(t, len([]rune(line)), 130, line)
		}
		for _, left := range regexp.MustCompile(`(?m)^( *)# (\w+: [^#\n]*[^#\nA-Z ]) *(#|$)`).FindAllStringSubmatch(text, -1) {
			if strings.Contains(left[2], "size site.yaml") {
				continue
			}
			whole := strings.Replace(text, left[1]+"# "+left[2], left[1]+left[2], 1)
			whole = strings.Replace(whole, "\n# simulation:", "\nsimulation:", 1)
			if strings.HasPrefix(left[2], "rule") || !strings.Contains(whole, "\nsimulation:") {
				decoded(t, whole)
			}
		}
		demo := NewPlan(Size)
		require.NoError(t, demo.decode(FileName, map[units.System][]byte{units.SI: demoSI, units.US: demoUS}[u]))
		assert.Equal(t, demo.Study.Roofs[0].Area, p.Study.Roofs[0].Area)
	}
	assert.InEpsilon(t, sizes[0], sizes[1], 0.1)
}

// asked is a plan made of flags.
func asked(t *testing.T, c Commands, args ...string) (*Plan, error) {
	t.Helper()
	fs := pflag.NewFlagSet("", pflag.ContinueOnError)
	a := Flags(fs, c)
	require.NoError(t, fs.Parse(args))
	return a.Options()
}

// What a flag and a key both set is refused for the same reason, each naming
// where it stands; and what came otherwise is checked as well.
func TestOneCheckForAll(t *testing.T) {
	for _, c := range []struct{ flag, key, value, want string }{
		{"detain", "tank: {detain: ", "-1L", "-1L is below 0; a detained volume is a volume such as 5000L or 1500gal"},
		{"dead", "tank: {dead: ", "100%", "dead storage of 100 % leaves nothing usable; write less than 100 %"},
		{"target", "target: {reliability: ", "1", "a target of 1 cannot be shown; write a share between 0 and 1 such as 0.9 or 99%"},
		{"years", "simulation: {years: ", "3", "3 is not a whole number from 50 to 10,000,000"},
		{"rule", "simulation: {rule: ", "fifo", `"fifo" is neither yas nor ybs`},
		{"water-year", "rain: {water_year: ", "13", `"13" is no month; write a name such as oct or a number from 1 to 12`},
	} {
		_, err := asked(t, Size, "--"+c.flag, c.value)
		assert.EqualError(t, err, "--"+c.flag+": "+c.want)
		err = NewPlan(Size).decode("a.yaml", []byte(c.key+c.value+"}"))
		require.Error(t, err)
		assert.Contains(t, err.Error(), "a.yaml:1: ")
		assert.Contains(t, err.Error(), ": "+c.want)
	}
	for want, spoil := range map[string]func(At){
		"tank.dead":       func(a At) { a.Study.Dead = math.NaN() },
		"tank.start":      func(a At) { a.Study.Start = new(math.Inf(1)) },
		"rain.water_year": func(a At) { a.Record.WaterYear = 13 },
		"rain.missing":    func(a At) { a.Record.Missing = "x" },
		"tank.life":       func(a At) { a.costs().Life = 900 },
		"horizon":         func(a At) { a.Study.Horizon = 0 },
	} {
		p := NewPlan(Size)
		require.NoError(t, p.Check())
		spoil(At{Plan: p})
		assert.ErrorContains(t, p.Check(), want+": ")
	}
}

// Each command has defaults of its own.
func TestDefaultsOfCommands(t *testing.T) {
	for c, want := range map[Commands]int{Size: 100000, Compare: 100000, Synth: 100} {
		p, err := asked(t, c)
		require.NoError(t, err)
		assert.Equal(t, want, p.Study.Years)
	}
	p, err := asked(t, Backtest, "--years", "60", "--targets", "none", "--demands", "30%,0.5", "--learn", "9", "--generators", "years, chain")
	require.NoError(t, err)
	assert.Equal(t, 60, p.Backtest.Years)
	assert.Empty(t, p.Backtest.Targets)
	assert.Equal(t, []float64{0.3, 0.5}, p.Backtest.Demands)
	assert.Equal(t, []int{9}, p.Backtest.Learn)
	require.Len(t, p.Generators, 2)
	_, err = asked(t, Synth, "--years", "100001")
	assert.EqualError(t, err, "--years: 100001 is not a whole number from 1 to 100,000")
}

// What a tank costs beside its price stands among the assumptions where it is asked for,
// and there alone.
func TestCostsAmongTheAssumptions(t *testing.T) {
	said := func(change func(c *sim.Costs)) map[string]string {
		p := NewPlan(Size)
		p.Study.Costs = &sim.Costs{Sizes: []float64{2000}, Prices: []float64{900}, Water: 3, Life: 20, Discount: 0.03, Currency: "$"}
		change(p.Study.Costs)
		out := map[string]string{}
		for _, a := range Assumptions(p) {
			out[a.Name] = strings.ReplaceAll(a.Value, "\u00a0", " ")
		}
		return out
	}
	plain := said(func(*sim.Costs) {})
	assert.NotContains(t, plain, "Upkeep a year")
	with := said(func(c *sim.Costs) { c.Upkeep = 25 })
	assert.Equal(t, "$25", with["Upkeep a year"])
	delete(with, "Upkeep a year")
	assert.Equal(t, plain, with, "and nothing else is said otherwise")
}
