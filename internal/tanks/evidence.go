package tanks

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"example.com/legclock/internal/fuel"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/values"
)

// What fuel gauges, flow meters and tables of light aircraft are good for: common practice, no source.
const (
	gaugeErrorFraction   = 0.08 // of the capacity: how far a gauge may be out
	gaugeBiasFraction    = 0.04 // of the capacity: one standard error of what a gauge says is in the tank
	gaugeScatterFraction = 0.02 // of the capacity: one standard error of a reading against others of the same gauge
	filledSigmaFraction  = 0.02 // of the capacity: one standard error of what is filled up to a mark or dipped
	tableFlowError       = 0.05 // one standard error of a flow by the aircraft's tables
	meterFlowError       = 0.03 // and by a flow meter
)

const (
	// goodFitFraction of the flow is how small the standard error of the burn that gauges show has to be for it to count, unless it
	// surely differs from the reckoned one.
	goodFitFraction = 0.20
	// surely is how many standard errors make a trend that is said.
	surely = 3.0
	// worthSayingFraction of the flow is the least that a trend has to come to for it to be said.
	worthSayingFraction = 0.10
	// A gauge that jumps is no trend: it takes several readings over some time, which lie on a line.
	trendReadings = 3
	trendMinutes  = 10.0
	shutMinutes   = 5.0
	mostScatter   = 4.0 // times what the readings' errors make of it, squared
	mostReadings  = 200
)

// evidence is what was fed to the engine by the reckoning, and what was read against it.
type evidence struct {
	filled    []float64 // by tank, at off-blocks
	fed       []float64 // by tank, reckoned, whatever gauges read
	fedFor    []float64 // by tank, minutes that the engine was fed from it
	corrected []float64 // by tank, the same when its quantity was last set to a reading
	selected  []int     // by tank, how often it was changed to: readings with one number and a shut tank belong together
	readings  []reading
	told      []Reading   // the same, for whoever keeps them
	last      []*reading  // by tank
	allRead   float64     // fed in all when all tanks had been read; NaN before
	disagreed string      // of the last gauge reading
	excess    *burnExcess // nil as long as gauges do not tell
	shut      string      // of a tank that loses fuel while it is shut
	meter     *meter      // the last flow that was told
}

// Reading is what a gauge showed, beside what was reckoned from what had been filled and burned.
type Reading struct {
	At       time.Time `json:"at"`
	Tank     string    `json:"tank"`
	Read     float64   `json:"read"`
	Reckoned float64   `json:"calculated"`
}

// reading is what a gauge showed, and when in the life of its tank.
type reading struct {
	at       time.Time
	tank     int
	read     float64
	reckoned float64 // from what was filled, whatever gauges read before
	fedFor   float64
	period   int // how often the tank had been changed to
	feeding  bool
}

// burnExcess is by how much more than reckoned is burned, from the gauges.
type burnExcess struct {
	perHour, sigma float64
	readings       int
	good           bool // its error is small enough to count
}

// meter is a flow that was told, beside that of the table.
type meter struct{ told, table float64 }

func newEvidence(filled []float64) evidence {
	n := len(filled)
	return evidence{
		filled: slices.Clone(filled), fed: make([]float64, n), fedFor: make([]float64, n), corrected: make([]float64, n), selected: make([]int, n),
		last: make([]*reading, n), allRead: math.NaN(), told: []Reading{},
	}
}

func (v *evidence) feed(tank int, burned, minutes float64) {
	v.fed = values.Replaced(v.fed, tank, v.fed[tank]+burned)
	v.fedFor = values.Replaced(v.fedFor, tank, v.fedFor[tank]+minutes)
}

// fedInAll is what was burned since off-blocks by the reckoning.
func (v *evidence) fedInAll() float64 {
	total := 0.0
	for _, fed := range v.fed {
		total += fed
	}
	return total
}

func (v *evidence) read(at time.Time, tank int, name string, read float64, feeding bool) {
	if len(v.readings) == mostReadings {
		v.readings = slices.Clone(v.readings[mostReadings/2:])
		v.told = slices.Clone(v.told[mostReadings/2:])
	}
	r := reading{
		at: at, tank: tank, read: read, reckoned: v.filled[tank] - v.fed[tank], fedFor: v.fedFor[tank], period: v.selected[tank], feeding: feeding,
	}
	v.readings = values.Added(v.readings, r)
	v.told = values.Added(v.told, Reading{At: at, Tank: name, Read: read, Reckoned: r.reckoned})
	v.last = values.Replaced(v.last, tank, &r)
	for _, last := range v.last {
		if last == nil || !last.at.Equal(at) {
			return
		}
	}
	v.allRead = v.fedInAll()
}

// judge finds what all readings together say.
func (v *evidence) judge(system *plan.FuelSystem, flowPerHour float64) {
	v.excess = v.findExcess(system, flowPerHour)
	v.shut = ""
	for tank := range system.Tanks {
		if text := v.shutTrend(system, tank, flowPerHour); text != "" && v.shut == "" {
			v.shut = text
		}
	}
}

// findExcess fits how the readings fall away from the reckoning with the time that each tank was in use. A gauge that always shows too
// much or too little does no harm: only how its readings change counts.
func (v *evidence) findExcess(system *plan.FuelSystem, flowPerHour float64) *burnExcess {
	gauges := make([][]fuel.Reading, len(system.Tanks))
	for _, r := range v.readings {
		gauges[r.tank] = append(gauges[r.tank], fuel.Reading{
			Minutes: r.fedFor, Quantity: r.read - r.reckoned, Sigma: gaugeScatterFraction * system.Tanks[r.tank].Capacity,
		})
	}
	gauges = slices.DeleteFunc(gauges, func(readings []fuel.Reading) bool { return len(readings) < 2 })
	fit, err := fuel.FitBurn(gauges...)
	if err != nil || !isTrend(gauges) {
		return nil
	}
	freedom := float64(max(1, fit.Readings-len(gauges)-1))
	return &burnExcess{
		perHour: fit.FlowPerHour, sigma: fit.FlowSigmaPerHour, readings: fit.Readings,
		good: fit.ChiSquare <= mostScatter*freedom &&
			fit.FlowSigmaPerHour <= max(goodFitFraction*flowPerHour, math.Abs(fit.FlowPerHour)/surely),
	}
}

// isTrend reports whether a gauge was read often enough, over a time long enough, for a trend.
func isTrend(gauges [][]fuel.Reading) bool {
	return slices.ContainsFunc(gauges, func(readings []fuel.Reading) bool {
		return len(readings) >= trendReadings && readings[len(readings)-1].Minutes-readings[0].Minutes >= trendMinutes
	})
}

// shutTrend tells of a tank that lost fuel while it was shut, the last time that it was read so more than once.
func (v *evidence) shutTrend(system *plan.FuelSystem, tank int, flowPerHour float64) string {
	var readings []fuel.Reading
	var first, last reading
	for _, r := range v.readings {
		if r.tank != tank || r.feeding {
			continue
		}
		if len(readings) == 0 || r.period != last.period {
			readings, first = readings[:0], r
		}
		readings = append(readings, fuel.Reading{
			Minutes: r.at.Sub(first.at).Minutes(), Quantity: r.read, Sigma: gaugeScatterFraction * system.Tanks[tank].Capacity,
		})
		last = r
	}
	fit, err := fuel.FitBurn(readings)
	if err != nil || last.at.Sub(first.at).Minutes() < shutMinutes || math.Abs(fit.FlowPerHour) < max(surely*fit.FlowSigmaPerHour, worthSayingFraction*flowPerHour) {
		return ""
	}
	moved, why := "fell", "a leak, or the selector does not close it"
	if fit.FlowPerHour < 0 {
		moved, why = "rose", "fuel runs over from another tank, or the gauge is wrong"
	}
	return fmt.Sprintf("%s was not selected, but its gauge %s from %.0f to %.0f in %.0f minutes: %s", system.Tanks[tank].Name, moved, first.read, last.read,
		last.at.Sub(first.at).Minutes(), why)
}

// Read sets the reckoned quantities by what gauges showed, by name of the tank, when the engine used so much an hour; BurnUntil comes first.
// Where a reading and the reckoning differ by more than a gauge may be out, the lower counts and it is said; where they agree the
// reckoning stays, for it is the finer of the two.
func (k *Tanks) Read(at time.Time, gauges map[string]float64, flowPerHour float64) {
	k.history.mark(at, k.quantities)
	k.quantities = slices.Clone(k.quantities)
	var disagreements []string
	for i, tank := range k.system.Tanks {
		read, given := gauges[tank.Name]
		if !given {
			continue
		}
		k.evidence.read(at, i, tank.Name, read, k.started && i == k.selected)
		check := fuel.CheckGauge(k.quantities[i], read, gaugeErrorFraction*tank.Capacity)
		if !check.Disagrees {
			continue
		}
		counts := "the reading counts"
		if check.Difference > 0 {
			counts = "the reckoning counts"
		}
		disagreements = append(disagreements, fmt.Sprintf("%s gauge reads %.0f, calculated %.0f: %s", tank.Name, read, k.quantities[i], counts))
		k.quantities[i] = check.Counts
		if check.Difference < 0 {
			k.elsewhere = max(0, k.elsewhere+check.Difference) // that is what became of it
			k.evidence.corrected = values.Replaced(k.evidence.corrected, i, k.evidence.fedFor[i])
		}
	}
	k.evidence.disagreed = strings.Join(disagreements, "; ")
	k.history.mark(at, k.quantities)
	k.evidence.judge(k.system, flowPerHour)
}

// TellFlow is a flow that a meter showed, beside that of the aircraft's table; NoFlow takes it back.
func (k *Tanks) TellFlow(told, table float64) { k.evidence.meter = &meter{told, table} }

// NoFlow says that the last flow that a meter showed tells nothing.
func (k *Tanks) NoFlow() { k.evidence.meter = nil }

// Readings are what gauges showed, the latest last. The list may be kept.
func (k *Tanks) Readings() []Reading { return slices.Clip(k.evidence.told) }

// LastReading is what a tank's gauge, by its place in the list, showed last; ok is false where it was never read.
func (k *Tanks) LastReading(tank int) (read float64, at time.Time, ok bool) {
	if last := k.evidence.last[tank]; last != nil {
		return last.read, last.at, true
	}
	return 0, at, false
}

// Disagreement says where gauges and the reckoning were apart at the last reading; empty where they agreed.
func (k *Tanks) Disagreement() string { return k.evidence.disagreed }

// A reading looks wrong if it lies further from what is reckoned than anything but a leak, an error or a slip would take it: so many times
// what a gauge may be out, below what is reckoned.
const oddReading = 3.0

// Doubt says what looks wrong with readings: those above what was there at the last reading or at off-blocks, for fuel is not gained in
// flight, and those far below the quantities that are reckoned. It is empty where nothing does.
func (k *Tanks) Doubt(gauges map[string]float64, quantities []float64) string {
	for i, tank := range k.system.Tanks {
		read, given := gauges[tank.Name]
		if !given {
			continue
		}
		before, what := k.evidence.filled[i], "at off-blocks"
		if last := k.evidence.last[i]; last != nil {
			before, what = last.read, "at the last reading"
		}
		slack := gaugeErrorFraction * tank.Capacity
		switch {
		case read > before+slack:
			return fmt.Sprintf("%s had %g %s: %g would be more", tank.Name, before, what, read)
		case read < quantities[i]-oddReading*slack:
			return fmt.Sprintf("%s reads %g, calculated %.0f", tank.Name, read, quantities[i])
		}
	}
	return ""
}

// CountedUsable is the usable fuel without what gauges show to have been burned more than reckoned since a reading last counted.
func (k *Tanks) CountedUsable(quantities []float64) float64 {
	minutes := 0.0
	for i, fedFor := range k.evidence.fedFor {
		minutes += fedFor - k.evidence.corrected[i]
	}
	return max(0, k.Usable(quantities)-fuel.Burned(minutes, k.ExcessPerHour()))
}

// ExcessPerHour is what is burned more than reckoned, as far as it counts: what gauges show to be less burned does not.
func (k *Tanks) ExcessPerHour() float64 {
	if x := k.evidence.excess; x != nil && x.good {
		return max(0, x.perHour)
	}
	return 0
}

// Flow is the flow of a part of the flight: by the aircraft's table and, where a meter showed it, as it was told.
type Flow struct {
	At    string // which part: InCruise, or "climb", "descent", "holding"
	Table float64
	Told  *float64
}

// InCruise is the part of the flight whose flow need not be named.
const InCruise = "cruise"

// Used is the one that is reckoned with.
func (c Flow) Used() float64 {
	if c.Told != nil {
		return *c.Told
	}
	return c.Table
}

// Witness is what a figure of the burn comes from.
type Witness string

// The witnesses of the burn.
const (
	ByPlan   Witness = "plan"
	ByMeter  Witness = "flow meter"
	ByGauges Witness = "gauges"
)

// Endurance is how long the usable fuel lasts at the present flow, by every witness. The least counts; what gauges show counts once its error
// is small enough.
type Endurance struct {
	At                 string   `json:"at"`            // the part of the flight whose flow it is: "cruise", "climb", "descent", "holding"
	FlowPerHour        float64  `json:"flow"`          // the one that counts
	Usable             float64  `json:"usable"`        // what it is reckoned from, less by gauges than it would be without
	PlanMinutes        float64  `json:"plan_minutes"`  // at the flow of the aircraft's table
	MeterMinutes       *float64 `json:"meter_minutes"` // at the flow that was told
	GaugesMinutes      *float64 `json:"gauges_minutes"`
	GaugesSigmaMinutes *float64 `json:"gauges_sigma_minutes"` // one standard error
	CountsMinutes      float64  `json:"counts_minutes"`
	By                 Witness  `json:"by"`
}

// EnduranceOf is how long quantities last at a flow.
func (k *Tanks) EnduranceOf(quantities []float64, flow Flow) Endurance {
	usable := k.Usable(quantities)
	e := Endurance{At: flow.At, PlanMinutes: fuel.EnduranceMinutes(usable, flow.Table)}
	e.count(e.PlanMinutes, usable, flow.Table, ByPlan)
	if flow.Told != nil {
		told := fuel.EnduranceMinutes(usable, *flow.Told)
		e.MeterMinutes = &told
		e.count(told, usable, *flow.Told, ByMeter)
	}
	if x := k.evidence.excess; x != nil && flow.Used()+x.perHour > 0 {
		of, found := k.CountedUsable(quantities), flow.Used()+x.perHour
		lasts := fuel.EnduranceMinutes(of, found)
		sigma := lasts * x.sigma / found
		if e.GaugesMinutes, e.GaugesSigmaMinutes = &lasts, &sigma; x.good {
			e.count(lasts, of, found, ByGauges)
		}
	}
	return e
}

// count makes a witness the one that counts if it is the first or by it the fuel lasts less.
func (e *Endurance) count(minutes, usable, perHour float64, by Witness) {
	if e.By == "" || minutes < e.CountsMinutes {
		e.CountsMinutes, e.Usable, e.FlowPerHour, e.By = minutes, usable, perHour, by
	}
}

// BurnFound is the burn in cruise that gauge readings show, against the one that is reckoned with.
type BurnFound struct {
	FlowPerHour     float64 `json:"flow"`
	SigmaPerHour    float64 `json:"sigma"` // one standard error
	ReckonedPerHour float64 `json:"calculated"`
	Readings        int     `json:"readings"`
	Counts          bool    `json:"counts"` // its error is small enough
}

// BurnFound is the burn that gauges show, beside a flow in cruise; nil as long as they do not tell.
func (k *Tanks) BurnFound(cruisePerHour float64) *BurnFound {
	x := k.evidence.excess
	if x == nil {
		return nil
	}
	return &BurnFound{FlowPerHour: cruisePerHour + x.perHour, ReckonedPerHour: cruisePerHour, SigmaPerHour: x.sigma, Readings: x.readings, Counts: x.good}
}

// Trend is what readings say of the fuel over time, in a sentence.
type Trend struct {
	Grave bool // fuel goes
	Text  string
}

// Trends are what readings say of the fuel over time, beside a flow in cruise.
func (k *Tanks) Trends(cruisePerHour float64) []Trend {
	var trends []Trend
	v, unit := &k.evidence, k.Unit()
	if v.shut != "" {
		trends = append(trends, Trend{true, v.shut})
	}
	agrees := true // flow meter and table
	if m := v.meter; m != nil && m.table > 0 && math.Abs(m.told-m.table) >= worthSayingFraction*m.table {
		agrees = false
		more := "more"
		if m.told < m.table {
			more = "less"
		}
		trends = append(trends, Trend{false, fmt.Sprintf("the flow is %.1f %s/h, planned %.1f: %.0f %% %s, power or mixture is not as planned", m.told, unit, m.table,
			100*math.Abs(m.told-m.table)/m.table, more)})
	}
	x := v.excess
	if x == nil || !x.good || math.Abs(x.perHour) < max(surely*x.sigma, worthSayingFraction*cruisePerHour) {
		return trends
	}
	found := fmt.Sprintf("the gauges fall by %.1f ±%.1f %s/h", cruisePerHour+x.perHour, x.sigma, unit)
	switch {
	case x.perHour < 0:
		return append(trends, Trend{false, fmt.Sprintf("%s, calculated %.1f: the calculation counts, for a gauge may stick", found, cruisePerHour)})
	case v.meter != nil && agrees:
		return append(trends, Trend{true, fmt.Sprintf("%s, but the flow meter shows %.1f: fuel goes that the engine does not burn, a leak", found, v.meter.told)})
	}
	return append(trends, Trend{true, fmt.Sprintf("%s, calculated %.1f: a leak, a mixture too rich or more power than planned", found, cruisePerHour)})
}

// Sigma is one standard error of what is left after some fuel is burned: of what is in the tanks in all, by what was filled and burned, or
// by the last reading of all gauges and what was burned since, whichever is less; and of what is to be burned.
func (k *Tanks) Sigma(toBurn float64, cruise Flow) float64 {
	flowError := tableFlowError
	if cruise.Told != nil {
		flowError = meterFlowError
	}
	if x := k.evidence.excess; x != nil && x.good {
		flowError = min(flowError, x.sigma/cruise.Used())
	}
	v := &k.evidence
	filled, gauged := 0.0, 0.0
	for _, tank := range k.system.Tanks {
		filled += math.Pow(filledSigmaFraction*tank.Capacity, 2)
		gauged += math.Pow(gaugeBiasFraction*tank.Capacity, 2)
	}
	burned := v.fedInAll()
	sigma := math.Hypot(math.Sqrt(filled), flowError*burned)
	if !math.IsNaN(v.allRead) {
		sigma = min(sigma, math.Hypot(math.Sqrt(gauged), flowError*(burned-v.allRead)))
	}
	return sigma + flowError*max(0, toBurn)
}
