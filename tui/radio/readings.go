package radio

import (
	"math"
	"strings"

	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/radio"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/theme"
)

// piece is a label with its value.
type piece struct {
	label, value string
	role         theme.Role
}

// course is what to select and what the receiver should answer, without its needle.
func (d *drawing) course(b flight.BeaconNow) []piece {
	var pieces []piece
	if b.Course != nil {
		pieces = append(pieces, piece{flight.CourseWord(b.Held), say.Degrees(*b.Course), d.theme.Value})
	}
	if b.Sense != nil {
		role := d.theme.Value
		if *b.Sense == radio.Off {
			role = d.theme.Caution
		}
		pieces = append(pieces, piece{"flag", b.Sense.String(), role})
	}
	if b.Radial != nil {
		pieces = append(pieces, piece{"radial", say.Degrees(*b.Radial), d.theme.Estimate})
	}
	if b.DME != nil {
		pieces = append(pieces, piece{"DME", say.Tenth(*b.DME), d.theme.Estimate})
	}
	if b.QDM != nil {
		pieces = append(pieces, piece{"QDM", say.Degrees(*b.QDM), d.theme.Estimate})
	}
	return pieces
}

// overhead is when the beacon is reached; nil where it isn't.
func (d *drawing) overhead(b flight.BeaconNow) []piece {
	if b.OverdueSeconds != nil {
		return []piece{{"overhead overdue by", say.Span(*b.OverdueSeconds), d.theme.Value}}
	}
	if b.OverheadSeconds == nil {
		return nil
	}
	return []piece{{"overhead in", say.Span(*b.OverheadSeconds), d.theme.Value}}
}

// needleText is where a needle stands, in words; empty where there is no needle.
func needleText(b flight.BeaconNow) string {
	switch {
	case b.Relative != nil:
		return "relative " + say.Degrees(*b.Relative) + ", " + besideNose(angle.Wrap180(*b.Relative))
	case b.NeedleDeg != nil && (b.Sense == nil || *b.Sense != radio.Off):
		return "needle " + needleWord(*b.NeedleDeg)
	default:
		return ""
	}
}

// needle draws what needleText says: a beam whose middle is the course or, of an ADF, the nose, with the tail at both ends.
func (d *drawing) needle(b flight.BeaconNow, width int) string {
	value := 0.0
	if b.Relative != nil {
		value = angle.Wrap180(*b.Relative) / 180
	} else if b.NeedleDeg != nil {
		value = *b.NeedleDeg / radio.FullScaleDeg
	}
	return frame.Beam(width, value, d.theme.Glyphs(), d.theme.Frame, d.theme.Headline)
}

// needleWord says where a needle stands: "centred", "2 left", "full right".
func needleWord(degrees float64) string {
	switch {
	case math.Abs(degrees) >= radio.FullScaleDeg:
		return "full " + strings.TrimLeft(say.Side(degrees, 0), "0123456789 ")
	case math.Abs(degrees) < 0.5:
		return "centred"
	default:
		return say.Side(degrees, 0)
	}
}

// besideNose says how far from the nose a bearing is, left negative.
func besideNose(degrees float64) string {
	switch {
	case math.Abs(degrees) < 0.5:
		return "on the nose"
	case math.Abs(degrees) >= 179.5:
		return "on the tail"
	default:
		return say.Side(degrees, 0) + " of the nose"
	}
}

// spelled sets each letter of an ident beside its Morse: "K -.-  V ...-".
func spelled(ident, morse string) string {
	letters, codes := []rune(frame.Clean(ident)), strings.Fields(frame.Clean(morse))
	if len(letters) != len(codes) {
		return strings.Join(codes, "  ")
	}
	parts := make([]string, len(codes))
	for i, code := range codes {
		parts[i] = string(letters[i]) + " " + code
	}
	return strings.Join(parts, "  ")
}

// rhythm draws Morse as it sounds, a dash three times as long as a dot, in a row of its own under the letters.
func (d *drawing) rhythm(ident, morse string) (letters, marks string) {
	names, codes := []rune(frame.Clean(ident)), strings.Fields(frame.Clean(morse))
	full := d.theme.Glyphs().Full
	var above, below strings.Builder
	for i, code := range codes {
		var signs []string
		for _, sign := range code {
			if sign == '-' {
				signs = append(signs, strings.Repeat(full, 3))
			} else {
				signs = append(signs, full)
			}
		}
		sound := strings.Join(signs, " ")
		name := ""
		if len(names) == len(codes) {
			name = string(names[i])
		}
		above.WriteString(frame.Fit(name, frame.Width(sound)) + "   ")
		below.WriteString(sound + "   ")
	}
	return above.String(), below.String()
}

// identity says whether a beacon was identified.
func (d *drawing) identity(r flight.ReceiverNow) (string, theme.Role) {
	switch {
	case r.Tuned == nil:
		return "off", d.theme.Muted
	case r.Identified:
		return "identified", d.theme.Good
	default:
		return "NOT IDENTIFIED", d.theme.Due
	}
}

// reach says whether a beacon can be received here.
func (d *drawing) reach(b flight.BeaconNow) (string, theme.Role) {
	if b.InRange {
		return "in range", d.theme.Good
	}
	return "OUT OF RANGE", d.theme.Warning
}

// station is a beacon's ident, name and frequency.
func station(beacon, name string, frequency float64) string {
	return say.Named(frame.Clean(beacon), frame.Clean(name)) + " " + say.Frequency(frequency)
}
