package drivetrain

import (
	"math"
	"strings"
	"testing"

	"voltwright/internal/quantity"
)

// What leads take from the speed, by hand: at one load the motors' torque and so
// their current stay, and the back-EMF falls by the drops. With the group's
// current I, the duty D and the controller's η the battery gives D·I/η, so that
// Δω = (D·R₁·D·I/η + R₂·I)/k with k = (24 V − 1.2 A · 0.25 Ω)/(2800·2π/60 rad/s).
func TestLeadsSlowTheDrive(t *testing.T) {
	h := garden(t)
	h.DragArea = quantity.Exact(quantity.Number(0))
	without := Compute(h)
	const r1, r2 = 0.04, 0.03
	h.PackLeads, h.MotorLeads = quantity.Exact(quantity.Ohms(r1)), quantity.Exact(quantity.Ohms(r2))
	with := Compute(h)
	i := 2 * float64(without.Cruise.MotorCurrent.Value)
	if got := 2 * float64(with.Cruise.MotorCurrent.Value); math.Abs(got/i-1) > 1e-9 || !(i > 1) {
		t.Fatalf("the load is another: %g A, and %g A without leads", got, i)
	}
	k := (24 - 1.2*0.25) / (2800 * 2 * math.Pi / 60)
	slower := (0.75*r1*0.75*i/0.95 + r2*i) / k * 0.13 / 2 / 10
	if got := float64(without.Cruise.Speed.Value - with.Cruise.Speed.Value); math.Abs(got/slower-1) > 1e-6 {
		t.Errorf("slower by %g m/s, want %g", got, slower)
	}
	// At the terminals' voltage the leads still stand in the way: the same fall.
	atCutout := float64(without.ByVoltage[2].Speed.Value - with.ByVoltage[2].Speed.Value)
	if math.Abs(atCutout/slower-1) > 1e-6 {
		t.Errorf("where the cutout opens, slower by %g m/s, want %g", atCutout, slower)
	}
	// Held motors: I = D·V/(R/2 + R₂ + D²·(Rₚ + R₁)/η), all in milliohms beside 125.
	full := float64(with.FullVoltage)
	held := 0.75 * full / (0.125 + r2 + 0.75*0.75*(0.02+r1)/0.95) / 2
	if got := float64(with.Stall.Motor.Value); math.Abs(got/held-1) > 1e-9 {
		t.Errorf("held, %g A in each motor, want %g", got, held)
	}
	if want := held * held * 0.25; math.Abs(float64(with.Stall.Heat)/want-1) > 1e-9 {
		t.Errorf("held, %g W in each motor, want %g: the leads' heat is not theirs", float64(with.Stall.Heat), want)
	}
	said := 0
	for _, a := range with.Assumed {
		if strings.HasPrefix(a.What, "leads") && strings.Contains(a.Words, "40 mΩ") && strings.Contains(a.Words, "30 mΩ") {
			said++
		}
	}
	if said != 1 {
		t.Errorf("what the leads are taken to be stands %d times among what is assumed", said)
	}
}

// Where a switch or a resistor drives, leads on both sides of it are in one way, and their sum is said.
func TestLeadsOfASwitch(t *testing.T) {
	for _, control := range []ControlKind{BySwitch, ByResistor, ByDuty} {
		h := garden(t)
		h.Control = control
		h.PackLeads, h.MotorLeads = quantity.Exact(quantity.Ohms(0.04)), quantity.Exact(quantity.Ohms(0.03))
		p := &prepared{Input: h}
		p.leads()
		want := "70 mΩ"
		if control == ByDuty {
			want = "40 mΩ between packs and controller, 30 mΩ from there to the motors"
		}
		if said := p.assumed; len(said) != 1 || said[0].Words != want {
			t.Errorf("%v: %+v, want %s", control, said, want)
		}
	}
}
