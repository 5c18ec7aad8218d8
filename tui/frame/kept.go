package frame

import (
	"slices"
	"unsafe"
)

// Kept is what was last made of a value. It is made again only of another one. What makes it is given that value and must ask nothing else that
// changes, so that nothing can be shown that is not compared.
type Kept[K comparable, V any] struct {
	of   K
	made V
	has  bool
}

// Of is what a value makes: what was made before, where the value is the same.
func (k *Kept[K, V]) Of(value K, make func(K) V) V {
	if !k.has || k.of != value {
		k.of, k.made, k.has = value, make(value), true
	}
	return k.made
}

// KeptRows are rows each of which is made of a value.
type KeptRows[K comparable] struct{ rows []Kept[K, string] }

// Of is the row at a place, counted from 0.
func (k *KeptRows[K]) Of(at int, value K, make func(K) string) string {
	for len(k.rows) <= at {
		k.rows = append(k.rows, Kept[K, string]{})
	}
	return k.rows[at].Of(value, make)
}

// KeptList is what was last made of a list of values and of one more.
type KeptList[E, K comparable, V any] struct {
	of   []E
	with K
	made V
	has  bool
}

// Of is what a list makes; it is copied where it has to be.
func (k *KeptList[E, K, V]) Of(list []E, with K, make func([]E, K) V) V {
	if !k.has || k.with != with || !slices.Equal(k.of, list) {
		k.of, k.with, k.has = append(k.of[:0], list...), with, true
		k.made = make(k.of, with)
	}
	return k.made
}

// Same is a list by its identity, for one that nobody changes: it equals itself and no other, whatever is in that.
type Same[T any] struct {
	first *T
	many  int
}

// SameOf is the identity of a list.
func SameOf[T any](list []T) Same[T] { return Same[T]{unsafe.SliceData(list), len(list)} }

// List is the list that an identity is of.
func (s Same[T]) List() []T { return unsafe.Slice(s.first, s.many) }
