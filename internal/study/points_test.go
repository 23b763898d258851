package study

import (
	"math"
	"strings"
	"testing"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/runlog"
)

// What is stated decides which points there are; the rest say what is missing.
func TestPointsOfASpecWithoutRuns(t *testing.T) {
	v := fixture(t, "1-sound")
	w := Wiring(v, NewResults())
	var solved, unsolved []string
	for _, s := range w.Solutions {
		solved = append(solved, s.Point.Name)
	}
	for _, u := range w.Unsolved {
		unsolved = append(unsolved, u.Point+": "+u.Reason)
	}
	if got := strings.Join(solved, ", "); got != "stall, cutout open" {
		t.Errorf("solved %s", got)
	}
	for i, want := range []string{"cruise: No field run", "hill: No field run", "charging: There is no charger socket", "emergency stop: There is no emergency stop"} {
		if i >= len(unsolved) || !strings.HasPrefix(unsolved[i], want) {
			t.Errorf("unsolved %q, want %q", unsolved, want)
		}
	}
	// Ohm's law round the loop: the current of a held motor makes up, over every resistance, for the duty's share of the full pack.
	s := w.Solutions[0]
	amps := float64(s.Leads[5].Current)
	packAmps := float64(s.Leads[0].Current)
	behind := 0.24*amps + float64(s.Leads[5].Drop+s.Leads[6].Drop*-1)
	before := 29.2 - packAmps*0.022 - float64(s.Leads[0].Drop+s.Leads[1].Drop+s.Leads[3].Drop) + float64(s.Leads[2].Drop+s.Leads[4].Drop)
	if math.Abs(behind-0.55*before) > 1e-9 || math.Abs(packAmps-0.55*amps) > 1e-9 {
		t.Errorf("%v A, %v V behind the controller and %v V before it", amps, behind, before)
	}
}

// A stated point stands in place of the made one, or beside it if it moves
// contacts; what is off stays off.
func TestStatedPoints(t *testing.T) {
	const spec = `
packs: [{chemistry: lfp, series: 8, capacity: 15 Ah, resistance: 22 mΩ}]
controller: {kind: pwm, setting: 50 %}
motors: [{rated: 24 V, resistance: 0.24 Ω}]
wiring:
  parts:
    - {name: box, kind: pack}
    - {name: key, kind: switch, at-rest: open}
    - {name: stop, kind: emergency-stop}
    - {name: controller, kind: speed-controller}
    - {name: motor, kind: motor}
    - {name: lamp, kind: lamp, nominal: 25.6 V, power: 10 W}
  leads:
    - {from: "box:+", to: "stop:in", size: 4 mm², length: 1 m}
    - {from: "stop:out", to: "controller:in+", size: 4 mm², length: 1 m}
    - {from: "box:-", to: "controller:in-", size: 4 mm², length: 1 m}
    - {from: "controller:out+", to: "motor:+", size: 4 mm², length: 1 m}
    - {from: "controller:out-", to: "motor:-", size: 4 mm², length: 1 m}
    - {from: "box:+", to: "key:in", size: 4 mm², length: 1 m}
    - {from: "key:out", to: "lamp:1", size: 4 mm², length: 1 m}
    - {from: "lamp:2", to: "box:-", size: 4 mm², length: 1 m}
  points:
    - {name: lawn, kind: cruise, current: 8 A}
    - {name: lamp on, kind: cruise, current: 8 A, closed: [key]}
    - {name: at nothing, kind: hill, current: 8 A, duty: 0 %, lasts: 5 s}
    - {name: held, kind: stall, lasts: 4 s}
`
	v := decoded(t, spec)
	w := Wiring(v, NewResults())
	by := map[string]*circuit.Solution{}
	for _, s := range w.Solutions {
		by[s.Point.Name] = s
	}
	pack := func(name string) float64 {
		if by[name] == nil {
			t.Fatalf("%s is not solved: %v", name, w.Unsolved)
		}
		return float64(by[name].Packs[0].Current)
	}
	if got := pack("lawn"); math.Abs(got-4) > 1e-9 {
		t.Errorf("8 A at half duty are %v A from the pack", got)
	}
	if got := pack("lamp on") - pack("lawn"); math.Abs(got-10/25.6) > 0.005 {
		t.Errorf("a lamp of 10 W adds %v A", got)
	}
	if got := pack("at nothing"); math.Abs(got) > 1e-9 {
		t.Errorf("at a duty of nothing the pack gives %v A", got)
	}
	if s := by["held"]; s == nil || s.Point.Lasts != 4 || by["stall"] != nil {
		t.Errorf("the stated stall does not stand in place of the made one")
	}
	if by["emergency stop"] == nil || math.Abs(pack("emergency stop")) > 1e-9 {
		t.Errorf("with the stop open the pack gives %v A", pack("emergency stop"))
	}
	if len(w.Live) != 1 || w.Circuit.Parts[w.Live[0].Opened].Name != "stop" {
		t.Errorf("live: %+v", w.Live)
	}
}

// The greatest mean over a minute, worked out by hand.
func TestGreatestMean(t *testing.T) {
	nan := math.NaN()
	for _, tt := range []struct {
		name        string
		times, amps []float64
		mean        float64
		none        bool
	}{
		{"a minute of 10 A in five of 2 A", []float64{120, 180, 300}, []float64{2, 10, 2}, 10, false},
		{"half a minute of 10 A", []float64{120, 150, 300}, []float64{2, 10, 2}, 6, false},
		{"two peaks half a minute apart", []float64{60, 75, 105, 120, 200}, []float64{0, 8, 2, 12, 0}, (8*15 + 2*30 + 12*15) / 60., false},
		{"a log of less than a minute", []float64{30, 59}, []float64{5, 5}, 0, true},
		{"a gap in the climb", []float64{40, 41, 80}, []float64{9, nan, 9}, 0, true},
		{"just a minute", []float64{60}, []float64{7}, 7, false},
		{"after a gap", []float64{100, 110, 175}, []float64{1, nan, 4}, 4, false},
	} {
		volts := make([]float64, len(tt.amps))
		for i := range volts {
			volts[i] = 25
		}
		amps, v, ok := greatestMean(&runlog.Series{Time: tt.times, Current: tt.amps, Voltage: volts}, 60)
		if ok == tt.none || ok && (math.Abs(amps-tt.mean) > 1e-9 || math.Abs(v-25) > 1e-9) {
			t.Errorf("%s: %v A, %v V, %v; want %v A", tt.name, amps, v, ok, tt.mean)
		}
	}
}

func decoded(t *testing.T, text string) *journal.Version {
	t.Helper()
	var list finding.List
	v := &journal.Version{Vehicle: &journal.Vehicle{Slug: "cart"}, Slug: "1-first"}
	n := notes.ParseNote("version.yaml", []byte(text), &list)
	notes.Decode(n.Front, v, &list)
	for _, f := range list.Sorted() {
		if f.Rule != notes.RuleMissingKey {
			t.Fatalf("%s: %s", f.Rule, f.Text)
		}
	}
	return v
}
