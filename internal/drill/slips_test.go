package drill

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/earth"
)

// What goes wrong in practice, worked out by hand: each has to be recognised as what it is.
func TestCommonSlipsAreRecognised(t *testing.T) {
	wind := func(from, kt float64) air.Wind { return air.Wind{FromTrue: from, SpeedKt: kt} }
	left := pair{left: 16, right: 15, unit: gallons}
	flown4 := changes{pair{left: 18, right: 17, unit: gallons}, 8, 600, [3]float64{30, 45, 15}}
	dusk := eveningAt(earth.Position{Lat: 52.70, Lon: -1.20}, time.Date(2026, 5, 15, 0, 0, 0, 0, time.UTC)) // 19:55Z, 20:39Z
	for _, c := range []struct {
		what string
		e    Exercise
		text string
		kind MistakeKind
	}{
		{"8.33 min written 8:33", timeForDistance(12.5, 90, SlideRule), "8:33", MinutesAsDecimals},
		{"1.45 h written 1 h 45", timeForDistance(145, 100, SlideRule), "1 h 45", MinutesAsDecimals},
		{"6:45 read as 6.45 min", distanceInTime(112, 6.75, SlideRule), "12.0", MinutesAsDecimals},
		{"8:40 read as 8.40 min", speedOverDistance(14.8, 8+40.0/60, SlideRule), "106", MinutesAsDecimals},
		{"the point slipped", speedOverDistance(21, 14, SlideRule), "900", FactorOfTen},
		{"60 / 20 for 20 / 60", distanceInTime(90, 20, SlideRule), "270", UpsideDown},
		{"90 × 20", distanceInTime(90, 20, SlideRule), "1800", SixtyForgotten},
		{"from 10:57 to 11:05 as 48 min", groundspeedFromPassing(12, 657, 665, SlideRule), "15", MinutesAsDecimals},
		{"the whole way for the part", groundspeedFromTwoMarks(10, 24, 600, 610, SlideRule), "144", StepLeftOut},
		{"10:52 + 15 carried as a hundred", etaAtGroundspeed(652, 25, 100, InTheHead), "10:27", MinutesAsDecimals},
		{"taken away", etaAtGroundspeed(606, 25, 100, InTheHead), "09:51", WrongWay},
		{"the delay carried over", etaByRatio(600, 10, 15, 40, SlideRule), "10:45", StepLeftOut},
		{"the plan as it stood", etaByRatio(600, 10, 15, 40, SlideRule), "10:40", StepLeftOut},
		{"from the first passing", etaFromPassings(600, 610, 15, 30, SlideRule), "10:20", WrongFigure},

		{"tailwind for headwind", groundspeedAlong(270, 100, wind(270, 20)), "120", Reciprocal},
		{"away from the wind", correctionSide(360, wind(40, 20)), "LEFT", WrongWay},
		{"away from the wind", headingTrue(110, 200, wind(15, 40)), "121", WrongWay},
		{"no wind", headingTrue(110, 200, wind(15, 40)), "110", StepLeftOut},
		{"the reciprocal", headingTrue(110, 200, wind(15, 40)), "279", Reciprocal},
		{"true for magnetic", headingMagneticInWind(60, 130, wind(190, 30), 15), "070", MagneticForTrue},
		{"variation the wrong way", headingMagneticInWind(60, 130, wind(190, 30), 15), "085", MagneticForTrue},
		{"drift the wrong way", trackMadeGood(90, 160, wind(240, 24)), "094", WrongWay},
		{"where it blows to", windFound(flown{296, 225, 310, 250}, SlideRule), "010/63", Reciprocal},
		{"magnetic wind", windFoundMagnetic(flown{164, 96, 156, 0}, 23.4, 18.5, 10), "181/23", MagneticForTrue},
		{"correction for drift", driftFrom(56, 42), "14 right", WrongWay},
		{"with the drift", headingAgainstDrift(42, -14), "028", WrongWay},
		{"added left drift", trackWithDrift(56, -14), "070", WrongWay},
		{"west taken away", magneticHeading(272, 0, -3), "269", MagneticForTrue},
		{"variation left out", trueTrack(100, 5, -8), "105", MagneticForTrue},
		{"east deviation added", compassHeading(266, 6, -5, 2), "279", WrongWay},
		{"deviation left out", trackFromCompass(100, 3, -8, 5), "097", StepLeftOut},

		{"the track error alone", turnToEnd(4, 40, 80), "6 left", StepLeftOut},
		{"the closing angle alone", turnToEnd(4, 40, 80), "3 left", StepLeftOut},
		{"the wrong way", turnToEnd(4, 40, 80), "9 right", WrongWay},
		{"not doubled", turnToRegain(-3, 30), "6 right", StepLeftOut},
		{"miles for degrees", trackError(2, 30), "2", SixtyForgotten},
		{"the heading to close, kept", headingOnceBack(90, 2, 30), "082", StepLeftOut},
		{"minutes over degrees", stationMinutes(120, 10, SlideRule), "0:12", SixtyForgotten},
		{"minutes for miles", stationDistance(120, 10, 100), "12", StepLeftOut},
		{"the wing tip's rule", isosceles(15, 6, 100), "40", WrongFigure},
		{"the first bearing's distance", stationByTwoBearings(45, 60, 6, 110), "36.8", WrongFigure},

		{"FROM for TO", flag(270, 95), "FROM", Reciprocal},
		{"the reciprocal radial", radialCentred(300, "TO"), "300", Reciprocal},
		{"the other side of the line", radialFromNeedle(90, "FROM", 5), "095", WrongWay},
		{"the radial as course", courseInbound(215), "215", Reciprocal},
		{"the needle the wrong way", needle(360, 10), "10 right", WrongWay},
		{"true bearing", radialOfBearing(104, -3), "104", MagneticForTrue},
		{"reverse sensing", lineSide(120, 300, 122), "RIGHT", WrongWay},
		{"QDR for QDM", bearingTo(120, 45), "345", Reciprocal},
		{"taken away", bearingTo(120, 45), "075", WrongWay},
		{"relative for magnetic", bearingTo(120, 45), "045", StepLeftOut},
		{"QDM for QDR", bearingFrom(320, 225), "185", Reciprocal},
		{"variation left out", trueBearingFrom(320, 225, -8), "005", MagneticForTrue},
		{"turned round", relativeOf(90, 30), "060", WrongWay},
		{"nought overhead", overhead(12000), "0", StepLeftOut},
		{"slant for ground", groundDistance(2, 10000), "2", StepLeftOut},
		{"height taken off", groundDistance(2.5, 10000), "0.9", WrongFigure},
		{"altitude for height", groundDistanceAt(3, 14500, 1000), "1.8", WrongFigure},

		{"calibrated for true", airspeed(120, 8000, 20), "120", StepLeftOut},
		{"minus for plus", airspeed(120, 8000, 20), "131", WrongWay},
		{"read the other way", calibratedFor(120, 8000, 20), "140", WrongWay},
		{"2.5 h as 2 h 50", endurance(20, 8, gallons, SlideRule), "2 h 50", MinutesAsDecimals},
		{"flow over quantity", endurance(20, 8, gallons, SlideRule), "24 min", UpsideDown},
		{"the reserve in it", enduranceToReserve(38, 2, 8, 30, gallons), "4 h 30", StepLeftOut},
		{"the unusable in it", enduranceToReserve(38, 2, 8, 30, gallons), "4 h 15", StepLeftOut},
		{"30 min as 0.30 h", burned(30, 24, litres, SlideRule), "7.2", MinutesAsDecimals},
		{"of what is left", flowFound(90, 75, 20, litres), "225", WrongFigure},
		{"to dry tanks", timeLeftByGauge(90, 75, 20, 30, litres), "1 h 40", StepLeftOut},
		{"the difference left out", untilLimit(left, 8, 4, SlideRule), "30:00", StepLeftOut},
		{"the difference the wrong way", untilLimit(left, 8, 4, SlideRule), "22:30", WrongWay},
		{"until it is empty", untilLimit(left, 8, 4, SlideRule), "2:00:00", WrongFigure},
		{"the emptier tank", tankToSelect(left), "right", WrongWay},
		{"the margin left out", latestChange(left, 6, 5, 600, 0.1), "11:00", StepLeftOut},
		{"the margin taken off", latestChange(left, 6, 5, 600, 0.1), "11:07", WrongWay},
		{"one tank all the time", quantityAfter(flown4), "6", StepLeftOut},
		{"the start left out", imbalanceAfter(changes{pair{left: 18, right: 15, unit: gallons}, 8, 600, [3]float64{15, 55, 10}}), "4", StepLeftOut},

		{"from the destination", equalTimeDistance(240, 85, 115, SlideRule), "102", Reciprocal},
		{"half-way", equalTimeDistance(240, 85, 115, SlideRule), "120", StepLeftOut},
		{"out of the wind", equalTimeSide(85, 115), "BEFORE HALF-WAY", WrongWay},
		{"from there on", equalTimeMinutes(240, 85, 115), "72 min", WrongFigure},
		{"half the time", noReturn(240, 80, 120), "160", StepLeftOut},
		{"the reserve in it", noReturnByFuel(38, 2, 8, 45, 80, 120, gallons), "216", StepLeftOut},
		{"to sea level", descentByRule(6000, 2000), "18", StepLeftOut},
		{"to the ground", topOfDescent(5500, 500, 500, 120), "20", StepLeftOut},
		{"no elevation", topOfDescent(5500, 500, 500, 120), "18", StepLeftOut},
		{"after the ETA", topOfDescentAt(878, 5500, 500, 500), "14:46", WrongWay},
		{"level miles left out", topOfDescentBefore(4500, 2500, 500, 130, 5), "8.67", StepLeftOut},
		{"feet a mile", rateToMakeGood(3000, 10, 120), "300", StepLeftOut},
		{"civil twilight", marginToSunset(dusk, 1160), "1 h 19", WrongFigure},
		{"a hundred minutes", marginToSunset(dusk, 1130), "1 h 45", MinutesAsDecimals},
		{"from now", marginOnArrival(dusk, 1100, 40), "1 h 35", StepLeftOut},
		{"take-off for off blocks", latestOffBlocks(dusk, 60, 10, 30), "18:25", StepLeftOut},
		{"the margin left out", latestOffBlocks(dusk, 60, 10, 30), "18:45", StepLeftOut},
		{"half the time", latestTurn(dusk, 1075, 20, 80, 120), "18:45", StepLeftOut},
	} {
		c.e.sortMistakes()
		v := c.e.Mark(c.text, 0)
		assert.Equal(t, Wrong, v.Outcome, "%s: %q for %q", c.what, c.text, v.Answer)
		if assert.NotNil(t, v.Mistake, "%s: %q for %q: %+v", c.what, c.text, v.Answer, c.e.Mistakes) {
			assert.Equal(t, c.kind, v.Mistake.Kind, "%s: %q for %q is taken for: %s", c.what, c.text, v.Answer, v.Mistake.Text)
		}
	}
}
