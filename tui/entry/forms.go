package entry

import (
	"errors"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
)

// Form is one way to type an act, in one place: how the line is read, and how it is written again.
type Form struct {
	Verb    string
	Usage   string // what stands behind the verb: capitals are to be filled in, brackets may be left out
	Does    string
	Example string // reads as typed

	act   flight.Act
	also  []string                         // other verbs that mean the same
	names []func(names) []string           // what the words behind the verb may be, for completion
	read  func(r *reader, e *flight.Event) // fills in what stands behind the verb; nil: nothing does
	write func(flight.Event) (words, bool) // what stands behind the verb in the line of an event of this act, if it has one of this form

	text  bool                                                        // it ends in a text, which may end like a time: it has none of its own
	whole func([]token, flight.Snapshot, times) (flight.Event, error) // reads all behind the verb, the time too
}

// words are those of a line.
type words []string

func points(n names) []string    { return n.points }
func beacons(n names) []string   { return n.beacons }
func receivers(n names) []string { return n.receivers }
func tanks(n names) []string     { return n.tanks }

// Forms lists every act that can be typed, the commonest first.
func Forms() []Form {
	return slices.Concat(flightForms(), valueForms(), receiverForms(), radioForms(), navigationForms(), journalForms())
}

// bare is what is written of an act without values.
func bare(flight.Event) (words, bool) { return nil, true }

func flightForms() []Form {
	return []Form{
		{
			Verb: "passing", Usage: "POINT [MILES left|right]", Does: "overhead a point, or abeam", Example: "passing KVN 0.8 left 10:42:30",
			act: flight.Passing, also: []string{"overhead", "abeam"}, names: []func(names) []string{points},
			read: func(r *reader, e *flight.Event) {
				e.Point = r.name("the point", r.names.points)
				if r.more() {
					e.OffTrack = r.side(r.number("the distance off track", 0, flight.RangeOf("offtrack").High))
				}
			},
			write: func(e flight.Event) (words, bool) { return words{quote(e.Point)}.side(e.OffTrack), true },
		},
		{
			Verb: "tank", Usage: "NAME", Does: "the tank in use", Example: "tank left 2 min ago", act: flight.TankChange, names: []func(names) []string{tanks},
			read:  func(r *reader, e *flight.Event) { e.Tank = r.name("the tank", r.names.tanks) },
			write: func(e flight.Event) (words, bool) { return words{quote(e.Tank)}, true },
		},
		{
			Verb: "done", Usage: "[PROMPT]", Does: "the first prompt is done", Example: "done 90 s ago", act: flight.Done,
			read:  func(r *reader, e *flight.Event) { *e = r.first().Answer.Event() },
			write: func(e flight.Event) (words, bool) { return words{quote(e.Prompt)}, true },
		},
		{
			Verb: "skip", Usage: "[PROMPT]", Does: "the first prompt is left out", Example: "skip", act: flight.Skipped, also: []string{"skipped"},
			read:  func(r *reader, e *flight.Event) { e.Prompt = r.first().ID },
			write: func(e flight.Event) (words, bool) { return words{quote(e.Prompt)}, true },
		},
		{
			Verb: "snooze", Usage: "[MINUTES] [PROMPT]", Does: "the first prompt again later", Example: "snooze 5",
			act: flight.Snoozed, also: []string{"snoozed"}, read: readSnooze,
			write: func(e flight.Event) (words, bool) { return append(words{}.number(e.Minutes), quote(e.Prompt)), true },
		},
		{Verb: "off-blocks", Does: "the aircraft moves", Example: "off-blocks 09:10", act: flight.OffBlocks, write: bare},
		{Verb: "airborne", Does: "take-off", Example: "airborne 09:18:20", act: flight.Airborne, write: bare},
		{
			Verb: "level", Usage: "[FEET]", Does: "top of climb", Example: "level 4000", act: flight.LevelOff,
			read: func(r *reader, e *flight.Event) {
				if r.more() {
					e.Altitude = r.altitude()
				}
			},
			write: func(e flight.Event) (words, bool) { return words{}.number(e.Altitude), true },
		},
		{Verb: "descend", Does: "top of descent", Example: "descend", act: flight.Descend, write: bare},
		{Verb: "landed", Does: "landing", Example: "landed 10:29", act: flight.Landed, write: bare},
		{
			Verb: "on-blocks", Does: "the flight is over", Usage: "[landings NUMBER]", Example: "on-blocks landings 3 10:33", act: flight.OnBlocks,
			read: func(r *reader, e *flight.Event) {
				if r.word("landings") != "" {
					e.Landings = r.figure("the number of landings", "landings")
				}
			},
			write: func(e flight.Event) (words, bool) { return words{}.labelled("landings", e.Landings), true },
		},
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
	if isFourFigures(r.tokens[0]) { // no prompt is called so
		r.fail("no prompt is called %s", r.tokens[0].text)
		return flight.Prompt{}
	}
	id := r.next("the prompt").text
	for _, p := range r.names.prompts {
		if strings.EqualFold(p.ID, id) {
			return p
		}
	}
	return flight.Prompt{ID: id, Answer: flight.Answer{Act: flight.Done, Prompt: id}}
}

// SnoozeMinutes is how long a prompt stays away where nobody says.
const SnoozeMinutes = 2.0

func readSnooze(r *reader, e *flight.Event) {
	e.Minutes = new(SnoozeMinutes)
	if r.more() {
		if _, err := say.ParseNumber(r.tokens[0].text); err == nil {
			e.Minutes = r.number("the minutes", 0.1, flight.RangeOf("minutes").High)
		}
	}
	e.Prompt = r.first().ID
}

// one is a form whose line has one figure, within the range that figures of its name have.
func (f Form) one(what, name string, field func(*flight.Event) **float64) Form {
	f.read = func(r *reader, e *flight.Event) { *field(e) = r.figure(what, name) }
	f.write = func(e flight.Event) (words, bool) {
		figure := *field(&e)
		return words{}.number(figure), figure != nil
	}
	return f
}

// readQNH takes an altimeter setting in hectopascals, or in inches of mercury, which are kept to a tenth of a hectopascal.
func readQNH(r *reader, e *flight.Event) {
	const what = "the QNH"
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
			Verb: "steer", Usage: "HEADING", Does: "magnetic heading steered", Example: "steer 094", act: flight.Steering, also: []string{"steering", "heading"},
			read: func(r *reader, e *flight.Event) { e.Heading = r.figure("the heading", "heading") },
			write: func(e flight.Event) (words, bool) {
				if e.Heading == nil {
					return nil, false
				}
				return words{threeDigits(*e.Heading)}, true
			},
		},
		{
			Verb: "gauges", Usage: "TANK QUANTITY …", Does: "fuel gauges", Example: "gauges left 40 right 44",
			act: flight.Gauges, names: []func(names) []string{tanks, nil, tanks, nil, tanks}, read: readGauges,
			write: func(e flight.Event) (words, bool) {
				var w words
				for _, tank := range slices.Sorted(maps.Keys(e.Tanks)) {
					w = append(w, quote(tank), say.SayNumber(e.Tanks[tank], say.AllDecimals))
				}
				return w, len(w) > 0
			},
		},
		{
			Verb: "qnh", Usage: "HPA", Does: "altimeter setting, or 29.92", Example: "qnh 1019", act: flight.Altimeter, also: []string{"altimeter"},
			read: readQNH,
			write: func(e flight.Event) (words, bool) {
				if e.QNH != nil && e.Inches {
					return words{strconv.FormatFloat(air.InHgFromHPa(*e.QNH), 'f', 2, 64)}, true
				}
				return words{}.number(e.QNH), e.QNH != nil
			},
		},
		Form{Verb: "ias", Usage: "KNOTS", Does: "the airspeed you read", Example: "ias 94", act: flight.Airspeed}.
			one("the airspeed", "ias", func(e *flight.Event) **float64 { return &e.IAS }),
		Form{Verb: "tas", Usage: "KNOTS", Does: "the true airspeed", Example: "tas 101", act: flight.Airspeed}.
			one("the airspeed", "tas", func(e *flight.Event) **float64 { return &e.TAS }),
		{
			Verb: "altitude", Usage: "FEET", Does: "the altitude you fly", Example: "altitude 4200", act: flight.Altitude,
			read:  func(r *reader, e *flight.Event) { e.Altitude = r.altitude() },
			write: func(e flight.Event) (words, bool) { return words{}.number(e.Altitude), e.Altitude != nil },
		},
		{
			Verb: "wind", Usage: "FROM/KNOTS", Does: "a reported wind, true", Example: "wind 250/22", act: flight.WindReported, read: readWind,
			write: func(e flight.Event) (words, bool) {
				if e.WindFrom == nil || e.WindSpeed == nil {
					return nil, false
				}
				return words{threeDigits(*e.WindFrom) + "/" + say.SayNumber(*e.WindSpeed, say.AllDecimals)}, true
			},
		},
		{
			Verb: "flow", Usage: "PER-HOUR [power PERCENT]", Does: "fuel flow, power", Example: "flow 23.6 power 65", act: flight.Flow,
			read: func(r *reader, e *flight.Event) {
				e.Flow = r.flow()
				if r.word("power") != "" {
					e.Power = r.figure("the power", "power")
				}
			},
			write: func(e flight.Event) (words, bool) {
				return words{}.number(e.Flow).labelled("power", e.Power), e.Flow != nil
			},
		},
	}
}

func receiverForms() []Form {
	return []Form{
		{
			Verb: "tuned", Usage: "RECEIVER BEACON", Does: "a receiver tuned", Example: "tuned NAV1 GRN", also: []string{"tune"},
			act: flight.Tuned, names: []func(names) []string{receivers, beacons}, read: readReceiver, write: writeReceiver,
		},
		{
			Verb: "identified", Usage: "RECEIVER BEACON", Does: "its ident heard", Example: "identified NAV1 GRN",
			act: flight.Identified, names: []func(names) []string{receivers, beacons}, read: readReceiver, write: writeReceiver,
		},
		{
			Verb: "vor-check", Usage: "RECEIVER [BEACON] SHOWN for DUE", Does: "a VOR check: shown, for due", Example: "vor-check NAV1 236 for 234",
			act: flight.VORCheck, names: []func(names) []string{receivers, beacons}, read: readVORCheck,
			write: func(e flight.Event) (words, bool) {
				w := words{quote(e.Receiver)}
				if e.Beacon != "" {
					w = append(w, quote(e.Beacon))
				}
				return w.number(e.Radial).labelled("for", e.Course), true
			},
		},
	}
}

// radioForms are of what is told over the radio.
func radioForms() []Form {
	text := func(f Form, kind string) Form {
		f.act, f.text = flight.Cleared, true
		f.read = func(r *reader, e *flight.Event) { e.Kind, e.Text = kind, r.text() }
		f.write = func(e flight.Event) (words, bool) {
			return words{e.Text}, e.Kind == kind && e.Squawk == "" && e.Frequency == nil
		}
		return f
	}
	return []Form{
		{
			Verb: "squawk", Usage: "CODE", Does: "the code you were given", Example: "squawk 4271", act: flight.Cleared,
			read: func(r *reader, e *flight.Event) { e.Kind, e.Squawk = flight.ClearedSquawk, r.next("the code").text },
			write: func(e flight.Event) (words, bool) {
				return words{e.Squawk}, e.Kind == flight.ClearedSquawk && e.Frequency == nil && e.Text == ""
			},
		},
		{
			Verb: "contact", Usage: "[NAME] FREQUENCY", Does: "call next", Example: "contact Erran Tower 118.275", act: flight.Cleared,
			read: readContact,
			write: func(e flight.Event) (words, bool) {
				if e.Kind != flight.ClearedContact || e.Frequency == nil || e.Squawk != "" {
					return nil, false
				}
				text := e.Text
				if ends := strings.Fields(strings.ToLower(text)); len(ends) > 0 && endsInTime(ends[len(ends)-1]) {
					text = `"` + strings.ReplaceAll(text, `"`, "'") + `"`
				}
				return words{strings.TrimSpace(say.Voice(*e.Frequency) + " " + text)}, true
			},
		},
		text(Form{Verb: "atis", Usage: "TEXT", Does: "as broadcast", Example: "atis D 240/12 9999 1019"}, flight.ClearedATIS),
		text(Form{
			Verb: "cleared", Usage: "TEXT", Does: "a clearance", Example: "cleared not above 2000 ft",
			also: []string{"clearance"},
		}, flight.ClearedClearance),
	}
}

// readContact takes the frequency from before or behind the name.
func readContact(r *reader, e *flight.Event) {
	e.Kind = flight.ClearedContact
	if last := len(r.tokens) - 1; last >= 0 && isFourFigures(r.tokens[last]) {
		r.fail("%q is no part of a name", r.tokens[last].text)
		return
	}
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
	e.Receiver = r.name("the receiver", r.names.receivers)
	if r.more() {
		if _, err := say.ParseNumber(r.tokens[0].text); err != nil {
			e.Beacon = r.name("the beacon", r.names.beacons)
		}
	}
	e.Radial = r.figure("what it shows", "radial")
	r.word("for")
	e.Course = r.figure("what it should show", "course")
}

func readReceiver(r *reader, e *flight.Event) {
	e.Receiver = r.name("the receiver", r.names.receivers)
	e.Beacon = r.name("the beacon", r.names.beacons)
}

func writeReceiver(e flight.Event) (words, bool) {
	return words{quote(e.Receiver), quote(e.Beacon)}, true
}

func readGauges(r *reader, e *flight.Event) {
	e.Tanks = map[string]float64{}
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
	text := r.next("the wind").text
	defer func() { r.word("kt", "kts", "knots") }()
	if strings.EqualFold(text, "calm") {
		e.WindFrom, e.WindSpeed = new(0.0), new(0.0)
		return
	}
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
			Verb: "fix", Usage: "BEACON [MILES dme] [DEGREES radial|relative], or at LAT LON", Does: "position",
			Example: "fix KVN 12.5 dme 096 radial", act: flight.Fix, names: []func(names) []string{beacons}, read: readFix, write: writeFix,
		},
		{
			Verb: "bearing", Usage: "BEACON DEGREES [radial]", Does: "a bearing check", Example: "bearing OBN 270",
			act: flight.Bearing, names: []func(names) []string{beacons}, read: readBearing,
			write: func(e flight.Event) (words, bool) {
				w := words{quote(e.Beacon)}.number(e.Relative).number(e.Radial)
				if e.Radial != nil {
					w = append(w, "radial")
				}
				return w, true
			},
		},
		{
			Verb: "off-track", Usage: "MILES left|right [after MILES] [back MILES]",
			Does:    "off track, to be back on it in 10 nm",
			Example: "off-track 0.8 left back 10", act: flight.Fix, also: []string{"offtrack"},
			read: func(r *reader, e *flight.Event) {
				e.OffTrack = r.side(r.number("the distance off track", 0, flight.RangeOf("offtrack").High))
				if r.word("after") != "" {
					e.After = r.figure("the distance from the leg's start", "after")
				}
				if r.word("back") != "" {
					e.Within = r.figure("the distance to be back on track in", "within")
				}
			},
			write: func(e flight.Event) (words, bool) {
				return words{}.side(e.OffTrack).labelled("after", e.After).labelled("back", e.Within), e.At == nil && e.Beacon == "" && e.OffTrack != nil
			},
		},
		{
			Verb: "divert", Usage: "POINT, or at LAT LON", Does: "a diversion from here", Example: "divert STR", act: flight.Divert, names: []func(names) []string{points},
			read: func(r *reader, e *flight.Event) {
				if r.word("at") != "" {
					e.At = r.position()
					return
				}
				e.To = r.name("the point", r.names.points)
				if r.word("at") != "" {
					e.At = r.position()
				}
			},
			write: func(e flight.Event) (words, bool) { return writeDivert(e), e.Rejoin == nil },
		},
		{
			Verb: "direct", Usage: "POINT", Does: "straight there, then on", Example: "direct GRN", names: []func(names) []string{points},
			act: flight.Divert, also: []string{"rejoin"}, read: readDirect,
			write: func(e flight.Event) (words, bool) { return writeDivert(e), e.Rejoin != nil },
		},
		{
			Verb: "hold", Usage: "POINT", Does: "hold at a point", Example: "hold GRN", act: flight.Hold, names: []func(names) []string{points},
			read:  func(r *reader, e *flight.Event) { e.Point = r.name("the point", r.names.points) },
			write: func(e flight.Event) (words, bool) { return words{quote(e.Point)}, true },
		},
		{
			Verb: "cross", Usage: "POINT [FEET] [TIME]", Does: "at a level, time", Example: "cross GRN 2500 10:50",
			act: flight.Cross, names: []func(names) []string{points}, whole: parseCross,
			write: func(e flight.Event) (words, bool) {
				w := words{quote(e.Point)}.number(e.Altitude)
				if e.Wanted != nil {
					w = append(w, say.UTC(*e.Wanted))
				}
				return w, true
			},
		},
		{Verb: "leave-hold", Does: "leave the hold", Example: "leave-hold", act: flight.Unhold, also: []string{"unhold"}, write: bare},
	}
}

// parseCross takes the time at the end of the line for the one that is wanted, not for that of the act.
func parseCross(tokens []token, s flight.Snapshot, c times) (flight.Event, error) {
	form := Form{act: flight.Cross, read: func(r *reader, e *flight.Event) {
		e.Point = r.name("the point", r.names.points)
		r.word("at")
		if r.more() {
			e.Altitude = r.altitude()
		}
	}}
	return withTime(c, tokens, func(rest []token, at time.Time) (flight.Event, error) {
		event, err := form.fill(rest, s, time.Time{})
		if !at.IsZero() {
			event.Wanted = &at
		}
		return event, err
	})
}

func readBearing(r *reader, e *flight.Event) {
	e.Beacon = r.name("the beacon", r.names.beacons)
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
	e.To = r.name("the point", r.names.points)
	leg, ahead := r.names.ahead[e.To]
	if r.err == nil && !ahead {
		r.fail("%q does not lie ahead on the plan: \"divert %s\" ends the flight there", e.To, e.To)
	}
	e.Rejoin = &leg
}

// readFix reads the figures of a fix in any order.
func readFix(r *reader, e *flight.Event) {
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
		case unit == "" && slices.Contains(r.names.beacons, strings.ToUpper(text)):
			r.fail("one beacon an entry: enter what %s shows by itself, within five minutes of this one", strings.ToUpper(text))
		case unit == "":
			r.fail(`after %q must stand "dme", "radial" or "relative"`, text)
		default:
			r.fail("%q is there twice", unit)
		}
	}
}

func journalForms() []Form {
	paused := func(f Form, paused bool) Form {
		f.act = flight.Clock
		f.read = func(_ *reader, e *flight.Event) { e.Paused = &paused }
		f.write = func(e flight.Event) (words, bool) {
			return nil, e.Paused != nil && *e.Paused == paused && e.Set == nil && e.Rate == nil
		}
		return f
	}
	rate := Form{Verb: "rate", Usage: "TIMES", Does: "flight clock, 0.5 to 16 times", Example: "rate 4", act: flight.Clock}.
		one("the rate", "rate", func(e *flight.Event) **float64 { return &e.Rate })
	rate.write = func(e flight.Event) (words, bool) {
		return words{}.number(e.Rate), e.Rate != nil && e.Set == nil && e.Paused == nil
	}
	return []Form{
		{
			Verb: "note", Usage: "TEXT", Does: "a remark", Example: "note gliders to the right", act: flight.NoteText, text: true,
			read:  func(r *reader, e *flight.Event) { e.Text = r.text() },
			write: func(e flight.Event) (words, bool) { return words{e.Text}, true },
		},
		{
			Verb: "void", Usage: "ENTRY", Does: "an entry was wrong", Example: "void 12", act: flight.Void,
			read:  func(r *reader, e *flight.Event) { e.Event = r.entry() },
			write: func(e flight.Event) (words, bool) { return words{strconv.Itoa(e.Event)}, true },
		},
		{
			// It is not written again: its entry has the line.
			Verb: "amend", Usage: "ENTRY TIME, or ENTRY and the line again", Does: "its time or values", Example: "amend 12 10:42:30",
			act: flight.Amend, whole: parseAmend,
		},
		rate,
		paused(Form{Verb: "pause", Does: "the flight clock stands", Example: "pause"}, true),
		paused(Form{Verb: "run", Does: "the flight clock runs on", Example: "run"}, false),
		{
			Verb: "set", Usage: "TIME", Does: "the flight clock now", Example: "set 10:42:30", act: flight.Clock,
			whole: func(tokens []token, _ flight.Snapshot, c times) (flight.Event, error) {
				return withTime(c, tokens, func(rest []token, at time.Time) (flight.Event, error) {
					if len(rest) > 0 || at.IsZero() {
						return flight.Event{}, errors.New("one time of day is needed")
					}
					return flight.Event{Act: flight.Clock, Set: &at}, nil
				})
			},
			write: func(e flight.Event) (words, bool) {
				if e.Set == nil || e.Rate != nil || e.Paused != nil {
					return nil, false
				}
				return words{say.UTC(*e.Set)}, true
			},
		},
		{
			Verb: "hands", Usage: "on|off", Does: "practice: who logs", Example: "hands on", act: flight.Hands,
			read: func(r *reader, e *flight.Event) {
				if e.Hands = r.word("on", "off"); e.Hands == "" {
					r.fail(`"on" or "off" is missing`)
				}
			},
			write: func(e flight.Event) (words, bool) { return words{e.Hands}, true },
		},
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
