// Voltwright checks the journal of a small electric vehicle's builds and
// publishes it as a static site.
package main

import (
	"os"

	"voltwright/internal/app"
)

func main() { os.Exit(app.Run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) }
