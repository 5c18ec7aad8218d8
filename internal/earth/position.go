package earth

import (
	"encoding/json"
	"fmt"
	"math"
)

// Position is a place on the WGS-84 ellipsoid: geodetic latitude and longitude in degrees, north and east positive. In JSON
// it is an array, [lat, lon].
type Position struct{ Lat, Lon float64 }

// Valid reports whether the latitude lies within ±90° and the longitude within ±180°.
func (p Position) Valid() bool { return math.Abs(p.Lat) <= 90 && math.Abs(p.Lon) <= 180 }

// String gives the position in degrees and hundredths of a minute (about 20 m), as ParsePosition reads it: "N56 22.40 W003 51.70".
func (p Position) String() string {
	if !p.Valid() {
		return fmt.Sprintf("no position (%v, %v)", p.Lat, p.Lon)
	}
	return degreesAndMinutes(p.Lat, 'N', 'S', 2) + " " + degreesAndMinutes(p.Lon, 'E', 'W', 3)
}

func degreesAndMinutes(degrees float64, positive, negative rune, width int) string {
	const perMinute, perDegree = 100, 6000
	hundredths := int(math.Round(math.Abs(degrees) * perDegree))
	side := positive
	if degrees < 0 && hundredths > 0 {
		side = negative
	}
	minutes := float64(hundredths%perDegree) / perMinute
	return fmt.Sprintf("%c%0*d %05.2f", side, width, hundredths/perDegree, minutes)
}

// MarshalJSON writes [lat, lon], unrounded.
func (p Position) MarshalJSON() ([]byte, error) { return json.Marshal([]float64{p.Lat, p.Lon}) }

// UnmarshalJSON reads [lat, lon] and refuses anything that is not a valid position.
func (p *Position) UnmarshalJSON(data []byte) error {
	var pair []*float64
	if err := json.Unmarshal(data, &pair); err != nil {
		return fmt.Errorf("position %s: want [latitude, longitude] in degrees", data)
	}
	if pair == nil { // null leaves a value as it is, by the custom of encoding/json
		return nil
	}
	if len(pair) != 2 || pair[0] == nil || pair[1] == nil {
		return fmt.Errorf("position %s: want two numbers, [latitude, longitude] in degrees", data)
	}
	read := Position{*pair[0], *pair[1]}
	if !read.Valid() {
		return fmt.Errorf("position %s: latitude must be within ±90°, longitude within ±180°", data)
	}
	*p = read
	return nil
}
