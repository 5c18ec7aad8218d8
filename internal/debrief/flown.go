package debrief

import (
	"fmt"
	"math"
	"slices"
	"time"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/feed"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
)

// What told the way that was really flown.
const (
	ByTruth = "truth" // of a practice flight
	ByFeed  = "feed"  // positions in the journal
	ByTrack = "track" // a recording made beside the journal, or the one that the journal was imported from
)

// Flown sets the log beside the way that was really flown, where something but the pilot's log tells that.
type Flown struct {
	By       string         `json:"by"`
	Passings []FlownPassing `json:"passings"`
	Missed   []string       `json:"never_near"` // points of the route that the aircraft did not pass
}

// FlownPassing is a point as it was passed, beside what was logged of that.
type FlownPassing struct {
	Point       string     `json:"point"`
	Leg         int        `json:"leg"`
	Checkpoint  bool       `json:"checkpoint"`
	Logged      *time.Time `json:"logged"` // nil: it never was
	Passed      time.Time  `json:"passed"`
	LateSeconds *float64   `json:"logged_late_seconds"` // logged less passed
	LoggedOffNM *float64   `json:"logged_off_track_nm"` // right positive
	FlownOffNM  float64    `json:"flown_off_track_nm"`
}

// How a level is judged. Common practice, no source.
const (
	reachedFt  = 100.0 // this close to it a level is reached
	leftFt     = 150.0 // so far from it, on the way down for good, it has been left
	shortestOf = 3 * time.Minute
)

// samples are where the aircraft was, by what is not the pilot's log: a track beside it, the truth of a practice flight, a feed.
func (m making) samples() (samples []feed.Sample, by string) {
	switch {
	case len(m.log.Track) > 0:
		return m.log.Track, ByTrack
	case m.log.Hidden != nil:
		for _, p := range m.log.Hidden.Path {
			samples = append(samples, feed.Sample{Time: p.At, At: p.Pos, AltitudeFt: ref(p.AltitudeFt)})
		}
		return samples, ByTruth
	}
	by = ByFeed
	if m.log.Mode == flight.Import {
		by = ByTrack
	}
	return m.standing.fed, by
}

// within are the samples of some minutes, in order of time.
func within(samples []feed.Sample, from, to time.Time) []feed.Sample {
	first, _ := slices.BinarySearchFunc(samples, from, func(s feed.Sample, t time.Time) int { return s.Time.Compare(t) })
	last, found := slices.BinarySearchFunc(samples, to, func(s feed.Sample, t time.Time) int { return s.Time.Compare(t) })
	if found {
		last++
	}
	if last < first {
		return nil
	}
	return samples[first:last]
}

// flown sets the passings that were logged beside those that the way shows. The truth of a practice flight has its own table of them, and
// a log that was made from a track has none but the track's.
func (m making) flown(passings []Passing) *Flown {
	const fewest = 10
	if m.by == ByTruth || m.log.Mode == flight.Import || len(m.way) < fewest {
		return nil
	}
	found := feed.Find(m.log.Sheet.Route, m.way, feed.DefaultWithinNM)
	f := &Flown{By: m.by, Passings: []FlownPassing{}, Missed: []string{}}
	for _, p := range found.Passings {
		row := FlownPassing{Point: p.Point, Leg: p.Leg, Checkpoint: p.Checkpoint, Passed: p.Time.Round(time.Second), FlownOffNM: p.OffTrackNM}
		for _, logged := range passings {
			if logged.Point == p.Point && logged.Leg == p.Leg && logged.Checkpoint == p.Checkpoint {
				row.Logged, row.LoggedOffNM = ref(logged.At), logged.OffTrackNM
				row.LateSeconds = ref(say.Apart(row.Passed, logged.At).Seconds())
			}
		}
		f.Passings = append(f.Passings, row)
	}
	for _, missed := range found.Missed {
		f.Missed = append(f.Missed, missed.Point)
	}
	return f
}

// held fills in how the level of a leg was held: the farthest from it between reaching it and the last descent, by the level in force, the
// plan's or one that was logged since.
func (m making) held(leg *Leg, samples []feed.Sample) {
	if m.by == ByTruth { // which was followed second by second
		for _, held := range m.log.Hidden.Levels {
			if held.From == leg.From && held.To == leg.To {
				leg.LevelFt, leg.OffLevelFt, leg.OffLevelAt = ref(held.PlannedFt), finite(held.FarthestFt), leg.StartedAt
			}
		}
		return
	}
	planned := m.log.Sheet.Route.Legs[leg.Index]
	levels := []flight.Record{{Event: &flight.Event{Altitude: ref(planned.AltitudeFt)}}}
	descends := time.Time{}
	for _, r := range m.entries {
		switch {
		case len(samples) == 0 || r.T.After(samples[len(samples)-1].Time):
		case r.Act == flight.Altitude && r.Altitude != nil && !r.T.Before(*leg.StartedAt):
			levels = append(levels, r)
		case r.Act == flight.Descend:
			descends = r.T
		}
	}
	level, reached, place := planned.AltitudeFt, false, 0
	judge := func(s feed.Sample) {
		off := *s.AltitudeFt - level
		if leg.OffLevelFt == nil || math.Abs(off) > math.Abs(*leg.OffLevelFt) {
			leg.LevelFt, leg.OffLevelFt, leg.OffLevelAt = ref(level), finite(off), ref(s.Time)
		}
		if safe := planned.SafeAltitudeFt; safe != nil && *s.AltitudeFt < *safe && (leg.BelowMSAFt == nil || *safe-*s.AltitudeFt > *leg.BelowMSAFt) {
			leg.BelowMSAFt = finite(*safe - *s.AltitudeFt)
		}
	}
	var since []feed.Sample // left the level, perhaps for good
	for _, s := range samples {
		if s.AltitudeFt == nil || !descends.IsZero() && !s.Time.Before(descends) {
			continue
		}
		for place+1 < len(levels) && !levels[place+1].T.After(s.Time) {
			place++
			level, reached, since = *levels[place].Altitude, false, nil
		}
		off := *s.AltitudeFt - level
		switch {
		case !reached && math.Abs(off) > reachedFt:
			continue
		case math.Abs(off) <= leftFt:
			for _, before := range since {
				judge(before)
			}
			since, reached = since[:0], true
			judge(s)
		default:
			since = append(since, s)
		}
	}
	if leg.Index < m.log.Sheet.Descent.TopLeg { // the last descent begins later: what has not come back to its level was never meant to go
		for _, s := range since {
			judge(s)
		}
	}
}

// airborneWind fills in the track made good of a leg and the wind that it gives with the headings that were logged: the way over the
// ground less the way through the air, each as a vector, from the first heading that was logged on the leg to its end.
func (m making) airborneWind(leg *Leg, seen legSeen, samples []feed.Sample, to time.Time) {
	variation := m.log.Sheet.Route.Legs[leg.Index].Variation
	var northNM, eastNM float64
	var began, since time.Time
	heading := 0.0
	add := func(until time.Time) {
		if began.IsZero() {
			return
		}
		nm := seen.tasKt * until.Sub(since).Hours()
		northNM += nm * angle.Cos(heading+variation)
		eastNM += nm * angle.Sin(heading+variation)
	}
	for _, r := range m.entries {
		if r.Act != flight.Steering || r.Heading == nil || r.T.Before(*leg.StartedAt) || r.T.After(to) {
			continue
		}
		add(r.T)
		if heading, since = *r.Heading, r.T; began.IsZero() {
			began = r.T
		}
	}
	if began.IsZero() && len(samples) > 1 {
		began = samples[0].Time // then there is a track made good, and no wind
	}
	start, okStart := placeAt(samples, began)
	end, okEnd := placeAt(samples, to)
	if began.IsZero() || to.Sub(began) < shortestOf || !okStart || !okEnd {
		return
	}
	way := earth.Inverse(start, end)
	made := way.AzimuthStart - variation
	leg.TrackMadeGood = finite(angle.Wrap360(made))
	if since.IsZero() || seen.tasKt <= 0 {
		return
	}
	add(to)
	hours := to.Sub(began).Hours()
	north := (way.DistanceNM*angle.Cos(way.AzimuthStart) - northNM) / hours
	east := (way.DistanceNM*angle.Sin(way.AzimuthStart) - eastNM) / hours
	wind := air.WindFromComponents(north, east)
	leg.FlownWindFrom, leg.FlownWindKt = finite(wind.FromTrue), finite(wind.SpeedKt)
}

// placeAt is the place at a moment between two samples.
func placeAt(samples []feed.Sample, t time.Time) (earth.Position, bool) {
	const slack = 2 * time.Minute // the samples of a leg need not reach its very ends
	i, found := slices.BinarySearchFunc(samples, t, func(s feed.Sample, t time.Time) int { return s.Time.Compare(t) })
	switch {
	case len(samples) == 0:
		return earth.Position{}, false
	case found:
		return samples[i].At, true
	case i == 0:
		return samples[0].At, samples[0].Time.Sub(t) < slack
	case i == len(samples):
		return samples[i-1].At, t.Sub(samples[i-1].Time) < slack
	}
	a, b := samples[i-1], samples[i]
	line := earth.NewLine(a.At, b.At)
	at, _ := line.At(line.DistanceNM() * float64(t.Sub(a.Time)) / float64(b.Time.Sub(a.Time)))
	return at, true
}

// saysLevel tells of the leg whose level was held worst, by what is not the pilot's log.
func saysLevel(f *Flight) (float64, Lesson) {
	var worst *Leg
	for i := range f.Legs {
		leg := &f.Legs[i]
		if leg.OffLevelFt != nil && (worst == nil || math.Abs(*leg.OffLevelFt) > math.Abs(*worst.OffLevelFt)) {
			worst = leg
		}
	}
	if worst == nil {
		return 0, Lesson{}
	}
	side := "above"
	if *worst.OffLevelFt < 0 {
		side = "below"
	}
	lesson := Lesson{
		Danger: leads, At: worst.OffLevelAt,
		Text:   fmt.Sprintf("From %s to %s the aircraft was %s %s its level of %s.", worst.From, worst.To, say.Feet(math.Abs(*worst.OffLevelFt)), side, say.Feet(*worst.LevelFt)),
		Advice: "Trim once the speed has settled, and take the altimeter into every scan: correct at 50 ft, not at 200.",
	}
	if worst.BelowMSAFt != nil {
		lesson.Danger = endangers
		lesson.Text += fmt.Sprintf(" That took it %s below the MSA of the leg.", say.Feet(*worst.BelowMSAFt))
	}
	return math.Abs(*worst.OffLevelFt) / worthLevelFt, lesson
}

// flownTables set the log beside the way that was flown.
func (f *Flight) flownTables() []table {
	by := map[string]string{ByTruth: "the hidden truth", ByFeed: "the feed", ByTrack: "the track"}
	legs := table{
		Title: "Legs: logged and flown", Left: 2,
		Heads: []string{"from", "to", "off track logged", "flown", "steered", "track made good", "planned", "wind flown", "level", "farthest off"},
		Note: "The farthest off track and off the level. Steered and the track made good are magnetic, over the time since a heading was logged; " +
			"the wind is what the two give with the TAS.",
	}
	if f.Practice != nil && f.Practice.HandsOn {
		legs.Note += " By the truth: off track all the time that the leg was flown by the log, off the level while it was flown by hand."
	}
	for _, leg := range f.Legs {
		if leg.FlownOffTrackNM == nil {
			continue
		}
		wind := none
		if leg.FlownWindFrom != nil && leg.FlownWindKt != nil {
			wind = say.Wind(*leg.FlownWindFrom, *leg.FlownWindKt)
		}
		legs.Rows = append(legs.Rows, []string{
			leg.From, leg.To, say.Or(leg.OffTrackNM, say.MilesAside), say.MilesAside(*leg.FlownOffTrackNM), say.DegreesOf(leg.SteeredHeading),
			say.DegreesOf(leg.TrackMadeGood), say.Degrees(leg.TrackMagnetic), wind, say.Or(leg.LevelFt, say.Feet), say.Or(leg.OffLevelFt, signedFeet),
		})
	}
	if f.Flown == nil {
		return []table{legs}
	}
	passings := table{
		Title: "Passings: logged and flown", Left: 1, Heads: []string{"point", "logged", "flown", "logged late", "off track logged", "flown"},
		Note: "Flown is by " + by[f.Flown.By] + ": closest to the end of a leg, abeam a checkpoint.",
	}
	for _, p := range f.Flown.Passings {
		name := p.Point
		if p.Checkpoint {
			name = "  " + name
		}
		passings.Rows = append(passings.Rows, []string{
			name, say.TimeOf(p.Logged), say.Time(p.Passed), say.SignedOf(p.LateSeconds), say.Or(p.LoggedOffNM, say.MilesAside), say.MilesAside(p.FlownOffNM),
		})
	}
	for _, point := range f.Flown.Missed {
		passings.Rows = append(passings.Rows, []string{point, "", "not passed", "", "", ""})
	}
	return []table{passings, legs}
}

func signedFeet(ft float64) string { return fmt.Sprintf("%+.0f ft", math.Round(ft/10)*10+0) }

// planPieceNM is how finely the planned way is drawn.
const planPieceNM = 10.0

// track is the flight as a picture: the planned way, where it was reckoned to be, where it was logged to be, and what was fed.
func (m making) track() Track {
	t := Track{
		Planned: m.plannedWay(), Reckoned: append([]Place{}, m.known.reckoned...), Fixed: append([]Place{}, m.standing.fixed...),
		Fed: []Place{}, Passed: []Place{},
	}
	if m.by != ByTruth {
		const most = 2000 // more than can be told apart in the picture
		for i := 0; i < len(m.way); i += 1 + len(m.way)/most {
			t.Fed = append(t.Fed, Place{At: ref(m.way[i].Time), Pos: m.way[i].At})
		}
	}
	if m.log.Hidden != nil {
		for _, point := range m.log.Hidden.Path {
			t.True = append(t.True, Place{At: &point.At, Pos: point.Pos})
		}
	}
	for i, row := range m.route {
		line := m.last.Line(max(row.Leg, 0))
		if row.Leg >= len(m.log.Sheet.Legs) && !row.Checkpoint {
			if row.Turned != nil {
				t.Diverted = append(t.Diverted, Place{At: row.Turned, Pos: line.From.At})
			}
			t.Diverted = append(t.Diverted, Place{Name: row.Point, Pos: line.To.At})
		}
		if row.Actual == nil {
			continue
		}
		afterNM := row.AfterNM
		if i == 0 {
			afterNM = 0
		}
		at, azimuth := line.Line.At(afterNM)
		if r := m.entryOf(row); r != nil && r.OffTrack != nil {
			at, _ = earth.Direct(at, azimuth+90, *r.OffTrack)
		}
		t.Passed = append(t.Passed, Place{Name: row.Point, At: row.Actual, Pos: at})
	}
	return t
}

// plannedWay has a named place at every route point and nameless ones between them.
func (m making) plannedWay() []Place {
	legs := m.log.Sheet.Route.Legs
	way := []Place{{Name: legs[0].From.Ident, Pos: legs[0].From.At}}
	for _, leg := range legs {
		for at := planPieceNM; at < leg.DistanceNM; at += planPieceNM {
			place, _ := leg.Line.At(at)
			way = append(way, Place{Pos: place})
		}
		way = append(way, Place{Name: leg.To.Ident, Pos: leg.To.At})
	}
	return way
}
