package drill

import (
	"fmt"
	"hash/fnv"
	"math"
	"math/rand/v2"
)

// draw draws the figures of an exercise. What it draws from a seed never changes: only the generator's own output is used.
type draw struct{ source *rand.PCG }

func newDraw(topic Topic, level Level, seed uint64) *draw {
	hash := fnv.New64a()
	fmt.Fprintf(hash, "%s %d", topic, level)
	return &draw{rand.NewPCG(seed, hash.Sum64())}
}

// below draws a whole number from 0 to n-1.
func (d *draw) below(n int) int { return int(d.source.Uint64() % uint64(n)) }

// from draws a figure from low to high in steps.
func (d *draw) from(low, high, step float64) float64 {
	steps := int(math.Round((high - low) / step))
	return tidy(low + step*float64(d.below(steps+1)))
}

// signed draws a figure as from does, and its sign.
func (d *draw) signed(low, high, step float64) float64 {
	value := d.from(low, high, step)
	if d.yes() {
		return -value
	}
	return value
}

func (d *draw) yes() bool { return d.below(2) == 1 }

// direction draws whole degrees from 1 to 360 in steps.
func (d *draw) direction(step float64) float64 { return d.from(step, 360, step) }

// timeOfDay draws whole minutes and a number of seconds that is a multiple of step, from 0600 to 1959.
func (d *draw) timeOfDay(stepSeconds int) float64 {
	minute := 6*60 + d.below(14*60)
	return float64(minute) + float64(stepSeconds*d.below(60/stepSeconds))/60
}

func oneOf[T any](d *draw, choices ...T) T { return choices[d.below(len(choices))] }

// tidy takes off what is left of a decimal fraction in binary, so that a figure is exactly the one that is printed.
func tidy(value float64) float64 { return math.Round(value*1e6) / 1e6 }
