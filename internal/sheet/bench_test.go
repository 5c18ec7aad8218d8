package sheet_test

import (
	"io"
	"testing"

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
