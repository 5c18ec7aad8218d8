package flight_test

import (
	"fmt"
	"hash/fnv"
	"reflect"
	"slices"
	"strings"
	"sync"
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
	case "*sheet.Sheet", "*sheet.Route", "*sheet.RadioStep", "*plan.Plan", "*time.Location", "*atomic.Int64", "*flight.kept", "*flight.found", "*flight.laterDays":
		return true
	}
	return strings.HasPrefix(of.String(), "*values.Found[") || strings.HasPrefix(of.String(), "*values.Finds[")
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
		snapshot, answered := state.At(at), state.Closed(at)
		late := state.Look(at).Late()
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

// An act that is done again and again never changes what was taken before: none writes into a list or a book that a clone has too.
func TestNoActChangesAClone(t *testing.T) {
	for _, do := range flight.Acts() {
		for seed := range 8 {
			events := rapid.Custom(func(t *rapid.T) []flight.Event {
				return journalOf(t, lochs(), []flight.Act{do, do, do, flight.Airborne})
			}).Example(seed)
			state, err := flight.Fold(lochs(), "live", events[:len(events)/2], nil)
			require.NoError(t, err)
			clone := state.Clone()
			before := sum(clone)
			for _, e := range events[len(events)/2:] {
				require.NoError(t, state.Apply(e))
			}
			require.Equal(t, before, sum(clone), "%s changed a clone", do)
		}
	}
}

// What is kept from one look to the next never shows: a flight that has been looked at, by several at a time, answers as one that nobody has.
func TestLooksAreOfTheMoment(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		events := journal(t, lochs())
		seen, err := flight.Fold(lochs(), "live", events, nil)
		require.NoError(t, err)
		start := last(events)
		moments := make([]time.Time, rapid.IntRange(1, 12).Draw(t, "looks"))
		for i := range moments {
			moments[i] = start.Add(time.Duration(rapid.IntRange(0, 3_000_000).Draw(t, "ms")) * time.Millisecond)
		}
		looks := make([]flight.Snapshot, len(moments))
		var all sync.WaitGroup
		for i, at := range moments {
			all.Go(func() { looks[i] = seen.At(at) })
		}
		all.Wait()
		for i, at := range moments {
			fresh, err := flight.Fold(lochs(), "live", events, nil)
			require.NoError(t, err)
			require.Equal(t, read(fresh.At(at)), read(looks[i]))
			require.Equal(t, read(fresh.At(at)), read(seen.At(at)), "looked at again")
		}
	})
}

// Nor does it as time goes on, over all that comes due, is late or changes by itself meanwhile.
func TestLooksGoOnWithTime(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		events := journal(t, lochs())
		seen, err := flight.Fold(lochs(), "live", events, nil)
		require.NoError(t, err)
		at := last(events).Add(time.Duration(rapid.IntRange(0, 1800).Draw(t, "later")) * time.Second)
		step := rapid.SampledFrom([]time.Duration{130 * time.Millisecond, time.Second, 7 * time.Second, time.Minute}).Draw(t, "step")
		const steps = 60
		starts := []time.Time{at}
		for _, p := range seen.Unseen().At(at).Prompts {
			if start := p.Due.Add(-steps / 2 * step); start.After(at) {
				starts = append(starts, start)
			}
		}
		at = rapid.SampledFrom(starts).Draw(t, "start")
		for range steps {
			require.Equal(t, read(seen.Unseen().At(at)), read(seen.At(at)))
			at = at.Add(step)
		}
	})
}

// read is a Snapshot in which all that is reckoned when it is first read has been.
func read(s flight.Snapshot) flight.Snapshot {
	s.WaysOut.All()
	return s
}

// computed are the fields of a Snapshot whose times are reckoned, not recorded.
var computed = map[string]bool{
	"ETA": true, "Due": true, "LateAt": true, "Planned": true, "Revised": true, "CarriedOver": true, "ByRatio": true, "LeaveAt": true, "LeaveBy": true,
	"Leave": true, "LimitAt": true, "DryAt": true, "WithinLimitAt": true, "ReserveTouchedAt": true,
}

// fractions are the computed times of a value that are no whole seconds.
func fractions(path string, v reflect.Value) (found []string) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			return fractions(path, v.Elem())
		}
	case reflect.Slice:
		for i := range v.Len() {
			found = append(found, fractions(path, v.Index(i))...)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			name, field := v.Type().Field(i).Name, v.Field(i)
			if !v.Type().Field(i).IsExported() {
				continue
			}
			if field.Kind() == reflect.Pointer && !field.IsNil() {
				field = field.Elem()
			}
			at, isTime := field.Interface().(time.Time)
			switch {
			case !isTime:
				found = append(found, fractions(path+"."+name, field)...)
			case computed[name] && !at.Equal(at.Round(time.Second)):
				found = append(found, path+"."+name+" "+at.Format(time.RFC3339Nano))
			}
		}
	}
	return found
}

// What is computed is brought to whole seconds once, where the Snapshot is made, so that every reader of it shows the same.
func TestComputedTimesAreWholeSeconds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		events := journal(t, lochs())
		state, err := flight.Fold(lochs(), "live", events, nil)
		require.NoError(t, err)
		at := last(events).Add(time.Duration(rapid.IntRange(0, 600_000).Draw(t, "ms")) * time.Millisecond)
		snapshot := state.At(at)
		for i := range snapshot.Leg.Marks {
			if snapshot.Leg.Marks[i].Kind == "passed" {
				snapshot.Leg.Marks[i].ETA = nil // as recorded, or amended
			}
		}
		snapshot.Crossing = nil // what is wanted is as the pilot said, and so may be the end of a hold for it
		require.Empty(t, fractions("", reflect.ValueOf(snapshot)))
		require.Empty(t, fractions("WaysOut", reflect.ValueOf(snapshot.WaysOut.All())))
	})
}

// What is looked at part by part is what the Snapshot of that moment has.
func TestALookIsPartOfTheSnapshot(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		events := journal(t, lochs())
		state, err := flight.Fold(lochs(), "live", events, nil)
		require.NoError(t, err)
		at := last(events).Add(time.Duration(rapid.IntRange(0, 5400).Draw(t, "later")) * time.Second)
		look, whole := state.Look(at), state.At(at)

		whole.Leg.Marks, whole.Clock.Rate, whole.Clock.Paused = []flight.LegMark{}, 0, false
		require.Equal(t, whole.Leg, look.Leg())
		require.Equal(t, whole.Clock, look.Clock())
		require.Equal(t, whole.Phase, look.Phase())
		require.Equal(t, whole.Steer, look.Steer())
		require.Equal(t, whole.Position, look.Position())
		require.Equal(t, whole.Wind, look.Wind())
		require.Equal(t, whole.Holds, look.Holds())
		require.Equal(t, whole.Next != nil, look.Ahead())
		require.Equal(t, whole.Tanks.TankFigures, look.Tanks())
		quantities, imbalance := look.Quantities()
		require.Equal(t, whole.Tanks.Imbalance, imbalance)
		for i, tank := range whole.Tanks.Tanks {
			require.Equal(t, tank.Quantity, quantities[i])
		}
		require.Equal(t, slices.DeleteFunc(slices.Clone(whole.Prompts), func(p flight.Prompt) bool { return p.State != flight.Late }), look.Late())

		rows := look.Route()
		require.Len(t, rows, len(whole.Route))
		for i, row := range whole.Route {
			require.Equal(t, row.SigmaSeconds, look.Sigma(rows[i]))
			if !row.Checkpoint && row.Leg >= 0 {
				require.Equal(t, row.Actual == nil, look.Ended(row.Leg).IsZero())
			}
			row.SigmaSeconds, row.DifferenceSeconds, row.HeadingMagnetic = nil, nil, rows[i].HeadingMagnetic // the one that is advised is the Snapshot's to say
			require.Equal(t, row, rows[i])
		}
	})
}
