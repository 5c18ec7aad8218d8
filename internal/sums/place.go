package sums

import (
	"fmt"

	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/say"
)

// Distance asks for the way from one place to another.
type Distance struct {
	From, To      earth.Position
	Date          *say.Date // optional: for the magnetic track
	GroundspeedKt *float64  // optional: for the time
}

// longLegNM is the length past which a leg is better reckoned in pieces.
const longLegNM = 120

// Sum works out the geodesic.
func (d Distance) Sum() (Sum, error) {
	s := Sum{
		Name: "distance", Title: "Distance and track between two places",
		Given: []Figure{
			place("from", "from", d.From), place("to", "to", d.To), dateFigure(d.Date), speedGiven("groundspeed", "groundspeed_kt", valueOf(d.GroundspeedKt)),
		},
		Rule:   "the shortest way on WGS-84; the track to fly is its direction at mid-leg",
		Source: "geodesics: Karney 2013, to a micrometre; variation: WMM2025 at sea level",
	}
	way := earth.Inverse(d.From, d.To)
	middle, track := earth.NewLine(d.From, d.To).At(way.DistanceNM / 2)
	var w Working
	w.Line("from %s to %s", decimal(d.From), decimal(d.To))
	if way.DistanceNM == 0 {
		way.AzimuthStart, way.AzimuthEnd, track = unknown, unknown, unknown
	} else {
		w.Line("half-way at %s the track is %s°, at the start %s°, at the end %s°", middle, dir(track), dir(way.AzimuthStart), dir(way.AzimuthEnd))
	}
	variation, err := d.variation(&w, middle)
	if err != nil {
		return Sum{}, err
	}
	minutes := unknown
	if d.GroundspeedKt != nil {
		minutes = deadreckon.Minutes(way.DistanceNM, *d.GroundspeedKt)
		w.Time("time", way.DistanceNM, *d.GroundspeedKt, minutes)
	}
	if d.GroundspeedKt != nil && !known(minutes) {
		s.Problem = "without a groundspeed it takes for ever"
	}
	s.Answers = []Figure{
		quantity(say.Distance, 2)("distance", "distance_nm", way.DistanceNM), fineTrack("track to fly, half-way", "track", track),
		magneticDirection("track to fly", "track", w.magneticOf("track", track, variation)), variationFigure(valueOf(variation)),
		fineTrack("track at the start", "start", way.AzimuthStart), fineTrack("track at the end", "end", way.AzimuthEnd), place("half-way", "middle", middle),
		span("time", "minutes", minutes),
	}
	s.Working, s.Notes = w.Text(), wayNotes(way)
	return s, nil
}

// wayNotes say where one track is not enough for the whole way.
func wayNotes(way earth.Geodesic) []string {
	switch {
	case way.DistanceNM == 0:
		return []string{"both are the same place: there is no track"}
	case way.DistanceNM > longLegNM:
		return []string{fmt.Sprintf("longer than %d nm: fly it in pieces, the track changes by %s on the way", longLegNM,
			say.Angle.SaySide(deadreckon.Drift(way.AzimuthStart, way.AzimuthEnd), 1))}
	}
	return nil
}

func decimal(at earth.Position) string {
	return say.SayNumber(at.Lat, 5) + ", " + say.SayNumber(at.Lon, 5)
}

func dateFigure(date *say.Date) Figure {
	f := Figure{Label: "date", Values: []Value{{"date", nil}}}
	if date != nil {
		f.Text, f.Values[0].Value = date.String(), date.String()
	}
	return f
}

// variation at a place, if a date is given.
func (d Distance) variation(w *Working, at earth.Position) (*float64, error) {
	if d.Date == nil {
		return nil, nil
	}
	variation, err := earth.Variation(at, 0, d.Date.At)
	if err != nil {
		return nil, outsideModel(err)
	}
	w.Line("variation half-way: %s", say.SayEast(variation, 2))
	return &variation, nil
}

// outsideModel says what the magnetic model covers.
func outsideModel(err error) error {
	return unfit("give a date from 2025 to 2099 and a height from -3280 ft (-1 km) to 2788000 ft (850 km)", err.Error())
}

// Variation asks for the angle from true to magnetic north.
type Variation struct {
	At       earth.Position
	Date     say.Date
	HeightFt float64
}

// Sum asks the magnetic model.
func (d Variation) Sum() (Sum, error) {
	s := Sum{
		Name: "variation", Title: "Magnetic variation",
		Given: []Figure{place("position", "position", d.At), dateFigure(&d.Date), feetGiven("height", "height_ft", d.HeightFt)},
		Rule:  "magnetic = true - variation, east positive: variation east, magnetic least",
		Source: "World Magnetic Model 2025, NOAA NCEI and British Geological Survey, 2025 to 2029, after that extrapolated; it knows no local iron: the published variation of a " +
			"VOR is its own",
	}
	field, err := earth.Field(d.At, d.HeightFt, d.Date.At)
	if err != nil {
		return Sum{}, outsideModel(err)
	}
	var w Working
	w.Line("decimal year %s", say.SayNumber(earth.DecimalYear(d.Date.At), 3))
	w.Line("horizontal field %s nT, of it %s nT north and %s nT east", say.SayNumber(field.HorizontalNT, 0), say.SayNumber(field.NorthNT, 0), say.SayNumber(field.EastNT, 0))
	if field.NorthNT > 0 {
		w.Line("variation, east positive: atan(%s / %s) = %s°", num(field.EastNT), num(field.NorthNT), num(field.Variation))
	}
	s.Working = w.Text()
	s.Answers = []Figure{
		variationFigure(field.Variation),
		figure("a year changes it by", "variation_per_year", field.VariationPerYear, func(value float64) string { return say.SayEast(value, 2) }),
		quantity(say.Angle, 2)("standard error", "standard_error_deg", field.VariationError()),
		quantity(say.Angle, 1)("dip", "inclination_deg", field.Inclination),
	}
	if field.BeyondYears > 0 {
		years := say.SayNumber(field.BeyondYears, 1) + " years"
		if years == "1 years" {
			years = "a year"
		}
		s.Notes = append(s.Notes, "the model was made for the years to 2029 and is extrapolated by "+years+": compare with a current chart")
	}
	const weakNT = 6000 // the caution zone of the WMM report (from memory)
	if field.HorizontalNT < weakNT {
		s.Notes = append(s.Notes, "near a magnetic pole: the compass, and this figure, are of little use")
	}
	return s, nil
}

// Sun asks for sunrise, sunset and civil twilight.
type Sun struct {
	At   earth.Position
	Date say.Date // a day by local mean time, or a moment in the solar day that is asked for
}

// Sum asks for the solar day.
func (q Sun) Sum() (Sum, error) {
	s := Sum{
		Name: "sun", Title: "Sunrise, sunset and civil twilight, UTC",
		Given:  []Figure{place("position", "position", q.At), dateFigure(&q.Date)},
		Rule:   "sunrise and sunset with the sun's centre 50' below the horizon; civil twilight to 6° below: beyond it is night (ICAO Annex 2, 14 CFR 1.1)",
		Source: "Meeus, Astronomical Algorithms, chapters 12, 22 and 25; for a sea horizon and ordinary air, within a minute or two",
	}
	const firstYear, lastYear = 1900, 2100 // "some decades about 2000" of the source
	if year := q.Date.At.Year(); year < firstYear || year > lastYear {
		return Sum{}, unfit(fmt.Sprintf("give a date from %d to %d, for example 2026-06-21", firstYear, lastYear), fmt.Sprintf("the position of the sun is not known well enough in the year %d", year))
	}
	altitude := unknown
	day := earth.Sun(q.At, q.Date.At)
	if q.Date.Moment {
		day = earth.SunAround(q.At, q.Date.At)
		altitude = earth.SunAltitude(q.At, q.Date.At)
	}
	var w Working
	w.Line("the solar day from %s to %s", say.Moment(day.Begins), say.Moment(day.Ends))
	w.Line("highest at %s, %s° above the horizon; at the midnight after it %s°", say.Moment(day.Transit.At), num(day.NoonAltitude), num(day.MidnightAltitude))
	s.Working = w.Text()
	s.Answers = []Figure{
		event("civil dawn", "civil_dawn", day.CivilDawn), event("sunrise", "sunrise", day.Sunrise), event("highest", "transit", day.Transit),
		event("sunset", "sunset", day.Sunset), event("civil dusk", "civil_dusk", day.CivilDusk),
		slope("height of the sun then", "sun_altitude_deg", altitude), slope("height at noon", "noon_altitude_deg", day.NoonAltitude),
	}
	return s, nil
}

// event is a moment, or why there is none on that day.
func event(label, name string, e earth.SunEvent) Figure {
	f := moment(label, name, e.At)
	switch {
	case e.Occurs:
	case e.StaysAbove:
		f.Text = "none: the sun stays above"
	default:
		f.Text = "none: the sun stays below"
	}
	return f
}

// Position asks for the place on a bearing at a distance, such as a radial and a DME.
type Position struct {
	From       earth.Position
	Bearing    *say.Direction // from there; true where no north is said. Or
	Radial     *say.Direction // magnetic where no north is said
	DistanceNM float64
	Variation  *float64  // for a magnetic bearing; of a VOR its station declination
	Date       *say.Date // instead of the variation: the magnetic model's
}

// Sum works out the place.
func (p Position) Sum() (Sum, error) {
	if (p.Bearing == nil) == (p.Radial == nil) {
		return Sum{}, unfit("give bearing 096, or bearing 096M or radial 096 with the variation", "a bearing or a radial is needed, and one only")
	}
	label, bearing := "bearing", say.Direction{}
	if p.Radial != nil {
		label, bearing = "radial", p.Radial.Or(say.Magnetic)
	} else {
		bearing = p.Bearing.Or(say.True)
	}
	s := Sum{
		Name: "position", Title: "The place on a bearing at a distance",
		Given: []Figure{
			place("from", "from", p.From), eitherGiven(label, "bearing", bearing), milesGiven("distance", "distance_nm", p.DistanceNM),
			variationFigure(valueOf(p.Variation)), dateFigure(p.Date),
		},
		Rule:   "along the geodesic that leaves on the bearing; a radial counts from the station's own variation, any other magnetic bearing from the variation",
		Source: "geodesics: Karney 2013, to a micrometre; variation: WMM2025 at sea level; a DME reads the slant range: legclock sum slant",
	}
	variation := p.Variation
	var w Working
	if p.Date != nil && variation == nil {
		value, err := earth.Variation(p.From, 0, p.Date.At)
		if err != nil {
			return Sum{}, outsideModel(err)
		}
		variation = &value
		w.Line("variation there: %s", say.SayEast(value, 2))
	}
	if bearing.North == say.Magnetic && variation == nil {
		return Sum{}, unfit("give the variation, of a VOR its station declination (variation 3W), or the date, or count the "+label+" from true north: 096T",
			"a magnetic "+label+" counts from true north only by the variation")
	}
	bearingTrue, err := w.trueOf(label, bearing, variation)
	if err != nil {
		return Sum{}, err
	}
	at, azimuthEnd := earth.Direct(p.From, bearingTrue, p.DistanceNM)
	w.Line("from %s on %s°, %s nm", decimal(p.From), dir(bearingTrue), num(p.DistanceNM))
	w.Line("to %s, arriving on %s°", decimal(at), dir(azimuthEnd))
	s.Working = w.Text()
	s.Answers = []Figure{
		place("position", "position", at), trueDirection("bearing from there back", "back", angle.Reciprocal(azimuthEnd)),
	}
	return s, nil
}
