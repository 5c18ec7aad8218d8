package earth

import (
	"fmt"
	"math"
	"time"

	"example.com/legclock/internal/angle"
)

// MagneticField is the earth's magnetic field at a place and time, in the frame of the geodetic horizon, and its rate of
// change.
type MagneticField struct {
	NorthNT, EastNT, DownNT, HorizontalNT, TotalNT float64 // nanotesla
	Declination                                    float64 // degrees from true to magnetic north, east positive
	Inclination                                    float64 // degrees below the horizon

	NorthNTPerYear, EastNTPerYear, DownNTPerYear, HorizontalNTPerYear, TotalNTPerYear float64
	DeclinationPerYear, InclinationPerYear                                            float64 // degrees

	// BeyondYears is how long after the years that the model was made for the date lies; 0 within them. The field is extrapolated then.
	BeyondYears float64
}

// DeclinationError is one standard error of the model's declination, in degrees. It grows where the horizontal field is weak:
// near a magnetic pole a compass, and this figure, are of no use. Beyond the model's years it grows by the whole of the yearly change for
// each year, or by leastYearlyDrift where that is more: nobody has published by how much, and the change itself changes.
//
// WMM2025 report, error model; the growth is this program's own judgement.
func (f MagneticField) DeclinationError() float64 {
	const everywhere, weakness = 0.26, 5417 // degrees; degrees · nT
	const leastYearlyDrift = 0.05           // degrees
	return math.Hypot(math.Hypot(everywhere, weakness/f.HorizontalNT), f.BeyondYears*max(math.Abs(f.DeclinationPerYear), leastYearlyDrift))
}

// Limits of the model, in kilometres above the ellipsoid.
const (
	lowestKM  = -1
	highestKM = 850
	kmPerFoot = 0.0003048

	modelYears        = 5  // from the epoch, that the model was made for
	extrapolatedYears = 70 // after these, in which it is extrapolated
)

// Field returns the magnetic field at a height in feet above the ellipsoid (heights above sea level are as good: the
// difference changes declination by far less than 0.01°).
//
// World Magnetic Model 2025 (NOAA NCEI and British Geological Survey). From
// 2030 on it is extrapolated, and BeyondYears says for how long. It is an error to ask for a date outside 2025 to 2099, a height outside -1 to 850 km, or a position that is not Valid.
func Field(p Position, heightFt float64, at time.Time) (MagneticField, error) {
	heightKM := heightFt * kmPerFoot
	model := wmm2025()
	year := DecimalYear(at)
	switch {
	case !p.Valid():
		return MagneticField{}, fmt.Errorf("no magnetic field at latitude %v, longitude %v: a position lies within ±90, ±180", p.Lat, p.Lon)
	case !(heightKM >= lowestKM && heightKM <= highestKM):
		return MagneticField{}, fmt.Errorf("no magnetic field at %.0f ft: WMM2025 holds from %.0f to %.0f ft",
			heightFt, math.Ceil(lowestKM/kmPerFoot), math.Floor(highestKM/kmPerFoot))
	case year < model.epoch || year >= model.epoch+modelYears+extrapolatedYears:
		return MagneticField{}, fmt.Errorf("no magnetic field for %s: WMM2025 holds from 2025 to the end of 2029 and is extrapolated to the end of 2099",
			at.UTC().Format(time.DateOnly))
	}
	field := model.field(p, heightKM, year)
	field.BeyondYears = max(0, year-model.epoch-modelYears)
	return field, nil
}

// Declination returns the angle from true to magnetic north in degrees, east positive: magnetic = true - declination.
// Its height and errors are those of Field.
func Declination(p Position, heightFt float64, at time.Time) (float64, error) {
	field, err := Field(p, heightFt, at)
	return field.Declination, err
}

// DecimalYear returns the year and the part of it that has passed, by UTC: 2026.5 is the middle of 2026.
func DecimalYear(at time.Time) float64 {
	at = at.UTC()
	begin := time.Date(at.Year(), time.January, 1, 0, 0, 0, 0, time.UTC)
	end := time.Date(at.Year()+1, time.January, 1, 0, 0, 0, 0, time.UTC)
	return float64(at.Year()) + float64(at.Sub(begin))/float64(end.Sub(begin))
}

// fieldVector is a field in a local frame, nanotesla.
type fieldVector struct{ north, east, down float64 }

// tilted turns the frame about its east axis by an angle, from the geocentric to the geodetic vertical.
func (v fieldVector) tilted(by unit) fieldVector {
	return fieldVector{
		north: v.north*by.cos - v.down*by.sin,
		east:  v.east,
		down:  v.north*by.sin + v.down*by.cos,
	}
}

func (m *fieldModel) field(p Position, heightKM, year float64) MagneticField {
	geodetic := unitDegrees(p.Lat)
	geocentric, radiusKM := geocentricPlace(geodetic, heightKM)
	field, rate := m.geocentricField(geocentric, unitDegrees(p.Lon), radiusKM, year)
	tilt := geocentric.minus(geodetic)
	return elements(field.tilted(tilt), rate.tilted(tilt))
}

// geocentricPlace turns a geodetic latitude and height into a geocentric latitude and radius (WMM report, equations 7 and 8).
func geocentricPlace(geodetic unit, heightKM float64) (latitude unit, radiusKM float64) {
	const kmPerM = 1e-3
	curvature := equatorialRadiusM * kmPerM / math.Sqrt(1-firstEccentricitySquared*geodetic.sin*geodetic.sin)
	fromAxis := (curvature + heightKM) * geodetic.cos
	fromEquator := (curvature*(1-firstEccentricitySquared) + heightKM) * geodetic.sin
	radiusKM = math.Hypot(fromAxis, fromEquator)
	return unit{fromEquator / radiusKM, fromAxis / radiusKM}, radiusKM
}

// elements derives the magnetic elements and their rates (WMM report, equations 19 and 20).
func elements(field, rate fieldVector) MagneticField {
	horizontal := math.Hypot(field.north, field.east)
	total := math.Hypot(horizontal, field.down)
	horizontalRate := (field.north*rate.north + field.east*rate.east) / horizontal
	return MagneticField{
		NorthNT: field.north, EastNT: field.east, DownNT: field.down,
		HorizontalNT: horizontal, TotalNT: total,
		Declination: angle.Degrees(math.Atan2(field.east, field.north)),
		Inclination: angle.Degrees(math.Atan2(field.down, horizontal)),

		NorthNTPerYear: rate.north, EastNTPerYear: rate.east, DownNTPerYear: rate.down,
		HorizontalNTPerYear: horizontalRate,
		TotalNTPerYear:      (horizontal*horizontalRate + field.down*rate.down) / total,
		DeclinationPerYear: angle.Degrees((field.north*rate.east - field.east*rate.north) /
			(horizontal * horizontal)),
		InclinationPerYear: angle.Degrees((horizontal*rate.down - field.down*horizontalRate) / (total * total)),
	}
}
