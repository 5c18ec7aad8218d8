package flight

import (
	"maps"
	"slices"
	"sync"
	"sync/atomic"
)

// A flight is a value: a copy of it by assignment goes its own way. That holds because nothing that it refers to is ever changed. What
// must be changed is replaced: small lists are copied, long ones grow as below, and what is looked up by name stands in a book.

// list is one that only grows. Copies share what they have in common, and the first of them to grow may use the room behind it.
type list[T any] struct {
	items []T
	used  *atomic.Int64 // how much of the room behind items is taken by any copy; nil: there is none
}

// listOf is a list of items that nobody else may change.
func listOf[T any](items []T) list[T] { return list[T]{items: slices.Clip(items)} }

// with is the list with one more at its end.
func (l list[T]) with(item T) list[T] {
	n := int64(len(l.items))
	if l.used != nil && len(l.items) < cap(l.items) && l.used.CompareAndSwap(n, n+1) {
		l.items = append(l.items, item)
		return l
	}
	const least = 8
	grown := make([]T, len(l.items), max(least, 2*len(l.items)))
	copy(grown, l.items)
	used := new(atomic.Int64)
	used.Store(n + 1)
	return list[T]{append(grown, item), used}
}

// all are the items, for somebody who may keep them.
func (l list[T]) all() []T { return slices.Clip(l.items) }

// added is a short list with one more at its end.
func added[T any](items []T, item T) []T { return append(slices.Clip(items), item) }

// replaced is a short list with another item in one place.
func replaced[T any](items []T, index int, item T) []T {
	changed := slices.Clone(items)
	changed[index] = item
	return changed
}

// book has values by name. It is made of pages that are never changed, the largest first, of which the last that has a name counts; so
// few pages are copied for each new name that long flights stay quick.
type book[V any] struct{ pages []map[string]V }

// find is the value of a name.
func (b book[V]) find(name string) (value V, ok bool) {
	for i := len(b.pages) - 1; i >= 0; i-- {
		if value, ok = b.pages[i][name]; ok {
			return value, true
		}
	}
	return value, false
}

// at is the value of a name, or the zero value.
func (b book[V]) at(name string) V {
	value, _ := b.find(name)
	return value
}

func (b book[V]) has(name string) bool {
	_, ok := b.find(name)
	return ok
}

// with is the book with another value for a name.
func (b book[V]) with(name string, value V) book[V] {
	page := map[string]V{name: value}
	n := len(b.pages)
	for n > 0 && len(b.pages[n-1]) <= len(page) {
		merged := maps.Clone(b.pages[n-1])
		maps.Copy(merged, page)
		page, n = merged, n-1
	}
	return book[V]{added(b.pages[:n], page)}
}

// found is something that is looked for when it is first read, and then kept. What is looked for must follow from what holds it and
// nothing else, so that it may be shared by all copies.
type found[T any] struct {
	once  sync.Once
	value T
}

func (f *found[T]) get(find func() T) T {
	f.once.Do(func() { f.value = find() })
	return f.value
}

// finds are things that are found by key when they are first read, and then kept: the same holds for them.
type finds[K comparable, T any] struct {
	lock   sync.Mutex
	values map[K]T
}

func newFinds[K comparable, T any]() *finds[K, T] { return &finds[K, T]{values: map[K]T{}} }

func (f *finds[K, T]) get(key K, find func() T) T {
	f.lock.Lock()
	defer f.lock.Unlock()
	value, known := f.values[key]
	if !known {
		value = find()
		f.values[key] = value
	}
	return value
}
