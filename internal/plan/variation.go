package plan

import (
	"fmt"
	"math"

	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/say"
)

// Source says where a variation comes from.
type Source string

// The sources of a variation or of a station declination.
const (
	FromPlan    Source = "plan"
	FromModel   Source = "model"   // the World Magnetic Model, on the day of the flight
	FromStation Source = "station" // published for the beacon, and in the plan
)

// Whose is a variation with where it comes from: "3° W by the plan", "0.7° W of the magnetic field at the station".
func (s Source) Whose(degrees float64, place string) string {
	if s == FromModel {
		return say.SayEast(degrees, 1) + " of the magnetic field at " + place
	}
	return say.SayEast(degrees, 1) + ", the variation of the plan,"
}

// OwnVariation is the variation that the plan itself gives for a leg: the leg's, else that of the whole flight; nil where it gives none.
func (p *Plan) OwnVariation(leg int) *float64 {
	if own := p.Route.Legs[leg].Variation; own != nil {
		return own
	}
	return p.Variation
}

// VariationOn is the variation at a place of a leg, degrees, east positive: the plan's own, else the magnetic model's. The error is of a
// model that knows nothing of the day.
func (p *Plan) VariationOn(leg int, at earth.Position, heightFt float64) (degrees float64, from Source, err error) {
	if own := p.OwnVariation(leg); own != nil {
		return *own, FromPlan, nil
	}
	degrees, err = earth.Variation(at, heightFt, p.OffBlocks)
	return degrees, FromModel, err
}

// StationDeclination is the angle that the radials of a beacon count from, degrees, east positive: its own; else the variation that the
// plan gives for a leg that begins or ends there, or for the whole flight; else that of the magnetic model at the station. On a day that
// the model knows nothing of it is that of the first leg that has one.
func (p *Plan) StationDeclination(station Point) (degrees float64, from Source, err error) {
	if station.Declination != nil {
		return *station.Declination, FromStation, nil
	}
	legFrom, someLegs := p.Route.From, (*float64)(nil)
	for _, leg := range p.Route.Legs {
		if leg.Variation != nil {
			if legFrom == station.Ident || leg.To == station.Ident {
				return *leg.Variation, FromPlan, nil
			}
			if someLegs == nil {
				someLegs = leg.Variation
			}
		}
		legFrom = leg.To
	}
	if p.Variation != nil {
		return *p.Variation, FromPlan, nil
	}
	degrees, err = earth.Variation(station.At, station.ElevationFt, p.OffBlocks)
	if err != nil && someLegs != nil {
		return *someLegs, FromPlan, nil
	}
	return degrees, FromModel, err
}

// GiveVariation is the advice on a day of which the magnetic model knows too little.
const GiveVariation = "give the variation of a chart, variation: 3W, for the whole flight or for each leg"

// verifyVariations asks for the variation of every leg, without which it has no heading: of the plan, or of the magnetic model, whose
// years are told. It doubts variations of the plan that no magnetic field has.
func (d *draft) verifyVariations() {
	if d.OffBlocks.IsZero() {
		return
	}
	if year := d.OffBlocks.Year(); year < FirstYear || year > LastYear {
		d.failAt("date", fmt.Sprintf("a date from %d to %d", FirstYear, LastYear), "the year %d is out of range", year)
		return
	}
	start, known := d.points.find(d.Route.From)
	if !known || !start.placed {
		start = &pointEntry{} // the date can be judged anywhere
	}
	field, err := earth.Field(start.At, 0, d.OffBlocks)
	lacking := d.legsByModel()
	switch {
	case err != nil && len(lacking) == len(d.Route.Legs):
		d.failAt("date", GiveVariation, "%v", err)
	case err != nil && len(lacking) > 0:
		d.failAt("date", "a variation for "+lacking[0]+", too, or one for the whole flight", "%v", err)
	case field.BeyondYears > 0 && len(lacking) > 0:
		d.cautionAt("date", GiveVariation, "the magnetic model was made for the years to 2029 and is extrapolated: the variation may be out by %.1f° or more", field.VariationError())
	case field.BeyondYears > 0:
		d.cautionStationsByModel(field.VariationError())
	}
	if err == nil {
		d.doubtVariations()
	}
}

// legsByModel are the legs for which the plan gives no variation.
func (d *draft) legsByModel() (legs []string) {
	from := d.Route.From
	for i, leg := range d.Route.Legs {
		if d.OwnVariation(i) == nil {
			legs = append(legs, fmt.Sprintf("leg %d, %s to %s", i+1, from, leg.To))
		}
		from = leg.To
	}
	return legs
}

// cautionStationsByModel tells of beacons whose radials count from a field that is extrapolated.
func (d *draft) cautionStationsByModel(errorDegrees float64) {
	idents, _ := d.inUse()
	for _, ident := range idents {
		station, _ := d.points.find(ident)
		if !station.Kind.HasRadials() {
			continue
		}
		if _, from, _ := d.StationDeclination(station.Point); from == FromModel {
			d.cautionAt(fmt.Sprintf("points[%s].declination", ident), "its published station declination",
				"not given, and the magnetic model was made for the years to 2029 and is extrapolated: its radials may be out by %.1f° or more", errorDegrees)
		}
	}
}

// How far a direction that the plan gives may be from the field around it before a slip of its sign is likelier. Common practice, no source.
const (
	doubtfulDeclination = 5 // degrees: stations are turned to a new declination rarely, so some are usual
	doubtfulVariation   = 3 // degrees: a chart's is rounded and some years old
)

// doubtful reports whether a direction of the plan is farther from the field than it may be and than the model may be wrong; one that could
// not be read has been reported.
func doubtful(degrees float64, field earth.MagneticField, most float64) bool {
	return math.Abs(angle.Turn(degrees, field.Variation)) > max(most, 2*field.VariationError())
}

// doubtVariations compares the variations that the plan gives with the field at the middle of their legs, each once.
func (d *draft) doubtVariations() {
	from, _ := d.points.find(d.Route.From)
	wholeDoubted := false
	for i, leg := range d.Route.Legs {
		begin := from
		from, _ = d.points.find(leg.To)
		own := d.OwnVariation(i)
		if own == nil || begin == nil || from == nil || !begin.placed || !from.placed {
			continue
		}
		line := earth.NewLine(begin.At, from.At)
		middle, _ := line.At(line.DistanceNM() / 2)
		field, err := earth.Field(middle, 0, d.OffBlocks)
		if err != nil || !doubtful(*own, field, doubtfulVariation) {
			continue
		}
		path, hint := fmt.Sprintf("route.legs[%d].variation", i), "look for a slip of the sign"
		if leg.Variation == nil {
			if wholeDoubted {
				continue
			}
			wholeDoubted = true
			path, hint = "variation", hint+"; a leg far from the others takes a variation of its own"
		}
		d.cautionAt(path, hint, "%s is far from the magnetic field half-way from %s to %s, %s",
			say.SayEast(*own, 1), begin.Ident, from.Ident, say.SayEast(field.Variation, 1))
	}
}

// verifyDeclination says what a beacon's radials count from where it has no declination of its own and fixes are measured from it, and
// doubts one that no magnetic field has.
func (d *draft) verifyDeclination(path string, entry *pointEntry, how pointUse) {
	if !entry.placed || !entry.Kind.HasRadials() {
		return
	}
	if own := entry.Declination; own != nil {
		field, err := earth.Field(entry.At, entry.ElevationFt, d.OffBlocks)
		if err == nil && doubtful(*own, field, doubtfulDeclination) {
			d.cautionAt(path+".declination", "degrees, east positive, west negative",
				"%s is far from the magnetic field at the station, %s", say.SayEast(*own, 1), say.SayEast(field.Variation, 1))
		}
		return
	}
	counted, from, err := d.StationDeclination(entry.Point)
	if err != nil || how&measuredFrom == 0 {
		return
	}
	d.noteAt(path+".declination", "not given: %s is used for the fixes measured from it", from.Whose(counted, "the station"))
}
