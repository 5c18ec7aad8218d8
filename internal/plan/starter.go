package plan

import _ "embed"

var (
	//go:embed starter/plan.yaml
	starterPlan []byte
	//go:embed starter/aircraft.yaml
	starterAircraft []byte
)

// StarterAircraftFile is the name by which the starter plan refers to its aircraft.
const StarterAircraftFile = "aircraft.yaml"

// Starter is a commented plan and the aircraft that it refers to, which Load accepts as they stand.
func Starter() (planYAML, aircraftYAML []byte) {
	return append([]byte(nil), starterPlan...), append([]byte(nil), starterAircraft...)
}
