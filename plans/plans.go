// Package plans holds the embedded demo plans and aircraft. Every place, beacon and registration in them is invented.
package plans

import "embed"

// FS holds the demo plan and the files that it names, by the names that the plan uses.
//
//go:embed *.yaml aircraft/*.yaml
var FS embed.FS

// DemoFile is the name of the demo plan within FS: plan.Load(plans.DemoFile, plans.FS.ReadFile) reads it.
const DemoFile = "demo.yaml"
