package flight

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"example.com/legclock/internal/say"
)

// AheadKind says what an item of what lies ahead is.
type AheadKind string

// The kinds of item.
const (
	AheadPoint      AheadKind = "point" // the departure and the ends of legs
	AheadCheckpoint AheadKind = "checkpoint"
	AheadCritical   AheadKind = "critical" // from where it is as long back as on, and too far back
	AheadPrompt     AheadKind = "prompt"
)

// AheadItem is one item of what lies ahead: a place or something to do.
type AheadItem struct {
	Kind AheadKind `json:"kind"`
	At   time.Time `json:"at"`
	Text string    `json:"text"` // "LKM Larkmere"; of what is to be done over the place above it without that place: "turn right onto 120"
	With bool      `json:"with"` // it is to be done over the place above it, at that moment

	Place  *RoutePoint `json:"-"` // of a point or a checkpoint
	Prompt *Prompt     `json:"-"` // of a prompt
}

// ListAhead puts the places that a flight has yet to pass and what it has yet to do into one list, the soonest first. What is to be done as a
// place is passed stands below that place.
func ListAhead(s *Snapshot) []AheadItem {
	const together = 1500 * time.Millisecond // both times are of whole seconds
	list := make([]AheadItem, 0, len(s.Route)+len(s.Prompts)+2)
	for i := range s.Route {
		if p := &s.Route[i]; p.Actual == nil && p.Revised != nil && !p.Diverted && s.Phase != Arrived {
			kind := AheadPoint
			if p.Checkpoint {
				kind = AheadCheckpoint
			}
			list = append(list, AheadItem{Kind: kind, At: *p.Revised, Text: say.Named(p.Point, p.Name), Place: p})
		}
	}
	for point, name := range map[*CriticalPoint]string{s.Critical.EqualTime: "PET", s.Critical.NoReturn: "PNR"} {
		if point != nil {
			list = append(list, AheadItem{Kind: AheadCritical, At: point.ETA, Text: name})
		}
	}
	slices.SortStableFunc(list, func(a, b AheadItem) int { return cmp.Or(a.At.Compare(b.At), cmp.Compare(a.Text, b.Text)) })
	places := len(list)
	for i := range s.Prompts {
		p := &s.Prompts[i]
		if !p.Open() {
			continue
		}
		item := AheadItem{Kind: AheadPrompt, At: p.Due, Text: p.Text, Prompt: p}
		for _, place := range list[:places] {
			if place.Place != nil && (p.Due.Sub(place.At).Abs() < together || p.over != nil && *p.over == place.Place.place()) && !p.Snoozed {
				item.At, item.With = place.At, true
				over := "over " + place.Place.Point
				item.Text = strings.Replace(strings.TrimPrefix(p.Text, over+" "), " "+over, "", 1)
				break
			}
		}
		list = append(list, item)
	}
	slices.SortStableFunc(list, func(a, b AheadItem) int { return a.At.Compare(b.At) }) // places were first, and so stay above what is with them
	return list
}

// NumberKind says what a prompt's number is.
type NumberKind string

// The kinds of number.
const (
	NumberHeading     NumberKind = "heading" // magnetic, to turn onto
	NumberCourse      NumberKind = "course"
	NumberFrequency   NumberKind = "frequency"    // MHz, of an NDB kHz
	NumberAltitude    NumberKind = "altitude"     // ft
	NumberFlightLevel NumberKind = "flight level" // hundreds of feet
)

// PromptNumber is the one number of what a prompt asks for.
type PromptNumber struct {
	Kind  NumberKind `json:"kind"`
	Value float64    `json:"value"`
}

// String is the number as the prompt's text has it.
func (n PromptNumber) String() string {
	switch n.Kind {
	case NumberFrequency:
		return say.Frequency(n.Value)
	case NumberAltitude:
		return say.Whole(n.Value)
	case NumberFlightLevel:
		return fmt.Sprintf("%03.0f", n.Value)
	}
	return say.Degrees(n.Value)
}

// Pressing is what is late or over a limit.
type Pressing struct {
	Late *time.Duration `json:"-"`    // by how much it is late; nil: it is over a limit
	Text string         `json:"text"` // "turn right over LKM onto 120"

	Wording Wording `json:"-"` // the same, of what is late
}

// ListPressing is what is late or over a limit, the worst first: what the notices alarm of, then the prompts that are late in their order.
func ListPressing(s *Snapshot) []Pressing {
	var list []Pressing
	late := func(p *Prompt) { list = append(list, Pressing{new(say.Apart(p.Due, s.At)), p.Text, p.Wording()}) }
	var said []string
	for _, notice := range s.Notices {
		if notice.Severity != Alarm {
			continue
		}
		if i := slices.IndexFunc(s.Prompts, func(p Prompt) bool { return notice.Prompt != "" && p.ID == notice.Prompt }); i >= 0 {
			late(&s.Prompts[i])
			said = append(said, notice.Prompt)
			continue
		}
		list = append(list, Pressing{Text: notice.Text})
	}
	for i := range s.Prompts {
		if p := &s.Prompts[i]; p.State == Late && !slices.Contains(said, p.ID) {
			late(p)
		}
	}
	return list
}
