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

func none() struct{} { return struct{}{} }

// Results are collected in order, each once, and few run ahead.
func TestInOrder(t *testing.T) {
	for _, workers := range []int{0, 1, 2, 5, 300} {
		for _, n := range []int{0, 1, 2, 7, 200} {
			var started atomic.Int64
			var got []int
			most := int64(0)
			err := InOrder(t.Context(), workers, n, none,
				func(_ struct{}, i int) (int, error) {
					started.Add(1)
					if i%3 == 0 {
						runtime.Gosched() // so that later ones come first
					}
					return i * i, nil
				},
				func(i, x int) error {
					assert.Equal(t, i*i, x)
					most = max(most, started.Load()-int64(i))
					got = append(got, i)
					return nil
				})
			require.NoError(t, err)
			require.Len(t, got, n)
			for i, x := range got {
				require.Equal(t, i, x)
			}
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
	err := InOrder(t.Context(), 3, 100, func() *own { made.Add(1); return &own{} },
		func(o *own, i int) (int, error) {
			assert.True(t, o.busy.CompareAndSwap(false, true))
			runtime.Gosched()
			o.busy.Store(false)
			return i, nil
		}, func(int, int) error { return nil })
	require.NoError(t, err)
	assert.LessOrEqual(t, made.Load(), int64(3))
}

// Of several errors the first in order is told, whichever came first.
func TestInOrderFirstError(t *testing.T) {
	late := make(chan struct{})
	var collected []int
	err := InOrder(t.Context(), 4, 50, none,
		func(_ struct{}, i int) (int, error) {
			switch i {
			case 2:
				<-late
				return 0, errors.New("the second")
			case 3:
				close(late)
				return 0, errors.New("the third")
			}
			return i, nil
		},
		func(i, _ int) error { collected = append(collected, i); return nil })
	assert.EqualError(t, err, "the second")
	assert.Equal(t, []int{0, 1}, collected)

	err = InOrder(t.Context(), 4, 50, none, func(_ struct{}, i int) (int, error) { return i, nil },
		func(i, _ int) error {
			if i == 7 {
				return fmt.Errorf("collecting %d", i)
			}
			return nil
		})
	assert.EqualError(t, err, "collecting 7")
}

// A panic of a worker goes on where the caller can recover it.
func TestInOrderPanic(t *testing.T) {
	assert.PanicsWithValue(t, "three", func() {
		_ = InOrder(t.Context(), 2, 9, none, func(_ struct{}, i int) (int, error) {
			if i == 3 {
				panic("three")
			}
			return i, nil
		}, func(int, int) error { return nil })
	})
}

// A cancelled run ends with the context's error, and no goroutine stays.
func TestInOrderCancel(t *testing.T) {
	before := runtime.NumGoroutine()
	for range 20 {
		ctx, cancel := context.WithCancel(t.Context())
		err := InOrder(ctx, 3, 1000, none, func(_ struct{}, i int) (int, error) { return i, nil },
			func(i, _ int) error {
				if i == 10 {
					cancel()
				}
				return nil
			})
		if err != nil { // all may be done before the news is heard
			assert.ErrorIs(t, err, context.Canceled)
		}
		cancel()
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	err := InOrder(ctx, 2, 1, none, func(_ struct{}, i int) (int, error) { return i, nil }, func(int, int) error { return nil })
	assert.ErrorIs(t, err, context.Canceled)

	_ = InOrder(t.Context(), 5, 1000, none, func(_ struct{}, i int) (int, error) { return 0, errors.New("at once") }, func(int, int) error { return nil })
	for wait := 0; runtime.NumGoroutine() > before && wait < 5000; wait++ {
		time.Sleep(time.Millisecond)
	}
	assert.LessOrEqual(t, runtime.NumGoroutine(), before, "goroutines left behind")
}
