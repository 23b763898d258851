package drive

import (
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"voltwright/internal/quantity"
)

// shunter is an invented garden locomotive: two motors, a rider, a wagon.
func shunter() Setup {
	return Setup{
		Vehicle: Vehicle{
			Motor: Motor{K: 0.083, R: 0.21, Friction: 0.13, Winding: 20}, Parallel: 2, Ratio: 9.8, GearEfficiency: 0.85, Wheel: 0.13,
			Mass: 64, Payload: 85, Wagons: []Wagon{{Mass: 180}}, DragArea: 0.7,
		},
		Supply:     Supply{Rest: 26, Resistance: 0.04},
		Controller: Controller{Duty: 0.6, Efficiency: 0.95, MotorLimit: 50, Standing: 0.1, Regenerates: true},
		Way:        Way{Rolling: 0.012},
	}
}

func balanced(t *testing.T, what string, p Point) {
	t.Helper()
	size := 0.0
	for _, w := range []quantity.Watts{p.Power.Battery, p.Power.Controller, p.Power.Copper, p.Power.Drag, p.Power.Gear, p.Power.Rolling, p.Power.Climbing, p.Power.Air, p.Power.Brakes} {
		size = math.Max(size, math.Abs(float64(w)))
	}
	if rest := math.Abs(float64(p.Power.Unbalanced())); !(rest <= 1e-12*size) {
		t.Errorf("%s: %g W of %g W unaccounted for in %+v", what, rest, size, p)
	}
}

// Without air the steady point is a closed form: F from the way, torque, current
// and speed follow one from the other.
func TestOperateClosedForm(t *testing.T) {
	s := shunter()
	s.Vehicle.DragArea = 0
	s.Way.Grade = 0.015
	p, err := s.Operate()
	if err != nil {
		t.Fatal(err)
	}
	v := s.Vehicle
	force := float64(v.Resistance(s.Way, 0).Sum())
	torque := force / 0.85 * 0.065 / 9.8 / 2
	current := (torque + 0.13) / 0.083
	group := 2 * current
	battery := 0.6*group/0.95 + 0.1
	volts := 26 - 0.04*battery
	omega := (0.6*volts - current*0.21) / 0.083
	near(t, "torque", float64(p.MotorTorque), torque, 1e-12)
	near(t, "motor current", float64(p.MotorCurrent), current, 1e-12)
	near(t, "battery current", float64(p.BatteryCurrent), battery, 1e-12)
	near(t, "speed", float64(p.Speed), omega*0.065/9.8, 1e-12)
	near(t, "efficiency", float64(p.Efficiency()), force*omega*0.065/9.8/(volts*battery), 1e-12)
	near(t, "Wh/km", float64(p.PerDistance()), volts*battery/(omega*0.065/9.8)/3.6, 1e-12)
	if p.State != Runs || p.Limited != Unlimited {
		t.Errorf("%s, %s", p.State, p.Limited)
	}
	balanced(t, "with a hill", p)
}

// Each state, with what it follows from by hand.
func TestStates(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(*Setup)
		state  State
		words  string
	}{
		{"level", func(*Setup) {}, Runs, "runs at"},
		{"a hill too steep", func(s *Setup) { s.Way.Grade = 0.4; s.Controller.MotorLimit = 30 }, RollsBack, "rolls back"},
		{"a hill that friction holds", func(s *Setup) { s.Way.Grade = 0.04; s.Controller.MotorLimit = 10 }, CannotStart, "cannot start"},
		{"duty nought", func(s *Setup) { s.Controller.Duty = 0 }, CannotStart, "cannot start"},
		{"downhill, held by the motors", func(s *Setup) { s.Way.Grade = -0.1 }, Regenerates, "hill drives it"},
		{"downhill, held by shorted motors", func(s *Setup) { s.Way.Grade = -0.1; s.Controller.Duty = 0 }, Regenerates, "hill drives it"},
		{"downhill, no way back, air alone", func(s *Setup) { s.Way.Grade = -0.1; s.Controller.Regenerates = false }, RunsAway, "up to"},
		{"gently down, no way back", func(s *Setup) {
			s.Way.Grade = -0.05
			s.Controller.Regenerates = false
			s.Vehicle.DragArea = 20
		}, Coasts, "without current"},
		{"downhill, no way back, no air", func(s *Setup) {
			s.Way.Grade = -0.1
			s.Controller.Regenerates = false
			s.Vehicle.DragArea = 0
		}, RunsAway, "nothing but brakes"},
	} {
		s := shunter()
		c.change(&s)
		p, err := s.Operate()
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if p.State != c.state || !strings.Contains(p.Words(), c.words) {
			t.Errorf("%s: %s: %s", c.name, p.State, p.Words())
		}
		if p.Moves() {
			balanced(t, c.name, p)
			if rest := math.Abs(float64(p.Pull - p.Resistance.Sum())); rest > 1e-11*float64(p.Resistance.Rolling) {
				t.Errorf("%s: %g N out of balance", c.name, rest)
			}
		}
	}
}

// Coasting has a closed form: ½·ρ·C_d·A·v² is what the hill leaves after rolling
// and the drag of the motors through the gear.
func TestCoast(t *testing.T) {
	s := shunter()
	s.Way.Grade, s.Controller.Regenerates, s.Vehicle.DragArea = -0.05, false, 20
	p, err := s.Operate()
	if err != nil {
		t.Fatal(err)
	}
	r := s.Vehicle.Resistance(s.Way, 0)
	drag := 2 * 0.13 * 9.8 / 0.065 / 0.85
	near(t, "speed", float64(p.Speed), math.Sqrt((-float64(r.Climbing)-float64(r.Rolling)-drag)/(1.225*20/2)), 1e-12)
	if p.MotorCurrent != 0 || p.BatteryCurrent != 0.1 {
		t.Errorf("%v A, %v A", p.MotorCurrent, p.BatteryCurrent)
	}
}

func TestLimits(t *testing.T) {
	s := shunter()
	s.Controller.Duty, s.Way.Grade = 1, 0.12
	s.Controller.MotorLimit = 0
	free, err := s.Operate()
	if err != nil {
		t.Fatal(err)
	}
	if free.Limited != Unlimited {
		t.Errorf("%+v", free)
	}
	s.Controller.BatteryLimit = free.BatteryCurrent - 2
	held, err := s.Operate()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "at the limit", float64(held.BatteryCurrent), float64(free.BatteryCurrent-2), 1e-15)
	if held.Limited != BatterySide || !(held.Speed < free.Speed) {
		t.Errorf("%+v", held)
	}
	near(t, "the hill asks the same", float64(held.MotorCurrent), float64(free.MotorCurrent), 1e-2) // but for the air
	balanced(t, "battery limit", held)
	// At a stand the motor limit is reached, and the battery gives only what heats them.
	s.Controller.BatteryLimit, s.Controller.MotorLimit, s.Way.Grade = 0, 30, 1
	p, err := s.Operate()
	if err != nil {
		t.Fatal(err)
	}
	if p.Limited != MotorSide || p.GroupCurrent != 30 {
		t.Errorf("%+v", p)
	}
	near(t, "battery power at a stand", float64(p.Power.Battery), (30*30*0.21/2)/0.95+float64(p.BatteryVolts)*0.1, 1e-12)
	balanced(t, "motor limit", p)
}

// Pushed back up to the last newton that motors, their friction and the gear hold:
// the hill less rolling, times η, against 2·(k·I/2 + T₀)·2·i/d.
func TestRollBackEdge(t *testing.T) {
	s := shunter()
	s.Controller.MotorLimit = 20
	hold := (0.083*20 + 2*0.13) * 9.8 / 0.065 / 0.85
	weight := 329 * gravity
	edge := math.Asin(hold/weight/math.Hypot(1, 0.012)) + math.Atan(0.012)
	for _, c := range []struct {
		angle float64
		state State
	}{{edge * (1 - 1e-9), CannotStart}, {edge * (1 + 1e-9), RollsBack}} {
		s.Way.Grade = Grade(math.Tan(c.angle))
		p, err := s.Operate()
		if err != nil || p.State != c.state {
			t.Errorf("%v: %s, want %s (%v)", s.Way.Grade, p.State, c.state, err)
		}
	}
}

// Downhill, too, the controller keeps the motors' current below its limit; what is
// wanted beyond it is the brakes'. Nor do shorted motors hold more than E/R.
func TestLimitsDownhill(t *testing.T) {
	s := shunter()
	s.Way.Grade, s.Controller.MotorLimit = -0.12, 15
	drag := 2 * 0.13 * 9.8 / 0.065
	p, err := s.AtSpeed(1.5)
	if err != nil || p.State != Braked || p.GroupCurrent != -15 {
		t.Fatalf("%+v, %v", p, err)
	}
	pull := 0.083 * 9.8 / 0.065
	near(t, "brakes", float64(p.Brakes), -float64(p.Resistance.Sum())-(15*pull+drag)/0.85, 1e-12)
	balanced(t, "limited", p)
	s.Vehicle.DragArea = 40
	if p, err = s.Operate(); err != nil || p.GroupCurrent != -15 || p.Limited != MotorSide {
		t.Errorf("%+v, %v", p, err)
	}
	balanced(t, "limited, with air", p)
	s.Controller.MotorLimit = 0
	const slow = 0.05
	if p, err = s.AtSpeed(slow); err != nil || p.State != Braked {
		t.Fatalf("%+v, %v", p, err)
	}
	near(t, "shorted", float64(p.GroupCurrent), -pull*slow/0.105, 1e-12)
	balanced(t, "shorted", p)
}

// Duty: with nothing lost in between, D on a battery of V is a battery of D·V,
// and the battery's current is D times the motors'.
func TestDuty(t *testing.T) {
	s := shunter()
	s.Supply.Resistance, s.Controller = 0, Controller{Duty: 0.45, Regenerates: true}
	a, err := s.Operate()
	if err != nil {
		t.Fatal(err)
	}
	s.Supply.Rest, s.Controller = s.Supply.Rest*0.45, Switched()
	b, err := s.Operate()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "speed", float64(a.Speed), float64(b.Speed), 1e-13)
	near(t, "battery current", float64(a.BatteryCurrent), 0.45*float64(b.BatteryCurrent), 1e-13)
	near(t, "power", float64(a.Power.Battery), float64(b.Power.Battery), 1e-13)
}

// Motors in series share the voltage: two in series at twice the voltage are two
// in parallel at once, with half the current.
func TestSeriesParallel(t *testing.T) {
	s := shunter()
	s.Supply.Resistance, s.Controller = 0, Switched()
	a, _ := s.Operate()
	s.Vehicle.Parallel, s.Vehicle.Series, s.Supply.Rest = 1, 2, 2*s.Supply.Rest
	b, _ := s.Operate()
	near(t, "speed", float64(a.Speed), float64(b.Speed), 1e-13)
	near(t, "motor current", float64(a.MotorCurrent), float64(b.MotorCurrent), 1e-13)
	near(t, "battery current", float64(a.BatteryCurrent), 2*float64(b.BatteryCurrent), 1e-13)
	near(t, "motor volts", float64(a.MotorVolts), float64(b.MotorVolts), 1e-13)
}

// AtSpeed finds the duty at which Operate comes to that speed.
func TestAtSpeed(t *testing.T) {
	for _, grade := range []Grade{0, 0.03, -0.06} {
		s := shunter()
		s.Way.Grade = grade
		p, err := s.AtSpeed(1.6)
		if err != nil {
			t.Fatal(err)
		}
		balanced(t, "held", p)
		s.Controller.Duty = p.Duty
		q, err := s.Operate()
		if err != nil {
			t.Fatal(err)
		}
		near(t, "speed", float64(q.Speed), 1.6, 1e-12)
		near(t, "battery current", float64(q.BatteryCurrent), float64(p.BatteryCurrent), 1e-10)
		if p.State != q.State {
			t.Errorf("%v: %s and %s", grade, p.State, q.State)
		}
	}
	s := shunter()
	top, err := s.TopSpeed()
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.AtSpeed(top.Speed); err != nil {
		t.Errorf("the top speed itself: %v", err)
	}
	_, err = s.AtSpeed(top.Speed * 1.01)
	if e, ok := errors.AsType[*SettingError](err); !ok || !strings.Contains(e.Error(), "battery's voltage") {
		t.Errorf("beyond the top speed: %v", err)
	}
	s.Controller.Regenerates, s.Way.Grade = false, -0.1
	p, err := s.AtSpeed(1.5)
	if err != nil || p.State != Braked {
		t.Fatalf("%v, %v", p, err)
	}
	balanced(t, "braked", p)
	near(t, "brakes", float64(p.Brakes), -float64(p.Resistance.Sum())-2*0.13*9.8/0.065/0.85, 1e-12)
}

// With the wheels up each motor draws I₀, and speed goes with the duty but for
// what I₀·R takes.
func TestWheelsUp(t *testing.T) {
	s := shunter()
	s.Supply.Resistance = 0
	p, err := s.WheelsUp()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "motor current", float64(p.MotorCurrent), 0.13/0.083, 1e-12)
	near(t, "speed of the rim", float64(p.Speed), (0.6*26-0.13/0.083*0.21)/0.083*0.065/9.8, 1e-12)
	near(t, "battery current", float64(p.BatteryCurrent), 0.6*2*0.13/0.083/0.95+0.1, 1e-12)
}

// More duty, more volts: faster; more hill: slower and more current.
func TestSweeps(t *testing.T) {
	s := shunter()
	duty, err := s.ByDuty([]quantity.Fraction{0.3, 0.5, 0.7, 0.9})
	if err != nil {
		t.Fatal(err)
	}
	volts, err := s.ByVoltage([]quantity.Volts{22, 24, 26, 29})
	if err != nil {
		t.Fatal(err)
	}
	hill, err := s.ByGrade([]Grade{0, OneIn(80), OneIn(40), OneIn(25)})
	if err != nil {
		t.Fatal(err)
	}
	for i := 1; i < 4; i++ {
		if !(duty[i].Speed > duty[i-1].Speed && duty[i].BatteryCurrent > duty[i-1].BatteryCurrent) {
			t.Errorf("duty: %+v", duty[i])
		}
		if !(volts[i].Speed > volts[i-1].Speed) {
			t.Errorf("volts: %+v", volts[i])
		}
		if !(hill[i].Speed < hill[i-1].Speed && hill[i].BatteryCurrent > hill[i-1].BatteryCurrent) {
			t.Errorf("hill: %+v", hill[i])
		}
		// The motors' current does not follow the setting but the load.
		near(t, "motor current", float64(duty[i].MotorCurrent), float64(duty[0].MotorCurrent), 0.05)
	}
	if _, err := s.ByDuty([]quantity.Fraction{0.5, 1.5}); err == nil {
		t.Error("a duty of one and a half")
	}
}

// A battery of more volts: the current that a level way asks is almost the same,
// the speed rises nearly with the voltage.
func TestBatteryVoltage(t *testing.T) {
	s := shunter()
	s.Vehicle.DragArea, s.Supply.Resistance, s.Controller = 0, 0, Switched()
	a, _ := s.Operate()
	s.Supply.Rest *= 1.5
	b, _ := s.Operate()
	near(t, "current", float64(b.MotorCurrent), float64(a.MotorCurrent), 1e-12)
	near(t, "speed gained", float64(b.Speed-a.Speed), 13/0.083*0.065/9.8, 1e-12)
}

func TestSetupRefuses(t *testing.T) {
	for what, change := range map[string]func(*Setup){
		"duty":                   func(s *Setup) { s.Controller.Duty = 1.2 },
		"diameter":               func(s *Setup) { s.Vehicle.Wheel = 0 },
		"mass":                   func(s *Setup) { s.Vehicle.Mass = quantity.Kilograms(math.NaN()) },
		"battery's voltage":      func(s *Setup) { s.Supply.Rest = -12 },
		"gear's efficiency":      func(s *Setup) { s.Vehicle.GearEfficiency = 1.1 },
		"rolling":                func(s *Setup) { s.Way.Rolling = -0.01 },
		"motor's resistance":     func(s *Setup) { s.Vehicle.Motor.R = 0 },
		"on the battery side":    func(s *Setup) { s.Controller.BatteryLimit = 0.05 },
		"controller's own":       func(s *Setup) { s.Controller.Standing = 700 },
		"number of motors":       func(s *Setup) { s.Vehicle.Parallel = -1 },
		"size that exists":       func(s *Setup) { s.Vehicle.Ratio = 1e300 },
		"wagon's mass":           func(s *Setup) { s.Vehicle.Wagons = []Wagon{{Mass: -1}} },
		"temperature":            func(s *Setup) { s.Vehicle.Motor.Winding = -300 },
		"grade":                  func(s *Setup) { s.Way.Grade = Grade(math.Inf(1)) },
		"controller's efficienc": func(s *Setup) { s.Controller.Efficiency = 2 },
	} {
		s := shunter()
		change(&s)
		_, err := s.Operate()
		if e, ok := errors.AsType[*InputError](err); !ok || !strings.Contains(e.Error(), what) {
			t.Errorf("%s: %v", what, err)
		}
	}
}

// Ten thousand random vehicles: where there is a steady point, power in is power
// out to 1e-12 and pull is resistance; where the vehicle stands, its pull is no
// more than what holds it.
func TestRandomBalance(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 11))
	between := func(a, b float64) float64 { return a * math.Pow(b/a, r.Float64()) }
	states := map[State]int{}
	for range 10000 {
		s := randomSetup(r, between)
		p, err := s.Operate()
		if err != nil {
			t.Fatalf("%v for %+v", err, s)
		}
		states[p.State]++
		if math.IsNaN(float64(p.Speed)) {
			continue
		}
		balanced(t, string(p.State), p)
		// What goes through the controller loses 1 − η, in the direction it goes.
		through := float64(p.BatteryVolts) * float64(p.BatteryCurrent-s.Controller.Standing)
		group := float64(p.MotorVolts) * float64(max(s.Vehicle.Series, 1)) * float64(p.GroupCurrent)
		want := through * float64(s.Controller.Efficiency)
		if group < 0 {
			want = through / float64(s.Controller.Efficiency)
		}
		if math.Abs(group-want) > 1e-9*(math.Abs(group)+float64(p.BatteryVolts)*(1e-3+float64(s.Controller.Standing))) {
			t.Fatalf("the controller turns %g W into %g W, not %g W: %+v, %s", through, group, want, s, p.Limited)
		}
		if p.State == CannotStart || p.State == RollsBack {
			if p.Speed != 0 || float64(p.Pull) > math.Max(0, float64(p.Resistance.Sum())) {
				t.Fatalf("stands with more pull than resistance: %+v", p)
			}
			continue
		}
		scale := math.Abs(float64(p.Resistance.Rolling)) + math.Abs(float64(p.Resistance.Climbing)) + float64(p.Resistance.Air)
		if rest := math.Abs(float64(p.Pull - p.Resistance.Sum())); rest > 1e-9*scale {
			t.Fatalf("%g N of %g N out of balance: %+v", rest, scale, s)
		}
	}
	for _, s := range []State{Runs, Regenerates, Coasts, RunsAway, CannotStart, RollsBack} {
		if states[s] < 20 {
			t.Errorf("%s came up %d times only", s, states[s])
		}
	}
}

// The steady point is the only one because the motors' current never rises with
// their speed, whatever limits it.
func TestCurrentFalls(t *testing.T) {
	r := rand.New(rand.NewPCG(13, 17))
	between := func(a, b float64) float64 { return a * math.Pow(b/a, r.Float64()) }
	limits := map[Limit]int{}
	for range 3000 {
		s := randomSetup(r, between)
		if s.Check() != nil {
			continue
		}
		g := s.gauge()
		last := math.Inf(1)
		for n := range 60 {
			i, limit := s.current(g, 1.2*float64(s.Supply.Rest)*float64(n)/59)
			limits[limit]++
			if i > last+1e-9*math.Abs(last) {
				t.Fatalf("the current rises from %g A to %g A (%s): %+v", last, i, limit, s)
			}
			last = i
		}
	}
	for _, l := range []Limit{Unlimited, MotorSide, BatterySide, NoWayBack} {
		if limits[l] < 500 {
			t.Errorf("%q came up %d times only", l, limits[l])
		}
	}
}

func randomSetup(r *rand.Rand, between func(a, b float64) float64) Setup {
	s := Setup{
		Vehicle: Vehicle{
			Motor:    Motor{K: between(0.01, 0.5), R: quantity.Ohms(between(0.01, 2)), Friction: between(0.001, 0.3), Winding: 20},
			Parallel: r.IntN(4), Series: r.IntN(3), Ratio: quantity.Number(between(1, 60)), GearEfficiency: quantity.Fraction(0.4 + 0.6*r.Float64()),
			Wheel: quantity.Metres(between(0.05, 0.6)), Mass: quantity.Kilograms(between(10, 1000)), Payload: quantity.Kilograms(300 * r.Float64()), DragArea: 2 * r.Float64(),
		},
		Supply:     Supply{Rest: quantity.Volts(between(6, 60)), Resistance: quantity.Ohms(0.2 * r.Float64())},
		Controller: Controller{Duty: quantity.Fraction(r.Float64()), Efficiency: quantity.Fraction(0.7 + 0.3*r.Float64()), Standing: quantity.Amperes(r.Float64()), Regenerates: r.IntN(2) == 0},
		Way:        Way{Rolling: quantity.Number(between(0.001, 0.3)), Grade: Grade(0.5 * (r.Float64() - 0.5))},
	}
	if r.IntN(3) == 0 {
		s.Controller.MotorLimit = quantity.Amperes(between(5, 100))
	}
	if r.IntN(3) == 0 {
		s.Controller.BatteryLimit = quantity.Amperes(between(5, 100))
	}
	if r.IntN(4) == 0 {
		s.Vehicle.DragArea = 0
	}
	return s
}
