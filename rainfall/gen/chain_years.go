package gen

import (
	"math"

	"tankodds/rainfall"
)

// factor is one year's ratio to the mean in one month: of the wet-day number
// and of the mean wet-day depth.
type factor struct{ wet, depth float64 }

// yearTally is what one year holds, by month.
type yearTally struct {
	number [12]float64 // wet days
	total  [12]float64 // their depths less shift, mm
}

// yearFactors returns how far each year stands from the mean beyond sampling
// noise. A month's ratio is the whole year's ratio and the month's departure
// from it, each shrunk on its own: the year's is less noisy, and it is what
// makes years differ.
//
// A ratio f is shrunk to 1 + λ(f − 1), λ² = 1 − noise/variance seen. The noise
// of a wet-day number is the chain's own variance, n·π(1−π)(1+r)/(1−r) with
// r = p11 − p01 (for large n; Katz & Parlange 1998); that of a mean depth is
// CV²/wet days, so each year has its own λ² = τ²/(τ² + noise), τ² the variance
// seen less the noise. Depths are rescaled so that each month's mean total is
// kept.
func yearFactors(h *history, month *[rainfall.DaysPerYear]uint8, monthly [12]wetMonth) [][12]factor {
	year := make([]yearTally, len(h.rain))
	var all, sum, square [12]float64 // wet days, and their depths less shift
	for i, rain := range h.rain {
		for d, x := range rain {
			if x < rainfall.WetDay {
				continue
			}
			k, e := month[d], x-shift
			year[i].number[k]++
			year[i].total[k] += e
			all[k]++
			sum[k] += e
			square[k] += float64(e * e)
		}
	}
	out := make([][12]factor, len(h.rain))
	for i := range out {
		for k := range out[i] {
			out[i][k] = factor{1, 1}
		}
	}
	if len(h.rain) < 2 {
		return out
	}
	h.wetFactors(out, year, all, chainNoise(month, monthly))
	h.depthFactors(out, year, all, sum, square)
	n := float64(len(h.rain))
	for k := range 12 {
		kept := 0.0
		for i := range out {
			kept += float64(out[i][k].wet*out[i][k].depth) / n
		}
		for i := range out {
			if kept > 0 {
				out[i][k].depth /= kept
			}
		}
	}
	return out
}

// chainNoise returns the variance of each month's number of wet days in a
// chain with constant chances.
func chainNoise(month *[rainfall.DaysPerYear]uint8, monthly [12]wetMonth) (noise [12]float64) {
	for _, k := range month {
		m := &monthly[k]
		p, r := m.share(), m.stay-m.wet
		if r < 1 {
			noise[k] += p * (1 - p) * (1 + r) / (1 - r)
		}
	}
	return noise
}

func (h *history) wetFactors(out [][12]factor, year []yearTally, all, noise [12]float64) {
	n := float64(len(h.rain))
	yearMean, yearNoise := 0.0, 0.0
	for k := range all {
		yearMean += all[k] / n
		yearNoise += noise[k]
	}
	if yearMean == 0 {
		return
	}
	ratio, part := make([]float64, len(out)), make([]float64, len(out))
	for i := range out {
		for _, c := range year[i].number {
			ratio[i] += c / yearMean
		}
		part[i] = ratio[i] - 1
	}
	whole := h.shrink(part, yearNoise/(yearMean*yearMean))
	for k := range all {
		mean := all[k] / n
		if mean == 0 {
			continue
		}
		for i := range out {
			part[i] = year[i].number[k]/mean - ratio[i]
		}
		own := h.shrink(part, float64(noise[k]*(1/(mean*mean)-2/(mean*yearMean)))+yearNoise/(yearMean*yearMean))
		for i := range out {
			out[i][k].wet = math.Max(0, 1+float64(whole*(ratio[i]-1))+float64(own*part[i]))
		}
	}
}

// shrink returns λ for departures of mean 0 and the variance that chance
// alone gives them.
func (h *history) shrink(part []float64, noise float64) float64 {
	seen := 0.0
	for _, x := range part {
		seen += float64(x*x) / float64(len(h.rain))
	}
	if seen == 0 {
		return 0
	}
	return math.Sqrt(math.Max(0, 1-noise/seen))
}

func (h *history) depthFactors(out [][12]factor, year []yearTally, all, sum, square [12]float64) {
	var mean, cv2 [12]float64
	for k := range all {
		if all[k] > 0 {
			mean[k] = sum[k] / all[k]
			cv2[k] = math.Max(0, square[k]/all[k]/(mean[k]*mean[k])-1)
		}
	}
	ratio := make([]float64, len(out))
	part, noise, weight := make([]float64, len(out)), make([]float64, len(out)), make([]float64, len(out))
	for i := range out {
		got, want, v := 0.0, 0.0, 0.0
		for k, c := range year[i].number {
			got += year[i].total[k]
			want += float64(c * mean[k])
			v += float64(float64(c*cv2[k]) * float64(mean[k]*mean[k]))
		}
		ratio[i] = 1
		if want > 0 {
			ratio[i] = got / want
			noise[i], weight[i] = v/(want*want), want
		}
		part[i] = ratio[i] - 1
	}
	h.shrinkEach(part, noise, weight)
	year0 := append([]float64(nil), part...)
	for k := range all {
		for i := range out {
			c := year[i].number[k]
			part[i], noise[i], weight[i] = 0, 0, c
			if c > 0 {
				part[i] = year[i].total[k]/(c*mean[k]) - ratio[i]
				noise[i] = cv2[k] / c
			}
		}
		h.shrinkEach(part, noise, weight)
		for i := range out {
			out[i][k].depth = math.Max(0.1, 1+year0[i]+part[i])
		}
	}
}

// shrinkEach shrinks departures whose noise differs; weight says how much
// each tells of the variance.
func (h *history) shrinkEach(part, noise, weight []float64) {
	excess, whole := 0.0, 0.0
	for i, x := range part {
		w := weight[i]
		excess += float64(w * (float64(x*x) - noise[i]))
		whole += w
	}
	for i := range part {
		if !(excess > 0) {
			part[i] = 0
			continue
		}
		v := excess / whole
		part[i] *= math.Sqrt(v / (v + noise[i]))
	}
}
