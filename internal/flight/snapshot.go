package flight

import (
	"math"
	"time"

	"example.com/legclock/internal/cards"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/say"
)

// FlightPhase is the state that the whole flight is in.
type FlightPhase string

// The phases of a flight. A diversion is its own phase until the descent.
const (
	BeforeStart FlightPhase = "before start"
	Taxi        FlightPhase = "taxi"
	Climbing    FlightPhase = "climb"
	Cruising    FlightPhase = "cruise"
	Descending  FlightPhase = "descent"
	Arrived     FlightPhase = "arrived"
	Diverting   FlightPhase = "diverting"
)

// Mode is what kind of flight a journal is of.
type Mode string

// The modes of a flight.
const (
	Live     Mode = "live"
	Practice Mode = "practice" // flown in the program's hidden world
	Import   Mode = "import"   // made from a track
)

// Snapshot is everything that is known of a flight at one moment. Every screen, `status` and every report are made from it and
// compute nothing of their own. A nil pointer means "not known (yet)". Degrees, nm, kt, ft, minutes; times UTC.
type Snapshot struct {
	At    time.Time   `json:"at"`
	Title string      `json:"title"`
	Mode  Mode        `json:"mode"`
	Phase FlightPhase `json:"phase"`

	Leg          LegNow          `json:"leg"`
	Clock        Clocks          `json:"clock"`
	Steer        Steer           `json:"steer"`
	Position     *PositionNow    `json:"position"`
	OffTrack     *OffTrackNow    `json:"off_track"` // nil: nobody said how far
	Groundspeed  GroundspeedNow  `json:"groundspeed"`
	Wind         WindNow         `json:"wind"`
	Altimetry    Altimetry       `json:"altimetry"`
	Holding      *HoldingNow     `json:"holding"` // nil: not in a hold
	HoldAt       string          `json:"hold_at"` // where a hold is intended; empty: none is
	Holds        []HoldFlown     `json:"holds"`   // that are over, the earliest first
	Next         *NextPoint      `json:"next"`
	Destination  *DestinationNow `json:"destination"`
	FinalReserve FinalReserve    `json:"final_reserve"`
	FuelState    *FuelState      `json:"fuel_state"` // nil: none is to be declared
	Diversion    *DiversionNow   `json:"diversion"`  // nil: on the planned way
	Alternates   []AlternateNow  `json:"alternates"`
	WaysOut      *WaysOut        `json:"ways_out"` // every point of the plan, the alternates among them, the quickest first
	// SuggestedDiversion is the ident of the place that a diversion would first be looked at for; empty where there is none. It is always
	// an aerodrome: the quickest alternate above the final reserve, else the quickest such aerodrome, else the one with most fuel on arrival.
	SuggestedDiversion string           `json:"suggested_diversion"`
	Critical           CriticalNow      `json:"critical"`
	Crossing           *CrossingNow     `json:"crossing"` // nil: nothing is wanted of a point ahead
	Descent            *DescentNow      `json:"descent"`  // nil: none ahead
	Route              []RoutePoint     `json:"route"`
	Tanks              TanksNow         `json:"tanks"`
	Radio              []ReceiverNow    `json:"radio"`
	Cleared            []ClearedNow     `json:"cleared"`       // the last of each kind
	VORChecks          []VORCheckNow    `json:"vor_checks"`    // the last of each receiver
	Remarks            []string         `json:"remarks"`       // the plan's
	Lists              []cards.Card     `json:"-"`             // before departure, and what to do when lost, without radio, low on fuel, in weather
	Bearing            *BearingCheckNow `json:"bearing_check"` // the one being made, or the last one made; nil before
	Offer              *PassingOffer    `json:"offer"`         // a passing that a feed shows; nil: none
	Ahead              []AheadItem      `json:"ahead"`
	Pressing           []Pressing       `json:"pressing"`
	Prompts            []Prompt         `json:"prompts"` // open ones, the worst first and then the soonest, then the others, latest first
	Report             *PositionReport  `json:"report"`
	Notices            []Notice         `json:"notices"`
	Entries            []Entry          `json:"entries"` // as recorded, the newest last: entry n stands at index n-1

	Covered bool `json:"-"` // what is to be done is left out, for whoever looks is to say it

	Flown *FlownNow `json:"flown,omitempty"` // nil before the arrival
}

// LegNow is the leg being flown and what lies along it. Index counts from 0 over Snapshot.Route's legs.
type LegNow struct {
	Index          int        `json:"index"`
	Count          int        `json:"count"`
	From           string     `json:"from"`
	To             string     `json:"to"`
	ToName         string     `json:"to_name"`
	DistanceNM     float64    `json:"distance_nm"`
	TrackMagnetic  float64    `json:"track_magnetic"`
	CourseOutbound *float64   `json:"course_outbound"`
	CourseInbound  *float64   `json:"course_inbound"`
	AltitudeFt     float64    `json:"altitude_ft"`
	SafeAltitudeFt *float64   `json:"safe_altitude_ft"`
	Marks          []LegMark  `json:"marks"` // by distance
	StartedAt      *time.Time `json:"started_at"`
	PlannedMinutes float64    `json:"planned_minutes"`
}

// OffPlan reports whether the flight has left the route as planned, for good or for a while: from then on the legs are not those of the plan, by
// number.
func (s *Snapshot) OffPlan() bool {
	for i := range s.Route {
		if s.Route[i].Turned != nil {
			return true
		}
	}
	return false
}

// MarkKind says what a place along the leg is.
type MarkKind string

// The kinds of mark.
const (
	MarkPassed       MarkKind = "passed" // a checkpoint that was logged
	MarkCheckpoint   MarkKind = "checkpoint"
	MarkRadio        MarkKind = "radio"
	MarkTopOfClimb   MarkKind = "top-of-climb"
	MarkTopOfDescent MarkKind = "top-of-descent"
	MarkTank         MarkKind = "tank"
)

// LegMark is a place along the leg.
type LegMark struct {
	Kind    MarkKind   `json:"kind"`
	Name    string     `json:"name"`
	AfterNM float64    `json:"after_nm"`
	ETA     *time.Time `json:"eta"`
	Passed  bool       `json:"passed"`
}

// Clocks are elapsed times in seconds; nil before they start.
type Clocks struct {
	LegSeconds      *float64 `json:"leg_seconds"`
	AirborneSeconds *float64 `json:"airborne_seconds"`
	BlockSeconds    *float64 `json:"block_seconds"`
	Rate            float64  `json:"rate"`
	Paused          bool     `json:"paused"`
}

// Steer is what to steer on this leg, by the wind in use.
type Steer struct {
	HeadingMagnetic *float64 `json:"heading_magnetic"`
	// WasMagnetic is the heading along the track, where off the track one is advised that leads back to it or to the leg's end; nil: none is.
	WasMagnetic   *float64 `json:"was_heading_magnetic"`
	TrackMagnetic *float64 `json:"track_magnetic"`
	Drift         *float64 `json:"drift"` // track less heading: positive, the wind carries to the right
	// PlannedHeading is what the sheet had; Steering is what the pilot said to be steering, nil when never said.
	PlannedHeading *float64 `json:"planned_heading_magnetic"`
	Steering       *float64 `json:"steering_magnetic"`
	// NextHeading is what to turn to at the leg's end; nil on the last leg.
	NextHeading *float64 `json:"next_heading_magnetic"`
	NextTrack   *float64 `json:"next_track_magnetic"`
	// NotKnown says that the leg's end, which nobody logged, is overdue by more than the leg after it takes: it was flown on to somewhere that nobody
	// knows, and what is to be steered there nobody knows either.
	NotKnown bool    `json:"not_known"`
	TASKt    float64 `json:"tas_kt"`
	IASKt    float64 `json:"ias_kt"`
}

// PositionSource is what a position was set by last.
type PositionSource string

// The sources of a position.
const (
	ByReckoning PositionSource = "dead reckoning"
	ByPassing   PositionSource = "passing"
	ByFix       PositionSource = "fix"
	ByFeed      PositionSource = "feed"
)

// PositionNow is where the aircraft is reckoned to be.
type PositionNow struct {
	Lat       float64  `json:"lat"`
	Lon       float64  `json:"lon"`
	AfterNM   float64  `json:"after_nm"`
	ToGoNM    float64  `json:"to_go_nm"`
	FromEndNM *float64 `json:"from_end_nm"` // of a leg that is flown to its end with no passing logged, by a feed; nil: the end is ahead, or there is no feed
	// FlownSinceNM is the way flown since the leg's end, which nobody logged, was due, where that is more than the place is in doubt otherwise: it may
	// be ahead or behind by so much; nil: it is not overdue, or a feed shows the place.
	FlownSinceNM  *float64 `json:"flown_since_nm"`
	OffTrackNM    *float64 `json:"off_track_nm"` // right positive; nil: on track, as far as is known
	AltitudeFt    float64  `json:"altitude_ft"`
	UncertaintyNM float64  `json:"uncertainty_nm"` // along the leg, one standard error
	// UncertaintyAcrossNM is that of being on the track, or of OffTrackNM.
	UncertaintyAcrossNM float64        `json:"uncertainty_across_nm"`
	By                  PositionSource `json:"by"`
}

// Place is the latitude and longitude as a position.
func (p PositionNow) Place() earth.Position { return earth.Position{Lat: p.Lat, Lon: p.Lon} }

// OffTrackNow is what a known distance off track means for the heading: as taught (1 in 60) and exactly. Angles carry the sign of
// the offset; turns are positive to the right.
type OffTrackNow struct {
	OffNM           float64 `json:"off_nm"` // right positive
	TrackErrorRule  float64 `json:"track_error_rule"`
	TrackErrorExact float64 `json:"track_error_exact"`
	ClosingRule     float64 `json:"closing_rule"`
	ClosingExact    float64 `json:"closing_exact"`
	TurnRule        float64 `json:"turn_rule"` // straight to the leg's end
	TurnExact       float64 `json:"turn_exact"`
	Differs         bool    `json:"differs"` // rule and exact figure, by a degree or more
	// Turned says that another heading was told since: the turns were counted from the one before it.
	Turned bool `json:"-"`
	// HeadingMagnetic leads straight to the leg's end through the wind in use.
	HeadingMagnetic *float64 `json:"heading_magnetic"`
	// Regain leads back to the track before that; nil where the place to be back on it is passed, or not before the leg's end.
	Regain *RegainNow `json:"regain"`
}

// RegainNow is the way back to the track in a distance that the pilot chose or else, as it is taught, in the distance flown again: one turn
// now, and one on meeting the track. Turns are positive to the right.
type RegainNow struct {
	WithinNM      float64 `json:"within_nm"` // from here, along the track
	Chosen        bool    `json:"chosen"`    // by the pilot
	TurnRule      float64 `json:"turn_rule"` // from the track made good since the leg's start
	TurnExact     float64 `json:"turn_exact"`
	ThenTurnRule  float64 `json:"then_turn_rule"`
	ThenTurnExact float64 `json:"then_turn_exact"`
	// HeadingMagnetic leads there through the wind in use.
	HeadingMagnetic *float64 `json:"heading_magnetic"`
}

// GroundspeedNow sets the groundspeeds side by side.
type GroundspeedNow struct {
	PlannedKt  float64  `json:"planned"`
	MeasuredKt *float64 `json:"measured"` // between the two last passings on the leg
	UsedKt     float64  `json:"used"`     // 0 on the ground, where there is none
	Sum        string   `json:"sum"`      // of the two last passings, also when they end the leg before: "11.5 nm in 7:20 = 94 kt"; empty without two
	SumTo      string   `json:"sum_to"`   // the later of the two
}

// SumSaid is the sum and of which way it is, for it need not be that of the groundspeeds beside it: "to DAM 11.5 nm in 7:20 = 94 kt"; empty without one.
func (g GroundspeedNow) SumSaid() string {
	if g.Sum == "" {
		return ""
	}
	return "to " + g.SumTo + " " + g.Sum
}

// WindSource is where the wind in use comes from.
type WindSource string

// The sources of a wind.
const (
	WindForecast WindSource = "forecast"
	WindFound    WindSource = "found" // by the flight
	WindReport   WindSource = "reported"
)

// WindNow is the wind in use at the height flown.
type WindNow struct {
	FromTrue     float64    `json:"from"`
	SpeedKt      float64    `json:"kt"`
	SigmaKt      float64    `json:"sigma_kt"` // one standard error of a component
	Source       WindSource `json:"source"`
	ForecastFrom float64    `json:"forecast_from"`
	ForecastKt   float64    `json:"forecast_kt"`
}

// Altimetry is the setting in use.
type Altimetry struct {
	QNH    float64 `json:"qnh"`
	Inches bool    `json:"inches"` // the pilot sets it in inches of mercury
}

// NextPoint is the next point to be passed.
type NextPoint struct {
	Point             string    `json:"point"`
	Name              string    `json:"name"`
	IsCheckpoint      bool      `json:"is_checkpoint"`
	ETA               time.Time `json:"eta"`
	ETASigmaSeconds   float64   `json:"eta_sigma_seconds"`
	Planned           time.Time `json:"planned"`
	DifferenceSeconds float64   `json:"difference_seconds"` // revised, or by now where that is over, less planned: positive, late
	OverdueSeconds    *float64  `json:"overdue_seconds"`    // since the ETA; nil: it is still to come. What is overdue is not on time
	ToGoNM            float64   `json:"to_go_nm"`
}

// Stands is how the point stands by its times: "0:58 late", and once its ETA is gone "overdue 0:46", for by then nobody knows how late it will be.
func (n *NextPoint) Stands() string {
	if n.OverdueSeconds != nil {
		return "overdue " + say.Span(*n.OverdueSeconds)
	}
	return say.Against(n.DifferenceSeconds)
}

// DestinationNow is the arrival as it looks now.
type DestinationNow struct {
	Point           string    `json:"point"`
	Name            string    `json:"name"`
	ETA             time.Time `json:"eta"`
	ETASigmaSeconds float64   `json:"eta_sigma_seconds"`
	Planned         time.Time `json:"planned"`
	ToGoNM          float64   `json:"to_go_nm"`
	Passed          bool      `json:"passed"`     // the aircraft was overhead at ETA; Fuel is what is left since
	Fuel            float64   `json:"fuel"`       // usable, on arrival overhead
	FuelSigma       float64   `json:"fuel_sigma"` // one standard error
	ReserveMinutes  float64   `json:"reserve_minutes"`
	// ReserveHeldMinutes is the endurance on arrival, at the flow of cruise; ExtraFuel and ExtraMinutes, at the same flow, are what is over the
	// final reserve, negative where it is not kept.
	ReserveHeldMinutes  float64  `json:"endurance_on_arrival_minutes"`
	ExtraFuel           float64  `json:"extra_fuel"`
	ExtraMinutes        float64  `json:"extra_minutes"`
	BeforeSunsetMinutes *float64 `json:"before_sunset_minutes"` // nil: no sunset that day
	BeforeDarkMinutes   *float64 `json:"before_dark_minutes"`   // end of civil twilight
}

// BelowReserve reports whether the final reserve is not kept on arrival.
func (d DestinationNow) BelowReserve() bool { return d.ExtraFuel < 0 }

// RoutePoint is one row of the route: the departure first, then every leg's end, with the checkpoints between them.
type RoutePoint struct {
	Point             string     `json:"point"`
	Name              string     `json:"name"`
	Leg               int        `json:"leg"` // the leg that ends here or that the checkpoint lies on; -1 for the departure
	Checkpoint        bool       `json:"checkpoint"`
	Boundary          bool       `json:"boundary,omitempty"` // a checkpoint that is a boundary of a flight information region or an airspace
	AfterNM           float64    `json:"after_nm"`
	LegDistanceNM     float64    `json:"leg_distance_nm"`
	TrackMagnetic     float64    `json:"track_magnetic"`
	HeadingMagnetic   *float64   `json:"heading_magnetic"` // by the wind in use
	AltitudeFt        float64    `json:"altitude_ft"`
	GroundspeedKt     float64    `json:"groundspeed_kt"` // in cruise by the wind in use, or measured once flown
	Planned           time.Time  `json:"planned"`
	Revised           *time.Time `json:"revised"` // nil once passed
	SigmaSeconds      *float64   `json:"sigma_seconds"`
	Actual            *time.Time `json:"actual"`
	DifferenceSeconds *float64   `json:"difference_seconds"` // actual or revised, by now where that is over, less planned; nil: nobody knows
	// CarriedOver and ByRatio are what a pilot gets by hand: the planned time later by what the last point was late, and the
	// planned minutes from there stretched as those between the last two points were. Nil where there is nothing to get them from.
	CarriedOver *time.Time `json:"carried_over"`
	ByRatio     *time.Time `json:"by_ratio"`
	Diverted    bool       `json:"diverted,omitempty"` // a point that a diversion left out
	// Turned is when the flight turned aside from the way before, on the row that ends the first leg of a diversion.
	Turned *time.Time `json:"turned,omitempty"`
	// Left is what was flown of a leg that a diversion left, on the row that ends it.
	Left *LegLeft `json:"left,omitempty"`
}

// PromptKind says what a prompt asks for.
type PromptKind string

// The kinds of prompt.
const (
	PromptAct      PromptKind = "entry" // the next act of the flight itself: off blocks, airborne, level, landed
	PromptTurn     PromptKind = "turn"
	PromptTune     PromptKind = "tune"
	PromptIdentify PromptKind = "identify"
	PromptTank     PromptKind = "tank"
	PromptConfirm  PromptKind = "confirm" // a minute after a tank change: engine and fuel pressure
	PromptCheck    PromptKind = "check"
	PromptGyro     PromptKind = "gyro"
	PromptQNH      PromptKind = "altimeter"
	PromptReport   PromptKind = "report"
	PromptContact  PromptKind = "contact" // a station to call
	PromptDescent  PromptKind = "descent"
	PromptLevel    PromptKind = "level" // top of climb
)

// PromptState says how a prompt stands.
type PromptState string

// The states of a prompt.
const (
	Coming        PromptState = "coming"
	Due           PromptState = "due"
	Late          PromptState = "late"
	PromptDone    PromptState = "done"
	PromptSkipped PromptState = "skipped"
	PromptMissed  PromptState = "missed" // a repeating check that was not answered before it came again, or before its phase ended
)

// Prompt is one thing that will be, is or was due.
type Prompt struct {
	ID     string     `json:"id"`
	Kind   PromptKind `json:"kind"`
	Text   string     `json:"text"`   // one line: "tank to left"
	Detail []string   `json:"detail"` // what is needed to do it, line by line
	// Number is the one number of it, which its text has too; nil where there is none.
	Number   *PromptNumber `json:"number,omitempty"`
	Due      time.Time     `json:"due"`
	LateAt   *time.Time    `json:"late_at"` // nil: never late
	State    PromptState   `json:"state"`
	Announce bool          `json:"announced"` // coming, and within its time of announcement
	Answered *time.Time    `json:"answered"`
	Snoozed  bool          `json:"snoozed"`
	// Hasty says that answered now it would be done before its time by more than flights are: the one key asks first.
	Hasty bool `json:"-"`
	// Answer is what one key records.
	Answer Answer `json:"-"`
	// Over is the point ahead at whose passing it is asked for, however overdue that is; empty: it is due at a time.
	Over string `json:"-"`

	over *place // where Over is; nil where that is empty
}

// ByHand reports whether a kind of prompt is answered by a hand; the others come true by flying, and are judged as passings.
func (k PromptKind) ByHand() bool {
	switch k {
	case PromptAct, PromptTurn, PromptLevel:
		return false
	default:
		return true
	}
}

// AnsweredLate reports whether a prompt was answered, not skipped, after it was late.
func (p *Prompt) AnsweredLate() bool {
	return p.State == PromptDone && p.Answered != nil && p.LateAt != nil && p.Answered.After(*p.LateAt)
}

// AfterDue is how many seconds after it was due a prompt was answered, by the two times as they are shown; nil of one that was not, or was skipped.
func (p *Prompt) AfterDue() *float64 {
	if p.Answered == nil || p.State == PromptSkipped {
		return nil
	}
	return ref(say.Apart(p.Due, *p.Answered).Seconds())
}

// Open reports whether a prompt still asks for something.
func (p Prompt) Open() bool { return p.State == Coming || p.State == Due || p.State == Late }

// PositionReport is a report to read out.
type PositionReport struct {
	Text  string   `json:"text"`
	Lines []string `json:"lines"`
}

// Severity is how grave a notice is.
type Severity string

// The severities of a notice, the gravest first.
const (
	Alarm   Severity = "alarm"
	Caution Severity = "caution"
	Note    Severity = "note"
)

// Notice is something that the pilot must know and that no key answers.
type Notice struct {
	Severity Severity `json:"severity"`
	Text     string   `json:"text"`
	Prompt   string   `json:"prompt,omitempty"` // the late prompt that it is about, by its ID
}

// Entry is one line of the list of entries, with what became of it.
type Entry struct {
	Event   *Event `json:"event"`
	Text    string `json:"text"` // "passing KVN"
	Voided  bool   `json:"voided"`
	Amended bool   `json:"amended"`
	Late    bool   `json:"late"` // entered more than a few seconds after the fact
}

// DiversionNow is the way that was turned to, away from the plan.
type DiversionNow struct {
	To      string    `json:"to"`
	Name    string    `json:"name"`
	Since   time.Time `json:"since"`
	Rejoins bool      `json:"rejoins"` // from To on the flight goes on as planned
}

// AlternateNow is one way out: straight to a point, from where the aircraft is.
type AlternateNow struct {
	Point      string  `json:"point"`
	Name       string  `json:"name"`
	Kind       string  `json:"kind"`      // of the plan's point: "aerodrome", "vor" …
	Alternate  bool    `json:"alternate"` // the plan lists it as one
	DistanceNM float64 `json:"distance_nm"`
	// TrackMagnetic, HeadingMagnetic and Turn mean nothing within a few hundred metres of the point.
	TrackMagnetic       float64   `json:"track_magnetic"`
	HeadingMagnetic     float64   `json:"heading_magnetic"`
	Turn                *float64  `json:"turn"` // from the heading now, right positive; nil on the ground
	Minutes             float64   `json:"minutes"`
	ETA                 time.Time `json:"eta"`
	Fuel                float64   `json:"fuel"` // usable, there
	ReserveHeldMinutes  float64   `json:"endurance_on_arrival_minutes"`
	ExtraFuel           float64   `json:"extra_fuel"` // over the final reserve; with ExtraMinutes as for the destination
	ExtraMinutes        float64   `json:"extra_minutes"`
	BeforeSunsetMinutes *float64  `json:"before_sunset_minutes"`
	BeforeDarkMinutes   *float64  `json:"before_dark_minutes"`
	// Rejoin is the leg of the plan that ends there, where that is still to be flown: the plan can be taken up again there.
	Rejoin  *int   `json:"rejoin"`
	Problem string `json:"problem,omitempty"` // why it can't be reached
}

// BelowReserve reports whether the final reserve is not kept there.
func (a AlternateNow) BelowReserve() bool { return a.ExtraFuel < 0 }

// Aerodrome reports whether one can land there, and so divert to it.
func (a AlternateNow) Aerodrome() bool { return a.Kind == string(plan.Aerodrome) }

// NearNM is how close a place must be for a heading to it to mean nothing.
const NearNM = 0.05

// CriticalNow are the two points at which a way back is decided. Back means straight to the departure, at cruise.
type CriticalNow struct {
	EqualTime *CriticalPoint `json:"equal_time"` // nil: passed, or there is none
	NoReturn  *CriticalPoint `json:"no_return"`  // nil: passed, or a return is possible from everywhere
}

// CriticalPoint is a place on the way ahead.
type CriticalPoint struct {
	Leg     int       `json:"leg"`
	AfterNM float64   `json:"after_nm"`
	ETA     time.Time `json:"eta"`
	Back    string    `json:"back"`    // the ident of the point to return to
	Minutes float64   `json:"minutes"` // back from there
}

// HoldingNow is the hold being flown.
type HoldingNow struct {
	Point string    `json:"point"` // empty where none was named
	Since time.Time `json:"since"`
	Fuel  float64   `json:"fuel"` // burned in it
	// LeaveBy is when it must be left to arrive at the destination with the reserve; nil where that is past already or not known.
	LeaveBy *time.Time `json:"leave_by"`
	// Leave is when to leave it for a time that is wanted of a point ahead; nil where none is.
	Leave *time.Time `json:"leave"`
}

// LegLeft is what was flown of a leg until it was left.
type LegLeft struct {
	From    time.Time `json:"from"`
	To      time.Time `json:"to"`
	AfterNM float64   `json:"after_nm"` // along the leg, when it was left
	// DistanceNM is how far from the leg's start that was, off its track too.
	DistanceNM float64 `json:"distance_nm"`
}

// HoldFlown is a hold that is over: a row of its own between the points of the route.
type HoldFlown struct {
	Point   string    `json:"point"` // empty where none was named
	Leg     int       `json:"leg"`
	AfterNM float64   `json:"after_nm"`
	From    time.Time `json:"from"`
	To      time.Time `json:"to"`
	Fuel    float64   `json:"fuel"`

	left bool // it was said to be, or its own point was passed; else another passing or the landing ended it, and nobody knows when it was
}

// FlownBetween is how much of the time between two moments was flown and not spent in holds, of the times as they are shown. ok is false where
// nobody said when a hold between them was left.
func FlownBetween(from, to time.Time, holds []HoldFlown) (flown time.Duration, ok bool) {
	flown, ok = say.Apart(from, to), true
	for i := range holds {
		if hold := &holds[i]; !hold.From.Before(from) && !hold.To.After(to) {
			flown -= say.Apart(hold.From, hold.To)
			ok = ok && hold.left
		}
	}
	return flown, ok
}

// LongerSeconds is by how much what was flown took longer than planned, seconds, of the two as they are shown.
func LongerSeconds(flown time.Duration, plannedMinutes float64) float64 {
	return flown.Seconds() - math.Round(60*plannedMinutes)
}

// CrossingNow is a time or an altitude that is wanted of a point ahead, and what it takes.
type CrossingNow struct {
	Point       string       `json:"point"`
	Name        string       `json:"name"`
	ETA         time.Time    `json:"eta"` // as it stands
	Wanted      *time.Time   `json:"wanted"`
	AltitudeFt  *float64     `json:"altitude_ft"`
	LoseSeconds *float64     `json:"lose_seconds"` // wanted less ETA: positive, time is to be lost
	Speed       *SpeedWanted `json:"speed"`        // nil: no airspeed within reach does it
	Hold        *HoldWanted  `json:"hold"`         // instead of another speed; nil: there is no time to lose
	Problem     string       `json:"problem,omitempty"`
}

// SpeedWanted is the airspeed that brings the flight over a point at the time wanted, flown in cruise from here on.
type SpeedWanted struct {
	IASKt           float64 `json:"ias_kt"`
	TASKt           float64 `json:"tas_kt"`
	GroundspeedKt   float64 `json:"groundspeed_kt"`   // on the leg being flown
	HeadingMagnetic float64 `json:"heading_magnetic"` // the same
}

// HoldWanted is the hold that loses the time instead.
type HoldWanted struct {
	Point   string    `json:"point"` // empty: here
	Minutes float64   `json:"minutes"`
	Fuel    float64   `json:"fuel"`
	Enter   time.Time `json:"enter"`
	Leave   time.Time `json:"leave"`
}

// DescentNow is the next descent: to an altitude that is wanted of a point, else the last one, to the circuit.
type DescentNow struct {
	Point         string    `json:"point"` // over which ToFt is reached
	Name          string    `json:"name"`
	FromFt        float64   `json:"from_ft"`
	ToFt          float64   `json:"to_ft"`
	RateFtMin     float64   `json:"rate_ft_min"`
	GroundspeedKt float64   `json:"groundspeed_kt"` // of the descent, by the wind in use
	Minutes       float64   `json:"minutes"`
	BeforeNM      float64   `json:"before_nm"` // the level is left so far before the point
	TaughtNM      float64   `json:"taught_nm"` // as taught, 3 nm for each 1,000 ft
	LeaveAt       time.Time `json:"leave_at"`
	ToGoNM        float64   `json:"to_go_nm"`
	Begun         bool      `json:"begun"`
	Late          bool      `json:"late"`
	// NeededFtMin is the rate from here on, once it is late or begun; nil before, and overhead the point.
	NeededFtMin *float64 `json:"needed_ft_min"`
}

// PassingOffer is a passing or the take-off that a feed's positions show: the pilot may take it. It stands until taken or refused.
type PassingOffer struct {
	ID         string    `json:"id"` // skipping it by this name refuses it
	Act        Act       `json:"do"` // Passing, or Airborne, which is at no point
	Point      string    `json:"point"`
	Name       string    `json:"name"`
	At         time.Time `json:"at"`
	OffTrackNM float64   `json:"off_track_nm"` // right positive
}
