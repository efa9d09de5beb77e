package parallel

import (
	"context"
	"errors"
	"fmt"
	"runtime"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// each runs do for 0 … n − 1, whose results are nothing but their number.
func each(ctx context.Context, workers, n int, do func(i int) error, collect func(i int) error) error {
	return InOrder(ctx, workers, n, func() struct{} { return struct{}{} },
		func(_ struct{}, i int) (int, error) { return i, do(i) },
		func(i, x int) error {
			if i != x {
				return fmt.Errorf("%d taken for %d", x, i)
			}
			return collect(i)
		})
}

func nothing(int) error { return nil }

// Results are collected in order, each once, and few run ahead.
func TestInOrder(t *testing.T) {
	for _, workers := range []int{0, 1, 2, 5, 300} {
		for _, n := range []int{0, 1, 2, 7, 200} {
			var started atomic.Int64
			got, most := 0, int64(0)
			require.NoError(t, each(t.Context(), workers, n, func(i int) error {
				started.Add(1)
				if i%3 == 0 {
					runtime.Gosched() // so that later ones come first
				}
				return nil
			}, func(i int) error {
				require.Equal(t, got, i)
				got++
				most = max(most, started.Load()-int64(i))
				return nil
			}))
			require.Equal(t, n, got)
			if workers > 0 {
				assert.LessOrEqual(t, most, int64(5*workers+1))
			}
		}
	}
}

// Own memory is one worker's alone.
func TestInOrderOwnMemory(t *testing.T) {
	var made atomic.Int64
	type own struct{ busy atomic.Bool }
	require.NoError(t, InOrder(t.Context(), 3, 100, func() *own { made.Add(1); return &own{} },
		func(o *own, i int) (int, error) {
			assert.True(t, o.busy.CompareAndSwap(false, true))
			runtime.Gosched()
			o.busy.Store(false)
			return i, nil
		}, func(int, int) error { return nil }))
	assert.LessOrEqual(t, made.Load(), int64(3))
}

// Of several errors the first in order is told, whichever came first, and so is
// that of the collector. A panic of a worker goes on where the caller can
// recover it.
func TestInOrderFirstError(t *testing.T) {
	late := make(chan struct{})
	collected := 0
	err := each(t.Context(), 4, 50, func(i int) error {
		switch i {
		case 2:
			<-late
			return errors.New("the second")
		case 3:
			close(late)
			return errors.New("the third")
		}
		return nil
	}, func(int) error { collected++; return nil })
	assert.EqualError(t, err, "the second")
	assert.Equal(t, 2, collected)

	assert.EqualError(t, each(t.Context(), 4, 50, nothing, func(i int) error {
		if i == 7 {
			return errors.New("collecting 7")
		}
		return nil
	}), "collecting 7")

	assert.PanicsWithValue(t, "three", func() {
		_ = each(t.Context(), 2, 9, func(i int) error {
			if i == 3 {
				panic("three")
			}
			return nil
		}, nothing)
	})
}

// A cancelled run ends with the context's error, also while work is going on,
// and no goroutine stays.
func TestInOrderCancel(t *testing.T) {
	before := runtime.NumGoroutine()
	for _, at := range []int{-1, 0, 10, 500} {
		ctx, cancel := context.WithCancel(t.Context())
		if at < 0 {
			cancel()
		}
		err := each(ctx, 3, 1000, nothing, func(i int) error {
			if i == at {
				cancel()
			}
			return nil
		})
		assert.ErrorIs(t, err, context.Canceled)
		cancel()
	}
	ctx, cancel := context.WithCancel(t.Context())
	assert.ErrorIs(t, each(ctx, 2, 1000, func(i int) error { cancel(); <-ctx.Done(); return nil }, nothing), context.Canceled)

	assert.Error(t, each(t.Context(), 5, 1000, func(int) error { return errors.New("at once") }, nothing))
	for wait := 0; runtime.NumGoroutine() > before && wait < 5000; wait++ {
		time.Sleep(time.Millisecond)
	}
	assert.LessOrEqual(t, runtime.NumGoroutine(), before, "goroutines left behind")
}
