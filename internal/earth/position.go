package earth

import (
	"encoding/json"
	"fmt"
	"math"
)

// Position is a place on the WGS-84 ellipsoid: geodetic latitude and longitude in degrees, north and east positive.
type Position struct{ Lat, Lon float64 }

// Valid reports whether the latitude lies within ±90° and the longitude within ±180°.
func (p Position) Valid() bool { return math.Abs(p.Lat) <= 90 && math.Abs(p.Lon) <= 180 }

// String gives the position in degrees and minutes to a hundredth: "N56 22.40 W003 51.70".
func (p Position) String() string { return fmt.Sprintf("%v %v", p.Lat, p.Lon) }

// MarshalJSON writes [lat, lon].
func (p Position) MarshalJSON() ([]byte, error) { return json.Marshal([2]float64{p.Lat, p.Lon}) }

// UnmarshalJSON reads [lat, lon].
func (p *Position) UnmarshalJSON(data []byte) error {
	var pair [2]float64
	if err := json.Unmarshal(data, &pair); err != nil {
		return err
	}
	p.Lat, p.Lon = pair[0], pair[1]
	return nil
}

// ParsePosition reads a position as a pilot writes it.
func ParsePosition(text string) (Position, error) {
	var p Position
	_, err := fmt.Sscanf(text, "%f, %f", &p.Lat, &p.Lon)
	return p, err
}
