package flight

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"
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
		words[0] = "cleared"
	}
	if e.Squawk != "" {
		words = append(words, e.Squawk)
	}
	words = append(words, number(e.Frequency, "%.3f"), e.Text)
	return strings.Join(slices.DeleteFunc(words, func(word string) bool { return word == "" }), " ")
}

// foldCleared keeps the last of each kind.
func (p *progress) foldCleared(e Event) bool {
	kept := make([]ClearedNow, 0, len(ClearedKinds))
	for _, kind := range ClearedKinds {
		if kind == e.Kind {
			kept = append(kept, ClearedNow{Kind: kind, At: e.T, Text: e.Text, Squawk: e.Squawk, Frequency: e.Frequency, Line: describeCleared(e)})
			continue
		}
		if i := slices.IndexFunc(p.cleared, func(before ClearedNow) bool { return before.Kind == kind }); i >= 0 {
			kept = append(kept, p.cleared[i])
		}
	}
	p.cleared = kept
	return true
}
