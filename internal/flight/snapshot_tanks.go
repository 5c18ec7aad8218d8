package flight

import "time"

// TanksNow is the fuel, in the aircraft's unit.
type TanksNow struct {
	Unit                string             `json:"unit"`
	Selected            string             `json:"selected"`
	SelectedSince       *time.Time         `json:"selected_since"`
	Quantities          map[string]float64 `json:"quantities"`
	Tanks               []TankNow          `json:"tanks"` // in the aircraft's order
	Imbalance           float64            `json:"imbalance"`
	HeavySide           string             `json:"heavy_side"` // the fuller of the pair; empty when level
	MaxImbalance        *float64           `json:"max_imbalance"`
	NextChange          *TankChangeNow     `json:"next_change"`
	Pairs               []PairNow          `json:"pairs"`    // that the limit compares
	LimitAt             *time.Time         `json:"limit_at"` // when the limit is reached if nothing is changed
	DryAt               *time.Time         `json:"dry_at"`   // when the tank in use has no usable fuel left if nothing is changed
	Planned             []TankChangeNow    `json:"planned"`  // still to come
	Made                []TankChangeMade   `json:"made"`
	FlowPerHour         float64            `json:"flow"`
	EnduranceMinutes    float64            `json:"endurance_minutes"` // the one that counts, of Endurance
	Endurance           Endurance          `json:"endurance"`
	Burn                *BurnNow           `json:"burn"` // nil as long as gauge readings do not tell
	Trends              []FuelTrend        `json:"trends"`
	ReserveTouchedAt    *time.Time         `json:"reserve_touched_at"` // when only the reserve is left, on the way or circling at its end
	LatestDivert        []LatestDivertNow  `json:"latest_divert"`      // for each alternate
	MassKg              *float64           `json:"mass_kg"`            // of all of it; nil where the aircraft gives no density
	TotalUsable         float64            `json:"total_usable"`
	ScheduleProblem     string             `json:"schedule_problem,omitempty"`
	GaugeDisagreement   string             `json:"gauge_disagreement,omitempty"`
	PlannedLandingTotal float64            `json:"planned_landing_total"`
	Readings            []GaugeReading     `json:"readings"` // of the gauges, the latest last
	// History is what was in the tanks since off-blocks, Ahead what is planned to be until landing; the last of the one and the first of
	// the other may be some time from now, and between two moments quantities go evenly.
	History []TankMoment `json:"-"`
	Ahead   []TankMoment `json:"-"`
}

// TankMoment is what is in the tanks at a time, as the aircraft lists them, and by how much the first of each pair holds more than the
// second.
type TankMoment struct {
	At          time.Time
	Quantities  []float64
	Differences []float64
}

// GaugeReading is what a gauge showed, beside what was reckoned from what had been filled and burned.
type GaugeReading struct {
	At       time.Time `json:"at"`
	Tank     string    `json:"tank"`
	Read     float64   `json:"read"`
	Reckoned float64   `json:"calculated"`
}

// PairNow is two tanks that the limit compares.
type PairNow struct {
	First      string  `json:"first"`
	Second     string  `json:"second"`
	Difference float64 `json:"difference"` // first less second
}

// What the endurance that counts comes from.
const (
	byPlan   = "plan"
	byMeter  = "flow meter"
	byGauges = "gauges"
)

// Endurance is how long the usable fuel lasts in cruise, by every witness. The least counts; what gauges show counts once its error
// is small enough.
type Endurance struct {
	PlanMinutes        float64  `json:"plan_minutes"`  // at the flow of the aircraft's table
	MeterMinutes       *float64 `json:"meter_minutes"` // at the flow that was told
	GaugesMinutes      *float64 `json:"gauges_minutes"`
	GaugesSigmaMinutes *float64 `json:"gauges_sigma_minutes"` // one standard error
	CountsMinutes      float64  `json:"counts_minutes"`
	By                 string   `json:"by"` // "plan", "flow meter" or "gauges"
}

// BurnNow is the burn in cruise that gauge readings show, against the one that is reckoned with.
type BurnNow struct {
	FlowPerHour     float64 `json:"flow"`
	SigmaPerHour    float64 `json:"sigma"` // one standard error
	ReckonedPerHour float64 `json:"calculated"`
	Readings        int     `json:"readings"`
	Counts          bool    `json:"counts"` // its error is small enough
}

// FuelTrend is what readings say of the fuel over time, in a sentence.
type FuelTrend struct {
	Severity string `json:"severity"` // alarm or caution
	Text     string `json:"text"`
}

// LatestDivertNow is by when an alternate has to be turned to for the reserve to be kept there.
type LatestDivertNow struct {
	Point        string     `json:"point"`
	Name         string     `json:"name"`
	At           *time.Time `json:"at"`            // nil: too late
	AfterArrival bool       `json:"after_arrival"` // it is reached from all the way on, and At is when to leave the destination
	TooLate      bool       `json:"too_late"`
	Short        float64    `json:"short"` // of the reserve there, when it is too late
	Text         string     `json:"text"`  // all that in words
}

// TankNow is one tank.
type TankNow struct {
	Name     string     `json:"name"`
	Quantity float64    `json:"quantity"`
	Capacity float64    `json:"capacity"`
	Unusable float64    `json:"unusable"`
	Gauge    *float64   `json:"gauge"` // last reading
	GaugeAt  *time.Time `json:"gauge_at"`
	MassKg   *float64   `json:"mass_kg"` // nil where the aircraft gives no density
	Selected bool       `json:"selected"`
}

// TankChangeNow is a change to come.
type TankChangeNow struct {
	At            time.Time `json:"at"`
	To            string    `json:"to"`
	ImbalanceThen float64   `json:"imbalance_then"`
	HeavyThen     string    `json:"heavy_then"` // the fuller of that pair; empty when level
}

// TankChangeMade is a change that was made.
type TankChangeMade struct {
	At              time.Time `json:"at"`
	To              string    `json:"to"`
	ImbalanceBefore float64   `json:"imbalance_before"`
}
