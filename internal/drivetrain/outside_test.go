package drivetrain

import (
	"math"
	"slices"
	"strings"
	"testing"

	"voltwright/internal/drive"
	"voltwright/internal/quantity"
)

// TestTakenValues: what is taken where nobody states it, with the width that its source gives it (rectangular, JCGM 100:2008, 4.3.7): 70 % to 90 % for
// gears and 92 % to 99 % without (from memory), 0.67 s to 2.5 s around 1.5 s (the Highway Code, TRL, AASHTO), a twentieth on a plate (our own choice), 95 % for
// a controller (from memory), class A of IEC 60085; and what is stated goes before each.
func TestTakenValues(t *testing.T) {
	root12 := math.Sqrt(12)
	with := func(change func(*Input)) *prepared {
		t.Helper()
		h := garden(t)
		h.Setting, h.Efficiency = quantity.Missing[quantity.Fraction](), quantity.Missing[quantity.Fraction]()
		if change != nil {
			change(&h)
		}
		p, err := h.prepare()
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	p := with(func(h *Input) { h.Copper = quantity.Exact(quantity.Kilograms(0.4)) })
	near(t, "gear", float64(p.given.GearEfficiency.Value), 0.8, 1e-12)
	near(t, "u of it", float64(p.given.GearEfficiency.U), 0.2/root12, 1e-12)
	near(t, "no-load speed, a twentieth", float64(p.given.Plate.NoLoadSpeed.U), 0.05/math.Sqrt(3)*2800, 1e-12)
	near(t, "resistance, a twentieth", float64(p.given.Plate.Resistance.U), 0.05/math.Sqrt(3)*0.25, 1e-12)
	near(t, "controller", float64(p.given.Base.Controller.Efficiency), 0.95, 1e-12)
	near(t, "reaction", float64(p.brake.Reaction.Value), 1.5, 1e-12)
	near(t, "u of it", float64(p.brake.Reaction.U), (2.5-0.67)/root12, 1e-12)
	near(t, "class A", float64(p.winding.Limit), 105, 1e-12)
	near(t, "cold", float64(p.winding.Start), 20, 1e-12)
	near(t, "of small wheels", float64(p.given.Rolling.Value), 0.015, 1e-12)
	near(t, "u of it", float64(p.given.Rolling.U), 0.01/root12, 1e-12)
	near(t, "nominal", float64(p.Supply.Nominal), 8*float64(ironPhosphate(t).Nominal()), 1e-12)
	top, _ := ironPhosphate(t).Curve().At(1)
	near(t, "full", float64(p.Supply.Full), 8*float64(top), 1e-12)
	near(t, "own", float64(p.own), 1, 1e-12)
	near(t, "supply", float64(p.given.Supply.Value), 0.02, 1e-12)
	said := func(p *prepared) string {
		var all []string
		for _, a := range p.assumed {
			if a.Source == "" || a.Status == "" {
				t.Errorf("%s: no source or status", a.What)
			}
			all = append(all, a.What)
		}
		slices.Sort(all)
		return strings.Join(all, ", ")
	}
	if got := said(p); got != "drag of the air, efficiency of the controller, efficiency of the gearing, how the motors are joined, leads between pack and motors, limit of the controller, reaction time, rolling coefficient, setting of the controller, temperature of the motors, thermal class of the winding, values of the motor's plate" {
		t.Errorf("taken: %s", got)
	}
	p = with(func(h *Input) {
		h.Ratio, h.Motors = quantity.Exact(quantity.Number(1)), 1
		h.Supply.Full = 27
		h.Rolling, h.DragArea = quantity.Exact(quantity.Number(0.02)), quantity.Exact(quantity.Number(0.5))
		h.Setting, h.Efficiency, h.Limit = quantity.Exact(quantity.Fraction(0.6)), quantity.Exact(quantity.Fraction(0.9)), quantity.Exact(quantity.Amperes(40))
		h.Reaction, h.Copper, h.Insulation = quantity.Exact(quantity.Seconds(2)), quantity.Exact(quantity.Kilograms(0.4)), "F"
		h.PackLeads, h.MotorLeads = quantity.Of[quantity.Ohms](0.01, 0.003), quantity.Exact(quantity.Ohms(0.004))
		h.Supply.Resistance = quantity.Of[quantity.Ohms](0.02, 0.004)
		h.Plate.NoLoadSpeed.U, h.Plate.NoLoadCurrent.U, h.Plate.Resistance.U = 10, 0.1, 0.01
	})
	near(t, "without a gear", float64(p.given.GearEfficiency.Value), 0.955, 1e-12)
	near(t, "u of it", float64(p.given.GearEfficiency.U), 0.07/root12, 1e-12)
	near(t, "stated full", float64(p.Supply.Full), 27, 1e-12)
	near(t, "stated rolling", float64(p.given.Rolling.Value), 0.02, 1e-12)
	near(t, "stated drag", float64(p.given.DragArea.Value), 0.5, 1e-12)
	near(t, "stated setting", float64(p.own), 0.6, 1e-12)
	near(t, "stated efficiency", float64(p.given.Base.Controller.Efficiency), 0.9, 1e-12)
	near(t, "stated limit", float64(p.given.Base.Controller.MotorLimit), 40, 1e-12)
	near(t, "stated reaction", float64(p.brake.Reaction.Value), 2, 1e-12)
	near(t, "class F", float64(p.winding.Limit), 155, 1e-12)
	near(t, "supply with its leads", float64(p.given.Supply.Value), 0.03, 1e-12)
	near(t, "u of both", float64(p.given.Supply.U), 0.005, 1e-12)
	near(t, "motors' leads", float64(p.given.MotorLeads.Value), 0.004, 1e-12)
	near(t, "own u", float64(p.given.Plate.NoLoadSpeed.U), 10, 1e-12)
	near(t, "behind the terminals", float64(p.behindTerminals().Value), 0.01, 1e-12)
	if got := said(p); got != "efficiency of the gearing, leads between pack and motors, temperature of the motors" {
		t.Errorf("taken: %s", got)
	}
	p = with(func(h *Input) { h.Control = BySwitch; h.Payload = quantity.Missing[quantity.Kilograms]() })
	if c := p.given.Base.Controller; c.Duty != 1 || !c.Regenerates || p.own != 1 || p.given.Payload.Value != 0 || p.behindTerminals().Value != 0 {
		t.Errorf("%+v", c)
	}
	if strings.Contains(said(p), "resistors") || !strings.Contains(said(p), "payload") {
		t.Error(said(p))
	}
	if p = with(func(h *Input) { h.Control = ByResistor }); !strings.Contains(said(p), "resistors in the controller") || p.own != 1 {
		t.Error(said(p))
	}
	force := with(func(h *Input) {
		h.Deceleration = quantity.Missing[quantity.MetresPerSecondSquare]()
		h.BrakeForce = quantity.Of[quantity.Newtons](200, 20)
	})
	if b := force.brake; b.Force.Value != 200 || b.Force.U != 20 || b.Deceleration.Known() {
		t.Errorf("%+v", b)
	}
	if none := with(func(h *Input) { h.Deceleration = quantity.Missing[quantity.MetresPerSecondSquare]() }); none.brake != nil {
		t.Error("a brake from nothing")
	}
	// On other ground the range is that of all its rows.
	for _, ground := range []string{"asphalt", "grass", "gravel", "concrete"} {
		low, high := math.Inf(1), 0.0
		for _, s := range drive.Surfaces() {
			if s.Ground == ground {
				low, high = min(low, s.Low), max(high, s.High)
			}
		}
		got, why := rollingOn(ground, quantity.Missing[quantity.Number]())
		if why != "" || got.Stated || got.Disputed != "" || len(got.Rows) == 0 || got.Source == "" {
			t.Errorf("%s: %+v, %s", ground, got, why)
		}
		near(t, ground, float64(got.Taken.Value), (low+high)/2, 1e-12)
		near(t, "u on "+ground, float64(got.Taken.U), (high-low)/root12, 1e-9)
	}
	if got, why := rollingOn("steel-rail", quantity.Missing[quantity.Number]()); why != "" || got.Disputed == "" || len(got.Rows) != 3 {
		t.Errorf("%+v", got)
	}
	for _, ground := range []string{"", "wheels-up", "ice"} {
		if got, why := rollingOn(ground, quantity.Missing[quantity.Number]()); why == "" || got.Taken.Known() {
			t.Errorf("%q: %+v", ground, got)
		}
		if got, why := rollingOn(ground, quantity.Exact(quantity.Number(0.02))); why != "" || got.Taken.Value != 0.02 || !got.Stated {
			t.Errorf("%q: %+v", ground, got)
		}
	}
}

// TestCoursesOfTheDrive: at which points it is computed, and the figures beside the speed, by hand.
func TestCoursesOfTheDrive(t *testing.T) {
	h := garden(t)
	h.Wanted = quantity.Exact(quantity.MetresPerSecond(1.2))
	h.Copper = quantity.Exact(quantity.Kilograms(0.4))
	h.Vehicle.U, h.Payload.U = 3, 4
	d := Compute(h)
	names := func(all []SteadyState) string {
		var out []string
		for _, c := range all {
			out = append(out, c.Name)
		}
		return strings.Join(out, " ")
	}
	if got := names(d.ByVoltage); got != "full nominal cutout" {
		t.Error(got)
	}
	if got := names(d.BySetting); got != "setting-40 setting-60 setting-75 setting-80 setting-100" {
		t.Error(got)
	}
	if got := names(d.ByPayload); got != "payload-0 payload-100 payload-200 payload-300" || d.ByPayload[0].Label != "nothing" {
		t.Error(got)
	}
	if got := payloads(0); len(got) != 1 || got[0] != 0 {
		t.Error(got)
	}
	if d.FullyOpen == nil || d.Hill == nil || d.FullyOpen.Setting != 1 || d.Hill.Grade != drive.OneIn(60) || d.Top.Setting != 0.75 || d.Motors != 2 || d.CutoutVoltage.Value != 23 {
		t.Errorf("%+v", d)
	}
	top := float64(d.Top.Speed.Value)
	near(t, "kinetic energy", float64(d.KineticEnergy.Value), 270*top*top/2/3600, 1e-12)
	near(t, "u of it", float64(d.KineticEnergy.U/d.KineticEnergy.Value), math.Hypot(2*float64(d.Top.Speed.U)/top, 5./270), 1e-12)
	// The setting for the wanted speed gives that speed.
	g := garden(t)
	g.Setting = d.Wanted.Setting
	near(t, "the wanted speed", float64(Compute(g).Top.Speed.Value), 1.2, 1e-9)
	near(t, "u of the setting", float64(d.Wanted.Setting.U), float64(d.Wanted.Setting.Value)*float64(d.Top.Speed.U)/top, 1e-9)
	// Grip on dry rails, 0.25 of the locomotive's share of the weight, less what rolls.
	p, err := h.prepare()
	if err != nil {
		t.Fatal(err)
	}
	s, err := p.given.Setup()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "grip", float64(p.gripGrade(s).Value), 0.25*70/270-0.015, 1e-9)
	start, err := s.Start()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "steepest", float64(d.SteepestStart.Value), min(0.25*70/270-0.015, float64(start.SteepestGrade)), 1e-9)
	if d.LimitedByGrip != (0.25*70/270-0.015 < float64(start.SteepestGrade)) {
		t.Error("what sets the steepest")
	}
	near(t, "heat of a held motor", float64(d.Stall.Heat), float64(d.Stall.Motor.Value*d.Stall.Motor.Value)*0.25, 1e-9)
	if !(d.Stall.Motor.U > 0 && d.Stall.Battery.U > 0 && d.Stall.Time.U > 0) || d.Stall.Limit != 105 || d.Stall.Why != "" {
		t.Errorf("%+v", d.Stall)
	}
	if len(d.Stops) != 2 || d.Stops[0].Grade != 0 || d.Stops[1].Grade != -drive.OneIn(60) {
		t.Errorf("%+v", d.Stops)
	}
	switched := garden(t)
	switched.Control = BySwitch
	if d := Compute(switched); len(d.BySetting) > 0 || d.FullyOpen != nil || d.Top.Setting != 1 {
		t.Errorf("%+v", d.BySetting)
	}
	open := garden(t)
	open.Setting = quantity.Exact(quantity.Fraction(1))
	if d := Compute(open); d.FullyOpen != nil || names(d.BySetting) != "setting-40 setting-60 setting-80 setting-100" {
		t.Error(names(d.BySetting))
	}
}

// TestComparedByBothUncertainties: two values differ where they are more apart than twice the root of the sum of squares (JCGM 100:2008, 5.1.2,
// k = 2), each bound on both sides.
func TestComparedByBothUncertainties(t *testing.T) {
	nan := math.NaN()
	m := func(v, u float64) quantity.Measured[quantity.MetresPerSecond] {
		return quantity.Of(quantity.MetresPerSecond(v), quantity.MetresPerSecond(u))
	}
	for _, x := range []struct {
		v, u, p, pu float64
		verdict     Verdict
		off         float64
	}{
		{2.99, 0.3, 2, 0.4, Within, 0.495}, {3.01, 0.3, 2, 0.4, Above, 0.505}, {1.01, 0.3, 2, 0.4, Within, -0.495}, {0.99, 0.3, 2, 0.4, Below, -0.505}, {3, nan, 2, 0.4, Unjudged, 0.5}, {nan, 0, 2, 0, Unjudged, nan}, {2, 0, nan, 0, Unjudged, nan}, {2, 0, 0, 0, Unjudged, nan}, {2, 0, 2, 0, Within, 0},
	} {
		c := compare(m(x.v, x.u), m(x.p, x.pu))
		if c.Verdict != x.verdict || !(math.Abs(c.Off-x.off) < 1e-9 || math.IsNaN(c.Off) && math.IsNaN(x.off)) {
			t.Errorf("%+v: %+v", x, c)
		}
		if words := topWords(c); (words == "") != math.IsNaN(x.v) || strings.Contains(words, "above") != (x.verdict == Above) || strings.Contains(words, "below") != (x.verdict == Below) || strings.Contains(words, "differ by no more than") != (x.verdict == Within) {
			t.Errorf("%+v: %s", x, words)
		}
		if words := meanWords(c); (words == "") != math.IsNaN(x.v) || strings.Contains(words, "above") != (x.verdict == Above) || strings.Contains(words, "below") != (x.verdict == Below) || strings.Contains(words, "differ by no more than") != (x.verdict == Within) {
			t.Errorf("%+v: %s", x, words)
		}
		e := energyWords(Comparison[quantity.WattHoursPerKilometre]{Measured: quantity.Exact(quantity.WattHoursPerKilometre(1)), Verdict: x.verdict})
		if strings.Contains(e, "more than predicted") != (x.verdict == Above) || strings.Contains(e, "less than predicted") != (x.verdict == Below) || (e == "") != (x.verdict == Unjudged) {
			t.Errorf("%s: %s", x.verdict, e)
		}
	}
}

// TestConditionsOfARun: a run is predicted at its own payload, ground, setting and voltage, and not where it says nothing.
func TestConditionsOfARun(t *testing.T) {
	h := garden(t)
	h.PackLeads = quantity.Exact(quantity.Ohms(0.007))
	p, err := h.prepare()
	if err != nil {
		t.Fatal(err)
	}
	run := Run{ID: "r", Payload: quantity.Exact(quantity.Kilograms(123)), Ground: "asphalt", Setting: quantity.Exact(quantity.Fraction(0.5)), Volts: quantity.Exact(quantity.Volts(25)),
		Top: quantity.Exact(quantity.MetresPerSecond(1)), Mean: quantity.Missing[quantity.MetresPerSecond](), PerDistance: quantity.Missing[quantity.WattHoursPerKilometre]()}
	g, why := p.onRun(run)
	asphalt, _ := rollingOn("asphalt", quantity.Missing[quantity.Number]())
	if why != "" || g.Payload.Value != 123 || g.Rolling != asphalt.Taken || g.Duty.Value != 0.5 || g.Rest.Value != 25 || g.Supply.Value != 0.007 {
		t.Errorf("%+v, %s", g, why)
	}
	run.Ground, run.Setting, run.Volts = "", quantity.Missing[quantity.Fraction](), quantity.Missing[quantity.Volts]()
	if g, why = p.onRun(run); why != "" || g.Rolling != p.given.Rolling || g.Duty != p.given.Duty || g.Rest != p.given.Rest || g.Supply != p.given.Supply {
		t.Errorf("%+v, %s", g, why)
	}
	p.Control, run.Setting = BySwitch, quantity.Exact(quantity.Fraction(0.5))
	if g, _ = p.onRun(run); g.Duty != p.given.Duty {
		t.Error("a switch has a setting")
	}
	for name, spoil := range map[string]func(*Run){"wheels up": func(r *Run) { r.WheelsUp = true }, "no payload": func(r *Run) { r.Payload = quantity.Missing[quantity.Kilograms]() }, "no ground known": func(r *Run) { r.Ground = "ice" }, "nothing measured": func(r *Run) { r.Top = quantity.Missing[quantity.MetresPerSecond]() }} {
		bad := run
		spoil(&bad)
		if _, why := p.onRun(bad); why == "" {
			t.Errorf("%s is predicted", name)
		}
		if c := p.check(bad); c.Err == "" || c.Predicted.Known() {
			t.Errorf("%s: %+v", name, c)
		}
	}
}
