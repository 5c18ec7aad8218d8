package feed

import (
	"time"

	"example.com/legclock/internal/earth"
)

// Sample is where an aircraft was at one moment, as a receiver or recorder gave it. A nil figure was not given.
type Sample struct {
	Time            time.Time // UTC; zero: not given
	At              earth.Position
	AltitudeFt      *float64 // above sea level
	GroundspeedKt   *float64
	TrackTrue       *float64 // of the way over the ground
	HeadingTrue     *float64
	HeadingMagnetic *float64
	AfterGap        bool // reception was lost before it, or the recording interrupted
}

// Track is a recorded way, in order of time where it has times.
type Track struct {
	Name    string
	Format  string // "NMEA 0183", "GPX" or "IGC"
	Samples []Sample
}

// Fault is a place in the input that said nothing that could be used.
type Fault struct {
	Line int // from 1
	Text string
}

// faultsKept is how many faults are kept to be shown.
const faultsKept = 5

// Faults are the places that could not be used: how many, and the first few.
type Faults struct {
	Count int
	First []Fault
}

func (f *Faults) add(line int, text string) {
	f.Count++
	if len(f.First) < faultsKept {
		f.First = append(f.First, Fault{line, text})
	}
}
