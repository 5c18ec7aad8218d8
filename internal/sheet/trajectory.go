package sheet

import "sort"

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
	for _, piece := range t {
		flown := min(max(minutes-piece.StartMinutes, 0), piece.Minutes)
		burned += piece.FlowPerHour * flown / 60
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
