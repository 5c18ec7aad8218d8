package sheet_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/sheet"
)

func TestSmoke(t *testing.T) {
	p := lochs()
	r, problems := sheet.NewRoute(p)
	for _, problem := range problems {
		t.Log(problem)
	}
	require.NotNil(t, r)
	way, err := r.Reckon(startOf(p), sheet.Forecast(p))
	require.NoError(t, err)
	for _, leg := range r.Legs {
		t.Logf("%s %s %.2f %.2f %.2f", leg.From.Ident, leg.To.Ident, leg.DistanceNM, leg.TrackTrue, leg.Declination)
		for _, s := range leg.Radio {
			t.Logf("   %+v", s)
		}
		for _, s := range leg.Checkpoints {
			t.Logf("   %+v", s)
		}
	}
	for _, piece := range way {
		t.Logf("%d %-8s %6.2f-%6.2f  %6.2f +%5.2f  %5.0f-%5.0f  tas %.1f gs %.1f %v", piece.Leg, piece.Phase, piece.FromNM, piece.ToNM, piece.StartMinutes, piece.Minutes, piece.FromFt, piece.ToFt, piece.TASKt, piece.Heading.GroundspeedKt, piece.Wind)
	}
}

func BenchmarkReckon(b *testing.B) {
	p := lochs()
	r, _ := sheet.NewRoute(p)
	forecast, start := sheet.Forecast(p), startOf(p)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := r.Reckon(start, forecast); err != nil {
			b.Fatal(err)
		}
	}
}
