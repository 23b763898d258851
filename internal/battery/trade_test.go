package battery

import (
	"math"
	"testing"
)

// Facts of the trade: common practice, no source. They stand here as checks and
// nowhere else.

// common practice, no source: a pack of five cells is not run below about 3.2 V a
// cell under load though the protection of some tools cuts near 2.7 V a cell. The
// run-time table shows what the last part is worth: a few minutes of an hour.
func TestTradeLastPart(t *testing.T) {
	p := typicalPack(t, "nmc", 5, 5)
	o, err := Simulate(Scenario{Packs: []Pack{p}, Demand: Steady(Drawing(5)), Ambient: 20,
		Levels: []Level{{Name: "careful", Volts: 16}, {Name: "tool", Volts: 13.5}}})
	if err != nil {
		t.Fatal(err)
	}
	careful, tool := o.Levels[0].At, o.Levels[1].At
	share := float64((tool - careful) / tool)
	t.Logf("16 V after %.1f min, 13.5 V after %.1f min: the last part is %.1f min, %.0f %%", float64(careful)/60, float64(tool)/60, float64(tool-careful)/60, 100*share)
	if !(share > 0.02 && share < 0.25) {
		t.Errorf("the last part is %.0f %% of the run", 100*share)
	}
}

// common practice, no source: a tool pack takes on the order of 90 min to charge
// from empty on its own charger. A typical 5 Ah pack at 4 A comes to the same order.
func TestTradeToolCharger(t *testing.T) {
	p := typicalPack(t, "nmc", 5, 5)
	p.Cell.Chemistry = p.Cell.Chemistry.With(wholeRate)
	p.Charge = 0
	c, err := Charge(p, Charger{Current: 4}, 20)
	if err != nil {
		t.Fatal(err)
	}
	if m := float64(c.Total) / 60; m < 60 || m > 150 {
		t.Errorf("%.0f min", m)
	}
}

// common practice, no source: a bench run with the wheels in the air ran about
// 1.8 times as long as the same set-up carrying a person on a floor. With a load
// 1.8 times as great the run is shorter by 1.8 times and a little more, for the sag.
func TestTradeBenchAndFloor(t *testing.T) {
	p := typicalPack(t, "nmc", 5, 5)
	bench, err := RunTimes([]Pack{p}, Steady(Drawing(3)), nil, 20)
	if err != nil {
		t.Fatal(err)
	}
	floor, err := RunTimes([]Pack{p}, Steady(Drawing(3)).Times(1.8), nil, 20)
	if err != nil {
		t.Fatal(err)
	}
	if r := float64(bench.Levels[0].At / floor.Levels[0].At); r < 1.8 || r > 2.0 {
		t.Errorf("ratio %.3f", r)
	}
}

// The same replayed: a logged current at another payload, and a duty cycle of
// half the time, which carries a load twice as long, near enough.
func TestReplayAndDuty(t *testing.T) {
	l := panasonicLog(t, "25C_US06_drive_cycle_every5th")
	d, err := ReplayCurrent(l.Time, l.Amperes)
	if err != nil {
		t.Fatal(err)
	}
	p := typicalPack(t, "nca", 2.9, 1)
	o, err := Simulate(Scenario{Packs: []Pack{p}, Demand: d, Ambient: 25, Levels: []Level{{Name: "never", Volts: 0.1}}})
	if err != nil {
		t.Fatal(err)
	}
	// SOURCE.md: trapezoid of the log as shipped -2.58550 Ah.
	if math.Abs(float64(o.Charge)-2.58550) > 2e-4 || o.Ended != DemandOver {
		t.Errorf("replayed charge %.5f Ah, the log's 2.58550 Ah; ended: %s", float64(o.Charge), o.Ended)
	}
	d.Repeat = true
	light, err := Simulate(Scenario{Packs: []Pack{p}, Demand: d.Times(0.5), Ambient: 25, Levels: []Level{{Name: "floor", Volts: 2.65}}})
	if err != nil {
		t.Fatal(err)
	}
	full, err := Simulate(Scenario{Packs: []Pack{p}, Demand: d, Ambient: 25, Levels: []Level{{Name: "floor", Volts: 2.65}}})
	if err != nil {
		t.Fatal(err)
	}
	if r := float64(light.Levels[0].At / full.Levels[0].At); !(r > 1.8 && r < 3) {
		t.Errorf("half the load lasts %.2f times as long", r)
	}
	steady, err := RunTimes([]Pack{p}, Steady(Drawing(2.9)), nil, 25)
	if err != nil {
		t.Fatal(err)
	}
	half, err := RunTimes([]Pack{p}, Duty(Drawing(2.9), 0.5, 120), nil, 25)
	if err != nil {
		t.Fatal(err)
	}
	if r := float64(half.Levels[1].At / steady.Levels[1].At); math.Abs(r-2) > 0.1 {
		t.Errorf("half the time lasts %.3f times as long", r)
	}
	load, err := LoadOf(l, 2.9)
	if err != nil || math.Abs(float64(load.Current.Value)*float64(load.Duty)*l.Time[len(l.Time)-1]/3600-3.189) > 0.03 { // rows counted whole: the zero crossings add 0.6 %
		t.Errorf("effective load %.4f Ah, %v; SOURCE.md: 3.18883 Ah discharged", float64(load.Current.Value)*float64(load.Duty)*l.Time[len(l.Time)-1]/3600, err)
	}
}
