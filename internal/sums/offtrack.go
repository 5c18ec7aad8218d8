package sums

import (
	"math"

	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/say"
	"example.com/legclock/internal/worked"
)

// OffTrack asks what to turn after an offset from the track.
type OffTrack struct {
	OffNM    float64        // right of track positive
	FlownNM  float64        // along the track
	ToGoNM   *float64       // optional: for the turn to the end of the leg
	RegainNM *float64       // optional: for the turns back onto the track after so many miles along it
	Heading  *say.Direction // optional: what has been steered; magnetic where no north is said
}

// Sum works out the turns by 1 in 60 and exactly.
func (o OffTrack) Sum() (Sum, error) {
	if err := o.check(); err != nil {
		return Sum{}, err
	}
	s := Sum{
		Name: "offtrack", Title: "Back onto track, by 1 in 60",
		Given: []Figure{
			figure("off track", "off_track_nm", o.OffNM, func(value float64) string { return say.Distance.SaySide(value, 2) }),
			milesGiven("flown", "flown_nm", o.FlownNM), milesGiven("to go", "to_go_nm", valueOf(o.ToGoNM)),
			milesGiven("back on track after", "regain_nm", valueOf(o.RegainNM)),
			eitherGiven("heading", "heading", o.steered()),
		},
		Rule:   "angle = 60 × off track / distance; the track error flies parallel, the closing angle added to it meets the track",
		Source: "PHAK and the European private pilot's syllabus; distances along the track; the rule says 5 % too much, past 15° a degree and more",
	}
	var w Working
	rule, exact := deadreckon.OneInSixty(o.OffNM, o.FlownNM)
	w.angle("track error", o.OffNM, o.FlownNM, rule, exact, worked.Sided)
	s.Answers = ruleAndExact("track error", "track_error", rule, exact)
	s.Answers = append(s.Answers, o.toEnd(&w)...)
	s.Answers = append(s.Answers, o.back(&w)...)
	s.Working = w.Text()
	if o.poor() {
		s.Notes = append(s.Notes, "an angle is past 15°, where the rule no longer holds: take the exact figure")
	}
	return s, nil
}

// poor reports whether an angle is past what the rule is good for.
func (o OffTrack) poor() bool {
	const trustedDeg = 15
	for _, along := range []*float64{&o.FlownNM, o.ToGoNM, o.RegainNM} {
		if along == nil {
			continue
		}
		if rule, _ := deadreckon.OneInSixty(o.OffNM, *along); math.Abs(rule) > trustedDeg {
			return true
		}
	}
	return false
}

func (o OffTrack) check() error {
	switch {
	case o.FlownNM <= 0:
		return unfit("give the distance flown since the track was left, for example after 20 nm", "there is no angle over no distance")
	case o.ToGoNM != nil && *o.ToGoNM <= 0:
		return unfit("give the distance still to go, for example to go 40 nm", "nothing is left to go")
	case o.RegainNM != nil && *o.RegainNM <= 0:
		return unfit("give the distance in which to be back, for example regain 20 nm", "there is no way back over no distance")
	}
	return nil
}

// ruleAndExact are an angle by the rule and exactly. The exact one is said where it is a degree or more away.
func ruleAndExact(label, name string, rule, exact float64) []Figure {
	figures := []Figure{side(label, name+"_deg", rule), side("  exactly", name+"_exact_deg", exact)}
	if math.Abs(rule-exact) < 1 {
		figures[1].Text = ""
	}
	return figures
}

// angle works an angle out by the rule, as far as that holds, and exactly.
func (w *Working) angle(label string, offNM, alongNM, rule, exact float64, figure func(degrees float64) worked.Figure) {
	if math.Abs(60*offNM) <= 90*alongNM {
		w.OneInSixty(label, offNM, alongNM, figure(rule))
	}
	w.Exactly(offNM, alongNM, figure(exact))
}

// unsided is an angle that closes with the track from either side.
func unsided(angle float64) worked.Figure { return worked.Degrees(math.Abs(angle)) }

// toEnd are the answers for the way straight to the end of the leg; unknown without a distance to go.
func (o OffTrack) toEnd(w *Working) []Figure {
	closing, closingExact, turn, turnExact := unknown, unknown, unknown, unknown
	if o.ToGoNM != nil {
		by := deadreckon.OffTrackBy(o.OffNM, o.FlownNM, *o.ToGoNM)
		closing, closingExact, turn, turnExact = by.ClosingRule, by.ClosingExact, by.TurnRule(), by.TurnExact()
		w.angle("closing angle", o.OffNM, *o.ToGoNM, closing, closingExact, unsided)
		w.Both("both, towards the track", by.TrackErrorRule, closing, turn)
		w.Both("both exactly", by.TrackErrorExact, closingExact, turnExact)
	}
	figures := append(ruleAndExact("closing angle", "closing_angle", closing, closingExact), ruleAndExact("turn to the end", "turn", turn, turnExact)...)
	return append(figures, o.steer(w, "heading to the end", "", turn, turnExact)...)
}

// back are the answers for the way back onto the track; unknown without a distance for it.
func (o OffTrack) back(w *Working) []Figure {
	r := deadreckon.Regain{FirstTurnRule: unknown, FirstTurnExact: unknown, ThenTurnRule: unknown, ThenTurnExact: unknown}
	if o.RegainNM != nil {
		r = deadreckon.RegainTrack(o.OffNM, o.FlownNM, *o.RegainNM)
		by := deadreckon.OffTrackBy(o.OffNM, o.FlownNM, *o.RegainNM)
		w.angle("on track again, turn by", o.OffNM, *o.RegainNM, r.ThenTurnRule, r.ThenTurnExact, worked.Sided)
		w.Both("turn now, towards the track", by.TrackErrorRule, by.ClosingRule, r.FirstTurnRule)
		w.Both("turn now exactly", by.TrackErrorExact, by.ClosingExact, r.FirstTurnExact)
	}
	figures := append(ruleAndExact("turn now", "first_turn", r.FirstTurnRule, r.FirstTurnExact), o.steer(w, "heading back", "first_", r.FirstTurnRule, r.FirstTurnExact)...)
	figures = append(figures, ruleAndExact("on track again, turn", "then_turn", r.ThenTurnRule, r.ThenTurnExact)...)
	return append(figures, o.steer(w, "heading from there", "then_", r.FirstTurnRule+r.ThenTurnRule, r.FirstTurnExact+r.ThenTurnExact)...)
}

// steered is the heading so far, of unknown degrees if none is given.
func (o OffTrack) steered() say.Direction {
	if o.Heading == nil {
		return say.Direction{Degrees: unknown, North: say.Magnetic}
	}
	return o.Heading.Or(say.Magnetic)
}

// steer are the headings after a turn from the one steered so far, if that is known.
func (o OffTrack) steer(w *Working, label, name string, turn, turnExact float64) []Figure {
	so := o.steered()
	turned := func(by float64) say.Direction {
		return say.Direction{Degrees: angle.Wrap360(so.Degrees + by), North: so.North}
	}
	rule, exact := turned(turn), turned(turnExact)
	if known(rule.Degrees) {
		w.Turned(label, so.Degrees, turn, rule.Degrees)
	}
	figures := []Figure{either(label, name+"heading", rule), either("  exactly", name+"heading_exact", exact)}
	if math.Abs(turn-turnExact) < 1 {
		figures[1].Text = ""
	}
	return figures
}
