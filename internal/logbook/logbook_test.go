package logbook_test

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/logbook"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/sheet"
	"example.com/legclock/internal/testkit"
)

// evening is a flight from A over B back to A in the evening of 21 June 2026. A is at 51.50° N 0.12° W, where civil twilight ends at
// 21:09:14Z (python3-ephem 4.1.4, pressure 0, use_center).
func evening(t *testing.T) (*sheet.Sheet, []flight.Event) {
	t.Helper()
	p, err := testkit.DemoPlan()
	require.NoError(t, err)
	a := earth.Position{Lat: 51.5, Lon: -0.12}
	b, _ := earth.Direct(a, 90, 12)
	p.OffBlocks = time.Date(2026, 6, 21, 20, 30, 0, 0, time.UTC)
	p.Points = []plan.Point{{Ident: "A", Kind: plan.Aerodrome, At: a, CircuitFt: 1000}, {Ident: "B", Kind: plan.Visual, At: b}}
	level := plan.Level{AltitudeFt: 2500}
	p.Route = plan.Route{From: "A", Legs: []plan.Leg{{To: "B", Level: level}, {To: "A", Level: level}}}
	p.Fuel.Alternate, p.Checks = "", nil
	s, problems := sheet.Compute(p)
	require.NotNil(t, s, "%v", problems)
	at := func(clock string) time.Time {
		parsed, err := time.Parse(time.DateTime, "2026-06-21 "+clock)
		require.NoError(t, err)
		return parsed
	}
	events := []flight.Event{
		{Act: flight.OffBlocks, T: at("20:31:00")},
		{Act: flight.Airborne, T: at("20:36:00")},
		{Act: flight.Passing, Point: "B", T: at("20:46:00")},
		{Act: flight.Passing, Point: "A", T: at("20:58:00")},
		{Act: flight.Landed, T: at("21:02:00")},
		{Act: flight.OnBlocks, T: at("21:40:00")},
	}
	for i := range events {
		events[i].N, events[i].Rec = i+1, events[i].T
	}
	return s, events
}

// By hand: block 20:31 to 21:40 is 1:09, airborne 20:36 to 21:02 is 0:26, and of the block 21:40:00 less 21:09:14 is night, 30.8 min.
func TestLineAgainstHandSums(t *testing.T) {
	s, events := evening(t)
	line, err := logbook.Of(s, "live", events)
	require.NoError(t, err)
	assert.InDelta(t, 69, *line.BlockMinutes, 1e-9)
	assert.InDelta(t, 26, *line.AirborneMinutes, 1e-9)
	assert.InDelta(t, 30.8, *line.NightMinutes, 0.5)
	assert.Equal(t, 1, line.Landings)
	assert.Equal(t, "A", line.To)
	assert.Greater(t, *line.FuelUsed, 0.0)

	var out strings.Builder
	require.NoError(t, logbook.Write(&out, []logbook.Line{line, line}, "text"))
	assert.Contains(t, out.String(), "2026-06-21  X-WGTL    A     A   20:31       20:36     21:02   21:40      1:09   0:26      0:31   1")
	assert.Regexp(t, `(?m)^total +2:18 +0:52 +1:02 +2$`, out.String())

	out.Reset()
	require.NoError(t, logbook.Write(&out, []logbook.Line{line}, "csv"))
	assert.Contains(t, out.String(), "\n2026-06-21,X-WGTL,A,A,20:31,20:36,21:02,21:40,1:09,0:26,0:31,1,")
	assert.Error(t, logbook.Write(&out, nil, "pdf"))
}

// Times are written as a clock shows them, cut off at the minute, and the spans follow from what is written: 20:31:59 to 21:40:01 is 1:09, from
// 20:31 to 21:40.
func TestALineAddsUpAsItIsWritten(t *testing.T) {
	s, events := evening(t)
	for i := range events {
		switch events[i].Act {
		case flight.OffBlocks:
			events[i].T = events[i].T.Truncate(time.Minute).Add(59 * time.Second)
		case flight.OnBlocks:
			events[i].T = events[i].T.Truncate(time.Minute).Add(time.Second)
		}
	}
	line, err := logbook.Of(s, "live", events)
	require.NoError(t, err)
	assert.InDelta(t, 69, *line.BlockMinutes, 1e-9)
}

// What was not logged stays empty; without blocks the night is that of the airborne time.
func TestWhatWasNotLoggedIsNotGuessed(t *testing.T) {
	s, events := evening(t)
	for i := range events[1:5] {
		events[i+1].N = i + 1
	}
	line, err := logbook.Of(s, "live", events[1:5])
	require.NoError(t, err)
	assert.Nil(t, line.BlockMinutes)
	assert.Zero(t, *line.NightMinutes, "landed before the end of twilight")

	line, err = logbook.Of(s, "live", events[:1])
	require.NoError(t, err)
	assert.Nil(t, line.AirborneMinutes)
	assert.Nil(t, line.NightMinutes)
	assert.Nil(t, line.FuelUsed)
	assert.Zero(t, line.Landings)
}

// How many landings there were is said on blocks; what was logged counts only where nothing is said.
func TestLandingsAreSaidOnBlocks(t *testing.T) {
	s, events := evening(t)
	three := 3.0
	events[5].Landings = &three
	line, err := logbook.Of(s, "live", events)
	require.NoError(t, err)
	assert.Equal(t, 3, line.Landings)
}

// The night is that of where the aircraft is: landed at B after a diversion, 100 nm to the east, it begins there. At about that latitude civil
// twilight ends 4 min earlier for each degree further east (the earth turns by 15° an hour), by far not the same second as at A.
func TestNightIsThatOfThePlace(t *testing.T) {
	s, events := evening(t)
	b, _ := earth.Direct(s.Plan.Points[0].At, 90, 100)
	events = append(events[:2:2],
		flight.Event{Act: flight.Divert, At: &b, T: events[1].T.Add(2 * time.Minute)},
		flight.Event{Act: flight.Landed, T: events[1].T.Add(20 * time.Minute)},
		flight.Event{Act: flight.OnBlocks, T: events[5].T})
	for i := range events {
		events[i].N, events[i].Rec = i+1, events[i].T
	}
	line, err := logbook.Of(s, "live", events)
	require.NoError(t, err)
	atA := time.Date(2026, 6, 21, 21, 9, 14, 0, time.UTC)
	atB := atA.Add(-time.Duration((b.Lon + 0.12) * 4 * float64(time.Minute)))
	assert.InDelta(t, events[4].T.Sub(atB).Minutes(), *line.NightMinutes, 0.5)
	assert.Equal(t, b.String(), line.To)
}

// Between two places that were logged the sun is that of the way between them: half-way in time is half-way along it.
func TestNightAlongTheWay(t *testing.T) {
	s, events := evening(t)
	b, _ := earth.Direct(s.Plan.Points[0].At, 90, 100)
	dusk := func(at earth.Position) time.Time { return earth.SunAround(at, events[5].T).CivilDusk.At }
	// From over A to over B in an hour, so that the dusk of half-way comes half-way.
	half, _ := earth.Direct(s.Plan.Points[0].At, 90, 50)
	from := dusk(half).Add(-30 * time.Minute)
	fixes := []flight.Event{
		{Act: flight.OffBlocks, T: from},
		{Act: flight.Airborne, T: from},
		{Act: flight.Divert, At: &b, T: from.Add(time.Second)},
		{Act: flight.Landed, T: from.Add(time.Hour)},
		{Act: flight.OnBlocks, T: from.Add(time.Hour)},
	}
	for i := range fixes {
		fixes[i].N, fixes[i].Rec = i+1, fixes[i].T
	}
	line, err := logbook.Of(s, "live", fixes)
	require.NoError(t, err)
	assert.InDelta(t, 30, *line.NightMinutes, 0.2)
}
