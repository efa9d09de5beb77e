// Package parallel shares work among goroutines without showing it in the
// result.
package parallel

import (
	"context"
	"runtime"
)

// InOrder runs do(own, i), own made once a goroutine by fresh, for i = 0 … n−1
// on several goroutines and collect(i, result) in rising i on the calling one,
// so that sums come out the same whatever the number of workers. At most a
// fixed number of results a worker wait at any time: memory does not grow with
// n. The first error, in the order of i, ends the run; so does a panic, which
// goes on in the calling goroutine, where it can be recovered.
func InOrder[S, T any](ctx context.Context, workers, n int, fresh func() S, do func(own S, i int) (T, error), collect func(i int, x T) error) error {
	if err := context.Cause(ctx); err != nil {
		return err
	}
	if workers <= 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	workers = min(workers, n)
	type done struct {
		x     T
		err   error
		fault any // what do panicked with
	}
	try := func(own S, i int) (d done) {
		defer func() { d.fault = recover() }()
		d.x, d.err = do(own, i)
		return d
	}
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	type job struct {
		i      int
		result chan done
	}
	const ahead = 4 // results a worker may be ahead of the collector
	jobs, inOrder := make(chan job), make(chan chan done, ahead*workers)
	go func() {
		defer close(jobs)
		for i := range n {
			j := job{i, make(chan done, 1)} // so that no worker waits to be rid of a result
			select {
			case inOrder <- j.result:
			case <-ctx.Done():
				return
			}
			select {
			case jobs <- j:
			case <-ctx.Done():
				return
			}
		}
	}()
	for range workers {
		go func() {
			own := fresh()
			for j := range jobs {
				j.result <- try(own, j.i)
			}
		}()
	}
	for i := range n {
		var result chan done
		select {
		case result = <-inOrder:
		case <-ctx.Done(): // and result gives nothing
		}
		var d done
		select {
		case d = <-result:
		case <-ctx.Done():
			return context.Cause(ctx)
		}
		if d.fault != nil {
			panic(d.fault)
		}
		if d.err != nil {
			return d.err
		}
		if err := collect(i, d.x); err != nil {
			return err
		}
	}
	return nil
}
