// Generate writes the invented run logs of the demo journal into its folder; see package demo.
//
// Usage, from the top of the repository: go run ./internal/demo/generate [journal]
// The journal is content unless another folder is named.
package main

import (
	"fmt"
	"os"

	"voltwright/internal/demo"
)

func main() {
	journal := "content"
	if len(os.Args) == 2 {
		journal = os.Args[1]
	}
	if len(os.Args) > 2 {
		fmt.Fprintln(os.Stderr, "usage: generate [journal]")
		os.Exit(2)
	}
	if err := demo.Write(journal); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(3)
	}
}
