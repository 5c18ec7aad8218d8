package earth

import (
	"math"

	"example.com/legclock/internal/angle"
)

// sunPlace is a place from which the sun is seen.
type sunPlace struct {
	longitude float64
	meanTime  float64 // local mean time less universal time, days
	up        earthVector
}

func newSunPlace(p Position) sunPlace {
	latitude, longitude := unitDegrees(p.Lat), unitDegrees(p.Lon)
	return sunPlace{
		longitude: p.Lon,
		meanTime:  p.Lon / 360,
		up:        earthVector{latitude.cos * longitude.cos, latitude.cos * longitude.sin, latitude.sin},
	}
}

func (s sunPlace) sinAltitude(days float64) float64 {
	sun := sunDirection(days)
	return s.up.prime*sun.prime + s.up.east*sun.east + s.up.pole*sun.pole
}

// whenHourAngle is the moment, near another, at which the sun has a local hour angle in degrees.
func (s sunPlace) whenHourAngle(hourAngle, near float64) float64 {
	const rounds = 3
	for range rounds {
		sun := sunDirection(near)
		now := s.longitude - angle.Direction(sun.prime, sun.east)
		near += angle.Turn(now, hourAngle) / 360
	}
	return near
}

// sunSample is the sine of the sun's altitude at a moment of a solar day.
type sunSample struct{ days, sinAltitude float64 }

// day returns the solar day of a number: the epoch being a noon, local mean noons have whole numbers of days.
//
// The altitude is sampled about every hour, with the transit and both midnights among the samples; an event lies between the
// two samples that it parts. That way the day needs no special cases near the poles.
func (s sunPlace) day(number float64) SunDay {
	const perHalfDay = 12
	begins := s.whenHourAngle(180, number-0.5-s.meanTime)
	transit := s.whenHourAngle(0, number-s.meanTime)
	ends := s.whenHourAngle(180, number+0.5-s.meanTime)

	var samples [2*perHalfDay + 1]sunSample
	for i := range samples {
		days := begins + (transit-begins)*float64(i)/perHalfDay
		if i >= perHalfDay {
			days = transit + (ends-transit)*float64(i-perHalfDay)/perHalfDay
		}
		samples[i] = sunSample{days, s.sinAltitude(days)}
	}
	altitude := func(sample int) float64 { return angle.Degrees(math.Asin(samples[sample].sinAltitude)) }
	return SunDay{
		Begins: atDays(begins), Ends: atDays(ends),
		CivilDawn:        s.rising(samples[:], angle.Sin(civilTwilightAltitude)),
		Sunrise:          s.rising(samples[:], angle.Sin(sunriseAltitude)),
		Transit:          SunEvent{At: atDays(transit), Occurs: true},
		Sunset:           s.setting(samples[:], angle.Sin(sunriseAltitude)),
		CivilDusk:        s.setting(samples[:], angle.Sin(civilTwilightAltitude)),
		NoonAltitude:     altitude(perHalfDay),
		MidnightAltitude: altitude(len(samples) - 1),
	}
}

// rising is the first time that the sun climbs to an altitude.
func (s sunPlace) rising(samples []sunSample, sinAltitude float64) SunEvent {
	for i := 1; i < len(samples); i++ {
		if samples[i-1].sinAltitude < sinAltitude && samples[i].sinAltitude >= sinAltitude {
			return s.crossing(samples[i-1].days, samples[i].days, sinAltitude)
		}
	}
	return SunEvent{StaysAbove: samples[0].sinAltitude >= sinAltitude}
}

// setting is the last time that the sun sinks below an altitude.
func (s sunPlace) setting(samples []sunSample, sinAltitude float64) SunEvent {
	for i := len(samples) - 1; i > 0; i-- {
		if samples[i-1].sinAltitude >= sinAltitude && samples[i].sinAltitude < sinAltitude {
			return s.crossing(samples[i].days, samples[i-1].days, sinAltitude)
		}
	}
	return SunEvent{StaysAbove: samples[len(samples)-1].sinAltitude >= sinAltitude}
}

// crossing halves the time between a moment below an altitude and one above it, down to a fraction of a second.
func (s sunPlace) crossing(below, above, sinAltitude float64) SunEvent {
	const accuracy = 0.1 / 86400
	for math.Abs(above-below) > accuracy {
		middle := (below + above) / 2
		if s.sinAltitude(middle) < sinAltitude {
			below = middle
		} else {
			above = middle
		}
	}
	return SunEvent{At: atDays(above), Occurs: true}
}
