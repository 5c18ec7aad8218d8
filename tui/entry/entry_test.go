package entry_test

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/entry"
	"example.com/legclock/tui/screentest"
)

func clock(text string) time.Time { return screentest.Clock(text) }

func TestParse(t *testing.T) {
	for line, want := range map[string]flight.Event{
		"passing KVN":                        {Act: flight.Passing, Point: "KVN"},
		"pass kvn":                           {Act: flight.Passing, Point: "KVN"},
		"overhead grn at 09:41":              {Act: flight.Passing, Point: "GRN", T: clock("09:41:00")},
		"passing two lakes 0.8 left":         {Act: flight.Passing, Point: "two lakes", OffTrack: new(-0.8)},
		`passing "two lakes" 0.8 r 1:30 ago`: {Act: flight.Passing, Point: "two lakes", OffTrack: new(0.8), T: clock("09:40:00")},
		"passing castle 09:40:10z":           {Act: flight.Passing, Point: "Castle Erran", T: clock("09:40:10")},
		"tank l 2 min ago":                   {Act: flight.TankChange, Tank: "left", T: clock("09:39:30")},
		"tank left 2min ago":                 {Act: flight.TankChange, Tank: "left", T: clock("09:39:30")},
		"tank left 1.5 m ago":                {Act: flight.TankChange, Tank: "left", T: clock("09:40:00")},
		"done 90 s ago":                      {Act: flight.Tuned, Receiver: "NAV1", Beacon: "GRN", T: clock("09:40:00")},
		"done descent":                       {Act: flight.Descend},
		"skip":                               {Act: flight.Skipped, Prompt: "tune-1-NAV1-GRN"},
		"snooze":                             {Act: flight.Snoozed, Prompt: "tune-1-NAV1-GRN", Minutes: new(2.0)},
		"snooze 5 descent":                   {Act: flight.Snoozed, Prompt: "descent", Minutes: new(5.0)},
		"off blocks 09:10":                   {Act: flight.OffBlocks, T: clock("09:10:00")},
		"on-blocks":                          {Act: flight.OnBlocks},
		"level":                              {Act: flight.LevelOff},
		"level 4000":                         {Act: flight.LevelOff, Altitude: new(4000.0)},
		"steer 094":                          {Act: flight.Steering, Heading: new(94.0)},
		"gauges left 40 right 44":            {Act: flight.Gauges, Tanks: map[string]float64{"left": 40, "right": 44}},
		"gau l 40 r 44.5 now":                {Act: flight.Gauges, Tanks: map[string]float64{"left": 40, "right": 44.5}},
		"qnh 1019":                           {Act: flight.Altimeter, QNH: new(1019.0)},
		"qnh 29.92":                          {Act: flight.Altimeter, QNH: new(1013.2), Inches: true}, // 29.92 inHg, 1013.25 hPa by ICAO Doc 7488
		"ias 94":                             {Act: flight.Airspeed, IAS: new(94.0)},
		"tas 101":                            {Act: flight.Airspeed, TAS: new(101.0)},
		"altitude 4200":                      {Act: flight.Altitude, Altitude: new(4200.0)},
		"wind 250/22":                        {Act: flight.WindReported, WindFrom: new(250.0), WindSpeed: new(22.0)},
		"wind 250 22":                        {Act: flight.WindReported, WindFrom: new(250.0), WindSpeed: new(22.0)},
		"flow 23.6 power 65":                 {Act: flight.Flow, Flow: new(23.6), Power: new(65.0)},
		"flow 24 l/h power 65":               {Act: flight.Flow, Flow: new(24.0), Power: new(65.0)},
		"flow 8 gal/h":                       {Act: flight.Flow, Flow: new(30.28)}, // of 3.785 litres
		"altitude FL045":                     {Act: flight.Altitude, Altitude: new(4657.0)},
		"altitude 4200 ft":                   {Act: flight.Altitude, Altitude: new(4200.0)},
		"level fl45":                         {Act: flight.LevelOff, Altitude: new(4657.0)},
		"wind calm":                          {Act: flight.WindReported, WindFrom: new(0.0), WindSpeed: new(0.0)},
		"wind 240/15 kt":                     {Act: flight.WindReported, WindFrom: new(240.0), WindSpeed: new(15.0)},
		"tuned nav1 obn":                     {Act: flight.Tuned, Receiver: "NAV1", Beacon: "OBN"},
		"fix KVN 12.5 dme":                   {Act: flight.Fix, Beacon: "KVN", DME: new(12.5)},
		"fix kvn dme 12.5 096 radial":        {Act: flight.Fix, Beacon: "KVN", DME: new(12.5), Radial: new(96.0)},
		"fix OBN 318 relative":               {Act: flight.Fix, Beacon: "OBN", Relative: new(318.0)},
		"off track 0.8 left after 12":        {Act: flight.Fix, OffTrack: new(-0.8), After: new(12.0)},
		"off-track 0":                        {Act: flight.Fix, OffTrack: new(0.0)},
		"divert str":                         {Act: flight.Divert, To: "STR"},
		"direct grn":                         {Act: flight.Divert, To: "GRN", Rejoin: new(1)},
		"rejoin DUN 09:41":                   {Act: flight.Divert, To: "DUN", Rejoin: new(2), T: clock("09:41:00")},
		"bearing obn 270 09:40":              {Act: flight.Bearing, Beacon: "OBN", Relative: new(270.0), T: clock("09:40:00")},
		"bearing KVN radial 186":             {Act: flight.Bearing, Beacon: "KVN", Radial: new(186.0)},
		"bearing KVN 196 radial":             {Act: flight.Bearing, Beacon: "KVN", Radial: new(196.0)},
		"cross grn 10:50":                    {Act: flight.Cross, Point: "GRN", Wanted: new(clock("10:50:00"))},
		"cross GRN at 2500 ft":               {Act: flight.Cross, Point: "GRN", Altitude: new(2500.0)},
		"cross dun 1500 at 10:20:30":         {Act: flight.Cross, Point: "DUN", Altitude: new(1500.0), Wanted: new(clock("10:20:30"))},
		"cross GRN":                          {Act: flight.Cross, Point: "GRN"},
		"hold grn":                           {Act: flight.Hold, Point: "GRN"},
		"squawk 4271 09:40":                  {Act: flight.Cleared, Kind: "squawk", Squawk: "4271", T: clock("09:40:00")},
		"contact 118.275 Erran tower":        {Act: flight.Cleared, Kind: "contact", Frequency: new(118.275), Text: "Erran tower"},
		"atis D 240/12 1019 10:20":           {Act: flight.Cleared, Kind: "atis", Text: "D 240/12 1019 10:20"},
		"cleared not above 2000 ft":          {Act: flight.Cleared, Kind: "clearance", Text: "not above 2000 ft"},
		"note gliders at 10:42":              {Act: flight.NoteText, Text: "gliders at 10:42"},
		"void 7":                             {Act: flight.Void, Event: 7},
		"rate 0.5":                           {Act: flight.Clock, Rate: new(0.5)},
		"pause":                              {Act: flight.Clock, Paused: new(true)},
		"run":                                {Act: flight.Clock, Paused: new(false)},
		"set 10:42:30":                       {Act: flight.Clock, Set: new(clock("10:42:30"))},
		"hands off":                          {Act: flight.Hands, Hands: "off"},
		"passing XYZ":                        {Act: flight.Passing, Point: "XYZ"},

		// Four figures are the time where they can be nothing else.
		"passing KVN 0940":                   {Act: flight.Passing, Point: "KVN", T: clock("09:40:00")},
		"passing KVN 0.8 left at 0940z":      {Act: flight.Passing, Point: "KVN", OffTrack: new(-0.8), T: clock("09:40:00")},
		"tank left 0940":                     {Act: flight.TankChange, Tank: "left", T: clock("09:40:00")},
		"off blocks 0910":                    {Act: flight.OffBlocks, T: clock("09:10:00")},
		"done 0940":                          {Act: flight.Tuned, Receiver: "NAV1", Beacon: "GRN", T: clock("09:40:00")},
		"snooze 5 0940":                      {Act: flight.Snoozed, Prompt: "tune-1-NAV1-GRN", Minutes: new(5.0), T: clock("09:40:00")},
		"gauges left 40 right 44 0940":       {Act: flight.Gauges, Tanks: map[string]float64{"left": 40, "right": 44}, T: clock("09:40:00")},
		"qnh 1019 0940":                      {Act: flight.Altimeter, QNH: new(1019.0), T: clock("09:40:00")},
		"level 4000 0940":                    {Act: flight.LevelOff, Altitude: new(4000.0), T: clock("09:40:00")},
		"level 0940":                         {Act: flight.LevelOff, Altitude: new(940.0)},
		"squawk 4271 0940":                   {Act: flight.Cleared, Kind: "squawk", Squawk: "4271", T: clock("09:40:00")},
		"squawk 4271":                        {Act: flight.Cleared, Kind: "squawk", Squawk: "4271"},
		"contact Erran tower 118.275 0940":   {Act: flight.Cleared, Kind: "contact", Frequency: new(118.275), Text: "Erran tower", T: clock("09:40:00")},
		`contact 118.275 "Erran tower 0940"`: {Act: flight.Cleared, Kind: "contact", Frequency: new(118.275), Text: "Erran tower 0940"},
		"cross GRN 2500":                     {Act: flight.Cross, Point: "GRN", Altitude: new(2500.0)},
		"cross GRN 2500 1050":                {Act: flight.Cross, Point: "GRN", Altitude: new(2500.0), Wanted: new(clock("10:50:00"))},
		"set 1042":                           {Act: flight.Clock, Set: new(clock("10:42:00"))},
		"note gliders at 1042":               {Act: flight.NoteText, Text: "gliders at 1042"},
	} {
		t.Run(line, func(t *testing.T) {
			got, err := entry.Parse(line, screentest.Cruise())
			require.NoError(t, err)
			require.Equal(t, want, got)
		})
	}
}

// Every error says what is wrong with what was typed, and what would be right.
func TestParseErrors(t *testing.T) {
	for line, want := range map[string]string{
		"":                                  "nothing was typed",
		"stear 094":                         `"stear" is not an entry; the nearest is "steer"`,
		"ñöß":                               `"ñöß" is not an entry: esc, then ? lists them`,
		"amend 8":                           `amend: the time or the line again is missing; write "amend 12 10:42:30"`,
		"ta left":                           `"ta" could be tank or tas`,
		"steer":                             `steer: the heading is missing; write "steer 094"`,
		"steer abc":                         `steer: the heading: "abc" is not a number; write "steer 094"`,
		"steer 361":                         `steer: the heading 361 is outside 0 to 360; write "steer 094"`,
		"direct STR":                        `direct: "STR" does not lie ahead on the plan: "divert STR" ends the flight there; write "direct GRN"`,
		"steer 05:33 094":                   `steer: the time, 05:33, has to stand last; write "steer 094"`,
		"steer abc 1:30 ago":                `steer: the heading: "abc" is not a number; write "steer 094"`,
		"steer 094 degrees":                 `steer: "degrees" is one word too many; write "steer 094"`,
		"flow 48 lb/h":                      `flow: the flow: give it in L/h; write "flow 23.6 power 65"`,
		"altitude FL900":                    `altitude: "FL900" lies outside FL010 to FL600; write 4500, 4500 ft or FL065; write "altitude 4200"`,
		"steer 1e2":                         `steer: the heading: "1e2" is not a number; write "steer 094"`,
		"steer +-4":                         `steer: the heading: "+-4" is not a number; write "steer 094"`,
		"qnh 29,92":                         `qnh: the QNH: "29,92" has a comma in it: write the decimal point: 29.92; write "qnh 1019"`,
		"fix KVN 096 radial GRN 210 radial": `fix: one beacon an entry: enter what GRN shows by itself, within five minutes of this one; write "fix KVN 12.5 dme 096 radial"`,
		"fix KVN 12.5":                      `fix: after "12.5" must stand "dme", "radial" or "relative"; write "fix KVN 12.5 dme 096 radial"`,
		"fix KVN 12.5 dme 3 dme":            `fix: "dme" is there twice; write "fix KVN 12.5 dme 096 radial"`,
		"fix KVN":                           `fix: a distance or a direction is missing; write "fix KVN 12.5 dme 096 radial"`,
		"gauges left 40 left 41":            `gauges: "left" is there twice; write "gauges left 40 right 44"`,
		"gauges left":                       `gauges: the quantity in left is missing; write "gauges left 40 right 44"`,
		"passing KVN 0.8":                   `passing: after 0.8 must stand "left" or "right" of track; write "passing GRN 0.8 left 10:42:30"`,
		"passing KVN 25:10":                 `passing: "25:10" is not a time of day: write "10:42", "10:42:30" or "1042", UTC; write "passing GRN 0.8 left 10:42:30"`,
		"tank left ago":                     `tank: "ago" needs a span before it: write "2 min ago", "90 s ago" or "1:30 ago"; write "tank left 2 min ago"`,
		"void 1.5":                          `void: entries have whole numbers, not 1.5; write "void 12"`,
		"amend 99 10:42":                    `amend: there is no entry 99; write "amend 12 10:42:30"`,
		"amend 8 tank left":                 `amend: entry 8 stays a "passing": void it and enter "tank" instead; write "amend 12 10:42:30"`,
		"amend 8 passing KVN 09:34":         "",
		"passing KVN 2560":                  `passing: the distance off track 2560 is outside 0 to 100; write "passing GRN 0.8 left 10:42:30"`,
		"set":                               `set: one time of day is needed; write "set 10:42:30"`,
		"hands":                             `hands: "on" or "off" is missing; write "hands on"`,
	} {
		t.Run(line, func(t *testing.T) {
			_, err := entry.Parse(line, screentest.Cruise())
			if want == "" {
				require.NoError(t, err)
				return
			}
			require.EqualError(t, err, want)
		})
	}
}

// A time of day means the day that puts it nearest to now, so that a flight may run over midnight.
func TestTimesAroundMidnight(t *testing.T) {
	now := time.Date(2026, 6, 15, 0, 10, 0, 0, time.UTC)
	at, err := entry.When("23:58", now)
	require.NoError(t, err)
	require.Equal(t, time.Date(2026, 6, 14, 23, 58, 0, 0, time.UTC), at)
	at, err = entry.When("00:12:30", now.Add(-20*time.Minute))
	require.NoError(t, err)
	require.Equal(t, time.Date(2026, 6, 15, 0, 12, 30, 0, time.UTC), at)
	at, err = entry.When("2358", now)
	require.NoError(t, err)
	require.Equal(t, time.Date(2026, 6, 14, 23, 58, 0, 0, time.UTC), at)
}

func TestWhenTakesNothingButATime(t *testing.T) {
	for _, line := range []string{"", "soon", "10", "10:4x", "2460", "942", "KVN 10:42", "-3 min ago", "1e3 min ago", "25 h ago"} {
		_, err := entry.When(line, clock("09:41:30"))
		require.Error(t, err, line)
	}
}

// The example of every form, and its verb's every prefix that is clear, reads as that form.
func TestExamplesReadAsTyped(t *testing.T) {
	for _, form := range entry.Forms() {
		s := screentest.Arrived()
		s.Prompts = screentest.Cruise().Prompts
		require.NotEmpty(t, form.Does, form.Verb)
		require.True(t, strings.HasPrefix(form.Example, form.Verb), form.Verb)
		_, err := entry.Parse(form.Example, s)
		if form.Verb == "amend" {
			require.NoError(t, err, "entry 12 is there")
			continue
		}
		require.NoError(t, err)
	}
}

// Every act that can be typed has a form, and no other has one.
func TestEveryTypedActHasAForm(t *testing.T) {
	var typed, have []flight.Act
	for _, act := range flight.Acts() {
		if act.Typed() {
			typed = append(typed, act)
		}
	}
	s := screentest.Cruise()
	for _, line := range []string{"done check", "direct GRN", "amend 8 09:34", "unhold", "hands on", "void 8", "snooze"} {
		e, err := entry.Parse(line, s)
		require.NoError(t, err, line)
		have = append(have, e.Act)
	}
	for _, form := range entry.Forms() {
		if e, err := entry.Parse(form.Example, s); err == nil && !slices.Contains(have, e.Act) {
			have = append(have, e.Act)
		}
	}
	require.ElementsMatch(t, typed, have)
}

func TestAmendCarriesOnlyWhatChanges(t *testing.T) {
	old := flight.Event{
		N: 9, T: clock("09:40:21").Add(340 * time.Millisecond), Act: flight.Passing, Point: "two lakes", OffTrack: new(-0.8),
	}
	for line, want := range map[string]string{
		"09:40:50":                            `{"t":"2026-06-14T09:40:50Z"}`,
		"2 min ago":                           `{"t":"2026-06-14T09:39:30Z"}`,
		"passing two lakes":                   `{"offtrack":null}`,
		"passing two lakes 1 left":            `{"offtrack":-1}`,
		"passing railway 0.8 left 09:40:21":   `{"point":"railway"}`,
		"passing two lakes 0.8 left 09:40:22": `{"t":"2026-06-14T09:40:22Z"}`,
	} {
		got, err := entry.Amend(line, old, screentest.Cruise())
		require.NoError(t, err, line)
		require.Equal(t, flight.Amend, got.Act)
		require.Equal(t, 9, got.Event)
		require.JSONEq(t, want, string(got.With), line)
	}
	_, err := entry.Amend("passing two lakes 0.8 left 09:40:21", old, screentest.Cruise())
	require.EqualError(t, err, "nothing would change in entry 9")
}

// Every form's line is written again so that it reads as the same event; an amendment's entry has its own line.
func TestEveryFormIsWrittenAgain(t *testing.T) {
	s := screentest.Cruise()
	for _, form := range entry.Forms() {
		e, err := entry.Parse(form.Example, s)
		if form.Verb == "amend" || form.Verb == "done" || err != nil && form.Verb == "direct" {
			continue // done is written as what it answers, and the example's point lies behind
		}
		require.NoError(t, err, form.Example)
		line, ok := entry.Write(e)
		require.True(t, ok, "%s: no form writes it again", form.Verb)
		require.True(t, strings.HasPrefix(line, form.Verb), "%s is written %q", form.Example, line)
		again, err := entry.Parse(line, s)
		require.NoError(t, err, line)
		require.Equal(t, e, again, line)
	}
}

// What Write gives, Parse reads back as the same event.
func TestWriteIsParsesInverse(t *testing.T) {
	s := screentest.Cruise()
	rapid.Check(t, func(t *rapid.T) {
		event := anyEvent(t)
		line, ok := entry.Write(event)
		require.True(t, ok)
		got, err := entry.Parse(line, s)
		require.NoError(t, err, line)
		require.Equal(t, event, got, line)
	})
}

func anyEvent(t *rapid.T) flight.Event {
	number := func(what string, low, high float64) *float64 {
		return new(float64(rapid.Float32Range(float32(low), float32(high)).Draw(t, what)))
	}
	name := func(what string) string {
		return rapid.StringMatching(`[A-Z]{2,4}9|[a-z]{3} [a-z]{2,4}x|1\d:\d\d`).Draw(t, what)
	}
	at := clock("09:41:30").Add(time.Duration(rapid.IntRange(-30000, 30000).Draw(t, "seconds")) * time.Second)
	make := rapid.SampledFrom([]func() flight.Event{
		func() flight.Event { return flight.Event{Act: flight.Passing, Point: name("point"), T: at} },
		func() flight.Event {
			return flight.Event{Act: flight.Passing, Point: name("point"), OffTrack: number("off", -9, 9), T: at}
		},
		func() flight.Event { return flight.Event{Act: flight.TankChange, Tank: name("tank"), T: at} },
		func() flight.Event {
			return flight.Event{Act: flight.Steering, Heading: number("heading", 0, 360), T: at}
		},
		func() flight.Event {
			return flight.Event{Act: flight.WindReported, WindFrom: number("from", 0, 360), WindSpeed: number("speed", 0, 99), T: at}
		},
		func() flight.Event {
			return flight.Event{Act: flight.Gauges, T: at, Tanks: map[string]float64{"aux 1": *number("aux", 0, 50), "left": *number("left", 0, 50)}}
		},
		func() flight.Event {
			return flight.Event{Act: flight.Fix, Beacon: name("beacon"), DME: number("dme", 0, 99), Radial: number("radial", 0, 360), T: at}
		},
		func() flight.Event {
			return flight.Event{Act: flight.Fix, OffTrack: number("off", -9, 9), After: number("after", 0, 99), T: at}
		},
		func() flight.Event {
			return flight.Event{Act: flight.Divert, To: name("to"), At: &earth.Position{Lat: 56.5, Lon: -4.25}, T: at}
		},
		func() flight.Event {
			return flight.Event{Act: flight.Tuned, Receiver: name("receiver"), Beacon: name("beacon"), T: at}
		},
		func() flight.Event {
			return flight.Event{Act: flight.Snoozed, Prompt: "x " + name("prompt"), Minutes: number("minutes", 1, 30), T: at}
		},
		func() flight.Event {
			return flight.Event{Act: flight.Flow, Flow: number("flow", 1, 50), Power: number("power", 0, 100), T: at}
		},
		func() flight.Event {
			return flight.Event{Act: flight.Cross, Point: name("point"), Altitude: number("altitude", 0, 9000), Wanted: new(at)}
		},
		func() flight.Event {
			return flight.Event{Act: flight.Bearing, Beacon: name("beacon"), Relative: number("relative", 0, 360), T: at}
		},
		func() flight.Event {
			return flight.Event{Act: flight.Bearing, Beacon: name("beacon"), Radial: number("radial", 0, 360), T: at}
		},
		func() flight.Event { return flight.Event{Act: flight.Divert, To: "GRN", Rejoin: new(1), T: at} },
		func() flight.Event { return flight.Event{Act: flight.Clock, Set: new(at)} },
		func() flight.Event { return flight.Event{Act: flight.Clock, Rate: number("rate", 0.5, 16), T: at} },
		func() flight.Event { return flight.Event{Act: flight.NoteText, Text: "x " + name("text")} },
		func() flight.Event { return flight.Event{Act: flight.OnBlocks, T: at} },
		func() flight.Event { return flight.Event{Act: flight.Cleared, Kind: "squawk", Squawk: "0742", T: at} },
		func() flight.Event {
			return flight.Event{Act: flight.Cleared, Kind: "contact", Frequency: new(132.055), Text: "x " + name("text")}
		},
		func() flight.Event { return flight.Event{Act: flight.Cleared, Kind: "atis", Text: "x " + name("text")} },
	}).Draw(t, "event")
	return make()
}

// Whatever is typed, the parser answers with an event that can be written as JSON or with an error of one line.
func FuzzParse(f *testing.F) {
	for _, form := range entry.Forms() {
		f.Add(form.Example)
		f.Add(form.Verb)
	}
	f.Add(`passing "two lakes 0.8 left 10:42 ago`)
	f.Add("gauges left 1e999 right NaN")
	f.Add("fix at N56 22.4 W003 51.7")
	f.Add("done 99999999999999999999 h ago")
	s := screentest.Cruise()
	f.Fuzz(func(t *testing.T, line string) {
		event, err := entry.Parse(line, s)
		if err != nil {
			require.NotEmpty(t, err.Error())
			return
		}
		require.NotEmpty(t, event.Act)
		_, err = json.Marshal(event)
		require.NoError(t, err)
		if again, ok := entry.Write(event); ok && !strings.ContainsAny(line, "\"") && event.At == nil {
			reread, err := entry.Parse(again, s)
			require.NoError(t, err, again)
			require.Equal(t, event.Act, reread.Act, again)
		}
		entry.Suggest(line, s)
		entry.Complete(line, s)
	})
}

// Every altimeter setting that a plan may have can be set in flight, and no other: at the ends of the range, in either unit.
func TestAQNHOfAPlanCanBeSet(t *testing.T) {
	within := flight.RangeOf("qnh")
	for text, ok := range map[string]bool{
		"849": false, "850": true, "1090": true, "1091": false, "25.1": false, "25.2": true, "32.1": true, "32.2": false,
	} {
		_, problems := plan.Load("plan.yaml", func(string) ([]byte, error) { return []byte("plan: 1\nconditions: {qnh: " + text + "}\n"), nil })
		require.NotNil(t, problems)
		refused := slices.ContainsFunc(problems, func(p plan.Problem) bool { return p.Path == "conditions.qnh" })
		assert.Equal(t, ok, !refused, "a plan's %s", text)
		e, err := entry.Parse("qnh "+text, screentest.Cruise())
		require.Equal(t, ok, err == nil, "an entry's %s: %v", text, err)
		if ok {
			assert.True(t, *e.QNH >= within.Low && *e.QNH <= within.High, "%s in the flight: %g", text, *e.QNH)
		}
		_, _, err = say.ParseQNH(text)
		assert.Equal(t, ok, err == nil, "a sum's %s", text)
	}
}
