package sums

import (
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/say"
)

// Groundspeed asks for the third of distance, time and groundspeed; two of them are given.
type Groundspeed struct {
	DistanceNM    *float64
	Minutes       *float64
	GroundspeedKt *float64
	ToGoNM        *float64  // optional: a distance still to go at that groundspeed
	Flow          *say.Fuel // optional: for the fuel of the time
}

// Sum works out the one that is not given.
func (g Groundspeed) Sum() (Sum, error) {
	s := Sum{
		Name: "groundspeed", Title: "Distance, time and groundspeed", Given: g.given(),
		Rule:   "groundspeed = 60 × distance / minutes, turned round for the other two",
		Source: "PHAK navigation chapter, basic calculations; the mean over the whole distance, exact",
	}
	var w working
	distance, minutes, groundspeed, err := g.solve(&w)
	if err != nil {
		return Sum{}, err
	}
	toGo := unknown
	if g.ToGoNM != nil && known(groundspeed) {
		toGo = deadreckon.Minutes(*g.ToGoNM, groundspeed)
		w.minutesLine("to go", *g.ToGoNM, groundspeed, toGo)
	}
	used := say.Fuel{Amount: unknown}
	if g.Flow != nil && known(minutes) {
		used = burned(minutes, *g.Flow)
		w.fuelLine("fuel", g.Flow, minutes, used)
	}
	switch {
	case !known(groundspeed):
		s.Problem = "no time gives no speed"
	case !known(minutes), g.ToGoNM != nil && !known(toGo):
		s.Problem = "without a groundspeed it takes for ever"
	}
	s.Working = w
	s.Answers = []Figure{
		speed("groundspeed", "groundspeed_kt", groundspeed), span("time", "minutes", minutes), miles("distance", "distance_nm", distance),
		span("time to go", "to_go_minutes", toGo), fuelFigure("fuel", "fuel", used),
	}
	return s, nil
}

func (g Groundspeed) given() []Figure {
	return []Figure{
		milesGiven("distance", "distance_nm", valueOf(g.DistanceNM)), span("time", "minutes", valueOf(g.Minutes)),
		speedGiven("groundspeed", "groundspeed_kt", valueOf(g.GroundspeedKt)), milesGiven("to go", "to_go_nm", valueOf(g.ToGoNM)),
		flowFigure("flow", "flow_per_hour", g.Flow), fuelUnit(g.Flow),
	}
}

// solve works out the one of the three that is not given.
func (g Groundspeed) solve(w *working) (distanceNM, minutes, groundspeedKt float64, err error) {
	distanceNM, minutes, groundspeedKt = valueOf(g.DistanceNM), valueOf(g.Minutes), valueOf(g.GroundspeedKt)
	switch {
	case g.DistanceNM != nil && g.Minutes != nil && g.GroundspeedKt == nil:
		groundspeedKt = deadreckon.Groundspeed(distanceNM, minutes)
		w.spanLine("time", minutes)
		if known(groundspeedKt) {
			w.line("groundspeed: 60 × %s / %s = %s kt", num(distanceNM), num(minutes), num(groundspeedKt))
		}
	case g.DistanceNM != nil && g.GroundspeedKt != nil && g.Minutes == nil:
		minutes = deadreckon.Minutes(distanceNM, groundspeedKt)
		w.minutesLine("time", distanceNM, groundspeedKt, minutes)
	case g.Minutes != nil && g.GroundspeedKt != nil && g.DistanceNM == nil:
		distanceNM = deadreckon.Distance(groundspeedKt, minutes)
		w.spanLine("time", minutes)
		w.distanceLine("distance", groundspeedKt, minutes, distanceNM)
	default:
		err = unfit("give two, for example 11.5 nm in 7:20, and the third is worked out", "of distance, time and groundspeed two are needed, no more and no fewer")
	}
	return distanceNM, minutes, groundspeedKt, err
}
