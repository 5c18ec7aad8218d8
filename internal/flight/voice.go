package flight

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/pattern"
	"example.com/legclock/internal/say"
	"example.com/legclock/internal/sheet"
)

// What can be cleared or told over the radio.
const (
	ClearedATIS      = "atis"
	ClearedClearance = "clearance"
	ClearedSquawk    = "squawk"
	ClearedContact   = "contact"
)

// ClearedKinds are the kinds of what is cleared or told, in the order in which they are shown.
var ClearedKinds = []string{ClearedATIS, ClearedClearance, ClearedSquawk, ClearedContact}

// ClearedNow is the last of its kind that was written down.
type ClearedNow struct {
	Kind      string    `json:"kind"` // atis, clearance, squawk or contact
	At        time.Time `json:"at"`
	Text      string    `json:"text"`                // free
	Squawk    string    `json:"squawk,omitempty"`    // four octal digits
	Frequency *float64  `json:"frequency,omitempty"` // MHz
	Line      string    `json:"line"`                // all that in words
}

// The band of voice communication, in MHz: ICAO Annex 10 Volume V, 4.1.
const lowestMHz, highestMHz = 118.0, 136.99

// clearedGiven reports whether there is what a kind is about.
func clearedGiven(e Event) bool {
	switch e.Kind {
	case ClearedSquawk:
		return e.Squawk != ""
	case ClearedContact:
		return e.Frequency != nil || e.Text != ""
	}
	return e.Kind != "" && e.Text != ""
}

// checkCleared refuses a kind that there is none of, a code that no transponder can be set to and a frequency between channels.
func checkCleared(_ *State, e Event) error {
	if !slices.Contains(ClearedKinds, e.Kind) {
		return refuse("it is "+strings.Join(ClearedKinds, ", "), "there is no kind %q", e.Kind)
	}
	if e.Squawk != "" && (len(e.Squawk) != 4 || strings.Trim(e.Squawk, "01234567") != "") {
		return refuse("four digits from 0 to 7", "a transponder has no code %q", e.Squawk)
	}
	if e.Frequency != nil {
		if channel := nearestChannel(*e.Frequency); math.Abs(channel-*e.Frequency) > 1e-6 {
			return refuse(fmt.Sprintf("the nearest channel is %.3f", channel), "%.3f lies between channels", *e.Frequency)
		}
	}
	return nil
}

// nearestChannel is the name of the channel nearest to a frequency in MHz. Names of channels 25 kHz apart end in 00, 25, 50 and 75, those
// 8.33 kHz apart in 05, 10, 15 and so on from each of these: ICAO Annex 10 Volume V, table 4-1 (bis).
func nearestChannel(frequencyMHz float64) float64 {
	const step, names, group = 5, 4, 25 // kHz, to a group, kHz
	kHz := frequencyMHz * 1000
	start := math.Floor(kHz/group) * group
	const hair = 1e-6
	nearest := start + group // of two the upper one: it is the last digit that is left out when a channel is said
	for i := names - 1; i >= 0; i-- {
		if name := start + float64(i*step); math.Abs(name-kHz) < math.Abs(nearest-kHz)-hair {
			nearest = name
		}
	}
	return nearest / 1000
}

// doubtCleared asks after codes that call for help: ICAO Doc 8168 Volume III, part III, section 3.
func doubtCleared(_ *State, e Event) error {
	if means, special := map[string]string{"7500": "unlawful interference", "7600": "radio failure", "7700": "an emergency"}[e.Squawk]; special {
		return doubt("%s is the code for %s", e.Squawk, means)
	}
	return nil
}

func describeCleared(e Event) string {
	words := []string{e.Kind}
	switch e.Kind {
	case ClearedATIS:
		words[0] = "ATIS"
	case ClearedClearance:
		if words[0] = "cleared"; strings.HasPrefix(strings.ToLower(e.Text), "cleared ") { // as it was said
			words = nil
		}
	}
	if e.Squawk != "" {
		words = append(words, e.Squawk)
	}
	if e.Frequency != nil {
		words = append(words, say.Voice(*e.Frequency))
	}
	words = append(words, e.Text)
	return strings.Join(slices.DeleteFunc(words, func(word string) bool { return word == "" }), " ")
}

// foldCleared keeps the last of each kind.
func (f *flown) foldCleared(e Event) bool {
	told := ClearedNow{Kind: e.Kind, At: e.T, Text: e.Text, Squawk: e.Squawk, Frequency: e.Frequency, Line: describeCleared(e)}
	f.told.cleared = withLast(f.told.cleared, told, ClearedKinds, func(c ClearedNow) string { return c.Kind })
	f.told.altimeterSet = f.told.altimeterSet && e.Kind != ClearedATIS
	return true
}

// withLast is a list of the last of each kind, in an order of kinds, with one in place of the last of its own.
func withLast[T any](before []T, one T, order []string, kindOf func(T) string) []T {
	last := make([]T, 0, len(before)+1)
	for _, kind := range order {
		if kind == kindOf(one) {
			last = append(last, one)
		} else if i := slices.IndexFunc(before, func(b T) bool { return kindOf(b) == kind }); i >= 0 {
			last = append(last, before[i])
		}
	}
	return last
}

// promptContacts asks for the stations to talk to, each where the plan has it: at the start, at a point or so many miles before it.
func (f *fold) promptContacts() {
	if !f.landed.IsZero() {
		return
	}
	for i := range f.sheet.Contacts {
		contact := &f.sheet.Contacts[i]
		due, at, ok := f.contactDue(contact)
		if !ok {
			continue
		}
		f.add(pending{task: f.contacts[i], due: due, at: at, passing: at != nil && contact.At != "" && contact.BeforeNM == nil})
	}
}

// contactPrompt begins the ids of the prompts for stations to talk to.
const contactPrompt = "contact-"

// contactDue is when a station is to be called, and the place ahead that this moves with.
func (f *fold) contactDue(contact *sheet.Contact) (due time.Time, at *place, ok bool) {
	if contact.At == "" {
		due, at = f.leaveBlocks()
		return due, at, true
	}
	if passed, ok := f.prompts.passedAt.Find(contact.At); ok {
		return passed, nil, true
	}
	to, due, ok := f.nameAhead(contact.At)
	if !ok || contact.BeforeNM == nil {
		return due, &to, ok
	}
	from := f.placeBefore(to, *contact.BeforeNM)
	if due, ok := f.outlook.eta(from); ok {
		return due, &from, true
	}
	due = f.legs[f.leg].started // it lies behind: it was due when the leg began, or at the start
	if due.IsZero() {
		due = f.anchor.at
	}
	return due, nil, true
}

// answersContact reports whether a station that was written down is the one that a prompt asks to call.
func answersContact(e *Event, prompt *task) bool {
	if prompt.Kind != PromptContact || e.Kind != ClearedContact {
		return false
	}
	const sameMHz = 1e-6
	byFrequency := e.Frequency != nil && math.Abs(*e.Frequency-prompt.Answer.Contact.FrequencyMHz) < sameMHz
	return byFrequency || e.Frequency == nil && strings.EqualFold(e.Text, prompt.Answer.Contact.Name)
}

// promptBroadcastQNH offers the altimeter setting of the last ATIS, if it is another than the one that is set and none was set after it: the later
// information wins.
func (f *fold) promptBroadcastQNH() {
	if !f.landed.IsZero() || f.told.altimeterSet {
		return
	}
	for _, broadcast := range f.told.cleared {
		hPa, inches, ok := broadcastQNH(broadcast.Text)
		if broadcast.Kind != ClearedATIS || !ok || say.QNH(hPa, inches) == say.QNH(f.forecast.QNH, inches) {
			continue
		}
		f.add(pending{due: broadcast.At, task: newTask(task{
			ID: broadcastPrompt + broadcast.At.UTC().Format("150405"), Kind: PromptQNH, Text: "set QNH " + say.QNH(hPa, inches),
			Detail: []string{"by the ATIS of " + say.Time(broadcast.At), say.QNH(f.forecast.QNH, inches || f.inches) + " is set"},
			Answer: Answer{Act: Altimeter, QNH: &hPa, Inches: inches},
		})})
	}
}

// broadcastPrompt begins the ids of the prompts for the altimeter setting of an ATIS.
const broadcastPrompt = "altimeter-ATIS "

var (
	qnhSaid    = pattern.Of(`(?i)\b(?:qnh|q)\s*([01]?\d{3})\b`)
	inchesSaid = pattern.Of(`(?i)\b(?:qnh|altimeter|a)\s*(\d{2})\.?(\d{2})\b`)
)

// broadcastQNH finds an altimeter setting in what a recorded broadcast said: "QNH 1019", "Q1019", "altimeter 29.92", "A2992". In hPa, one in inches
// of mercury to a tenth.
func broadcastQNH(text string) (hPa float64, inches, ok bool) {
	possible := RangeOf("qnh")
	if said := qnhSaid().FindStringSubmatch(text); said != nil {
		hPa, _ = strconv.ParseFloat(said[1], 64) // digits alone
		if possible.refuse(hPa) == nil {
			return hPa, false, true
		}
	}
	if said := inchesSaid().FindStringSubmatch(text); said != nil {
		inHg, _ := strconv.ParseFloat(said[1]+"."+said[2], 64) // digits alone
		if hPa = math.Round(10*air.QNHFromInHg(inHg)) / 10; possible.refuse(hPa) == nil {
			return hPa, true, true
		}
	}
	return 0, false, false
}

// qnh is the altimeter setting in use, as the pilot sets it.
func (f *fold) qnh() string { return say.QNH(f.forecast.QNH, f.inches) }

func describeAltimeter(e Event) string {
	if e.QNH == nil || e.Inches {
		return "QNH " + say.Or(e.QNH, func(hPa float64) string { return say.QNH(hPa, true) })
	}
	return "QNH " + number(e.QNH, "%g")
}
