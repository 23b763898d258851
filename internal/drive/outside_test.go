package drive

import (
	"errors"
	"math"
	"slices"
	"strconv"
	"testing"

	"voltwright/internal/quantity"
	"voltwright/internal/recorded"
)

// TestSurfacesArePublished holds every rolling coefficient to a second print, whose rows name their sources.
func TestSurfacesArePublished(t *testing.T) {
	rows := recorded.Rows(t, "testdata/reference/rolling-resistance.csv")
	found := 0
	for _, row := range rows[1:] {
		for _, s := range Surfaces() {
			if s.Title != row[0] {
				continue
			}
			found++
			low, _ := strconv.ParseFloat(row[1], 64)
			high, _ := strconv.ParseFloat(row[2], 64)
			if s.Low != low || s.High != high {
				t.Errorf("%s: %v to %v, published %v to %v", s.Title, s.Low, s.High, low, high)
			}
		}
	}
	if found < 22 {
		t.Errorf("%d surfaces were held", found)
	}
}

// TestChildrenArePublished: the greater of boys' and girls' 95th centiles of the CDC growth charts of 2000, by age.
func TestChildrenArePublished(t *testing.T) {
	column := func(path string, age, kg string) map[string]string {
		rows := recorded.Rows(t, path)
		at := func(name string) int { return slices.Index(rows[0], name) }
		out := map[string]string{}
		for _, row := range rows[1:] {
			v, err := strconv.ParseFloat(row[at(kg)], 64)
			if err != nil {
				t.Fatal(err)
			}
			out[row[at(age)]] = strconv.FormatFloat(v, 'f', 1, 64)
		}
		return out
	}
	ours, theirs := column("tables/child-mass.csv", "age", "kg"), column("testdata/reference/child-mass.csv", "age_years", "most_95_kg")
	read := tables().children
	if len(ours) < 17 || len(read) != len(ours) {
		t.Errorf("%d ages, %d read", len(ours), len(read))
	}
	for _, c := range read {
		if want := theirs[strconv.Itoa(c.Age)]; want != strconv.FormatFloat(float64(c.Mass), 'f', 1, 64) {
			t.Errorf("a child of %d weighs %v, published is %s", c.Age, c.Mass, want)
		}
	}
}

// TestSmallTables: IEC 60085 (classes of insulation); the UK Highway Code, rule 126, where
// 30 mph have 9 m of thinking distance, and AASHTO (2.5 s); NEOLS and MLES (speeds in mph); the Modelica Standard Library
// (magnets). Rows that come beside these have tests of their own.
func TestSmallTables(t *testing.T) {
	for name, limit := range map[string]float64{"A": 105, "E": 120, "B": 130, "F": 155, "H": 180} {
		if !slices.ContainsFunc(ThermalClasses(), func(c ThermalClass) bool { return c.Name == name && float64(c.Limit) == limit }) {
			t.Errorf("class %s is not for %v °C", name, limit)
		}
	}
	thinking := 9 / (30 * 0.44704)
	for _, seconds := range []float64{math.Round(100*thinking) / 100, 1.5, 2.5} {
		if !slices.ContainsFunc(Reactions(), func(r Reaction) bool { return float64(r.Time) == seconds }) {
			t.Errorf("nobody reacts in %v s", seconds)
		}
	}
	for _, mph := range []float64{5, 10} {
		if !slices.ContainsFunc(SpeedRules(), func(r SpeedRule) bool { return math.Abs(float64(r.Speed)*3.6-mph*1.609344) < 0.05 }) {
			t.Errorf("nobody keeps to %v mph", mph)
		}
	}
	for name, c := range map[string]float64{"ferrite": -0.2, "neodymium": -0.1, "samarium-cobalt-1-5": -0.04, "samarium-cobalt-2-17": -0.03} {
		m, err := MagnetNamed(name)
		if err != nil || math.Abs(100*m.Coefficient-c) > 1e-12 {
			t.Errorf("%s changes by %v %%/K: %v", name, 100*m.Coefficient, err)
		}
	}
}

// TestBrentsMethod: the roots of functions whose roots are known. Halving alone would take some 52 evaluations to the last
// binary digit; the method interpolates, and a straight line takes one (Brent 1973, chapter 4). The counts for the curves
// are those of this implementation: a slip in the interpolation still ends at the root, but late.
func TestBrentsMethod(t *testing.T) {
	for _, c := range []struct {
		f         func(float64) float64
		low, high float64
		root      float64
		calls     int
	}{
		{func(x float64) float64 { return math.Cos(x) - x }, 0, 2, 0.7390851332151607, 6},
		{func(x float64) float64 { return 2 - x*x }, 0, 5, math.Sqrt2, 11},
		{func(x float64) float64 { return math.Exp(-x) - 0.1 }, 0, 9, math.Log(10), 10},
		{func(x float64) float64 { return 1 - x*x*x }, 0, 4, 1, 11},
		{func(x float64) float64 { return 3 - x }, 0, 10, 3, 1},
		// Flat at the root, where only halving comes on: what may be interpolated is bounded for its sake.
		{func(x float64) float64 { return -math.Pow(x-1, 9) }, 0, 4, 1, 148},
		{func(x float64) float64 { return -math.Pow(x-1, 19) }, 0, 4, 1, 153},
	} {
		calls := 0
		f := func(x float64) float64 { calls++; return c.f(x) }
		root := crossing(f, c.low, c.high, c.f(c.low), c.f(c.high))
		if math.Abs(root-c.root) > 4e-16*c.root*2 || calls > c.calls {
			t.Errorf("the root %v is found at %v with %d evaluations, at most %d are needed", c.root, root, calls, c.calls)
		}
	}
	calls := 0 // a root at an end is found at once
	if root := crossing(func(x float64) float64 { calls++; return 1 - x }, 0, 1, 1, 0); root != 1 || calls != 0 {
		t.Errorf("the root at the end is found at %v with %d evaluations", root, calls)
	}
}

// TestEveryPlate: whatever is given of one and the same motor, either too little is known or the constants come out as they
// are; with one value wrong, the error names values that by themselves give what it says they give.
func TestEveryPlate(t *testing.T) {
	m := Motor{K: 0.083, R: 0.21, Friction: 0.083 * 1.6}
	const volts = 24
	rated := m.AtCurrent(volts, 11)
	all := [plateCount]float64{volts, float64(m.NoLoadSpeed(volts)), float64(m.NoLoadCurrent()), float64(m.R), float64(m.StallCurrent(volts)), float64(m.StallTorque(volts)),
		float64(rated.Out), float64(rated.Rotation), float64(rated.Current), float64(rated.Torque), float64(rated.Efficiency), m.K}
	place := map[string]int{}
	for i, w := range plateWords {
		place["the "+w.name] = i
	}
	found, refused := 0, 0
	var u [plateCount]float64
	for set := range 1 << (plateCount - 1) {
		x := [plateCount]float64{volts}
		for i := 1; i < plateCount; i++ {
			x[i] = math.NaN()
			if set>>(i-1)&1 == 1 {
				x[i] = all[i]
			}
		}
		got, err := solvePlate(x, u, 20)
		var missing *MissingError
		if errors.As(err, &missing) {
			continue
		}
		found++
		if err != nil || math.Abs(got.K/m.K-1) > 1e-9 || math.Abs(float64(got.R/m.R)-1) > 1e-9 || math.Abs(got.Friction/m.Friction-1) > 1e-8 {
			t.Fatalf("the values %011b give %+v: %v", set, got, err)
		}
		for wrong := 1; wrong < plateCount; wrong++ {
			y := x
			y[wrong] *= 1.25
			_, err := solvePlate(y, u, 20)
			var contradiction *ContradictionError
			if math.IsNaN(y[wrong]) || !errors.As(err, &contradiction) || contradiction.Unit == "A (the stall current)" {
				continue
			}
			refused++
			z := [plateCount]float64{volts}
			for i := 1; i < plateCount; i++ {
				z[i] = math.NaN()
			}
			for _, name := range contradiction.From {
				z[place[name]] = y[place[name]]
			}
			again, err := solvePlate(z, u, 20)
			if err != nil {
				t.Fatalf("%011b with %s wrong rests on %v, which do not give a motor: %v", set, plateWords[wrong].name, contradiction.From, err)
			}
			if i := place["the "+contradiction.What]; i == pNoLoadSpeed && math.Abs(float64(again.NoLoadSpeed(volts))-contradiction.Computed) > 1e-6*contradiction.Computed ||
				i == pResistance && math.Abs(float64(again.R)-contradiction.Computed) > 1e-9 || contradiction.Given != y[i] || math.Abs(y[i]/contradiction.Computed-1) < Agreement {
				t.Errorf("%v: by %v it is %v", contradiction, contradiction.From, again)
			}
		}
	}
	for wrong := 1; wrong < plateCount; wrong++ { // with everything given, each wrong value is noticed
		if wrong == pNoLoadCurrent {
			continue // a quarter of it is two hundredths of the speed
		}
		for _, by := range []float64{0.75, 1.25} {
			x := all
			x[wrong] *= by
			if _, err := solvePlate(x, u, 20); err == nil {
				t.Errorf("%s times %v passes", plateWords[wrong].name, by)
			}
		}
	}
	if found < 900 || refused < 3000 {
		t.Errorf("%d sets of values were enough, %d wrong ones were refused", found, refused)
	}
}

// TestAgreementOfPlates: a difference below the stated twentieth passes, one above does not, and a stated uncertainty comes on top.
func TestAgreementOfPlates(t *testing.T) {
	plate := func(stall, u float64) Plate {
		return Plate{Rated: quantity.Exact[quantity.Volts](24), NoLoadSpeed: quantity.Exact[quantity.RevolutionsPerMinute](2700), NoLoadCurrent: quantity.Exact[quantity.Amperes](1.6),
			Resistance: quantity.Exact[quantity.Ohms](0.24), StallCurrent: quantity.Of(quantity.Amperes(stall), quantity.Amperes(u))}
	}
	for _, c := range []struct {
		stall, u float64
		ok       bool
	}{{100, 0, true}, {104.9, 0, true}, {105.1, 0, false}, {95.1, 0, true}, {94.9, 0, false}, {108, 1.08, false}, {108, 1.7, true}} {
		if _, err := plate(c.stall, c.u).Motor(); (err == nil) != c.ok {
			t.Errorf("a stall current of %v A for 100 A: %v", c.stall, err)
		}
	}
}

// TestBoundsOfSetups: each value at its bound and past it.
func TestBoundsOfSetups(t *testing.T) {
	for name, c := range map[string]struct {
		set func(*Setup, float64)
		ok  []float64
		bad []float64
	}{
		"gear efficiency":      {func(s *Setup, v float64) { s.Vehicle.GearEfficiency = quantity.Fraction(v) }, []float64{1e-9, 0.5, 1}, []float64{0, 1.0001, -1, math.NaN()}},
		"ratio":                {func(s *Setup, v float64) { s.Vehicle.Ratio = quantity.Number(v) }, []float64{1e-9, 1e9}, []float64{0, 0.9e-9, 1.1e9, math.Inf(1)}},
		"mass":                 {func(s *Setup, v float64) { s.Vehicle.Mass = quantity.Kilograms(v) }, []float64{1}, []float64{0, -1}},
		"payload":              {func(s *Setup, v float64) { s.Vehicle.Payload = quantity.Kilograms(v) }, []float64{0, 1e-9, 1e9}, []float64{-1, 0.9e-9, 1.1e9}},
		"wagon":                {func(s *Setup, v float64) { s.Vehicle.Wagons = []Wagon{{Mass: quantity.Kilograms(v)}} }, []float64{0, 5}, []float64{-1}},
		"wagon's rolling":      {func(s *Setup, v float64) { s.Vehicle.Wagons = []Wagon{{Mass: 1, Rolling: quantity.Number(v)}} }, []float64{0, 1}, []float64{-0.1, 1.01}},
		"rest":                 {func(s *Setup, v float64) { s.Supply.Rest = quantity.Volts(v) }, []float64{1}, []float64{0}},
		"duty":                 {func(s *Setup, v float64) { s.Controller.Duty = quantity.Fraction(v) }, []float64{0, 1}, []float64{-0.01, 1.01}},
		"controller":           {func(s *Setup, v float64) { s.Controller.Efficiency = quantity.Fraction(v) }, []float64{0, 1}, []float64{-0.01, 1.01}},
		"rolling":              {func(s *Setup, v float64) { s.Way.Rolling = quantity.Number(v) }, []float64{0, 1}, []float64{-0.01, 1.01}},
		"grade":                {func(s *Setup, v float64) { s.Way.Grade = Grade(v) }, []float64{-10, 0, 10}, []float64{-10.1, 10.1}},
		"air":                  {func(s *Setup, v float64) { s.Way.Air = v }, []float64{0, 10}, []float64{-1, 10.1}},
		"drag area":            {func(s *Setup, v float64) { s.Vehicle.DragArea = v }, []float64{0, 1}, []float64{-1}},
		"series":               {func(s *Setup, v float64) { s.Vehicle.Series = int(v) }, []float64{0, 1, 2}, []float64{-1}},
		"parallel":             {func(s *Setup, v float64) { s.Vehicle.Parallel = int(v) }, []float64{0, 1, 2}, []float64{-1}},
		"standing":             {func(s *Setup, v float64) { s.Supply = Supply{24, 1}; s.Controller.Standing = quantity.Amperes(v) }, []float64{0, 23.9}, []float64{24, -1}},
		"limit of the battery": {func(s *Setup, v float64) { s.Controller.Standing, s.Controller.BatteryLimit = 1, quantity.Amperes(v) }, []float64{0, 1.01}, []float64{1, 0.5}},
		"winding":              {func(s *Setup, v float64) { s.Vehicle.Motor.Winding = quantity.Celsius(v) }, []float64{-234.5, 20}, []float64{-234.6}},
		"friction":             {func(s *Setup, v float64) { s.Vehicle.Motor.Friction = v }, []float64{0, 0.1}, []float64{-0.1}},
	} {
		for _, v := range c.ok {
			s := shunter()
			c.set(&s, v)
			if err := s.Check(); err != nil {
				t.Errorf("%s of %v: %v", name, v, err)
			}
		}
		for _, v := range c.bad {
			s := shunter()
			c.set(&s, v)
			if err := s.Check(); err == nil {
				t.Errorf("%s of %v passes", name, v)
			}
		}
	}
}

// TestNothingDrives: without forces nothing begins to move, and what moves without forces needs no current (Newton's first law).
func TestNothingDrives(t *testing.T) {
	s := shunter()
	s.Vehicle.Motor.Friction, s.Vehicle.DragArea, s.Way = 0, 0, Way{}
	s.Vehicle.Wagons = nil
	p, err := s.AtSpeed(2)
	if err != nil || p.State != Runs || p.GroupCurrent != 0 || math.Abs(float64(p.Pull)) > 1e-9 {
		t.Errorf("rolling on without friction: %+v, %v", p, err)
	}
	s.Controller.Duty = 0
	p, err = s.Operate()
	if err != nil || p.State != CannotStart || p.Speed != 0 {
		t.Errorf("a setting of nothing: %+v, %v", p, err)
	}
	if !math.IsNaN(float64(p.PerDistance())) || !math.IsNaN(float64(p.Efficiency())) || p.Moves() {
		t.Error("what stands has an energy for the distance, or an efficiency")
	}
	l := referenceMotor.AtCurrent(0, 0.5) // less than its friction, and no voltage: turned from outside
	if !math.IsNaN(float64(l.Efficiency)) {
		t.Errorf("without power in there is an efficiency of %v", l.Efficiency)
	}
	if held := (Motor{K: 0.1, R: 1, Friction: 5}); held.StallTorque(24) != 0 || held.NoLoadSpeed(24) != 0 || held.MostPower(24) != 0 {
		t.Error("a motor that its friction holds turns")
	}
	s = shunter()
	s.Vehicle.Motor.Friction = 1e6
	if out, err := s.Stall(nil); err != nil || out.Pull != 0 {
		t.Errorf("motors that their friction holds pull with %v N: %v", out.Pull, err)
	}
}

// TestBrakesOnAHill: Newton's second law, with the brake too weak, just strong enough and stronger.
func TestBrakesOnAHill(t *testing.T) {
	s := shunter()
	s.Vehicle.DragArea, s.Way = 0, Way{Grade: -0.05}
	s.Vehicle.Wagons = nil
	mass := float64(s.Vehicle.TotalMass())
	pull := mass * gravity * 0.05 / math.Hypot(1, 0.05)
	var none *NoStopError
	if _, err := s.Stop(2, Brake{Force: Newtons(pull / 2)}); !errors.As(err, &none) || math.Abs(none.Net+pull/2/mass) > 1e-12 {
		t.Errorf("half of what holds it: %v", err)
	}
	stop, err := s.Stop(2, Brake{Force: Newtons(3 * pull), Reaction: 1.5})
	a := 2 * pull / mass
	if err != nil || math.Abs(float64(stop.Braking)-2*2/a/2) > 1e-9 || stop.Reacting != 3 || math.Abs(float64(stop.Time)-1.5-2/a) > 1e-9 || math.Abs(stop.Deceleration-a) > 1e-12 || stop.Slides {
		t.Errorf("three times what holds it: %+v, %v", stop, err)
	}
	// s = v²/(2a), a = (F − F₀)/m: u(s)/s = u(F)/(F − F₀), here of the force alone; and of the reaction v·u(t).
	g := NoneGiven(s)
	answers, err := g.Stop(quantity.Exact[quantity.MetresPerSecond](2), GivenBrake{Deceleration: quantity.Missing[quantity.Number](), Force: quantity.Of(quantity.Number(3*pull), quantity.Number(pull/100)),
		Reaction: quantity.Of[quantity.Seconds](1.5, 0.1)})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "u of braking", float64(answers.Braking.U), float64(stop.Braking)/200, 1e-5)
	near(t, "u of reacting", float64(answers.Reacting.U), 0.2, 1e-6)
	near(t, "u of both", float64(answers.Distance.U), math.Hypot(0.2, float64(stop.Braking)/200), 1e-5)
	answers, err = g.Stop(quantity.Of[quantity.MetresPerSecond](2, 0.02), GivenBrake{Force: quantity.Missing[quantity.Number](), Reaction: quantity.Missing[quantity.Seconds](), Deceleration: quantity.Exact[quantity.Number](3)})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "u of braking from a speed that is not sure", float64(answers.Braking.U), 0.02*float64(answers.Braking.Value), 1e-5)
}

// TestGradesAsWritten: the definition of each form, both ways, and what is none.
func TestGradesAsWritten(t *testing.T) {
	for text, want := range map[string]float64{"1 in 60": 1. / 60, "1:60 down": -1. / 60, "2 %": 0.02, "-2 %": -0.02, "−3%": -0.03, "3 % up": 0.03, "level": 0, "flat": 0, "45°": 1, "45 degrees down": -1, "89°": math.Tan(89 * math.Pi / 180), "0 %": 0} {
		g, err := ParseGrade(text)
		if err != nil || math.Abs(float64(g)-want) > 1e-12*math.Abs(want)+1e-15 {
			t.Errorf("%s is %v, want %v: %v", text, float64(g), want, err)
		}
	}
	for _, text := range []string{"89.5°", "1 in 0", "-2 % down", "-1 in -60", "steep", "%", "2", ""} {
		if g, err := ParseGrade(text); err == nil {
			t.Errorf("%q is taken for %v", text, float64(g))
		}
	}
	for g, want := range map[Grade]string{0: "level", 0.02: "1 in 50 up (2 %)", -0.04: "1 in 25 down (-4 %)"} {
		if got := g.String(); got != want {
			t.Errorf("%v is written %s", float64(g), got)
		}
	}
	if a := Grade(1).Angle(); math.Abs(a-45) > 1e-12 || OneIn(-40) != -0.025 {
		t.Errorf("1 in 1 is %v°", a)
	}
}

// TestGivenValuesArePutIn: each value that is given stands in the setup that is computed with, and one that is not leaves the base's.
func TestGivenValuesArePutIn(t *testing.T) {
	base := shunter()
	for name, c := range map[string]struct {
		give func(*Given, float64)
		get  func(Setup) float64
	}{
		"ratio":     {func(g *Given, v float64) { g.Ratio = quantity.Exact(quantity.Number(v)) }, func(s Setup) float64 { return float64(s.Vehicle.Ratio) }},
		"gear":      {func(g *Given, v float64) { g.GearEfficiency = quantity.Exact(quantity.Fraction(v)) }, func(s Setup) float64 { return float64(s.Vehicle.GearEfficiency) }},
		"wheel":     {func(g *Given, v float64) { g.Wheel = quantity.Exact(quantity.Metres(v)) }, func(s Setup) float64 { return float64(s.Vehicle.Wheel) }},
		"mass":      {func(g *Given, v float64) { g.Mass = quantity.Exact(quantity.Kilograms(v)) }, func(s Setup) float64 { return float64(s.Vehicle.Mass) }},
		"payload":   {func(g *Given, v float64) { g.Payload = quantity.Exact(quantity.Kilograms(v)) }, func(s Setup) float64 { return float64(s.Vehicle.Payload) }},
		"rolling":   {func(g *Given, v float64) { g.Rolling = quantity.Exact(quantity.Number(v)) }, func(s Setup) float64 { return float64(s.Way.Rolling) }},
		"grade":     {func(g *Given, v float64) { g.Grade = quantity.Exact(quantity.Number(v)) }, func(s Setup) float64 { return float64(s.Way.Grade) }},
		"drag area": {func(g *Given, v float64) { g.DragArea = quantity.Exact(quantity.Number(v)) }, func(s Setup) float64 { return s.Vehicle.DragArea }},
		"rest":      {func(g *Given, v float64) { g.Rest = quantity.Exact(quantity.Volts(v)) }, func(s Setup) float64 { return float64(s.Supply.Rest) }},
		"supply":    {func(g *Given, v float64) { g.Supply = quantity.Exact(quantity.Ohms(v)) }, func(s Setup) float64 { return float64(s.Supply.Resistance) }},
		"leads":     {func(g *Given, v float64) { g.MotorLeads = quantity.Exact(quantity.Ohms(v)) }, func(s Setup) float64 { return float64(s.MotorLeads) }},
		"duty":      {func(g *Given, v float64) { g.Duty = quantity.Exact(quantity.Fraction(v)) }, func(s Setup) float64 { return float64(s.Controller.Duty) }},
	} {
		g := NoneGiven(base)
		s, err := g.Setup()
		if err != nil || c.get(s) != c.get(base) {
			t.Errorf("%s: %v without being given, %v in the base: %v", name, c.get(s), c.get(base), err)
		}
		c.give(&g, 0.123)
		if s, err = g.Setup(); err != nil || c.get(s) != 0.123 {
			t.Errorf("%s: %v where 0.123 is given: %v", name, c.get(s), err)
		}
	}
	g := NoneGiven(base)
	g.Plate = Plate{Rated: quantity.Exact(quantity.Volts(24)), Constant: quantity.Exact(quantity.Number(0.083)), Resistance: quantity.Exact(quantity.Ohms(0.21)), NoLoadCurrent: quantity.Exact(quantity.Amperes(1.6)), Winding: 31}
	s, err := g.Setup()
	if m := s.Vehicle.Motor; err != nil || m.K != 0.083 || m.R != 0.21 || math.Abs(m.Friction-0.083*1.6) > 1e-15 || m.Winding != 31 {
		t.Errorf("%+v, %v", m, err)
	}
	g.Plate.Frictionless = true
	if s, err = g.Setup(); err != nil || s.Vehicle.Motor.Friction != 0 {
		t.Errorf("%+v, %v", s.Vehicle.Motor, err)
	}
}

// TestThereAndBack: a route over a hill, each figure the sum of its stretches as they are computed one by one; what goes up comes down.
func TestThereAndBack(t *testing.T) {
	s := shunter()
	route := []Stretch{{Length: 100, Way: Way{Rolling: 0.01}}, {Length: 60, Way: Way{Rolling: 0.01, Grade: 0.02}}, {Length: 60, Way: Way{Rolling: 0.01, Grade: -0.02}, Speed: 1.5}}
	j, err := s.Travel(route)
	if err != nil {
		t.Fatal(err)
	}
	var out, back, heat, seconds, motor, drawn float64
	for n, stretch := range route {
		at := s
		at.Way = stretch.Way
		p, err := at.Operate()
		if stretch.Speed > 0 {
			p, err = at.AtSpeed(stretch.Speed)
		}
		if err != nil {
			t.Fatal(err)
		}
		dt := float64(stretch.Length) / float64(p.Speed)
		near(t, "time of a leg", float64(j.Legs[n].Time), dt, 1e-12)
		seconds += dt
		e := float64(p.Power.Battery) * dt / 3600
		near(t, "energy of a leg", float64(j.Legs[n].Energy), e, 1e-12)
		out, back = out+max(e, 0), back-min(e, 0)
		heat += float64(p.Power.MotorHeat()) * dt / 3600
		motor, drawn = max(motor, math.Abs(float64(p.MotorCurrent))), max(drawn, float64(p.BatteryCurrent))
	}
	near(t, "out", float64(j.Out), out, 1e-12)
	near(t, "back", float64(j.Back), back, 1e-12)
	near(t, "heat", float64(j.Heat), heat, 1e-12)
	near(t, "time", float64(j.Time), seconds, 1e-12)
	near(t, "most in a motor", float64(j.MostMotor), motor, 1e-12)
	near(t, "most from the battery", float64(j.MostDrawn), drawn, 1e-12)
	height := 60 * 0.02 / math.Hypot(1, 0.02)
	near(t, "up", float64(j.ClimbedUp), height, 1e-12)
	near(t, "down", float64(j.ClimbedOff), height, 1e-12)
	near(t, "length", float64(j.Length), 220, 0)
	near(t, "for the distance", float64(j.PerDistance()), (out-back)/0.22, 1e-12)
	near(t, "mean speed", float64(j.MeanSpeed()), 220/seconds, 1e-12)
	if _, err := s.Travel(nil); err == nil {
		t.Error("no way is driven")
	}
	if _, err := s.Travel([]Stretch{{Length: 0}}); err == nil {
		t.Error("a stretch without length is driven")
	}
	p, err := s.Operate()
	if err != nil {
		t.Fatal(err)
	}
	r := p.RangeOn(100)
	near(t, "lasts", float64(r.Time), 3600*100/float64(p.Power.Battery), 1e-12)
	near(t, "as far", float64(r.Distance), float64(r.Time)*float64(p.Speed), 1e-12)
	for text, want := range map[string]float64{"2 in 60 down": -2. / 60, "3:200": 0.015} {
		if g, err := ParseGrade(text); err != nil || math.Abs(float64(g)-want) > 1e-15 {
			t.Errorf("%s is %v: %v", text, float64(g), err)
		}
	}
	// The steepest it starts on: there the pull at a stand is what the way asks for, by the sum of forces.
	st, err := s.Start()
	if err != nil {
		t.Fatal(err)
	}
	steep := s.Way
	steep.Grade = st.SteepestGrade
	near(t, "steepest", float64(s.Vehicle.Resistance(steep, 0).Sum()), float64(st.Pull), 1e-9)
	near(t, "surplus", float64(st.Surplus), float64(st.Pull)-float64(s.Vehicle.Resistance(s.Way, 0).Sum()), 1e-9)
	near(t, "nine tenths", float64(st.Reached), 0.9*float64(p.Speed), 1e-12)
	// By small steps of Newton's second law.
	v, at, way, joules := 0.0, 0.0, 0.0, 0.0
	g := s.gauge()
	const dt = 1e-4
	for v < float64(st.Reached) {
		a := (s.push(g, v) - float64(s.Vehicle.Resistance(s.Way, quantity.MetresPerSecond(v)).Sum())) / float64(s.Vehicle.TotalMass())
		joules += float64(s.moving(g, v).Power.Battery) * dt
		way += v * dt
		v += a * dt
		at += dt
	}
	near(t, "time to it", float64(st.Time), at, 1e-3)
	near(t, "way to it", float64(st.Distance), way, 1e-3)
	near(t, "energy to it", 3600*float64(st.Energy), joules, 1e-3)
}

// TestSpeedsInBothUnits: a rule that is written in miles an hour and in kilometres an hour says one thing (1 mi = 1.609344 km), to the digits written;
// and what is left of a balance is the battery's power less every other, each once.
func TestSpeedsInBothUnits(t *testing.T) {
	rows := recorded.Rows(t, "tables/speeds.csv")
	kmh, mph := slices.Index(rows[0], "km/h"), slices.Index(rows[0], "mph")
	read := SpeedRules()
	for n, row := range rows[1:] {
		v, err := strconv.ParseFloat(row[kmh], 64)
		if err != nil {
			continue
		}
		near(t, row[0], float64(read[n].Speed), v/3.6, 1e-12)
		if miles, err := strconv.ParseFloat(row[mph], 64); err == nil && math.Abs(miles*1.609344-v) > 0.051 {
			t.Errorf("%s: %v mph are not %v km/h", row[0], miles, v)
		}
	}
	p := Powers{Battery: 1000, Controller: 1, Leads: 2, Copper: 4, Drag: 8, Gear: 16, Rolling: 32, Climbing: 64, Air: 128, Brakes: 256}
	if got := p.Unbalanced(); got != 1000-511 {
		t.Errorf("%v W are left", got)
	}
	if got := p.MotorHeat(); got != 12 {
		t.Errorf("%v W warm the motors", got)
	}
}
