package sheet_test

import (
	"fmt"
	"io"
	"testing"

	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/sheet"
)

// BenchmarkReckon is what every entry in flight costs: the rest of the flight reckoned again.
func BenchmarkReckon(b *testing.B) {
	p := lochs()
	route, forecast, start := routed(b, p), sheet.Forecast(p), startOf(p)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := route.Reckon(start, forecast); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkNewRoute(b *testing.B) {
	p := lochs()
	for b.Loop() {
		sheet.NewRoute(p)
	}
}

// BenchmarkCompute is from plan to sheet.
func BenchmarkCompute(b *testing.B) {
	p := lochs()
	for b.Loop() {
		sheet.Compute(p)
	}
}

func BenchmarkWriteHTML(b *testing.B) {
	s := computed(b, lochs())
	for b.Loop() {
		if err := s.Write(io.Discard, "html"); err != nil {
			b.Fatal(err)
		}
	}
}

// manyLegs is an invented route to and fro of so many legs of about 12 nm, at levels that change, with two large tanks or with the
// trainer's, which do not last for it.
func manyLegs(n int, enough bool) *plan.Plan {
	p := lochs()
	p.Points, p.Checks = nil, nil
	home := earth.Position{Lat: 56, Lon: -4}
	p.Points = append(p.Points, plan.Point{Ident: "P0", Kind: plan.Aerodrome, At: home, CircuitFt: 1000})
	p.Route = plan.Route{From: "P0"}
	for i := 1; i <= n; i++ {
		at, _ := earth.Direct(home, float64(i%7)*13, 12*float64(i%3+1))
		kind := plan.Visual
		if i == n {
			kind, at = plan.Aerodrome, home
			if (n-1)%3 == 2 && (n-1)%7 == 0 {
				at, _ = earth.Direct(home, 180, 20)
			}
		}
		ident := fmt.Sprintf("P%d", i)
		p.Points = append(p.Points, plan.Point{Ident: ident, Kind: kind, At: at, CircuitFt: 1000})
		p.Route.Legs = append(p.Route.Legs, plan.Leg{To: ident, Level: plan.Level{AltitudeFt: 3500 + 500*float64(i/10%3)}})
	}
	p.Fuel.Alternate = ""
	if enough {
		every := 60.0
		for i := range p.Aircraft.Fuel.Tanks {
			p.Aircraft.Fuel.Tanks[i].Capacity = 2000
		}
		p.Fuel.OnBoard = map[string]float64{"left": 1000, "right": 1000}
		p.Aircraft.Fuel.ChangeEveryMinutes, p.Aircraft.Fuel.MaxImbalance = &every, new(60.0)
	}
	return p
}

// BenchmarkLegs is the sheet of routes of growing length: the time is to grow as they do.
func BenchmarkLegs(b *testing.B) {
	for _, enough := range []bool{true, false} {
		for _, n := range []int{50, 150, 300} {
			b.Run(fmt.Sprintf("%d/fuel=%v", n, enough), func(b *testing.B) {
				p := manyLegs(n, enough)
				b.ReportAllocs()
				for b.Loop() {
					if s, problems := sheet.Compute(p); s == nil {
						b.Fatal(problems)
					}
				}
			})
		}
	}
}
