package sheet

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"sync"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/say"
)

// layerFt is how finely a climb or descent is reckoned: in layers that end at its multiples, so that a reckoning begun half-way
// cuts the air where one from the start does.
const layerFt = 250

// Differences too small to reckon.
const (
	sameHeightFt   = 0.01
	sameDistanceNM = 1e-9
)

// LegError says on which leg a reckoning failed.
type LegError struct {
	Leg      int // from 0
	From, To string
	Err      error
}

// Error names the leg as people count it, from 1.
func (e *LegError) Error() string {
	return fmt.Sprintf("leg %d, %s to %s: %v", e.Leg+1, e.From, e.To, e.Err)
}

// Unwrap gives the reason.
func (e *LegError) Unwrap() error { return e.Err }

// Forecast is the air that a plan's conditions describe.
func Forecast(p *plan.Plan) Air {
	levels := make([]air.Level, len(p.Conditions.Winds))
	for i, wind := range p.Conditions.Winds {
		levels[i] = air.Level{
			AltitudeFt: wind.AltitudeFt,
			Wind:       air.Wind{FromTrue: wind.FromTrue, SpeedKt: wind.SpeedKt},
			Deviation:  p.Conditions.ISADeviation,
		}
		if wind.TemperatureC != nil {
			pressureAltitude := air.PressureAltitudeFt(wind.AltitudeFt, p.Conditions.QNH)
			levels[i].Deviation = *wind.TemperatureC - air.ISATemperatureC(pressureAltitude)
		}
	}
	return Air{Layers: air.NewLayers(levels), QNH: p.Conditions.QNH}
}

// Reckon takes the route from a start through the air to overhead the destination. A change of level begins at the leg's start
// or, in flight, at once; a climb goes on across turns. The last descent ends at ArrivalFt, LevelBeforeNM before the destination or overhead it: its top is
// found backwards, wherever that descent meets the way up or along, if need be before a level is reached. Where there is too
// little distance left to descend as the aircraft's descent says, or the descent has begun, its rate is the one that arrives.
//
// The error is a *LegError: a track that the wind makes unflyable, a level outside the aircraft's tables.
func (r *Route) Reckon(from Start, air Air) (Trajectory, error) { return r.reckon(from, air, layerFt) }

func (r *Route) reckon(from Start, through Air, layerFt float64) (Trajectory, error) {
	if r.performance.err != nil {
		return nil, r.performance.err
	}
	k := newReckoner(r, from, through, layerFt, len(r.Legs)-1)
	defer reckoners.Put(k)
	arrivalFt, hasCircuit := r.ArrivalFt()
	var err error
	switch {
	case from.Descending && !hasCircuit:
		err = k.descend(k.at.altitudeFt)
	case !hasCircuit:
		err = k.fly()
	default:
		k.lastDescent(arrivalFt)
		if from.Descending || k.tooHigh() {
			err = k.descend(arrivalFt)
		} else {
			err = k.fly()
		}
	}
	if err != nil {
		return nil, err
	}
	return slices.Clone(k.way), nil
}

// ReckonLeg is the part of Reckon's trajectory on the leg where it begins. Where the last descent is too far ahead to matter, what
// lies behind that leg is not looked at, and can't be an error.
func (r *Route) ReckonLeg(from Start, through Air) (Trajectory, error) {
	if r.performance.err != nil || from.Descending || r.maySeeLastDescent(from, through) {
		way, err := r.Reckon(from, through)
		return way.OnLeg(from.Leg), err
	}
	k := newReckoner(r, from, through, layerFt, from.Leg)
	defer reckoners.Put(k)
	if err := k.fly(); err != nil {
		return nil, err
	}
	return slices.Clone(k.way), nil
}

// SureBehindLeg reports whether nothing that lies behind the leg of a start can be an error of Reckon, so that ReckonLeg's answer, whatever it
// is, is the part of Reckon's on that leg. It may say no where nothing is.
func (r *Route) SureBehindLeg(from Start, through Air) bool {
	leaves := r.Legs[from.Leg].DistanceNM-from.AfterNM <= sameDistanceNM // then it has no part there
	return r.performance.err != nil || from.Descending || r.maySeeLastDescent(from, through) || !leaves && r.surelyFlown(from, through)
}

// maySeeLastDescent reports whether the last descent can begin on the leg of a start: not where even at the speed of its top with the
// strongest wind behind it covers less than the legs after that.
func (r *Route) maySeeLastDescent(from Start, through Air) bool {
	arrivalFt, hasCircuit := r.ArrivalFt()
	if !hasCircuit {
		return false
	}
	_, highestFt := r.levels(from.Leg, through.QNH)
	ceilingFt := max(from.AltitudeFt, highestFt)
	strongestKt, _, warmest := through.extremes()
	fastestKt := trueAirspeed(r.performance.descending, ceilingFt+air.PressureAltitudeAtFt(through.QNH), warmest) + math.Abs(through.TASBiasKt) + strongestKt
	longestNM := r.LevelBeforeNM() + deadreckon.Distance(fastestKt, (ceilingFt-arrivalFt)/r.performance.aircraft.Descent.RateFtMin)
	return r.DistanceNM()-r.Legs[from.Leg].StartNM-r.Legs[from.Leg].DistanceNM <= longestNM
}

// surelyFlown reports whether the tables have every altitude at which the way from a start may climb or cruise, and no wind comes near the slowest
// airspeed.
func (r *Route) surelyFlown(from Start, through Air) bool {
	const margin = 1.0 // kt of headway in the strongest wind
	lowestFt, highestFt := r.levels(from.Leg, through.QNH)
	surfaceFt := air.PressureAltitudeAtFt(through.QNH)
	slowestKt, covered := r.performance.cruises(lowestFt+surfaceFt, highestFt+surfaceFt)
	lowestFt, highestFt = min(lowestFt, from.AltitudeFt), max(highestFt, from.AltitudeFt)
	covered = covered && r.performance.climbs(lowestFt+surfaceFt, highestFt+surfaceFt)
	if arrivalFt, hasCircuit := r.ArrivalFt(); hasCircuit {
		lowestFt = min(lowestFt, arrivalFt)
	}
	strongestKt, coldest, _ := through.extremes()
	slowestKt = min(slowestKt, trueAirspeed(min(r.performance.climbing, r.performance.descending), lowestFt+surfaceFt, coldest))
	return covered && slowestKt+through.TASBiasKt-strongestKt > margin
}

// levels are the lowest and the highest level of a leg and those after it, as altitudes.
func (r *Route) levels(leg int, qnh float64) (lowestFt, highestFt float64) {
	lowestFt, highestFt = math.Inf(1), math.Inf(-1)
	for i := leg; i < len(r.Legs); i++ {
		levelFt := r.Legs[i].Level.AltitudeFtAt(qnh)
		lowestFt, highestFt = min(lowestFt, levelFt), max(highestFt, levelFt)
	}
	return lowestFt, highestFt
}

// extremes are the strongest wind at any level, and the least and the greatest deviation from standard, at least none.
func (a Air) extremes() (strongestKt, coldest, warmest float64) {
	for _, level := range a.Layers {
		strongestKt = max(strongestKt, level.Wind.SpeedKt)
		coldest, warmest = min(coldest, level.Deviation), max(warmest, level.Deviation)
	}
	return strongestKt, coldest, warmest
}

// reckoner is one reckoning under way.
type reckoner struct {
	route       *Route
	performance *performance
	air         Air
	profile     air.Profile // of the air
	layerFt     float64
	surfaceFt   float64 // pressure altitude at sea level
	at          place
	lastLeg     int     // where it ends
	levelNM     float64 // of the level part after the last descent, what is not reckoned yet
	descent     []Piece // the last descent in order of flight, from as high as it could begin
	descentErr  error   // why it does not go back farther
	meeting     int     // the first piece of descent that the way has not passed
	met         bool
	way         Trajectory
	minutes     float64
}

// place is where a reckoning has come to. The track is an index into the leg's.
type place struct {
	leg, track int
	afterNM    float64
	altitudeFt float64
}

// reckoners are those that are done, for the room that they have.
var reckoners = sync.Pool{New: func() any { return &reckoner{} }}

func newReckoner(r *Route, from Start, through Air, layerFt float64, lastLeg int) *reckoner {
	k := reckoners.Get().(*reckoner)
	*k = reckoner{
		route: r, performance: r.performance, air: through, layerFt: layerFt, lastLeg: lastLeg,
		surfaceFt: air.PressureAltitudeAtFt(through.QNH),
		profile:   k.profile, descent: k.descent[:0], way: k.way[:0],
	}
	k.profile.Set(through.Layers)
	k.at = place{leg: from.Leg, afterNM: min(max(from.AfterNM, 0), r.Legs[from.Leg].DistanceNM), altitudeFt: from.AltitudeFt}
	tracks := r.Legs[from.Leg].Tracks
	for k.at.track < len(tracks)-1 && k.at.afterNM >= tracks[k.at.track].ToNM {
		k.at.track++
	}
	return k
}

func (k *reckoner) leg() *RouteLeg { return &k.route.Legs[k.at.leg] }
func (k *reckoner) track() Track   { return k.leg().Tracks[k.at.track] }

// nextTrack goes on to the next track; false where the reckoning ends.
func (k *reckoner) nextTrack() bool {
	switch {
	case k.at.track < len(k.leg().Tracks)-1:
		k.at.track++
	case k.at.leg < k.lastLeg:
		k.at.leg, k.at.track, k.at.afterNM = k.at.leg+1, 0, 0
	default:
		return false
	}
	return true
}

// fly goes along the legs at their levels until the last descent is met, or to the destination.
func (k *reckoner) fly() error {
	for {
		levelFt := k.leg().Level.AltitudeFtAt(k.air.QNH)
		for end := k.track().ToNM; end-k.at.afterNM > sameDistanceNM && !k.met; {
			if err := k.advance(levelFt, end); err != nil {
				return err
			}
		}
		if k.met || !k.nextTrack() {
			return k.arrive(Cruise)
		}
	}
}

// advance flies one piece towards a level or, once there, along it to the end of the track.
func (k *reckoner) advance(levelFt, end float64) error {
	difference := levelFt - k.at.altitudeFt
	if math.Abs(difference) > sameHeightFt {
		phase, rate := Climb, 0.0
		if difference < 0 {
			phase, rate = Descent, k.performance.aircraft.Descent.RateFtMin
		}
		piece, err := k.layer(phase, k.at.leg, k.track(), k.at.altitudeFt, k.layerEnd(k.at.altitudeFt, levelFt), rate, end-k.at.afterNM)
		return k.join(piece, err)
	}
	piece, _, err := k.through(Cruise, k.at.leg, k.track(), levelFt)
	piece.ToNM = end - k.at.afterNM
	piece.Minutes = deadreckon.Minutes(piece.ToNM, piece.Heading.GroundspeedKt)
	piece.FromFt, piece.ToFt = levelFt, levelFt
	return k.join(piece, err)
}

// layerEnd is where the next layer ends on the way from one altitude to another.
func (k *reckoner) layerEnd(fromFt, towardsFt float64) float64 {
	if towardsFt > fromFt {
		return min(towardsFt, k.layerFt*(math.Floor(fromFt/k.layerFt+1e-6)+1))
	}
	return max(towardsFt, k.layerFt*(math.Ceil(fromFt/k.layerFt-1e-6)-1))
}

// layer reckons the change from one altitude to another within one layer and one track, with the air half-way; it stops short
// where the track has no more than limitNM left. Rate is that of a descent; a climb's is the table's. The piece begins at 0 nm.
func (k *reckoner) layer(phase Phase, leg int, track Track, fromFt, toFt, rateFtMin, limitNM float64) (Piece, error) {
	endFt := toFt
	for {
		piece, climbRate, err := k.through(phase, leg, track, (fromFt+endFt)/2)
		if err != nil {
			return piece, err
		}
		rate := rateFtMin
		if phase == Climb {
			rate = climbRate
		}
		groundspeed := piece.Heading.GroundspeedKt
		piece.FromFt, piece.ToFt = fromFt, toFt
		piece.Minutes = math.Abs(toFt-fromFt) / rate
		piece.ToNM = deadreckon.Distance(groundspeed, piece.Minutes)
		if piece.ToNM <= limitNM+sameDistanceNM {
			piece.ToNM = min(piece.ToNM, limitNM)
			return piece, nil
		}
		share := limitNM / piece.ToNM
		if endFt != toFt {
			piece.ToFt = fromFt + share*(toFt-fromFt)
			piece.ToNM = limitNM
			piece.Minutes = deadreckon.Minutes(limitNM, groundspeed)
			return piece, nil
		}
		endFt = fromFt + share*(toFt-fromFt)
	}
}

// through is a piece without length: what is flown at an altitude on a track. For a climb it also gives the table's rate.
func (k *reckoner) through(phase Phase, leg int, track Track, altitudeFt float64) (piece Piece, climbRate float64, err error) {
	wind, deviation := k.profile.At(altitudeFt)
	flown, err := k.performance.perform(phase, altitudeFt+k.surfaceFt, deviation, k.air.TASBiasKt)
	piece = Piece{Leg: leg, Phase: phase, TrackTrue: track.TrackTrue, Wind: wind, TASKt: flown.TASKt, FlowPerHour: flown.FlowPerHour}
	if err == nil {
		piece.Heading, err = deadreckon.HeadingFor(track.TrackTrue, piece.TASKt, wind)
	}
	if err != nil {
		along := k.route.Legs[leg]
		err = &LegError{Leg: leg, From: along.From.Ident, To: along.To.Ident, Err: fmt.Errorf("%s at %s: %w", phase, say.Feet(altitudeFt), err)}
	}
	return piece, flown.RateFtMin, err
}

func trueAirspeed(impact air.Impact, pressureAltitudeFt, deviationC float64) float64 {
	return impact.TASKt(pressureAltitudeFt, air.ISATemperatureC(pressureAltitudeFt)+deviationC)
}

// add puts a piece that begins at 0 nm at the end of the way.
func (k *reckoner) add(piece Piece) {
	piece.FromNM, piece.ToNM = k.at.afterNM, k.at.afterNM+piece.ToNM
	if end := k.track().ToNM; math.Abs(end-piece.ToNM) <= sameDistanceNM {
		piece.ToNM = end
	}
	piece.StartMinutes = k.minutes
	k.minutes += piece.Minutes
	k.at.afterNM, k.at.altitudeFt = piece.ToNM, piece.ToFt
	k.way = append(k.way, piece)
}

// join adds a piece as far as the last descent lets it go, and then the descent.
func (k *reckoner) join(piece Piece, err error) error {
	if err != nil {
		return err
	}
	share, meets, err := k.meets(piece)
	if err != nil {
		return err
	}
	if share > 0 {
		piece = cut(piece, 0, share)
		if meets && piece.Phase == Climb {
			piece, k.descent[k.meeting] = k.peak(piece, k.descent[k.meeting])
		}
		k.add(piece)
	}
	if meets {
		k.takeDescent()
	}
	return nil
}

// cut is the part of a piece between two shares of its length.
func cut(piece Piece, from, to float64) Piece {
	lengthNM, heightFt := piece.ToNM-piece.FromNM, piece.ToFt-piece.FromFt
	piece.FromNM, piece.ToNM = piece.FromNM+from*lengthNM, piece.FromNM+to*lengthNM
	piece.FromFt, piece.ToFt = piece.FromFt+from*heightFt, piece.FromFt+to*heightFt
	piece.Minutes *= to - from
	return piece
}

// arrive ends a way that had no length.
func (k *reckoner) arrive(phase Phase) error {
	if len(k.way) > 0 {
		return nil
	}
	piece, _, err := k.through(phase, k.at.leg, k.track(), k.at.altitudeFt)
	piece.FromFt, piece.ToFt = k.at.altitudeFt, k.at.altitudeFt
	if err == nil {
		k.add(piece)
	}
	return err
}

// Air is the air that a route is reckoned through: the forecast, or the wind as found.
type Air struct {
	Layers air.Layers
	QNH    float64 // hPa
	// TASBiasKt is added to every true airspeed of the tables: how much faster than its book the aircraft was found to be.
	TASBiasKt float64
}

// Start is where a reckoning begins.
type Start struct {
	Leg        int     // index into Route.Legs
	AfterNM    float64 // along that leg
	AltitudeFt float64 // above sea level
	// Descending says that the last descent has begun: no climb or level part comes before it.
	Descending bool
}

// Phase says what an aircraft does on a piece of its way.
type Phase string

// The phases of a trajectory.
const (
	Climb   Phase = "climb"
	Cruise  Phase = "cruise"
	Descent Phase = "descent"
)

// Piece is a part of a trajectory on one leg in one phase, short enough to reckon with one wind and one airspeed.
type Piece struct {
	Leg          int
	Phase        Phase
	FromNM, ToNM float64 // along the leg
	StartMinutes float64 // from the reckoning's start
	Minutes      float64
	FromFt, ToFt float64 // above sea level
	TrackTrue    float64
	TASKt        float64
	Wind         air.Wind
	Heading      deadreckon.Heading
	FlowPerHour  float64 // in the aircraft's unit
	closingKt    float64 // AlongKt, where that is not the groundspeed
}

// AlongKt is how fast the place moves along the track: with the groundspeed, or slower where the way closes with the track from beside it.
func (p *Piece) AlongKt() float64 {
	if p.closingKt != 0 {
		return p.closingKt
	}
	return p.Heading.GroundspeedKt
}

// Fuel is what the piece burns, in the aircraft's unit.
func (p Piece) Fuel() float64 { return p.FlowPerHour * p.Minutes / 60 }

// Trajectory is the way from a Start to overhead the destination, piece after piece without gaps.
type Trajectory []Piece

// Point is where a trajectory is at one moment.
type Point struct {
	Leg        int
	AfterNM    float64
	AltitudeFt float64
	Phase      Phase
	Piece      int // index into the trajectory
}

// At is where the trajectory is some minutes after its start; before it, its start, after it, its end. An empty trajectory is
// nowhere.
func (t Trajectory) At(minutes float64) Point {
	if len(t) == 0 {
		return Point{}
	}
	i := max(sort.Search(len(t), func(i int) bool { return t[i].StartMinutes > minutes })-1, 0)
	piece, share := t[i], 0.0
	if piece.Minutes > 0 {
		share = min(max((minutes-piece.StartMinutes)/piece.Minutes, 0), 1)
	}
	return Point{
		Leg: piece.Leg, Phase: piece.Phase, Piece: i,
		AfterNM:    piece.FromNM + share*(piece.ToNM-piece.FromNM),
		AltitudeFt: piece.FromFt + share*(piece.ToFt-piece.FromFt),
	}
}

// MinutesTo is when a place on a leg is passed, from the trajectory's start; ok is false where it begins beyond that place or does
// not come to it.
func (t Trajectory) MinutesTo(leg int, afterNM float64) (minutes float64, ok bool) {
	i := t.pieceAt(leg, afterNM)
	if i < 0 {
		return 0, false
	}
	piece, share := t[i], 0.0
	if length := piece.ToNM - piece.FromNM; length > 0 {
		share = min(max((afterNM-piece.FromNM)/length, 0), 1)
	}
	return piece.StartMinutes + share*piece.Minutes, true
}

// AltitudeAt is the altitude at which a place on a leg is passed; ok as for MinutesTo.
func (t Trajectory) AltitudeAt(leg int, afterNM float64) (altitudeFt float64, ok bool) {
	minutes, ok := t.MinutesTo(leg, afterNM)
	return t.At(minutes).AltitudeFt, ok
}

// pieceAt is the first piece that a place on a leg lies on; -1 when there is none.
func (t Trajectory) pieceAt(leg int, afterNM float64) int {
	i := sort.Search(len(t), func(i int) bool {
		return t[i].Leg > leg || t[i].Leg == leg && t[i].ToNM >= afterNM-sameDistanceNM
	})
	if i == len(t) || t[i].Leg != leg || t[i].FromNM > afterNM+sameDistanceNM {
		return -1
	}
	return i
}

// TotalMinutes is how long the trajectory takes.
func (t Trajectory) TotalMinutes() float64 {
	if len(t) == 0 {
		return 0
	}
	last := t[len(t)-1]
	return last.StartMinutes + last.Minutes
}

// Fuel is what the trajectory burns, in the aircraft's unit.
func (t Trajectory) Fuel() float64 {
	burned := 0.0
	for _, piece := range t {
		burned += piece.Fuel()
	}
	return burned
}

// DistanceNM is how long the trajectory is.
func (t Trajectory) DistanceNM() float64 {
	length := 0.0
	for _, piece := range t {
		length += piece.ToNM - piece.FromNM
	}
	return length
}

// FuelTo is what is burned in the first minutes.
func (t Trajectory) FuelTo(minutes float64) float64 {
	burned := 0.0
	for i := range t {
		piece := &t[i]
		if piece.StartMinutes >= minutes { // and so are those after it
			break
		}
		burned += piece.FlowPerHour * min(minutes-piece.StartMinutes, piece.Minutes) / 60
	}
	return burned
}

// OnLeg is the part of the trajectory on one leg.
func (t Trajectory) OnLeg(leg int) Trajectory {
	first := sort.Search(len(t), func(i int) bool { return t[i].Leg >= leg })
	end := sort.Search(len(t), func(i int) bool { return t[i].Leg > leg })
	return t[first:end]
}

// FirstClimb is the first climb of the trajectory, across turns, until it levels off or descends; empty when it does not climb.
func (t Trajectory) FirstClimb() Trajectory {
	first := 0
	for first < len(t) && t[first].Phase != Climb {
		first++
	}
	end := first
	for end < len(t) && t[end].Phase == Climb {
		end++
	}
	return t[first:end]
}

// LastDescent is the descent that ends at the destination; empty when the trajectory ends otherwise.
func (t Trajectory) LastDescent() Trajectory {
	first := len(t)
	for first > 0 && t[first-1].Phase == Descent {
		first--
	}
	return t[first:]
}

// FirstCruise is the first piece in cruise; ok is false when there is none.
func (t Trajectory) FirstCruise() (piece int, ok bool) {
	piece = slices.IndexFunc(t, func(one Piece) bool { return one.Phase == Cruise })
	return piece, piece >= 0
}

// TopOfClimb is where the first climb ahead ends; ok is false when there is none.
func (t Trajectory) TopOfClimb() (leg int, afterNM float64, ok bool) {
	climb := t.FirstClimb()
	if len(climb) == 0 {
		return 0, 0, false
	}
	top := climb[len(climb)-1]
	return top.Leg, top.ToNM, true
}

// TopOfDescent is where the last descent begins; ok is false when there is none.
func (t Trajectory) TopOfDescent() (leg int, afterNM float64, ok bool) {
	descent := t.LastDescent()
	if len(descent) == 0 {
		return 0, 0, false
	}
	return descent[0].Leg, descent[0].FromNM, true
}
