package feed

import (
	"math"
	"slices"
	"time"

	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/sheet"
)

// Keeper decides which positions of a live feed a journal holds: those that a Thinner keeps and, soon after each place has been passed, the
// latest, so that the passing is seen without delay.
type Keeper struct {
	thinner Thinner
	places  []passed

	last    *Sample // that an aeroplane could have been at
	doubted *Sample // the last that none could have reached
	doubts  int     // in a row that agree with each other
	dropped int     // in all
	handed  time.Time
}

// What a light aeroplane can't do and a feed can: farther than this in the time since the last position, by more than a receiver errs.
// Where so many in a row agree with each other, it was moved, as a simulator can, and they count.
const (
	swiftestKt = 600
	errorNM    = 0.5
	moved      = 5
)

// apart is how close to each other positions are kept, at the least.
const apart = 3 * time.Second

// Dropped is how many positions were dropped because no aeroplane could have reached them.
func (k *Keeper) Dropped() int { return k.dropped }

// reached reports whether an aeroplane can have come from one place to another in time.
func reached(from, to Sample) bool {
	const least = time.Second
	hours := max(to.Time.Sub(from.Time).Abs(), least).Hours()
	return vectorOf(from.At).distanceNM(vectorOf(to.At)) <= errorNM+hours*swiftestKt
}

// believable judges a sample by those before it; one that was moved to begins anew.
func (k *Keeper) believable(s *Sample) bool {
	if k.last == nil || reached(*k.last, *s) {
		k.last, k.doubted, k.doubts = s, nil, 0
		return true
	}
	if k.doubted != nil && reached(*k.doubted, *s) {
		k.doubts++
	} else {
		k.doubts = 1
	}
	if k.doubted = s; k.doubts < moved {
		k.dropped++
		return false
	}
	s.AfterGap = true
	k.last, k.doubted, k.doubts = s, nil, 0
	return true
}

// passed is a place and how the flight goes by it.
type passed struct {
	at      vector
	closing bool
	low     float64 // nm, while closing
	high    float64 // nm, after it was passed
}

// NewKeeper watches for the turning points and checkpoints of a route.
func NewKeeper(route *sheet.Route, thinning Thinning) *Keeper {
	k := &Keeper{thinner: Thinner{Thinning: thinning}}
	for _, target := range targetsOf(route) {
		k.watch(target.at)
	}
	return k
}

func (k *Keeper) watch(at earth.Position) {
	k.places = append(k.places, passed{at: vectorOf(at), closing: true, low: math.Inf(1)})
}

// Add takes the next sample and returns those that are to be kept, in order of time. One that is not later than the one before, of a
// clock that stands or was set back, begins anew.
func (k *Keeper) Add(s Sample) []Sample {
	if !k.believable(&s) {
		return nil
	}
	kept := k.add(s)
	return slices.DeleteFunc(kept, func(s Sample) bool {
		if since := s.Time.Sub(k.handed); since >= 0 && since < apart {
			return true
		}
		k.handed = s.Time
		return false
	})
}

func (k *Keeper) add(s Sample) []Sample {
	if k.thinner.started && !s.Time.After(k.latest()) {
		if s.Time.Equal(k.latest()) {
			return nil
		}
		s.AfterGap = true
		k.thinner = Thinner{Thinning: k.thinner.Thinning}
	}
	kept := k.thinner.Add(s)
	if k.goneBy(vectorOf(s.At)) {
		kept = append(kept, k.thinner.Flush()...)
	}
	return kept
}

// latest is the time of the last sample.
func (k *Keeper) latest() time.Time {
	if n := len(k.thinner.left); n > 0 {
		return k.thinner.left[n-1].Time
	}
	return k.thinner.kept.Time
}

// goneBy reports whether a place has just been passed.
func (k *Keeper) goneBy(here vector) bool {
	gone := false
	for i := range k.places {
		p := &k.places[i]
		distance := p.at.distanceNM(here)
		switch {
		case p.closing && distance < p.low:
			p.low = distance
		case p.closing && distance > p.low+riseNM:
			gone = gone || p.low <= DefaultWithinNM
			p.closing, p.high = false, distance
		case !p.closing && distance > p.high:
			p.high = distance
		case !p.closing && distance < p.high-riseNM:
			p.closing, p.low = true, distance
		}
	}
	return gone
}
