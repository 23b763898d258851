package drive

import (
	"errors"
	"math"
	"strings"
	"testing"

	"voltwright/internal/quantity"
)

func near(t *testing.T, what string, got, want, relative float64) {
	t.Helper()
	if !(math.Abs(got-want) <= relative*math.Max(math.Abs(want), 1e-300)) {
		t.Errorf("%s: %.10g, want %.10g within %g", what, got, want, relative)
	}
}

var referenceMotor = Motor{K: 0.05, R: 0.08, Friction: 0.05 * 1.5, Winding: 20}

// Reference values, section 9 and worked-examples.csv (stall, noload, 30A,
// maxeff): computed there from the closed forms, independently of this package.
func TestMotorReference(t *testing.T) {
	m := referenceMotor
	near(t, "stall current", float64(m.StallCurrent(24)), 300, 1e-15)
	near(t, "stall torque", float64(m.StallTorque(24)), 15-0.075, 1e-15)
	near(t, "no-load speed", float64(m.NoLoadSpeed(24)), 4560.744, 1e-7)
	l := m.AtCurrent(24, 30)
	near(t, "speed at 30 A", float64(l.Rotation), 4125.296, 1e-7)
	near(t, "torque", float64(l.Torque), 1.425, 1e-14)
	near(t, "shaft power", float64(l.Out), 615.60, 1e-12)
	near(t, "input", float64(l.In), 720, 1e-15)
	near(t, "efficiency", float64(l.Efficiency), 0.8550, 1e-12)
	i, e := m.BestEfficiency(24)
	near(t, "current of best efficiency", float64(i), 21.2132, 1e-6)
	near(t, "best efficiency", float64(e), 0.863579, 1e-6)
	for _, di := range []float64{-0.5, 0.5} { // it is a maximum
		if other := m.AtCurrent(24, i+quantity.Amperes(di)).Efficiency; other >= e {
			t.Errorf("efficiency %v at %v A off, %v at the best", other, di, e)
		}
	}
}

// store.perpetualshade.com/juntos/45751752 (a textbook problem; its inputs
// confirmed, the answers of the reference values, section 9): K_t 0.12 N·m/A, K_e
// 12 V/krpm, 1.5 Ω, 10 V, no friction. Its two constants differ by 4.7 %, so each
// answer is computed with the constant that the problem uses for it.
func TestMotorTextbookProblem(t *testing.T) {
	torque := Motor{K: 0.12, R: 1.5}
	speed := Motor{K: 12.0 / 1000 * 30 / math.Pi, R: 1.5}
	near(t, "no-load speed", float64(speed.NoLoadSpeed(10)), 833.333, 1e-6)
	near(t, "stall current", float64(torque.StallCurrent(10)), 6.66667, 1e-6)
	near(t, "starting torque", float64(torque.StallTorque(10)), 0.8, 1e-14)
	l := torque.AtTorque(10, 0.6)
	near(t, "current at 0.6 N·m", float64(l.Current), 5, 1e-14)
	near(t, "speed at 5 A", float64(speed.AtCurrent(10, l.Current).Rotation), 208.333, 1e-5)
	// P_max of the problem: half the stall torque at half the no-load speed.
	near(t, "most power", 0.4*float64(speed.NoLoadSpeed(10))/2*math.Pi/30, 17.45, 1e-3)
	near(t, "most power by the closed form", float64(torque.MostPower(10)), 100.0/6, 1e-14)
}

// homeworksource.com/p/1085257 (inputs and printed answers): 0.5 Ω, 120 V, 20
// rev/s, 40 A: loss in the armature 800 W, input 4800 W. Without friction the
// torque follows: (4800 − 800) W over 40π rad/s = 31.83 N·m (computed).
func TestMotorPrintedAnswers(t *testing.T) {
	k := (120 - 40*0.5) / (2 * math.Pi * 20)
	l := Motor{K: k, R: 0.5}.AtCurrent(120, 40)
	near(t, "loss", float64(l.Copper), 800, 1e-14)
	near(t, "input", float64(l.In), 4800, 1e-14)
	near(t, "speed", float64(l.Rotation), 1200, 1e-13)
	near(t, "torque", float64(l.Torque), 4000/(40*math.Pi), 1e-13)
}

// curriculum.vexrobotics.com, formulas for a motor: current and speed against
// torque are straight lines through the no-load and the stall point; all key
// figures scale with the voltage. The page's currents start from the free
// current, so the stall current there is at the shaft's stall torque.
func TestMotorStraightLines(t *testing.T) {
	m := referenceMotor
	stall, free, ts, nf := float64(m.StallCurrent(24)), float64(m.NoLoadCurrent()), float64(m.StallTorque(24)), float64(m.NoLoadSpeed(24))
	for _, torque := range []float64{0, 0.3, 1.425, 7, 14.9} {
		l := m.AtTorque(24, quantity.NewtonMetres(torque))
		near(t, "current", float64(l.Current), (stall-free)/ts*torque+free, 1e-12)
		near(t, "speed", float64(l.Rotation), nf-nf/ts*torque, 1e-9)
	}
	ideal := Motor{K: 0.05, R: 0.08}
	near(t, "speed with the voltage", float64(ideal.NoLoadSpeed(36)), 1.5*float64(ideal.NoLoadSpeed(24)), 1e-14)
	near(t, "torque with the voltage", float64(ideal.StallTorque(36)), 1.5*float64(ideal.StallTorque(24)), 1e-14)
}

// A fact of the trade (common practice, no source): a 12 V drive put on 18 V runs
// half as fast again without load. It is exact without friction and within a few
// per cent with it.
func TestRaisedVoltage(t *testing.T) {
	m, err := Plate{Rated: quantity.Exact(quantity.Volts(12)), NoLoadSpeed: quantity.Exact(quantity.RevolutionsPerMinute(9000)),
		NoLoadCurrent: quantity.Exact(quantity.Amperes(1.8)), Resistance: quantity.Exact(quantity.Ohms(0.12))}.Motor()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "no-load speed at 18 V", float64(m.NoLoadSpeed(18)), 1.5*9000, 0.01)
	if !(m.NoLoadSpeed(18) > 1.5*9000) {
		t.Error("with friction it gains a little more than half")
	}
}

func TestMotorEnergy(t *testing.T) {
	for _, i := range []quantity.Amperes{-80, -1, 0, 1.5, 30, 299} {
		l := referenceMotor.AtCurrent(24, i)
		if rest := float64(l.In - l.Out - l.Copper - l.Drag); math.Abs(rest) > 1e-12*math.Max(float64(l.Copper), math.Abs(float64(l.In)))+1e-12 {
			t.Errorf("%v A: %g W unaccounted for", i, rest)
		}
	}
}

// A plate that is made from a known motor gives that motor back, whichever of its
// values are known. The oracle is the motor itself, by the forward closed forms.
func TestPlateSets(t *testing.T) {
	m := Motor{K: 0.083, R: 0.21, Friction: 0.083 * 1.6, Winding: 25}
	v := quantity.Volts(24)
	rated := m.AtCurrent(v, 14)
	all := Plate{
		Rated: quantity.Exact(v), NoLoadSpeed: quantity.Exact(m.NoLoadSpeed(v)), NoLoadCurrent: quantity.Exact(m.NoLoadCurrent()),
		Resistance: quantity.Exact(m.R), StallCurrent: quantity.Exact(m.StallCurrent(v)), StallTorque: quantity.Exact(m.StallTorque(v)),
		Power: quantity.Exact(rated.Out), Speed: quantity.Exact(rated.Rotation), Current: quantity.Exact(rated.Current),
		Torque: quantity.Exact(rated.Torque), Efficiency: quantity.Exact(rated.Efficiency), Constant: quantity.Exact(quantity.Number(m.K)), Winding: 25,
	}
	pick := func(names string) Plate {
		p := Plate{Rated: all.Rated, Winding: all.Winding}
		for _, n := range strings.Fields(names) {
			switch n {
			case "n0":
				p.NoLoadSpeed = all.NoLoadSpeed
			case "i0":
				p.NoLoadCurrent = all.NoLoadCurrent
			case "R":
				p.Resistance = all.Resistance
			case "Is":
				p.StallCurrent = all.StallCurrent
			case "Ts":
				p.StallTorque = all.StallTorque
			case "P":
				p.Power = all.Power
			case "n":
				p.Speed = all.Speed
			case "I":
				p.Current = all.Current
			case "T":
				p.Torque = all.Torque
			case "eta":
				p.Efficiency = all.Efficiency
			case "k":
				p.Constant = all.Constant
			}
		}
		return p
	}
	for _, names := range []string{
		"n0 i0 R", "n0 i0 Is", "n0 i0 Ts", "n0 i0 P I", "n0 i0 P eta", "n0 i0 I eta", "n0 i0 n P", "n0 i0 n T", "n P I i0", "n P I n0", "n T I n0",
		"k R n0", "k R i0", "k i0 Ts", "k n0 R", "n P I k R", "n0 i0 R Is Ts P n I T eta k",
	} {
		got, err := pick(names).Motor()
		if err != nil {
			t.Errorf("%s: %v", names, err)
			continue
		}
		near(t, names+": k", got.K, m.K, 1e-9)
		near(t, names+": R", float64(got.R), float64(m.R), 1e-9)
		near(t, names+": friction", got.Friction, m.Friction, 1e-9)
	}
	for names, words := range map[string][]string{
		"":        {"torque constant and resistance and friction", "no-load speed", "no-load current"},
		"n0 i0":   {"resistance", "stall current"},
		"n0 R":    {"friction", "no-load current"},
		"n P I":   {"friction", "no-load current"},
		"i0 R":    {"torque constant", "no-load speed"},
		"P eta":   {"torque constant"},
		"n0 i0 n": {"resistance"},
	} {
		_, err := pick(names).Motor()
		e, ok := errors.AsType[*MissingError](err)
		if !ok {
			t.Errorf("%q: %v", names, err)
			continue
		}
		for _, w := range words {
			if !strings.Contains(e.Error(), w) {
				t.Errorf("%q: %q does not say %q", names, e, w)
			}
		}
	}
}

// homeworklib.com/question/1976071: 12 V, 3800 rpm without load, 30 mN·m held, no
// friction stated. The answers at 2500 rpm by the straight lines: torque
// 30·(1 − 2500/3800) mN·m, back-EMF 12·2500/3800 V, current T/k (computed).
func TestPlateStallTorque(t *testing.T) {
	m, err := Plate{Rated: quantity.Exact(quantity.Volts(12)), NoLoadSpeed: quantity.Exact(quantity.RevolutionsPerMinute(3800)),
		StallTorque: quantity.Exact(quantity.NewtonMetres(0.030)), Frictionless: true}.Motor()
	if err != nil {
		t.Fatal(err)
	}
	l := m.AtSpeed(12, 2500)
	near(t, "torque", float64(l.Torque), 0.030*(1-2500.0/3800), 1e-12)
	near(t, "back-EMF", float64(l.Volts)-float64(l.Current)*float64(m.R), 12*2500.0/3800, 1e-12)
	near(t, "current", float64(l.Current), 0.030*(1-2500.0/3800)/(12/(3800*math.Pi/30)), 1e-12)
}

func TestPlateRefuses(t *testing.T) {
	base := Plate{Rated: quantity.Exact(quantity.Volts(24)), NoLoadSpeed: quantity.Exact(quantity.RevolutionsPerMinute(2700)),
		NoLoadCurrent: quantity.Exact(quantity.Amperes(1.6)), Resistance: quantity.Exact(quantity.Ohms(0.21))}
	with := func(change func(*Plate)) Plate { p := base; change(&p); return p }
	contradiction := with(func(p *Plate) { p.StallCurrent = quantity.Exact(quantity.Amperes(60)) })
	_, err := contradiction.Motor()
	if e, ok := errors.AsType[*ContradictionError](err); !ok || e.What != "stall current" || math.Abs(e.Computed-24/0.21) > 1e-9 ||
		!strings.Contains(e.Error(), "60 A") || !strings.Contains(e.Error(), "114") {
		t.Errorf("a stall current of half what the resistance gives: %v", err)
	}
	// A stated uncertainty widens what passes.
	contradiction.StallCurrent.U = 30
	if _, err := contradiction.Motor(); err != nil {
		t.Errorf("within its own uncertainty: %v", err)
	}
	if _, err := with(func(p *Plate) { p.StallCurrent = quantity.Exact(quantity.Amperes(24 / 0.21 * 1.04)) }).Motor(); err != nil {
		t.Errorf("four per cent off: %v", err)
	}
	for what, p := range map[string]Plate{
		"resistance":          with(func(p *Plate) { p.Resistance.Value = -1 }),
		"rated voltage":       with(func(p *Plate) { p.Rated = quantity.Missing[quantity.Volts]() }),
		"no-load current":     with(func(p *Plate) { p.NoLoadCurrent.Value = 200 }),
		"rated efficiency":    with(func(p *Plate) { p.Efficiency = quantity.Exact(quantity.Fraction(1.2)) }),
		"power is that of th": {Rated: base.Rated, NoLoadSpeed: base.NoLoadSpeed, NoLoadCurrent: base.NoLoadCurrent, Power: quantity.Exact(quantity.Watts(336)), Current: quantity.Exact(quantity.Amperes(14))},
		"no-load speed":       with(func(p *Plate) { p.NoLoadSpeed.Value = quantity.RevolutionsPerMinute(math.Inf(1)) }),
	} {
		if _, err := p.Motor(); err == nil || !strings.Contains(err.Error(), what) {
			t.Errorf("%s: %v", what, err)
		}
	}
}

// k = (V − I₀·R)/ω₀: by hand, u²(k) = (u(V)² + (R·u(I₀))² + (I₀·u(R))²)/ω₀² + (k·u(ω₀)/ω₀)².
func TestConstantsUncertainty(t *testing.T) {
	p := Plate{Rated: quantity.Of[quantity.Volts](24, 0.1), NoLoadSpeed: quantity.Of[quantity.RevolutionsPerMinute](2700, 30),
		NoLoadCurrent: quantity.Of[quantity.Amperes](1.6, 0.05), Resistance: quantity.Of[quantity.Ohms](0.21, 0.02)}
	c, err := p.Constants()
	if err != nil {
		t.Fatal(err)
	}
	w0 := 2700 * math.Pi / 30
	k := (24 - 1.6*0.21) / w0
	uk := math.Sqrt((0.01+math.Pow(0.21*0.05, 2)+math.Pow(1.6*0.02, 2))/w0/w0 + math.Pow(k*30/2700, 2))
	near(t, "k", float64(c.K.Value), k, 1e-12)
	near(t, "u(k)", float64(c.K.U), uk, 1e-5)
	near(t, "u(R)", float64(c.R.U), 0.02, 1e-6)
	near(t, "u(I0)", float64(c.NoLoadCurrent.U), 0.05, 1e-6)
}

// Reference values, section 1: factors 254.5/(234.5 + t) that bring a resistance
// to 20 °C. Magnets: Modelica Standard Library values, α·50 K.
func TestTemperature(t *testing.T) {
	for _, c := range []struct{ at, factor float64 }{{5, 1.0626}, {25, 0.9807}, {50, 0.8946}, {70, 0.8358}, {90, 0.7843}} {
		near(t, "copper", CopperFactor(quantity.Celsius(c.at), 20), c.factor, 1e-4)
	}
	ferrite, err := MagnetNamed("ferrite")
	if err != nil {
		t.Fatal(err)
	}
	warm, err := referenceMotor.Warmed(70, 70, ferrite)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "R at 70 °C", float64(warm.R), 0.08*304.5/254.5, 1e-14)
	near(t, "k at 70 °C", warm.K, 0.05*0.9, 1e-14)
	back, err := warm.Warmed(20, 20, ferrite)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "R there and back", float64(back.R), 0.08, 1e-14)
	near(t, "k there and back", back.K, 0.05, 1e-14)
	if _, err := MagnetNamed("ferite"); err == nil || !strings.Contains(err.Error(), "ferrite") {
		t.Errorf("an unknown magnet: %v", err)
	}
}
