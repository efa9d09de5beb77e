package report

import (
	"bytes"
	"fmt"

	"tankodds/report/codec"
	"tankodds/report/words"
	"tankodds/sim/backtest"
)

// BacktestSchema names the shape of a backtest's JSON.
const BacktestSchema = "tankodds/backtest/1"

type scoreJSON struct {
	Generator  string    `json:"generator"`
	Tanks      string    `json:"tanks"`  // "target" or "given"
	Target     number    `json:"target"` // null for all of them together
	Cases      int       `json:"cases"`
	Unmet      int       `json:"unmet"`
	Inside50   number    `json:"inside_50"`
	Inside80   number    `json:"inside_80"`
	Inside90   number    `json:"inside_90"`
	Width      number    `json:"width_90"`
	Winkler    number    `json:"interval_score_90"`
	Stated     number    `json:"stated"`
	Realised   number    `json:"realised"`
	Bias       number    `json:"bias"`
	Raw        number    `json:"bias_of_synthetic_share"`
	Brier      number    `json:"brier_no_short_year"`
	MonteCarlo number    `json:"inside_monte_carlo_90"`
	PIT        []number  `json:"pit_tenths"`
	None       []binJSON `json:"reliability_no_short_year"`
	Shares     []binJSON `json:"reliability_share"`
}

type binJSON struct {
	From    number `json:"from"`
	To      number `json:"to"`
	Cases   int    `json:"cases"`
	Claimed number `json:"claimed"`
	Seen    number `json:"seen"`
}

func binsAsJSON(b []backtest.Bin) []binJSON {
	out := []binJSON{}
	for _, x := range b {
		out = append(out, binJSON{number(x.From), number(x.To), x.Cases, number(x.Claimed), number(x.Seen)})
	}
	return out
}

func scoreAsJSON(s backtest.Score) scoreJSON {
	out := scoreJSON{
		Generator: s.Generator, Tanks: s.Tanks, Target: number(s.Target), Cases: s.Cases, Unmet: s.Unmet,
		Inside50: number(s.Inside50), Inside80: number(s.Inside80), Inside90: number(s.Inside90),
		Width: number(s.Width), Winkler: number(s.Winkler), Stated: number(s.Stated), Realised: number(s.Realised),
		Bias: number(s.Bias), Raw: number(s.Raw), Brier: number(s.Brier), MonteCarlo: number(s.MonteCarlo),
		None: binsAsJSON(s.None), Shares: binsAsJSON(s.Shares),
	}
	for _, x := range s.PITs {
		out.PIT = append(out.PIT, number(x))
	}
	return out
}

type caseJSON struct {
	Record    string       `json:"record"`
	Generator string       `json:"generator"`
	LearnFrom int          `json:"learn_from"`
	LearnTo   int          `json:"learn_to"`
	Learn     int          `json:"learn_years"`
	JudgeFrom int          `json:"judge_from"`
	JudgeTo   int          `json:"judge_to"`
	Judge     int          `json:"judge_years"`
	Demand    number       `json:"demand_share"`
	Target    number       `json:"target"`
	Size      number       `json:"storage_share"`
	Tank      number       `json:"tank_l"`
	Roof      number       `json:"roof_m2"`
	Share     intervalJSON `json:"synthetic_share"`
	Claim     intervalJSON `json:"claim"`
	Low50     number       `json:"low_50"`
	High50    number       `json:"high_50"`
	Low80     number       `json:"low_80"`
	High80    number       `json:"high_80"`
	Low90     number       `json:"low_90"`
	High90    number       `json:"high_90"`
	None      number       `json:"no_short_year"`
	Seen      int          `json:"short_years"`
	PIT       number       `json:"pit"`
	Inside50  bool         `json:"inside_50"`
	Inside80  bool         `json:"inside_80"`
	Inside90  bool         `json:"inside_90"`
}

func caseAsJSON(c backtest.Case) caseJSON {
	return caseJSON{
		Record: c.Record, Generator: c.Generator,
		LearnFrom: c.LearnFrom, LearnTo: c.LearnTo, Learn: c.Learn, JudgeFrom: c.JudgeFrom, JudgeTo: c.JudgeTo, Judge: c.Judge,
		Demand: number(c.Demand), Target: number(c.Target), Size: number(c.Size), Tank: number(c.Tank), Roof: number(c.Roof),
		Share: interval(c.Share), Claim: interval(c.Claim),
		Low50: number(c.Low50), High50: number(c.High50), Low80: number(c.Low80), High80: number(c.High80),
		Low90: number(c.Low90), High90: number(c.High90), None: number(c.None), Seen: c.Seen, PIT: number(c.PIT),
		Inside50: c.Inside50, Inside80: c.Inside80, Inside90: c.Inside90,
	}
}

// JSON returns the backtest as one object of the schema tankodds/backtest/1,
// in SI and full precision, with a case a row. The bounds low_… and high_…
// are counts of short years; the claim is the share of good years.
func (z *Backtest) JSON() ([]byte, error) {
	r := z.Result
	b := r.Study
	type recordJSON struct {
		sizeRecordJSON
		WaterYear string `json:"water_year_starts"`
		Windows   int    `json:"windows"`
	}
	out := struct {
		Schema     string          `json:"schema"`
		Version    string          `json:"version"`
		Rule       string          `json:"rule"`
		Seed       uint64          `json:"seed"`
		Years      int             `json:"years"`
		Generators []string        `json:"generators"`
		Roofs      []roofJSON      `json:"roofs"`
		Uses       []useJSON       `json:"uses"`
		Learn      []int           `json:"learn_years"`
		Step       int             `json:"step_years"`
		Judge      int             `json:"judge_years_most"`
		Least      int             `json:"judge_years_least"`
		Demands    []float64       `json:"demand_shares"`
		Targets    []float64       `json:"targets"`
		Tanks      []float64       `json:"storage_shares"`
		Records    []recordJSON    `json:"records"`
		Scores     []scoreJSON     `json:"scores"`
		Cases      []caseJSON      `json:"cases"`
		Warnings   []words.Warning `json:"warnings"`
	}{
		Schema: BacktestSchema, Version: z.Version, Rule: b.Rule.String(), Seed: b.Seed, Years: b.Years,
		Roofs: roofsAsJSON(b.Roofs), Uses: usesAsJSON(b.Uses), Learn: b.Learn, Step: b.Step, Judge: b.Judge, Least: b.Least,
		Demands: b.Demands, Targets: b.Targets, Tanks: b.Tanks, Scores: []scoreJSON{}, Cases: []caseJSON{}, Warnings: words.TooShort(r), Generators: r.Generators,
	}
	for i, rec := range r.Records {
		out.Records = append(out.Records, recordJSON{sizeRecord(z.Records[i]), rec.WaterYear.String(), rec.Windows})
	}
	for _, s := range r.Scores {
		out.Scores = append(out.Scores, scoreAsJSON(s))
	}
	for _, c := range r.Cases {
		out.Cases = append(out.Cases, caseAsJSON(c))
	}
	return marshal(out)
}

// CasesCSV returns the cases as a tidy table, full precision.
func (z *Backtest) CasesCSV() ([]byte, error) {
	var b bytes.Buffer
	w := codec.NewCSV(&b)
	w.Write([]string{"record", "generator", "learn_from", "learn_to", "learn_years", "judge_from", "judge_to", "judge_years",
		"demand_share", "target", "storage_share", "tank_l", "roof_m2", "synthetic_share", "claim", "claim_low", "claim_high",
		"low_50", "high_50", "low_80", "high_80", "low_90", "high_90", "no_short_year", "short_years", "pit"})
	for _, c := range z.Result.Cases {
		row := []string{c.Record, c.Generator}
		for _, n := range []int{c.LearnFrom, c.LearnTo, c.Learn, c.JudgeFrom, c.JudgeTo, c.Judge} {
			row = append(row, fmt.Sprint(n))
		}
		for _, x := range []float64{c.Demand, c.Target, c.Size, c.Tank, c.Roof, c.Share.Estimate, c.Claim.Estimate, c.Claim.Low, c.Claim.High,
			c.Low50, c.High50, c.Low80, c.High80, c.Low90, c.High90, c.None, float64(c.Seen), c.PIT} {
			row = append(row, codec.Exact(x))
		}
		w.Write(row)
	}
	w.Flush()
	return b.Bytes(), w.Error()
}
