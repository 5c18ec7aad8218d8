// Command legclock is a full-screen companion for hand-flown navigation.
package main

import (
	"os"

	"example.com/legclock/internal/cli"
)

func main() { os.Exit(cli.Main(cli.Process())) }
