package earth_test

import (
	"testing"
	"time"

	"example.com/legclock/internal/earth"
)

var (
	benchFrom = earth.Position{Lat: 56.1234, Lon: -4.5678}
	benchTo   = earth.Position{Lat: 57.4, Lon: -3.1}
	benchTime = time.Date(2026, 6, 14, 10, 42, 30, 0, time.UTC)
)

func BenchmarkInverse(b *testing.B) {
	for b.Loop() {
		earth.Inverse(benchFrom, benchTo)
	}
}

func BenchmarkInverseNearAntipodal(b *testing.B) {
	from, to := earth.Position{Lat: 27.2}, earth.Position{Lat: -27.1, Lon: 179.5}
	for b.Loop() {
		earth.Inverse(from, to)
	}
}

func BenchmarkDirect(b *testing.B) {
	for b.Loop() {
		earth.Direct(benchFrom, 32, 80)
	}
}

func BenchmarkLineAt(b *testing.B) {
	line := earth.NewLine(benchFrom, benchTo)
	for b.Loop() {
		line.At(37.5)
	}
}

func BenchmarkAbeam(b *testing.B) {
	point := earth.Position{Lat: 56.8, Lon: -4.1}
	line := earth.NewLine(benchFrom, benchTo)
	for b.Loop() {
		line.Abeam(point)
	}
}

func BenchmarkField(b *testing.B) {
	for b.Loop() {
		_, _ = earth.Field(benchFrom, 4000, benchTime)
	}
}

func BenchmarkSun(b *testing.B) {
	for b.Loop() {
		earth.Sun(benchFrom, benchTime)
	}
}
