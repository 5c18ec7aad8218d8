package flight

import (
	"fmt"
	"math"
	"slices"
	"time"

	"example.com/legclock/internal/fuel"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/sheet"
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

// tankEvidence is what was fed to the engine by the reckoning, and what was read against it.
type tankEvidence struct {
	filled    []float64 // by tank, at off-blocks
	fed       []float64 // by tank, reckoned, whatever gauges read
	fedFor    []float64 // by tank, minutes that the engine was fed from it
	corrected []float64 // by tank, the same when its quantity was last set to a reading
	selected  []int     // by tank, how often it was changed to: readings with one number and a shut tank belong together
	readings  []gaugeReading
	told      []GaugeReading  // the same, as Snapshots share them
	last      []*gaugeReading // by tank
	allRead   float64         // fed in all when all tanks had been read; NaN before
	disagreed string          // of the last gauge reading
	excess    *burnExcess     // nil as long as gauges do not tell
	shut      string          // of a tank that loses fuel while it is shut
	meter     *meterReading   // the last flow that was told
}

// gaugeReading is what a gauge showed.
type gaugeReading struct {
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

// meterReading is a flow that was told, beside that of the table.
type meterReading struct{ told, table float64 }

func newTankEvidence(system plan.FuelSystem, filled []float64) tankEvidence {
	n := len(system.Tanks)
	return tankEvidence{
		filled: append([]float64(nil), filled...), fed: make([]float64, n), fedFor: make([]float64, n), corrected: make([]float64, n), selected: make([]int, n),
		last: make([]*gaugeReading, n), allRead: math.NaN(), told: []GaugeReading{},
	}
}

func (v *tankEvidence) feed(tank int, burned, minutes float64) {
	v.fed = replaced(v.fed, tank, v.fed[tank]+burned)
	v.fedFor = replaced(v.fedFor, tank, v.fedFor[tank]+minutes)
}

// fedInAll is what was burned since off-blocks by the reckoning.
func (v *tankEvidence) fedInAll() float64 {
	total := 0.0
	for _, fed := range v.fed {
		total += fed
	}
	return total
}

func (v *tankEvidence) read(at time.Time, tank int, name string, reading float64, feeding bool) {
	if len(v.readings) == mostReadings {
		v.readings = slices.Clone(v.readings[mostReadings/2:])
		v.told = slices.Clone(v.told[mostReadings/2:])
	}
	r := gaugeReading{
		at: at, tank: tank, read: reading, reckoned: v.filled[tank] - v.fed[tank], fedFor: v.fedFor[tank], period: v.selected[tank], feeding: feeding,
	}
	v.readings = added(v.readings, r)
	v.told = added(v.told, GaugeReading{At: at, Tank: name, Read: reading, Reckoned: r.reckoned})
	v.last = replaced(v.last, tank, &r)
	for _, last := range v.last {
		if last == nil || !last.at.Equal(at) {
			return
		}
	}
	v.allRead = v.fedInAll()
}

// judge finds what all readings together say.
func (v *tankEvidence) judge(system plan.FuelSystem, flowPerHour float64) {
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
func (v *tankEvidence) findExcess(system plan.FuelSystem, flowPerHour float64) *burnExcess {
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
func (v *tankEvidence) shutTrend(system plan.FuelSystem, tank int, flowPerHour float64) string {
	var readings []fuel.Reading
	var first, last gaugeReading
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

// meterNow is the flow that was just told, beside that of the table.
func (f *fold) meterNow(t time.Time) *meterReading {
	n, flying := f.here(t)
	if !flying || !f.holding.IsZero() {
		return nil
	}
	return &meterReading{told: f.outlook.trajectory[n.point.Piece].FlowPerHour, table: f.outlook.tableFlow(n.point.Piece)}
}

// countedUsable is the usable fuel without what gauges show to have been burned more than reckoned since a reading last counted.
func (f *fold) countedUsable(quantities []float64) float64 {
	minutes := 0.0
	for i, fedFor := range f.tanks.evidence.fedFor {
		minutes += fedFor - f.tanks.evidence.corrected[i]
	}
	return max(0, f.usable(quantities)-fuel.Burned(minutes, f.excessPerHour()))
}

// excessPerHour is what is burned more than reckoned, as far as it counts: what gauges show to be less burned does not.
func (f *fold) excessPerHour() float64 {
	if x := f.tanks.evidence.excess; x != nil && x.good {
		return max(0, x.perHour)
	}
	return 0
}

// fuelTrends are what readings say of the fuel over time, in sentences.
func (f *fold) fuelTrends(flowPerHour float64) []FuelTrend {
	trends := []FuelTrend{}
	v, unit := &f.tanks.evidence, f.unit()
	if v.shut != "" {
		trends = append(trends, FuelTrend{alarm, v.shut})
	}
	agrees := true // flow meter and table
	if m := v.meter; m != nil && m.table > 0 && math.Abs(m.told-m.table) >= worthSayingFraction*m.table {
		agrees = false
		why, more := "power or mixture is not as planned", "more"
		if m.told < m.table {
			more = "less"
		}
		trends = append(trends, FuelTrend{caution, fmt.Sprintf("the flow is %.1f %s/h, planned %.1f: %.0f %% %s, %s", m.told, unit, m.table,
			100*math.Abs(m.told-m.table)/m.table, more, why)})
	}
	x := v.excess
	if x == nil || !x.good || math.Abs(x.perHour) < max(surely*x.sigma, worthSayingFraction*flowPerHour) {
		return trends
	}
	found := fmt.Sprintf("the gauges fall by %.1f ±%.1f %s/h", flowPerHour+x.perHour, x.sigma, unit)
	switch {
	case x.perHour < 0:
		trends = append(trends, FuelTrend{caution, fmt.Sprintf("%s, calculated %.1f: the calculation counts, for a gauge may stick", found, flowPerHour)})
	case v.meter != nil && agrees:
		trends = append(trends, FuelTrend{alarm, fmt.Sprintf("%s, but the flow meter shows %.1f: fuel goes that the engine does not burn, a leak", found, v.meter.told)})
	default:
		trends = append(trends, FuelTrend{alarm, fmt.Sprintf("%s, calculated %.1f: a leak, a mixture too rich or more power than planned", found, flowPerHour)})
	}
	return trends
}

// quantitySigma is one standard error of what is in the tanks in all: by what was filled and burned, or by the last reading of all
// gauges and what was burned since, whichever is less.
func (f *fold) quantitySigma() float64 {
	v := &f.tanks.evidence
	filled, gauged := 0.0, 0.0
	for _, tank := range f.system().Tanks {
		filled += math.Pow(filledSigmaFraction*tank.Capacity, 2)
		gauged += math.Pow(gaugeBiasFraction*tank.Capacity, 2)
	}
	burned := v.fedInAll()
	sigma := math.Hypot(math.Sqrt(filled), f.flowError()*burned)
	if !math.IsNaN(v.allRead) {
		sigma = min(sigma, math.Hypot(math.Sqrt(gauged), f.flowError()*(burned-v.allRead)))
	}
	return sigma
}

// flowError is one standard error of the flow ahead, as a fraction.
func (f *fold) flowError() float64 {
	relative := tableFlowError
	if _, told := f.tanks.flows[sheet.Cruise]; told {
		relative = meterFlowError
	}
	if x := f.tanks.evidence.excess; x != nil && x.good {
		relative = min(relative, x.sigma/f.cruiseFlow())
	}
	return relative
}
