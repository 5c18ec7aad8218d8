package feed

import "time"

// Assembler puts the sentences of one moment together into one sample. A receiver sends several a second, each with a part of what
// it knows; those with the same time belong together, and those without a time to the ones before them.
//
// A moment is delivered as soon as the sentence has come that ended the moment before, so that a live feed lags by nothing; if the
// order changes, when the next moment begins.
type Assembler struct {
	// Day is the date of the first time of day, until a sentence gives one; only its date counts. The zero Day: samples have no
	// time until then.
	Day time.Time

	begun     bool
	timeOfDay time.Duration
	date      time.Time
	sample    Sample
	complete  bool // the moment has a position
	delivered bool
	gap       bool   // the receiver has lost its position since the last sample
	latest    string // the last sentence of this moment
	closing   string // the last sentence of the moment before
}

// Add takes one message and returns the samples that are complete by it: none, one or, when the first ends with the beginning of the
// second, two.
func (a *Assembler) Add(m Message) []Sample {
	if !m.Known {
		return nil
	}
	var out []Sample
	if m.TimeOfDay != nil && (!a.begun || *m.TimeOfDay != a.timeOfDay) {
		out = a.Flush()
		a.begin(*m.TimeOfDay)
	}
	if m.Date != nil {
		a.date = *m.Date
	}
	a.merge(m)
	a.latest = m.Talker + m.Type
	switch {
	case !a.begun: // a receiver without a clock: every position is a moment of its own
		out = a.take()
		a.delivered = false
	case a.latest == a.closing:
		out = append(out, a.take()...)
	}
	return out
}

// Flush returns what was not delivered yet, at the end of the input.
func (a *Assembler) Flush() []Sample {
	if a.begun {
		a.closing = a.latest
	}
	return a.take()
}

// begin starts a moment. A time of day that jumps by more than half a day went past midnight.
func (a *Assembler) begin(timeOfDay time.Duration) {
	const halfDay = 12 * time.Hour
	switch {
	case !a.begun && a.date.IsZero() && !a.Day.IsZero():
		a.date = midnight(a.Day)
	case !a.begun || a.date.IsZero():
	case timeOfDay < a.timeOfDay-halfDay:
		a.date = a.date.AddDate(0, 0, 1)
	case timeOfDay > a.timeOfDay+halfDay:
		a.date = a.date.AddDate(0, 0, -1)
	}
	a.begun, a.timeOfDay = true, timeOfDay
	a.sample, a.complete, a.delivered = Sample{}, false, false
}

func (a *Assembler) merge(m Message) {
	if m.Lost {
		a.gap = true
		return
	}
	if m.At != nil {
		a.sample.At, a.complete = *m.At, true
	}
	for _, given := range []struct {
		value *float64
		field **float64
	}{
		{m.AltitudeFt, &a.sample.AltitudeFt},
		{m.GroundspeedKt, &a.sample.GroundspeedKt},
		{m.TrackTrue, &a.sample.TrackTrue},
		{m.HeadingTrue, &a.sample.HeadingTrue},
		{m.HeadingMagnetic, &a.sample.HeadingMagnetic},
	} {
		if given.value != nil {
			*given.field = given.value
		}
	}
}

// take hands over the moment if it has a position and was not delivered.
func (a *Assembler) take() []Sample {
	if !a.complete || a.delivered {
		return nil
	}
	a.delivered = true
	sample := a.sample
	if !a.begun {
		a.sample, a.complete = Sample{}, false
	}
	if !a.date.IsZero() && a.begun {
		sample.Time = a.date.Add(a.timeOfDay)
	}
	sample.AfterGap, a.gap = a.gap, false
	return []Sample{sample}
}
