// Package values has what a value can be made of that is copied by assignment: a copy goes its own way, because nothing that it refers to
// is ever changed. What must be changed is replaced: small lists are copied, long ones grow as a List, what is looked up by name stands in
// a Book, and what is costly and follows from the rest is Found when it is first read.
package values

import (
	"maps"
	"slices"
	"sync"
	"sync/atomic"
)

// List is one that only grows. Copies share what they have in common, and the first of them to grow may use the room behind it.
type List[T any] struct {
	items []T
	used  *atomic.Int64 // how much of the room behind items is taken by any copy; nil: there is none
}

// ListOf is a list of items that nobody else may change.
func ListOf[T any](items []T) List[T] { return List[T]{items: slices.Clip(items)} }

// With is the list with one more at its end.
func (l List[T]) With(item T) List[T] {
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
	return List[T]{append(grown, item), used}
}

// WithRoom is the list with room for so many more.
func (l List[T]) WithRoom(more int) List[T] {
	grown := make([]T, len(l.items), len(l.items)+more)
	copy(grown, l.items)
	used := new(atomic.Int64)
	used.Store(int64(len(grown)))
	return List[T]{grown, used}
}

// All are the items, for somebody who may keep them.
func (l List[T]) All() []T { return slices.Clip(l.items) }

// Len is how many items there are.
func (l List[T]) Len() int { return len(l.items) }

// Added is a short list with one more at its end.
func Added[T any](items []T, item T) []T { return append(slices.Clip(items), item) }

// Replaced is a short list with another item in one place.
func Replaced[T any](items []T, index int, item T) []T {
	changed := slices.Clone(items)
	changed[index] = item
	return changed
}

// Book has values by name. It is made of pages that are never changed, the largest first, of which the last that has a name counts; so
// few pages are copied for each new name that long flights stay quick.
type Book[V any] struct{ pages []map[string]V }

// Find is the value of a name.
func (b Book[V]) Find(name string) (value V, ok bool) {
	for i := len(b.pages) - 1; i >= 0; i-- {
		if value, ok = b.pages[i][name]; ok {
			return value, true
		}
	}
	return value, false
}

// At is the value of a name, or the zero value.
func (b Book[V]) At(name string) V {
	value, _ := b.Find(name)
	return value
}

func (b Book[V]) Has(name string) bool {
	_, ok := b.Find(name)
	return ok
}

// With is the book with another value for a name.
func (b Book[V]) With(name string, value V) Book[V] { return b.WithAll(map[string]V{name: value}) }

// WithAll is the book with other values for names, in a page that nobody may change any more.
func (b Book[V]) WithAll(page map[string]V) Book[V] {
	if len(page) == 0 {
		return b
	}
	n := len(b.pages)
	for n > 0 && len(b.pages[n-1]) <= len(page) {
		merged := maps.Clone(b.pages[n-1])
		maps.Copy(merged, page)
		page, n = merged, n-1
	}
	return Book[V]{Added(b.pages[:n], page)}
}

// Found is something that is looked for when it is first read, and then kept. What is looked for must follow from what holds it and
// nothing else, so that it may be shared by all copies.
type Found[T any] struct {
	once  sync.Once
	known atomic.Bool
	value T
}

func (f *Found[T]) Get(find func() T) T {
	f.once.Do(func() {
		f.value = find()
		f.known.Store(true)
	})
	return f.value
}

// Known is what was found, if anybody has looked.
func (f *Found[T]) Known() (value T, ok bool) {
	if !f.known.Load() {
		return value, false
	}
	return f.value, true
}

// Finds are things that are found by key when they are first read, and then kept: the same holds for them.
type Finds[K comparable, T any] struct {
	lock   sync.Mutex
	values map[K]T
}

func (f *Finds[K, T]) Get(key K, find func() T) T {
	f.lock.Lock()
	defer f.lock.Unlock()
	value, known := f.values[key]
	if !known {
		value = find()
		if f.values == nil {
			f.values = map[K]T{}
		}
		f.values[key] = value
	}
	return value
}
