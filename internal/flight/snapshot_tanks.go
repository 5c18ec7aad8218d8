package flight

import (
	"time"

	"example.com/legclock/internal/tanks"
)

// What package tanks says of the fuel.
type (
	TankMoment     = tanks.Moment
	TankChangeMade = tanks.ChangeMade
	GaugeReading   = tanks.Reading
	PairNow        = tanks.Pair
	Endurance      = tanks.Endurance
	BurnNow        = tanks.BurnFound
)

// TankFigures is the fuel as it is and was, in the aircraft's unit.
type TankFigures struct {
	Unit                string             `json:"unit"`
	Selected            string             `json:"selected"`
	SelectedSince       *time.Time         `json:"selected_since"`
	Quantities          map[string]float64 `json:"quantities"`
	Tanks               []TankNow          `json:"tanks"` // in the aircraft's order
	Imbalance           float64            `json:"imbalance"`
	HeavySide           string             `json:"heavy_side"` // the fuller of the pair; empty when level
	MaxImbalance        *float64           `json:"max_imbalance"`
	Pairs               []PairNow          `json:"pairs"` // that the limit compares
	Made                []TankChangeMade   `json:"made"`
	FlowPerHour         float64            `json:"flow"`
	EnduranceMinutes    float64            `json:"endurance_minutes"` // the one that counts, of Endurance: at the present flow, on the ground at that of cruise
	Endurance           Endurance          `json:"endurance"`
	Burn                *BurnNow           `json:"burn"`    // nil as long as gauge readings do not tell
	MassKg              *float64           `json:"mass_kg"` // of all of it; nil where the aircraft gives no density
	TotalUsable         float64            `json:"total_usable"`
	ScheduleProblem     string             `json:"schedule_problem,omitempty"`
	GaugeDisagreement   string             `json:"gauge_disagreement,omitempty"`
	PlannedLandingTotal float64            `json:"planned_landing_total"`
	Readings            []GaugeReading     `json:"readings"` // of the gauges, the latest last
	// History is what was in the tanks since off-blocks; between two moments quantities go evenly.
	History []TankMoment `json:"-"`
}

// TanksNow is the fuel as it is and was, and as it will be.
type TanksNow struct {
	TankFigures
	NextChange       *TankChangeNow    `json:"next_change"`
	LimitAt          *time.Time        `json:"limit_at"`        // when the limit is reached if nothing is changed
	DryAt            *time.Time        `json:"dry_at"`          // when the tank in use has no usable fuel left if nothing is changed
	WithinLimitAt    *time.Time        `json:"within_limit_at"` // when by the changes to come all pairs are within the limit that one was above when they were planned; nil: none was
	Planned          []TankChangeNow   `json:"planned"`         // still to come
	Trends           []FuelTrend       `json:"trends"`
	ReserveTouchedAt *time.Time        `json:"reserve_touched_at"` // when only the reserve is left, on the way or circling at its end
	LatestDivert     []LatestDivertNow `json:"latest_divert"`      // for each alternate
	// Ahead is what is planned to be in the tanks until landing; its first moment may be some time from now.
	Ahead []TankMoment `json:"-"`
}

// FuelTrend is what readings say of the fuel over time, in a sentence.
type FuelTrend struct {
	Severity Severity `json:"severity"` // alarm or caution
	Text     string   `json:"text"`
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

// dry reports whether a tank has no usable fuel left.
func (t *TankNow) dry() bool { return t.Quantity <= t.Unusable }

// TankChangeNow is a change to come.
type TankChangeNow struct {
	At            time.Time `json:"at"`
	To            string    `json:"to"`
	ImbalanceThen float64   `json:"imbalance_then"`
	HeavyThen     string    `json:"heavy_then"` // the fuller of that pair; empty when level
}
