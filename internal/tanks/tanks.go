// Package tanks is the fuel in the tanks: what was in them, what is and, by the changes that are planned, what will be. It is reckoned from
// what the engine burned and which tank fed it, set against what gauges and a flow meter showed (evidence.go), and planned again
// whenever one of these changes (plan.go).
//
// [Tanks] is a value: a copy by assignment goes its own way. It knows no flight: how much the engine uses between two moments it is told
// as a [Burn], and what is to be burned until landing as a list of fuel.Burn. Quantities are in the aircraft's unit, flows in that an hour.
package tanks

import (
	"math"
	"slices"
	"time"

	"example.com/legclock/internal/fuel"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/say"
	"example.com/legclock/internal/values"
)

// Tanks is the fuel as it is reckoned from what was burned and what was read.
type Tanks struct {
	system     *plan.FuelSystem
	reserve    float64   // to be left on landing
	pairs      [][2]int  // that the limit compares
	quantities []float64 // at the time at, by the aircraft's order
	at         time.Time
	started    bool // the engine
	stopped    bool
	selected   int
	elsewhere  float64   // burned though the tank in use had nothing usable left, as far as no gauge has shown it yet: a change that nobody logged
	since      time.Time // selected
	made       []ChangeMade
	history    history
	evidence   evidence
	planned    planned
}

// Burn is what a running engine uses from one moment to a later one, with nothing recorded between them.
type Burn func(from, to time.Time) float64

// ChangeMade is a change that was made.
type ChangeMade struct {
	At              time.Time `json:"at"`
	To              string    `json:"to"`
	ImbalanceBefore float64   `json:"imbalance_before"`
}

// Pair is two tanks that the limit compares.
type Pair struct {
	First      string  `json:"first"`
	Second     string  `json:"second"`
	Difference float64 `json:"difference"` // first less second
}

// New is the fuel of a plan before the engine is started. The reserve is what is to be left on landing.
func New(p *plan.Plan, reserve float64) Tanks {
	system := &p.Aircraft.Fuel
	pairs := system.TankPairs()
	k := Tanks{
		system: system, reserve: reserve, pairs: pairs,
		history:    history{step: historyStep, pairs: pairs},
		quantities: make([]float64, len(system.Tanks)),
		made:       []ChangeMade{},
		selected:   max(0, system.TankIndex(p.Fuel.StartOn)),
		at:         p.OffBlocks,
	}
	for i, tank := range system.Tanks {
		k.quantities[i] = p.Fuel.OnBoard[tank.Name]
	}
	k.evidence = newEvidence(k.quantities)
	return k
}

// StartEngine is the moment from which fuel is burned.
func (k *Tanks) StartEngine(at time.Time) {
	k.started, k.at, k.since = true, at, at
	k.history.mark(at, k.quantities)
}

// StopEngine ends what is burned.
func (k *Tanks) StopEngine() { k.stopped = true }

// Running reports whether the engine runs.
func (k *Tanks) Running() bool { return k.started && !k.stopped }

// BurnUntil takes off the selected tank what was burned up to a time.
func (k *Tanks) BurnUntil(t time.Time, burn Burn) {
	if !t.After(k.at) {
		return
	}
	k.keepHistory(t, burn)
	if k.Running() {
		used := burn(k.at, t)
		k.evidence.feed(k.selected, used, t.Sub(k.at).Minutes())
		k.elsewhere += k.beyondUsable(used)
	}
	k.quantities, k.at = k.QuantitiesAt(t, burn), t
}

// QuantitiesAt are the quantities at a time not before the last event. A tank can't hold less than nothing.
func (k *Tanks) QuantitiesAt(t time.Time, burn Burn) []float64 {
	quantities := slices.Clone(k.quantities)
	if t.After(k.at) && k.Running() {
		quantities[k.selected] = math.Max(0, quantities[k.selected]-burn(k.at, t))
	}
	return quantities
}

// beyondUsable is what of a quantity that was burned the tank in use could not give.
func (k *Tanks) beyondUsable(used float64) float64 {
	return math.Max(0, used-fuel.Usable(k.quantities[k.selected], k.system.Tanks[k.selected].Unusable))
}

// ElsewhereAt is what was burned until a time, not before the last event, though the tank in use had nothing usable left: an engine that runs draws
// it from another, which nobody logged.
func (k *Tanks) ElsewhereAt(t time.Time, burn Burn) float64 {
	if !k.Running() || !t.After(k.at) {
		return k.elsewhere
	}
	return k.elsewhere + k.beyondUsable(burn(k.at, t))
}

// IsChange reports whether selecting a tank, by its place in the aircraft's list, changes what feeds a running engine.
func (k *Tanks) IsChange(to int) bool { return k.started && to >= 0 && to != k.selected }

// Select changes to a tank, by its place in the aircraft's list. It reports whether that changed what feeds a running engine, and from
// which tank.
func (k *Tanks) Select(to int, at time.Time) (from string, changed bool) {
	from, changed = k.Selected(), k.IsChange(to)
	if changed {
		k.made = values.Added(k.made, ChangeMade{At: at, To: k.system.Tanks[to].Name, ImbalanceBefore: k.Imbalance(k.quantities)})
	}
	if to != k.selected {
		k.evidence.selected = values.Replaced(k.evidence.selected, to, k.evidence.selected[to]+1)
		k.history.mark(at, k.quantities)
	}
	k.selected, k.since = to, at
	return from, changed
}

// Selected is the name of the tank in use, Since when it was last selected; the zero time before the engine was started.
func (k *Tanks) Selected() string { return k.system.Tanks[k.selected].Name }

// Since is when the tank in use was last selected; the zero time before the engine was started.
func (k *Tanks) Since() time.Time { return k.since }

// Feeds reports whether a tank, by its place in the list, is the one in use.
func (k *Tanks) Feeds(tank int) bool { return tank == k.selected }

// Made are the changes so far. The list may be kept.
func (k *Tanks) Made() []ChangeMade { return slices.Clip(k.made) }

// Usable is the total of a list of quantities that can be fed to the engine.
func (k *Tanks) Usable(quantities []float64) float64 {
	total := 0.0
	for i, tank := range k.system.Tanks {
		total += fuel.Usable(quantities[i], tank.Unusable)
	}
	return total
}

// Imbalance is the largest difference within a pair of tanks that is compared.
func (k *Tanks) Imbalance(quantities []float64) float64 {
	imbalance, _ := fuel.LargestImbalance(quantities, k.pairs)
	return imbalance
}

// HeavySide is the fuller tank of the pair with the largest imbalance; empty when they are level.
func (k *Tanks) HeavySide(quantities []float64) string {
	if _, fuller := fuel.LargestImbalance(quantities, k.pairs); fuller >= 0 {
		return k.system.Tanks[fuller].Name
	}
	return ""
}

// PairsOf are the pairs that the limit compares.
func (k *Tanks) PairsOf(quantities []float64) []Pair {
	pairs := make([]Pair, len(k.pairs))
	for i, pair := range k.pairs {
		pairs[i] = Pair{
			First: k.system.Tanks[pair[0]].Name, Second: k.system.Tanks[pair[1]].Name, Difference: quantities[pair[0]] - quantities[pair[1]],
		}
	}
	return pairs
}

// MassKg is the mass of a quantity; nil where the aircraft gives no density.
func (k *Tanks) MassKg(quantity float64) *float64 {
	unit, err := fuel.ParseUnit(k.system.Unit)
	if k.system.DensityKgPerLitre == nil || err != nil {
		return nil
	}
	mass := unit.MassKg(quantity, *k.system.DensityKgPerLitre)
	return &mass
}

// Unit is the unit of fuel as it stands behind a figure.
func (k *Tanks) Unit() string { return say.Unit(k.system.Unit) }

const (
	// mostHistory bounds what is kept of the quantities: when there are as many, every second is dropped.
	mostHistory = 512
	// historyStep is how far apart in time they are kept at first.
	historyStep = time.Minute
)

// Moment is what is in the tanks at a time, as the aircraft lists them, and by how much the first of each pair holds more than the
// second.
type Moment struct {
	At          time.Time
	Quantities  []float64
	Differences []float64
}

// momentOf is what is in the tanks at a time.
func momentOf(at time.Time, quantities []float64, pairs [][2]int) Moment {
	m := Moment{At: at, Quantities: slices.Clone(quantities), Differences: make([]float64, len(pairs))}
	for i, pair := range pairs {
		m.Differences[i] = quantities[pair[0]] - quantities[pair[1]]
	}
	return m
}

// history is what was in the tanks since the engine was started, as it was reckoned at the time. Its points are never changed, so that
// whoever has them may keep them.
type history struct {
	points values.List[Moment]
	step   time.Duration
	pairs  [][2]int
}

// History is what was in the tanks since the engine was started, as it was reckoned at the time.
func (k *Tanks) History() []Moment { return k.history.points.All() }

// keepHistory keeps the quantities between the last event that counts for the tanks and the next, at t.
func (k *Tanks) keepHistory(t time.Time, burn Burn) {
	h := &k.history
	if !k.started {
		return
	}
	last := h.points.All()[h.points.Len()-1].At
	for t.Sub(last) > mostHistory*h.step { // a hole in the log: what came between is worth no more than the rest
		h.step *= 2
	}
	for at := last.Add(h.step); !at.After(t); at = at.Add(h.step) {
		if at.After(k.at) {
			h.mark(at, k.QuantitiesAt(at, burn))
		}
	}
}

// mark keeps the quantities at a time. Two marks at one time show what a reading changed.
func (h *history) mark(at time.Time, quantities []float64) {
	if h.points.Len() >= mostHistory {
		thinned := make([]Moment, 0, mostHistory)
		for i, points := 0, h.points.All(); i < len(points); i += 2 {
			thinned = append(thinned, points[i])
		}
		h.points, h.step = values.ListOf(thinned), 2*h.step
	}
	h.points = h.points.With(momentOf(at, quantities, h.pairs))
}

// plus adds minutes to a time.
func plus(t time.Time, m float64) time.Time {
	return t.Add(time.Duration(math.Round(m * float64(time.Minute))))
}
