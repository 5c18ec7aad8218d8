package earth_test

import (
	"fmt"
	"time"

	"example.com/legclock/internal/earth"
)

// Karney's geodesic test vectors, in the test suite of GeographicLib: 8935244.560482 m, 111.098748429560° and 129.289270889709° (case 5.31).
func ExampleInverse() {
	geodesic := earth.Inverse(earth.Position{Lat: 35.60777, Lon: -139.44815}, earth.Position{Lat: -11.17491, Lon: -69.95921})
	fmt.Printf("%.6f m, starts %.9f°, ends %.9f°\n", geodesic.DistanceNM*1852, geodesic.AzimuthStart, geodesic.AzimuthEnd)
	// Output: 8935244.560482 m, starts 111.098748430°, ends 129.289270890°
}

// Karney, "Algorithms for geodesics", J. Geod. 87 (2013), table 2: from N40 E000, azimuth 30°, 10 000 km (case 5.36).
func ExampleDirect() {
	to, azimuth := earth.Direct(earth.Position{Lat: 40}, 30, 10_000/1.852)
	fmt.Printf("%.8f, %.8f, azimuth %.8f°\n", to.Lat, to.Lon, azimuth)
	// Output: 41.79331021, 137.84490004, azimuth 149.09016932°
}

// Half-way along a leg the azimuth is what a straight line on a conformal chart measures. It differs from those at the ends (case 5.08; the middle
// computed with GeodSolve, GeographicLib 2.1.2: 73.94178815 17.73551638, azimuth 354.31994°).
func ExampleLine_At() {
	line := earth.NewLine(earth.Position{Lat: 69.65, Lon: 18.96}, earth.Position{Lat: 78.22, Lon: 15.65})
	_, start := line.At(0)
	middle, track := line.At(line.DistanceNM() / 2)
	_, end := line.At(line.DistanceNM())
	fmt.Printf("%.2f nm, leaves on %.1f°, %.1f° at %v, arrives on %.1f°\n", line.DistanceNM(), start, track, middle, end)
	// Output: 519.19 nm, leaves on 355.5°, 354.3° at N73 56.51 E017 44.13, arrives on 352.3°
}

// A landmark 0.3° of longitude east of a northbound leg is some 17.7 nm to its right. It is abeam a little beyond its own latitude
// (computed as testdata/tables/abeam.txt says: 110627.5647 m, 32786.2617 m).
func ExampleAbeam() {
	along, right := earth.Abeam(earth.Position{Lat: 10, Lon: 20}, earth.Position{Lat: 12, Lon: 20}, earth.Position{Lat: 11, Lon: 20.3})
	fmt.Printf("abeam after %.2f nm, %.2f nm right\n", along, right)
	// Output: abeam after 59.73 nm, 17.70 nm right
}

// The detailed example of the WMM2025 technical report: 2027.5, 100 km, 80° south, 240° east (case 6.03).
func ExampleField() {
	const heightFt = 100 / 0.0003048
	field, err := earth.Field(earth.Position{Lat: -80, Lon: -120}, heightFt, time.Date(2027, 7, 2, 12, 0, 0, 0, time.UTC))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("north %.1f east %.1f down %.1f nT, variation %.2f°\n", field.NorthNT, field.EastNT, field.DownNT, field.Variation)
	// Output: north 5984.0 east 14760.1 down -49317.7 nT, variation 67.93°
}

// The example of NREL/TP-560-34302, where sunrise is published as 06:12:43 MST; its 17:20:19 is the sunset of the day before (case 7.21).
func ExampleSun() {
	mountain := time.FixedZone("MST", -7*3600)
	day := earth.Sun(earth.Position{Lat: 39.742476, Lon: -105.1786}, time.Date(2003, 10, 17, 0, 0, 0, 0, mountain))
	fmt.Println("rises", day.Sunrise.At.In(mountain).Format("15:04 MST"), "sets", day.Sunset.At.In(mountain).Format("15:04 MST"))
	// Output: rises 06:12 MST sets 17:18 MST
}

func ExampleParsePosition() {
	position, err := earth.ParsePosition(`56°27'45"N 004°32'10"W`)
	fmt.Println(position, err)
	_, err = earth.ParsePosition("5627N 0432W")
	fmt.Println(err)
	// Output:
	// N56 27.75 W004 32.17 <nil>
	// position "5627N 0432W": longitude: 0432 is neither degrees nor dddmm or dddmmss; write 56.1234, -4.5678 or N56 22.4 W003 51.7 or 562745N 0043210W or 56 27 45 N 4 32 10 W
}
