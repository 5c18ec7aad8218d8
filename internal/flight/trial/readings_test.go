package trial_test

import (
	"math"
	"math/rand/v2"
	"time"

	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/sheet"
)

// readings are what the pilot of a flight reads off the beacons: every placeEvery minutes, where the leg goes straight on, the distance and
// the radial of the nearest VOR with DME.
func readings(s *sheet.Sheet, e errors, truth flown, slopes linear, random *rand.Rand) []entry {
	const clearNM = 2 // of turns and of the beacon
	var entries []entry
	for i, at := range truth.places {
		if at.value < clearNM || at.value > s.Legs[at.leg].DistanceNM-clearNM {
			continue
		}
		station, index := nearestStation(s, at)
		if station == nil || earth.Inverse(station.At, placeOf(s, at)).DistanceNM < clearNM {
			continue
		}
		radialLot := perLegLots + lotsPerLeg*len(s.Legs) + index
		dme := func(f flown) float64 { return slantNM(s, station, f.place(at)) }
		radial := func(f flown) float64 {
			bearing := earth.Inverse(station.At, placeOf(s, f.place(at))).AzimuthStart
			return at.unwrapped(bearing, s, station) + e.radialDeg*f.lots[radialLot]
		}
		readDME := math.Round(10*(dme(truth)+e.dmeNM*random.NormFloat64())) / 10
		readRadial := radial(truth) + e.readingDeg*random.NormFloat64()
		magnetic := angle.Wrap360(math.Round(deadreckon.MagneticFromTrue(readRadial, *station.Declination)))
		t := s.Airborne.Add(time.Duration(at.minutes * float64(time.Minute)))
		radialSlope := slopes.reading(i, func(place logged) float64 {
			return at.unwrapped(earth.Inverse(station.At, placeOf(s, place)).AzimuthStart, s, station)
		}, at)
		radialSlope[radialLot] += e.radialDeg
		entries = append(entries,
			entry{
				event: flight.Event{T: t, Act: flight.Fix, Beacon: station.Ident, DME: &readDME, Radial: &magnetic}, spot: -1,
				value: readDME, of: dme, slope: slopes.reading(i, func(place logged) float64 { return slantNM(s, station, place) }, at), sigma: e.dmeNM,
			},
			entry{event: flight.Event{T: t}, spot: -1, value: readRadial, of: radial, slope: radialSlope, sigma: e.readingDeg})
	}
	return entries
}

// place is where a flight is at the minute of another's place, if that is on the same leg; else that other place.
func (f flown) place(like logged) logged {
	if at, ok := find(f.places, like); ok {
		return at
	}
	return like
}

// unwrapped is a bearing next to that of the place, so that it does not jump at north.
func (at logged) unwrapped(bearing float64, s *sheet.Sheet, station *plan.Point) float64 {
	here := earth.Inverse(station.At, placeOf(s, at)).AzimuthStart
	return here + angle.Turn(here, bearing)
}

func placeOf(s *sheet.Sheet, at logged) earth.Position {
	on, azimuth := s.Legs[at.leg].Line.At(at.value)
	place, _ := earth.Direct(on, azimuth+90, at.across)
	return place
}

func slantNM(s *sheet.Sheet, station *plan.Point, at logged) float64 {
	const feetInNM = 1852 / 0.3048
	return math.Hypot(earth.Inverse(station.At, placeOf(s, at)).DistanceNM, (at.height-station.ElevationFt)/feetInNM)
}

// nearestStation is the nearest VOR with DME, and which of those of the plan it is.
func nearestStation(s *sheet.Sheet, at logged) (station *plan.Point, index int) {
	nearest, k := math.Inf(1), 0
	for i := range s.Plan.Points {
		point := &s.Plan.Points[i]
		if point.Kind != plan.VORDME || k == stationLots {
			continue
		}
		if distance := earth.Inverse(point.At, placeOf(s, at)).DistanceNM; distance < nearest {
			nearest, station, index = distance, point, k
		}
		k++
	}
	return station, index
}

// reading is how a reading at a place depends on the lots: by how the place along and beside the leg does.
func (l linear) reading(i int, of func(logged) float64, at logged) []float64 {
	const step = 0.05
	ahead, beside := at, at
	ahead.value += step
	beside.across += step
	now := of(at)
	perAlong, perAcross := (of(ahead)-now)/step, (of(beside)-now)/step
	slope := make([]float64, len(l.places[i]))
	for k := range slope {
		slope[k] = perAlong*l.places[i][k] + perAcross*l.across[i][k]
	}
	return slope
}
