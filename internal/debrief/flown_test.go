package debrief_test

import (
	"bytes"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/debrief"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/feed"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/practice"
	"example.com/legclock/internal/sheet"
)

// recorded is the track of a flight that went exactly along its plan through its hidden air, a position a second, higher by so many
// feet than it was.
func recorded(t *testing.T, log debrief.Log, higher func(time.Time) float64) []feed.Sample {
	t.Helper()
	way, err := log.Sheet.Route.Reckon(sheet.Start{AltitudeFt: log.Sheet.Route.Legs[0].From.ElevationFt}, *log.Truth)
	require.NoError(t, err)
	airborne := log.Sheet.Airborne
	for _, e := range log.Events {
		if e.Act == flight.Airborne {
			airborne = e.T
		}
	}
	var samples []feed.Sample
	for minutes := 0.0; minutes <= way.TotalMinutes(); minutes += 1.0 / 60 {
		at := airborne.Add(time.Duration(minutes * float64(time.Minute)))
		p := way.At(minutes)
		altitude := p.AltitudeFt + higher(at)
		samples = append(samples, feed.Sample{Time: at, At: log.Sheet.Route.PositionAt(p.Leg, p.AfterNM), AltitudeFt: &altitude})
	}
	return samples
}

// The log beside the track of the same flight, whose truth is known: passings to the second, the level held, the wind by headings and tracks
// made good against the hidden one.
func TestTheLogBesideTheTrack(t *testing.T) {
	for seed := range uint64(4) {
		log := flown(t, seed)
		log.Track = recorded(t, log, func(time.Time) float64 { return 0 })
		f := of(t, log)
		require.NotNil(t, f.Flown)
		assert.Equal(t, debrief.ByTrack, f.Flown.By)
		assert.Empty(t, f.Flown.Missed)
		require.Len(t, f.Flown.Passings, len(f.Passings))
		for _, p := range f.Flown.Passings {
			require.NotNil(t, p.LateSeconds, p.Point)
			assert.InDelta(t, 0, *p.LateSeconds, 2, "seed %d, %s", seed, p.Point)
			assert.InDelta(t, 0, p.FlownOffNM, 0.01)
		}
		for _, leg := range f.Legs {
			require.NotNil(t, leg.TrackMadeGood)
			assert.InDelta(t, 0, angle.Turn(*leg.TrackMadeGood, leg.TrackMagnetic), 2, "seed %d, to %s", seed, leg.To)
			if leg.OffLevelFt != nil {
				assert.InDelta(t, 0, *leg.OffLevelFt, 150, "seed %d, to %s", seed, leg.To)
			}
		}
	}
}

// The wind that the track gives with the headings and the airspeed that were logged is the one that blew: on the legs flown level, with the heading
// that holds the track in it. It is as good as the airspeed, of which the system may be out by 3 % (14 CFR 23.1323 as of 2016).
func TestTheWindByTheTrackIsTheOneThatBlew(t *testing.T) {
	for seed := range uint64(6) {
		log := flown(t, seed)
		var events []flight.Event
		legs := log.Sheet.Legs
		for _, e := range log.Events {
			events = append(events, e)
			for i := 1; i < len(legs)-1; i++ {
				if e.Act != flight.Passing || e.Point != legs[i-1].To.Ident {
					continue
				}
				tas := legs[i].TASKt + log.Truth.TASBiasKt
				wind, _ := log.Truth.Layers.At(legs[i].AltitudeFt)
				heading, err := deadreckon.HeadingFor(legs[i].TrackTrue, tas, wind)
				require.NoError(t, err)
				magnetic := deadreckon.MagneticFromTrue(heading.HeadingTrue, legs[i].Variation)
				at := e.T.Add(time.Second)
				events = append(events, flight.Event{T: at, Rec: at, Act: flight.Airspeed, TAS: &tas}, flight.Event{T: at, Rec: at, Act: flight.Steering, Heading: &magnetic})
			}
		}
		slices.SortStableFunc(events, func(a, b flight.Event) int { return a.Rec.Compare(b.Rec) })
		for i := range events {
			events[i].N = i + 1
		}
		log.Events = events
		log.Track = recorded(t, log, func(time.Time) float64 { return 0 })
		told := 0
		for i, leg := range of(t, log).Legs {
			if leg.FlownWindFrom == nil || i == 0 || i == len(legs)-1 || legs[i].AltitudeFt != legs[i-1].AltitudeFt {
				continue
			}
			told++
			north, east := air.Wind{FromTrue: *leg.FlownWindFrom, SpeedKt: *leg.FlownWindKt}.Components()
			wind, _ := log.Truth.Layers.At(legs[i].AltitudeFt)
			trueNorth, trueEast := wind.Components()
			assert.Less(t, math.Hypot(north-trueNorth, east-trueEast), 0.03*(legs[i].TASKt+log.Truth.TASBiasKt), "seed %d, to %s", seed, leg.To)
		}
		assert.GreaterOrEqual(t, told, 2, "seed %d", seed)
	}
}

// A passing that is logged a minute late, and 400 ft lost for some minutes, are told as such; so is what was logged off track and not flown.
func TestWhatWasLoggedWrongly(t *testing.T) {
	log := flown(t, 1)
	off := 2.0
	var dipFrom time.Time
	for i := range log.Events {
		if e := &log.Events[i]; e.Act == flight.Passing && dipFrom.IsZero() {
			e.T, e.Rec, e.OffTrack = e.T.Add(time.Minute), e.Rec.Add(time.Minute), &off
			dipFrom = e.T.Add(12 * time.Minute)
		}
	}
	first := ""
	log.Track = recorded(t, log, func(at time.Time) float64 {
		if at.After(dipFrom) && at.Before(dipFrom.Add(3*time.Minute)) {
			return -400
		}
		return 0
	})
	f := of(t, log)
	for _, p := range f.Flown.Passings {
		if p.LoggedOffNM != nil && *p.LoggedOffNM == off {
			first = p.Point
			assert.InDelta(t, 60, *p.LateSeconds, 5)
		}
	}
	assert.NotEmpty(t, first)
	level := lessonOf(t, f, "level")
	assert.Contains(t, level.Text, "400 ft below its level of")
	assert.WithinDuration(t, dipFrom.Add(90*time.Second), *level.At, 2*time.Minute)
	var out bytes.Buffer
	require.NoError(t, f.Write(&out, "text"))
	assert.Contains(t, out.String(), "PASSINGS: LOGGED AND FLOWN")
	assert.Contains(t, out.String(), "-400 ft")
}

// A class: grouped by pilot, each with a page, every link a file beside the page, whatever a file or a pilot is called.
func TestAClassIsGroupedAndLinked(t *testing.T) {
	source := flown(t, 3)
	pilots := []string{"Kim", "javascript:alert(1)", "=2+3"}
	load := func(i int) (debrief.Log, error) {
		log := source
		log.Name, log.Pilot = fmt.Sprintf("flight %d:1.jsonl", i), pilots[i%len(pilots)]
		if i == 7 {
			return log, debrief.ErrLeftOut
		}
		return log, nil
	}
	flights := debrief.Several(9, load, nil, nil)
	require.Len(t, flights.Rows, 8)
	assert.ElementsMatch(t, pilots, flights.Pilots())
	assert.Len(t, flights.Of("Kim").Rows, 3)
	links := debrief.Links{
		Report: func(name string) (string, bool) { return strings.TrimSuffix(name, ".jsonl") + ".html", true },
		Pilot:  func(pilot string) (string, bool) { return pilot + ".html", true },
	}
	var page bytes.Buffer
	require.NoError(t, flights.Write(&page, "html", links))
	assert.Contains(t, page.String(), "By pilot")
	assert.Contains(t, page.String(), `href="./flight%200:1.html"`)
	for _, address := range strings.Split(page.String(), `href="`)[1:] {
		assert.True(t, strings.HasPrefix(address, "./"), address[:20])
	}
	var table bytes.Buffer
	require.NoError(t, flights.Write(&table, "csv", debrief.Links{}))
	assert.Contains(t, table.String(), ",'=2+3,")
	assert.True(t, debrief.Filter{Pilot: "kim"}.Takes(debrief.Log{Pilot: "Kim", Sheet: source.Sheet}))
	assert.False(t, debrief.Filter{Aircraft: "N"}.Takes(source))
}

// An aircraft without a registration goes by its name, in the table, by aircraft and where it is asked for.
func TestAnAircraftWithoutARegistrationHasItsName(t *testing.T) {
	log := flown(t, 3)
	s, p := *log.Sheet, *log.Sheet.Plan
	p.Aircraft.Registration = ""
	s.Plan, log.Sheet = &p, &s
	flights := debrief.Several(2, func(int) (debrief.Log, error) { return log, nil }, nil, nil)
	assert.Equal(t, p.Aircraft.Name, flights.Rows[0].Aircraft)
	assert.True(t, debrief.Filter{Aircraft: strings.ToUpper(p.Aircraft.Name)}.Takes(log))
	assert.False(t, debrief.Filter{Aircraft: "X-WGTL"}.Takes(log))
}

// No column of the page of several flights is without a word, whether the pilots have names or not.
func TestNoColumnIsEmpty(t *testing.T) {
	for _, pilots := range [][]string{{""}, {"Kim"}, {"", "Kim"}} {
		tables := regexp.MustCompile(`(?s)<h2>([^<]*)</h2>[^t]*?(?:<p class="note">.*?</p>\s*)?<table>.*?<tbody>(.*?)</tbody>`).FindAllStringSubmatch(string(classPage(t, pilots...)), -1)
		require.GreaterOrEqual(t, len(tables), 3)
		for _, table := range tables {
			said := map[int]bool{}
			columns := 0
			for _, row := range strings.Split(table[2], "</tr>") {
				for i, cell := range regexp.MustCompile(`(?s)<td[^>]*>(.*?)</td>`).FindAllStringSubmatch(row, -1) {
					said[i] = said[i] || strings.TrimSpace(cell[1]) != ""
					columns = max(columns, i+1)
				}
			}
			for i := range columns {
				require.True(t, said[i], "%s of %q: column %d", table[1], pilots, i+1)
			}
		}
	}
}

// classPage is the page of eight flights of pilots in turn.
func classPage(t *testing.T, pilots ...string) []byte {
	t.Helper()
	log := flown(t, 3)
	flights := debrief.Several(8, func(i int) (debrief.Log, error) {
		one := log
		one.Name, one.Pilot = fmt.Sprintf("logs/flight-%d.jsonl", i), pilots[i%len(pilots)]
		return one, nil
	}, nil, nil)
	var page bytes.Buffer
	require.NoError(t, flights.Write(&page, "html", debrief.Links{}))
	return page.Bytes()
}

// A debrief in brief draws the lessons of a whole one, however the aircraft strayed from its legs, whatever of that was logged, whatever tells it, and
// however late the tanks were changed.
func TestInBriefTheLessonsAreTheSame(t *testing.T) {
	log := flown(t, 1)
	straight := recorded(t, log, func(time.Time) float64 { return 0 })
	rapid.Check(t, func(t *rapid.T) {
		log := log
		farthestNM, period := rapid.Float64Range(0, 2.5).Draw(t, "farthest"), rapid.Float64Range(2, 90).Draw(t, "minutes from side to side")
		log.Track = nil
		for i := 0; i < len(straight); i += rapid.IntRange(1, 30).Draw(t, "seconds to the next") {
			s := straight[i]
			swing := math.Sin(s.Time.Sub(straight[0].Time).Minutes() / period * math.Pi)
			s.At, _ = earth.Direct(s.At, rapid.Float64Range(0, 360).Draw(t, "to"), farthestNM*swing)
			log.Track = append(log.Track, s)
		}
		log.Events = slices.Clone(log.Events)
		for i := range log.Events {
			if e := &log.Events[i]; e.Act == flight.Passing && rapid.IntRange(0, 5).Draw(t, "logged") == 0 {
				e.OffTrack = new(rapid.Float64Range(-2, 2).Draw(t, "off track"))
			}
		}
		if rapid.Bool().Draw(t, "a tank is not changed") {
			log.Events = withoutFirst(log.Events, flight.TankChange)
		}
		if rapid.Bool().Draw(t, "by the truth") {
			offLegNM, offNM := rapid.Float64Range(-6, 6).Draw(t, "off a leg"), rapid.Float64Range(-6, 6).Draw(t, "farthest of all")
			log = byTheTruth(log, offLegNM, offNM, rapid.Float64Range(-600, 600).Draw(t, "off level"))
		}
		whole := asInBrief(t, log)
		if log.Hidden != nil {
			require.Equal(t, log.Hidden.OffLegs[0].FarthestNM, *whole.Legs[1].FlownOffTrackNM, "the truth followed the leg second by second")
		}
	})
	log.Events, log.Track = withoutFirst(log.Events, flight.TankChange), slices.Clone(straight)
	for i := range log.Track {
		log.Track[i].At, _ = earth.Direct(log.Track[i].At, 90, 2.5)
	}
	for _, log := range []debrief.Log{log, byTheTruth(log, 2.5, 2.5, 600)} {
		var rules []string
		for _, lesson := range asInBrief(t, log).Lessons {
			rules = append(rules, lesson.Rule)
		}
		require.Subset(t, rules, []string{"off-track", "imbalance"})
		require.Equal(t, log.Hidden != nil, slices.Contains(rules, "level"))
	}
}

// byTheTruth is a log whose track the practice that flew it tells, with how far it was off a leg, off all of them, and off the first leg's level.
func byTheTruth(log debrief.Log, offLegNM, offNM, offLevelFt float64) debrief.Log {
	first := log.Track[0].Time
	log.Hidden = &practice.Report{
		HandsOn: true, OffLegs: []practice.OffLeg{{Leg: 1, FarthestNM: offLegNM, At: first}}, FarthestOffNM: offNM, FarthestOffAt: &first,
		Levels: []practice.LevelHeld{{
			From: log.Sheet.Route.Legs[0].From.Ident, To: log.Sheet.Route.Legs[0].To.Ident, PlannedFt: 2500, FarthestFt: offLevelFt,
		}},
	}
	for _, s := range log.Track {
		log.Hidden.Path = append(log.Hidden.Path, practice.PathPoint{At: s.Time, Pos: s.At, AltitudeFt: 2500})
	}
	log.Track = nil
	return log
}

// asInBrief is the debrief of a log, whose lessons and row are those of the one in brief.
func asInBrief(t require.TestingT, log debrief.Log) *debrief.Flight {
	whole := of(t, log)
	brief, err := debrief.Brief(log)
	require.NoError(t, err)
	require.Equal(t, whole.Lessons, brief.Lessons)
	require.Equal(t, whole.Row(), brief.Row())
	return whole
}

// withoutFirst are events without the first of an act, numbered anew.
func withoutFirst(events []flight.Event, act flight.Act) []flight.Event {
	first := slices.IndexFunc(events, func(e flight.Event) bool { return e.Act == act })
	events = slices.Delete(slices.Clone(events), first, first+1)
	for i := range events {
		events[i].N = i + 1
	}
	return events
}
