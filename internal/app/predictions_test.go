package app

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"

	"voltwright/internal/predict"
	"voltwright/internal/record"
)

// checkedRuns lists how each run was
// predicted by an estimate that had not seen it.
func checkedRuns(in *inspected) (map[string]*predict.Prediction, []string) {
	lines := []string{fmt.Sprintf("%-52s %-9s %10s %10s %8s %9s  %s", "run", "by", "measured", "predicted", "error", "u (k=1)", "voltage, a cell")}
	for _, vehicle := range in.journal.Vehicles {
		for _, v := range vehicle.Versions {
			a := in.results.Predictions[v.Path()]
			if a == nil {
				continue
			}
			for _, c := range a.Validations {
				by := "typical"
				if len(c.CalibratedOn) > 0 {
					by = count(len(c.CalibratedOn), "run")
				}
				if c.Why == "" {
					lines = append(lines, fmt.Sprintf("%-52s %-9s %8.0f s %8.0f s %+6.2f %% %7.2f %%  %.1f mV", c.Run, by, float64(c.Measured), float64(c.Predicted.Value), 100*c.TimeError(), 100*float64(c.Predicted.U/c.Predicted.Value), 1000*float64(c.Voltage)))
				} else {
					lines = append(lines, fmt.Sprintf("%-52s %-9s %s %.1f mV", c.Run, by, c.Why, 1000*float64(c.Voltage)))
				}
			}
		}
	}
	return in.results.Predictions, lines
}

// The demo's runs, predicted by what the other runs of their version teach or,
// where there is no other, by what is typical: the measured run times lie within
// the expanded uncertainty. The logs are made by another model than battery's
// (internal/demo).
func TestDemoRunsAreForeseen(t *testing.T) {
	in, err := read("../../content")
	if err != nil {
		t.Fatal(err)
	}
	defer in.close()
	in.study.Answer(nil)
	all, lines := checkedRuns(in)
	t.Log("\n" + strings.Join(lines, "\n"))
	times := 0
	for path, a := range all {
		if a.Err != "" {
			t.Errorf("%s: %s", path, a.Err)
		}
		for _, c := range a.Validations {
			if c.Why == "" {
				times++
				if math.Abs(float64(c.Predicted.Value-c.Measured)) > float64(c.Predicted.Expanded()) || math.Abs(c.TimeError()) > 0.05 {
					t.Errorf("%s: measured %v, predicted %v", c.Run, c.Measured, c.Predicted)
				}
			}
			if !(c.Voltage < 0.04) {
				t.Errorf("%s: the voltage is off by %.1f mV a cell", c.Run, 1000*float64(c.Voltage))
			}
		}
		if len(a.Table.Loads) == 0 || len(a.Table.Cells[0]) != 3 {
			t.Errorf("%s: no run-time table", path)
		}
		if _, err := json.Marshal(record.OfPrediction(a)); err != nil {
			t.Errorf("%s: %v", path, err)
		}
	}
	if times < 3 {
		t.Errorf("only %d run times were compared", times)
	}
	// From full to the cutout: the table says what was measured, running.
	a := all["shunter/2-lifepo4"]
	for i, l := range a.Table.Loads {
		if end := a.Table.Cells[i][0].End(); l.Name == "field-2025-04-27" {
			measured := a.Validations[0].Measured // first load to the cutout
			if math.Abs(float64(end.Running.Value-measured)) > float64(end.Running.Expanded()) {
				t.Errorf("the table has %v running, measured %.0f s", end.Running, float64(measured))
			}
		}
	}
}

// The measured logs of testdata, each by the others of its version: the oracle
// is the log. Runs whose packs had faded or begun not full are reported and not
// held to the bounds: the lead-acid battery, and the worn cell's last log, which
// what is typical of a sound cell cannot foresee.
func TestMeasuredRunsAreForeseen(t *testing.T) {
	in, err := measured()
	if err != nil {
		t.Fatal(err)
	}
	all, lines := checkedRuns(in.inspected)
	t.Log("\n" + strings.Join(lines, "\n"))
	inside, compared := 0, 0
	for path, a := range all {
		for _, c := range a.Validations {
			if c.Why != "" || strings.HasSuffix(c.Run, "unit-b") { // which is another battery
				continue
			}
			if compared++; math.Abs(float64(c.Predicted.Value-c.Measured)) <= float64(c.Predicted.Expanded()) {
				inside++
			}
			if math.Abs(c.TimeError()) > 0.05 && !strings.HasSuffix(path, "lead-acid") && !strings.HasSuffix(path, "worn") {
				t.Errorf("%s: off by %.2f %%", c.Run, 100*c.TimeError())
			}
		}
	}
	t.Logf("%d of %d run times lie within the expanded uncertainty", inside, compared)
	if compared < 14 || inside < compared-1 {
		t.Errorf("%d of %d run times lie within the expanded uncertainty", inside, compared)
	}
	if words := all["cells-on-the-bench/6-lead-acid"].Basis.Words; !strings.Contains(words, "unit-a-3a and unit-a-2a differ by about") {
		t.Errorf("the battery whose rate fell from day to day: %s", words)
	}
}
