package flight

import (
	"fmt"
	"time"

	"example.com/legclock/internal/clock"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/sheet"
)

// State is a flight as its journal tells it: a sheet and the events so far.
type State struct {
	sheet   *sheet.Sheet
	mode    string
	events  []Event
	setting clock.Setting
}

// New is a flight of which nothing has been recorded yet.
func New(s *sheet.Sheet, mode string) *State { return &State{sheet: s, mode: mode} }

// Apply folds the next event of the journal.
func (s *State) Apply(e Event) error {
	if e.N != len(s.events)+1 {
		return fmt.Errorf("entry %d where %d must follow", e.N, len(s.events)+1)
	}
	s.events = append(s.events, e)
	return nil
}

// Refusal is the error of an event that can't be recorded.
type Refusal struct{ Text, Mend string }

func (r *Refusal) Error() string { return r.Text + ": " + r.Mend }

// Doubt is the error of an event that looks wrong; recorded with Confirmed set it is taken.
type Doubt struct{ Text string }

func (d *Doubt) Error() string { return d.Text }

// Check says whether an event can be recorded now: nil, a *Refusal or a *Doubt.
func (s *State) Check(e Event) error { return nil }

// Until is the state made of what had been recorded by a flight time.
func (s *State) Until(t time.Time) *State { return s }

// Fold is the state after a journal's events; with knownAt, only of what had been recorded by that flight time.
func Fold(s *sheet.Sheet, mode string, events []Event, knownAt *time.Time) (*State, error) {
	state := New(s, mode)
	for _, e := range events {
		if err := state.Apply(e); err != nil {
			return nil, err
		}
	}
	return state, nil
}

// Setting is the clock's setting after the events so far.
func (s *State) Setting() clock.Setting { return s.setting }

// Undoable is the last entry by the pilot that is not void; nil when there is none.
func (s *State) Undoable() *Event { return nil }

// Describe says in a few words what an event records.
func Describe(e Event) string { return string(e.Do) }

// DiversionTarget is the point and the level that a diversion means.
func DiversionTarget(p *plan.Plan, e Event, altitudeFt float64) (plan.Point, plan.Level, error) {
	if e.At != nil {
		return plan.Point{Ident: e.To, Kind: plan.Fix, At: *e.At}, plan.Level{AltitudeFt: altitudeFt}, nil
	}
	point, ok := p.Point(e.To)
	if !ok {
		return point, plan.Level{}, fmt.Errorf("%q is not a point of the plan", e.To)
	}
	return point, plan.Level{AltitudeFt: altitudeFt}, nil
}

// At is everything that is known of the flight at a moment.
func (s *State) At(t time.Time) Snapshot {
	return Snapshot{At: t, Title: s.sheet.Plan.Title, Mode: s.mode, Phase: BeforeStart}
}
