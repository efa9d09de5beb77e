package sim

// Drawdown is the worst fall of a store below full.
type Drawdown struct {
	Size float64 // how far it falls: the smallest store that never fails, L
	From int     // the first step of that fall
	Low  int     // the step at whose end it is deepest
}

// SequentPeak returns the smallest store that, full at the start, meets every
// step's demand from the inflow (L a step, as many of each), yield before
// spillage:
//
//	K[t] = max(0, K[t−1] + D[t] − Q[t]),  K[−1] = 0;  Size = max K
//
// This is Rippl's mass curve (1883) as a recursion (Thomas & Burden 1963).
// passes is 1 for the record as it stands and 2 for the record run on into
// itself, which charges the store for a fall that the record's end cuts off;
// with two passes the steps of the second count on from the first's. Where
// demand exceeds inflow on the whole, no store lasts and Size grows with
// every pass.
func SequentPeak(inflow, demand []float64, passes int) Drawdown {
	var worst Drawdown
	k, from, step := 0.0, 0, 0
	for range passes {
		for t, q := range inflow {
			if k == 0 {
				from = step
			}
			k = max(0, k+(demand[t]-q))
			if k > worst.Size {
				worst = Drawdown{k, from, step}
			}
			step++
		}
	}
	return worst
}
