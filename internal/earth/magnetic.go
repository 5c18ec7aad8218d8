package earth

import "time"

// MagneticField is the earth's magnetic field at a place and time.
type MagneticField struct {
	NorthNT, EastNT, DownNT, HorizontalNT, TotalNT float64 // nanotesla
	Declination, Inclination                       float64 // degrees, east and down positive
	NorthNTPerYear, EastNTPerYear, DownNTPerYear   float64 // nanotesla a year
	HorizontalNTPerYear, TotalNTPerYear            float64 // nanotesla a year
	DeclinationPerYear, InclinationPerYear         float64 // degrees a year
}

// Field returns the magnetic field at a height above the ellipsoid.
func Field(p Position, heightFt float64, at time.Time) (MagneticField, error) {
	return MagneticField{}, nil
}

// Declination returns the angle from true to magnetic north in degrees, east positive.
func Declination(p Position, heightFt float64, at time.Time) (float64, error) {
	field, err := Field(p, heightFt, at)
	return field.Declination, err
}

// DecimalYear returns the year and the elapsed fraction of it.
func DecimalYear(at time.Time) float64 {
	at = at.UTC()
	begin := time.Date(at.Year(), 1, 1, 0, 0, 0, 0, time.UTC)
	end := time.Date(at.Year()+1, 1, 1, 0, 0, 0, 0, time.UTC)
	return float64(at.Year()) + at.Sub(begin).Hours()/end.Sub(begin).Hours()
}
