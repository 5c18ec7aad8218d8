package entry

import (
	"math"
	"slices"
	"strings"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
)

// Form is one act as it is typed.
type Form struct {
	Verb    string
	Usage   string // what stands behind the verb: capitals are to be filled in, brackets may be left out
	Does    string
	Example string // reads as typed

	also  []string // other verbs that mean the same
	read  func(r *reader, e *flight.Event)
	names []func(names) []string // what the words behind the verb may be, for completion
}

func points(n names) []string    { return n.points }
func beacons(n names) []string   { return n.beacons }
func receivers(n names) []string { return n.receivers }
func tanks(n names) []string     { return n.tanks }

// Forms lists every act that can be typed, the commonest first.
func Forms() []Form {
	return slices.Concat(flightForms(), valueForms(), receiverForms(), radioForms(), navigationForms(), journalForms())
}

// act is a form without values.
func act(do flight.Act) func(*reader, *flight.Event) {
	return func(_ *reader, e *flight.Event) { e.Act = do }
}

func flightForms() []Form {
	return []Form{
		{
			Verb: "passing", Usage: "POINT [MILES left|right]", Does: "a point is passed, abeam or overhead", Example: "passing KVN 0.8 left 10:42:30",
			also: []string{"overhead", "abeam"}, names: []func(names) []string{points},
			read: func(r *reader, e *flight.Event) {
				e.Act, e.Point = flight.Passing, r.name("the point", r.names.points)
				if r.more() {
					e.OffTrack = r.side(r.number("the distance off track", 0, flight.RangeOf("offtrack").High))
				}
			},
		},
		{
			Verb: "tank", Usage: "NAME", Does: "a tank is selected", Example: "tank left 2 min ago", names: []func(names) []string{tanks},
			read: func(r *reader, e *flight.Event) { e.Act, e.Tank = flight.TankChange, r.name("the tank", r.names.tanks) },
		},
		{Verb: "done", Usage: "[PROMPT]", Does: "what the first prompt asks for is done", Example: "done 90 s ago", read: readDone},
		{Verb: "skip", Usage: "[PROMPT]", Does: "the first prompt is left undone", Example: "skip", also: []string{"skipped"}, read: readSkip},
		{
			Verb: "snooze", Usage: "[MINUTES] [PROMPT]", Does: "the first prompt comes back in 2 minutes, or so many", Example: "snooze 5",
			also: []string{"snoozed"}, read: readSnooze,
		},
		{Verb: "off-blocks", Does: "the aircraft moves", Example: "off-blocks 09:10", read: act(flight.OffBlocks)},
		{Verb: "airborne", Does: "take-off", Example: "airborne 09:18:20", read: act(flight.Airborne)},
		{
			Verb: "level", Usage: "[FEET]", Does: "top of climb", Example: "level 4000",
			read: func(r *reader, e *flight.Event) {
				e.Act = flight.LevelOff
				if r.more() {
					e.Altitude = r.figure("the altitude", "altitude")
				}
			},
		},
		{Verb: "descend", Does: "top of descent", Example: "descend", read: act(flight.Descend)},
		{Verb: "landed", Does: "landing", Example: "landed 10:29", read: act(flight.Landed)},
		{Verb: "on-blocks", Does: "the flight is over", Usage: "[landings NUMBER]", Example: "on-blocks landings 3 10:33", read: func(r *reader, e *flight.Event) {
			e.Act = flight.OnBlocks
			if r.word("landings") != "" {
				e.Landings = r.figure("the number of landings", "landings")
			}
		}},
	}
}

// first is the first open prompt, or the one whose name follows.
func (r *reader) first() flight.Prompt {
	if !r.more() {
		if len(r.names.prompts) == 0 {
			r.fail("no prompt is open")
			return flight.Prompt{}
		}
		return r.names.prompts[0]
	}
	id := r.next("the prompt").text
	for _, p := range r.names.prompts {
		if strings.EqualFold(p.ID, id) {
			return p
		}
	}
	return flight.Prompt{ID: id, Answer: flight.Answer{Act: flight.Done, Prompt: id}}
}

func readDone(r *reader, e *flight.Event) { *e = r.first().Answer.Event() }

func readSkip(r *reader, e *flight.Event) { e.Act, e.Prompt = flight.Skipped, r.first().ID }

// SnoozeMinutes is how long a prompt stays away where nobody says.
const SnoozeMinutes = 2.0

func readSnooze(r *reader, e *flight.Event) {
	e.Act, e.Minutes = flight.Snoozed, new(SnoozeMinutes)
	if r.more() {
		if _, err := say.ParseNumber(r.tokens[0].text); err == nil {
			e.Minutes = r.number("the minutes", 0.1, flight.RangeOf("minutes").High)
		}
	}
	e.Prompt = r.first().ID
}

// one is a form with one figure, within the range that figures of its name have.
func one(do flight.Act, what, name string, field func(*flight.Event) **float64) func(*reader, *flight.Event) {
	return func(r *reader, e *flight.Event) {
		e.Act = do
		*field(e) = r.figure(what, name)
	}
}

// readQNH takes an altimeter setting in hectopascals, or in inches of mercury, which are kept to a tenth of a hectopascal.
func readQNH(r *reader, e *flight.Event) {
	const what = "the QNH"
	e.Act = flight.Altimeter
	text := r.next(what).text
	if r.err != nil {
		return
	}
	if hPa, inches, err := say.ParseQNH(text); err == nil && inches {
		e.QNH, e.Inches = new(math.Round(10*hPa)/10), true
		return
	}
	e.QNH = r.within(what, text, "qnh")
}

func valueForms() []Form {
	return []Form{
		{
			Verb: "steer", Usage: "HEADING", Does: "the heading you steer, magnetic", Example: "steer 094", also: []string{"steering", "heading"},
			read: one(flight.Steering, "the heading", "heading", func(e *flight.Event) **float64 { return &e.Heading }),
		},
		{
			Verb: "gauges", Usage: "TANK QUANTITY …", Does: "what the fuel gauges show", Example: "gauges left 40 right 44",
			names: []func(names) []string{tanks, nil, tanks, nil, tanks}, read: readGauges,
		},
		{
			Verb: "qnh", Usage: "HPA", Does: "the altimeter setting, or in inches: qnh 29.92", Example: "qnh 1019", also: []string{"altimeter"},
			read: readQNH,
		},
		{
			Verb: "ias", Usage: "KNOTS", Does: "the airspeed you read", Example: "ias 94",
			read: one(flight.Airspeed, "the airspeed", "ias", func(e *flight.Event) **float64 { return &e.IAS }),
		},
		{
			Verb: "tas", Usage: "KNOTS", Does: "the true airspeed", Example: "tas 101",
			read: one(flight.Airspeed, "the airspeed", "tas", func(e *flight.Event) **float64 { return &e.TAS }),
		},
		{
			Verb: "altitude", Usage: "FEET", Does: "the altitude you fly", Example: "altitude 4200",
			read: one(flight.Altitude, "the altitude", "altitude", func(e *flight.Event) **float64 { return &e.Altitude }),
		},
		{Verb: "wind", Usage: "FROM/KNOTS", Does: "a reported wind, true; it replaces the forecast", Example: "wind 250/22", read: readWind},
		{
			Verb: "flow", Usage: "PER-HOUR [power PERCENT]", Does: "fuel flow, from a meter or for a new power", Example: "flow 23.6 power 65",
			read: func(r *reader, e *flight.Event) {
				e.Act, e.Flow = flight.Flow, r.figure("the flow", "flow")
				if r.word("power") != "" {
					e.Power = r.figure("the power", "power")
				}
			},
		},
	}
}

func receiverForms() []Form {
	return []Form{
		{
			Verb: "tuned", Usage: "RECEIVER BEACON", Does: "a receiver is on a beacon", Example: "tuned NAV1 GRN", also: []string{"tune"},
			names: []func(names) []string{receivers, beacons}, read: readReceiver(flight.Tuned),
		},
		{
			Verb: "identified", Usage: "RECEIVER BEACON", Does: "the ident was heard", Example: "identified NAV1 GRN",
			names: []func(names) []string{receivers, beacons}, read: readReceiver(flight.Identified),
		},
		{
			Verb: "vor-check", Usage: "RECEIVER [BEACON] SHOWN for DUE", Does: "a VOR check: what it shows, and what it should", Example: "vor-check NAV1 236 for 234",
			names: []func(names) []string{receivers, beacons}, read: readVORCheck,
		},
	}
}

// radioForms are of what is told over the radio.
func radioForms() []Form {
	return []Form{
		{
			Verb: "squawk", Usage: "CODE", Does: "the transponder code that you were given", Example: "squawk 4271",
			read: func(r *reader, e *flight.Event) {
				e.Act, e.Kind, e.Squawk = flight.Cleared, flight.ClearedSquawk, r.next("the code").text
			},
		},
		{
			Verb: "contact", Usage: "[NAME] FREQUENCY", Does: "whom to call next, and where", Example: "contact Erran Tower 118.275",
			read: readContact,
		},
		{
			Verb: "atis", Usage: "TEXT", Does: "what the recorded broadcast said", Example: "atis D 240/12 9999 1019",
			read: func(r *reader, e *flight.Event) {
				e.Act, e.Kind, e.Text = flight.Cleared, flight.ClearedATIS, r.text()
			},
		},
		{
			Verb: "cleared", Usage: "TEXT", Does: "a clearance as it was read to you", Example: "cleared to enter controlled airspace not above 2000 ft",
			also: []string{"clearance"},
			read: func(r *reader, e *flight.Event) {
				e.Act, e.Kind, e.Text = flight.Cleared, flight.ClearedClearance, r.text()
			},
		},
	}
}

// readContact takes the frequency from before or behind the name.
func readContact(r *reader, e *flight.Event) {
	e.Act, e.Kind = flight.Cleared, flight.ClearedContact
	for i := range r.tokens {
		if _, err := say.ParseNumber(r.tokens[i].text); err == nil && strings.Contains(r.tokens[i].text, ".") {
			frequency := r.tokens[i]
			r.tokens = slices.Insert(slices.Delete(slices.Clone(r.tokens), i, i+1), 0, frequency)
			break
		}
	}
	e.Frequency = r.figure("the frequency", "frequency")
	e.Text = r.rest()
}

// readVORCheck takes "NAV1 236 for 234", the beacon before the reading if it is said.
func readVORCheck(r *reader, e *flight.Event) {
	e.Act, e.Receiver = flight.VORCheck, r.name("the receiver", r.names.receivers)
	if r.more() {
		if _, err := say.ParseNumber(r.tokens[0].text); err != nil {
			e.Beacon = r.name("the beacon", r.names.beacons)
		}
	}
	e.Radial = r.figure("what it shows", "radial")
	r.word("for")
	e.Course = r.figure("what it should show", "course")
}

func readReceiver(do flight.Act) func(*reader, *flight.Event) {
	return func(r *reader, e *flight.Event) {
		e.Act = do
		e.Receiver = r.name("the receiver", r.names.receivers)
		e.Beacon = r.name("the beacon", r.names.beacons)
	}
}

func readGauges(r *reader, e *flight.Event) {
	e.Act, e.Tanks = flight.Gauges, map[string]float64{}
	for first := true; first || r.more(); first = false {
		tank := r.name("the tank", r.names.tanks)
		quantity := r.figure("the quantity in "+tank, "tanks")
		if quantity == nil {
			return
		}
		if _, twice := e.Tanks[tank]; twice {
			r.fail("%q is there twice", tank)
		}
		e.Tanks[tank] = *quantity
	}
}

func readWind(r *reader, e *flight.Event) {
	e.Act = flight.WindReported
	text := r.next("the wind").text
	if from, speed, ok := strings.Cut(text, "/"); ok && r.err == nil {
		e.WindFrom = r.within("the direction", from, "from")
		e.WindSpeed = r.within("the speed", speed, "speed")
		return
	}
	if r.err == nil {
		e.WindFrom = r.within("the direction", text, "from")
	}
	e.WindSpeed = r.figure("the speed", "speed")
}

func navigationForms() []Form {
	return []Form{
		{
			Verb: "fix", Usage: "BEACON [MILES dme] [DEGREES radial|relative], or at LAT LON", Does: "where you are, from a beacon or a place",
			Example: "fix KVN 12.5 dme 096 radial", names: []func(names) []string{beacons}, read: readFix,
		},
		{
			Verb: "bearing", Usage: "BEACON DEGREES [radial]", Does: "a bearing check: a bearing from the nose, or a radial, then a second one", Example: "bearing OBN 270",
			names: []func(names) []string{beacons}, read: readBearing,
		},
		{
			Verb: "off-track", Usage: "MILES left|right [after MILES] [back MILES]",
			Does:    "how far from the track; after: from the leg's start; back: in how many to be on it again",
			Example: "off-track 0.8 left back 10", also: []string{"offtrack"},
			read: func(r *reader, e *flight.Event) {
				e.Act = flight.Fix
				e.OffTrack = r.side(r.number("the distance off track", 0, flight.RangeOf("offtrack").High))
				if r.word("after") != "" {
					e.After = r.figure("the distance from the leg's start", "after")
				}
				if r.word("back") != "" {
					e.Within = r.figure("the distance to be back on track in", "within")
				}
			},
		},
		{
			Verb: "divert", Usage: "POINT, or at LAT LON", Does: "fly a diversion from here, now", Example: "divert STR", names: []func(names) []string{points},
			read: func(r *reader, e *flight.Event) {
				e.Act = flight.Divert
				if r.word("at") != "" {
					e.At = r.position()
					return
				}
				e.To = r.name("the point", r.names.points)
				if r.word("at") != "" {
					e.At = r.position()
				}
			},
		},
		{
			Verb: "direct", Usage: "POINT", Does: "straight to a point ahead on the plan, then on as planned", Example: "direct GRN", names: []func(names) []string{points},
			also: []string{"rejoin"}, read: readDirect,
		},
		{
			Verb: "hold", Usage: "POINT", Does: "wait at a point", Example: "hold GRN", names: []func(names) []string{points},
			read: func(r *reader, e *flight.Event) { e.Act, e.Point = flight.Hold, r.name("the point", r.names.points) },
		},
		{
			// The time at its end is Parse's to read: it is the one wanted, not that of the act.
			Verb: "cross", Usage: "POINT [FEET] [TIME]", Does: "cross a point ahead at a level, at a time; without either: no longer", Example: "cross GRN 2500 10:50",
			names: []func(names) []string{points}, read: readCross,
		},
		{Verb: "leave-hold", Does: "leave the hold", Example: "leave-hold", also: []string{"unhold"}, read: act(flight.Unhold)},
	}
}

func readCross(r *reader, e *flight.Event) {
	e.Act, e.Point = flight.Cross, r.name("the point", r.names.points)
	r.word("at")
	if r.more() {
		e.Altitude = r.figure("the altitude", "altitude")
		r.word("ft")
	}
}

func readBearing(r *reader, e *flight.Event) {
	e.Act, e.Beacon = flight.Bearing, r.name("the beacon", r.names.beacons)
	unit := r.word("radial", "relative")
	bearing := r.figure("the bearing", "relative")
	if unit == "radial" || r.word("radial") != "" {
		e.Radial = bearing
		return
	}
	r.word("relative")
	e.Relative = bearing
}

func readDirect(r *reader, e *flight.Event) {
	e.Act, e.To = flight.Divert, r.name("the point", r.names.points)
	leg, ahead := r.names.ahead[e.To]
	if r.err == nil && !ahead {
		r.fail("%q does not lie ahead on the plan: \"divert %s\" ends the flight there", e.To, e.To)
	}
	e.Rejoin = &leg
}

// readFix reads the figures of a fix in any order.
func readFix(r *reader, e *flight.Event) {
	e.Act = flight.Fix
	if r.word("at") != "" {
		e.At = r.position()
		return
	}
	e.Beacon = r.name("the beacon", r.names.beacons)
	for first := true; first || r.more(); first = false {
		unit := r.word("dme", "radial", "relative")
		text := r.next("a distance or a direction").text
		if unit == "" {
			unit = r.word("dme", "radial", "relative")
		}
		switch {
		case r.err != nil:
			return
		case unit == "dme" && e.DME == nil:
			e.DME = r.within("the DME distance", text, "dme")
		case unit == "radial" && e.Radial == nil:
			e.Radial = r.within("the radial", text, "radial")
		case unit == "relative" && e.Relative == nil:
			e.Relative = r.within("the relative bearing", text, "relative")
		case unit == "":
			r.fail(`after %q must stand "dme", "radial" or "relative"`, text)
		default:
			r.fail("%q is there twice", unit)
		}
	}
}

func journalForms() []Form {
	return []Form{
		{Verb: "note", Usage: "TEXT", Does: "a remark", Example: "note two gliders right of track", read: func(r *reader, e *flight.Event) {
			e.Act, e.Text = flight.NoteText, r.text()
		}},
		{Verb: "void", Usage: "ENTRY", Does: "an entry was wrong and counts no more", Example: "void 12", read: func(r *reader, e *flight.Event) {
			e.Act, e.Event = flight.Void, r.entry()
		}},
		// Amend is read by Parse itself: what follows is a line of its own.
		{Verb: "amend", Usage: "ENTRY TIME, or ENTRY and the line anew", Does: "an entry's time or values were others", Example: "amend 12 10:42:30"},
		{Verb: "rate", Usage: "TIMES", Does: "how fast the flight clock runs, 0.5 to 16", Example: "rate 4", read: one(
			flight.Clock, "the rate", "rate", func(e *flight.Event) **float64 { return &e.Rate })},
		{Verb: "pause", Does: "the flight clock stands", Example: "pause", read: func(_ *reader, e *flight.Event) {
			e.Act, e.Paused = flight.Clock, new(true)
		}},
		{Verb: "run", Does: "the flight clock runs on", Example: "run", read: func(_ *reader, e *flight.Event) {
			e.Act, e.Paused = flight.Clock, new(false)
		}},
		// Set is read by Parse itself: its time is a value.
		{Verb: "set", Usage: "TIME", Does: "what the flight clock reads now", Example: "set 10:42:30"},
		{Verb: "hands", Usage: "on|off", Does: "practice: you log, or the program does", Example: "hands on", read: func(r *reader, e *flight.Event) {
			e.Act, e.Hands = flight.Hands, r.word("on", "off")
			if e.Hands == "" {
				r.fail(`"on" or "off" is missing`)
			}
		}},
	}
}

// entry takes the number of an entry.
func (r *reader) entry() int {
	n := r.number("the entry's number", 1, 1e9)
	if n == nil {
		return 0
	}
	if *n != float64(int(*n)) {
		r.fail("entries have whole numbers, not %s", say.SayNumber(*n, say.AllDecimals))
	}
	return int(*n)
}
