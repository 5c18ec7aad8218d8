package sums

import (
	"time"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/say"
)

// Descent asks when to leave a level, or at what rate. One of RateFtPerMin, AngleDeg and WithinNM is given.
type Descent struct {
	From, To      say.Level
	QNHHPa        *float64 // optional: standard; needed between a flight level and an altitude
	GroundspeedKt float64
	RateFtPerMin  *float64
	AngleDeg      *float64  // of the path
	WithinNM      *float64  // to the point; the rate is wanted
	BeforeNM      *float64  // optional: level so far before the point
	ETA           time.Time // optional: at the point; zero if not given
}

// Sum works out the descent.
func (d Descent) Sum() (Sum, error) {
	s := Sum{
		Name: "descent", Title: "Top of descent", Given: d.given(),
		Rule:   "minutes = height / rate, distance = groundspeed × minutes / 60; as taught, 3 nm for each 1000 ft; 5 × groundspeed is a path of 3°",
		Source: "FAA Instrument Procedures Handbook, 3 nm for 1000 ft; the groundspeed is that of the descent, with the wind half-way down",
	}
	var w working
	height, before, err := d.height(&w, &s)
	if err != nil {
		return Sum{}, err
	}
	way := wayDown{heightFt: height, rateFtPerMin: unknown, rateRule: unknown, minutes: unknown, beforeNM: unknown, taughtNM: unknown}
	if d.GroundspeedKt > 0 {
		way.rateFtPerMin, way.rateRule = d.rate(&w, height, before)
	}
	if known(way.rateFtPerMin) {
		d.way(&w, &way, before)
	} else {
		s.Problem = "no rate loses the height over the ground that there is"
	}
	s.Answers = d.answers(way)
	s.Working = w
	return s, nil
}

func (d Descent) given() []Figure {
	return []Figure{
		levelFigure("from", "from_", d.From), levelFigure("to", "to_", d.To), qnhFigure(d.QNHHPa), speedGiven("groundspeed", "groundspeed_kt", d.GroundspeedKt),
		rateGiven("rate", "rate_ft_per_min", valueOf(d.RateFtPerMin)), angleGiven("path", "path_deg", valueOf(d.AngleDeg)),
		milesGiven("within", "within_nm", valueOf(d.WithinNM)), milesGiven("level before the point", "level_before_nm", valueOf(d.BeforeNM)),
		moment("over the point", "eta", d.ETA),
	}
}

// wayDown is a descent; what does not exist is unknown.
type wayDown struct{ heightFt, rateFtPerMin, rateRule, minutes, beforeNM, taughtNM float64 }

// way works out where the level is left, with a level part before the point.
func (d Descent) way(w *working, way *wayDown, levelNM float64) {
	minutes, along := deadreckon.LevelChange(way.heightFt, way.rateFtPerMin, d.GroundspeedKt)
	w.line("time: %s / %s = %s min%s", num(way.heightFt), num(way.rateFtPerMin), num(minutes), andSpan(minutes))
	w.distanceLine("distance", d.GroundspeedKt, minutes, along)
	if levelNM > 0 {
		w.line("before the point: %s + %s = %s nm", num(along), num(levelNM), num(along+levelNM))
	}
	way.minutes, way.beforeNM = minutes, along+levelNM
	way.taughtNM = deadreckon.DescentDistanceRuleNM(way.heightFt) + levelNM
	w.line("as taught: 3 × %s / 1000 + %s = %s nm", num(way.heightFt), num(levelNM), num(way.taughtNM))
}

// height is what is to be lost, and the level distance before the point.
func (d Descent) height(w *working, s *Sum) (heightFt, beforeNM float64, err error) {
	ways := 0
	for _, given := range []*float64{d.RateFtPerMin, d.AngleDeg, d.WithinNM} {
		if given != nil {
			ways++
		}
	}
	qnh := standardUnless(d.QNHHPa)
	from, to := d.From.AltitudeFt(qnh), d.To.AltitudeFt(qnh)
	if d.BeforeNM != nil {
		beforeNM = *d.BeforeNM
	}
	switch {
	case ways != 1:
		return 0, 0, unfit("give the rate (rate 500), or the path (path 3), or the distance in which to lose the height (within 12 nm)",
			"a rate, a path or a distance is needed, and one only")
	case d.RateFtPerMin != nil && *d.RateFtPerMin <= 0:
		return 0, 0, unfit("give feet a minute, for example 500", "without a rate no height is lost")
	case d.AngleDeg != nil && (*d.AngleDeg <= 0 || *d.AngleDeg >= 45):
		return 0, 0, unfit("give the path in degrees, for example 3", "a path to be flown lies between 0 and 45°")
	case from <= to:
		return 0, 0, unfit("give the higher level first, for example from 6500 to 1500", "a descent ends lower than it begins")
	case d.From.FlightLevel != d.To.FlightLevel && d.QNHHPa == nil:
		s.Notes = append(s.Notes, "no QNH given: 1013.25 hPa taken between flight level and altitude")
	}
	if d.From.FlightLevel != d.To.FlightLevel {
		w.line("on QNH %s: from %s ft to %s ft", num(qnh), num(from), num(to))
	}
	w.line("height: %s - %s = %s ft", num(from), fig(to), num(from-to))
	return from - to, beforeNM, nil
}

// rate is the one that was given or is wanted, exactly and, of a path, by the rule.
func (d Descent) rate(w *working, heightFt, beforeNM float64) (ftPerMin, rule float64) {
	switch {
	case d.RateFtPerMin != nil:
		return *d.RateFtPerMin, unknown
	case d.AngleDeg != nil:
		rule, exact := deadreckon.RateForAngle(*d.AngleDeg, d.GroundspeedKt)
		w.line("rate by the rule: %s × 100 × %s / 60 = %s ft/min", num(*d.AngleDeg), num(d.GroundspeedKt), num(rule))
		w.line("rate exactly: %s × tan(%s) × %s / 60 = %s ft/min", num(air.FeetPerNM), num(*d.AngleDeg), num(d.GroundspeedKt), num(exact))
		return exact, rule
	}
	left := *d.WithinNM - beforeNM
	if left <= 0 {
		return unknown, unknown
	}
	w.minutesLine("time", left, d.GroundspeedKt, deadreckon.Minutes(left, d.GroundspeedKt))
	return deadreckon.RateForDistance(heightFt, left, d.GroundspeedKt), unknown
}

func (d Descent) answers(way wayDown) []Figure {
	path, ftPerNM, leave := unknown, unknown, time.Time{}
	if known(way.rateFtPerMin) {
		path, ftPerNM = deadreckon.AngleForRate(way.rateFtPerMin, d.GroundspeedKt), deadreckon.GradientFtPerNM(way.rateFtPerMin, d.GroundspeedKt)
	}
	if !d.ETA.IsZero() && known(way.beforeNM) {
		leave = d.ETA.Add(-duration(deadreckon.Minutes(way.beforeNM, d.GroundspeedKt)))
	}
	return []Figure{
		miles("top of descent before the point", "leave_before_nm", way.beforeNM), miles("as taught", "leave_before_rule_nm", way.taughtNM),
		moment("top of descent at", "leave_at", leave), span("descent", "minutes", way.minutes), rate("rate", "rate_ft_per_min", way.rateFtPerMin),
		rate("by the rule", "rate_rule_ft_per_min", way.rateRule), slope("path", "path_deg", path), gradient("gradient", "gradient_ft_per_nm", ftPerNM),
		feet("height to lose", "height_ft", way.heightFt),
	}
}

func duration(minutes float64) time.Duration { return time.Duration(minutes * float64(time.Minute)) }
