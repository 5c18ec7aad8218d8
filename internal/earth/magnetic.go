package earth

import (
	"cmp"
	_ "embed"
	"fmt"
	"math"
	"strconv"
	"strings"
	"sync"
	"time"

	"example.com/legclock/internal/angle"
)

// MagneticField is the earth's magnetic field at a place and time, in the frame of the geodetic horizon, and its rate of
// change.
type MagneticField struct {
	NorthNT, EastNT, DownNT, HorizontalNT, TotalNT float64 // nanotesla
	Variation                                      float64 // degrees from true to magnetic north, east positive
	Inclination                                    float64 // degrees below the horizon

	NorthNTPerYear, EastNTPerYear, DownNTPerYear, HorizontalNTPerYear, TotalNTPerYear float64
	VariationPerYear, InclinationPerYear                                              float64 // degrees

	// BeyondYears is how long after the years that the model was made for the date lies; 0 within them. The field is extrapolated then.
	BeyondYears float64
}

// VariationError is one standard error of the model's variation, in degrees. It grows where the horizontal field is weak:
// near a magnetic pole a compass, and this figure, are of no use. Beyond the model's years it grows by the whole of the yearly change for
// each year, or by leastYearlyDrift where that is more: nobody has published by how much, and the change itself changes.
//
// WMM2025 report, error model; the growth is this program's own judgement.
func (f MagneticField) VariationError() float64 {
	const everywhere, weakness = 0.26, 5417 // degrees; degrees · nT
	const leastYearlyDrift = 0.05           // degrees
	return math.Hypot(math.Hypot(everywhere, weakness/f.HorizontalNT), f.BeyondYears*max(math.Abs(f.VariationPerYear), leastYearlyDrift))
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
// difference changes variation by far less than 0.01°).
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

// Variation returns the angle from true to magnetic north in degrees, east positive: magnetic = true - variation.
// Its height and errors are those of Field.
func Variation(p Position, heightFt float64, at time.Time) (float64, error) {
	field, err := Field(p, heightFt, at)
	return field.Variation, err
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
		Variation:   angle.Degrees(math.Atan2(field.east, field.north)),
		Inclination: angle.Degrees(math.Atan2(field.down, horizontal)),

		NorthNTPerYear: rate.north, EastNTPerYear: rate.east, DownNTPerYear: rate.down,
		HorizontalNTPerYear: horizontalRate,
		TotalNTPerYear:      (horizontal*horizontalRate + field.down*rate.down) / total,
		VariationPerYear: angle.Degrees((field.north*rate.east - field.east*rate.north) /
			(horizontal * horizontal)),
		InclinationPerYear: angle.Degrees((horizontal*rate.down - field.down*horizontalRate) / (total * total)),
	}
}

// The coefficients as published; data/NOTICE.md says by whom.
//
//go:embed data/WMM2025.COF
var wmm2025Coefficients string

var wmm2025 = sync.OnceValue(func() *fieldModel {
	model, err := readFieldModel(wmm2025Coefficients)
	if err != nil {
		panic("earth: WMM2025.COF: " + err.Error()) // the file is part of the program
	}
	return model
})

// fieldDegree is the highest degree and order of the World Magnetic Model.
const fieldDegree = 12

// fieldModel is a spherical harmonic model of the main field: Gauss coefficients g and h at the epoch, nanotesla, and their
// yearly change.
type fieldModel struct {
	epoch        float64 // decimal year
	coefficients [fieldDegree + 1][fieldDegree + 1]gaussCoefficient
}

type gaussCoefficient struct{ g, h, gPerYear, hPerYear float64 }

// readFieldModel reads the published layout: a header with the epoch, a line "n m g h g' h'" for each degree and order, and a line
// of nines.
func readFieldModel(text string) (*fieldModel, error) {
	const ending = "9999"
	var model fieldModel
	rows := 0
	for i, line := range strings.Split(strings.TrimSpace(text), "\n") {
		if i == 0 {
			epoch, _, _ := strings.Cut(line, " ")
			var err error
			if model.epoch, err = strconv.ParseFloat(epoch, 64); err != nil {
				return nil, fmt.Errorf("line 1: epoch: %w", err)
			}
			continue
		}
		if strings.HasPrefix(line, ending) {
			break
		}
		n, m, c, err := readCoefficients(line)
		if err != nil {
			return nil, fmt.Errorf("line %d: want degree, order and four coefficients: %w", i+1, err)
		}
		if n < 1 || n > fieldDegree || m < 0 || m > n {
			return nil, fmt.Errorf("line %d: degree %d, order %d", i+1, n, m)
		}
		model.coefficients[n][m] = c
		rows++
	}
	if want := fieldDegree * (fieldDegree + 3) / 2; rows != want {
		return nil, fmt.Errorf("%d coefficient lines, want %d", rows, want)
	}
	return &model, nil
}

// readCoefficients reads a line "n m g h g' h'".
func readCoefficients(line string) (n, m int, c gaussCoefficient, err error) {
	fields := strings.Fields(line)
	numbers := []*float64{&c.g, &c.h, &c.gPerYear, &c.hPerYear}
	if len(fields) != 2+len(numbers) {
		return 0, 0, c, fmt.Errorf("%d values", len(fields))
	}
	n, errDegree := strconv.Atoi(fields[0])
	m, errOrder := strconv.Atoi(fields[1])
	err = cmp.Or(errDegree, errOrder)
	for i, number := range numbers {
		var wrong error
		*number, wrong = strconv.ParseFloat(fields[2+i], 64)
		err = cmp.Or(err, wrong)
	}
	return n, m, c, err
}

// geocentricField sums the harmonics at a geocentric latitude and radius (WMM report, equations 10 to 15), in the frame of
// the geocentric vertical.
//
// The Schmidt semi-normalised functions P and their derivatives by colatitude dP come from the usual recurrence over degree at
// fixed order. Q is P divided by the sine of colatitude, by the same recurrence: the east component needs it, and at the poles, where
// the sine is zero, the quotient is still finite.
func (m *fieldModel) geocentricField(latitude, longitude unit, radiusKM, year float64) (field, rate fieldVector) {
	const referenceRadiusKM = 6371.2
	cos, sin := latitude.sin, latitude.cos // of the colatitude
	ratio := referenceRadiusKM / radiusKM
	elapsed := year - m.epoch

	sectoral := harmonic{p: 1}
	orderAngle := unit{0, 1}
	orderScale := ratio * ratio // (a/r)^(n+2) at n = order
	for order := 0; order <= fieldDegree; order++ {
		here, before := sectoral, harmonic{}
		scale := orderScale
		for degree := order; degree <= fieldDegree; degree++ {
			if degree > order {
				here, before = here.nextDegree(before, degree, order, sin, cos), here
				scale *= ratio
			}
			c := m.coefficients[degree][order]
			field.add(here, degree, order, scale, orderAngle, c.g+elapsed*c.gPerYear, c.h+elapsed*c.hPerYear)
			rate.add(here, degree, order, scale, orderAngle, c.gPerYear, c.hPerYear)
		}
		sectoral = sectoral.nextOrder(order, sin, cos)
		orderAngle = orderAngle.plus(longitude)
		orderScale *= ratio
	}
	return field, rate
}

// harmonic is one Schmidt semi-normalised Legendre function of colatitude.
type harmonic struct {
	p, dp float64 // the function and its derivative
	q     float64 // p / sin colatitude; not used at order 0
}

// nextDegree raises the degree by one to the given one.
func (here harmonic) nextDegree(before harmonic, degree, order int, sin, cos float64) harmonic {
	n, m := float64(degree), float64(order)
	norm := math.Sqrt(n*n - m*m)
	one, two := (2*n-1)/norm, math.Sqrt(math.Max(0, (n-1)*(n-1)-m*m))/norm
	return harmonic{
		p:  one*cos*here.p - two*before.p,
		dp: one*(cos*here.dp-sin*here.p) - two*before.dp,
		q:  one*cos*here.q - two*before.q,
	}
}

// nextOrder raises degree and order of a sectoral function from the given order by one.
func (here harmonic) nextOrder(order int, sin, cos float64) harmonic {
	if order == 0 {
		return harmonic{p: sin, dp: cos, q: 1}
	}
	m := float64(order)
	k := math.Sqrt((2*m + 1) / (2*m + 2))
	return harmonic{p: k * sin * here.p, dp: k * (cos*here.p + sin*here.dp), q: k * sin * here.q}
}

// add adds the share of one degree and order.
func (v *fieldVector) add(f harmonic, degree, order int, scale float64, orderAngle unit, g, h float64) {
	inPhase := g*orderAngle.cos + h*orderAngle.sin
	v.north += scale * inPhase * f.dp
	v.east += scale * float64(order) * (g*orderAngle.sin - h*orderAngle.cos) * f.q
	v.down -= scale * float64(degree+1) * inPhase * f.p
}
