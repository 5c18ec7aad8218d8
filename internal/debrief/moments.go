package debrief

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
)

// Kinds of moments that a replay can step to.
const (
	MomentEntry   = "entry"
	MomentPassing = "passing"
	MomentPrompt  = "prompt"
	MomentMistake = "mistake"
	MomentRemark  = "remark"
	MomentLesson  = "lesson"
)

// Moment is something on the time-line of a flight.
type Moment struct {
	At   time.Time // flight time at which it shows: an entry's is that of its making
	Kind string
	Act  flight.Act // an entry's act
	Text string
}

// Moments are the entries of a log and, by its debrief, the prompts, the mistakes and the remarks, by time.
func (f *Flight) Moments(records []flight.Record) []Moment {
	var moments []Moment
	add := func(at time.Time, kind string, do flight.Act, format string, values ...any) {
		moments = append(moments, Moment{At: at, Kind: kind, Act: do, Text: fmt.Sprintf(format, values...)})
	}
	for _, r := range records {
		if r.Act == flight.Position || f.byTrack() && r.Act == flight.Clock {
			continue
		}
		kind := MomentEntry
		if r.Act == flight.Passing {
			kind = MomentPassing
		}
		after := ""
		if r.After() > enteredLate && r.Act != flight.Clock && r.Act != flight.Void && r.Act != flight.Amend {
			after = ", entered " + say.Span(r.After().Seconds()) + " after " + say.Time(r.T)
			add(r.RecordedAt, MomentMistake, r.Act, "%s%s", flight.Describe(*r.Event), after)
		}
		if r.Act == flight.Void || r.Act == flight.Amend {
			add(r.RecordedAt, MomentMistake, r.Act, "%s", flight.Describe(*r.Event))
		}
		add(r.RecordedAt, kind, r.Act, "%s%s", flight.Describe(*r.Event), after)
	}
	for _, p := range f.Discipline.Prompts {
		add(p.Due, MomentPrompt, "", "%s", p.became())
		if (p.Met == AnswerLate || p.Met == Unanswered) && p.LateAt != nil {
			add(*p.LateAt, MomentMistake, "", "%s: %s", p.Text, p.Met)
		}
	}
	for _, missed := range f.Discipline.Missed {
		add(missed.NoticedAt, MomentMistake, "", "%s was never logged", missed.Point)
	}
	for _, beacon := range f.Discipline.Beacons {
		if beacon.UsedUnverified {
			add(*beacon.Used, MomentMistake, "", "%s", beacon.usedTooSoon(""))
		}
	}
	if since := f.Tanks.AboveSince; since != nil {
		add(*since, MomentMistake, "", "the imbalance goes beyond its limit")
	}
	for _, lesson := range f.Lessons {
		if lesson.At != nil {
			add(*lesson.At, MomentLesson, "", "%s", lesson.Text)
		}
	}
	for _, remark := range f.Remarks {
		by := ""
		if remark.By != "" {
			by = remark.By + ": "
		}
		add(remark.At, MomentRemark, "", "%s%s", by, remark.Text)
	}
	slices.SortStableFunc(moments, func(a, b Moment) int { return cmp.Compare(a.At.UnixNano(), b.At.UnixNano()) })
	return moments
}

// became says what became of a prompt: "tune NAV1 KVN was due: in time, 0:20 after".
func (p PromptMade) became() string {
	text := fmt.Sprintf("%s was due: %s", p.Text, p.Met)
	if p.Seconds == nil {
		return text
	}
	return text + ", " + besideDue(*p.Seconds)
}

// besideDue is how an answer lies to when it was due: "0:20 after", "1:35 before".
func besideDue(seconds float64) string {
	side := "after"
	if math.Round(seconds) < 0 {
		side = "before"
	}
	return say.Span(seconds) + " " + side
}

// Became says what became of a prompt, with how it is done.
func Became(p flight.Prompt) string {
	text := promptMade(p).became()
	if len(p.Detail) > 0 {
		text += " (" + strings.Join(p.Detail, ", ") + ")"
	}
	return text
}

// Outcome is what turned out of what a Snapshot expects.
type Outcome struct {
	Point         string
	PassedAt      *time.Time
	ErrorSeconds  *float64 // of the ETA shown: positive, passed later
	Sigmas        *float64
	TrueKt        *float64 // groundspeed between the passings about the moment
	UsedKt        float64
	ImbalanceAt   *time.Time // the next change of tank
	Imbalance     float64
	Expected      *float64 // what was expected of it
	ArrivalError  *float64 // of the ETA at the destination
	ArrivalPassed *time.Time
}

// Turned is what turned out of a moment, by the whole log.
func (f *Flight) Turned(s flight.Snapshot) Outcome {
	o := Outcome{UsedKt: s.Groundspeed.UsedKt}
	if next := s.Next; next != nil {
		o.Point = next.Point
		for _, p := range f.Passings {
			if p.Point == next.Point && p.Leg == s.Leg.Index && !p.At.Before(s.At) {
				o.PassedAt, o.ErrorSeconds = ref(p.At), ref(say.Apart(next.ETA, p.At).Seconds())
				if next.ETASigmaSeconds > 0 {
					o.Sigmas = finite(math.Abs(*o.ErrorSeconds) / next.ETASigmaSeconds)
				}
				break
			}
		}
	}
	if s.Clock.LegSeconds != nil {
		for _, p := range f.Passings {
			if p.At.After(s.At) {
				o.TrueKt = p.GroundspeedKt
				break
			}
		}
	}
	for _, change := range f.Tanks.Made {
		if change.At.After(s.At) {
			o.ImbalanceAt, o.Imbalance = ref(change.At), change.Imbalance
			if s.Tanks.NextChange != nil {
				o.Expected = ref(s.Tanks.NextChange.ImbalanceThen)
			}
			break
		}
	}
	if d := s.Destination; d != nil && f.Totals.Overhead.Actual != nil && d.Point == f.Totals.Destination && f.Totals.Overhead.Actual.After(s.At) {
		o.ArrivalPassed, o.ArrivalError = f.Totals.Overhead.Actual, ref(say.Apart(d.ETA, *f.Totals.Overhead.Actual).Seconds())
	}
	return o
}

// Words are something said of a moment, and the same in short.
type Words struct{ Long, Short string }

// Words are an outcome in groups, the most telling first; empty when nothing of the moment turned out yet or any more.
func (o Outcome) Words() []Words {
	var words []Words
	add := func(long, short string) { words = append(words, Words{long, short}) }
	if o.PassedAt != nil {
		out := say.SignedOf(o.ErrorSeconds)
		long, short := fmt.Sprintf("%s %s, ETA was out %s", o.Point, say.Time(*o.PassedAt), out), o.Point+" "+out
		if o.Sigmas != nil {
			long += fmt.Sprintf(" (%.1f of its ±)", *o.Sigmas)
			short += fmt.Sprintf(" (%.1f of ±)", *o.Sigmas)
		}
		add(long, short)
	}
	if o.TrueKt != nil {
		add(fmt.Sprintf("groundspeed was %s, used %.0f", say.Knots(*o.TrueKt), o.UsedKt), fmt.Sprintf("%s for %.0f", say.Knots(*o.TrueKt), o.UsedKt))
	}
	if o.ImbalanceAt != nil {
		long, short := "imbalance "+say.Amount(o.Imbalance)+" at the change", "imbalance "+say.Amount(o.Imbalance)
		if o.Expected != nil {
			long += ", expected " + say.Amount(*o.Expected)
			short += " for " + say.Amount(*o.Expected)
		}
		add(long, short)
	}
	if o.ArrivalError != nil {
		add("arrival out "+say.SignedOf(o.ArrivalError), "arrival "+say.SignedOf(o.ArrivalError))
	}
	return words
}
