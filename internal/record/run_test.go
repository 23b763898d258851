package record

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"

	"voltwright/internal/finding"
	"voltwright/internal/runlog"
)

// TestRunHoldsTheResult: what is handed on as JSON is what the result holds, null where there is none, times from the first sample on.
func TestRunHoldsTheResult(t *testing.T) {
	o := runlog.NewOptions()
	for _, c := range []runlog.Channel{runlog.Voltage, runlog.Current, runlog.Time} {
		o.Instruments = append(o.Instruments, runlog.Instrument{Channel: c})
	}
	o.PauseAfter = 30
	text := "time_s,voltage_V,current_A\n100,26,0\n"
	for k := range 40 {
		text += fmt.Sprintf("%d,25,%d\n", 101+k, 6*((k/10)%2))
	}
	text += "141,OL,6\n200,25,6\n"
	r, _, err := runlog.Measure(finding.NewStream("log"), strings.NewReader(text), o)
	if err != nil {
		t.Fatal(err)
	}
	rec := OfRun(r)
	if rec.Evidence != r.Evidence || rec.Dialect != r.Dialect || rec.Samples != r.Rows || rec.LeftOut != 1 || len(rec.Figures) != len(r.Figures()) || len(rec.Stops) != len(r.Stops) || len(r.Stops) == 0 || rec.Lines == nil || len(rec.Parts) != len(r.Parts) || len(r.Parts) == 0 {
		t.Fatalf("%+v", rec)
	}
	for k, f := range r.Figures() {
		x := rec.Figures[k]
		q, _ := f.Quantity.Get()
		if x.Name != f.Name || x.Label != f.Label || x.Missing != f.Quantity.Why() || x.Formula != f.Formula || x.Note != f.Note || x.Unit != f.Dimension.BaseUnit() || (x.Value == nil) != (f.Quantity.Why() != "") || (x.Text == "") != (f.Quantity.Why() != "") || len(x.Also) != len(f.Extra) {
			t.Errorf("%+v beside %+v", x, f)
		}
		if x.Value != nil && *x.Value != q.Value || x.U != nil && *x.U != q.U || x.Text != "" && x.Text != q.Rounded() {
			t.Errorf("%+v beside %+v", x, f)
		}
		for n, e := range f.Extra {
			if x.Also[n].Label != e.Label || *x.Also[n].Value != e.Quantity.Value {
				t.Errorf("%+v", x.Also)
			}
		}
	}
	if s := rec.Stops[0]; s.Start != float64(r.Stops[0].Start)-float64(r.Start) || s.Length != float64(r.Stops[0].Length) || s.TakenOut != r.Stops[0].TakenOut {
		t.Errorf("%+v beside %+v", s, r.Stops[0])
	}
	if l := rec.Lines; l.Lines != 44 || l.Head != 1 || l.Aside != 0 || l.Used != 42 || len(l.LeftOut) != 1 || l.LeftOut[0] != (LeftOut{"log-bad-field", 1}) {
		t.Errorf("%+v", l)
	}
	if p, of := rec.Parts[0], r.Parts[0]; p.Name != of.Name || p.Kind != of.Kind || p.FirstLine != of.FirstLine || p.LastLine != of.LastLine || p.Start != float64(of.Start) || p.Length != float64(of.Length) || *p.ChargeOut != float64(of.ChargeOut) || *p.ChargeIn != float64(of.ChargeIn) || *p.EnergyOut != float64(of.EnergyOut) || *p.EnergyIn != float64(of.EnergyIn) || *p.StartVolts != float64(of.StartVoltage) || *p.EndVolts != float64(of.EndVoltage) || (p.RestVoltage == nil) != math.IsNaN(float64(of.RestVoltage)) {
		t.Errorf("%+v beside %+v", p, of)
	}
	if _, err := json.Marshal(rec); err != nil {
		t.Error(err)
	}
	for x, want := range map[float64]bool{5: true, 0: true, math.Inf(1): false, math.NaN(): false} {
		if got := whole(x); (got != nil) != want || want && *got != x {
			t.Errorf("%v as JSON: %v", x, got)
		}
	}
	if bare := OfRun(&runlog.Result{}); bare.Lines != nil || bare.Parts != nil || bare.Figures == nil || bare.Stops == nil {
		t.Errorf("%+v", bare)
	}
}
