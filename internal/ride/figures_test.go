package ride

import (
	"testing"

	"voltwright/internal/drive"
	"voltwright/internal/quantity"
)

// Which reason a stopping distance that is missing has, and which of two stops it is of: each case beside the one in which
// the next reason counts.
func TestReasonsOfStops(t *testing.T) {
	var goes Course
	goes.Point.State = drive.Runs
	stands := func(words, err string) Course {
		c := Course{Words: words, Err: err}
		return c
	}
	stop := func(metres float64, why string) Stopped {
		s := Stopped{Err: why}
		s.StopAnswers = drive.StopAnswers{Distance: quantity.Exact(quantity.Metres(metres))}
		return s
	}
	unsure := stop(0, "")
	unsure.Distance = quantity.Missing[quantity.Metres]()
	for _, tt := range []struct {
		name        string
		d           Driven
		level, down string // the reason, or
		want        [2]float64
	}{
		{"no speed", Driven{NoSpeed: "No wheel is stated.", Top: goes, Stops: []Stopped{stop(3, ""), stop(4, "")}}, "No wheel is stated.", "No wheel is stated.", [2]float64{}},
		{"it does not move", Driven{Top: stands("It stands.", "")}, "It stands.", "It stands.", [2]float64{}},
		{"it cannot be computed", Driven{Top: stands("", "It has no end.")}, "It has no end.", "It has no end.", [2]float64{}},
		{"no brake", Driven{Top: goes}, noBrake, noBrake, [2]float64{}},
		{"no hill", Driven{Top: goes, Stops: []Stopped{stop(3, "")}}, "", noHill, [2]float64{3}},
		{"one stop, and a course that stands", Driven{Top: stands("It stands.", ""), Stops: []Stopped{stop(3, "")}}, "", noHill, [2]float64{3}},
		{"both", Driven{Top: goes, Stops: []Stopped{stop(3, ""), stop(4, "")}}, "", "", [2]float64{3, 4}},
		{"the hill is too steep", Driven{Top: goes, Stops: []Stopped{stop(3, ""), stop(4, "It does not stop.")}}, "", "It does not stop.", [2]float64{3}},
		{"too unsure", Driven{Top: goes, Stops: []Stopped{unsure, stop(4, "")}}, "It could not be computed.", "", [2]float64{0, 4}},
	} {
		for k, name := range []string{"stopping-distance", "stopping-distance-downhill"} {
			f, ok := tt.d.Figure(name)
			why := []string{tt.level, tt.down}[k]
			if !ok || f.Missing != why || why == "" && f.Quantity.Value != tt.want[k] {
				t.Errorf("%s: %s is %v, %q; want %g, %q", tt.name, name, f.Quantity.Value, f.Missing, tt.want[k], why)
			}
		}
	}
}

// A figure of a course has a reason where there is no course, where it fails and where it does not go, and none where it goes.
func TestReasonsOfCourses(t *testing.T) {
	fast, stands := Course{}, Course{Words: "It stands."}
	fast.Speed, stands.Speed = quantity.Exact(quantity.MetresPerSecond(2)), quantity.Missing[quantity.MetresPerSecond]()
	fails, cutout := fast, fast
	fails.Err, cutout.Name = "It has no end.", "cutout"
	for _, tt := range []struct {
		name, figure string
		d            Driven
		why          string
	}{
		{"goes", "hill-speed", Driven{Hill: &fast}, ""},
		{"no hill", "hill-speed", Driven{}, noHill},
		{"stands", "hill-speed", Driven{Hill: &stands}, "It stands."},
		{"fails", "hill-speed", Driven{Hill: &fails}, "It has no end."},
		{"no speed", "hill-speed", Driven{Hill: &fast, NoSpeed: "No wheel."}, "No wheel."},
		{"no speed at all", "hill-speed", Driven{Hill: &fast, Err: "No plate."}, "No plate."},
		{"open by itself", "open-speed", Driven{Top: stands, Open: &fast}, ""},
		{"open as the top speed", "open-speed", Driven{Top: fast}, ""},
		{"open stands", "open-speed", Driven{Top: fast, Open: &stands}, "It stands."},
		{"the cutout's", "speed-at-cutout", Driven{ByVoltage: []Course{{Name: "full"}, cutout}}, ""},
		{"no cutout", "speed-at-cutout", Driven{ByVoltage: []Course{{Name: "full"}}}, noCutout},
		{"nothing held", "stall-current", Driven{}, "It could not be computed."},
		{"held", "stall-current", Driven{Stall: &Stalled{Motor: quantity.Exact(quantity.Amperes(2))}}, ""},
		{"for no time", "stall-time", Driven{Stall: &Stalled{Time: quantity.Missing[quantity.Seconds](), Why: "The copper never gets there."}}, "The copper never gets there."},
		{"nothing wanted", "setting-for-top-speed", Driven{}, noWanted},
		{"wanted", "setting-for-top-speed", Driven{Wanted: &Wanted{Setting: quantity.Exact(quantity.Fraction(2))}}, ""},
		{"wanted in vain", "setting-for-top-speed", Driven{Wanted: &Wanted{Setting: quantity.Missing[quantity.Fraction](), Err: "It is too fast."}}, "It is too fast."},
		{"wanted without a speed", "setting-for-top-speed", Driven{NoSpeed: "No wheel.", Wanted: &Wanted{}}, "No wheel."},
		{"starts", "steepest-start", Driven{Steepest: quantity.Exact(quantity.Fraction(2))}, ""},
		{"starts without a speed", "steepest-start", Driven{NoSpeed: "No wheel.", Steepest: quantity.Exact(quantity.Fraction(2))}, "No wheel."},
		{"kinetic energy", "kinetic-energy", Driven{NoSpeed: "No wheel."}, "No wheel."},
		{"rolls", "rolling-coefficient", Driven{NoSpeed: "No wheel."}, ""},
	} {
		tt.d.Rolling.Taken = quantity.Exact(quantity.Number(2))
		f, ok := tt.d.Figure(tt.figure)
		if !ok || f.Missing != tt.why || tt.why == "" && f.Quantity.Value != 2 {
			t.Errorf("%s: %v, %q; want %q", tt.name, f.Quantity.Value, f.Missing, tt.why)
		}
	}
	if _, ok := (&Driven{}).Figure("no-such-figure"); ok {
		t.Error("a name that is none has a figure")
	}
}
