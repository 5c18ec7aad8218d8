package trial_test

import (
	"math"
)

// errors are what a flight is drawn with, each one standard error.
type errors struct {
	windKt         float64 // of the forecast, each component, at every moment and level
	wanderKt       float64 // by how much a component of that moves in the first hour at one level
	levelScaleFt   float64 // over this difference of level its correlation falls to 1/e
	tasKt          float64 // of the aircraft's table
	slowKt         float64 // by how much every flight's true airspeed is below the table besides
	levelChange    float64 // of the rates of climb and descent, as a share
	takeOffMinutes float64 // from the logged take-off to overhead and on track
	speedKt        float64 // of the airspeed held, independent from one five minutes to the next
	gyroDeg        float64 // of the heading indicator, independent from leg to leg
	sightNM        float64 // of the distance off track as the pilot sees it, independent from leg to leg
	timingMinutes  float64 // of a passing as it is logged
	readingDeg     float64 // of a heading or a radial as it is read
	dmeNM          float64 // of a DME reading
	radialDeg      float64 // of a station's radials, the same for all of them
	fixes          bool    // radials and DME distances are logged too
}

// usual are the errors of the main table: the forecast's is that of the plans, 8 kt; the others are common practice, no source.
var usual = errors{
	windKt: 8, wanderKt: 4, levelScaleFt: 10000, tasKt: 2, levelChange: 0.05, takeOffMinutes: 0.5, speedKt: 1.4, gyroDeg: 2.5,
	sightNM: 0.3, timingMinutes: 5. / 60, readingDeg: 1, dmeNM: 0.2, radialDeg: 2,
}

// Where the wind field has its knots; between them it goes linearly.
const (
	knotMinutes = 10.
	timeKnots   = 15
	knotFt      = 2000.
	levelKnots  = 4
	speedBlock  = 5. // minutes
	speedBlocks = 28
)

// lots are independent standard normal numbers, all that chance decides of a flight: the same lots give the same flight.
type lots []float64

// Where in the lots each thing begins. From perLeg on there are two for each leg: the gyro's error and the eye's.
const (
	northLots   = 0
	eastLots    = northLots + timeKnots*levelKnots
	tasLot      = eastLots + timeKnots*levelKnots
	climbLot    = tasLot + 1
	descentLot  = climbLot + 1
	takeOffLot  = descentLot + 1
	speedLots   = takeOffLot + 1
	perLegLots  = speedLots + speedBlocks
	lotsPerLeg  = 2
	stationLots = 4
)

// field is one component of the wind less the forecast's: a Gauss-Markov process in time and in level, whose variance is the same
// everywhere.
type field [timeKnots][levelKnots]float64

func (e errors) field(drawn lots) *field {
	var f field
	hours := 2 * e.windKt * e.windKt / (e.wanderKt * e.wanderKt)
	overTime := math.Exp(-knotMinutes / 60 / hours)
	overLevel := math.Exp(-knotFt / e.levelScaleFt)
	for i := range timeKnots {
		var shock [levelKnots]float64
		for k := range levelKnots {
			shock[k] = drawn[i*levelKnots+k]
			if k > 0 {
				shock[k] = overLevel*shock[k-1] + math.Sqrt(1-overLevel*overLevel)*shock[k]
			}
			if i == 0 {
				f[0][k] = e.windKt * shock[k]
				continue
			}
			f[i][k] = overTime*f[i-1][k] + e.windKt*math.Sqrt(1-overTime*overTime)*shock[k]
		}
	}
	return &f
}

// at is the component at a time and level.
func (f *field) at(minutes, altitudeFt float64) float64 {
	i, across := split(minutes/knotMinutes, timeKnots)
	k, up := split(altitudeFt/knotFt, levelKnots)
	now := f[i][k] + up*(f[i][k+1]-f[i][k])
	then := f[i+1][k] + up*(f[i+1][k+1]-f[i+1][k])
	return now + across*(then-now)
}

// split is a place among knots: the knot before it and the share of the way to the next.
func split(x float64, knots int) (int, float64) {
	x = min(max(x, 0), float64(knots-1))
	i := min(int(x), knots-2)
	return i, x - float64(i)
}
