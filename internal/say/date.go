package say

import (
	"strings"
	"time"
)

// Date is a calendar day, or a moment.
type Date struct {
	At     time.Time // UTC; of a day, its midnight
	Moment bool
}

// ParseDate reads a day, "2026-06-21", or a moment in RFC 3339, "2026-06-21T18:30:00Z".
func ParseDate(text string) (Date, error) {
	const right = "write 2026-06-21 or 2026-06-21T18:30:00Z"
	text = strings.TrimSpace(text)
	if day, err := time.Parse(time.DateOnly, text); err == nil {
		return Date{At: day}, nil
	}
	moment, err := time.Parse(time.RFC3339, strings.ToUpper(text))
	if err != nil {
		return Date{}, misread(text, right, "is no date")
	}
	return Date{At: moment.UTC(), Moment: true}, nil
}

// String is the date as ParseDate reads it.
func (d Date) String() string {
	if d.Moment {
		return d.At.Format(time.RFC3339)
	}
	return d.At.Format(time.DateOnly)
}
