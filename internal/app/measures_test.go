package app

import (
	"math"
	"testing"

	"voltwright/internal/journal"
)

// The measures of a time against the run that they come from, by nothing but its own totals: for each hour that it was
// running, and for each on the clock, it took so much energy. The packs give as much more energy as they are computed to
// give; what they give is checked elsewhere (TestPrediction). The charge a running minute, which rises as the voltage
// falls, holds the running time within its interval.
func TestMeasuresOfTimeAgreeWithTheRun(t *testing.T) {
	demo, err := read("../../content")
	if err != nil {
		t.Fatal(err)
	}
	defer demo.close()
	demo.study.Answer(nil)
	bench, err := measured()
	if err != nil {
		t.Fatal(err)
	}
	held, ruled := 0, 0
	for _, in := range []*inspected{demo, bench.inspected} {
		for path, a := range in.results.Predictions {
			for i, l := range a.Table.Loads {
				r, end := in.results.Runs[journal.RunID(l.Run)], a.Table.Cells[i][0].End()
				if r == nil || a.Table.Cells[i][0].Err != "" || end.Err != "" || r.GapCount > 0 || r.Charge.In.Value > r.Charge.Out.Value/10 {
					continue
				}
				times := float64(end.Energy.Value) / float64(r.Energy.Net())
				clock := float64(r.Elapsed.Value) // from setting off to the last standstill
				if n := len(r.Stops); n > 0 {
					if r.Stops[0].Start <= r.Start+1 {
						clock -= float64(r.Stops[0].Length)
					}
					if s := r.Stops[n-1]; s.Start+s.Length >= r.End-1 {
						clock -= float64(s.Length)
					}
				}
				run, _ := in.journal.Run(journal.RunID(l.Run))
				if inside := float64(r.Stopped.Value) - (float64(r.Elapsed.Value) - clock); inside > clock/100 && !run.PauseAfter.Known() {
					continue // what it stood after it ended and before something else came is in its totals and not in its time
				}
				if want := times * clock; math.Abs(float64(end.Clock.Value)/want-1) > 0.03 {
					t.Errorf("%s, %s: %v on the clock; by its energy an hour %.0f s", path, l.Name, end.Clock, want)
				}
				held++
				running := clock
				if run.PauseAfter.Known() {
					running, ruled = float64(r.Running.Value), ruled+1
				}
				if want := times * running; math.Abs(float64(end.Running.Value)/want-1) > 0.03 {
					t.Errorf("%s, %s: %v running; by its energy an hour %.0f s", path, l.Name, end.Running, want)
				}
				perMinute := float64(r.Charge.Net()) / running
				if want := float64(end.Charge.Value) / perMinute; math.Abs(float64(end.Running.Value)-want) > float64(end.Running.Expanded()) {
					t.Errorf("%s, %s: %v running; by its charge a running minute %.0f s", path, l.Name, end.Running, want)
				}
				if under := end.UnderLoad; under.Known() && !(under.Value <= end.Clock.Value*(1+1e-9)) || !(end.Running.Value <= end.Clock.Value*(1+1e-9)) {
					t.Errorf("%s, %s: %v under load, %v running, %v on the clock", path, l.Name, under, end.Running, end.Clock)
				}
				if name := l.Run; name == "barrow/2-larger-pack/field-2026-05-09" && math.Abs(float64(end.Running.Value)-4*3600) > 1200 {
					t.Errorf("the barrow runs %v, some four hours by its charge a running minute", end.Running)
				}
			}
		}
	}
	if held < 8 || ruled < 3 {
		t.Errorf("only %d loads were held against their runs, %d of them with a stop rule", held, ruled)
	}
}
