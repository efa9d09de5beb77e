package gen

// ranks draws 0 … k−1, each in proportion to 1/(rank + 1) (Lall & Sharma 1996,
// Water Resour. Res. 32:679).
type ranks struct {
	cum   []float64   // cumulative weights, the last 1
	start [256]uint16 // where to begin for each 256th of the unit interval: mostly at the rank itself
}

func newRanks(k int) *ranks {
	r := &ranks{cum: make([]float64, k)}
	sum := 0.0
	for j := range r.cum {
		sum += 1 / float64(j+1)
		r.cum[j] = sum
	}
	for j := range r.cum {
		r.cum[j] /= sum
	}
	for i := range r.start {
		j := 0
		for r.cum[j] <= float64(i)/float64(len(r.start)) {
			j++
		}
		r.start[i] = uint16(j)
	}
	return r
}

// draw returns the rank that u lies in, 0 ≤ u < 1.
func (r *ranks) draw(u float64) int {
	j := int(r.start[int(u*float64(len(r.start)))])
	for r.cum[j] <= u {
		j++
	}
	return j
}

// sortByHigh sorts by the upper 32 bits, none negative, keeping the order of
// equals: by counting, eight bits at a time, as there are many days. spare
// is at least as long.
func sortByHigh(days, spare []int64) {
	most := int64(0)
	for _, x := range days {
		most = max(most, x>>32)
	}
	from, to := days, spare[:len(days)]
	for shift := 32; most>>(shift-32) > 0; shift += 8 {
		var at [257]int
		for _, x := range from {
			at[x>>shift&255+1]++
		}
		for k := 1; k < len(at); k++ {
			at[k] += at[k-1]
		}
		for _, x := range from {
			k := x >> shift & 255
			to[at[k]] = x
			at[k]++
		}
		from, to = to, from
	}
	if len(days) > 0 && &from[0] != &days[0] {
		copy(days, from)
	}
}
