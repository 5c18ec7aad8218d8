package debrief

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/plan"
)

// What is called late or a gap: common practice, no source.
const (
	enteredLate = 30 * time.Second
	gapMinutes  = 10.0
)

func (m making) discipline() Discipline {
	d := Discipline{Missed: []Missed{}, Gaps: m.gaps(), Beacons: m.beacons(), Prompts: m.prompts()}
	m.countPassings(&d)
	m.countEntries(&d)
	countPrompts(&d)
	d.Checks = checks(d.Prompts)
	return d
}

// countPassings counts the points of the legs flown, and names those that were never logged.
func (m making) countPassings(d *Discipline) {
	noticed := m.end
	if landed := m.first(flight.Landed); landed != nil {
		noticed = *landed
	}
	for i := m.lastDue(); i > 0; i-- {
		row := m.route[i]
		switch {
		case row.Actual != nil:
			noticed = *row.Actual
			d.PassingsDue++
			d.PassingsLogged++
		case !row.Diverted:
			d.PassingsDue++
			d.Missed = append(d.Missed, Missed{Point: row.Point, Leg: row.Leg, NoticedAt: noticed})
		}
	}
	slices.Reverse(d.Missed)
}

// lastDue is the row of the route up to which it was flown: the last that was passed, and after the landing its end.
func (m making) lastDue() (row int) {
	if m.first(flight.Landed) != nil {
		return len(m.route) - 1
	}
	for i := range m.route {
		if m.route[i].Actual != nil {
			row = i
		}
	}
	return row
}

func (m making) countEntries(d *Discipline) {
	for _, r := range m.entries {
		switch r.Act {
		case flight.Clock:
			d.ClockChanges++
			continue
		case flight.Position, flight.Hands, flight.NoteText, flight.Controls, flight.Answered:
			continue
		}
		if r.By != "" {
			d.ByProgram++
			continue
		}
		if after := r.After(); after > enteredLate {
			d.EnteredLate++
			d.WorstEnteredLate = math.Max(d.WorstEnteredLate, after.Seconds())
		}
	}
	if !slices.ContainsFunc(m.records, func(r flight.Record) bool { return r.Act == flight.Void || r.Act == flight.Amend }) {
		return
	}
	for _, entry := range m.final.Entries() {
		if entry.Voided && entry.Event.Act != flight.Void && entry.Event.Act != flight.Amend {
			d.Voided++
		}
		if entry.Amended {
			d.Amended++
		}
	}
}

// prompts are those that asked for a hand, by the time at which they were due.
func (m making) prompts() []PromptMade {
	prompts := []PromptMade{}
	answered := map[string]bool{}
	for _, prompt := range m.final.Closed(m.end) {
		answered[prompt.ID] = true
		if prompt.Kind.ByHand() {
			prompts = append(prompts, promptMade(prompt))
		}
	}
	m.standing.noteLate(m.last.Late())
	for _, id := range m.standing.order {
		if !answered[id] {
			prompts = append(prompts, promptMade(m.standing.late[id]))
		}
	}
	slices.SortStableFunc(prompts, func(a, b PromptMade) int { return a.Due.Compare(b.Due) })
	return prompts
}

func promptMade(p flight.Prompt) PromptMade {
	made := PromptMade{ID: p.ID, Kind: string(p.Kind), Text: p.Text, Due: p.Due, LateAt: p.LateAt, Answered: p.Answered, Met: Unanswered, Seconds: p.AfterDue()}
	switch {
	case p.State == flight.PromptSkipped:
		made.Met = Skipped
	case p.Answered == nil:
	case p.AnsweredLate():
		made.Met = AnswerLate
	default:
		made.Met = InTime
	}
	return made
}

func countPrompts(d *Discipline) {
	var seconds []float64
	for _, prompt := range d.Prompts {
		d.PromptsAsked++
		switch prompt.Met {
		case InTime:
			d.PromptsInTime++
		case AnswerLate:
			d.PromptsLate++
		case Skipped:
			d.PromptsSkipped++
		default:
			d.PromptsLeft++
		}
		if prompt.Seconds != nil {
			seconds = append(seconds, *prompt.Seconds)
		}
	}
	if len(seconds) > 0 {
		slices.Sort(seconds)
		d.MedianSeconds, d.WorstSeconds = ref(median(seconds)), ref(seconds[len(seconds)-1])
	}
}

// median is that of sorted numbers, of which there is at least one.
func median(sorted []float64) float64 {
	middle := len(sorted) / 2
	if len(sorted)%2 == 1 {
		return sorted[middle]
	}
	return (sorted[middle-1] + sorted[middle]) / 2
}

// checks sums the plan's checks up by name.
func checks(prompts []PromptMade) []Check {
	list := []Check{}
	at := map[string]int{}
	done := map[string]time.Time{}
	for _, prompt := range prompts {
		switch flight.PromptKind(prompt.Kind) {
		case flight.PromptCheck, flight.PromptGyro, flight.PromptQNH:
		default:
			continue
		}
		i, known := at[prompt.Text]
		if !known {
			i = len(list)
			at[prompt.Text] = i
			list = append(list, Check{Name: prompt.Text})
		}
		check := &list[i]
		check.Asked++
		if prompt.Answered == nil || prompt.Met == Skipped {
			continue
		}
		check.Done++
		if before, again := done[prompt.Text]; again {
			if gap := prompt.Answered.Sub(before).Minutes(); check.LongestMinutes == nil || gap > *check.LongestMinutes {
				check.LongestMinutes = ref(gap)
			}
		}
		done[prompt.Text] = *prompt.Answered
	}
	return list
}

// beacons are the beacons that were tuned, with what they were used for.
func (m making) beacons() []Beacon {
	list := []Beacon{}
	current := map[string]int{} // by receiver
	for _, r := range m.entries {
		i, tuned := current[r.Receiver]
		switch r.Act {
		case flight.Tuned:
			if tuned && list[i].Beacon == r.Beacon {
				continue
			}
			current[r.Receiver] = len(list)
			list = append(list, Beacon{Receiver: r.Receiver, Beacon: r.Beacon, Tuned: ref(r.T)})
		case flight.Identified:
			if !tuned || list[i].Beacon != r.Beacon { // identified without a word of tuning
				i = len(list)
				current[r.Receiver] = i
				list = append(list, Beacon{Receiver: r.Receiver, Beacon: r.Beacon, Tuned: ref(r.T)})
			}
			if list[i].Identified == nil {
				list[i].Identified = ref(r.T)
			}
		default:
			list = m.use(list, current, r)
		}
	}
	return list
}

// use notes what the tuned beacons were used for, and a beacon that gave a fix before it had ever been tuned.
func (m making) use(list []Beacon, current map[string]int, r flight.Record) []Beacon {
	name, what := "", ""
	switch {
	case r.Act == flight.Fix && r.Beacon != "":
		name, what = r.Beacon, "a fix"
	case r.Act == flight.Passing:
		if point, ok := m.log.Sheet.Plan.Point(r.Point); ok && point.Kind.IsBeacon() && m.isLegEnd(r.Point) {
			name, what = r.Point, "the passing overhead"
		}
	}
	if name == "" {
		return list
	}
	if r.Act == flight.Fix && !slices.ContainsFunc(list, func(b Beacon) bool { return b.Beacon == name }) {
		return append(list, Beacon{Beacon: name, Used: ref(r.T), UsedFor: what, UsedUnverified: true})
	}
	for _, i := range current {
		beacon := &list[i]
		if beacon.Beacon != name || beacon.Used != nil || !m.shows(beacon.Receiver, r) {
			continue
		}
		beacon.Used, beacon.UsedFor = ref(r.T), what
		beacon.UsedUnverified = beacon.Identified == nil || beacon.Identified.After(r.T)
	}
	return list
}

// usedTooSoon says of a beacon that was used too soon what it was used before.
func (b Beacon) usedTooSoon(usedFor string) string {
	if b.Tuned == nil {
		return fmt.Sprintf("%s was used%s before it was tuned", b.Beacon, usedFor)
	}
	return fmt.Sprintf("%s on %s was used%s before it was identified", b.Beacon, b.Receiver, usedFor)
}

// shows reports whether a receiver shows what a record is made of: a DME the distance of a fix, the others its radial or bearing and a passing
// overhead. Where an aircraft has no DME by name, the distance is taken to stand in another.
func (m making) shows(receiver string, r flight.Record) bool {
	isDME := func(receiver string) bool { return plan.Receives(receiver, plan.DME) }
	if r.Act == flight.Fix && r.DME != nil && (isDME(receiver) || !slices.ContainsFunc(m.log.Sheet.Plan.Aircraft.Receivers, isDME)) {
		return true
	}
	return !isDME(receiver) && (r.Act != flight.Fix || r.Radial != nil || r.Relative != nil)
}

func (m making) isLegEnd(point string) bool {
	return slices.ContainsFunc(m.log.Sheet.Plan.Route.Legs, func(leg plan.Leg) bool { return leg.To == point })
}

// gaps are the stretches in the air without an entry, the longest first.
func (m making) gaps() []Gap {
	gaps := []Gap{}
	var before *time.Time
	for _, r := range m.entries {
		switch r.Act {
		case flight.Clock, flight.Position, flight.Hands, flight.Snoozed, flight.Controls, flight.Answered:
			continue
		}
		if before != nil {
			if minutes := r.T.Sub(*before).Minutes(); minutes >= gapMinutes {
				gaps = append(gaps, Gap{From: *before, To: r.T, Minutes: minutes})
			}
		}
		switch {
		case r.Act == flight.Landed:
			before = nil
		case r.Act == flight.Airborne || before != nil:
			before = ref(r.T)
		}
		if r.Act == flight.Landed {
			break
		}
	}
	slices.SortStableFunc(gaps, func(a, b Gap) int { return cmp.Compare(b.Minutes, a.Minutes) })
	return gaps
}
