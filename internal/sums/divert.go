package sums

import (
	"time"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/fuel"
	"example.com/legclock/internal/say"
	"example.com/legclock/internal/worked"
)

// Divert asks what it takes to go straight from one place to another.
type Divert struct {
	From, To       earth.Position
	TASKt          float64
	Wind           air.Wind
	Leave          time.Time // optional: for the ETA, the variation and the daylight; zero if not given
	Date           *say.Date // optional: for the variation, where Leave does not say it
	Fuel, Flow     *say.Fuel // optional: usable now, and an hour on the way
	ReserveMinutes *float64  // optional: to be kept, at the flow of the way
}

// Sum works out the way, the wind triangle, the time and what is left.
func (d Divert) Sum() (Sum, error) {
	s := Sum{
		Name: "divert", Title: "Straight to another place", Given: d.given(),
		Rule:   "the track at mid-way of the geodesic, the wind triangle for it, distance and groundspeed for the time, the flow for the fuel",
		Source: triangleSource + "; geodesics: Karney 2013; variation: WMM2025 at sea level",
	}
	if err := d.check(); err != nil {
		return Sum{}, err
	}
	way := earth.Inverse(d.From, d.To)
	s.Notes = wayNotes(way)
	var w Working
	if way.DistanceNM == 0 {
		way.AzimuthStart, way.AzimuthEnd = unknown, unknown
		s.Problem = "it is the place where you are"
		s.Answers = d.answers(way, unknownWay())
		return s, nil
	}
	answer, err := d.way(&w, way)
	if err != nil {
		return Sum{}, err
	}
	s.Working, s.Problem = w.Text(), answer.problem
	s.Answers = d.answers(way, answer)
	s.Notes = append(s.Notes, d.lightNotes(answer.minutes)...)
	if d.Fuel != nil && d.ReserveMinutes == nil {
		s.Notes = append(s.Notes, noReserve)
	}
	return s, nil
}

// wayFlown is what a diversion comes to; what is not known is NaN.
type wayFlown struct {
	trackTrue, trackMagnetic, headingMagnetic float64
	variation                                 *float64
	steer                                     deadreckon.Heading
	minutes                                   float64
	used, left                                say.Fuel
	enduranceMinutes, spareMinutes            float64
	problem                                   string
}

func unknownWay() wayFlown {
	none := say.Fuel{Amount: unknown}
	return wayFlown{
		trackTrue: unknown, trackMagnetic: unknown, headingMagnetic: unknown, minutes: unknown, used: none, left: none, enduranceMinutes: unknown,
		spareMinutes: unknown, steer: deadreckon.Heading{HeadingTrue: unknown, CorrectionDeg: unknown, GroundspeedKt: unknown},
	}
}

func (d Divert) way(w *Working, way earth.Geodesic) (wayFlown, error) {
	a := unknownWay()
	middle, track := earth.NewLine(d.From, d.To).At(way.DistanceNM / 2)
	a.trackTrue = track
	w.Line("half-way at %s the track is %s°", middle, dir(track))
	if date := d.date(); date != nil {
		variation, err := earth.Variation(middle, 0, date.At)
		if err != nil {
			return a, outsideModel(err)
		}
		a.variation = &variation
		w.Line("variation half-way: %s", say.SayEast(variation, 2))
	}
	var err error
	if a.steer, err = w.heading("", track, d.TASKt, d.Wind); err != nil {
		a.problem = err.Error()
	}
	a.trackMagnetic = w.magneticOf("track", track, a.variation)
	a.headingMagnetic = w.magneticOf("heading", a.steer.HeadingTrue, a.variation)
	a.minutes, a.used = w.leg(&way.DistanceNM, a.steer.GroundspeedKt, d.Flow)
	if d.Fuel != nil && known(a.used.Amount) {
		d.rest(w, &a)
	}
	return a, nil
}

// rest is the fuel that is left, and how long it lasts past the reserve.
func (d Divert) rest(w *Working, a *wayFlown) {
	a.left = say.Fuel{Amount: d.Fuel.Amount - a.used.Amount, Unit: d.Fuel.Unit}
	w.Line("left: %s - %s = %s", num(d.Fuel.Amount), fig(a.used.Amount), worked.Amount(a.left.Amount, a.left.Unit))
	if a.left.Amount < 0 {
		a.problem = "the endurance is " + sayMinutes(fuel.EnduranceMinutes(d.Fuel.Amount, d.Flow.Amount)) + " only"
		return
	}
	a.enduranceMinutes = fuel.EnduranceMinutes(a.left.Amount, d.Flow.Amount)
	w.Line("endurance: 60 × %s / %s = %s min", num(a.left.Amount), num(d.Flow.Amount), num(a.enduranceMinutes))
	if d.ReserveMinutes == nil {
		return
	}
	a.spareMinutes = a.enduranceMinutes - *d.ReserveMinutes
	w.Line("over the reserve: %s - %s = %s min", num(a.enduranceMinutes), num(*d.ReserveMinutes), num(a.spareMinutes))
	if a.spareMinutes < 0 {
		a.problem = "the final reserve is not kept: " + sayMinutes(a.enduranceMinutes) + " of " + sayMinutes(*d.ReserveMinutes) + " are left"
	}
}

// date is the day that the variation is asked for; nil where none is known.
func (d Divert) date() *say.Date {
	if !d.Leave.IsZero() {
		return &say.Date{At: d.Leave, Moment: true}
	}
	return d.Date
}

func (d Divert) check() error {
	switch {
	case d.Fuel != nil && d.Flow == nil:
		return unfit("give the flow, for example 24 l/h", "endurance needs the flow, and none is given")
	case d.Flow != nil && d.Flow.Amount <= 0:
		return unfit("give the flow an hour, for example 24", "without a flow there is no endurance")
	case d.ReserveMinutes != nil && d.Fuel == nil:
		return unfit("give the usable fuel, for example 60 l", "a reserve is kept of fuel, and none is given")
	}
	return oneUnit(d.Fuel, d.Flow)
}

func (d Divert) given() []Figure {
	return []Figure{
		place("from", "from", d.From), place("to", "to", d.To), speedGiven("true airspeed", "tas_kt", d.TASKt), windFigure(d.Wind),
		moment("leaving", "leave", d.Leave), dateFigure(d.Date), fuelGiven("usable fuel", "usable_fuel", d.Fuel), flowFigure("flow", "flow_per_hour", d.Flow),
		fuelUnit(d.Fuel, d.Flow), span("reserve", "reserve_minutes", valueOf(d.ReserveMinutes)),
	}
}

func (d Divert) answers(way earth.Geodesic, a wayFlown) []Figure {
	var sunset, dusk Figure
	eta := d.eta(a.minutes)
	if !eta.IsZero() {
		day := earth.SunAround(d.To, eta)
		sunset, dusk = event("sunset there", "sunset", day.Sunset), event("civil dusk there", "civil_dusk", day.CivilDusk)
	} else {
		sunset, dusk = moment("sunset there", "sunset", time.Time{}), moment("civil dusk there", "civil_dusk", time.Time{})
	}
	return []Figure{
		magneticDirection("heading", "heading", a.headingMagnetic), trueDirection("heading", "heading", a.steer.HeadingTrue),
		miles("distance", "distance_nm", way.DistanceNM), span("time", "minutes", a.minutes), moment("ETA", "eta", eta),
		magneticDirection("track", "track", a.trackMagnetic), fineTrack("track half-way, the heading's", "track", a.trackTrue),
		fineTrack("track at the start", "start", way.AzimuthStart), fineTrack("track at the end", "end", way.AzimuthEnd),
		side("wind correction", "wind_correction_deg", a.steer.CorrectionDeg), speed("groundspeed", "groundspeed_kt", a.steer.GroundspeedKt),
		fuelFigure("fuel", "fuel", a.used), fuelFigure("fuel on arrival", "fuel_left", a.left), span("endurance on arrival", "endurance_minutes", a.enduranceMinutes),
		span("over the reserve", "spare_minutes", a.spareMinutes), sunset, dusk,
	}
}

// eta is the time of arrival; zero where none is known.
func (d Divert) eta(minutes float64) time.Time {
	if d.Leave.IsZero() || !known(minutes) || minutes >= 24*60 {
		return time.Time{}
	}
	return d.Leave.Add(inSeconds(minutes))
}

// lightNotes say where the arrival is after sunset or by night.
func (d Divert) lightNotes(minutes float64) []string {
	eta := d.eta(minutes)
	if eta.IsZero() {
		return nil
	}
	switch altitude := earth.SunAltitude(d.To, eta); {
	case altitude < earth.CivilTwilightAltitude:
		return []string{"the ETA is by night, beyond civil twilight"}
	case altitude < earth.SunriseAltitude:
		return []string{"the ETA is between sunset and sunrise, in civil twilight"}
	}
	return nil
}

// noReserve is said where fuel is counted to the last drop.
const noReserve = "no final reserve is kept: give it, for example reserve 45"
