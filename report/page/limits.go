package page

import (
	"container/list"
	"context"
	"errors"
	"sync"

	"tankodds/rainfall"
)

// store keeps the bytes of records by their digests, the most recently used ones.
type store struct {
	mu    sync.Mutex
	most  int64
	held  int64
	files map[string]*list.Element // of *kept
	order *list.List               // the most recent first

	records *shelf[*rainfall.Record] // as they were read
	reading sync.Mutex               // one at a time: a long file takes memory while it is read
}

type kept struct {
	sum  string
	data []byte
}

func newStore(most int64) *store {
	return &store{most: most, files: map[string]*list.Element{}, order: list.New(), records: newShelf[*rainfall.Record](24)}
}

// put keeps bytes and returns their digest.
func (s *store) put(data []byte) string {
	sum := digest(data)
	s.mu.Lock()
	defer s.mu.Unlock()
	if at, ok := s.files[sum]; ok {
		s.order.MoveToFront(at)
		return sum
	}
	s.files[sum] = s.order.PushFront(&kept{sum, data})
	s.held += int64(len(data))
	for s.held > s.most && s.order.Len() > 1 {
		last := s.order.Back()
		old := s.order.Remove(last).(*kept)
		delete(s.files, old.sum)
		s.held -= int64(len(old.data))
	}
	return sum
}

// get returns the bytes of a digest.
func (s *store) get(sum string) ([]byte, bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	at, ok := s.files[sum]
	if !ok {
		return nil, false
	}
	s.order.MoveToFront(at)
	return at.Value.(*kept).data, true
}

// shelf keeps the most recently used of some values.
type shelf[T any] struct {
	mu    sync.Mutex
	most  int
	items map[string]*list.Element
	order *list.List
}

type onShelf[T any] struct {
	key   string
	value T
}

func newShelf[T any](most int) *shelf[T] {
	return &shelf[T]{most: most, items: map[string]*list.Element{}, order: list.New()}
}

func (s *shelf[T]) get(key string) (value T, ok bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	at, ok := s.items[key]
	if !ok {
		return value, false
	}
	s.order.MoveToFront(at)
	return at.Value.(*onShelf[T]).value, true
}

func (s *shelf[T]) put(key string, value T) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if at, ok := s.items[key]; ok {
		at.Value.(*onShelf[T]).value = value
		s.order.MoveToFront(at)
		return
	}
	s.items[key] = s.order.PushFront(&onShelf[T]{key, value})
	for s.order.Len() > s.most {
		delete(s.items, s.order.Remove(s.order.Back()).(*onShelf[T]).key)
	}
}

// slots let some requests work and others wait, and turn away those beyond.
type slots struct {
	work chan struct{}
	wait chan struct{}
}

var errBusy = errors.New("too many questions at once; ask again in a moment")

func newSlots(work, wait int) slots {
	return slots{make(chan struct{}, work), make(chan struct{}, wait)}
}

// take waits for its turn; the function that it returns ends it.
func (s slots) take(ctx context.Context) (done func(), err error) {
	select {
	case s.wait <- struct{}{}:
	default:
		return nil, errBusy
	}
	defer func() { <-s.wait }()
	select {
	case s.work <- struct{}{}:
		return func() { <-s.work }, nil
	case <-ctx.Done():
		return nil, ctx.Err()
	}
}

// purse is a number of bytes that requests take of while they come in.
type purse struct {
	mu   sync.Mutex
	free int64
}

func newPurse(bytes int64) *purse { return &purse{free: bytes} }

// take takes n bytes, or says that there are none left.
func (p *purse) take(n int64) (back func(), err error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if n > p.free {
		return nil, errBusy
	}
	p.free -= n
	return func() {
		p.mu.Lock()
		defer p.mu.Unlock()
		p.free += n
	}, nil
}
