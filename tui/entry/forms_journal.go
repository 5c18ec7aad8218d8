package entry

import (
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
)

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
