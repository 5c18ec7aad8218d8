package flight_test

import (
	"fmt"
	"hash/fnv"
	"reflect"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/flight"
)

// sum is of all that can be reached from a value, what nobody outside can see too; not of the sheet and its routes, which are made once,
// nor of functions and what is remembered of them.
func sum(value any) uint64 {
	hash := fnv.New64a()
	var walk func(v reflect.Value, depth int)
	walk = func(v reflect.Value, depth int) {
		if depth > 60 {
			panic("a circle")
		}
		switch v.Kind() {
		case reflect.Pointer, reflect.Interface:
			if v.IsNil() || made(v.Type()) {
				fmt.Fprint(hash, "·")
				return
			}
			walk(v.Elem(), depth+1)
		case reflect.Struct:
			for i := range v.NumField() {
				if !made(v.Type().Field(i).Type) {
					walk(v.Field(i), depth+1)
				}
			}
		case reflect.Slice, reflect.Array:
			fmt.Fprint(hash, v.Len(), "[")
			for i := range v.Len() {
				walk(v.Index(i), depth+1)
			}
		case reflect.Map:
			total := uint64(v.Len())
			outer := hash
			for _, key := range v.MapKeys() {
				hash = fnv.New64a()
				walk(key, depth+1)
				walk(v.MapIndex(key), depth+1)
				total += hash.Sum64()
			}
			hash = outer
			fmt.Fprint(hash, total, "{")
		case reflect.Func, reflect.Chan, reflect.UnsafePointer:
		case reflect.String:
			fmt.Fprintf(hash, "%q", v.String())
		default:
			fmt.Fprint(hash, v, ";")
		}
	}
	walk(reflect.ValueOf(value), 0)
	return hash.Sum64()
}

// made reports whether values of a type are made once and then only read, found on first reading and then kept, or
// how much of a list its copies use.
func made(of reflect.Type) bool {
	switch of.String() {
	case "*sheet.Sheet", "*sheet.Route", "*sheet.RadioStep", "*plan.Plan", "*time.Location", "*atomic.Int64":
		return true
	}
	return strings.HasPrefix(of.String(), "*flight.found[") || strings.HasPrefix(of.String(), "*flight.finds[")
}

// Nothing that changes is shared between a flight, its clones and what was taken from it; and looking at a flight does not change it.
func TestNothingThatChangesIsShared(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		events := journal(t, lochs())
		at := last(events).Add(time.Minute)
		known := rapid.IntRange(1, len(events)).Draw(t, "known")
		state, err := flight.Fold(lochs(), "live", events[:known], nil)
		require.NoError(t, err)
		before := sum(state)
		snapshot, answered := state.At(at), state.Answered()
		late := state.LateAt(at)
		for _, e := range events[known:] {
			_ = state.Check(e)
		}
		require.Equal(t, before, sum(state), "looking at a flight changed it")
		clone := state.Clone()
		kept := []uint64{sum(clone), sum(snapshot), sum(answered), sum(late)}
		for _, e := range events[known:] {
			require.NoError(t, state.Apply(e))
			_ = state.At(at)
		}
		require.Equal(t, kept, []uint64{sum(clone), sum(snapshot), sum(answered), sum(late)}, "what was taken from a flight changed with it")
		before = sum(state)
		for _, e := range events[known:] {
			require.NoError(t, clone.Apply(e))
			_ = clone.At(at)
		}
		require.Equal(t, before, sum(state), "a flight changed with its clone")
	})
}
