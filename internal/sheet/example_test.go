package sheet_test

import (
	"fmt"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/sheet"
)

// FAA knowledge test, case 12.01: descend from 6,500 ft to 1,500 ft at 500 ft/min and a true airspeed of 110 kt on a true course of
// 335 in a wind of 060/15, burning 8.5 gal/h. Published: 10 minutes, 18 nm, 1.4 gal.
func ExampleRoute_Reckon() {
	p := straight{
		trackTrue: 335, distanceNM: 60, fromFt: 6500, levelFt: 6500, arrivalFt: 1500, tasKt: 120, flow: 9,
		wind: air.Wind{FromTrue: 60, SpeedKt: 15},
	}.plan()
	descending(p, 110, 6500, 1500, 500, 8.5)

	route, _ := sheet.NewRoute(p)
	way, err := route.Reckon(sheet.Start{AltitudeFt: 6500}, sheet.Forecast(p))
	if err != nil {
		fmt.Println(err)
		return
	}
	_, afterNM, _ := way.TopOfDescent()
	start, _ := way.MinutesTo(0, afterNM)
	fmt.Printf("%.0f minutes, %.0f nm, %.1f gal\n", way.TotalMinutes()-start, route.DistanceNM()-afterNM, way.Fuel()-way.FuelTo(start))
	// Output: 10 minutes, 18 nm, 1.4 gal
}
