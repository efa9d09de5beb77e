package main

import (
	"context"
	"fmt"
	"strings"

	"github.com/spf13/pflag"

	"tankodds/rainfall/gen"
	"tankodds/report"
	"tankodds/report/figure"
	"tankodds/report/units"
	"tankodds/sim"
	"tankodds/sim/backtest"
)

var backtestCommand = command{
	name:  "backtest",
	args:  "FILE...",
	short: "what the claims are worth: learn, claim, be judged by later years",
	long: `
Takes windows of each record, learns from them as if nothing else were known,
claims how many short years the next years will bring, and is judged by the
years that did follow: for several demands, for the tank that the window says
meets each target, and for tanks that are the same for every generator.

It says, by generator, how many outcomes lay inside the intervals that claimed
50, 80 and 90 %, how wide they were, their interval score, the bias of the
stated reliability, and the Brier score of "no short year".

The site is a plain roof and a steady use unless --roof and --use describe one;
its roofs are scaled to each demand. With --out it writes backtest.json,
cases.csv, a row a claim, and the reliability diagram.`,
	example: "tankodds backtest --demo --years 500 --step 15",
	maxArgs: -1,
	flags:   []func(*pflag.FlagSet, *options){readFlags, demoFlag, siteFlags, backtestFlags, outFlag, printFlags},
	run:     runBacktest,
}

// backtestOptions holds the flags that backtest alone has, as typed.
type backtestOptions struct {
	learn                             []int
	step, judge, least                int
	demands, targets, tanks, rainfall string
}

// backtestFlags say which windows to take, what to claim and how hard to work.
func backtestFlags(fs *pflag.FlagSet, o *options) {
	d := backtest.NewStudy()
	b := &o.backtest
	fs.IntSliceVar(&b.learn, "learn", nil, fmt.Sprintf("usable `YEARS` to learn from, a list (%s)", typedList(d.Learn)))
	fs.IntVar(&b.judge, "judge", d.Judge, fmt.Sprintf("be judged by up to `N` usable years after them (%d)", d.Judge))
	fs.IntVar(&b.least, "judge-least", d.Least, fmt.Sprintf("and by `N` at least (%d)", d.Least))
	fs.IntVar(&b.step, "step", d.Step, fmt.Sprintf("begin a window every `N` usable years (%d)", d.Step))
	fs.StringVar(&b.demands, "demands", "", fmt.Sprintf("yearly demands, `SHARES` of an average year's inflow, a list (%s)", typedList(d.Demands)))
	fs.StringVar(&b.targets, "targets", "", fmt.Sprintf("reliabilities to size for, `SHARES`, a list or none (%s)", typedList(d.Targets)))
	fs.StringVar(&b.tanks, "storages", "", fmt.Sprintf("tanks that are the same for every generator, `SHARES` of an average year's inflow, a list or none (%s)", typedList(d.Tanks)))
	fs.StringVar(&b.rainfall, "generators", "", "`NAMES` of the rain generators, a list: "+generatorNames()+"; without it all")
	fs.StringVar(&o.rule, "rule", "", "`RULE` of the day: yas, yield after spillage, or ybs, yield before spillage (yas)")
	fs.IntVar(&o.years, "years", d.Years, fmt.Sprintf("simulate `N` synthetic years a window (%d)", d.Years))
	fs.Uint64Var(&o.seed, "seed", d.Seed, fmt.Sprintf("begin every random draw from `N`; the same seed, the same answer (%d)", d.Seed))
	workFlags(fs, o)
}

// typedList joins numbers as a list flag takes them.
func typedList[T int | float64](list []T) string {
	var out []string
	for _, x := range list {
		out = append(out, fmt.Sprint(x))
	}
	return strings.Join(out, ",")
}

func runBacktest(ctx context.Context, c *call) error {
	b, gens, err := c.opt.backtesting()
	if err != nil {
		return err
	}
	out, err := c.openOut()
	if err != nil {
		return err
	}
	defer out.discard()
	z := &report.Backtest{Version: version}
	records, err := c.backtestRecords(ctx, z)
	if err != nil {
		return err
	}
	line := c.newProgress("testing")
	b.Progress = line.show
	z.Result, err = backtest.Run(ctx, b, records, gens)
	line.clear()
	if err != nil {
		return err
	}
	return c.deliver(ctx, out, func() error {
		if err := out.write("backtest.json", bytesOf(z.JSON)); err != nil {
			return err
		}
		if err := out.write("cases.csv", bytesOf(z.CasesCSV)); err != nil {
			return err
		}
		f, ok := figure.Calibration(z.Result)
		if !ok {
			return nil
		}
		return writeFigures(out, []figure.Figure{f})
	}, z.Sheet().Text, z.JSON)
}

// backtestRecords reads the records named and lists them in z too.
func (c *call) backtestRecords(ctx context.Context, z *report.Backtest) ([]backtest.Record, error) {
	var sources []rainOptions
	if c.opt.demo {
		sources = append(sources, rainOptions{demo: true})
	}
	for _, f := range c.args {
		sources = append(sources, rainOptions{file: f})
	}
	if len(sources) == 0 {
		return nil, misuse("tankodds backtest FILE, or tankodds backtest --demo for an invented record", "no rain record is named")
	}
	var records []backtest.Record
	for _, s := range sources {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if err := c.opt.readOptions(&s); err != nil {
			return nil, err
		}
		rec, series, err := c.series(s)
		if err != nil {
			return nil, err
		}
		z.Records = append(z.Records, rec)
		records = append(records, backtest.Record{Name: rec.Name(), Years: series.Years})
	}
	return records, nil
}

// backtesting returns the backtest that the flags ask for.
func (o *options) backtesting() (*backtest.Study, []gen.Generator, error) {
	b, p := backtest.NewStudy(), newPlan()
	if err := o.overrideSite(p); err != nil {
		return nil, nil, err
	}
	if len(o.roofs) > 0 {
		b.Roofs = p.study.Roofs
	} else {
		p.study.Roofs = b.Roofs
		if err := o.overrideLosses(p); err != nil {
			return nil, nil, err
		}
	}
	if len(o.uses) > 0 {
		b.Uses = p.study.Uses
	}
	t := &o.backtest
	if o.given("learn") {
		b.Learn = t.learn
	}
	b.Step, b.Judge, b.Least, b.Years, b.Seed, b.Workers = t.step, t.judge, t.least, o.years, o.seed, o.workers
	var err error
	for _, list := range []struct {
		flag, text string
		dst        *[]float64
	}{{"demands", t.demands, &b.Demands}, {"targets", t.targets, &b.Targets}, {"storages", t.tanks, &b.Tanks}} {
		if !o.given(list.flag) {
			continue
		}
		if *list.dst, err = parseShares(list.text); err != nil {
			return nil, nil, misuse("write a list such as 0.3,0.5 or 30%,50%", "--%s: %v", list.flag, err)
		}
	}
	if o.rule != "" {
		if b.Rule, err = sim.ParseRule(strings.ToLower(o.rule)); err != nil {
			return nil, nil, misuse("", "--rule: %v", err)
		}
	}
	gens := gen.All()
	if o.given("generators") {
		gens = nil
		for _, name := range strings.Split(t.rainfall, ",") {
			g, err := gen.Find(strings.TrimSpace(name))
			if err != nil {
				return nil, nil, misuse("", "--generators: %v", err)
			}
			gens = append(gens, g)
		}
	}
	if err := checkYears(b.Years); err != nil {
		return nil, nil, misuse("", "--years: %v", err)
	}
	if b.Workers < 0 {
		return nil, nil, misuse("", "--workers %d is below 0", b.Workers)
	}
	if err := b.Check(); err != nil {
		return nil, nil, misuse("tankodds help backtest says what each flag takes", "%v", err)
	}
	return b, gens, nil
}

// parseShares reads a list of shares; "none" has none.
func parseShares(s string) ([]float64, error) {
	var out []float64
	if strings.TrimSpace(s) == "none" {
		return out, nil
	}
	for _, word := range strings.Split(s, ",") {
		q, err := units.Parse(units.Share, "a share", strings.TrimSpace(word))
		if err != nil {
			return nil, err
		}
		out = append(out, q.Value)
	}
	return out, nil
}
