package sheet

import (
	"encoding/json"
	"io"
	"math"
	"time"

	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/radio"
)

// The JSON form, whose names and units programs rely on: nautical miles, knots, feet, minutes, degrees, unrounded; times RFC 3339;
// legs count from 0; what is missing is null.
type jsonSheet struct {
	Title      string         `json:"title"`
	OffBlocks  time.Time      `json:"off_blocks"`
	Airborne   time.Time      `json:"airborne"`
	DistanceNM float64        `json:"distance_nm"`
	Minutes    float64        `json:"minutes"`
	Legs       []jsonLeg      `json:"legs"`
	Climb      jsonClimb      `json:"climb"`
	Descent    jsonDescent    `json:"descent"`
	Fuel       jsonFuel       `json:"fuel"`
	Tanks      jsonTanks      `json:"tanks"`
	Radio      []jsonRadio    `json:"radio"`
	Daylight   jsonDaylight   `json:"daylight"`
	Alternates []jsonDaylight `json:"daylight_alternates"`
	Ways       []jsonWay      `json:"alternates"`
	Contacts   []jsonContact  `json:"contacts"`
	Remarks    []string       `json:"remarks"`
	Freezing   *float64       `json:"freezing_level_ft"` // null: not between sea level and 30,000 ft
	Problems   []plan.Problem `json:"problems"`
}

// jsonWay is the way to an alternate from overhead the destination.
type jsonWay struct {
	Point           string    `json:"point"`
	HeadingMagnetic float64   `json:"heading_magnetic"`
	DistanceNM      float64   `json:"distance_nm"`
	Minutes         float64   `json:"minutes"`
	Fuel            float64   `json:"fuel"`
	ETA             time.Time `json:"eta"`
}

type jsonContact struct {
	Leg       int       `json:"leg"`
	Name      string    `json:"name"`
	Frequency float64   `json:"frequency"`
	AfterNM   float64   `json:"after_nm"`
	ETA       time.Time `json:"eta"`
	For       string    `json:"for"`
}

// jsonRow is a row of the log: a leg, or the part of one that is flown in one phase.
type jsonRow struct {
	From            string    `json:"from"`
	To              string    `json:"to"` // an ident, TOC, TOD or LVL
	Phase           Phase     `json:"phase"`
	DistanceNM      float64   `json:"distance_nm"`
	WindFrom        float64   `json:"wind_from"`
	WindKt          float64   `json:"wind_kt"`
	TASKt           float64   `json:"tas_kt"`
	HeadingMagnetic float64   `json:"heading_magnetic"`
	HeadingCompass  *float64  `json:"heading_compass"` // null without a deviation card
	GroundspeedKt   float64   `json:"groundspeed_kt"`
	Minutes         float64   `json:"minutes"`
	ETA             time.Time `json:"eta"`
	Fuel            float64   `json:"fuel"`
}

type jsonLeg struct {
	From              string           `json:"from"`
	To                string           `json:"to"`
	Kind              string           `json:"kind"` // climb, cruise, descent or mixed
	DistanceNM        float64          `json:"distance_nm"`
	TrackTrue         float64          `json:"track_true"`
	TrackMagnetic     float64          `json:"track_magnetic"`
	CourseOutbound    *float64         `json:"course_outbound"`
	CourseInbound     *float64         `json:"course_inbound"`
	Variation         float64          `json:"variation"`      // east positive
	VariationFrom     plan.Source      `json:"variation_from"` // plan or model
	AltitudeFt        float64          `json:"altitude_ft"`
	WindFrom          float64          `json:"wind_from"`
	WindKt            float64          `json:"wind_kt"`
	TASKt             float64          `json:"tas_kt"`
	WindCorrectionDeg float64          `json:"wind_correction_deg"`
	HeadingTrue       float64          `json:"heading_true"`
	HeadingMagnetic   float64          `json:"heading_magnetic"`
	GroundspeedKt     float64          `json:"groundspeed_kt"`
	Minutes           float64          `json:"minutes"`
	ETA               time.Time        `json:"eta"`
	Fuel              float64          `json:"fuel"`
	Checkpoints       []jsonCheckpoint `json:"checkpoints"`
	SafeAltitudeFt    *float64         `json:"safe_altitude_ft"`
	Log               []jsonRow        `json:"log"`
}

type jsonCheckpoint struct {
	Name    string    `json:"name"`
	AfterNM float64   `json:"after_nm"`
	ETA     time.Time `json:"eta"`
	// Boundary says that a flight information region or an airspace is entered there.
	Boundary bool `json:"boundary"`
}

// jsonChange is a climb or descent; all null when there is none.
type jsonChange struct {
	Minutes    *float64   `json:"minutes"`
	DistanceNM *float64   `json:"distance_nm"`
	Fuel       *float64   `json:"fuel"`
	TopLeg     *int       `json:"top_leg"`
	TopETA     *time.Time `json:"top_eta"`
}

type jsonClimb struct {
	jsonChange
	TopAfterNM *float64 `json:"top_after_nm"` // from the start of the leg that the top lies on
}

type jsonDescent struct {
	jsonChange
	TopBeforeNM *float64 `json:"top_before_nm"` // to the end of the leg that the top lies on
}

type jsonFuel struct {
	Unit             string   `json:"unit"`
	Taxi             float64  `json:"taxi"`
	Trip             float64  `json:"trip"`
	Contingency      float64  `json:"contingency"`
	Alternate        *float64 `json:"alternate"`
	Reserve          float64  `json:"reserve"`
	Required         float64  `json:"required"`
	OnBoard          float64  `json:"on_board"`
	Unusable         float64  `json:"unusable"`
	Spare            float64  `json:"spare"`
	MinimumBlock     float64  `json:"minimum_block"` // required, by the trade's name
	Block            float64  `json:"block"`         // on board
	Extra            float64  `json:"extra"`         // spare
	OnArrival        float64  `json:"on_arrival"`    // usable
	CruiseFlow       float64  `json:"cruise_flow"`   // per hour on the last leg, that of extra
	EnduranceFlow    float64  `json:"endurance_flow"`
	EnduranceMinutes *float64 `json:"endurance_minutes"`
	ReserveMinutes   float64  `json:"reserve_minutes"`
	ReserveSource    string   `json:"reserve_source"`
	// Mass is null where the aircraft gives no density.
	Mass *jsonMass `json:"mass"`
}

type jsonMass struct {
	OnBoardKg float64 `json:"on_board_kg"`
	TakeOffKg float64 `json:"take_off_kg"`
	LandingKg float64 `json:"landing_kg"`
}

type jsonTanks struct {
	Changes             []jsonTankChange `json:"changes"`
	MaxImbalancePlanned *float64         `json:"max_imbalance_planned"`
}

type jsonTankChange struct {
	At                   time.Time `json:"at"`
	MinutesAfterAirborne float64   `json:"minutes_after_airborne"`
	To                   string    `json:"to"`
	ImbalanceBefore      float64   `json:"imbalance_before"`
}

type jsonRadio struct {
	Leg        int       `json:"leg"`
	Receiver   string    `json:"receiver"`
	Beacon     string    `json:"beacon"`
	Frequency  float64   `json:"frequency"`
	IdentMorse string    `json:"ident_morse"`
	Course     *float64  `json:"course"`
	AfterNM    float64   `json:"after_nm"`
	ETA        time.Time `json:"eta"`
	RangeNM    *float64  `json:"range_nm"`
	InRange    *bool     `json:"in_range"`
	Automatic  bool      `json:"automatic"`
}

type jsonDaylight struct {
	Point            string     `json:"point"`
	Sunset           *time.Time `json:"sunset"`
	CivilTwilightEnd *time.Time `json:"civil_twilight_end"`
	Arrival          time.Time  `json:"arrival"`
}

func (s *Sheet) writeJSON(w io.Writer) error {
	encoder := json.NewEncoder(w)
	encoder.SetEscapeHTML(false)
	encoder.SetIndent("", "  ")
	return encoder.Encode(s.json())
}

func (s *Sheet) json() jsonSheet {
	out := jsonSheet{
		Title: s.Plan.Title, OffBlocks: s.Plan.OffBlocks, Airborne: s.Airborne,
		DistanceNM: s.Route.DistanceNM(), Minutes: s.Trajectory.TotalMinutes(),
		Climb:      jsonClimb{jsonChange: s.Climb.json()},
		Descent:    jsonDescent{jsonChange: s.Descent.json()},
		Fuel:       s.jsonFuel(),
		Tanks:      s.jsonTanks(),
		Daylight:   s.Daylight[0].json(),
		Legs:       make([]jsonLeg, len(s.Legs)),
		Radio:      make([]jsonRadio, len(s.Radio)),
		Alternates: make([]jsonDaylight, len(s.Daylight)-1),
		Ways:       make([]jsonWay, len(s.Alternates)),
		Contacts:   make([]jsonContact, len(s.Contacts)),
		Remarks:    append([]string{}, s.Plan.Remarks...),
		Problems:   append([]plan.Problem{}, s.Problems...),
	}
	if freezingFt, ok := s.FreezingLevelFt(); ok {
		out.Freezing = &freezingFt
	}
	for i, way := range s.Alternates {
		out.Ways[i] = jsonWay{way.Ident, way.HeadingMagnetic, way.DistanceNM, way.Minutes, way.Fuel, way.ETA}
	}
	for i, c := range s.Contacts {
		out.Contacts[i] = jsonContact{c.Leg, c.Name, c.FrequencyMHz, c.AfterNM, c.ETA, c.For}
	}
	if s.Climb.Minutes > 0 {
		out.Climb.TopAfterNM = &s.Climb.TopAfterNM
	}
	if s.Descent.Minutes > 0 {
		before := s.Legs[s.Descent.TopLeg].DistanceNM - s.Descent.TopAfterNM
		out.Descent.TopBeforeNM = &before
	}
	for i, leg := range s.Legs {
		out.Legs[i] = leg.json()
		for _, part := range s.LogParts(i) {
			row := jsonRow{
				part.From, part.To, part.Phase, part.DistanceNM, part.Wind.FromTrue, part.Wind.SpeedKt, part.TASKt, part.HeadingMagnetic, nil,
				part.GroundspeedKt, part.Minutes, part.ETA, part.Fuel,
			}
			if compass, ok := s.Plan.Aircraft.CompassHeading(part.HeadingMagnetic); ok {
				row.HeadingCompass = &compass
			}
			out.Legs[i].Log = append(out.Legs[i].Log, row)
		}
	}
	for i, step := range s.Radio {
		out.Radio[i] = step.json(s.RadioETAs[i])
	}
	for i, daylight := range s.Daylight[1:] {
		out.Alternates[i] = daylight.json()
	}
	return out
}

func (l Leg) json() jsonLeg {
	leg := jsonLeg{
		From: l.From.Ident, To: l.To.Ident, Kind: l.Kind, DistanceNM: l.DistanceNM,
		TrackTrue: l.TrackTrue, TrackMagnetic: l.TrackMagnetic, CourseOutbound: l.CourseOutbound, CourseInbound: l.CourseInbound,
		Variation: l.Variation, VariationFrom: l.VariationFrom, AltitudeFt: l.AltitudeFt, WindFrom: l.Wind.FromTrue, WindKt: l.Wind.SpeedKt, TASKt: l.TASKt,
		WindCorrectionDeg: l.CorrectionDeg, HeadingTrue: l.HeadingTrue, HeadingMagnetic: l.HeadingMagnetic,
		GroundspeedKt: l.GroundspeedKt, Minutes: l.Minutes, ETA: l.ETA, Fuel: l.Fuel,
		Checkpoints: make([]jsonCheckpoint, len(l.Checkpoints)), SafeAltitudeFt: l.SafeAltitudeFt,
	}
	for i, checkpoint := range l.Checkpoints {
		leg.Checkpoints[i] = jsonCheckpoint{checkpoint.Name, checkpoint.AfterNM, l.CheckpointETAs[i], checkpoint.Boundary}
	}
	return leg
}

func (c LevelChange) json() jsonChange {
	if c.Minutes == 0 {
		return jsonChange{}
	}
	return jsonChange{&c.Minutes, &c.DistanceNM, &c.Fuel, &c.TopLeg, &c.TopAt}
}

func (s *Sheet) jsonFuel() jsonFuel {
	f := s.Fuel
	out := jsonFuel{
		Unit: f.Unit, Taxi: f.Taxi, Trip: f.Trip, Contingency: f.Contingency, Reserve: f.Reserve, Required: f.MinimumBlock,
		OnBoard: f.Block, Unusable: f.Unusable, Spare: f.Extra,
		MinimumBlock: f.MinimumBlock, Block: f.Block, Extra: f.Extra, OnArrival: f.OnArrival, CruiseFlow: f.CruiseFlow, EnduranceFlow: f.EnduranceFlow,
		ReserveMinutes: f.ReserveMinutes, ReserveSource: f.ReserveSource,
	}
	if f.Mass != nil {
		mass := jsonMass(*f.Mass)
		out.Mass = &mass
	}
	if s.alternate() != "" {
		out.Alternate = &f.Alternate
	}
	if !math.IsInf(f.EnduranceMinutes, 0) {
		out.EnduranceMinutes = &f.EnduranceMinutes
	}
	return out
}

func (s *Sheet) jsonTanks() jsonTanks {
	tanks := jsonTanks{Changes: make([]jsonTankChange, len(s.Tanks.Changes))}
	for i, change := range s.Tanks.Changes {
		tanks.Changes[i] = jsonTankChange(change)
	}
	if len(s.Plan.Aircraft.Fuel.Tanks) > 1 {
		tanks.MaxImbalancePlanned = &s.Tanks.Schedule.HighestImbalance
	}
	return tanks
}

func (r RadioStep) json(eta time.Time) jsonRadio {
	morse, _ := radio.Morse(r.Beacon.Ident)
	step := jsonRadio{
		Leg: r.Leg, Receiver: r.Receiver, Beacon: r.Beacon.Ident, Frequency: r.Beacon.Frequency, IdentMorse: morse,
		Course: r.CourseMagnetic, AfterNM: r.AfterNM, ETA: eta, Automatic: r.Automatic,
	}
	if r.RangeNM > 0 {
		step.RangeNM, step.InRange = &r.RangeNM, &r.InRange
	}
	return step
}

func (d Daylight) json() jsonDaylight {
	return jsonDaylight{d.Ident, d.Sunset, d.CivilTwilightEnd, d.Arrival}
}
