package sim

import (
	"context"
	"math"

	"tankodds/rainfall"
)

// experiment

type BTRecord struct {
	Name  string
	Years *rainfall.Years
}

type BTRaw struct {
	Rec, Gen  string
	L, Start  int
	H         int
	D         float64
	Kind      float64 // target, or -fraction
	S         float64 // share of annual inflow
	P, V      float64 // main share, variance of share between traces
	Traces    int
	Hist      []int     // dry years in first H years of the main traces
	Rep       []float64 // share of good years of each replicate
	RepV      []float64
	RepHist   []int
	RepCounts [][]int
	X         int // dry years seen
	In        []int // dry pattern of the learning years themselves through the tank (dry=1)
	Out       []int
}

type BTOpt struct {
	Windows                    []int
	Step                       int
	Demands, Targets, Fracs    []float64
	Traces, Reps, RepTraces    int
	Seed                       uint64
	Workers                    int
}

func BTRun(ctx context.Context, recs []BTRecord, gens []rainfall.Generator, o BTOpt, emit func(BTRaw)) error {
	type unit struct {
		rec      BTRecord
		gen      rainfall.Generator
		l, start int
	}
	var units []unit
	for _, r := range recs {
		for _, l := range o.Windows {
			for s := 0; s+l+10 <= r.Years.Len(); s += o.Step {
				for _, g := range gens {
					units = append(units, unit{r, g, l, s})
				}
			}
		}
	}
	return inOrder(ctx, o.Workers, len(units), newScratch, func(sc *scratch, i int) ([]BTRaw, error) {
		u := units[i]
		return btWindow(sc, u.rec, u.gen, u.l, u.start, o)
	}, func(i int, x []BTRaw) error {
		for _, c := range x {
			emit(c)
		}
		return nil
	})
}

func span(a, b int) []int {
	var out []int
	for i := a; i < b; i++ {
		out = append(out, i)
	}
	return out
}

func btWindow(sc *scratch, rec BTRecord, gen rainfall.Generator, l, start int, o BTOpt) ([]BTRaw, error) {
	const year = rainfall.DaysPerYear
	learn := rec.Years.Pick(span(start, start+l))
	end := min(start+l+30, rec.Years.Len())
	h := end - start - l
	use := Use{Name: "u", Daily: 100}
	st := &Study{Roofs: []Roof{NewRoof(1)}, Uses: []Use{use}, Rule: YAS}
	// mean inflow of learning
	all := rec.Years.Pick(span(start, end))
	rain := make([]float64, 0, all.Len()*year)
	for _, r := range all.Rain {
		rain = append(rain, r...)
	}
	q := make([]float64, len(rain))
	Inflow(q, rain, st.Roofs)
	mean := 0.0
	for _, x := range q[:l*year] {
		mean += x
	}
	mean /= float64(l)
	annual := 36500.0
	sampler, err := gen.Fit(learn)
	if err != nil {
		return nil, err
	}
	var rows []row
	const G = 56
	for _, d := range o.Demands {
		r := row{scale: annual / (d * mean)}
		inflow := annual / d
		for k := 0; k < G; k++ {
			r.usable = append(r.usable, inflow*0.001*math.Pow(3000, float64(k)/(G-1)))
		}
		for _, f := range o.Fracs {
			r.usable = append(r.usable, f*inflow)
		}
		rows = append(rows, r)
	}
	e := newEnsemble(st, learn, rows)
	var traces [][]float64
	id := uint64(start*100 + l)
	tot := &totals{}
	for k := 0; k < o.Traces; k++ {
		if err := e.draw(sc, sampler, rainfall.Source(o.Seed, 1, id*1000+uint64(k)), TraceYears); err != nil {
			return nil, err
		}
		tr := append([]float64(nil), sc.inflow...)
		traces = append(traces, tr)
		t, err := e.through(sc, tr)
		if err != nil {
			return nil, err
		}
		tot.add(t)
	}
	// refine
	e.rows = nil
	for i := range o.Demands {
		r := row{scale: rows[i].scale}
		for _, t := range o.Targets {
			k := 0
			for k < G && tot.of(Annual, i, k).value < t {
				k++
			}
			if k == G {
				k = G - 1
			}
			lo := rows[i].usable[0] / 10
			if k > 0 {
				lo = rows[i].usable[k-1]
			}
			for m := 1; m <= 16; m++ {
				r.usable = append(r.usable, lo*math.Pow(rows[i].usable[k]/lo, float64(m)/16))
			}
		}
		e.rows = append(e.rows, r)
	}
	fine := &totals{}
	for _, tr := range traces {
		t, err := e.through(sc, tr)
		if err != nil {
			return nil, err
		}
		fine.add(t)
	}
	var pick []row
	kinds := make([][]float64, len(o.Demands))
	for i := range o.Demands {
		r := row{scale: rows[i].scale, yearly: true}
		for a, t := range o.Targets {
			for m := 0; m < 16; m++ {
				if fine.of(Annual, i, a*16+m).value >= t {
					r.usable = append(r.usable, e.rows[i].usable[a*16+m])
					kinds[i] = append(kinds[i], t)
					break
				}
			}
		}
		for _, f := range o.Fracs {
			r.usable = append(r.usable, f*annual/o.Demands[i])
			kinds[i] = append(kinds[i], -f)
		}
		pick = append(pick, r)
	}
	e.rows = pick
	var out []BTRaw
	at := make([][]int, len(pick))
	for i, r := range pick {
		for k := range r.usable {
			at[i] = append(at[i], len(out))
			c := BTRaw{Rec: rec.Name, Gen: gen.Name, L: l, Start: start, H: h, D: o.Demands[i], Kind: kinds[i][k], S: r.usable[k] * o.Demands[i] / annual, Traces: o.Traces}
			c.Hist = make([]int, h+1)
			c.RepHist = make([]int, h+1)
			out = append(out, c)
		}
	}
	main := &totals{}
	count := func(t *traceTally, i, k int) int {
		n := 0
		w := len(pick[i].usable)
		for y := 0; y < h; y++ {
			if t.yearly[i][y*w+k] > 0 {
				n++
			}
		}
		return n
	}
	for _, tr := range traces {
		t, err := e.through(sc, tr)
		if err != nil {
			return nil, err
		}
		main.add(t)
		for i, r := range pick {
			for k := range r.usable {
				out[at[i][k]].Hist[count(t, i, k)]++
			}
		}
	}
	for i, r := range pick {
		for k := range r.usable {
			s := main.of(Annual, i, k)
			out[at[i][k]].P, out[at[i][k]].V = s.value, s.variance
		}
	}
	for b := 0; b < o.Reps; b++ {
		rep := learn.Pick(resampled(l, rainfall.Source(o.Seed, 2, id*1000+uint64(b))))
		sampler, err := gen.Fit(rep)
		if err != nil {
			return nil, err
		}
		sum := &totals{}
		cnt := make([][]int, len(out))
		for k := 0; k < o.RepTraces; k++ {
			t, err := e.trace(sc, sampler, rainfall.Source(o.Seed, 3, (id*1000+uint64(b))*100+uint64(k)), TraceYears)
			if err != nil {
				return nil, err
			}
			sum.add(t)
			for i, r := range pick {
				for k := range r.usable {
					c := count(t, i, k)
					out[at[i][k]].RepHist[c]++
					cnt[at[i][k]] = append(cnt[at[i][k]], c)
				}
			}
		}
		for i, r := range pick {
			for k := range r.usable {
				s := sum.of(Annual, i, k)
				c := &out[at[i][k]]
				c.Rep = append(c.Rep, s.value)
				c.RepV = append(c.RepV, s.variance)
			}
		}
	}
	// the truth
	for i, r := range pick {
		lanes := NewLanes(r.usable, 0)
		d := make([]float64, year)
		for t := range d {
			d[t] = 100
		}
		need := make([]float64, year)
		Need(need, d)
		qq := make([]float64, year)
		for y := 0; y < l+h; y++ {
			for t := range qq {
				qq[t] = q[y*year+t] * r.scale
			}
			lanes.Run(YAS, qq, d, need)
			for k := range r.usable {
				dry := 0
				if lanes.Short[k] > 0 {
					dry = 1
				}
				c := &out[at[i][k]]
				if y < l {
					c.In = append(c.In, dry)
				} else {
					c.Out = append(c.Out, dry)
					c.X += dry
				}
			}
		}
	}
	return out, nil
}
