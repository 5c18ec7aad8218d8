package drill

import (
	flags "flag"
	"os"
	"testing"
)

// Ten thousand exercises and more are made and checked; a million with
//
//	go test ./internal/drill -rapid.checks=20000 -timeout 4h
func TestMain(m *testing.M) {
	flags.Parse()
	asked := false
	flags.Visit(func(f *flags.Flag) { asked = asked || f.Name == "rapid.checks" })
	if !asked {
		if err := flags.Set("rapid.checks", "200"); err != nil { // of every topic and level, and of those in flight
			panic(err)
		}
	}
	os.Exit(m.Run())
}
