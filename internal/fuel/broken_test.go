package fuel_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/fuel"
)

func TestFuelThatIsTooShortIsFlownToTheLastOfBothTanks(t *testing.T) {
	r := twoTankFlight()
	r.Quantities = []float64{30, 30}
	s, broken := requireBroken(t, r, fuel.RuleUsableFuel)
	// 56 l are usable: 1.5 and 4.2 in the climb, the rest is 50.3 at 23.5 l/h; the flight asks for 69.25.
	assert.InDelta(t, 12+50.3/23.5*60, broken.AtMinutes, 1e-3)
	assert.InDelta(t, 13.25, broken.By, 1e-3)
	assert.InDeltaSlice(t, []float64{2, 2}, s.Remaining, 1e-3)
	assert.Contains(t, broken.Text, "no usable fuel left (cruise)")
	assert.Equal(t, "13.2 L more is needed to land", broken.Hint)
	assert.False(t, s.LandsWithReserve)
	assert.LessOrEqual(t, s.HighestImbalance, 19.0)

	r.UnitName = ""
	_, broken = requireBroken(t, r, fuel.RuleUsableFuel)
	assert.Equal(t, "13.2 more is needed to land", broken.Hint)
}

func TestATankThatRunsDryNearTheGroundIsChangedThere(t *testing.T) {
	r := twoTankFlight()
	r.Quantities, r.Selected = []float64{3, 55}, 0
	r.Burns[2].Minutes = 60
	s, broken := requireBroken(t, r, fuel.RuleQuietTime)
	require.NotEmpty(t, s.Changes)
	assert.InDelta(t, 2, s.Changes[0].AtMinutes, 0.02+1e-6, "1 l usable, at 30 l/h and as late as it lasts")
	assert.Equal(t, s.Changes[0].AtMinutes, broken.AtMinutes)
	assert.Contains(t, broken.Text, "the change to right falls where no change should be made (climb below 1000 ft)")
	assert.Equal(t, "right in use from the start would keep it", s.Broken[0].Hint)
	r.UnderWay = true
	_, underWay := requireBroken(t, r, fuel.RuleQuietTime)
	assert.Equal(t, "right in use now would keep it", underWay.Hint)
	assert.GreaterOrEqual(t, s.Remaining[0], 2-1e-6)
}

func TestAQuietTimeThatIsTooLongBreaksTheLimitByTheLeast(t *testing.T) {
	r := twoTankFlight()
	r.Burns[0].Minutes = 60 // 30 l from one tank
	r.Burns[2].Minutes = 60
	s, broken := requireBroken(t, r, fuel.RuleImbalance)
	assert.InDelta(t, 33-5-19, broken.By, 1e-6, "with 10 %% more, from 5 more in right")
	assert.Contains(t, broken.Text, "the imbalance of left and right goes 9.0 L above the limit of 19 (climb below 1000 ft) when 10 % more is burned")
	assert.Equal(t, "a change where none is allowed now would keep it", broken.Hint)
	assert.InDelta(t, 60, s.Changes[0].AtMinutes, 1e-6, "changed as soon as it may be")
}

func TestTheLongestTimeGivesWayBeforeTheLimit(t *testing.T) {
	r := twoTankFlight()
	r.Quantities = []float64{2, 55} // left has nothing usable
	r.Burns = []fuel.Burn{{Minutes: 60, FlowPerHour: 23.5, ChangeAllowed: true, Phase: "cruise"}}
	r.Rules.ChangeEveryMinutes = 30
	s, broken := requireBroken(t, r, fuel.RuleLongestTime)
	assert.Empty(t, s.Changes)
	assert.InDelta(t, 30, broken.AtMinutes, 1e-9)
	assert.InDelta(t, 30, broken.By, 1e-9)
	assert.Contains(t, broken.Text, "right is in use for 60 minutes, longest 30 (cruise)")
	assert.Equal(t, "28.5 L in each at the start would keep it", broken.Hint)
	assert.Len(t, s.Broken, 1)
	r.UnderWay = true
	_, underWay := requireBroken(t, r, fuel.RuleLongestTime)
	assert.Equal(t, "30 minutes more on one tank are needed", underWay.Hint)
}

func TestBrokenIsOneLine(t *testing.T) {
	broken := &fuel.Broken{Rule: fuel.RuleImbalance, AtMinutes: 84.4, Text: "it is too much", Hint: "less would do"}
	assert.EqualError(t, broken, "minute 84: it is too much; less would do")
	broken.Hint = ""
	assert.EqualError(t, broken, "minute 84: it is too much")
	assert.Equal(t, "largest imbalance", fuel.RuleImbalance.String())
	assert.Equal(t, "longest time on one tank", fuel.RuleLongestTime.String())
	assert.Equal(t, "no change", fuel.RuleQuietTime.String())
	assert.Equal(t, "usable fuel", fuel.RuleUsableFuel.String())
	assert.Equal(t, "Rule(9)", fuel.Rule(9).String())
}

func TestRequestsThatCannotBeReckonedWithAreRefused(t *testing.T) {
	for want, spoil := range map[string]func(*fuel.Request){
		"no tanks: at least one is needed":                                        func(r *fuel.Request) { r.Tanks = nil },
		"2 tanks but 1 quantities: one for each tank is needed":                   func(r *fuel.Request) { r.Quantities = r.Quantities[:1] },
		`tank "right": quantity -1: it must be 0 or more`:                         func(r *fuel.Request) { r.Quantities[1] = -1 },
		`tank "left": unusable quantity -2: it must be 0 or more`:                 func(r *fuel.Request) { r.Tanks[0].Unusable = -2 },
		"selected tank 2: it must be from 0 to 1, or FreeToChoose":                func(r *fuel.Request) { r.Selected = 2 },
		"burn 2 (cruise): -1 minutes at 23.5 an hour: both must be 0 or more":     func(r *fuel.Request) { r.Burns[2].Minutes = -1 },
		"-1 minutes since the last change: it must be 0 or more":                  func(r *fuel.Request) { r.SinceChangeMinutes = -1 },
		"largest imbalance -1: it must be 0 or more":                              func(r *fuel.Request) { r.Rules.MaxImbalance = -1 },
		"longest time on one tank -1: it must be 0 or more":                       func(r *fuel.Request) { r.Rules.ChangeEveryMinutes = -1 },
		"extra burn -0.1: it must be 0 or more":                                   func(r *fuel.Request) { r.Rules.ExtraBurnFraction = -0.1 },
		"landing reserve -1: it must be 0 or more":                                func(r *fuel.Request) { r.Rules.LandingReserve = -1 },
		"pair [0 2]: there is no tank 2":                                          func(r *fuel.Request) { r.Rules.Pairs = [][2]int{{0, 2}} },
		"pair [1 1]: a tank can't be compared with itself":                        func(r *fuel.Request) { r.Rules.Pairs = [][2]int{{1, 1}} },
		"a largest imbalance with 3 tanks: the pairs it applies to must be named": func(r *fuel.Request) { r.Tanks, r.Quantities = make([]fuel.Tank, 3), make([]float64, 3) },
		"9 tanks: at most 8 can be scheduled":                                     func(r *fuel.Request) { r.Tanks = make([]fuel.Tank, 9) },
	} {
		r := twoTankFlight()
		spoil(&r)
		_, err := fuel.Plan(r)
		assert.EqualError(t, err, want)
		_, err = fuel.Follow(r, 0, nil)
		assert.EqualError(t, err, want)
	}
}

func TestFollowRefusesChangesThatMakeNoSense(t *testing.T) {
	r := twoTankFlight()
	_, err := fuel.Follow(r, 2, nil)
	require.EqualError(t, err, "start on tank 2: it must be from 0 to 1")
	_, err = fuel.Follow(r, 0, []fuel.Change{{AtMinutes: 20, To: 1}, {AtMinutes: 10, To: 0}})
	require.EqualError(t, err, "change 2 at minute 10: it must be from minute 20 to 180")
	_, err = fuel.Follow(r, 0, []fuel.Change{{AtMinutes: 20, To: 2}})
	require.EqualError(t, err, "change 1 to tank 2: it must be from 0 to 1")
}

func TestFollowSaysEveryRuleThatIsBroken(t *testing.T) {
	r := twoTankFlight()
	r.Quantities[0] = 40
	r.Rules.ChangeEveryMinutes = 45
	s, err := fuel.Follow(r, 0, []fuel.Change{{AtMinutes: 175, To: 1}})
	require.NoError(t, err)
	var rules []fuel.Rule
	for _, broken := range s.Broken {
		rules = append(rules, broken.Rule)
	}
	assert.Equal(t, []fuel.Rule{fuel.RuleUsableFuel, fuel.RuleQuietTime, fuel.RuleImbalance, fuel.RuleLongestTime}, rules)
}

func TestAnImbalanceOnItsWayDownMayNotRiseAgain(t *testing.T) {
	r := twoTankFlight()
	r.Quantities = []float64{15, 55}
	r.Burns = []fuel.Burn{{Minutes: 90, FlowPerHour: 23.5, ChangeAllowed: true, Phase: "cruise"}}
	r.Rules.ExtraBurnFraction = 0
	s, err := fuel.Follow(r, 1, []fuel.Change{{AtMinutes: 24, To: 0}, {AtMinutes: 30, To: 1}})
	require.NoError(t, err)
	require.Len(t, s.Broken, 1)
	assert.Equal(t, fuel.RuleImbalance, s.Broken[0].Rule)
	assert.InDelta(t, 24, s.Broken[0].AtMinutes, 1e-6)
	assert.InDelta(t, 2.35, s.Broken[0].By, 1e-6)
	assert.Contains(t, s.Broken[0].Text, "is above the limit of 19 at the start and rises again by 2.4 L (cruise) by the planned burn")
}

func TestOnlyTheTimeThatNothingCanBeDoneAboutIsTooLong(t *testing.T) {
	r := level(100, 60, 24, fuel.Rules{ChangeEveryMinutes: 8})
	r.Burns = append(r.Burns, fuel.Burn{Minutes: 20, FlowPerHour: 24, Phase: "the last 20 minutes"})
	s, broken := requireBroken(t, r, fuel.RuleLongestTime)
	assert.InDelta(t, 12, broken.By, 1e-6)
	assert.InDelta(t, 68, broken.AtMinutes, 1e-6)
	assert.InDeltaSlice(t, []float64{8, 16, 24, 32, 40, 48, 56, 60}, times(s), 1e-6)
}
