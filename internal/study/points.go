package study

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"voltwright/internal/circuit"
	"voltwright/internal/drivetrain"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/quantity"
	"voltwright/internal/runlog"
	"voltwright/internal/wiring"
)

// Wiring computes a version's wiring at the operating points that its spec and
// its runs give; nil where no wiring is stated.
func Wiring(v *journal.Version, results *Results) *wiring.Analysis {
	c, ok := Circuit(v, results.Prediction(v.Path()))
	if !ok {
		return nil
	}
	points, unknown := operatingPoints(v, c, results)
	w := wiring.Compute(c, points)
	w.Unsolved = append(w.Unsolved, unknown...)
	return w
}

// climbs is over what time the greatest mean current of a run stands for a
// climb. It is ours: common practice has no number.
const climbs quantity.Seconds = 60

// operatingPoints are the states in which the wiring is looked at: those that
// the maker states, and of the others each for which the spec and the runs have
// what it needs. A stated one stands in place of the one of its kind, or beside
// it if it moves contacts. For the rest it says what is missing.
func operatingPoints(v *journal.Version, c *circuit.Circuit, results *Results) ([]circuit.OperatingPoint, []wiring.Unsolved) {
	p := &pointMaker{version: v, circuit: c, results: results}
	var points []circuit.OperatingPoint
	var unknown []wiring.Unsolved
	add := func(op circuit.OperatingPoint, err error) {
		if err != nil {
			unknown = append(unknown, wiring.NotSolved(op.Name, err))
			return
		}
		points = append(points, op)
	}
	for _, kind := range []circuit.PointKind{circuit.Cruise, circuit.Hill, circuit.Stall, circuit.Braking, circuit.Charging, circuit.CutoutOpen, circuit.StopOpen} {
		var stated []*journal.WiringPoint
		replaced := false
		for i := range v.Wiring.Points {
			if w := &v.Wiring.Points[i]; w.PointKind() == kind {
				stated = append(stated, w)
				replaced = replaced || len(w.Open)+len(w.Closed)+len(w.OtherWay) == 0
			}
		}
		if kind == circuit.Braking && p.ofKind(circuit.BrakeResistor) == nil && len(stated) == 0 {
			continue // it brakes on no resistor
		}
		if !replaced {
			add(p.derived(kind))
		}
		for _, w := range stated {
			add(p.stated(w, kind))
		}
	}
	return points, unknown
}

// pointMaker makes operating points of one version.
type pointMaker struct {
	version *journal.Version
	circuit *circuit.Circuit
	results *Results
}

// derived makes a point of a kind from what the version knows.
func (p *pointMaker) derived(kind circuit.PointKind) (circuit.OperatingPoint, error) {
	op := circuit.OperatingPoint{Name: string(kind), Kind: kind, Parts: p.version.ContactsAtRest()}
	switch kind {
	case circuit.Cruise:
		run, mean := p.measured()
		if run == nil {
			return op, p.computed(&op, errors.New("no field run of this version has a mean current, and none is computed"), func(d *drivetrain.Performance) *drivetrain.SteadyState { return &d.Cruise })
		}
		op.Basis = "the mean current of the run " + run.Slug
		return op, p.drawing(&op, run, mean.MeanCurrent.Value, mean.MeanVoltage)
	case circuit.Hill:
		run, amps, volts := p.steepest()
		if run == nil {
			return op, p.computed(&op, errors.New("no field run of this version has a log of its current that lasts a minute, and no climb is computed"), func(d *drivetrain.Performance) *drivetrain.SteadyState { return d.Hill })
		}
		op.Lasts, op.Basis = climbs, "the minute with the greatest mean current of the run "+run.Slug
		return op, p.drawing(&op, run, amps, volts)
	case circuit.Stall:
		return op, p.stalled(&op)
	case circuit.Braking:
		return op, p.braking(&op)
	case circuit.Charging:
		return op, p.charging(&op, 0)
	case circuit.CutoutOpen:
		return op, p.opened(&op, circuit.Cutout, "there is no cutout in the wiring")
	default:
		return op, p.opened(&op, circuit.EmergencyStop, "there is no emergency stop in the wiring")
	}
}

// stated makes a point that the maker states; what it leaves open is as in the
// derived point of its kind.
func (p *pointMaker) stated(w *journal.WiringPoint, kind circuit.PointKind) (circuit.OperatingPoint, error) {
	op := circuit.OperatingPoint{Name: w.Name.Text, Kind: kind, Parts: p.version.ContactsAtRest(), Basis: "as the maker states it"}
	var err error
	switch {
	case kind == circuit.Charging:
		err = p.charging(&op, w.Current.Stated().OrZero())
	case kind == circuit.Braking || kind == circuit.CutoutOpen || kind == circuit.StopOpen || kind == circuit.Stall && !w.Current.Known():
		derived, missing := p.derived(kind)
		op.Parts, err = derived.Parts, missing
	case w.Current.Known():
		p.packs(&op, quantity.Missing[quantity.Volts]())
		err = p.motors(&op, w.Current.Value)
		p.controllers(&op, p.setting(nil))
	default:
		derived, missing := p.derived(kind)
		op.Parts, op.Lasts, err = derived.Parts, derived.Lasts, missing
	}
	if w.Lasts.Known() {
		op.Lasts = w.Lasts.Value
	}
	if w.Duty.Known() {
		p.controllers(&op, w.Duty.Stated())
	}
	stand := func(names []string, at circuit.Position) {
		for _, name := range names {
			s := op.Parts[name]
			s.Position = at
			op.Parts[name] = s
		}
	}
	stand(texts(w.Open), circuit.Opened)
	stand(texts(w.Closed), circuit.Usual)
	stand(texts(w.OtherWay), circuit.OtherWay)
	return op, err
}

// computed makes a point of what is computed of the drive, where that runs.
func (p *pointMaker) computed(op *circuit.OperatingPoint, otherwise error, which func(*drivetrain.Performance) *drivetrain.SteadyState) error {
	d := p.results.Drive(p.version.Path())
	if d == nil || d.Err != "" {
		return otherwise
	}
	course := which(d)
	if course == nil || !course.HasSpeed() || !course.MotorCurrent.Known() {
		return otherwise
	}
	op.Basis = "the computed current of each motor, " + course.Label
	if op.Kind == circuit.Hill {
		op.Lasts = climbs
	}
	p.packs(op, quantity.Missing[quantity.Volts]())
	p.controllers(op, quantity.Exact(course.Point.Duty))
	return p.motors(op, course.MotorCurrent.Value)
}

// measured is the newest field run with a mean current.
func (p *pointMaker) measured() (*journal.Run, *runlog.Result) {
	for _, run := range slices.Backward(p.version.Runs) {
		if m := p.results.Run(run.ID()); p.drives(run) && m != nil && m.MeanCurrent.Known() && m.MeanCurrent.Value > 0 {
			return run, m
		}
	}
	return nil, nil
}

// drives tells whether a run moved the vehicle.
func (p *pointMaker) drives(run *journal.Run) bool {
	return run.Type.Value == journal.Field && run.Conditions.Surface.Value != journal.WheelsUp
}

// steepest finds, over the field runs, the greatest mean current of any stretch
// of the log that is as long as a climb, and the mean voltage of that stretch.
func (p *pointMaker) steepest() (run *journal.Run, amps quantity.Amperes, volts quantity.Measured[quantity.Volts]) {
	volts = quantity.Missing[quantity.Volts]()
	for _, r := range p.version.Runs {
		m := p.results.Run(r.ID())
		if !p.drives(r) || m == nil || m.Series == nil {
			continue
		}
		if i, u, ok := greatestMean(m.Series, float64(climbs)); ok && quantity.Amperes(i) > amps {
			run, amps, volts = r, quantity.Amperes(i), quantity.Unsure(quantity.Volts(u))
		}
	}
	return run, amps, volts
}

// greatestMean is the greatest mean current over any stretch of a staircase that
// is as long as span and begins or ends where a row does, with the mean voltage
// over it. Between two such stretches the mean changes in a straight line, so
// none is greater. A stretch with a gap does not count.
func greatestMean(s *runlog.Series, span float64) (amps, volts float64, ok bool) {
	type sums struct{ at, charge, area float64 } // integrals up to a row's end
	var parts [][]sums                           // without gaps
	now := sums{at: s.Start}
	part := []sums{now}
	for k, end := range s.Time {
		step := end - now.at
		if math.IsNaN(s.Current[k]) || math.IsNaN(s.Voltage[k]) {
			parts, now = append(parts, part), sums{at: end}
			part = []sums{now}
			continue
		}
		now = sums{end, now.charge + s.Current[k]*step, now.area + s.Voltage[k]*step}
		part = append(part, now)
	}
	for _, rows := range append(parts, part) {
		at := func(t float64) (sums, bool) {
			i, _ := slices.BinarySearchFunc(rows, t, func(r sums, t float64) int { return cmp.Compare(r.at, t) })
			if i == len(rows) && t < rows[i-1].at+1e-6 { // rounding
				i, t = i-1, rows[i-1].at
			}
			if i == len(rows) || t < rows[0].at {
				return sums{}, false
			}
			if i == 0 {
				return rows[0], true
			}
			a, b := rows[i-1], rows[i]
			share := (t - a.at) / (b.at - a.at)
			return sums{t, a.charge + share*(b.charge-a.charge), a.area + share*(b.area-a.area)}, true
		}
		for _, r := range rows {
			for _, from := range [2]float64{r.at, r.at - span} {
				a, okA := at(from)
				b, okB := at(from + span)
				if mean := (b.charge - a.charge) / span; okA && okB && (!ok || mean > amps) {
					amps, volts, ok = mean, (b.area-a.area)/span, true
				}
			}
		}
	}
	return amps, volts, ok
}

// drawing gives the motors what they draw when the packs give a current: the
// power behind the controller at its setting, shared evenly.
func (p *pointMaker) drawing(op *circuit.OperatingPoint, run *journal.Run, amps quantity.Amperes, volts quantity.Measured[quantity.Volts]) error {
	setting := p.setting(run)
	motors := p.ofKind(circuit.Motor)
	if len(motors) == 0 {
		return errors.New("there is no motor in the wiring")
	}
	each := float64(amps) / float64(len(motors))
	if p.ofKind(circuit.Controller) != nil {
		if setting.Known() && setting.Value > 0 {
			each /= float64(setting.Value)
		}
		if c := p.version.Controller; c != nil && c.Efficiency.Known() && c.Efficiency.Value > 0 {
			each *= float64(c.Efficiency.Value)
		}
	}
	if volts.Known() {
		if r := Bank(p.version).Resistance(); r.Known() {
			volts.Value += quantity.Volts(float64(amps) * float64(r.Value))
		}
	}
	p.packs(op, volts)
	p.controllers(op, setting)
	return p.motors(op, quantity.Amperes(each))
}

// setting is the controller's setting on a run, or that of the version; missing
// where none is stated or where the controller does not work by duty.
func (p *pointMaker) setting(run *journal.Run) quantity.Measured[quantity.Fraction] {
	c := p.version.Controller
	switch {
	case c != nil && c.Kind.Set && c.Kind.Value != journal.PWM:
	case run != nil && run.Conditions.Setting.Known():
		return run.Conditions.Setting.Stated()
	case c != nil:
		return c.Setting.Stated()
	}
	return quantity.Missing[quantity.Fraction]()
}

// ofKind lists the names of the parts of a kind.
func (p *pointMaker) ofKind(kind circuit.Kind) []string {
	var all []string
	for i := range p.circuit.Parts {
		if p.circuit.Parts[i].Kind == kind {
			all = append(all, p.circuit.Parts[i].Name)
		}
	}
	return all
}

// change changes the state of every part of a kind.
func (p *pointMaker) change(op *circuit.OperatingPoint, kind circuit.Kind, how func(*circuit.Part, *circuit.State)) {
	for i := range p.circuit.Parts {
		if part := &p.circuit.Parts[i]; part.Kind == kind {
			s := op.Parts[part.Name]
			how(part, &s)
			op.Parts[part.Name] = s
		}
	}
}

// packs puts the packs at a voltage behind their resistance, that of the whole
// version; missing: at the nominal one.
func (p *pointMaker) packs(op *circuit.OperatingPoint, volts quantity.Measured[quantity.Volts]) {
	whole := p.version.Nominal()
	p.change(op, circuit.Pack, func(part *circuit.Part, s *circuit.State) {
		if volts.Known() && whole.Known() && whole.Value > 0 {
			s.Volts = part.Nominal * volts.Value / whole.Value
		}
	})
}

// controllers sets every controller; missing: nothing is stated, and it is on
// full. A setting of nothing is off.
func (p *pointMaker) controllers(op *circuit.OperatingPoint, setting quantity.Measured[quantity.Fraction]) {
	p.change(op, circuit.Controller, func(_ *circuit.Part, s *circuit.State) {
		if setting.Known() {
			s.Duty, s.Off = setting.Value, setting.Value == 0
		}
	})
}

func (p *pointMaker) motors(op *circuit.OperatingPoint, each quantity.Amperes) error {
	if p.ofKind(circuit.Motor) == nil {
		return errors.New("there is no motor in the wiring")
	}
	p.change(op, circuit.Motor, func(_ *circuit.Part, s *circuit.State) { s.Draws = each })
	return nil
}

// stalled holds the motors still, the packs full.
func (p *pointMaker) stalled(op *circuit.OperatingPoint) error {
	op.Basis = "full packs and the resistance of the motors"
	motors := p.ofKind(circuit.Motor)
	if len(motors) == 0 {
		return errors.New("there is no motor in the wiring")
	}
	var bad error
	p.change(op, circuit.Motor, func(m *circuit.Part, _ *circuit.State) {
		if !(m.Resistance > 0) && bad == nil {
			bad = fmt.Errorf("the resistance of the motor “%s” is not stated", m.Name)
		}
	})
	p.change(op, circuit.Pack, func(pack *circuit.Part, s *circuit.State) {
		if s.Volts = pack.Full; pack.Full == 0 && bad == nil {
			bad = fmt.Errorf("the voltage of “%s” at the end of charge is not known", pack.Name)
		}
	})
	if d := p.results.Drive(p.version.Path()); d != nil && d.Stall != nil && d.Stall.Time.Known() {
		if op.Lasts = d.Stall.Time.Value; d.Stall.Time.U > 0 {
			op.Lasts = max(0, op.Lasts-d.Stall.Time.Expanded())
		}
		op.Basis += ", until the copper of the motors is as hot as it may be"
	}
	p.controllers(op, p.setting(nil))
	if c := p.version.Controller; c != nil && c.Limit.Known() {
		op.Basis += ", up to the controller's limit"
		p.change(op, circuit.Controller, func(_ *circuit.Part, s *circuit.State) { s.Limit = c.Limit.Value })
	}
	return bad
}

// charging plugs a charger in: of a stated current, else of the charger that the
// version states, else of the one measured on the newest charge.
func (p *pointMaker) charging(op *circuit.OperatingPoint, amps quantity.Amperes) error {
	sockets := append(p.ofKind(circuit.ChargerSocket), p.ofKind(circuit.Charger)...)
	if len(sockets) == 0 {
		return errors.New("there is no charger socket in the wiring: the charger is put to the packs themselves, or the socket is not listed")
	}
	v := p.version
	if amps > 0 {
		op.Basis = "the charger as the maker states it"
	}
	if c := v.Charger; amps == 0 && c != nil && c.Current.Known() {
		amps, op.Basis = c.Current.Value, "the charger as stated"
	}
	for _, run := range slices.Backward(v.Runs) {
		if trial := predictRun(run, p.results.Run(run.ID())); amps == 0 && run.Type.Value == journal.Charge && trial.Charging > 0 {
			amps, op.Basis = trial.Charging, "the current of the charge "+run.Slug
		}
	}
	if amps == 0 {
		return errors.New("the charger's current is not known: no charge was measured, and the version states no `charger`")
	}
	full := quantity.Volts(0)
	for i := range v.Packs {
		if f := v.Packs[i].FullVoltage(); f.Known() && (full == 0 || f.Value < full) {
			full = f.Value
		}
	}
	if full == 0 {
		return errors.New("the voltage at the end of charge is not known")
	}
	for _, kind := range []circuit.Kind{circuit.ChargerSocket, circuit.Charger} {
		p.change(op, kind, func(_ *circuit.Part, s *circuit.State) {
			s.Current, s.Volts = amps/quantity.Amperes(len(sockets)), full
		})
	}
	p.change(op, circuit.Controller, func(_ *circuit.Part, s *circuit.State) { s.Off = true })
	p.packs(op, quantity.Missing[quantity.Volts]())
	return nil
}

// braking turns the motors as fast as full packs turn them unloaded at the controller's setting, with a brake resistor across
// them: the most that they can push into it.
func (p *pointMaker) braking(op *circuit.OperatingPoint) error {
	op.Basis = "the motors as fast as full packs turn them unloaded, the packs parted from them"
	if p.ofKind(circuit.BrakeResistor) == nil {
		return errors.New("there is no brake resistor in the wiring")
	}
	contacts := p.circuit.Brakes()
	if len(contacts) == 0 {
		return errors.New("no contact puts a brake resistor across a motor")
	}
	for name, at := range contacts {
		s := op.Parts[name]
		s.Position = at
		op.Parts[name] = s
	}
	full := quantity.Volts(0)
	for i := range p.circuit.Parts {
		if pack := &p.circuit.Parts[i]; pack.Kind == circuit.Pack && pack.Full > full {
			full = pack.Full
		}
	}
	if full == 0 {
		return errors.New("the voltage of the packs at the end of charge is not known")
	}
	if setting := p.setting(nil); setting.Known() {
		full *= quantity.Volts(setting.Value)
	}
	p.packs(op, quantity.Missing[quantity.Volts]())
	p.change(op, circuit.Controller, func(_ *circuit.Part, s *circuit.State) { s.Off = true })
	p.change(op, circuit.Motor, func(_ *circuit.Part, s *circuit.State) { s.BackEMF = full })
	return nil
}

// opened opens every cutout, or every stop, with the controller left at its setting.
func (p *pointMaker) opened(op *circuit.OperatingPoint, kind circuit.Kind, none string) error {
	if p.ofKind(kind) == nil {
		return errors.New(none)
	}
	op.Basis = "the controller left at its setting"
	p.packs(op, quantity.Missing[quantity.Volts]())
	p.controllers(op, p.setting(nil))
	p.change(op, circuit.Motor, func(m *circuit.Part, _ *circuit.State) {
		if !(m.Resistance > 0) { // nothing limits it: leave the controller off
			p.change(op, circuit.Controller, func(_ *circuit.Part, s *circuit.State) { s.Off = true })
		}
	})
	return nil
}

func texts(words []notes.Word) []string {
	var all []string
	for _, w := range words {
		all = append(all, w.Text)
	}
	return all
}
