package feed

import (
	"time"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/earth"
)

// Message is what one NMEA 0183 sentence says; a nil figure was not given.
type Message struct {
	Talker, Type string
	Known        bool // one of the sentences that are read here
	Lost         bool // the receiver itself says that it has no position

	TimeOfDay       *time.Duration // since midnight, UTC
	Date            *time.Time     // its midnight, UTC
	At              *earth.Position
	AltitudeFt      *float64 // above sea level
	GroundspeedKt   *float64
	TrackTrue       *float64
	TrackMagnetic   *float64
	HeadingSensor   *float64 // what a compass reads, before its deviation
	HeadingMagnetic *float64
	HeadingTrue     *float64
	Deviation       *float64 // east positive
	Variation       *float64 // east positive
}

// The bounds of figures: beyond them a sentence is wrong, whatever its checksum says.
const (
	fastestKt   = 2000
	lowestM     = -1000
	highestM    = 100000
	variationTo = 180
)

// decoders read the sentences that matter to a hand-flown aircraft.
var decoders = map[string]func(*fields, *Message){
	"RMC": decodeRMC,
	"GGA": decodeGGA,
	"GLL": decodeGLL,
	"VTG": decodeVTG,
	"ZDA": decodeZDA,
	"HDT": decodeHDT,
	"HDG": decodeHDG,
}

// ParseMessage reads one line of NMEA 0183. A sentence of another kind is no error: its Message is not Known.
func ParseMessage(line string) (Message, error) {
	sentence, err := ParseSentence(line)
	if err != nil {
		return Message{}, err
	}
	message := Message{Talker: sentence.Talker, Type: sentence.Type}
	decode, known := decoders[sentence.Type]
	if !known || sentence.Talker == "" {
		return message, nil
	}
	message.Known = true
	list := fields{list: sentence.Fields}
	decode(&list, &message)
	return message, list.err
}

// The modes of a receiver: autonomous, differential, precise, real time kinematic (fixed and float), manual and simulated positions
// count; estimated ones and none do not. By status, a simulated position is a warning, but a simulator has no other.
const (
	modes       = "ADEFMNPRS"
	modesUsable = "ADFMPRS"
)

// lost judges a receiver's status and mode letters.
func lost(status, mode byte) bool {
	if mode == 'S' {
		return false
	}
	usable := mode == 0
	for i := range len(modesUsable) {
		usable = usable || mode == modesUsable[i]
	}
	return status != 'A' || !usable
}

// decodeRMC: time, status, latitude, N/S, longitude, E/W, groundspeed, track, date, variation, E/W, mode, navigational status.
func decodeRMC(f *fields, m *Message) {
	m.TimeOfDay, m.Date = f.timeOfDay(0), f.date(8)
	m.Variation = f.signed(9, variationTo, "EW")
	if m.Lost = lost(f.letter(1, "AV"), f.letter(11, modes)); m.Lost {
		return
	}
	m.At = f.position(2)
	m.GroundspeedKt, m.TrackTrue = f.number(6, 0, fastestKt), f.direction(7)
}

// The qualities of a GGA that are no position: none, and estimated.
const (
	qualityNone      = 0
	qualityEstimated = 6
)

// decodeGGA: time, latitude, N/S, longitude, E/W, quality, satellites, dilution, altitude above the geoid, M, …
func decodeGGA(f *fields, m *Message) {
	m.TimeOfDay = f.timeOfDay(0)
	quality := f.number(5, 0, 9)
	if m.Lost = quality == nil || *quality == qualityNone || *quality == qualityEstimated; m.Lost {
		return
	}
	m.At = f.position(1)
	if altitudeM := f.number(8, lowestM, highestM); altitudeM != nil && f.letter(9, "M") == 'M' {
		altitudeFt := *altitudeM / air.MetresPerFoot
		m.AltitudeFt = &altitudeFt
	}
}

// decodeGLL: latitude, N/S, longitude, E/W, time, status, mode.
func decodeGLL(f *fields, m *Message) {
	m.TimeOfDay = f.timeOfDay(4)
	if m.Lost = lost(f.letter(5, "AV"), f.letter(6, modes)); !m.Lost {
		m.At = f.position(0)
	}
}

// decodeVTG: true track, T, magnetic track, M, knots, N, km/h, K, mode.
func decodeVTG(f *fields, m *Message) {
	if mode := f.letter(8, modes); mode != 0 && lost('A', mode) {
		return // it says nothing of a position, so none is lost
	}
	m.TrackTrue, m.TrackMagnetic = f.direction(0), f.direction(2)
	m.GroundspeedKt = f.number(4, 0, fastestKt)
	if kmh := f.number(6, 0, 2*fastestKt); m.GroundspeedKt == nil && kmh != nil {
		knots := *kmh * 1000 / air.MetresPerNM
		m.GroundspeedKt = &knots
	}
}

// decodeZDA: time, day, month, year, zone.
func decodeZDA(f *fields, m *Message) {
	m.TimeOfDay = f.timeOfDay(0)
	day, month, year := f.number(1, 1, 31), f.number(2, 1, 12), f.number(3, 1980, 9999)
	if day != nil && month != nil && year != nil {
		m.Date = f.day(1, int(*year), int(*month), int(*day))
	}
}

// decodeHDT: true heading, T.
func decodeHDT(f *fields, m *Message) { m.HeadingTrue = f.direction(0) }

// decodeHDG: sensor heading, deviation, E/W, variation, E/W. Both are added when they are east; a deviation that is left out is 0.
func decodeHDG(f *fields, m *Message) {
	m.HeadingSensor = f.direction(0)
	m.Deviation, m.Variation = f.signed(1, variationTo, "EW"), f.signed(3, variationTo, "EW")
	if m.HeadingSensor == nil {
		return
	}
	magnetic := *m.HeadingSensor
	if m.Deviation != nil {
		magnetic = angle.Wrap360(magnetic + *m.Deviation)
	}
	m.HeadingMagnetic = &magnetic
	if m.Variation != nil {
		headingTrue := deadreckon.TrueFromMagnetic(magnetic, *m.Variation)
		m.HeadingTrue = &headingTrue
	}
}
