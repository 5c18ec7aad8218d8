package air

// Units that flying mixes. All are exact by definition except the inch of mercury, which is the conventional one (at 0 °C).
const (
	MetresPerFoot        = 0.3048
	MetresPerNM          = 1852.0
	FeetPerNM            = MetresPerNM / MetresPerFoot
	StatuteMilesPerNM    = FeetPerNM / 5280
	hPaPerInchOfMercury  = 33.86389
	metresPerSecondPerKt = MetresPerNM / 3600
)

// QNHFromInHg returns an altimeter setting in hectopascals from one in inches of mercury.
func QNHFromInHg(inHg float64) float64 { return inHg * hPaPerInchOfMercury }

// InHgFromHPa returns a pressure in inches of mercury from one in hectopascals.
func InHgFromHPa(pressureHPa float64) float64 { return pressureHPa / hPaPerInchOfMercury }

// FahrenheitFromCelsius converts a temperature.
func FahrenheitFromCelsius(temperatureC float64) float64 { return temperatureC*9/5 + 32 }

// CelsiusFromFahrenheit converts a temperature.
func CelsiusFromFahrenheit(temperatureF float64) float64 { return (temperatureF - 32) * 5 / 9 }
