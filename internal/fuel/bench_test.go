package fuel_test

import (
	"strconv"
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

// BenchmarkBarelyEnough is two tanks changed every five minutes, with a glide, and so little fuel that a tenth more burned runs a tank dry.
func BenchmarkBarelyEnough(b *testing.B) {
	for _, hours := range []float64{1, 2, 4} {
		b.Run(strconv.Itoa(int(hours))+" h", func(b *testing.B) {
			request := twoTankFlight()
			request.Burns[2].Minutes = 60*hours - 50
			request.Burns = append(request.Burns, fuel.Burn{Minutes: 20, ChangeAllowed: true, Phase: "glide"})
			request.Burns[4], request.Burns[5] = request.Burns[5], request.Burns[4]
			burned := 0.0
			for _, burn := range request.Burns {
				burned += fuel.Burned(burn.Minutes, burn.FlowPerHour)
			}
			request.Quantities = []float64{2 + 0.515*burned, 2 + 0.515*burned}
			request.Rules.ChangeEveryMinutes, request.HintsLater = 5, true
			b.ReportAllocs()
			for b.Loop() {
				_, _ = fuel.Plan(request)
			}
		})
	}
}

// BenchmarkTanks is a flight of five hours with two, three and four tanks, no two of them compared.
func BenchmarkTanks(b *testing.B) {
	for _, tanks := range []int{2, 3, 4} {
		b.Run(strconv.Itoa(tanks), func(b *testing.B) {
			request := fourTankFlight()
			request.Tanks, request.Rules.Pairs, request.Rules.MaxImbalance = request.Tanks[:tanks], nil, 0
			request.Rules.ChangeEveryMinutes = 60
			request.Quantities = make([]float64, tanks)
			for i := range request.Quantities {
				request.Quantities[i] = 200 / float64(tanks)
			}
			b.ReportAllocs()
			for b.Loop() {
				_, _ = fuel.Plan(request)
			}
		})
	}
}
