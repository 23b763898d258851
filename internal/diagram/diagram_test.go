package diagram

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"voltwright/internal/circuit"
	"voltwright/internal/circuit/circuittest"
)

// examples are the worked circuits that the packages share.
func examples(t testing.TB) []circuittest.Example {
	t.Helper()
	all, err := circuittest.All()
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// drawn are those and the ones that only drawings need.
func drawn(t testing.TB) []circuittest.Example {
	t.Helper()
	all := examples(t)
	files, err := filepath.Glob("testdata/circuits/*.json")
	if err != nil || len(files) < 10 {
		t.Fatalf("%d files, %v", len(files), err)
	}
	for _, f := range files {
		data, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		x, err := circuittest.Parse(data)
		if err != nil {
			t.Fatal(f, err)
		}
		x.Name = "own-" + strings.TrimSuffix(filepath.Base(f), ".json")
		all = append(all, x)
	}
	return all
}

// clear fails for every text that shares room with anything else that is drawn.
func clear(t *testing.T, name string, d Drawing) {
	t.Helper()
	for _, b := range d.Boxes {
		for _, v := range []float64{b.X0, b.Y0, b.X1, b.Y1} {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				t.Fatalf("%s: %s %q at %v", name, b.Ink, b.Of, b)
			}
		}
		if b.X0 < -0.1 || b.Y0 < -0.1 || b.X1 > d.Width+0.1 || b.Y1 > d.Height+0.1 {
			t.Errorf("%s: %s %q (%.0f %.0f %.0f %.0f) leaves the sheet of %.0f by %.0f", name, b.Ink, b.Of, b.X0, b.Y0, b.X1, b.Y1, d.Width, d.Height)
		}
	}
	for i, b := range d.Boxes {
		if b.Ink != Text {
			continue
		}
		for j, c := range d.Boxes {
			if i != j && b.Overlaps(c) && (c.Ink != Text || i < j) {
				t.Errorf("%s: text %q (%.0f %.0f %.0f %.0f) over %s of %q (%.0f %.0f %.0f %.0f)", name, b.Of, b.X0, b.Y0, b.X1, b.Y1, c.Ink, c.Of, c.X0, c.Y0, c.X1, c.Y1)
			}
		}
	}
}

func wellFormed(t *testing.T, name string, svg []byte) {
	t.Helper()
	dec := xml.NewDecoder(bytes.NewReader(svg))
	dec.Strict = true
	for {
		_, err := dec.Token()
		if errors.Is(err, io.EOF) {
			return
		}
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
	}
}

// solved gives the solution at a circuit's first point that can be solved.
func solved(x circuittest.Example) *circuit.Solution {
	for _, p := range x.Points {
		if s, err := x.Circuit.Solve(p); err == nil {
			return s
		}
	}
	return nil
}

func openable(k circuit.Kind) bool {
	return k == circuit.Cutout || k == circuit.EmergencyStop || k == circuit.Switch || k == circuit.Contactor
}

// variants are the ways in which a drawing can be asked for.
var variants = []Options{
	{}, {Lettering: Numbers}, {Lettering: Numbers, Key: true}, {Monochrome: true}, {Standalone: true, Key: true},
	{Standalone: true, Paper: A4, Issue: []string{"Garden railway", "Drawn 14 May"}}, {Paper: Letter, Monochrome: true}, {Paper: A4, Lettering: Numbers},
}

func TestNothingIsOverlapped(t *testing.T) {
	for _, x := range drawn(t) {
		for _, sol := range []*circuit.Solution{solved(x), nil} {
			for k, o := range variants {
				d := Power(&x.Circuit, sol, o)
				name := x.Name + " " + strconv.Itoa(k)
				clear(t, name, d)
				separate(t, name, &x.Circuit, d)
				wellFormed(t, name, d.SVG)
			}
		}
		for i := range x.Circuit.Parts {
			if openable(x.Circuit.Parts[i].Kind) {
				live, err := x.Circuit.Live(i)
				if err != nil {
					t.Fatal(err)
				}
				for k, o := range variants {
					d := Live(&x.Circuit, live, o)
					name := x.Name + " live " + strconv.Itoa(k)
					clear(t, name, d)
					wellFormed(t, name, d.SVG)
				}
			}
		}
	}
}
