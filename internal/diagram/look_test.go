package diagram

import (
	"os"
	"testing"

	"voltwright/internal/circuit/circuittest"
)

func TestLook(t *testing.T) {
	dir := os.Getenv("LOOK")
	if dir == "" {
		t.Skip()
	}
	all, err := circuittest.All()
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range all {
		sol, err := x.Circuit.Solve(x.Points[0])
		if err != nil {
			t.Error(err)
		}
		d := Power(&x.Circuit, sol, Options{})
		t.Logf("%s %gx%g crossings %d", x.Name, d.Width, d.Height, d.Crossings)
		os.WriteFile(dir+"/"+x.Name+".svg", d.SVG, 0o644)
	}
}
