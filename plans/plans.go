package plans

// DemoFile is the name of the demo plan within FS.
const DemoFile = "demo.yaml"
