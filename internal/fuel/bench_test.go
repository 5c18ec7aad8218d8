package fuel_test

import (
	"testing"

	"example.com/legclock/internal/fuel"
)

func BenchmarkPlan(b *testing.B) {
	for _, c := range []struct {
		name    string
		request func() fuel.Request
	}{
		{"two tanks, 3 h", func() fuel.Request { return twoTankFlight() }},
		{"two tanks, 3 h, start free", func() fuel.Request {
			r := twoTankFlight()
			r.Selected = fuel.FreeToChoose
			return r
		}},
		{"two tanks, 3 h, change every 30 min", func() fuel.Request {
			r := twoTankFlight()
			r.Rules.ChangeEveryMinutes = 30
			return r
		}},
		{"two tanks, 3 h, limit can't be kept", func() fuel.Request {
			r := twoTankFlight()
			r.Burns[0].Minutes = 70
			return r
		}},
		{"four tanks, 5 h", func() fuel.Request { return fourTankFlight() }},
		{"four tanks, 5 h, change every 30 min", func() fuel.Request {
			r := fourTankFlight()
			r.Rules.ChangeEveryMinutes = 30
			return r
		}},
		{"four tanks, 5 h, fuel too short", func() fuel.Request {
			r := fourTankFlight()
			r.Quantities[1], r.Quantities[2] = 20, 20
			return r
		}},
	} {
		b.Run(c.name, func(b *testing.B) {
			request := c.request()
			b.ReportAllocs()
			for b.Loop() {
				_, _ = fuel.Plan(request)
			}
		})
	}
}
