package runlog

import (
	"math"
	"slices"
	"strings"
	"testing"

	"voltwright/internal/quantity"
)

func reading(minutes, v, i float64) Reading {
	r := NewReading(quantity.Seconds(minutes * 60))
	r.Voltage, r.Current = quantity.Volts(v), quantity.Amperes(i)
	return r
}

func TestReadings(t *testing.T) {
	rows := []Reading{reading(0, 26, 8), reading(10, 25.5, 8), reading(30, 25, 6), reading(60, 24, 6)}
	rows[0].Distance, rows[3].Distance = 100, 3100
	rows[0].Temperature, rows[2].Temperature = 15, 22
	o := perfect()
	o.Rated = quantity.Exact(quantity.AmpereHours(20))
	r, found := FromReadings(rows, o)
	if len(found) != 0 {
		t.Fatal(found)
	}
	near(t, "charge", float64(r.Charge.Out.Value), (8*10+7*20+6*30)/60.0, 1e-12)
	near(t, "energy", float64(r.Energy.Out.Value), ((26*8+25.5*8)/2*10+(25.5*8+25*6)/2*20+(25*6+24*6)/2*30)/60, 1e-9)
	// u in closed form: the course between the second and the third, 1 A either way, and 10 % in every interval
	u := (1*20 + 0.8*10 + 0.7*20 + 0.6*30) / 60 / math.Sqrt(3)
	near(t, "u of the charge", float64(r.Charge.Out.U), u, 1e-12)
	near(t, "mean current", float64(r.MeanCurrent.Value), 400.0/60, 1e-12)
	near(t, "elapsed", float64(r.Elapsed.Value), 3600, 0)
	near(t, "distance", float64(r.Distance.Value), 3000, 0)
	near(t, "mean speed", float64(r.MeanSpeed.Value), 3000.0/3600, 1e-12)
	near(t, "temperature rise", float64(r.TemperatureRise.Value), 7, 0)
	near(t, "energy per distance", float64(r.PerDistance.Value), float64(r.Energy.Out.Value)/3, 1e-9)
	near(t, "full cycles", float64(r.FullCycles.Value), 400.0/60/20, 1e-12)
	for _, name := range []string{"stopped-time", "p95-current", "sag", "resistance", "cutout-voltage", "top-speed"} {
		if f, _ := r.Figure(name); f.Quantity.Why() == "" || !strings.HasSuffix(f.Quantity.Why(), ".") {
			t.Errorf("%s from readings: %v, %q", name, numberOf(f).Value, f.Quantity.Why())
		}
	}
}

// The true course of the current between readings stays within their values: the interval must cover its charge.
func TestReadingsCoverTheTruth(t *testing.T) {
	for _, truth := range []struct {
		name string
		ah   float64
	}{
		{"steps at the earlier readings", (6.0*30 + 4*30) / 60},
		{"steps at the later readings", (8.0*30 + 6*30) / 60},
		{"straight", (7.0*30 + 5*30) / 60},
	} {
		r, _ := FromReadings([]Reading{reading(0, 25, 8), reading(30, 24.5, 6), reading(60, 24, 4)}, perfect())
		if d := math.Abs(float64(r.Charge.Out.Value) - truth.ah); d > 2*float64(r.Charge.Out.U) {
			t.Errorf("%s: %.3f Ah is %.3f away, U = %.3f", truth.name, truth.ah, d, 2*r.Charge.Out.U)
		}
	}
}

func TestReadingsOfARunDown(t *testing.T) {
	rows := []Reading{reading(0, 26, 0), reading(0.1, 25.4, 8), reading(20, 24, 8), reading(40, 21.6, 8)}
	for k, v := range []float64{22.4, 22.7, 22.9, 23.0, 23.05, 23.08, 23.1} {
		rows = append(rows, reading(41+float64(k), v, 0))
	}
	o := perfect()
	o.Cutout = &Cutout{Opens: quantity.Exact(quantity.Volts(21.5)), Threshold: quantity.Exact(quantity.Volts(1.8))}
	r, _ := FromReadings(rows, o)
	if r.Cutout == nil {
		f, _ := r.Figure("cutout-voltage")
		t.Fatal(f.Quantity.Why())
	}
	near(t, "opened at", float64(r.Cutout.OpenedVoltage.Value), 21.6, 1e-12)
	near(t, "time", float64(r.Cutout.OpenedAt.Value), 40.5*60, 1e-9)
	near(t, "rebound", float64(r.Cutout.Rebound.Peak.Value), 23.1, 0)
	near(t, "margin", float64(r.Cutout.Margin.Margin.Value), 0.2, 1e-9)
	if r.Cutout.Rebound.Fit == nil {
		t.Error(r.Cutout.Rebound.NoFit)
	}
	near(t, "sag", float64(r.Sag.Value), 0.6, 1e-12)
}

func TestReadingsRefused(t *testing.T) {
	nan := quantity.Seconds(math.NaN())
	r, found := FromReadings([]Reading{reading(10, 25, 5), reading(5, 25, 5), NewReading(nan)}, NewOptions())
	if len(found) != 1 || found[0].Rule != "reading-out-of-order" || r.Skipped != 2 {
		t.Errorf("%v, %d left out", found, r.Skipped)
	}
	if r, _ := FromReadings(nil, NewOptions()); len(r.Figures()) != len(figureTable) || r.Figures()[0].Quantity.Why() == "" {
		t.Error("no readings give figures")
	}
	r, _ = FromReadings([]Reading{reading(0, 25, 5)}, NewOptions())
	if f, _ := r.Figure("charge-out"); f.Quantity.Why() != "The current was read only once." {
		t.Errorf("one reading: %q", f.Quantity.Why())
	}
}

func TestStopwatch(t *testing.T) {
	w := NewStopwatch()
	w.Resolution = 0.01
	w.Lap = quantity.Of[quantity.Metres](240, 1)
	w.Laps = []quantity.Seconds{200, 260, 190}
	w.Stops = []LapStop{{Lap: 2, Lasted: 50}, {Lap: 3, Lasted: 4}}
	w.Start = quantity.Exact(quantity.Volts(26.4))
	o := NewOptions()
	o.PauseAfter = 10
	o.Instruments = []Instrument{{Channel: Voltage, Accuracy: quantity.Accuracy{Digits: 1}, Resolution: 0.1}}
	r, found := FromStopwatch(w, o)
	if len(found) != 0 {
		t.Fatal(found)
	}
	near(t, "elapsed", float64(r.Elapsed.Value), 650, 1e-12)
	press, digit := 0.3/math.Sqrt(3), 0.01/math.Sqrt(12)
	near(t, "u of the elapsed time", float64(r.Elapsed.U), math.Sqrt(2*press*press+digit*digit), 1e-12)
	near(t, "running", float64(r.Running.Value), 600, 1e-12)
	near(t, "u of the running time", float64(r.Running.U), math.Sqrt(4*press*press+2*digit*digit), 1e-12)
	near(t, "stopped", float64(r.Stopped.Value), 54, 1e-12)
	near(t, "distance", float64(r.Distance.Value), 720, 1e-12)
	near(t, "u of the distance", float64(r.Distance.U), 3, 1e-12) // one tape measured every lap
	near(t, "mean speed", float64(r.MeanSpeed.Value), 1.2, 1e-12)

	w.Lap.U = 0 // stated plainly: as good as the instrument, if one is stated
	if bare, _ := FromStopwatch(w, o); !math.IsNaN(float64(bare.Distance.U)) || !math.IsNaN(float64(bare.MeanSpeed.U)) {
		t.Errorf("a lap of unknown accuracy gives %v and %v", bare.Distance, bare.MeanSpeed)
	}
	taped := o
	taped.Instruments = append(slices.Clone(o.Instruments), Instrument{Channel: Distance, Accuracy: quantity.Accuracy{Fraction: 0.005}})
	measured, _ := FromStopwatch(w, taped)
	near(t, "u of the distance by tape", float64(measured.Distance.U), 3*240*0.005/math.Sqrt(3), 1e-9)
	near(t, "u of the start voltage", float64(r.StartVoltage.U), math.Hypot(0.1/math.Sqrt(3), 0.1/math.Sqrt(12)), 1e-12)
	for _, name := range []string{"charge-out", "peak-current", "end-voltage", "cutout-time", "temperature-rise"} {
		if f, _ := r.Figure(name); f.Quantity.Why() == "" {
			t.Errorf("a stopwatch gave %s", name)
		}
	}
}

// Common practice, no source: 1 h 41 min 8.52 s prints to the hundredth where the watch resolves it, and as 1 h 41 min
// rounded to the minute.
func TestTradeStopwatch(t *testing.T) {
	w := NewStopwatch()
	w.Resolution = 0.01
	w.Laps = []quantity.Seconds{3600, 2468.52}
	r, _ := FromStopwatch(w, NewOptions())
	near(t, "elapsed", float64(r.Elapsed.Value), 6068.52, 1e-9)
	if got := quantity.Clock(r.Elapsed.Value, 0.01); got != "1 h 41 min 8.52 s" {
		t.Errorf("to the hundredth: %q", got)
	}
	if got := quantity.Clock(r.Elapsed.Value, 60); got != "1 h 41 min" {
		t.Errorf("to the minute: %q", got)
	}
}

// Common practice, no source: the 10 s rule, with stops noted by hand.
func TestTradeStopsByHand(t *testing.T) {
	w := NewStopwatch()
	w.Laps = []quantity.Seconds{100, 100}
	w.Stops = []LapStop{{Lap: 1, Lasted: 11}, {Lap: 2, Lasted: 9}}
	o := NewOptions()
	o.PauseAfter = 10
	r, _ := FromStopwatch(w, o)
	if !r.Stops[0].TakenOut || r.Stops[1].TakenOut {
		t.Errorf("stops %+v", r.Stops)
	}
	near(t, "running", float64(r.Running.Value), 189, 1e-12)
}

func TestStopwatchRefuses(t *testing.T) {
	w := NewStopwatch()
	w.Laps = []quantity.Seconds{100, 0, -3, quantity.Seconds(math.NaN())}
	w.Stops = []LapStop{{Lap: 7, Lasted: 5}, {Lap: 1, Lasted: 200}, {Lap: 1, Lasted: quantity.Seconds(math.NaN())}}
	r, found := FromStopwatch(w, NewOptions())
	if len(found) != 6 || r.Skipped != 6 {
		t.Errorf("%d findings, %d left out, want 6 each", len(found), r.Skipped)
	}
	near(t, "elapsed", float64(r.Elapsed.Value), 100, 0)
	if r, _ := FromStopwatch(NewStopwatch(), NewOptions()); r.Figures()[0].Quantity.Why() == "" {
		t.Error("no laps give a time")
	}
}

func TestRepeat(t *testing.T) {
	// Three runs of 5.0, 5.2 and 5.4 Ah: t(0.95, 2) = 4.30265 (scipy 1.10.1: stats.t.ppf(0.975, 2))
	var runs []*Result
	for _, i := range []float64{5.0, 5.2, 5.4} {
		runs = append(runs, meter([]Sample{vi(0, 24, i), vi(3600, 24, i)}, NewOptions()))
	}
	find := func(rows []Repeated, name string) *Repeated {
		for k := range rows {
			if rows[k].Name == name {
				return &rows[k]
			}
		}
		return nil
	}
	c := find(Repeat(runs), "charge-out")
	if c == nil {
		t.Fatal("no charge over the repeats")
	}
	near(t, "mean", c.Mean, 5.2, 1e-12)
	near(t, "sd", c.SD, 0.2, 1e-12)
	near(t, "half interval", c.Half, 4.302652729911275*0.2/math.Sqrt(3), 1e-8)
	near(t, "low", c.Low, 5, 1e-12)
	near(t, "high", c.High, 5.4, 1e-12)
	if find(Repeat(runs), "distance") != nil {
		t.Error("a figure that no run gives is listed")
	}
	c = find(Repeat(runs[:1]), "charge-out")
	if c == nil || !math.IsNaN(c.Half) || c.Missing == "" {
		t.Errorf("one run gives an interval: %+v", c)
	}
	if len(Repeat(nil)) != 0 {
		t.Error("no runs give figures")
	}
}
