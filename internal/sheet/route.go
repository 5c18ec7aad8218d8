package sheet

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/say"
)

// longestTrackNM is how far a leg is reckoned with one track; a longer one is cut into equal parts. Over 120 nm in the middle
// latitudes the azimuth of a geodesic turns by 2 or 3°.
const longestTrackNM = 120

// shortestLegNM is what two points must lie apart to make a leg: 19 m.
const shortestLegNM = 0.01

// NewRoute lays out a plan's legs on the earth. The route is nil when a problem is an error.
func NewRoute(p *plan.Plan) (*Route, []plan.Problem) {
	layout := layout{plan: p, stations: map[string]float64{}}
	route := &Route{Plan: p, Legs: make([]RouteLeg, 0, len(p.Route.Legs)), performance: newPerformance(p.Aircraft)}
	from, ok := p.Point(p.Route.From)
	if !ok {
		layout.add(plan.Error, "route.from", "", "%q is not a point of the plan", p.Route.From)
	}
	startNM := 0.0
	for i, leg := range p.Route.Legs {
		to, ok := p.Point(leg.To)
		if !ok {
			layout.add(plan.Error, legPath(i)+".to", "", "%q is not a point of the plan", leg.To)
			continue
		}
		laid := layout.leg(i, from, to)
		laid.StartNM = startNM
		startNM += laid.DistanceNM
		route.Legs = append(route.Legs, laid)
		from = to
	}
	if plan.HasErrors(layout.problems) {
		return nil, layout.problems
	}
	return route, layout.problems
}

// Direct is a diversion: a route of one leg from a position to a point, its radio steps chosen automatically. The zero Level
// means the altitude now. A point that is not an aerodrome is reached at the level. The error says why there is no such leg.
func (r *Route) Direct(from earth.Position, altitudeFt float64, to plan.Point, level plan.Level) (*Route, error) {
	if level == (plan.Level{}) {
		level.AltitudeFt = altitudeFt
	}
	here := plan.Point{Ident: "here", Name: "present position", Kind: plan.Fix, At: from}
	diversion := *r.Plan
	diversion.Route = plan.Route{From: here.Ident, Legs: []plan.Leg{{To: to.Ident, Level: level}}, Alternates: r.Plan.Route.Alternates}
	layout := layout{plan: &diversion, around: r, stations: map[string]float64{}}
	leg := layout.leg(0, here, to)
	for _, problem := range layout.problems {
		if problem.Severity == plan.Error {
			return nil, fmt.Errorf("direct to %s: %s", to.Ident, problem.Text)
		}
	}
	return &Route{Plan: r.Plan, Legs: []RouteLeg{leg}, performance: r.performance}, nil
}

// Rejoin is a way back onto the route: one leg from a position to the end of one of the route's legs, as Direct makes it, and from
// there on the route's own legs. The error says why there is no such way.
func (r *Route) Rejoin(from earth.Position, altitudeFt float64, leg int, level plan.Level) (*Route, error) {
	if leg < 0 || leg >= len(r.Legs) {
		return nil, fmt.Errorf("the route has no leg %d: they count from 0 to %d", leg, len(r.Legs)-1)
	}
	back, err := r.Direct(from, altitudeFt, r.Legs[leg].To, level)
	if err != nil {
		return nil, err
	}
	startNM := back.Legs[0].DistanceNM
	for _, next := range r.Legs[leg+1:] {
		next.StartNM = startNM
		startNM += next.DistanceNM
		back.Legs = append(back.Legs, next)
	}
	return back, nil
}

// DistanceNM is the length of all legs.
func (r *Route) DistanceNM() float64 {
	last := &r.Legs[len(r.Legs)-1]
	return last.StartNM + last.DistanceNM
}

// Destination is the end of the last leg.
func (r *Route) Destination() plan.Point { return r.Legs[len(r.Legs)-1].To }

// ArrivalFt is the altitude at which the last descent ends: where the plan says that its destination's circuit is joined, else circuit
// height above an aerodrome. At a destination of another kind, which has no circuit, there is no descent, and ok is false.
func (r *Route) ArrivalFt() (altitudeFt float64, ok bool) {
	destination := r.Destination()
	if join := r.Plan.Route.JoinAltitudeFt; join != nil && destination.Ident == r.Plan.Route.Destination() {
		return *join, true
	}
	if destination.Kind != plan.Aerodrome {
		return 0, false
	}
	return destination.ElevationFt + destination.CircuitFt, true
}

// LevelBeforeNM is how far before the destination the last descent is over: 0 where the plan does not say, or on the way to elsewhere.
func (r *Route) LevelBeforeNM() float64 {
	if before := r.Plan.Route.LevelBeforeNM; before != nil && r.Destination().Ident == r.Plan.Route.Destination() {
		return *before
	}
	return 0
}

// PositionAt is the place on a leg.
func (r *Route) PositionAt(leg int, afterNM float64) earth.Position {
	at, _ := r.Legs[leg].Line.At(afterNM)
	return at
}

// VariationAt is the variation that the magnetic headings of a place on a leg are made with, east positive.
func (r *Route) VariationAt(leg int, afterNM float64) float64 {
	return r.Legs[leg].TrackAt(afterNM).Variation
}

// VariationNear is the variation at a place off the legs, degrees, east positive: the plan's own, as on the leg whose middle is nearest, else
// the magnetic model's. The error is of a model that knows nothing of the day.
func (r *Route) VariationNear(at earth.Position, heightFt float64) (degrees float64, from plan.Source, err error) {
	if leg := r.legNear(at); leg.VariationFrom == plan.FromPlan {
		return leg.Variation, plan.FromPlan, nil
	}
	degrees, err = earth.Variation(at, heightFt, r.Plan.OffBlocks)
	return degrees, plan.FromModel, err
}

// legNear is the leg whose variation holds at a place off the legs: that whose middle is nearest, where it matters which.
func (r *Route) legNear(at earth.Position) *RouteLeg {
	alike := true
	for i := range r.Legs {
		alike = alike && r.Legs[i].VariationFrom == r.Legs[0].VariationFrom && (r.Legs[i].Variation == r.Legs[0].Variation || r.Legs[i].VariationFrom == plan.FromModel)
	}
	nearest, nearestNM := &r.Legs[0], math.Inf(1)
	for i := range r.Legs {
		if alike {
			break
		}
		leg := &r.Legs[i]
		if apartNM := earth.Inverse(at, r.PositionAt(i, leg.DistanceNM/2)).DistanceNM; apartNM < nearestNM {
			nearest, nearestNM = leg, apartNM
		}
	}
	return nearest
}

// TrackAt is the part of the leg that a place lies on; the nearest for a place before or beyond the leg.
func (l RouteLeg) TrackAt(afterNM float64) Track {
	for _, track := range l.Tracks {
		if afterNM < track.ToNM {
			return track
		}
	}
	return l.Tracks[len(l.Tracks)-1]
}

// layout collects what is wrong while legs are laid out.
type layout struct {
	plan     *plan.Plan
	around   *Route             // of a diversion: the route that it leaves, whose variations hold
	stations map[string]float64 // declinations taken so far, by ident
	problems []plan.Problem
}

func (l *layout) add(severity plan.Severity, path, hint, format string, arguments ...any) {
	l.problems = append(l.problems, newProblem(l.plan, severity, path, hint, format, arguments...))
}

func newProblem(p *plan.Plan, severity plan.Severity, path, hint, format string, arguments ...any) plan.Problem {
	return p.Placed(plan.Problem{Severity: severity, Path: path, Text: fmt.Sprintf(format, arguments...), Hint: hint})
}

func legPath(leg int) string { return fmt.Sprintf("route.legs[%d]", leg) }

// leg lays out one leg with everything on it.
func (l *layout) leg(index int, from, to plan.Point) RouteLeg {
	planned := l.plan.Route.Legs[index]
	leg := RouteLeg{
		From: from, To: to,
		Line:           earth.NewLine(from.At, to.At),
		Level:          planned.Level,
		AltitudeFt:     planned.Level.AltitudeFtAt(l.plan.Conditions.QNH),
		SafeAltitudeFt: planned.SafeAltitudeFt,
	}
	leg.DistanceNM = leg.Line.DistanceNM()
	if leg.DistanceNM < shortestLegNM {
		l.add(plan.Error, legPath(index)+".to", "end the leg at another point", "%s and %s are at one place, so there is no leg between them",
			from.Ident, to.Ident)
		return leg
	}
	l.tracks(index, &leg)
	leg.CourseOutbound = l.course(leg, from, 0)
	leg.CourseInbound = l.course(leg, to, leg.DistanceNM)
	l.checkpoints(index, &leg)
	l.radio(index, &leg)
	return leg
}

// tracks cuts the leg into parts of one track each, and takes the azimuth and the variation at mid-leg.
func (l *layout) tracks(index int, leg *RouteLeg) {
	leg.TrackTrue, leg.Variation, leg.VariationFrom = l.middle(index, leg, leg.DistanceNM/2)
	if leg.DistanceNM <= longestTrackNM {
		leg.Tracks = []Track{{ToNM: leg.DistanceNM, TrackTrue: leg.TrackTrue, Variation: leg.Variation}}
	} else {
		parts := math.Ceil(leg.DistanceNM / longestTrackNM)
		leg.Tracks = make([]Track, int(parts))
		for part := range leg.Tracks {
			track := Track{FromNM: leg.DistanceNM * float64(part) / parts, ToNM: leg.DistanceNM * float64(part+1) / parts}
			track.TrackTrue, track.Variation, _ = l.middle(index, leg, (track.FromNM+track.ToNM)/2)
			leg.Tracks[part] = track
		}
	}
	leg.TrackMagnetic = deadreckon.MagneticFromTrue(leg.TrackTrue, leg.Variation)
}

func (l *layout) middle(index int, leg *RouteLeg, afterNM float64) (azimuthTrue, variation float64, from plan.Source) {
	at, azimuthTrue := leg.Line.At(afterNM)
	var err error
	if l.around != nil {
		variation, from, err = l.around.VariationNear(at, leg.AltitudeFt)
	} else {
		variation, from, err = l.plan.VariationOn(index, at, leg.AltitudeFt)
	}
	if err != nil {
		l.unknownField(err)
	}
	return azimuthTrue, variation, from
}

// unknownField says once that the magnetic model has no answer: a date outside its years.
func (l *layout) unknownField(err error) {
	problem := newProblem(l.plan, plan.Error, "date", plan.GiveVariation, "%v", err)
	if !slices.Contains(l.problems, problem) {
		l.problems = append(l.problems, problem)
	}
}

// course is the leg's magnetic course at one of its ends, counted as that station counts its radials; nil where it has none.
func (l *layout) course(leg RouteLeg, station plan.Point, afterNM float64) *float64 {
	if !station.Kind.HasRadials() {
		return nil
	}
	_, azimuthTrue := leg.Line.At(afterNM)
	course := deadreckon.MagneticFromTrue(azimuthTrue, l.stationDeclination(station))
	return &course
}

// stationDeclination is what a station's radials count from. The first use of one that the plan does not give says so.
func (l *layout) stationDeclination(station plan.Point) float64 {
	if declination, known := l.stations[station.Ident]; known {
		return declination
	}
	path := "points[" + station.Ident + "]"
	whole := l.plan
	if l.around != nil {
		whole = l.around.Plan
	}
	declination, from, err := whole.StationDeclination(station)
	l.stations[station.Ident] = declination
	switch {
	case err != nil:
		l.unknownField(err)
	case from == plan.FromPlan:
		l.add(plan.Note, path, "give it its published station declination",
			"%s has no station declination: its radials are counted from the variation of the plan, %s", station.Ident, say.SayEast(declination, 1))
	case from == plan.FromModel:
		l.add(plan.Note, path, "give it its published station declination",
			"%s has no station declination: its radials are counted from that of the magnetic model there, %s", station.Ident, say.SayEast(declination, 1))
	}
	return declination
}

// checkpoints finds where each of a leg's checkpoints is passed. One that does not lie along the leg is said and left out.
func (l *layout) checkpoints(index int, leg *RouteLeg) {
	for i, planned := range l.plan.Route.Legs[index].Checkpoints {
		path := func() string { return fmt.Sprintf("%s.checkpoints[%d]", legPath(index), i) }
		checkpoint := Checkpoint{Name: planned.Name, Boundary: planned.Boundary}
		if planned.AfterNM != nil {
			checkpoint.AfterNM = *planned.AfterNM
		} else {
			point, ok := l.plan.Point(planned.Point)
			if !ok {
				l.add(plan.Error, path(), "", "%q is not a point of the plan", planned.Point)
				continue
			}
			checkpoint.AfterNM, checkpoint.RightNM = earth.Abeam(leg.From.At, leg.To.At, point.At)
		}
		if where := offLeg(*leg, checkpoint.AfterNM); where != "" {
			l.add(plan.Caution, path(), "take a point that is passed on this leg", "%s lies %s, so it is left out", planned.Name, where)
			continue
		}
		leg.Checkpoints = append(leg.Checkpoints, checkpoint)
	}
	slices.SortStableFunc(leg.Checkpoints, func(a, b Checkpoint) int { return cmp.Compare(a.AfterNM, b.AfterNM) })
}

// offLeg says how far a distance lies before or beyond a leg; empty when it lies on the leg.
func offLeg(leg RouteLeg, afterNM float64) string {
	switch {
	case afterNM < 0:
		return fmt.Sprintf("%s before %s", say.Miles(-afterNM), leg.From.Ident)
	case afterNM > leg.DistanceNM:
		return fmt.Sprintf("%s beyond %s", say.Miles(afterNM-leg.DistanceNM), leg.To.Ident)
	}
	return ""
}

// bearing is the true direction at one place towards another.
func bearing(from, to earth.Position) float64 {
	return angle.Wrap360(earth.Inverse(from, to).AzimuthStart)
}
