//go:build look

package diagram

import (
	"os"
	"testing"
)

// TestLook writes every drawing into the folder that LOOK names, to be looked at.
func TestLook(t *testing.T) {
	dir := os.Getenv("LOOK")
	if dir == "" {
		t.Fatal("set LOOK to a folder to have every drawing written there")
	}
	for _, x := range drawn(t) {
		save := func(kind string, d Drawing) {
			t.Logf("%s%s %.0f by %.0f, %d crossings, %.2g mm", x.Name, kind, d.Width, d.Height, d.Crossings, float64(d.CapHeight)*1000)
			if err := os.WriteFile(dir+"/"+x.Name+kind+".svg", d.SVG, 0o644); err != nil {
				t.Fatal(err)
			}
		}
		sol := solved(x)
		save("-power", Power(&x.Circuit, sol, Options{Standalone: true}))
		save("-phone", Power(&x.Circuit, sol, Options{Standalone: true, Lettering: Numbers}))
		save("-mono", Power(&x.Circuit, sol, Options{Standalone: true, Monochrome: true}))
		save("-a4", Power(&x.Circuit, sol, Options{Standalone: true, Paper: A4, Issue: []string{x.Title}}))
		save("-a4-mono", Power(&x.Circuit, sol, Options{Standalone: true, Paper: A4, Monochrome: true, Issue: []string{x.Title}}))
		save("-letter", Power(&x.Circuit, sol, Options{Standalone: true, Paper: Letter, Issue: []string{x.Title}}))
		for i := range x.Circuit.Parts {
			if k := x.Circuit.Parts[i].Kind; openable(k) {
				live, err := x.Circuit.Live(i)
				if err != nil {
					t.Fatal(err)
				}
				save("-live", Live(&x.Circuit, live, Options{Standalone: true}))
				break
			}
		}
	}
}
