package sheet

import (
	"math"
	"slices"

	"example.com/legclock/internal/deadreckon"
)

// peakToleranceNM is how well a climb and a descent must meet: a few millimetres.
const peakToleranceNM = 1e-6

// lastDescent reckons the last descent backwards from overhead the destination, as high as any level ahead and no farther back
// than the start. Both ways are straight lines over the distance, piece by piece, so where they meet is exact.
func (k *reckoner) lastDescent(arrivalFt float64) {
	_, highestFt := k.route.levels(k.at.leg, k.air.QNH)
	ceilingFt := max(k.at.altitudeFt, highestFt)
	altitudeFt := arrivalFt
	k.levelNM = k.route.LevelBeforeNM()
	for leg := len(k.route.Legs) - 1; leg >= k.at.leg; leg-- {
		tracks := k.route.Legs[leg].Tracks
		for t := len(tracks) - 1; t >= 0 && ceilingFt-altitudeFt > sameHeightFt; t-- {
			if leg == k.at.leg && t < k.at.track {
				break
			}
			altitudeFt = k.descendTrack(leg, tracks[t], altitudeFt, ceilingFt)
			if k.descentErr != nil {
				break
			}
		}
	}
	slices.Reverse(k.descent)
}

// descendTrack reckons the last descent over one track, backwards, and gives the altitude at which that ends.
func (k *reckoner) descendTrack(leg int, track Track, altitudeFt, ceilingFt float64) float64 {
	beginNM := track.FromNM
	if leg == k.at.leg {
		beginNM = max(beginNM, k.at.afterNM)
	}
	at := track.ToNM
	if lengthNM := min(k.levelNM, at-beginNM); lengthNM > sameDistanceNM {
		piece, err := k.levelPiece(leg, track, altitudeFt, lengthNM)
		if err != nil {
			k.descentErr = err
			return altitudeFt
		}
		piece.FromNM, piece.ToNM = at-lengthNM, at
		at = piece.FromNM
		k.levelNM -= lengthNM
		k.descent = append(k.descent, piece)
	}
	for at-beginNM > sameDistanceNM && ceilingFt-altitudeFt > sameHeightFt {
		rate := k.performance.aircraft.Descent.RateFtMin
		piece, err := k.layer(Descent, leg, track, altitudeFt, k.layerEnd(altitudeFt, ceilingFt), rate, at-beginNM)
		if err != nil {
			k.descentErr = err
			return altitudeFt
		}
		altitudeFt = piece.ToFt
		piece.FromNM, piece.ToNM = at-piece.ToNM, at
		if piece.FromNM-beginNM <= sameDistanceNM {
			piece.FromNM = beginNM
		}
		piece.FromFt, piece.ToFt = piece.ToFt, piece.FromFt
		at = piece.FromNM
		k.descent = append(k.descent, piece)
	}
	return altitudeFt
}

// levelPiece is flown at an altitude at the airspeed of the descent, and is counted at the flow of cruise. It begins at 0 nm.
func (k *reckoner) levelPiece(leg int, track Track, altitudeFt, lengthNM float64) (Piece, error) {
	piece, _, err := k.through(Descent, leg, track, altitudeFt)
	piece.FromFt, piece.ToFt, piece.ToNM = altitudeFt, altitudeFt, lengthNM
	piece.Minutes = deadreckon.Minutes(lengthNM, piece.Heading.GroundspeedKt)
	piece.FlowPerHour = max(piece.FlowPerHour, k.performance.levelFlow(altitudeFt+k.surfaceFt))
	return piece, err
}

// tooHigh reports whether the start lies above the last descent.
func (k *reckoner) tooHigh() bool {
	if len(k.descent) == 0 {
		return false
	}
	top := k.descent[0]
	return top.Leg == k.at.leg && top.FromNM <= k.at.afterNM && k.at.altitudeFt > top.FromFt+sameHeightFt
}

// meets finds the share of a piece, which begins where the way ends, that is flown before it meets the last descent. The way is
// met where it is first not below the descent.
func (k *reckoner) meets(piece Piece) (share float64, meets bool, err error) {
	fromNM, lengthNM := k.at.afterNM, piece.ToNM
	toNM := fromNM + lengthNM
	altitudeAt := func(afterNM float64) float64 {
		return piece.FromFt + (piece.ToFt-piece.FromFt)*(afterNM-fromNM)/lengthNM
	}
	for ; k.meeting < len(k.descent); k.meeting++ {
		down := k.descent[k.meeting]
		if down.Leg > piece.Leg || down.Leg == piece.Leg && down.FromNM >= toNM-sameDistanceNM {
			return 1, false, nil
		}
		if down.Leg < piece.Leg || down.ToNM <= fromNM+sameDistanceNM {
			continue
		}
		slopeDown := (down.ToFt - down.FromFt) / (down.ToNM - down.FromNM)
		aboveAt := func(afterNM float64) float64 {
			return altitudeAt(afterNM) - down.FromFt - slopeDown*(afterNM-down.FromNM)
		}
		startNM, endNM := max(fromNM, down.FromNM), min(toNM, down.ToNM)
		above, aboveEnd := aboveAt(startNM), aboveAt(endNM)
		if above > sameHeightFt && k.meeting == 0 && k.descentErr != nil {
			return 0, false, k.descentErr
		}
		meetNM := startNM
		if above < 0 {
			if aboveEnd < 0 {
				if down.ToNM > toNM {
					return 1, false, nil
				}
				continue
			}
			meetNM += (endNM - startNM) * above / (above - aboveEnd)
		}
		share = (meetNM - fromNM) / lengthNM
		if meetNM-fromNM <= sameDistanceNM {
			share = 0
		}
		return share, true, nil
	}
	return 1, false, nil
}

// peak reckons the last piece of a climb and the first of the descent that it meets again, each through its own air, now that their
// common end is nearly known. Where that does not come out within both, they stay as they are.
func (k *reckoner) peak(up, down Piece) (Piece, Piece) {
	track, topFt := k.track(), up.ToFt
	if down.FromFt == down.ToFt {
		return up, down
	}
	for range 12 {
		climb, err := k.layer(Climb, up.Leg, track, up.FromFt, topFt, 0, math.Inf(1))
		if err != nil {
			break
		}
		descent, err := k.layer(Descent, up.Leg, track, down.ToFt, topFt, k.performance.aircraft.Descent.RateFtMin, math.Inf(1))
		if err != nil {
			break
		}
		meetNM := k.at.afterNM + climb.ToNM
		spareNM := down.ToNM - descent.ToNM - meetNM
		if math.Abs(spareNM) <= peakToleranceNM {
			descent.FromNM, descent.ToNM = meetNM, down.ToNM
			descent.FromFt, descent.ToFt = topFt, down.ToFt
			return climb, descent
		}
		topFt += spareNM / (climb.ToNM/(topFt-up.FromFt) + descent.ToNM/(topFt-down.ToFt))
		if topFt <= max(up.FromFt, down.ToFt) || topFt >= down.FromFt {
			break
		}
	}
	return up, down
}

// takeDescent goes on with the last descent from where the way has met it.
func (k *reckoner) takeDescent() {
	k.met = true
	for _, down := range k.descent[k.meeting:] {
		lengthNM := down.ToNM - down.FromNM
		if down.Leg == k.at.leg && down.FromNM < k.at.afterNM {
			down = cut(down, (k.at.afterNM-down.FromNM)/lengthNM, 1)
			down.FromFt = k.at.altitudeFt
		}
		for down.Leg > k.at.leg || down.FromNM > k.track().ToNM-sameDistanceNM {
			if !k.nextTrack() { // it is met overhead the destination: nothing of it is left
				return
			}
		}
		if down.ToNM-down.FromNM <= sameDistanceNM {
			continue
		}
		down.ToNM -= down.FromNM
		k.add(down)
	}
}

// descend goes down from where the way is to arrive at an altitude where the level part begins, or overhead the destination, at the constant
// rate that does it;
// an altitude not below is kept.
func (k *reckoner) descend(arrivalFt float64) error {
	start, heightFt := k.at, k.at.altitudeFt-arrivalFt
	levelNM := k.route.LevelBeforeNM()
	if levelNM >= k.toGoNM()-sameDistanceNM {
		levelNM = 0 // it is too late for a level part
	}
	rate := k.performance.aircraft.Descent.RateFtMin
	if heightFt <= sameHeightFt {
		rate = 0
	}
	for range 8 {
		k.at, k.minutes, k.way = start, 0, k.way[:0]
		if err := k.descendAt(rate, levelNM); err != nil {
			return err
		}
		lost := start.altitudeFt - k.at.altitudeFt
		if rate == 0 || lost == 0 || math.Abs(lost-heightFt) <= sameHeightFt {
			break
		}
		rate *= heightFt / lost
	}
	return k.arrive(Descent)
}

// toGoNM is how far it is to the destination.
func (k *reckoner) toGoNM() float64 {
	return k.route.DistanceNM() - k.leg().StartNM - k.at.afterNM
}

// descendAt goes down at a rate to where the level part begins, and level to the end of the route.
func (k *reckoner) descendAt(rateFtMin, levelNM float64) error {
	for {
		track := k.track()
		for track.ToNM-k.at.afterNM > sameDistanceNM {
			downNM := k.toGoNM() - levelNM
			var piece Piece
			var err error
			if levelNM > 0 && downNM <= sameDistanceNM {
				piece, err = k.levelPiece(k.at.leg, track, k.at.altitudeFt, track.ToNM-k.at.afterNM)
			} else {
				piece, err = k.descendPiece(track, rateFtMin, min(track.ToNM-k.at.afterNM, downNM))
			}
			if err != nil {
				return err
			}
			k.add(piece)
		}
		if !k.nextTrack() {
			return nil
		}
	}
}

func (k *reckoner) descendPiece(track Track, rateFtMin, leftNM float64) (Piece, error) {
	altitudeFt := k.at.altitudeFt
	if rateFtMin > 0 {
		return k.layer(Descent, k.at.leg, track, altitudeFt, k.layerEnd(altitudeFt, math.Inf(-1)), rateFtMin, leftNM)
	}
	piece, _, err := k.through(Descent, k.at.leg, track, altitudeFt)
	piece.FromFt, piece.ToFt, piece.ToNM = altitudeFt, altitudeFt, leftNM
	piece.Minutes = deadreckon.Minutes(leftNM, piece.Heading.GroundspeedKt)
	return piece, err
}
