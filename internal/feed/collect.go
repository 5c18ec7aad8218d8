package feed

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"example.com/legclock/internal/earth"
)

// What a recording is sifted by. Common practice, no source.
const (
	oftenEnough  = 950 * time.Millisecond // no more than one position a second is kept: a light single moves 60 m in it
	spikeKt      = 500                    // no light single goes so fast over the ground
	spikeNM      = 0.15                   // beyond what a receiver's noise may add to that
	persuaded    = 5                      // so many in a row that agree with each other are no spike: the recording goes on there, or then
	joinedAfter  = 30 * time.Minute       // two recordings that fly at both sides of a gap no longer than this are of one flight
	joinedKt     = 250                    // if the aircraft could have got from one to the other
	standsFor    = 10 * time.Minute       // so long on the ground between two flights: a touch-and-go, or a word with the tower, is shorter
	longestPause = 3 * time.Hour
	longestTrack = 24 * time.Hour
	motionReach  = 10 * time.Second // a speed is taken over the positions so far to either side, so that noise makes none
)

// Dropped counts the positions that could not be used, by what was wrong.
type Dropped struct {
	Untimed   int // without a time
	Backwards int // not later than the one before
	Spikes    int // where no light aircraft could have got to
}

// Words say what was dropped, and why; empty where nothing was.
func (d Dropped) Words() string {
	var parts []string
	for _, part := range []struct {
		count int
		why   string
	}{{d.Untimed, "without a time"}, {d.Backwards, "not later than the one before"}, {d.Spikes, "where no light aircraft could have got to"}} {
		if part.count > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", part.count, part.why))
		}
	}
	return strings.Join(parts, ", ")
}

// point is a position as it is held while a file is read: a million of them take 56 MB. What was not given is not a number.
type point struct {
	nanoseconds int64 // since 1970
	lat, lon    float64
	altitudeFt  float64
	speedKt     float64
	trackTrue   float64
	afterGap    bool
}

func (p point) place() earth.Position { return earth.Position{Lat: p.lat, Lon: p.lon} }

func (p point) time() time.Time { return time.Unix(0, p.nanoseconds).UTC() }

func (p point) sample() Sample {
	s := Sample{Time: p.time(), At: p.place(), AfterGap: p.afterGap}
	for _, field := range []struct {
		value float64
		into  **float64
	}{{p.altitudeFt, &s.AltitudeFt}, {p.speedKt, &s.GroundspeedKt}, {p.trackTrue, &s.TrackTrue}} {
		if value := field.value; !math.IsNaN(value) {
			*field.into = &value
		}
	}
	return s
}

func pointOf(s Sample) point {
	of := func(value *float64) float64 {
		if value == nil {
			return math.NaN()
		}
		return *value
	}
	return point{s.Time.UnixNano(), s.At.Lat, s.At.Lon, of(s.AltitudeFt), of(s.GroundspeedKt), of(s.TrackTrue), s.AfterGap}
}

// stretch is positions in order of time.
type stretch struct {
	name   string
	points []point
}

// collector takes the positions of a file as they are read, drops what can't be, and keeps the rest small.
type collector struct {
	recordings []*stretch
	dropped    Dropped
	faults     Faults
	kept       int
	invalid    int     // sentences whose receiver says that it has no position
	seen       int     // positions, with or without a time
	odd        []point // at the end: those that went back in time or too far; they are dropped unless they persuade
	oddBack    bool    // the first of them went back in time
}

// begin starts a recording of its own.
func (c *collector) begin(name string) {
	c.settle()
	c.recordings = append(c.recordings, &stretch{name: name})
}

// add takes the next position.
func (c *collector) add(s Sample) error {
	c.seen++
	if s.Time.IsZero() {
		c.dropped.Untimed++
		return nil
	}
	if len(c.recordings) == 0 {
		c.begin("")
	}
	r, next := c.recordings[len(c.recordings)-1], pointOf(s)
	if len(r.points) > 0 {
		last := r.points[len(r.points)-1]
		switch since := time.Duration(next.nanoseconds - last.nanoseconds); {
		case since == 0:
			return nil
		case since < 0 || tooFar(last, next):
			return c.doubt(next, since < 0)
		case since < oftenEnough:
			return nil
		}
	}
	c.settle()
	return c.keep(r, next)
}

func (c *collector) keep(r *stretch, p point) error {
	if c.kept++; c.kept > maxPoints {
		return errTooManyPoints
	}
	r.points = append(r.points, p)
	return nil
}

// tooFar reports whether no aircraft could have got from one position to the next.
func tooFar(from, to point) bool {
	hours := time.Duration(to.nanoseconds - from.nanoseconds).Hours()
	return vectorOf(from.place()).distanceNM(vectorOf(to.place())) > spikeNM+spikeKt*hours
}

// doubt holds a position back that does not follow the last one. Enough of them that follow each other are a recording of their own.
func (c *collector) doubt(p point, back bool) error {
	if n := len(c.odd); n > 0 && (p.nanoseconds <= c.odd[n-1].nanoseconds || tooFar(c.odd[n-1], p)) {
		c.settle()
	}
	if len(c.odd) == 0 {
		c.oddBack = back
	}
	if c.odd = append(c.odd, p); len(c.odd) < persuaded {
		return nil
	}
	r := &stretch{name: c.recordings[len(c.recordings)-1].name}
	c.recordings = append(c.recordings, r)
	for _, held := range c.odd {
		if err := c.keep(r, held); err != nil {
			return err
		}
	}
	c.odd = c.odd[:0]
	return nil
}

// settle drops what was held back.
func (c *collector) settle() {
	if c.oddBack {
		c.dropped.Backwards += len(c.odd)
	} else {
		c.dropped.Spikes += len(c.odd)
	}
	c.odd = c.odd[:0]
}

// flights are the flights of the recordings, in order of time: recordings that fly at both sides of a gap are joined, and one that stands
// on the ground between two flights is cut there.
func (c *collector) flights() []*stretch {
	c.settle()
	var pieces []*stretch
	for _, r := range c.recordings {
		if len(r.points) > 1 || len(r.points) == 1 && c.kept == 1 {
			measure(r.points)
			pieces = append(pieces, r)
		}
	}
	slices.SortStableFunc(pieces, func(a, b *stretch) int { return int(sign(a.points[0].nanoseconds - b.points[0].nanoseconds)) })
	var joined []*stretch
	for _, r := range pieces {
		if n := len(joined); n > 0 && joined[n-1].flowsInto(r) {
			r.points[0].afterGap = true
			joined[n-1].points = append(joined[n-1].points, r.points...)
			continue
		}
		joined = append(joined, r)
	}
	var flights []*stretch
	for _, r := range joined {
		flights = append(flights, r.cut()...)
	}
	return flights
}

func sign(n int64) int64 {
	switch {
	case n < 0:
		return -1
	case n > 0:
		return 1
	}
	return 0
}

// flowsInto reports whether another recording goes on with the same flight.
func (r *stretch) flowsInto(next *stretch) bool {
	last, first := r.points[len(r.points)-1], next.points[0]
	gap := time.Duration(first.nanoseconds - last.nanoseconds)
	nm := vectorOf(last.place()).distanceNM(vectorOf(first.place()))
	return gap > 0 && gap <= joinedAfter && last.speedKt >= flyingKt && first.speedKt >= flyingKt && nm <= spikeNM+joinedKt*gap.Hours()
}

// cut parts a recording where it stands between two flights, or says nothing for hours.
func (r *stretch) cut() []*stretch {
	var parts []*stretch
	begin, slowFrom, flew := 0, -1, false
	for i, p := range r.points {
		paused := i > begin && time.Duration(p.nanoseconds-r.points[i-1].nanoseconds) > longestPause
		stood := slowFrom >= 0 && flew && time.Duration(p.nanoseconds-r.points[slowFrom].nanoseconds) >= standsFor
		fast := p.speedKt >= flyingKt
		if paused || fast && stood {
			at := i
			if !paused { // in the middle of the standing, at its longest silence
				middle := (r.points[slowFrom].nanoseconds + p.nanoseconds) / 2
				at = slowFrom + 1
				for at < i && r.points[at].nanoseconds < middle {
					at++
				}
				for k := slowFrom + 1; k <= i; k++ {
					if time.Duration(r.points[k].nanoseconds-r.points[k-1].nanoseconds) > standsFor/2 {
						at = k
					}
				}
			}
			parts = append(parts, &stretch{r.name, r.points[begin:at]})
			begin, flew = at, false
		}
		if fast {
			slowFrom, flew = -1, true
		} else if slowFrom < begin {
			slowFrom = i
		}
	}
	return append(parts, &stretch{r.name, r.points[begin:]})
}

// measure fills in speeds and tracks that were not recorded, from the positions about each. It looks some seconds to either side, so
// that the noise of a receiver that stands is not taken for speed.
func measure(points []point) {
	from, to := 0, 0
	for i := range points {
		p := &points[i]
		for from < i && time.Duration(p.nanoseconds-points[from].nanoseconds) > motionReach {
			from++
		}
		to = max(to, i)
		for to+1 < len(points) && time.Duration(points[to+1].nanoseconds-p.nanoseconds) <= motionReach && !points[to+1].afterGap {
			to++
		}
		if p.afterGap {
			from = i
		}
		first, last := from, to
		if first == i && i > 0 && !p.afterGap {
			first--
		}
		if last == i && i+1 < len(points) && !points[i+1].afterGap {
			last++
		}
		hasSpeed, hasTrack := !math.IsNaN(p.speedKt), !math.IsNaN(p.trackTrue)
		if first == last || hasSpeed && hasTrack {
			continue
		}
		way := earth.Inverse(points[first].place(), points[last].place())
		if !hasSpeed {
			p.speedKt = way.DistanceNM / time.Duration(points[last].nanoseconds-points[first].nanoseconds).Hours()
		}
		if !hasTrack && way.DistanceNM > 0 {
			p.trackTrue = way.AzimuthStart
		}
	}
}
