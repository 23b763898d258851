package runlog

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"voltwright/internal/finding"
)

// made writes a log of steps: amperes and minutes each, discharge positive, a row every ten seconds. The voltage follows the charge.
func made(steps ...[2]float64) []Sample {
	var out []Sample
	t, q := 0.0, 0.0
	for _, s := range steps {
		for range int(s[1] * 6) {
			out = append(out, vi(t, 26-q/2-0.02*s[0], s[0]))
			t += 10
			q += s[0] * 10 / 3600
		}
	}
	for k := range out {
		out[k].Line = k + 2
	}
	return out
}

func partNames(r *Result) []string {
	var out []string
	for _, p := range r.Parts {
		out = append(out, p.Name)
	}
	return out
}

func TestPartsOfMadeLogs(t *testing.T) {
	ride := func() [][2]float64 {
		random := rand.New(rand.NewPCG(3, 4))
		var out [][2]float64
		for range 300 { // drives, brakes that feed back for a quarter of a minute, and stops
			out = append(out, [2]float64{6 + 6*random.Float64(), 0.5}, [2]float64{-4, 0.25}, [2]float64{0, random.Float64()})
		}
		return out
	}
	for _, c := range []struct {
		name    string
		steps   [][2]float64
		parts   []string
		several bool
	}{
		{"a bench run and its rebound", [][2]float64{{0, 5}, {8, 60}, {0, 30}}, []string{"rest 1", "discharge 1", "rest 2"}, false},
		{"a charge with its rest", [][2]float64{{0, 2}, {-6, 60}, {-3, 20}, {-1, 20}, {-0.3, 20}, {0, 60}}, []string{"rest 1", "charge 1", "rest 2"}, false},
		{"a rest", [][2]float64{{0, 60}}, []string{"rest 1"}, false},
		{"a ride with brakes that feed back", ride(), []string{"discharge 1"}, false},
		{"pulses", [][2]float64{{5, 10}, {0, 5}, {-3, 0.2}, {0, 5}, {5, 10}, {0, 5}, {-3, 0.2}, {5, 20}}, []string{"discharge 1"}, false},
		{"a long way downhill", [][2]float64{{8, 60}, {-2, 5}, {8, 20}}, []string{"discharge 1"}, false},
		{"two cycles", [][2]float64{{-5, 60}, {0, 20}, {5, 58}, {0, 20}, {-5, 60}, {0, 20}, {5, 57}},
			[]string{"charge 1", "rest 1", "discharge 1", "rest 2", "charge 2", "rest 3", "discharge 2"}, true},
		{"no rest between", [][2]float64{{5, 60}, {-5, 50}, {5, 40}}, []string{"discharge 1", "charge 1", "discharge 2"}, true},
		{"a topping up before a run", [][2]float64{{-0.8, 20}, {0, 10}, {8, 90}, {0, 10}}, []string{"charge 1", "rest 1", "discharge 1", "rest 2"}, true},
		{"a ride and the charge after it", append(ride(), [2]float64{0, 30}, [2]float64{-6, 200}), []string{"discharge 1", "rest 1", "charge 1"}, true},
	} {
		r := meter(made(c.steps...), perfect())
		if got := partNames(r); !slices.Equal(got, c.parts) || r.Several != c.several {
			t.Errorf("%s: %v, several %v; want %v, %v", c.name, got, r.Several, c.parts, c.several)
		}
		checkParts(t, c.name, r)
		if f, _ := r.Figure("running-time"); (f.Quantity.Why() != "") != c.several {
			t.Errorf("%s: running time is %v, %q", c.name, f.Quantity, f.Quantity.Why())
		}
	}
}

// TestWhatOnlyARunHas: of a log of several runs there is no figure that only one run has, and none that says why it is as it is; what
// the whole log has stays. A part that is not there is answered with those that are.
func TestWhatOnlyARunHas(t *testing.T) {
	r := meter(made([2]float64{-5, 60}, [2]float64{0, 20}, [2]float64{5, 58}), perfect())
	for _, name := range append([]string{"running-time", "stopped-time", "mean-current", "p95-current", "mean-voltage", "sag"}, cutoutFigures...) {
		f, ok := r.Figure(name)
		if !ok || f.Quantity.Why() != "The log holds 3 parts, and none of them is taken for the run." || f.Note != "" || f.Quantity.Known() {
			t.Errorf("%s: %v, %q, %q", name, f.Quantity, f.Quantity.Why(), f.Note)
		}
	}
	if r.Cutout != nil || len(r.ReboundTraces) > 0 || len(r.Stops) > 0 || r.StopCount != 0 {
		t.Errorf("%d stops, %v", r.StopCount, r.Cutout)
	}
	for _, name := range []string{"elapsed-time", "charge-out", "charge-in", "energy-out", "peak-current", "lowest-voltage"} {
		if f, _ := r.Figure(name); f.Quantity.Why() != "" || !f.Quantity.Known() {
			t.Errorf("%s: %v, %q", name, f.Quantity, f.Quantity.Why())
		}
	}
	f := unknownPart(r.Parts, "discharge 7", nil)
	if !strings.Contains(f.Text, "charge 1") || !strings.Contains(f.Remedy, "name one of them") {
		t.Errorf("%s (%s)", f.Text, f.Remedy)
	}
	if f = unknownPart(nil, "discharge 7", nil); f.Text != "the log has no part \"discharge 7\"" || !strings.Contains(f.Remedy, "leave the part out") {
		t.Errorf("%s (%s)", f.Text, f.Remedy)
	}
}

// checkParts holds what every cutting must hold: the parts follow each other, and their charges, times and rows sum to the log's.
func checkParts(t *testing.T, name string, r *Result) {
	t.Helper()
	out, in, length, rows := 0.0, 0.0, 0.0, 0
	for k, p := range r.Parts {
		out, in, length, rows = out+float64(p.ChargeOut), in+float64(p.ChargeIn), length+float64(p.Length), rows+p.Rows
		if k > 0 && (p.FirstLine != r.Parts[k-1].LastLine || math.Abs(float64(p.Start-r.Parts[k-1].Start-r.Parts[k-1].Length)) > 1e-6*(1+float64(p.Start))) {
			t.Errorf("%s: %s does not follow %s", name, p.Name, r.Parts[k-1].Name)
		}
	}
	if len(r.Parts) == 0 {
		return
	}
	flow := 1e-9 + 1e-9*float64(r.Charge.Out.Value+r.Charge.In.Value)
	if math.Abs(out-float64(r.Charge.Out.Value)) > flow || math.Abs(in-float64(r.Charge.In.Value)) > flow {
		t.Errorf("%s: parts sum to %.6g Ah out and %.6g Ah in, the log to %v and %v", name, out, in, r.Charge.Out.Value, r.Charge.In.Value)
	}
	if want := float64(r.Time.Counted + r.Time.Gaps); r.Time.Elapsed > 0 && math.Abs(length-want) > 1e-6*(1+want) {
		t.Errorf("%s: parts last %.6g s, the log %.6g s", name, length, want)
	}
}

// A part that is measured alone gives what the list of parts says of it.
func TestPartMeasuredAlone(t *testing.T) {
	var b strings.Builder
	b.WriteString("time (s),voltage (V),current (A)\n")
	for _, s := range made([2]float64{-5, 60}, [2]float64{0, 20}, [2]float64{5, 58}, [2]float64{0, 20}, [2]float64{-5, 60}, [2]float64{0, 20}, [2]float64{4, 57}) {
		fmt.Fprintf(&b, "%g,%.4f,%g\n", s.Time, s.Values[Voltage], s.Values[Current])
	}
	o := perfect()
	negative := false
	o.DischargeNegative = &negative
	whole, found, err := Measure(nil, strings.NewReader(b.String()), o)
	if err != nil || !whole.Several {
		t.Fatal(err, found)
	}
	for _, p := range whole.Parts {
		o.Part = p.Name
		r, found, err := Measure(nil, strings.NewReader(b.String()), o)
		if err != nil {
			t.Fatal(err)
		}
		near(t, p.Name+" out", float64(r.Charge.Out.Value), float64(p.ChargeOut), 0.005)
		near(t, p.Name+" in", float64(r.Charge.In.Value), float64(p.ChargeIn), 0.005)
		near(t, p.Name+" lasts", float64(r.Elapsed.Value), float64(p.Length), 1e-6)
		if r.Several || slices.ContainsFunc(found, func(f finding.Finding) bool { return f.Level == finding.Error }) {
			t.Errorf("%s: several %v, %v", p.Name, r.Several, found)
		}
		checkAccounts(t, p.Name, b.String(), r)
	}
	o.Part, o.OneRun = "discharge 9", true
	if _, found, _ := Measure(nil, strings.NewReader(b.String()), o); !slices.ContainsFunc(found, func(f finding.Finding) bool { return f.Rule == ruleUnknownPart && f.Level == finding.Error }) {
		t.Errorf("a part that is not there: %v", found)
	}
	o.Part = ""
	_, found, _ = Measure(nil, strings.NewReader(b.String()), o)
	at := slices.IndexFunc(found, func(f finding.Finding) bool { return f.Rule == ruleSeveralParts })
	if at < 0 || found[at].Level != finding.Error || found[at].Remedy != "say under `log:` which one the run is, such as `part: charge 2`, or `part: charge 1 to rest 1` for several that follow each other" || found[at].Span.Start != 33 {
		t.Errorf("a run of several parts: %v", found)
	}
	o.Part = "discharge 1 to rest 2"
	r, _, _ := Measure(nil, strings.NewReader(b.String()), o)
	near(t, "discharge and rest", float64(r.Elapsed.Value), float64(whole.Parts[2].Length+whole.Parts[3].Length), 1e-6)
}

// A log without a current is cut nowhere, which is said where a part of it is asked for; of one that cannot be read only that is said.
func TestPartOfWhatIsNotCut(t *testing.T) {
	o := NewOptions()
	o.Part = "discharge 1"
	for text, want := range map[string]int{"time (s),voltage (V)\n0,25\n10,24.9\n20,24.8\n30,24.7\n": 1, "a,b\nx,y\n": 0} {
		_, found, err := Measure(nil, strings.NewReader(text), o)
		said := 0
		for _, f := range found {
			if f.Rule == ruleUnknownPart {
				said++
			}
		}
		if err != nil || said != want || len(found) == 0 {
			t.Errorf("%q: %v, %v", text, found, err)
		}
	}
}

// The log of many cycles is cut in bounded memory, and one flow with thousands of pulses stays one.
func TestManyLegs(t *testing.T) {
	var steps [][2]float64
	for k := range 3000 {
		steps = append(steps, [2]float64{9, 0.5}, [2]float64{0, 0.2}, [2]float64{-2, 0.2})
		if k%1000 == 999 {
			steps = append(steps, [2]float64{0, 30}, [2]float64{-12, 350}, [2]float64{0, 30})
		}
	}
	r := meter(made(steps...), perfect())
	want := []string{"discharge 1", "rest 1", "charge 1", "rest 2", "discharge 2", "rest 3", "charge 2", "rest 4", "discharge 3", "rest 5", "charge 3", "rest 6"}
	if got := partNames(r); !slices.Equal(got, want) {
		t.Errorf("%v", got)
	}
}
