package store

import "math"

// Sizes is a rising list of sizes, units, and how to find the first that is not
// below a size without a search: by the leading bits of its floating form.
type Sizes struct {
	At    []int64
	first *[1 << 16]int32 // by key, the first of At that may be sought
}

// key is the exponent of x ≥ 0 and ten bits after it: sizes of one key differ by
// 0.1 % at most, so of numbers with three digits hardly two share one and the
// processor need not guess.
func key(x int64) uint16 {
	const shift, one = 42, 1023 << 10 // of the bits of a float64, and those of 1
	return uint16(math.Float64bits(float64(x|1))>>shift - one)
}

// NewSizes returns the list of rising sizes from 0 to Most.
func NewSizes(at []int64) *Sizes {
	s := &Sizes{At: at, first: new([1 << 16]int32)}
	k := int32(0)
	for i := range s.first {
		for int(k) < len(at) && int(key(at[k])) < i {
			k++
		}
		s.first[i] = k
	}
	return s
}

// Tally is what tanks of some sizes gave and lacked over some years, as a sweep
// tells it: differences from size to size until Sum sums them up.
type Tally struct {
	first *[1 << 16]int32
	cells []cell  // by size, and one for what is beyond all of them
	years []int64 // by size, those that need it, and those beyond
	given int64   // by every tank
}

// cell is what changes from the size before to one: the days that ask for it, and
// how the water given, as a function of the size, bends between them: by slope, at
// the sum of slope times size. Two fill a line of the processor's cache.
type cell struct{ size, days, slope, at int64 }

// NewTally returns an empty tally of sizes.
func NewTally(sizes *Sizes) *Tally {
	t := &Tally{first: sizes.first, cells: make([]cell, len(sizes.At)+1), years: make([]int64, len(sizes.At)+1)}
	for k, size := range sizes.At {
		t.cells[k].size = size
	}
	t.cells[len(sizes.At)].size = math.MaxInt64
	return t
}

// find returns the first cell whose size is not below x ≥ 0.
func find(first *[1 << 16]int32, cells []cell, x int64) int {
	k := int(first[key(x)])
	k += int(uint64(cells[k].size-x) >> 63) // one more where that is below x
	for cells[k].size < x {
		k++
	}
	return k
}

// Sums is what tanks of rising sizes gave, units, their short days and good
// years.
type Sums struct{ Supplied, Short, Good []int64 }

// NewSums returns sums for so many sizes.
func NewSums(n int) Sums {
	all := make([]int64, 3*n)
	return Sums{all[:n:n], all[n : 2*n : 2*n], all[2*n:]}
}

// Sum sets sums to the tally's and empties it.
func (t *Tally) Sum(into Sums) {
	n := len(t.cells) - 1
	slope, at, years, days := int64(0), int64(0), int64(0), int64(0)
	for k, c := range t.cells[:n] {
		slope += c.slope
		at += c.at
		into.Supplied[k] = t.given + slope*c.size - at
		years += t.years[k]
		into.Good[k] = years
	}
	for k := n - 1; k >= 0; k-- {
		days += t.cells[k+1].days
		into.Short[k] = days
	}
	t.given = 0
	clear(t.years)
	for k := range t.cells {
		t.cells[k] = cell{size: t.cells[k].size}
	}
}
