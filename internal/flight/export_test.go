package flight

import "time"

// SuggestedDiversion is for tests of its rule on its own.
var SuggestedDiversion = suggestedDiversion

// Unseen is the same flight as if nobody had looked at it.
func (s *State) Unseen() *State {
	clone := s.Clone()
	clone.kept = &kept{}
	return clone
}

// FuelStateOfLandings is the state of fuel at a moment as all landings have it.
func (s *State) FuelStateOfLandings(t time.Time) *FuelState {
	snapshot := s.At(t)
	return s.looking(t).fuelStateAt(&snapshot, nil)
}
