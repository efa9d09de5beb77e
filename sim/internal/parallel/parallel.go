// Package parallel shares work among goroutines without showing it in the
// result.
package parallel

import (
	"context"
	"runtime"
	"sync"
	"sync/atomic"
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
		i     int
		x     T
		err   error
		fault any // what do panicked with
	}
	try := func(own S, i int) (d done) {
		d.i = i
		defer func() { d.fault = recover() }()
		d.x, d.err = do(own, i)
		return d
	}
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	const ahead = 4 // results a worker may be ahead of the collector
	results := make(chan done, ahead*workers)
	tickets := make(chan struct{}, ahead*workers)
	var next atomic.Int64
	var group sync.WaitGroup
	for range workers {
		group.Add(1)
		go func() {
			defer group.Done()
			own := fresh()
			for {
				select {
				case tickets <- struct{}{}:
				case <-ctx.Done():
					return
				}
				i := int(next.Add(1) - 1) // after the ticket: the lowest i at work always has one
				if i >= n {
					return
				}
				select {
				case results <- try(own, i):
				case <-ctx.Done():
					return
				}
			}
		}()
	}
	go func() { group.Wait(); close(results) }()

	waiting := map[int]done{}
	for want := 0; want < n; {
		d, ok := <-results
		if !ok {
			return context.Cause(ctx)
		}
		waiting[d.i] = d
		for {
			d, ok := waiting[want]
			if !ok {
				break
			}
			delete(waiting, want)
			if d.fault != nil {
				panic(d.fault)
			}
			if d.err != nil {
				return d.err
			}
			if err := collect(d.i, d.x); err != nil {
				return err
			}
			<-tickets
			want++
		}
	}
	return nil
}
