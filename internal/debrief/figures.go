package debrief

import (
	"time"

	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/feed"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/practice"
	"example.com/legclock/internal/remarks"
	"example.com/legclock/internal/replay"
	"example.com/legclock/internal/say"
	"example.com/legclock/internal/sheet"
)

// Log is one flight as it was recorded.
type Log struct {
	Name              string // as the report is to call it
	Mode              flight.Mode
	Pilot, Instructor string // any text, or a code; empty: not said
	Sheet             *sheet.Sheet
	Events            []flight.Event
	Tape              *replay.Tape  // of the same events, where somebody plays them too; nil: none
	Start             *flight.State // of the sheet, when nothing had been recorded, where many logs share it; nil: none has been made

	Remarks []remarks.Remark
	Truth   *sheet.Air       // practice: the air as it really was; nil: not known
	Hidden  *practice.Report // practice: what was hidden; nil: not known
	Track   []feed.Sample    // recorded beside the log: the way that was really flown, in order of time; none: not known
	Notes   []string         // what is to be said of the log itself: damage
}

// Flight is what one flight teaches. Its JSON form is what programs read.
type Flight struct {
	Name         string             `json:"log"`
	Title        string             `json:"title"`
	Mode         flight.Mode        `json:"mode"`
	Pilot        string             `json:"pilot,omitempty"`
	Instructor   string             `json:"instructor,omitempty"`
	Aircraft     string             `json:"aircraft"`
	Registration string             `json:"registration,omitempty"`
	Totals       Totals             `json:"totals"`
	Legs         []Leg              `json:"legs"`
	Holds        []flight.HoldFlown `json:"holds"` // between the legs, each with the leg that it was flown on
	Passings     []Passing          `json:"passings"`
	Flown        *Flown             `json:"flown"` // nil: nothing but the log tells
	ETA          ETAErrors          `json:"eta"`
	Arrival      []Estimate         `json:"arrival"` // the ETA at the destination as it was revised
	Winds        []Wind             `json:"winds"`
	Discipline   Discipline         `json:"discipline"`
	Tanks        Tanks              `json:"tanks"`
	Fuel         Fuel               `json:"fuel"`
	Track        Track              `json:"track"`
	Lessons      []Lesson           `json:"lessons"`
	Remarks      []RemarkMade       `json:"remarks"`
	Notes        []string           `json:"notes"`
	Practice     *practice.Report   `json:"practice,omitempty"` // what a practice flight hid
	Caution      string             `json:"caution"`
}

// Milestone is a moment of the whole flight, as planned and as it was.
type Milestone struct {
	Planned           *time.Time `json:"planned"`
	Actual            *time.Time `json:"actual"`
	DifferenceSeconds *float64   `json:"difference_seconds"` // positive, later than planned
}

// Totals are the figures of the whole flight.
type Totals struct {
	OffBlocks       Milestone `json:"off_blocks"`
	Airborne        Milestone `json:"airborne"`
	Destination     string    `json:"destination"`
	Overhead        Milestone `json:"overhead_destination"`
	Landed          Milestone `json:"landed"` // no plan has a time of landing
	OnBlocks        Milestone `json:"on_blocks"`
	DistanceNM      float64   `json:"distance_nm"` // of the legs flown, of one that was left to where that was; without holds
	PlannedMinutes  *float64  `json:"planned_minutes"`
	ActualMinutes   *float64  `json:"actual_minutes"` // airborne to overhead the destination
	AirborneMinutes *float64  `json:"airborne_minutes"`
	Diverted        bool      `json:"diverted"`
	Complete        bool      `json:"complete"` // the log goes to the landing
	Entries         int       `json:"entries"`
}

// Leg sets a leg's plan beside how it was flown.
type Leg struct {
	Index     int    `json:"index"`
	From      string `json:"from"`
	To        string `json:"to"`
	Diversion bool   `json:"diversion"`
	LeftOut   bool   `json:"left_out"` // by a diversion
	// LeftAfterMinutes is how long it was flown before it was left; nil: it was flown to its end, or not at all.
	LeftAfterMinutes *float64 `json:"left_after_minutes"`
	LeftAfterNM      *float64 `json:"left_after_nm"` // from its start
	DistanceNM       float64  `json:"distance_nm"`

	PlannedMinutes *float64 `json:"planned_minutes"`
	ActualMinutes  *float64 `json:"actual_minutes"`
	// The groundspeeds are those over the whole leg, climb and descent included.
	PlannedGroundspeedKt *float64 `json:"planned_groundspeed_kt"`
	ActualGroundspeedKt  *float64 `json:"actual_groundspeed_kt"`
	TrackMagnetic        float64  `json:"track_magnetic"`
	PlannedHeading       *float64 `json:"planned_heading_magnetic"`
	GivenHeading         *float64 `json:"given_heading_magnetic"`   // what the program gave to steer, the mean over the leg's time
	SteeredHeading       *float64 `json:"steered_heading_magnetic"` // what the pilot said to steer, the mean over the time since said
	SteeredOff           *float64 `json:"steered_off_degrees"`      // the farthest from the heading that follows the leg, held for two minutes; right positive
	PlannedDrift         *float64 `json:"planned_drift"`            // positive, to the right
	FoundDrift           *float64 `json:"found_drift"`              // by the wind found at the leg's end
	Wind                 *Wind    `json:"wind"`                     // found at the leg's end; nil: nothing was found on it
	OffTrackNM           *float64 `json:"off_track_nm"`             // the farthest that was logged or that a fix gave, right positive

	StartedAt  *time.Time `json:"started_at"` // nil: nothing was flown of it
	OffTrackAt *time.Time `json:"off_track_at"`
	// Why it went so; see causes. What is not the pilot's log is a practice flight's truth, a feed or a track.
	FlownOffTrackNM *float64   `json:"flown_off_track_nm"` // the farthest by what is not the pilot's log
	FlownOffTrackAt *time.Time `json:"flown_off_track_at"`
	TrackMadeGood   *float64   `json:"track_made_good_magnetic"` // since a heading was logged on the leg
	FlownWindFrom   *float64   `json:"flown_wind_from"`          // by the track made good, the headings logged and the TAS
	FlownWindKt     *float64   `json:"flown_wind_kt"`
	LevelFt         *float64   `json:"level_ft"`     // in force where it was left farthest
	OffLevelFt      *float64   `json:"off_level_ft"` // the farthest from it, once it was reached and before the last descent
	OffLevelAt      *time.Time `json:"off_level_at"`
	BelowMSAFt      *float64   `json:"below_msa_ft"`      // at most, in that time; nil: never
	TurnBy          string     `json:"turn_by,omitempty"` // by what the turn onto the leg was seen: "track" or "heading"
	TurnDegrees     *float64   `json:"turn_degrees"`      // right positive
	TurnLateSeconds *float64   `json:"turn_late_seconds"` // half-way round after the point
	TurnOffTrackNM  *float64   `json:"turn_off_track_nm"` // how far the turn's lateness took the aircraft off the leg
	TurnCostMinutes *float64   `json:"turn_cost_minutes"`
	WindMinutes     *float64   `json:"wind_cost_minutes"` // more than planned by the wind found at the planned airspeed
}

// Passing is a point that was passed and how good the ETAs for it had been when the point before was logged.
type Passing struct {
	Point            string    `json:"point"`
	Name             string    `json:"name"`
	Leg              int       `json:"leg"`
	Checkpoint       bool      `json:"checkpoint"`
	AfterNM          float64   `json:"after_nm"`
	At               time.Time `json:"at"`
	EnteredAfter     float64   `json:"entered_after_seconds"`
	Planned          time.Time `json:"planned"`
	PlanErrorSeconds float64   `json:"plan_error_seconds"`
	Estimate         *Estimate `json:"estimate"` // nil: there was none
	GroundspeedKt    *float64  `json:"groundspeed_kt"`
	OffTrackNM       *float64  `json:"off_track_nm"`
}

// Estimate is the ETAs for a point at a moment before it was passed, and how far each was out.
type Estimate struct {
	MadeAt time.Time `json:"made_at"`
	After  string    `json:"made_after"` // the point passed before, or the act that revised it
	// CorrectedSince says that a time of passing known then is another now: the ETAs are not those that the times of the log give.
	CorrectedSince bool      `json:"corrected_since"`
	LeadMinutes    float64   `json:"lead_minutes"`
	Revised        time.Time `json:"revised"`
	// CarriedOver and ByRatio are the two hand sums: the plan's times later by what the last point was late, and the plan's minutes
	// stretched as those between the last two points were.
	CarriedOver         *time.Time `json:"carried_over"`
	ByRatio             *time.Time `json:"by_ratio"`
	RevisedErrorSeconds *float64   `json:"revised_error_seconds"` // nil: the point was never passed
	SigmaSeconds        float64    `json:"sigma_seconds"`
	Sigmas              *float64   `json:"sigmas"` // the error in standard errors
	CarriedErrorSeconds *float64   `json:"carried_over_error_seconds"`
	RatioErrorSeconds   *float64   `json:"by_ratio_error_seconds"`
}

// HandErrorSeconds is the error of the better known hand sum: by ratio where two passings allow it, else carried over.
func (e Estimate) HandErrorSeconds() *float64 {
	if e.RatioErrorSeconds != nil {
		return e.RatioErrorSeconds
	}
	return e.CarriedErrorSeconds
}

// ETAErrors sums the errors of the ETAs up over the passings that had one.
type ETAErrors struct {
	Count        int      `json:"count"`
	PlanMean     *float64 `json:"plan_mean_seconds"` // means of the absolute errors
	HandMean     *float64 `json:"hand_mean_seconds"`
	RevisedMean  *float64 `json:"revised_mean_seconds"`
	Within1Sigma *float64 `json:"within_1_sigma"` // shares of the revised ETAs, 0 to 1
	Within2Sigma *float64 `json:"within_2_sigma"`
}

// Wind is the wind at a moment: as it was believed to be, as forecast, and as it really was where that is known.
type Wind struct {
	At           time.Time         `json:"at"`
	After        string            `json:"after"` // the point passed
	Leg          int               `json:"leg"`
	AltitudeFt   float64           `json:"altitude_ft"`
	FromTrue     float64           `json:"from"`
	SpeedKt      float64           `json:"kt"`
	SigmaKt      float64           `json:"sigma_kt"`
	Source       flight.WindSource `json:"source"`
	ForecastFrom float64           `json:"forecast_from"`
	ForecastKt   float64           `json:"forecast_kt"`
	TrueFrom     *float64          `json:"true_from"`
	TrueKt       *float64          `json:"true_kt"`
}

// Discipline is how the log was kept.
type Discipline struct {
	PassingsDue      int          `json:"passings_due"` // on the legs flown
	PassingsLogged   int          `json:"passings_logged"`
	Missed           []Missed     `json:"passings_missed"`
	EnteredLate      int          `json:"entered_late"`
	WorstEnteredLate float64      `json:"worst_entered_late_seconds"`
	Prompts          []PromptMade `json:"prompts"`
	PromptsAsked     int          `json:"prompts_asked"`
	PromptsInTime    int          `json:"prompts_in_time"`
	PromptsLate      int          `json:"prompts_late"`
	PromptsSkipped   int          `json:"prompts_skipped"`
	PromptsLeft      int          `json:"prompts_unanswered"`
	MedianSeconds    *float64     `json:"median_answer_seconds"` // after the prompt was due
	WorstSeconds     *float64     `json:"worst_answer_seconds"`
	Beacons          []Beacon     `json:"beacons"`
	Checks           []Check      `json:"checks"`
	Gaps             []Gap        `json:"gaps"`
	Voided           int          `json:"entries_voided"`
	Amended          int          `json:"entries_amended"`
	ByProgram        int          `json:"entries_by_program"`
	ClockChanges     int          `json:"clock_changes"`
}

// Missed is a point of the route that was never logged, with when it was noticed: the next passing or the end.
type Missed struct {
	Point     string    `json:"point"`
	Leg       int       `json:"leg"`
	NoticedAt time.Time `json:"noticed_at"`
}

// How a prompt was met.
const (
	InTime     = "in time"
	AnswerLate = "late"
	Skipped    = "skipped"
	Unanswered = "unanswered"
)

// PromptMade is a prompt that asked for a hand: a tank, a beacon, a check, a report, the descent. Those that come true by flying, a turn
// or a top of climb, are judged as passings.
type PromptMade struct {
	ID       string     `json:"id"`
	Kind     string     `json:"kind"`
	Text     string     `json:"text"`
	Due      time.Time  `json:"due"`
	LateAt   *time.Time `json:"late_at"`
	Answered *time.Time `json:"answered"`
	Met      string     `json:"met"`
	Seconds  *float64   `json:"seconds"` // answered after due
}

// Beacon is a beacon that was tuned, or used for a fix before it ever was: of that, receiver and time of tuning are not known.
type Beacon struct {
	Receiver       string     `json:"receiver"`
	Beacon         string     `json:"beacon"`
	Tuned          *time.Time `json:"tuned"`
	Identified     *time.Time `json:"identified"`
	Used           *time.Time `json:"used"` // first: a fix from it, or the passing overhead it
	UsedFor        string     `json:"used_for,omitempty"`
	UsedUnverified bool       `json:"used_before_identified"`
}

// Check is one of the plan's checks, over the whole flight.
type Check struct {
	Name           string   `json:"name"`
	Asked          int      `json:"asked"`
	Done           int      `json:"done"`
	LongestMinutes *float64 `json:"longest_minutes_between"`
}

// Gap is a stretch in the air without any entry.
type Gap struct {
	From    time.Time `json:"from"`
	To      time.Time `json:"to"`
	Minutes float64   `json:"minutes"`
}

// Tanks is what became of the balance.
type Tanks struct {
	Unit              string       `json:"unit"`
	Names             []string     `json:"names"`
	Limit             *float64     `json:"max_imbalance"`
	Planned           []TankChange `json:"planned_changes"`
	Made              []TankChange `json:"made_changes"`
	HighestImbalance  float64      `json:"highest_imbalance"`
	HighestAt         *time.Time   `json:"highest_at"`
	MinutesAboveLimit float64      `json:"minutes_above_limit"`
	AboveSince        *time.Time   `json:"above_limit_since"`
	Gauges            []Gauge      `json:"gauges"`
	Series            []TankPoint  `json:"series"`
}

// TankChange is a change of tank, planned or made.
type TankChange struct {
	At        time.Time `json:"at"`
	To        string    `json:"to"`
	Imbalance float64   `json:"imbalance_before"`
	Seconds   *float64  `json:"seconds_after_due"` // made: by its prompt; nil: no prompt had asked
}

// Gauge is one reading beside what was reckoned.
type Gauge struct {
	At         time.Time `json:"at"`
	Tank       string    `json:"tank"`
	Reading    float64   `json:"reading"`
	Reckoned   float64   `json:"calculated"`
	Difference float64   `json:"difference"` // reading less reckoned
}

// TankPoint is the tanks at a moment; quantities stand in the order of Tanks.Names.
type TankPoint struct {
	At         time.Time `json:"at"`
	Quantities []float64 `json:"quantities"`
	Imbalance  float64   `json:"imbalance"`
}

// Fuel sets plan, reckoning and measurement side by side. Block fuel and what gauges read count what the tanks hold, the unusable included; fuel
// on arrival, overhead the destination, and after landing is the usable.
type Fuel struct {
	Unit             string     `json:"unit"`
	Block            float64    `json:"block_fuel"`
	PlannedBurn      float64    `json:"planned_burn"` // taxi and trip, to overhead the destination
	ReckonedBurn     *float64   `json:"calculated_burn"`
	PlannedArrival   float64    `json:"planned_at_destination"`
	ReckonedArrival  *float64   `json:"calculated_at_destination"`
	MeasuredAt       *time.Time `json:"measured_at"` // the last time that every gauge was read
	Measured         *float64   `json:"measured"`
	ReckonedThen     *float64   `json:"calculated_then"`
	MeasuredBurn     *float64   `json:"measured_burn"`
	ReckonedBurnThen *float64   `json:"calculated_burn_then"`
	Reserve          float64    `json:"final_reserve"`
	ReserveMinutes   float64    `json:"final_reserve_minutes"`
	ReserveRule      string     `json:"final_reserve_rule"`
	Landed           *float64   `json:"landed"`                   // usable after landing, else at the end of the log
	ExtraMinutes     *float64   `json:"extra_minutes_on_landing"` // what of Landed is over the final reserve, in cruise; negative: it was broken into
	MinimumBlock     float64    `json:"minimum_block_fuel"`
}

// Track is the flight as a picture.
type Track struct {
	Planned  []Place `json:"planned"`
	Diverted []Place `json:"diverted,omitempty"` // from where the flight turned aside, to the ends of the diversion's legs
	Reckoned []Place `json:"calculated"`         // as it was reckoned at the time
	Passed   []Place `json:"passed"`
	Fixed    []Place `json:"fixed"`
	Fed      []Place `json:"fed"`
	True     []Place `json:"true,omitempty"` // practice by hand: where it really was
}

// Place is a position with a name or a time.
type Place struct {
	Name string         `json:"name,omitempty"`
	At   *time.Time     `json:"time"`
	Pos  earth.Position `json:"at"`
}

// RemarkMade is an instructor's remark.
type RemarkMade struct {
	At   time.Time `json:"at"`
	By   string    `json:"by,omitempty"`
	Text string    `json:"text"`
}

// Lesson is what a rule has drawn from the figures.
type Lesson struct {
	Rule    string     `json:"rule"`
	Text    string     `json:"text"`             // what happened, and by what evidence why
	Advice  string     `json:"advice,omitempty"` // what to do next time: common practice, no source
	At      *time.Time `json:"at"`               // the moment to look at
	Danger  int        `json:"danger"`           // 3 could have ended the flight badly, 2 could have led there, 1 cost time, 0 is about the log
	Minutes float64    `json:"minutes"`          // that it cost
	Weight  float64    `json:"weight"`           // how often the rule's own measure was reached, times its importance
}

// replay is the command that opens a journal at the moment to look at.
func (l Lesson) replay(journal string) string {
	return "legclock replay " + journal + " --from " + say.UTC(*l.At)
}
