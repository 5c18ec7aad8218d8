package fuel

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// drawBarelyEnough is a flight on two tanks with hardly more fuel than it burns, so that a tenth more burned may run a tank dry, which makes four pieces of the band.
func drawBarelyEnough(t *rapid.T) Request {
	hours := rapid.Float64Range(0.5, 24).Draw(t, "hours")
	glide := rapid.SampledFrom([]float64{0, 5, 20}).Draw(t, "minutes without flow")
	r := Request{
		Tanks: []Tank{{Name: "left", Unusable: 2}, {Name: "right", Unusable: 2}},
		Burns: []Burn{
			{Minutes: 3, FlowPerHour: 30, Phase: "climb"},
			{Minutes: 60*hours - 26, FlowPerHour: rapid.Float64Range(8, 40).Draw(t, "flow"), ChangeAllowed: true, Phase: "cruise"},
			{Minutes: glide, ChangeAllowed: true, Phase: "glide"},
			{Minutes: 8, FlowPerHour: 16, ChangeAllowed: true, Phase: "descent"},
			{Minutes: 10, FlowPerHour: 16, Phase: "before landing"},
		},
		Rules: Rules{
			MaxImbalance: rapid.Float64Range(5, 30).Draw(t, "limit"), ExtraBurnFraction: 0.1,
			ChangeEveryMinutes: rapid.SampledFrom([]float64{1, 2, 3, 5, 10, 15, 30}).Draw(t, "every"),
		},
	}
	each := newTimeline(r.Burns).burn / 2 * rapid.Float64Range(0.97, 1.1).Draw(t, "of what is burned")
	r.Quantities = []float64{each + 2, each + 2}
	return r
}

// However many changes are to come, the moments at which one can be made are told by a few regions for each of them: they don't come to be several times as many with each.
func TestRegionsDoNotMultiply(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := newProblem(drawBarelyEnough(t))
		s := newTwoTanks(p)
		if !s.prepare(p.terms()) {
			t.Skip("no shift will do")
		}
		s.widen(looseSlack)
		s.reset()
		for changes := 1; changes <= mostChanges; changes++ {
			s.addLevel()
			require.LessOrEqual(t, len(s.levels[changes]), manyRegions*changes*len(s.stretches), "with %d changes to come", changes)
		}
	})
}

// No schedule has two changes closer together than a tank may be in use, and none is looked for: without that, regions would be found that hold nothing.
func TestNoRegionsWhereATankMustStayInUseForLongerThanItMay(t *testing.T) {
	r := Request{
		Tanks: []Tank{{Name: "left"}, {Name: "right"}}, Quantities: []float64{30, 30},
		Burns: []Burn{{Minutes: 60, FlowPerHour: 24, ChangeAllowed: true}},
		Rules: Rules{MaxImbalance: 19, ChangeEveryMinutes: 3, ShortestStayMinutes: CalmStayMinutes},
	}
	p := newProblem(r)
	s := newTwoTanks(p)
	require.True(t, s.prepare(p.terms()))
	s.widen(looseSlack)
	s.reset()
	s.addLevel()
	require.NotEmpty(t, s.levels[1])
	s.addLevel()
	require.Empty(t, s.levels[2])
}
