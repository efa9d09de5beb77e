package sim

import (
	"context"

	"tankodds/sim/internal/parallel"
)

// Each works on n things on so many goroutines, 0 for all cores, and hands what it
// made of each to collect in their order, on the calling goroutine: the same
// whatever their number, with few of them held at a time. The first error ends it.
func Each[T any](ctx context.Context, workers, n int, work func(i int) (T, error), collect func(i int, x T) error) error {
	return parallel.InOrder(ctx, workers, n, func() struct{} { return struct{}{} },
		func(_ struct{}, i int) (T, error) { return work(i) }, collect)
}
