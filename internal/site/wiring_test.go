package site

import (
	"bytes"
	"encoding/csv"
	"math"
	"strconv"
	"strings"
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

// eachCircuit builds the pages for each worked circuit.
