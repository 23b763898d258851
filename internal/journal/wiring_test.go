package journal

import (
	"math"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
	"voltwright/internal/notes"
	"voltwright/internal/runlog"
	"voltwright/internal/wiring"
)

// fixture loads the version of a name from the wiring fixture.
func fixture(t *testing.T, name string) *Version {
	t.Helper()
	archive, err := txtar.ParseFile("testdata/wiring.txtar")
	if err != nil {
		t.Fatal(err)
	}
	dir, _ := unpack(t, archive)
	j, _ := load(t, dir)
	for _, v := range j.Vehicles[0].Versions {
		if v.Slug == name {
			return v
		}
	}
	t.Fatal("no version ", name)
	return nil
}

// A vehicle of five parts is wired in under forty lines, and what its packs,
// motor, cutout and controller say of themselves is said once.
func TestFivePartsInUnderFortyLines(t *testing.T) {
	v := fixture(t, "1-sound")
	text := string(v.Note.Text)
	from := strings.Index(text, "\nwiring:")
	lines := strings.Count(text[from:], "\n") - 2 // the line end before it, and the closing ---
	if len(v.Wiring.Parts) != 5 || lines >= 40 {
		t.Errorf("%d parts in %d lines", len(v.Wiring.Parts), lines)
	}
	c, ok := v.Circuit()
	if !ok || len(c.Check()) > 0 {
		t.Fatalf("faults: %v", c.Check())
	}
	for _, tt := range []struct {
		what      string
		got, want float64
	}{
		{"the pack's resistance", float64(c.Parts[0].Resistance), 0.022},
		{"its full voltage, 8 cells of 3.65 V", float64(c.Parts[0].Full), 29.2},
		{"its nominal voltage, 8 cells of 3.2 V", float64(c.Parts[0].Nominal), 25.6},
		{"the cutout's current", float64(c.Parts[2].Current), 30},
		{"the controller's voltage", float64(c.Parts[3].Ratings.Volts), 36},
		{"the resistance of the motor without a name", float64(c.Parts[4].Resistance), 0.24},
		{"the usual size", float64(c.Leads[0].Size.Area), 6},
	} {
		if math.Abs(tt.got-tt.want) > 1e-9 {
			t.Errorf("%s: %v, want %v", tt.what, tt.got, tt.want)
		}
	}
	if c.Leads[0].EndA != (circuit.End{Kind: circuit.Ring, For: "M6"}) || c.Leads[3].EndB.Kind != circuit.Ferrule {
		t.Errorf("ends %+v, %+v", c.Leads[0].EndA, c.Leads[3].EndB)
	}
}

// What is stated decides which points there are; the rest say what is missing.
func TestPointsOfASpecWithoutRuns(t *testing.T) {
	v := fixture(t, "1-sound")
	w := v.Wire(NewResults())
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

func decoded(t *testing.T, text string) *Version {
	t.Helper()
	var list finding.List
	v := &Version{Vehicle: &Vehicle{Slug: "cart"}, Slug: "1-first"}
	n := notes.ParseNote("version.yaml", []byte(text), &list)
	notes.Decode(n.Front, v, &list)
	for _, f := range list.Sorted() {
		if f.Rule != notes.RuleMissingKey {
			t.Fatalf("%s: %s", f.Rule, f.Text)
		}
	}
	return v
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
	w := v.Wire(NewResults())
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

// Whatever a wiring says, it is decoded, checked, solved and judged without a
// panic, every finding has a place, and every solution is finite.
func FuzzWiring(f *testing.F) {
	archive, err := txtar.ParseFile("testdata/wiring.txtar")
	if err != nil {
		f.Fatal(err)
	}
	for _, file := range archive.Files {
		_, text, ok := strings.Cut(string(file.Data), "date: ")
		if _, text, cut := strings.Cut(text, "\n"); ok && cut {
			f.Add(strings.TrimSuffix(text, "---\n"))
		}
	}
	f.Fuzz(func(t *testing.T, text string) {
		if len(text) > 1<<13 || strings.Count(text, "kind") > 12 {
			return
		}
		var list finding.List
		v := &Version{Vehicle: &Vehicle{Slug: "cart"}, Slug: "1-first"}
		n := notes.ParseNote("version.yaml", []byte(text), &list)
		if n.Front == nil {
			return
		}
		notes.Decode(n.Front, v, &list)
		l := &loader{findings: &list, journal: &Journal{}}
		l.checkWiring(v)
		for _, x := range list.Sorted() {
			if x.Span.Source == nil || x.Text == "" {
				t.Errorf("%s has no place or no words: %s", x.Rule, x.Text)
			}
		}
		var w *wiring.Analysis
		if w = v.Wire(NewResults()); w == nil {
			return
		}
		for _, s := range w.Solutions {
			for _, lead := range s.Leads {
				if math.IsNaN(float64(lead.Current)) || math.IsInf(float64(lead.Current), 0) {
					t.Errorf("a lead carries %v at %s", lead.Current, s.Point.Name)
				}
			}
		}
	})
}
