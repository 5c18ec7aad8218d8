package flight

import "fmt"

// bound is what a figure must lie within.
type bound struct {
	name      string
	value     *float64
	low, high float64
	unit      string
}

// checkFigures refuses figures that nothing can have.
func checkFigures(e Event) error {
	for _, b := range []bound{
		{"a heading", e.Heading, 0, 360, "degrees"},
		{"a wind direction", e.WindFrom, 0, 360, "degrees"},
		{"a radial", e.Radial, 0, 360, "degrees"},
		{"a course", e.Course, 0, 360, "degrees"},
		{"a relative bearing", e.Relative, 0, 360, "degrees"},
		{"a track", e.Track, 0, 360, "degrees"},
		{"a wind speed", e.WindSpeed, 0, 250, "kt"},
		{"an indicated airspeed", e.IAS, 20, 400, "kt"},
		{"a true airspeed", e.TAS, 20, 500, "kt"},
		{"an altitude", e.Altitude, -1500, 45000, "ft"},
		{"a QNH", e.QNH, 870, 1085, "hPa"}, // the lowest and highest sea level pressures ever read
		{"a DME distance", e.DME, 0, 300, "nm"},
		{"a flow", e.Flow, leastFlow, 500, "an hour"},
		{"a power", e.Power, 0, 110, "per cent"},
		{"a distance off track", e.OffTrack, -100, 100, "nm"},
		{"a distance to be back on track in", e.Within, 0.5, 500, "nm"},
		{"a distance along the leg", e.After, 0, 2000, "nm"},
	} {
		if b.value != nil && !(*b.value >= b.low && *b.value <= b.high) {
			return refuse(fmt.Sprintf("it is from %g to %g %s", b.low, b.high, b.unit), "%s of %g", b.name, *b.value)
		}
	}
	if e.At != nil && !e.At.Valid() {
		return refuse("latitude to 90, longitude to 180 degrees", "there is no position %g, %g", e.At.Lat, e.At.Lon)
	}
	return checkGiven(e)
}

// needed are the figures that an act can't do without.
var needed = map[Act]func(Event) bool{
	Passing:      func(e Event) bool { return e.Point != "" },
	Steering:     func(e Event) bool { return e.Heading != nil },
	Airspeed:     func(e Event) bool { return e.IAS != nil || e.TAS != nil },
	Altitude:     func(e Event) bool { return e.Altitude != nil },
	Altimeter:    func(e Event) bool { return e.QNH != nil },
	WindReported: func(e Event) bool { return e.WindFrom != nil && e.WindSpeed != nil },
	TankChange:   func(e Event) bool { return e.Tank != "" },
	Gauges:       func(e Event) bool { return len(e.Tanks) > 0 },
	Flow:         func(e Event) bool { return e.Flow != nil },
	Tuned:        func(e Event) bool { return e.Receiver != "" && e.Beacon != "" },
	Identified:   func(e Event) bool { return e.Receiver != "" && e.Beacon != "" },
	Bearing:      func(e Event) bool { return e.Beacon != "" && (e.Relative != nil || e.Radial != nil) },
	Cross:        func(e Event) bool { return e.Point != "" },
	Divert:       func(e Event) bool { return e.To != "" || e.At != nil },
	Position:     func(e Event) bool { return e.At != nil },
	NoteText:     func(e Event) bool { return e.Text != "" },
	Snoozed:      func(e Event) bool { return e.Minutes == nil || *e.Minutes > 0 },
}

var neededText = map[Act]string{
	Passing: "name the point", Steering: "give the magnetic heading", Airspeed: "give ias or tas in knots", Altitude: "give the altitude in feet",
	Altimeter: "give the QNH in hPa", WindReported: "give from and speed", TankChange: "name the tank", Gauges: "give the reading of one tank at least",
	Flow: "give the flow an hour", Tuned: "give receiver and beacon", Identified: "give receiver and beacon", Divert: "give a point or a position",
	Bearing: "give the beacon and its bearing from the nose, or its radial", Cross: "name the point", Position: "give the position", NoteText: "give the text", Snoozed: "give minutes above 0",
}

func checkGiven(e Event) error {
	if given, known := needed[e.Act]; known && !given(e) {
		return refuse(neededText[e.Act], "%q lacks what it records", e.Act)
	}
	return nil
}
