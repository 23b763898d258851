package runlog

import (
	"fmt"
	"math"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// Reading is one row of hand-noted readings. What was not read is NaN.
type Reading struct {
	At          quantity.Seconds // since the start of the run; needed
	Voltage     quantity.Volts
	Current     quantity.Amperes // positive on discharge
	Temperature quantity.Celsius
	Speed       quantity.MetresPerSecond
	Distance    quantity.Metres
	Span        finding.Span // where it was written
}

// NewReading is a Reading of which only the time is known.
func NewReading(at quantity.Seconds) Reading {
	nan := math.NaN()
	return Reading{At: at, Voltage: quantity.Volts(nan), Current: quantity.Amperes(nan), Temperature: quantity.Celsius(nan),
		Speed: quantity.MetresPerSecond(nan), Distance: quantity.Metres(nan)}
}

// FromReadings gives what hand-noted readings give. Straight lines join them. What the current did between two readings is
// not known: it is taken to have stayed between them, so each interval errs by at most half their difference (rectangular), and
// where they differ in sign by what either would have brought on its side;
// and by readingsDrift of the current, as a reading is one moment of a load that varies. The intervals can err for one
// reason, such as a maker who reads when the load is heaviest, so these half-widths add up.
//
// Readings do not show stops, steps of the current, or a peak between two of them, and the result says so.
func FromReadings(readings []Reading, o Options) (*Result, []finding.Finding) {
	r := newResult(EvidenceReadings)
	var found []finding.Finding
	var rows []Reading
	for _, x := range readings {
		switch {
		case !usable(float64(x.At)):
			r.Skipped++ // a journal's readings have a time, or the note that lacks it is an error
		case len(rows) > 0 && x.At < rows[len(rows)-1].At:
			found = append(found, finding.Finding{Rule: "reading-out-of-order", Level: finding.Error, Span: x.Span,
				Text:   fmt.Sprintf("this reading is at %s, before the one above it at %s; it is left out", plain(float64(x.At), quantity.Time), plain(float64(rows[len(rows)-1].At), quantity.Time)),
				Remedy: "put the readings in the order of time"})
			r.Skipped++
		default:
			rows = append(rows, clean(x))
		}
	}
	r.Rows = len(rows)
	if len(rows) == 0 {
		r.missAll("There is no reading to use.")
		return r, found
	}
	s := sparse{o: &o, rows: rows, r: r}
	s.times()
	s.counts()
	s.voltages()
	s.cutout()
	s.travel()
	s.phases()
	r.finish(&o)
	s.traces()
	return r, found
}

// Rules for readings; our own choice, common practice, no source.
const (
	readingsDrift = 0.10 // part by which the current may have been off its two readings, half-width
	handTiming    = 2.0  // s, half-width: reading a clock and a display is not one moment
)

// clean turns what cannot be a value into no value.
func clean(x Reading) Reading {
	for _, v := range []*float64{(*float64)(&x.Voltage), (*float64)(&x.Current), (*float64)(&x.Temperature), (*float64)(&x.Speed), (*float64)(&x.Distance)} {
		if !usable(*v) {
			*v = math.NaN()
		}
	}
	return x
}

// sparse works on a handful of readings, all of which it holds.
type sparse struct {
	o    *Options
	rows []Reading
	r    *Result
}

// column gives the times and values of the readings that have one.
func (s *sparse) column(get func(*Reading) float64) (t, y []float64) {
	for k := range s.rows {
		if v := get(&s.rows[k]); !math.IsNaN(v) {
			t, y = append(t, float64(s.rows[k].At)), append(y, v)
		}
	}
	return t, y
}

func voltageOf(x *Reading) float64     { return float64(x.Voltage) }
func currentOf(x *Reading) float64     { return float64(x.Current) }
func temperatureOf(x *Reading) float64 { return float64(x.Temperature) }
func speedOf(x *Reading) float64       { return float64(x.Speed) }
func distanceOf(x *Reading) float64    { return float64(x.Distance) }

func (s *sparse) times() {
	r := s.r
	first, last := s.rows[0].At, s.rows[len(s.rows)-1].At
	r.Start, r.End = first, last
	r.Elapsed = quantity.Of(last-first, quantity.Seconds(handTiming*math.Sqrt(2.0/3)))
	r.note("elapsed-time", "From the first reading to the last; each is taken to be timed within 2 s.")
	r.Running = r.Elapsed
	r.note("running-time", "Readings do not show stops, so this is the elapsed time.")
	r.miss("stopped-time", "Readings do not show when the vehicle stood.")
}

// counts integrates the current, and its product with the voltage, by straight lines.
func (s *sparse) counts() {
	r := s.r
	t, i := s.column(currentOf)
	if len(i) == 0 {
		for _, name := range []string{"charge-out", "charge-in", "energy-out", "energy-in", "mean-current", "peak-current", "p95-current"} {
			r.miss(name, "No current was read.")
		}
		return
	}
	current, voltage := specOf(s.o, Current), specOf(s.o, Voltage)
	peak := i[0]
	for _, x := range i {
		if math.Abs(x) > math.Abs(peak) {
			peak = x
		}
	}
	r.PeakCurrent = quantity.Of(quantity.Amperes(peak), quantity.Amperes(current.single(peak)))
	r.note("peak-current", "The greatest that was read; between the readings it can have been more.")
	r.miss("p95-current", "Readings are too few to tell which current is exceeded 5 % of the time.")
	if len(i) < 2 {
		for _, name := range []string{"charge-out", "charge-in", "energy-out", "energy-in", "mean-current"} {
			r.miss(name, "The current was read only once.")
		}
		return
	}
	a := accounts{current: current, voltage: voltage}
	vt, v := s.column(voltageOf)
	var course, courseIn, courseE, courseEIn float64 // half-widths
	for k := 1; k < len(i); k++ {
		p := passage{at: 0.5,
			a: instant{t: t[k-1], i: i[k-1], v: interpolate(vt, v, t[k-1])},
			b: instant{t: t[k], i: i[k], v: interpolate(vt, v, t[k])}}
		a.add(&p)
		volts := math.Abs(p.a.v+p.b.v) / 2
		out, in := split(p.a.i, p.b.i, p.length())
		out = stayed(max(p.a.i, 0), max(p.b.i, 0), out, p.length())
		in = stayed(max(-p.a.i, 0), max(-p.b.i, 0), in, p.length())
		course, courseE = course+out, courseE+out*volts
		courseIn, courseEIn = courseIn+in, courseEIn+in*volts
	}
	a.charge.varOut[betweenRows], a.charge.varIn[betweenRows] = oneTerm(course*course/3), oneTerm(courseIn*courseIn/3)
	a.energy.varOut[betweenRows], a.energy.varIn[betweenRows] = oneTerm(courseE*courseE/3), oneTerm(courseEIn*courseEIn/3)
	r.Charge, r.Energy = a.chargeFlow(), a.energyFlow()
	bound := "Straight lines between the readings. The current is taken to have stayed between two readings, give or take 10 % of them."
	r.note("charge-out", bound)
	r.note("energy-out", bound)
	if len(v) == 0 {
		r.missEnergy("No voltage was read.")
	}
	if span := t[len(t)-1] - t[0]; span > 0 {
		net := quantity.Difference(r.Charge.Out, r.Charge.In)
		r.MeanCurrent = quantity.Of(quantity.Amperes(float64(net.Value)*secondsPerHour/span), quantity.Amperes(float64(net.U)*secondsPerHour/span))
	} else {
		r.miss("mean-current", "All currents were read at one time.")
	}
}

// stayed is by how much a charge that goes one way can be off what a straight line gives, as a half-width: the current can have
// been that of either reading all the while, give or take the drift.
func stayed(a, b, straight, d float64) float64 {
	return max(math.Abs(a*d-straight), math.Abs(b*d-straight)) + readingsDrift*(a+b)/2*d
}

// oneTerm is a total of one number.
func oneTerm(x float64) total { return total{sum: x} }

// interpolate joins points by straight lines and holds the ends; NaN without points.
func interpolate(t, y []float64, at float64) float64 {
	if len(t) == 0 {
		return math.NaN()
	}
	if at <= t[0] {
		return y[0]
	}
	for k := 1; k < len(t); k++ {
		if at <= t[k] {
			if t[k] == t[k-1] {
				return y[k]
			}
			return y[k-1] + (y[k]-y[k-1])*(at-t[k-1])/(t[k]-t[k-1])
		}
	}
	return y[len(y)-1]
}

func (s *sparse) voltages() {
	r := s.r
	t, v := s.column(voltageOf)
	r.miss("resistance", "Readings by hand are too far apart for a current step: the state of charge moves between them.")
	if len(v) == 0 {
		for _, name := range []string{"mean-voltage", "lowest-voltage", "start-voltage", "end-voltage", "sag"} {
			r.miss(name, "No voltage was read.")
		}
		return
	}
	spec := specOf(s.o, Voltage)
	reading := func(x float64) quantity.Measured[quantity.Volts] {
		return quantity.Of(quantity.Volts(x), quantity.Volts(spec.single(x)))
	}
	lowest := v[0]
	var area, span float64
	for k, x := range v {
		lowest = min(lowest, x)
		if k > 0 {
			area += (x + v[k-1]) / 2 * (t[k] - t[k-1])
			span += t[k] - t[k-1]
		}
	}
	r.StartVoltage, r.EndVoltage, r.LowestVoltage = reading(v[0]), reading(v[len(v)-1]), reading(lowest)
	r.note("lowest-voltage", "The lowest that was read.")
	switch {
	case r.Energy.Out.Known() && r.Charge.Out.Value > 0 && r.Charge.Out.Value >= r.Charge.In.Value:
		r.MeanVoltage = reading(float64(r.Energy.Out.Value) / float64(r.Charge.Out.Value))
	case r.Energy.In.Known() && r.Charge.In.Value > 0:
		r.MeanVoltage = reading(float64(r.Energy.In.Value) / float64(r.Charge.In.Value))
	case span > 0:
		r.MeanVoltage = reading(area / span)
		r.note("mean-voltage", "Over the time, as no charge weights it.")
	default:
		r.MeanVoltage = reading(v[0])
	}
	// Sag: a reading at rest followed by one under load, taken within settleLongest of each other.
	best := math.NaN()
	for k := 1; k < len(s.rows); k++ {
		a, b := &s.rows[k-1], &s.rows[k]
		if a.Current == 0 && b.Current > 0 && float64(b.At-a.At) <= settleLongest {
			if fall := float64(a.Voltage - b.Voltage); fall > 0 && !(fall <= best) {
				best = fall
			}
		}
	}
	if math.IsNaN(best) {
		r.miss("sag", "No reading at rest is followed within 10 s by one under load.")
		return
	}
	r.Sag = quantity.Of(quantity.Volts(best), quantity.Volts(spec.difference(best)))
}

// cutout reads the opening from readings that hold both voltage and current.
func (s *sparse) cutout() {
	r := s.r
	w := newCutoutWatch(s.o, specOf(s.o, Voltage))
	var before *instant
	for k := range s.rows {
		x := &s.rows[k]
		if math.IsNaN(float64(x.Current)) || math.IsNaN(float64(x.Voltage)) {
			continue
		}
		b := instant{t: float64(x.At), v: float64(x.Voltage), i: float64(x.Current)}
		if before == nil {
			w.begin(&b)
		} else {
			p := passage{a: *before, b: b, at: 0.5, kind: openEdge, loose: (b.t - before.t) / 2}
			w.pass(&p)
		}
		before = &b
	}
	if before == nil {
		r.missCutout("No reading holds both a voltage and a current.")
		return
	}
	r.Cutout = w.result(float64(r.Start), specOf(s.o, Current))
	if r.Cutout == nil {
		why := w.whyNone()
		if w.sawDischarge && w.endsLoaded {
			why = "The readings end under load, so no opening is seen."
		} else if !w.sawDischarge {
			why = "The readings hold no discharge."
		}
		r.missCutout(why)
	}
}

func (s *sparse) travel() {
	r := s.r
	if t, d := s.column(distanceOf); len(d) >= 2 {
		way := d[len(d)-1] - d[0]
		if way >= 0 {
			r.Distance = quantity.Of(quantity.Metres(way), quantity.Metres(specOf(s.o, Distance).difference(way)))
		} else {
			r.miss("distance", "The distance read at the end is less than at the start.")
		}
		if span := t[len(t)-1] - t[0]; span > 0 && way >= 0 {
			r.MeanSpeed = quantity.Of(quantity.MetresPerSecond(way/span), quantity.MetresPerSecond(math.Hypot(float64(r.Distance.U)/span, way/span*float64(r.Elapsed.U)/span)))
			r.note("mean-speed", "Stops included, as readings do not show them.")
		}
	}
	r.miss("distance", "The distance was not read at least twice.")
	r.miss("mean-speed", "The distance was not read at least twice.")
	if _, v := s.column(speedOf); len(v) > 0 {
		top := 0.0
		for _, x := range v {
			top = max(top, math.Abs(x))
		}
		r.TopSpeed = quantity.Of(quantity.MetresPerSecond(top), quantity.MetresPerSecond(specOf(s.o, Speed).single(top)))
		r.note("top-speed", "The greatest that was read.")
	}
	r.miss("top-speed", "No speed was read.")
	if _, c := s.column(temperatureOf); len(c) >= 2 {
		rise := 0.0
		for _, x := range c {
			rise = max(rise, x-c[0])
		}
		r.TemperatureRise = quantity.Of(quantity.Kelvins(rise), quantity.Kelvins(specOf(s.o, Temperature).difference(rise)))
	}
	r.miss("temperature-rise", "The temperature was not read at least twice.")
}

func (s *sparse) traces() {
	for _, c := range []struct {
		channel Channel
		get     func(*Reading) float64
	}{{Voltage, voltageOf}, {Current, currentOf}, {Temperature, temperatureOf}, {Speed, speedOf}, {Distance, distanceOf}} {
		t, y := s.column(c.get)
		if len(t) == 0 {
			continue
		}
		var h thinner
		for k := range t {
			h.add(t[k], y[k])
		}
		s.r.Traces = append(s.r.Traces, h.trace(c.channel))
	}
}

// phases says why readings do not part a charge.
func (s *sparse) phases() {
	why := "Its values were read by hand; when the charger went from held current to held voltage between two readings is not known."
	if !(s.r.Charge.In.Value > 10*s.r.Charge.Out.Value) {
		why = "It is no charge."
	}
	for _, name := range phaseFigures {
		s.r.miss(name, why)
	}
}
