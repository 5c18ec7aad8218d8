package earth

import (
	_ "embed"
	"fmt"
	"math"
	"strings"
	"sync"
)

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
			if _, err := fmt.Sscan(line, &model.epoch); err != nil {
				return nil, fmt.Errorf("line 1: epoch: %w", err)
			}
			continue
		}
		if strings.HasPrefix(line, ending) {
			break
		}
		var n, m int
		var c gaussCoefficient
		if _, err := fmt.Sscan(line, &n, &m, &c.g, &c.h, &c.gPerYear, &c.hPerYear); err != nil {
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
