package drivetrain

import (
	"testing"

	"voltwright/internal/drive"
	"voltwright/internal/quantity"
)

// Which reason a stopping distance that is missing has, and which of two stops it is of: each case beside the one in which
// the next reason counts.
func TestReasonsOfStops(t *testing.T) {
	var goes SteadyState
	goes.Point.State = drive.Runs
	stands := func(words, err string) SteadyState {
		c := SteadyState{Words: words, Err: err}
		return c
	}
	stop := func(metres float64, why string) Stopping {
		s := Stopping{Err: why}
		s.StopAnswers = drive.StopAnswers{Distance: quantity.Exact(quantity.Metres(metres))}
		return s
	}
	unsure := stop(0, "")
	unsure.Distance = quantity.Missing[quantity.Metres]()
	for _, tt := range []struct {
		name        string
		d           Performance
		level, down string // the reason, or
		want        [2]float64
	}{
		{"no speed", Performance{NoSpeed: "No wheel is stated.", Top: goes, Stops: []Stopping{stop(3, ""), stop(4, "")}}, "No wheel is stated.", "No wheel is stated.", [2]float64{}},
		{"it does not move", Performance{Top: stands("It stands.", "")}, "It stands.", "It stands.", [2]float64{}},
		{"it cannot be computed", Performance{Top: stands("", "It has no end.")}, "It has no end.", "It has no end.", [2]float64{}},
		{"no brake", Performance{Top: goes}, noBrake, noBrake, [2]float64{}},
		{"no hill", Performance{Top: goes, Stops: []Stopping{stop(3, "")}}, "", noHill, [2]float64{3}},
		{"one stop, and a course that stands", Performance{Top: stands("It stands.", ""), Stops: []Stopping{stop(3, "")}}, "", noHill, [2]float64{3}},
		{"both", Performance{Top: goes, Stops: []Stopping{stop(3, ""), stop(4, "")}}, "", "", [2]float64{3, 4}},
		{"the hill is too steep", Performance{Top: goes, Stops: []Stopping{stop(3, ""), stop(4, "It does not stop.")}}, "", "It does not stop.", [2]float64{3}},
		{"too unsure", Performance{Top: goes, Stops: []Stopping{unsure, stop(4, "")}}, "It could not be computed.", "", [2]float64{0, 4}},
	} {
		for k, name := range []string{"stopping-distance", "stopping-distance-downhill"} {
			f, ok := tt.d.Figure(name)
			why := []string{tt.level, tt.down}[k]
			if !ok || f.Quantity.Why() != why || why == "" && f.Quantity.Or(quantity.Quantity{}).Value != tt.want[k] {
				t.Errorf("%s: %s is %v, %q; want %g, %q", tt.name, name, f.Quantity.Or(quantity.Quantity{}), f.Quantity.Why(), tt.want[k], why)
			}
		}
	}
}

// A figure of a course has a reason where there is no course, where it fails and where it does not go, and none where it goes.
func TestReasonsOfCourses(t *testing.T) {
	fast, stands := SteadyState{}, SteadyState{Words: "It stands."}
	fast.Speed, stands.Speed = quantity.Exact(quantity.MetresPerSecond(2)), quantity.Missing[quantity.MetresPerSecond]()
	fails, cutout := fast, fast
	fails.Err, cutout.Name = "It has no end.", "cutout"
	for _, tt := range []struct {
		name, figure string
		d            Performance
		why          string
	}{
		{"goes", "hill-speed", Performance{Hill: &fast}, ""},
		{"no hill", "hill-speed", Performance{}, noHill},
		{"stands", "hill-speed", Performance{Hill: &stands}, "It stands."},
		{"fails", "hill-speed", Performance{Hill: &fails}, "It has no end."},
		{"no speed", "hill-speed", Performance{Hill: &fast, NoSpeed: "No wheel."}, "No wheel."},
		{"no speed at all", "hill-speed", Performance{Hill: &fast, Err: "No plate."}, "No plate."},
		{"open by itself", "open-speed", Performance{Top: stands, FullyOpen: &fast}, ""},
		{"open as the top speed", "open-speed", Performance{Top: fast}, ""},
		{"open stands", "open-speed", Performance{Top: fast, FullyOpen: &stands}, "It stands."},
		{"the cutout's", "speed-at-cutout", Performance{ByVoltage: []SteadyState{{Name: "full"}, cutout}}, ""},
		{"no cutout", "speed-at-cutout", Performance{ByVoltage: []SteadyState{{Name: "full"}}}, noCutout},
		{"nothing held", "stall-current", Performance{}, "It could not be computed."},
		{"held", "stall-current", Performance{Stall: &Stall{Motor: quantity.Exact(quantity.Amperes(2))}}, ""},
		{"for no time", "stall-time", Performance{Stall: &Stall{Time: quantity.Missing[quantity.Seconds](), Why: "The copper never gets there."}}, "The copper never gets there."},
		{"nothing wanted", "setting-for-top-speed", Performance{}, noWanted},
		{"wanted", "setting-for-top-speed", Performance{Wanted: &WantedSpeed{Setting: quantity.Exact(quantity.Fraction(2))}}, ""},
		{"wanted in vain", "setting-for-top-speed", Performance{Wanted: &WantedSpeed{Setting: quantity.Missing[quantity.Fraction](), Err: "It is too fast."}}, "It is too fast."},
		{"wanted without a speed", "setting-for-top-speed", Performance{NoSpeed: "No wheel.", Wanted: &WantedSpeed{}}, "No wheel."},
		{"starts", "steepest-start", Performance{SteepestStart: quantity.Exact(quantity.Fraction(2))}, ""},
		{"starts without a speed", "steepest-start", Performance{NoSpeed: "No wheel.", SteepestStart: quantity.Exact(quantity.Fraction(2))}, "No wheel."},
		{"kinetic energy", "kinetic-energy", Performance{NoSpeed: "No wheel."}, "No wheel."},
		{"rolls", "rolling-coefficient", Performance{NoSpeed: "No wheel."}, ""},
	} {
		tt.d.Rolling.Taken = quantity.Exact(quantity.Number(2))
		f, ok := tt.d.Figure(tt.figure)
		if !ok || f.Quantity.Why() != tt.why || tt.why == "" && f.Quantity.Or(quantity.Quantity{}).Value != 2 {
			t.Errorf("%s: %v, %q; want %q", tt.name, f.Quantity.Or(quantity.Quantity{}), f.Quantity.Why(), tt.why)
		}
	}
	if _, ok := (&Performance{}).Figure("no-such-figure"); ok {
		t.Error("a name that is none has a figure")
	}
}

// Every figure is found by its name, and nothing else is.
func TestFiguresLookedUp(t *testing.T) {
	d := Compute(garden(t))
	names := FigureNames()
	for i, f := range d.Figures() {
		if got, ok := d.Figure(f.Name); !ok || got.Label != f.Label || names[i] != f.Name {
			t.Errorf("%s: %+v, %s", f.Name, got, names[i])
		}
	}
	if NothingStated().Motors != 1 {
		t.Error("no motor is one motor where nothing is stated")
	}
	if _, ok := d.Figure("none"); ok || len(names) != len(d.Figures()) {
		t.Error("a figure called none")
	}
}
