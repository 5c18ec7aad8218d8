package flight_test

import (
	"cmp"
	"encoding/json"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/flight"
)

// open are the prompts of a Snapshot that are not answered, by id.
func open(s flight.Snapshot) map[string]flight.Prompt {
	list := map[string]flight.Prompt{}
	for _, prompt := range s.Prompts {
		if prompt.Open() {
			list[prompt.ID] = prompt
		}
	}
	return list
}

// A prompt's due time never moves into the past of the moment at which that is learnt: what was to come is due then at the earliest, what
// was due already stays so. So it is with an entry made late and with an amendment, if no other stands after it, which would be folded anew. A void
// makes it as if the entry had never been made, and of one that is dated ahead nothing is known before its time.
func TestNoPromptBecomesDueInThePast(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		events := journal(t, lochs())
		state := flight.New(lochs(), "live")
		records, err := flight.Records(events)
		require.NoError(t, err)
		for i, e := range events {
			now := records[i].RecordedAt
			before := open(state.At(now))
			require.NoError(t, state.Apply(e))
			if e.Act == flight.Void || e.Act == flight.Clock || e.T.After(now) || othersAfter(events[:i+1]) {
				continue
			}
			for id, prompt := range open(state.At(now)) {
				was, known := before[id]
				if was.Snoozed || prompt.Kind == flight.PromptTurn { // whose due time is an ETA
					continue
				}
				earliest := now
				if known && was.Due.Before(earliest) {
					earliest = was.Due
				}
				require.False(t, prompt.Due.Before(earliest.Add(-time.Second)), "%s was due %s and after %s at %s, made %s, is due %s", id, was.Due, e.Act, e.T, now, prompt.Due)
			}
		}
	})
}

// othersAfter reports whether entries stand after the last one or, where that is an amendment, after the one that it is of.
func othersAfter(events []flight.Event) bool {
	last := events[len(events)-1]
	own, from := last.N, last.T
	if last.Act == flight.Amend {
		own, from = last.Event, earlier(from, events[last.Event-1].T)
		var with struct{ T time.Time }
		if json.Unmarshal(last.With, &with) == nil {
			from = earlier(from, with.T)
		}
	}
	for _, e := range events[:len(events)-1] {
		if e.N != own && (e.T.After(from) || e.Act == flight.Amend || e.Act == flight.Void) {
			return true
		}
	}
	return false
}

func earlier(a, b time.Time) time.Time {
	if b.Before(a) {
		return b
	}
	return a
}

// Whatever is due can be answered, skipped and put off, and nothing else goes with it but what the same act answers.
func TestWhateverIsDueCanBeAnsweredSkippedAndPutOff(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		events := journal(t, lochs())
		state, err := flight.Fold(lochs(), "live", events, nil)
		require.NoError(t, err)
		now := last(events).Add(time.Duration(rapid.IntRange(0, 2400).Draw(t, "later")) * time.Second)
		look := state.At(now)
		due := open(look)
		cruiseOver := look.Phase == flight.Descending || look.Phase == flight.Arrived // a check of the cruise that is open then goes with the next entry
		for id, prompt := range due {
			if prompt.State == flight.Coming {
				continue
			}
			for _, e := range []flight.Event{prompt.Answer.Event(), {Act: flight.Skipped, Prompt: id}, {Act: flight.Snoozed, Prompt: id, Minutes: ref(2.0)}} {
				after := state.Clone()
				e.N, e.T, e.Rec, e.Confirmed = len(events)+1, now, now, true
				require.NoError(t, after.Check(e), "%s of %s", e.Act, id)
				require.NoError(t, after.Apply(e))
				left := open(after.At(now))
				still, isOpen := left[id]
				if e.Act == flight.Snoozed {
					// What is planned anew at that moment may be due later by itself.
					require.True(t, isOpen && still.State == flight.Coming, "%s put off: %v", id, still)
				} else {
					for other, beside := range due { // what was asked for the same before it is answered first
						_, kept := left[other]
						isOpen = isOpen && !(!kept && sameTuning(beside.Answer, prompt.Answer))
					}
					require.False(t, isOpen, "%s of %s leaves it open", e.Act, id)
				}
				if e.Act != flight.Done && e.Act != flight.Skipped && e.Act != flight.Snoozed {
					continue
				}
				for other, beside := range due {
					_, kept := left[other]
					kept = kept || cruiseOver && (beside.Kind == flight.PromptCheck || beside.Kind == flight.PromptGyro)
					for _, again := range left { // a check comes again, also one that was missed
						kept = kept || again.Text == beside.Text
					}
					require.True(t, kept || sameTuning(beside.Answer, prompt.Answer) || beside.Text == prompt.Text, "%s of %s took %s with it", e.Act, id, other)
				}
			}
		}
	})
}

// sameTuning reports whether the same receiver is tuned to the same beacon.
func sameTuning(a, b flight.Answer) bool {
	return a.Act == flight.Tuned && b.Act == flight.Tuned && a.Receiver == b.Receiver && a.Beacon == b.Beacon
}

// Nothing is asked for before its phase, however late the flight is.
func TestNothingOfTheAirIsAskedForOnTheGround(t *testing.T) {
	s := lochs()
	rapid.Check(t, func(t *rapid.T) {
		state := flight.New(s, "live")
		at := s.Plan.OffBlocks
		n := 0
		for _, do := range rapid.Permutation([]flight.Act{flight.OffBlocks, flight.Altimeter, flight.TankChange, flight.Tuned, flight.WindReported}).Draw(t, "acts") {
			at = at.Add(time.Duration(rapid.IntRange(0, 90*60).Draw(t, "seconds")) * time.Second)
			n++
			e := flight.Event{N: n, T: at, Rec: at, Act: do, Tank: "left", Receiver: "NAV1", Beacon: "GRN", QNH: ref(1003.0), WindFrom: ref(250.0), WindSpeed: ref(30.0)}
			require.NoError(t, state.Apply(e))
			for id, prompt := range open(state.At(at.Add(time.Minute))) {
				switch prompt.Kind {
				case flight.PromptCheck, flight.PromptGyro, flight.PromptQNH, flight.PromptReport, flight.PromptDescent, flight.PromptTurn, flight.PromptLevel:
					require.Equal(t, flight.Coming, prompt.State, id)
				}
			}
		}
	})
}

// What is asked for at the passing of a point is neither due nor late before that passing is logged, or one beyond it, however overdue it is, nor in the
// second in which it is to be passed.
func TestNothingOfAPassingIsAskedForBeforeIt(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		events := journal(t, lochs()) // with an area QNH at KVN
		state, err := flight.Fold(lochs(), "live", events, nil)
		require.NoError(t, err)
		s := state.At(last(events).Add(time.Duration(rapid.IntRange(0, 5400).Draw(t, "later")) * time.Second))
		for _, point := range s.Route {
			if point.Point == "KVN" && point.Revised != nil && rapid.Bool().Draw(t, "then") && !point.Revised.Before(last(events)) {
				s = state.At(*point.Revised)
			}
		}
		prompt, asked := firstOpen(s, "area QNH")
		if !asked || prompt.State == flight.Coming {
			return
		}
		require.True(t, passedOrBehind(s, "KVN"), "due %s: %v", prompt.Due, s.Route)
	})
}

// The list of changes of tank to come is those that are asked for, with their tanks and, where nobody put one off, times, and with the imbalance
// that the prompt has: whatever was skipped, put off, made early or selected again. The next is never to the tank that feeds.
func TestTheChangesToComeAreThoseThatAreAskedFor(t *testing.T) {
	acts := append(flight.Acts(), flight.OffBlocks, flight.Airborne, flight.Airborne, flight.Passing, flight.Passing, flight.TankChange, flight.Skipped, flight.Snoozed)
	rapid.Check(t, func(t *rapid.T) {
		events := journalOf(t, lochs(), acts)
		state, err := flight.Fold(lochs(), "live", events, nil)
		require.NoError(t, err)
		s := state.At(last(events).Add(time.Duration(rapid.IntRange(0, 3600).Draw(t, "later")) * time.Second))
		var asked []flight.Prompt
		for _, prompt := range s.Prompts {
			if prompt.Kind == flight.PromptTank && prompt.Open() {
				asked = append(asked, prompt)
			}
		}
		slices.SortStableFunc(asked, func(a, b flight.Prompt) int { return cmp.Compare(numberOf(t, a), numberOf(t, b)) })
		for i, change := range s.Tanks.Planned {
			if waits := i > 0 && !change.At.After(s.At); waits && (len(asked) <= i || asked[i].Answer.Tank != change.To) { // until the one before is made
				asked = slices.Insert(asked, min(i, len(asked)), flight.Prompt{})
				continue
			}
			require.Less(t, i, len(asked))
			require.Equal(t, asked[i].Answer.Tank, change.To)
			require.Equal(t, i == 0, s.Tanks.NextChange == &s.Tanks.Planned[i])
			require.True(t, asked[i].Snoozed || asked[i].Due.Equal(change.At), "%v is asked for at %v", change, asked[i].Due)
			require.Contains(t, asked[i].Detail[0], fmt.Sprintf("imbalance %.1f of", change.ImbalanceThen))
		}
		require.Len(t, asked, len(s.Tanks.Planned))
		if next := s.Tanks.NextChange; next != nil {
			require.NotEqual(t, s.Tanks.Selected, next.To)
		}
	})
}

// A change of tank is due from when it was asked for: as long as nothing is logged that time stays, however late it is and whatever else is overdue.
func TestAChangeOfTankStaysDueWhenItWas(t *testing.T) {
	acts := append(flight.Acts(), flight.OffBlocks, flight.Airborne, flight.Airborne, flight.Airborne, flight.Passing, flight.Passing, flight.Hold)
	rapid.Check(t, func(t *rapid.T) {
		events := journalOf(t, lochs(), acts)
		state, err := flight.Fold(lochs(), "live", events, nil)
		require.NoError(t, err)
		at, due := last(events), map[string]time.Time{}
		for range rapid.IntRange(2, 12).Draw(t, "looks") {
			for id, prompt := range open(state.At(at)) {
				if was, known := due[id]; known && !prompt.Snoozed {
					require.Equal(t, was, prompt.Due, "%s at %s", id, at)
				}
				if prompt.Kind == flight.PromptTank && prompt.State != flight.Coming {
					due[id] = prompt.Due
				}
			}
			at = at.Add(time.Duration(rapid.IntRange(1, 300).Draw(t, "seconds")) * time.Second)
		}
	})
}

// numberOf is the number of the change of tank that a prompt asks for.
func numberOf(t require.TestingT, prompt flight.Prompt) int {
	number, err := strconv.Atoi(strings.TrimPrefix(prompt.ID, "tank-"))
	require.NoError(t, err)
	return number
}

// passedOrBehind reports whether a route point, or one after it, has been logged.
func passedOrBehind(s flight.Snapshot, point string) bool {
	behind := false
	for _, row := range s.Route {
		behind = behind || row.Point == point
		if behind && row.Actual != nil {
			return true
		}
	}
	return false
}

// The acts of a flight may come before their time by minutes that flights have; sooner they are hasty. Common practice, no source.
func TestActsOfTheFlightAreHastyOnlyFarBeforeTheirTime(t *testing.T) {
	s := lochs() // 8 minutes of taxi
	off := s.Plan.OffBlocks
	hasty := func(state *flight.State, at time.Time, text string) bool {
		prompt, ok := firstOpen(state.At(at), text)
		require.True(t, ok, text)
		return prompt.Hasty
	}
	state := flight.New(s, "live")
	require.True(t, hasty(state, off.Add(-15*time.Minute-time.Second), "off blocks"))
	require.False(t, hasty(state, off.Add(-15*time.Minute), "off blocks"))
	require.False(t, hasty(state, off.Add(time.Hour), "off blocks"))

	state = flight.New(s, "live")
	require.NoError(t, state.Apply(flight.Event{N: 1, Act: flight.OffBlocks, T: off, Rec: off}))
	require.True(t, hasty(state, off.Add(2*time.Second), "airborne"), "the key pressed twice")
	require.True(t, hasty(state, off.Add(4*time.Minute-time.Second), "airborne"))
	require.False(t, hasty(state, off.Add(4*time.Minute), "airborne"), "half of the taxi")

	state = fly(t, s, legsFlown(s, len(s.Legs)-1)...)
	overhead := s.Legs[len(s.Legs)-1].ETA
	require.True(t, hasty(state, overhead.Add(-3*time.Minute), "landed"), "still on the way")
	require.False(t, hasty(state, overhead.Add(-time.Minute), "landed"), "straight in")
	descent, ok := firstOpen(state.At(overhead.Add(-20*time.Minute)), "top of descent")
	require.True(t, ok)
	require.True(t, hasty(state, descent.Due.Add(-5*time.Second), "top of descent"))
	require.False(t, hasty(state, descent.Due, "top of descent"))

	down := flight.Event{N: len(s.Legs) + 1, Act: flight.Landed, T: overhead, Rec: overhead}
	require.NoError(t, state.Apply(down))
	require.True(t, hasty(state, overhead.Add(2*time.Second), "on blocks"))
	require.False(t, hasty(state, overhead.Add(5*time.Minute), "on blocks"))
}

// worstFirst checks the order of a Snapshot's prompts: what is late by its consequence, then what is due and to come by its time, then what
// is not open any more.
func worstFirst(t require.TestingT, s flight.Snapshot) {
	byConsequence := map[flight.PromptKind]int{
		flight.PromptTank: 0, flight.PromptTurn: 1, flight.PromptDescent: 2, flight.PromptLevel: 3, flight.PromptConfirm: 4, flight.PromptAct: 5, flight.PromptTune: 6,
		flight.PromptIdentify: 7, flight.PromptQNH: 8, flight.PromptGyro: 9, flight.PromptCheck: 10, flight.PromptReport: 11,
	}
	rank := func(p flight.Prompt) int {
		switch {
		case !p.Open():
			return 1000
		case p.State == flight.Late:
			return byConsequence[p.Kind]
		}
		return 100
	}
	for i := 1; i < len(s.Prompts); i++ {
		before, after := s.Prompts[i-1], s.Prompts[i]
		require.LessOrEqual(t, rank(before), rank(after), "%s before %s", before.ID, after.ID)
		if after.Open() && rank(before) == rank(after) {
			require.False(t, after.Due.Before(before.Due), "%s before %s", before.ID, after.ID)
		}
	}
}

// A repeating check that nobody answers comes again at its next interval, and each that was missed is counted: rounds of one check are the
// interval apart, and never are two of them open at once.
func TestAMissedCheckComesAgain(t *testing.T) {
	s := lochs()
	const every = 15 * time.Minute
	rapid.Check(t, func(t *rapid.T) {
		state := fly(t, s)
		at, n := s.Airborne.Add(12*time.Minute), 2
		for range rapid.IntRange(0, 6).Draw(t, "entries") {
			at = at.Add(time.Duration(rapid.IntRange(1, 25*60).Draw(t, "seconds")) * time.Second)
			e := flight.Event{N: n, T: at, Rec: at, Act: flight.NoteText, Text: "clear of cloud"}
			if prompt, asked := firstOpen(state.At(at), "cruise check"); asked && prompt.State != flight.Coming && rapid.Bool().Draw(t, "answered?") {
				e.Act, e.Prompt = flight.Done, prompt.ID
			}
			require.NoError(t, state.Check(e))
			require.NoError(t, state.Apply(e))
			n++
		}
		var last *flight.Prompt
		for _, prompt := range state.Closed(at) {
			if prompt.Text != "cruise check" {
				continue
			}
			if last != nil {
				from := last.Due
				if last.Answered != nil {
					from = *last.Answered
				}
				require.WithinDuration(t, from.Add(every), prompt.Due, time.Second)
			}
			if prompt.State == flight.PromptMissed {
				require.Nil(t, prompt.Answered)
			}
			last = &prompt
		}
		waiting := 0
		for _, prompt := range state.At(at).Prompts {
			if prompt.Text == "cruise check" && (prompt.State == flight.Due || prompt.State == flight.Late) {
				waiting++
				require.Less(t, at.Sub(prompt.Due), every, "another is due")
			}
		}
		require.LessOrEqual(t, waiting, 1)
	})
}

// However far a clock has jumped, the rounds of a check that nobody answered are no more than a flight can have, and the last of them are of now.
func TestTheRoundsOfAClockThatJumpedAreBounded(t *testing.T) {
	s := lochs()
	const most = 2 * (200 + 3) // of two checks, each with the one that was due, the one that is and that after it
	state := fly(t, s)
	for _, days := range []float64{1, 160, 50 * 365} {
		at := after(s, days*24*60)
		closed := state.Closed(at)
		require.LessOrEqual(t, len(closed), most)
		require.NotEmpty(t, closed)
		require.Less(t, at.Sub(closed[len(closed)-1].Due), 30*time.Minute, "the last round")
	}
}

// Rounds that nobody answered cost as much each, however many there are, and nothing more when asked about at the same moment again. The
// limits are of this program, no source.
func TestMissedRoundsCostAsTheyAreMany(t *testing.T) {
	for _, rounds := range []int{50, 200} {
		s, hours := unanswered(t, rounds)
		state, second := fly(t, s), 0
		each := testing.AllocsPerRun(20, func() {
			second++
			state.Closed(after(s, hours*60+float64(second)/60))
		}) / float64(rounds)
		require.Less(t, each, 10.0, "allocations for each of %d rounds", rounds)
		again := testing.AllocsPerRun(20, func() { state.Closed(after(s, hours*60)) })
		require.Less(t, again, 10.0, "allocations for the same moment after %d rounds", rounds)
	}
}

// firstOpen is the first open prompt with a text.
func firstOpen(s flight.Snapshot, text string) (flight.Prompt, bool) {
	for _, prompt := range s.Prompts {
		if prompt.Text == text && prompt.Open() {
			return prompt, true
		}
	}
	return flight.Prompt{}, false
}

// What a prompt shows is as of now: one that is due says of the tanks what the Snapshot says. What is over a limit comes before what is late, and
// that by its consequence.
func TestWhatIsDueSaysWhatIsNow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		events := journal(t, lochs())
		state, err := flight.Fold(lochs(), "live", events, nil)
		require.NoError(t, err)
		s := state.At(last(events).Add(time.Duration(rapid.IntRange(0, 5400).Draw(t, "later")) * time.Second))
		k := s.Tanks
		now := fmt.Sprintf("left %.1f · right %.1f, imbalance %.1f of 10", k.Quantities["left"], k.Quantities["right"], k.Imbalance)
		for _, prompt := range s.Prompts {
			if prompt.Kind == flight.PromptTank && (prompt.State == flight.Due || prompt.State == flight.Late) {
				require.Equal(t, now, prompt.Detail[0])
			}
		}
		late := false
		for _, pressing := range s.Pressing {
			require.False(t, late && pressing.Late == nil, "%q is over a limit and stands below what is late: %v", pressing.Text, s.Pressing)
			late = late || pressing.Late != nil
		}
		if selected := k.Quantities[k.Selected]; selected <= 2 && s.FuelState != nil { // unusable
			require.Contains(t, s.Pressing[0].Text, "no usable fuel left", "the engine stops before anything else")
		}
	})
}
