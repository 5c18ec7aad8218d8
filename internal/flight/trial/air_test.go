package trial_test

import (
	"math"
	"math/rand/v2"

	"example.com/legclock/internal/sheet"
)

// chance is all of a flight that nobody planned: the air less the forecast, and what the aircraft and the pilot do otherwise than the nav log
// has it. Asked again it says the same, but for late.
type chance interface {
	takeOff() float64                                       // minutes from the logged take-off to overhead and on track
	climb() float64                                         // by which share the rate is more than the aircraft's table has
	descent() float64                                       // the same
	wind(minutes, altitudeFt float64) (north, east float64) // kt
	airspeed(minutes float64) (kt float64)                  // true, less the table's
	gyro(leg int, indicatedDeg float64) (degrees float64)   // by which the true heading lies right of the one indicated
	eye(leg int, minutes float64) (rightNM float64)         // by which the pilot believes to be too far right
	late(random *rand.Rand) (minutes float64)               // by which a passing is logged too late
}

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
	headingDeg     float64 // by how far every heading flown lies right of the one indicated besides
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

// lotted is a flight of which lots decide.
type lotted struct {
	errors
	lots
	north, east *field
}

// flyBy flies a plan as lots have it.
func (e errors) flyBy(s *sheet.Sheet, drawn lots) flown {
	f := fly(s, e.by(drawn))
	f.lots = drawn
	return f
}

func (e errors) by(drawn lots) lotted {
	return lotted{e, drawn, e.field(drawn[northLots:]), e.field(drawn[eastLots:])}
}

func (l lotted) takeOff() float64 { return l.takeOffMinutes * l.lots[takeOffLot] }
func (l lotted) climb() float64   { return l.levelChange * l.lots[climbLot] }
func (l lotted) descent() float64 { return l.levelChange * l.lots[descentLot] }

func (l lotted) wind(minutes, altitudeFt float64) (north, east float64) {
	return l.north.at(minutes, altitudeFt), l.east.at(minutes, altitudeFt)
}

func (l lotted) airspeed(minutes float64) float64 {
	block, _ := split(minutes/speedBlock, speedBlocks)
	return l.tasKt*l.lots[tasLot] + l.speedKt*l.lots[speedLots+block] - l.slowKt
}

func (l lotted) gyro(leg int, _ float64) float64 {
	return l.headingDeg + l.gyroDeg*l.lots[perLegLots+lotsPerLeg*leg]
}

func (l lotted) eye(leg int, _ float64) float64 {
	return l.sightNM * l.lots[perLegLots+lotsPerLeg*leg+1]
}

func (l lotted) late(random *rand.Rand) float64 { return l.timingMinutes * random.NormFloat64() }

// Where the wind field has its knots; between them it goes linearly.
const (
	knotMinutes = 10.
	timeKnots   = 15
	knotFt      = 500.
	levelKnots  = 13
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
