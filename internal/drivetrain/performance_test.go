package drivetrain

import (
	"math"
	"strings"
	"testing"

	"voltwright/internal/battery"
	"voltwright/internal/drive"
	"voltwright/internal/quantity"
)

// garden is a small locomotive with everything stated and nothing uncertain but
// what is said here.
func garden(t *testing.T) Input {
	t.Helper()
	lfp := ironPhosphate(t)
	h := NothingStated()
	h.Plate = drive.Plate{Rated: quantity.Exact(quantity.Volts(24)), NoLoadSpeed: quantity.Exact(quantity.RevolutionsPerMinute(2800)),
		NoLoadCurrent: quantity.Exact(quantity.Amperes(1.2)), Resistance: quantity.Exact(quantity.Ohms(0.25))}
	h.Motors = 2
	h.Ratio, h.Wheel = quantity.Exact(quantity.Number(10)), quantity.Exact(quantity.Metres(0.13))
	h.Ground = "steel-rail"
	h.Vehicle, h.Payload = quantity.Exact(quantity.Kilograms(70)), quantity.Exact(quantity.Kilograms(200))
	h.Control, h.Setting, h.Efficiency = ByDuty, quantity.Exact(quantity.Fraction(0.75)), quantity.Exact(quantity.Fraction(0.95))
	hill := drive.OneIn(60)
	h.Hill = &hill
	h.Deceleration = quantity.Exact(quantity.MetresPerSecondSquare(0.5))
	full, _ := lfp.Curve().At(1)
	h.Supply = Supply{Full: 8 * full, Nominal: 8 * lfp.Nominal(), Opens: quantity.Exact(quantity.Volts(23)), Resistance: quantity.Exact(quantity.Ohms(0.02))}
	return h
}

func ironPhosphate(t *testing.T) *battery.Chemistry {
	t.Helper()
	lfp, err := battery.ChemistryNamed("lfp")
	if err != nil {
		t.Fatal(err)
	}
	return lfp
}

// typicalSupply gives a drive the resistance that is typical of 15 Ah of its cells.
func typicalSupply(t *testing.T, h *Input) {
	t.Helper()
	lfp := ironPhosphate(t)
	r, err := lfp.TypicalResistance(quantity.Exact(quantity.AmpereHours(15)))
	if err != nil {
		t.Fatal(err)
	}
	h.Supply.Resistance, h.Supply.Taken, h.Supply.Status = quantity.Scale(r, 8), "typical of "+lfp.Title+" of this capacity", lfp.Facts["ohmic"].Status
}

func kilograms(kg float64) quantity.Measured[quantity.Kilograms] {
	return quantity.Exact(quantity.Kilograms(kg))
}

// TestDriveBalances holds the steady state against the textbook's equations
// (curriculum.vexrobotics.com for the motor, the NPTEL sum for the way, power in is
// power out for the controller), written out here from the shaft to the pack.
func TestDriveBalances(t *testing.T) {
	h := garden(t)
	d := Compute(h)
	if d.Err != "" || d.NoSpeed != "" {
		t.Fatal(d.Err, d.NoSpeed)
	}
	const g, omega0 = 9.80665, 2800 * math.Pi / 30
	k := (24 - 1.2*0.25) / omega0
	const gearing, coefficient = 0.8, 0.015 // the middles of what is assumed
	for _, c := range append([]SteadyState{*d.Hill, *d.FullyOpen}, append(d.ByPayload, append(d.BySetting, d.Top, d.Cruise)...)...) {
		if !c.HasSpeed() {
			t.Errorf("%s: %s%s", c.Name, c.Words, c.Err)
			continue
		}
		slope := math.Atan(float64(c.Grade))
		pull := (70 + float64(c.Payload)) * g * (coefficient*math.Cos(slope) + math.Sin(slope))
		torque := pull * 0.065 / 10 / gearing / 2
		current := torque/k + 1.2
		shaft := float64(c.Speed.Value) / 0.065 * 10
		terminals := k*shaft + current*0.25
		drawn := float64(c.Setting) * 2 * current / 0.95
		pack := float64(c.Volts) - drawn*0.02
		near(t, c.Name+": current of a motor", float64(c.MotorCurrent.Value), current, 1e-6)
		near(t, c.Name+": current of the battery", float64(c.BatteryCurrent.Value), drawn, 1e-6)
		near(t, c.Name+": voltage of a motor", terminals, float64(c.Setting)*pack, 1e-6)
		near(t, c.Name+": heat", float64(c.MotorHeat.Value), 2*(current*current*0.25+k*1.2*shaft), 1e-6)
		near(t, c.Name+": efficiency", float64(c.Efficiency.Value), pull*float64(c.Speed.Value)/(pack*drawn), 1e-6)
		if !(c.Speed.U > 0) || !(c.BatteryCurrent.U > 0) {
			t.Errorf("%s: no uncertainty of speed or current", c.Name)
		}
	}
	// Held motors: V/(R/2 + D²·R(pack)/η) in the group, half of it in each.
	v := float64(d.FullVoltage) * 0.75
	near(t, "stall current", float64(d.Stall.Motor.Value), v/(0.125+0.75*0.75*0.02/0.95)/2, 1e-6)
	// A stop: reaction and v²/2a (AASHTO's form); downhill the hill takes from the brake.
	top := float64(d.Top.Speed.Value)
	near(t, "stopping distance", float64(d.Stops[0].Distance.Value), 1.5*top+top*top/2/0.5, 1e-6)
	down := 0.5 - g*math.Sin(math.Atan(1./60))
	near(t, "stopping distance downhill", float64(d.Stops[1].Distance.Value), 1.5*top+top*top/2/down, 1e-6)
	near(t, "kinetic energy, J", 3600*float64(d.KineticEnergy.Value), 270*top*top/2, 1e-9)
	// The climb that dry rails still hold: grip on the locomotive's own weight.
	near(t, "steepest start", float64(d.SteepestStart.Value), 0.25*70/270-0.015, 1e-9)
}

func near(t *testing.T, what string, got, want, relative float64) {
	t.Helper()
	if !(math.Abs(got-want) <= relative*math.Abs(want)) {
		t.Errorf("%s: %.9g, want %.9g", what, got, want)
	}
}

// TestImpliedRolling gives back the coefficient that a run was computed with.
func TestImpliedRolling(t *testing.T) {
	h := garden(t)
	h.Rolling = quantity.Exact(quantity.Number(0.0137))
	d := Compute(h)
	run := Run{ID: "r", Payload: h.Payload, Ground: "steel-rail", Setting: quantity.Missing[quantity.Fraction](), Volts: quantity.Exact(d.Cruise.Point.BatteryVolts),
		Top: d.Cruise.Speed, Mean: d.Cruise.Speed, PerDistance: quantity.Exact(d.Cruise.PerDistance.Value)}
	h.Runs = []Run{run}
	got := Compute(h).Runs[0]
	if got.Err != "" || got.ImpliedWhy != "" {
		t.Fatal(got.Err, got.ImpliedWhy)
	}
	near(t, "predicted speed", float64(got.Predicted.Value), float64(d.Cruise.Speed.Value), 1e-9)
	near(t, "rolling coefficient", float64(got.Implied.Value), 0.0137, 1e-6)
	if !(got.Implied.U > 0) || got.Top.Verdict != Within || got.Mean.Verdict != Within || got.PerDistance.Verdict != Within {
		t.Errorf("%+v", got)
	}
	// A run that was twice as fast, and one at half the speed: the verdicts turn.
	run.Top, run.Mean = quantity.Exact(2*d.Cruise.Speed.Value), quantity.Exact(d.Cruise.Speed.Value/2)
	h.Runs = []Run{run}
	if got = Compute(h).Runs[0]; got.Top.Verdict != Above || got.Mean.Verdict != Below {
		t.Errorf("top %s, mean %s", got.Top.Verdict, got.Mean.Verdict)
	}
	for _, energy := range []float64{0, -1} {
		none := run
		none.PerDistance = quantity.Exact(quantity.WattHoursPerKilometre(energy))
		h.Runs = []Run{none}
		if got = Compute(h).Runs[0]; !strings.HasPrefix(got.ImpliedWhy, "The run does not give the energy") || got.Implied.Known() {
			t.Errorf("%+v", got)
		}
	}
	none := run
	none.Mean = quantity.Exact(quantity.MetresPerSecond(0))
	h.Runs = []Run{none}
	if got = Compute(h).Runs[0]; !strings.HasPrefix(got.ImpliedWhy, "The run does not give its mean speed") || got.Implied.Known() {
		t.Errorf("%+v", got)
	}
	run.Top = quantity.Unsure(d.Cruise.Speed.Value) // nobody knows how well it was measured
	h.Runs = []Run{run}
	if got = Compute(h).Runs[0]; got.Top.Verdict != Unjudged || got.Top.Words == "" {
		t.Errorf("top %s: %q", got.Top.Verdict, got.Top.Words)
	}
}

func TestDriveSaysWhatIsMissing(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*Input)
		figure string
		want   string
	}{
		"no motor":       {func(h *Input) { h.NoMotor = "No motor is stated (motors)." }, "stall-current", "No motor is stated"},
		"no ratio":       {func(h *Input) { h.Ratio = quantity.Missing[quantity.Number]() }, "top-speed", "drive.ratio"},
		"no resistance":  {func(h *Input) { h.Plate.Resistance = quantity.Missing[quantity.Ohms]() }, "top-speed", "resistance"},
		"no surface":     {func(h *Input) { h.Ground = "" }, "top-speed", "drive.surface"},
		"loose soil":     {func(h *Input) { h.Ground = "loose-soil" }, "top-speed", "No rolling coefficient of loose soil"},
		"floor":          {func(h *Input) { h.Ground = "floor" }, "kinetic-energy", "No rolling coefficient of floor"},
		"no hill":        {func(h *Input) { h.Hill = nil }, "hill-speed", "drive.hill"},
		"too steep":      {func(h *Input) { g := drive.Grade(2); h.Hill = &g }, "hill-speed", "It rolls back"},
		"no brake":       {func(h *Input) { h.Deceleration = quantity.Missing[quantity.MetresPerSecondSquare]() }, "stopping-distance", "drive.braking"},
		"no copper":      {func(*Input) {}, "stall-time", "motors.copper"},
		"copper of none": {func(h *Input) { h.Copper = quantity.Exact(quantity.Kilograms(0)) }, "stall-current", "It could not be computed."},
		"no cutout":      {func(h *Input) { h.Supply.Opens = quantity.Missing[quantity.Volts]() }, "speed-at-cutout", "Nothing opens"},
		"weak brake":     {func(h *Input) { h.Deceleration = quantity.Exact(quantity.MetresPerSecondSquare(0.1)) }, "stopping-distance-downhill", "does not stop"},
		"too fast":       {func(h *Input) { h.Wanted = quantity.Exact(quantity.MetresPerSecond(9)) }, "setting-for-top-speed", "cannot be held"},
		"contradiction":  {func(h *Input) { h.Plate.StallCurrent = quantity.Exact(quantity.Amperes(30)) }, "top-speed", "is given as"},
		"no pack":        {func(h *Input) { h.Supply = NothingStated().Supply }, "top-speed", "No pack"},
	} {
		h := garden(t)
		c.change(&h)
		f, ok := Compute(h).Figure(c.figure)
		if !ok || f.Quantity.Known() || !strings.Contains(f.Quantity.Why(), c.want) {
			t.Errorf("%s: %s is %s, missing for %q; want %q", name, c.figure, f.Quantity.Or(quantity.Quantity{}).Rounded(), f.Quantity.Why(), c.want)
		}
	}
	// Held motors are computed without a way.
	h := garden(t)
	h.Ground = "loose-soil"
	if f, _ := Compute(h).Figure("stall-current"); !f.Quantity.Known() {
		t.Errorf("stall-current on loose soil: %s", f.Quantity.Why())
	}
}

// TestRollingIsSaid: what is taken on rails is said to be disputed, and a value that
// the maker states goes before any table.
func TestRollingIsSaid(t *testing.T) {
	d := Compute(garden(t))
	if d.Rolling.Disputed == "" || d.Rolling.Status != fromMemory || d.Rolling.Stated {
		t.Errorf("%+v", d.Rolling)
	}
	var full drive.Surface
	for _, r := range d.Rolling.Rows {
		if r.Name == "steel-rail" {
			full = r
		}
	}
	if full.High*5 > float64(d.Rolling.Taken.Value) {
		t.Errorf("full-size %g is not far from what is taken, %g", full.High, float64(d.Rolling.Taken.Value))
	}
	h := garden(t)
	h.Rolling = quantity.Exact(quantity.Number(0.02))
	if d = Compute(h); !d.Rolling.Stated || d.Rolling.Taken.Value != 0.02 || d.Rolling.Disputed != "" {
		t.Errorf("%+v", d.Rolling)
	}
	for _, a := range d.Assumed {
		if a.What == "rolling coefficient" {
			t.Errorf("a stated coefficient is listed as assumed: %+v", a)
		}
		if a.Source == "" || a.Status == "" || a.Words == "" {
			t.Errorf("an assumption without words, source or status: %+v", a)
		}
	}
}

// TestDrivenFigures: names are fixed, once each, and every formula has a Doc.
func TestDrivenFigures(t *testing.T) {
	docs := map[string]bool{}
	for _, x := range append(Docs(), drive.Docs()...) {
		docs[x.Name] = true
	}
	seen := map[string]bool{}
	for _, f := range Compute(garden(t)).Figures() {
		if seen[f.Name] || f.Label == "" || !docs[f.Formula] {
			t.Errorf("%s: twice, without a label, or its formula %q is not documented", f.Name, f.Formula)
		}
		seen[f.Name] = true
		if q, ok := f.Quantity.Get(); ok && (!q.Known() || q.Dimension != f.Dimension) {
			t.Errorf("%s: %s, of %s", f.Name, q.Rounded(), f.Dimension)
		}
	}
	for _, name := range []string{"top-speed", "cruise-current", "stall-current", "stall-time", "stopping-distance", "kinetic-energy"} {
		if !seen[name] {
			t.Errorf("no figure %s", name)
		}
	}
}

// TestWheelsSlipBeforeTheyAreHeld: on dry rails, where the held motors pull more than 0.25 of all the weight that may rest on them, and nowhere else.
func TestWheelsSlipBeforeTheyAreHeld(t *testing.T) {
	h := garden(t)
	h.Payload = quantity.Exact(quantity.Kilograms(20))
	p, err := h.prepare()
	if err != nil {
		t.Fatal(err)
	}
	g := p.given
	g.Rest = quantity.Exact(p.Supply.Full)
	s, err := g.Setup()
	if err != nil {
		t.Fatal(err)
	}
	held, err := s.Stall(nil)
	if err != nil {
		t.Fatal(err)
	}
	holds := float64(held.Pull) / 0.25 / 9.80665 // kg
	for part, slips := range map[float64]bool{0.97: true, 1.03: false} {
		h.Vehicle = quantity.Exact(quantity.Kilograms(part*holds - 20))
		if d := Compute(h); d.Stall == nil || strings.Contains(d.Stall.Words, "the wheels slip") != slips {
			t.Errorf("%.2f of the mass that just holds: %+v", part, d.Stall)
		}
	}
	h.Vehicle, h.Ground = quantity.Exact(quantity.Kilograms(0.97*holds-20)), "asphalt"
	if d := Compute(h); strings.Contains(d.Stall.Words, "slip") || !strings.Contains(d.Stall.Words, "nothing but resistance") {
		t.Errorf("%+v", d.Stall)
	}
	h.Limit = quantity.Exact(quantity.Amperes(20))
	if d := Compute(h); !strings.Contains(d.Stall.Words, "it is the controller's limit") {
		t.Errorf("%+v", d.Stall)
	}
}

// TestRunThatCannotBePredicted: where by what is computed it does not drive at all.
func TestRunThatCannotBePredicted(t *testing.T) {
	h := garden(t)
	steep := drive.Grade(2)
	h.Cruise = &steep
	h.Runs = []Run{{ID: "r", Payload: h.Payload, Setting: quantity.Exact(quantity.Fraction(0.6)), Volts: quantity.Missing[quantity.Volts](), Top: quantity.Exact(quantity.MetresPerSecond(1)), Mean: quantity.Missing[quantity.MetresPerSecond](), PerDistance: quantity.Missing[quantity.WattHoursPerKilometre]()}}
	got := Compute(h).Runs[0]
	if !strings.HasPrefix(got.Err, "By what is computed it rolls back") || got.Predicted.Known() || got.Current.Known() || got.Top.Verdict != Unjudged || got.Top.Words != "" || got.ImpliedWhy != "" || got.Setting != 0.6 || got.Payload != 200 {
		t.Errorf("%+v", got)
	}
}

// TestBoundsOfADrive: what is computed at the ends: a climb of nothing, one that it does not get up, coefficients beyond what is looked for.
func TestBoundsOfADrive(t *testing.T) {
	h := garden(t)
	level := drive.Grade(0)
	h.Hill = &level
	if d := Compute(h); len(d.Stops) != 1 || !d.Hill.HasSpeed() {
		t.Errorf("%+v", d.Stops)
	}
	h.Setting = quantity.Exact(quantity.Fraction(0.97))
	if d := Compute(h); d.FullyOpen == nil || d.FullyOpen.Setting != 1 || !(d.FullyOpen.Speed.Value > d.Top.Speed.Value) {
		t.Errorf("not quite open: %+v", d.FullyOpen)
	}
	steep := drive.Grade(2)
	h.Hill = &steep
	if d := Compute(h); d.Hill.HasSpeed() || d.Hill.Err != "" || len(d.Stops) != 2 {
		t.Errorf("%+v", d.Hill)
	}
	if (SteadyState{Err: "none", Answers: Compute(garden(t)).Top.Answers}).HasSpeed() {
		t.Error("a course that could not be computed goes")
	}
	h.Plate.Resistance = quantity.Missing[quantity.Ohms]()
	if d := Compute(h); !strings.HasSuffix(d.Err, "(under motors).") {
		t.Error(d.Err)
	}
	p, err := garden(t).prepare()
	if err != nil {
		t.Fatal(err)
	}
	s := p.setup
	s.Controller.Duty = 1
	s.Supply.Rest = 500 // so that it is not the voltage that ends it
	at := func(c float64) float64 {
		s := s
		s.Way.Rolling = quantity.Number(c)
		point, err := s.AtSpeed(0.5)
		if err != nil {
			t.Fatal(err)
		}
		return float64(point.PerDistance())
	}
	for _, c := range []float64{0.001, 0.01, 0.3, 0.59} {
		near(t, "implied", impliedRolling(s, 0.5, at(c)), c, 1e-9)
	}
	for _, energy := range []float64{at(0.61), 0.99 * at(0), 0} {
		if got := impliedRolling(s, 0.5, energy); !math.IsNaN(got) {
			t.Errorf("%g Wh/km come to a coefficient of %g", energy, got)
		}
	}
	s.Supply.Rest = 8 // a limit of the speed, and not of the energy
	if got := impliedRolling(s, 0.5, 1e4); !math.IsNaN(got) {
		t.Errorf("beyond what the voltage gives: %g", got)
	}
}

// A vehicle that does not move on the level starts on no climb.
func TestNoClimbForWhatStands(t *testing.T) {
	p, err := garden(t).prepare()
	if err != nil {
		t.Fatal(err)
	}
	p.setup.Way.Rolling = 50
	if grade, byGrip := p.steepest(); grade.Known() || byGrip {
		t.Errorf("%v, by grip: %t", grade, byGrip)
	}
}
