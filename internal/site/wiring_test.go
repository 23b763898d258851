package site

import (
	"os"
	"testing"

	"voltwright/internal/circuit"
	"voltwright/internal/circuit/circuittest"
	"voltwright/internal/ride"
)

// wiredInput is a journal of two versions, the second of which has the wiring of a worked circuit.
func wiredInput(t testing.TB, name string) (Input, *ride.Wired) {
	t.Helper()
	x, err := circuittest.Named(name)
	if err != nil {
		t.Fatal(err)
	}
	in := twoVersions(t)
	w := ride.Wire(&x.Circuit, x.Points)
	in.Results.Circuits = map[string]*ride.Wired{"cart/2-second": w}
	in.Docs = append(in.Docs, circuit.Docs()...)
	return in, w
}

func TestLook(t *testing.T) {
	in, _ := wiredInput(t, "20-whole-shunter")
	p, found := build(t, in)
	for _, f := range found {
		t.Error(f.Text)
	}
	if dir := os.Getenv("LOOK"); dir != "" {
		if err := Write(dir, p); err != nil {
			t.Fatal(err)
		}
	}
}
