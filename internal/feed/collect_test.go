package feed

import (
	"fmt"
	"io"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/earth"
)

// fillMotion gives samples the speeds and tracks that they would have if they had been read.
func fillMotion(samples []Sample) {
	points := make([]point, len(samples))
	for i, s := range samples {
		points[i] = pointOf(s)
	}
	measure(points)
	for i, p := range points {
		full := p.sample()
		if samples[i].GroundspeedKt == nil {
			samples[i].GroundspeedKt = full.GroundspeedKt
		}
		if samples[i].TrackTrue == nil {
			samples[i].TrackTrue = full.TrackTrue
		}
	}
}

// readOne reads a file that holds one flight.
func readOne(r io.Reader, day time.Time) (Track, Recorded, error) {
	recorded, err := ReadTracks(r, day)
	if err != nil {
		return Track{}, recorded, err
	}
	return recorded.Track(0), recorded, nil
}

// gpxOf writes tracks as a GPX file, each of the samples of one.
func gpxOf(tracks ...[]Sample) string {
	var b strings.Builder
	b.WriteString("<gpx version=\"1.1\" creator=\"test\" xmlns=\"http://www.topografix.com/GPX/1/1\">\n")
	for i, samples := range tracks {
		fmt.Fprintf(&b, "<trk><name>track %d</name><trkseg>\n", i+1)
		for _, s := range samples {
			fmt.Fprintf(&b, `<trkpt lat="%.7f" lon="%.7f">`, s.At.Lat, s.At.Lon)
			if s.AltitudeFt != nil {
				fmt.Fprintf(&b, "<ele>%.1f</ele>", *s.AltitudeFt*0.3048)
			}
			fmt.Fprintf(&b, "<time>%s</time></trkpt>\n", s.Time.UTC().Format(time.RFC3339Nano))
		}
		b.WriteString("</trkseg></trk>\n")
	}
	return b.String() + "</gpx>\n"
}

// noisy moves every sample by a normal error of so many metres in each direction.
func noisy(samples []Sample, metres float64, seed uint64) []Sample {
	source := rand.New(rand.NewPCG(seed, 1))
	moved := make([]Sample, len(samples))
	for i, s := range samples {
		s.At.Lat += source.NormFloat64() * metres / 1852 / 60
		s.At.Lon += source.NormFloat64() * metres / 1852 / 60
		altitude := *s.AltitudeFt + source.NormFloat64()*metres/2/0.3048
		s.AltitudeFt, s.GroundspeedKt, s.TrackTrue = &altitude, nil, nil
		moved[i] = s
	}
	return moved
}

// laterBy is a flight on another day or hour.
func laterBy(samples []Sample, by time.Duration) []Sample {
	moved := make([]Sample, len(samples))
	for i, s := range samples {
		s.Time = s.Time.Add(by)
		moved[i] = s
	}
	return moved
}

// Two flights of one file stay two, whether they are tracks of their own, one track with a night between, or one without a pause; a flight
// that was recorded in two tracks or segments stays one.
func TestTwoFlightsNeverBecomeOne(t *testing.T) {
	flight := recording(demoSheet(t), 5*time.Second)
	lasts := flight[len(flight)-1].Time.Sub(flight[0].Time)
	var parked []Sample // a quarter of an hour between engine off and on, recorded
	for at := 5 * time.Second; at < 15*time.Minute; at += 5 * time.Second {
		parked = append(parked, Sample{Time: flight[len(flight)-1].Time.Add(at), At: flight[len(flight)-1].At, AltitudeFt: flight[len(flight)-1].AltitudeFt})
	}
	again := laterBy(flight, lasts+16*time.Minute)
	for i := range again { // from where the first one ended: the way back is not the point here
		again[i].AfterGap = false
	}
	half := len(flight) / 2
	for name, c := range map[string]struct {
		file string
		want int
	}{
		"two tracks of a day":            {gpxOf(flight, laterBy(flight, lasts+time.Hour)), 2},
		"the later one first":            {gpxOf(laterBy(flight, lasts+time.Hour), flight), 2},
		"one track, a night between":     {gpxOf(append(laterBy(flight, 0), laterBy(flight, 24*time.Hour)...)), 2},
		"one track, recorded throughout": {gpxOf(append(append(laterBy(flight, 0), parked...), again...)), 2},
		"one flight in two tracks":       {gpxOf(flight[:half], flight[half+20:]), 1},
		"one flight":                     {gpxOf(flight), 1},
	} {
		recorded, err := ReadTracks(strings.NewReader(c.file), time.Time{})
		require.NoError(t, err, name)
		flies := 0
		for _, f := range recorded.Flights() {
			if f.Flies {
				flies++
			}
			assert.Less(t, f.To.Sub(f.From), lasts+16*time.Minute, name)
		}
		assert.Equal(t, c.want, flies, name)
	}
}

// What can't be is dropped and counted, and the rest is the flight as it was.
func TestWhatCantBeIsDroppedAndSaid(t *testing.T) {
	flight := recording(demoSheet(t), 5*time.Second)
	var spoilt []Sample
	for i, s := range flight {
		spoilt = append(spoilt, s)
		switch i % 100 {
		case 20:
			far := s
			far.Time, far.At = s.Time.Add(2*time.Second), earth.Position{} // the receiver began anew
			spoilt = append(spoilt, far)
		case 40:
			back := s
			back.Time = s.Time.Add(-time.Minute)
			spoilt = append(spoilt, back)
		}
	}
	file := gpxOf(spoilt)
	file = strings.Replace(file, "<trkpt", `<trkpt lat="53" lon="14"></trkpt><trkpt`, 1)  // no time
	file = strings.Replace(file, "<trkpt", `<trkpt lat="153" lon="14"></trkpt><trkpt`, 1) // no place
	track, recorded, err := readOne(strings.NewReader(file), time.Time{})
	require.NoError(t, err)
	count := func(of int) int { return (len(flight) - of + 99) / 100 }
	assert.Equal(t, Dropped{Untimed: 1, Backwards: count(41), Spikes: count(21)}, recorded.Dropped)
	assert.Equal(t, 1, recorded.Faults.Count)
	assert.Len(t, track.Samples, len(flight))

	torn := gpxOf(flight)
	torn = torn[:len(torn)/2]
	track, recorded, err = readOne(strings.NewReader(torn), time.Time{})
	require.NoError(t, err, "a file that was cut off")
	assert.Contains(t, recorded.Torn, "line")
	assert.Len(t, track.Samples, strings.Count(torn, "</trkpt>"))
}

// Noise of 33 m in every direction, as a poor receiver has in the worst hour, makes no landing, no take-off and no flight out of standing:
// what is found of a flight is what is found without it. (33 m: common practice, no source.)
func TestNoiseIsNoLanding(t *testing.T) {
	s := demoSheet(t)
	clean := recording(s, time.Second)
	want := Find(s.Route, clean, DefaultWithinNM)
	for seed := range uint64(5) {
		recorded, err := ReadTracks(strings.NewReader(gpxOf(noisy(clean, 33, seed))), time.Time{})
		require.NoError(t, err)
		require.Len(t, recorded.Flights(), 1)
		got := Find(s.Route, recorded.Track(0).Samples, DefaultWithinNM)
		near := func(want, got time.Time, within time.Duration) {
			t.Helper()
			assert.WithinDuration(t, want, got, within, "seed %d", seed)
		}
		near(want.Airborne, got.Airborne, 15*time.Second)
		near(want.Landed, got.Landed, 15*time.Second)
		near(want.OffBlocks, got.OffBlocks, 30*time.Second)
		near(want.OnBlocks, got.OnBlocks, 30*time.Second)
		require.Len(t, got.Passings, len(want.Passings))
		for i, p := range got.Passings {
			near(want.Passings[i].Time, p.Time, 5*time.Second)
		}
	}
	stand := clean[:50]
	var standing []Sample
	for i := range 3600 {
		x := stand[0]
		x.Time = x.Time.Add(time.Duration(i) * time.Second)
		standing = append(standing, x)
	}
	recorded, err := ReadTracks(strings.NewReader(gpxOf(noisy(standing, 33, 9))), time.Time{})
	require.NoError(t, err)
	for _, f := range recorded.Flights() {
		assert.False(t, f.Flies)
	}
}

// A million points, which wiggle as no aircraft does, at twelve a second.
func BenchmarkMillionPoints(b *testing.B) {
	const points = 1_000_000
	begin := time.Date(2026, 6, 20, 1, 0, 0, 0, time.UTC)
	for b.Loop() {
		read, write := io.Pipe()
		go func() {
			fmt.Fprint(write, `<gpx version="1.1" creator="test" xmlns="http://www.topografix.com/GPX/1/1"><trk><trkseg>`)
			for i := range points {
				fmt.Fprintf(write, "<trkpt lat=\"%.6f\" lon=\"%.6f\"><ele>900</ele><time>%s</time></trkpt>\n", 53+float64(i%7)*3e-4+float64(i)*1e-6, 14+float64(i%5)*3e-4,
					begin.Add(time.Duration(i)*80*time.Millisecond).Format(time.RFC3339Nano))
			}
			fmt.Fprint(write, "</trkseg></trk></gpx>")
			write.Close()
		}()
		recorded, err := ReadTracks(read, time.Time{})
		require.NoError(b, err)
		require.Less(b, recorded.Flights()[0].Points, 90_000)
	}
}
