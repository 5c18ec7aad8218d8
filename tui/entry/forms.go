package entry

import (
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
