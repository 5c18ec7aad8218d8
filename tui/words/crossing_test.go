package words_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/flight"
	"example.com/legclock/tui/words"
)

func TestHowAPointIsToBeCrossed(t *testing.T) {
	at := func(minute, second int) time.Time { return time.Date(2026, 6, 14, 9, minute, second, 0, time.UTC) }
	wanted := func(lose float64, change func(*flight.CrossingNow)) *flight.CrossingNow {
		c := &flight.CrossingNow{Point: "GRN", Wanted: new(at(52, 0)), LoseSeconds: &lose}
		if change != nil {
			change(c)
		}
		return c
	}
	slower := func(c *flight.CrossingNow) {
		c.Speed, c.Hold = &flight.SpeedWanted{IASKt: 81.6}, &flight.HoldWanted{Leave: at(36, 35)}
	}
	descent := &flight.DescentNow{ToFt: 2500, LeaveAt: at(44, 10)}
	late := &flight.DescentNow{ToFt: 2500, LeaveAt: at(44, 10), NeededFtMin: new(551.0)}
	for want, got := range map[string]string{
		"":                          words.Crossing(nil, descent),
		"GRN at 09:52:00Z, on time": words.Crossing(wanted(-9, nil), nil),
		"GRN at 09:52:00Z, 2:35 to lose: IAS 82 or hold here until 09:36:35Z": words.Crossing(wanted(155, slower), nil),
		"GRN at 09:52:00Z, 10:15 to lose: hold at KVN until 09:46:00Z":        words.Crossing(wanted(615, func(c *flight.CrossingNow) { c.Hold = &flight.HoldWanted{Point: "KVN", Leave: at(46, 0)} }), nil),
		"GRN at 09:52:00Z, 2:35 to lose: take off so much later":              words.Crossing(wanted(155, func(c *flight.CrossingNow) { c.Problem = "take off so much later" }), nil),
		"GRN at 09:52:00Z, 1:00 to make up: IAS 99":                           words.Crossing(wanted(-60, func(c *flight.CrossingNow) { c.Speed = &flight.SpeedWanted{IASKt: 99} }), nil),
		"GRN at 09:52:00Z, too early: at IAS 94 it is 09:49:24Z":              words.Crossing(wanted(-265, func(c *flight.CrossingNow) { c.Problem = "too early: at IAS 94 it is 09:49:24Z" }), nil),
		"GRN at 2500 ft: top of descent 09:44:10Z":                            words.Crossing(&flight.CrossingNow{Point: "GRN", AltitudeFt: new(2500.0)}, descent),
		"GRN at 09:52:00Z, on time, at 2500 ft: 551 ft/min from here":         words.Crossing(wanted(0, func(c *flight.CrossingNow) { c.AltitudeFt = new(2500.0) }), late),
		"GRN at 3000 ft": words.Crossing(&flight.CrossingNow{Point: "GRN", AltitudeFt: new(3000.0)}, descent),
	} {
		require.Equal(t, want, got)
	}
}
