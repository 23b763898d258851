package runlog

import (
	"fmt"
	"math"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// Result ends the measurement.
func (m *Meter) Result() (*Result, []finding.Finding) {
	m.measure(true)
	m.joiner.flush()
	m.walker.finish()
	m.sag.close()
	r := newResult(EvidenceLog)
	r.Rows, r.Skipped = m.rows, m.skipped
	if m.rows == 0 {
		r.missAll("The log holds no samples.")
		return r, nil
	}
	r.Start, r.End = quantity.Seconds(m.first), quantity.Seconds(m.last)
	hasCurrent := m.walker.count > 0
	r.Parts, r.Several = m.cutter.parts()
	m.times(r, hasCurrent)
	if hasCurrent {
		m.accounts.end(&m.accounts.last)
		r.Charge, r.Energy = m.accounts.chargeFlow(), m.accounts.energyFlow()
		if !m.accounts.current.known {
			m.lastDigit(r)
		}
	}
	m.said = m.opinions.judge(r, m) // may widen charge and energy
	m.tellCauses(r)
	m.counts(r, hasCurrent)
	m.voltages(r, hasCurrent)
	m.opening(r, hasCurrent)
	m.travel(r)
	m.warmth(r)
	r.finish(&m.o)
	switch {
	case m.o.Part != "":
		r.Several = false
	case r.Several:
		r.missSeveral()
		m.said = append(m.said, severalParts(r.Parts, m.source, m.o.OneRun))
	}
	for _, c := range tracedChannels {
		if h := m.traces[c]; h != nil {
			r.Traces = append(r.Traces, h.trace(c))
		}
	}
	r.Series = m.reducedRun(r.Traces)
	r.charging()
	return r, m.findings()
}

// tellDigit is the part of a charge from which on it is said that the current's last digit leaves it open; our own choice.
const tellDigit = 0.003

// lastDigit adds to what the samples leave open the last digit in which the current is written, where no instrument says
// better: a steady current is rounded the same way in every row, so it does not average out (rectangular, half a digit).
func (m *Meter) lastDigit(r *Result) {
	charge := m.written.size() / math.Sqrt(12) * m.time.counted.value() / secondsPerHour
	volts := 0.0
	if m.voltage.span > 0 {
		volts = math.Abs(m.voltage.area.value() / m.voltage.span)
	}
	for _, side := range []struct {
		name  string
		value quantity.AmpereHours
	}{{"charge-out", r.Charge.Out.Value}, {"charge-in", r.Charge.In.Value}} {
		if part := quantity.CoverageFactor * charge / float64(side.value); part > tellDigit && side.value > r.Charge.Out.Value/100 && side.value > r.Charge.In.Value/100 {
			r.note(side.name, fmt.Sprintf("The log writes the current to %s, which alone leaves ±%.1f %%.", plain(m.written.size(), quantity.Current), 100*part))
		}
	}
	if r.Charge.Out.Value > 0 {
		m.widenBoth(r, false, lastDigits, charge, charge*volts)
	}
	if r.Charge.In.Value > 0 {
		m.widenBoth(r, true, lastDigits, charge, charge*volts)
	}
}

const (
	noCurrent = "The log has no current column."
	noVoltage = "The log has no voltage column."

	noDischarge = "The log holds no discharge worth the name."
)

// quartzRate is the half-width of the relative error of a logger's clock whose accuracy is not stated: 50 parts in a
// million, as a quartz that nobody has adjusted. Common practice, no source.
const quartzRate = 50e-6

// mostlyCharge says whether what little discharge there is can be noise around the zero of a charge.
func mostlyCharge(r *Result) bool { return r.Charge.Out.Value < r.Charge.In.Value/100 }

func (m *Meter) times(r *Result, hasCurrent bool) {
	clock := specOf(&m.o, Time)
	elapsed := m.last - m.first
	digit := max(m.grain.size(), m.digit)
	rate := quartzRate * elapsed / math.Sqrt(3)
	r.Elapsed = quantity.Of(quantity.Seconds(elapsed), quantity.Seconds(math.Hypot(math.Hypot(digit/math.Sqrt(6), rate), math.Hypot(m.loose[0], m.loose[1]))))
	if clock.known {
		r.Elapsed.U = quantity.Seconds(math.Hypot(clock.difference(elapsed), math.Hypot(m.loose[0], m.loose[1])))
	} else {
		r.note("elapsed-time", "The logger's clock is taken to run true within 50 parts in a million.")
	}
	w := m.stops.choose(m.last, m.flowed.exceededBy(m.flowed.weight/2), hasCurrent)
	if w == nil {
		r.Running, r.Stopped = r.Elapsed, quantity.Missing[quantity.Seconds]()
		r.miss("stopped-time", "The log has neither a speed nor a current column, so nothing tells when the vehicle stood.")
		r.note("running-time", "Nothing tells when the vehicle stood, so this is the elapsed time.")
		return
	}
	switch {
	case w == m.stops.bySpeed:
		r.IdleRule = fmt.Sprintf("The vehicle stands below %s on the speed column.", plain(standingSpeed, quantity.Speed))
	case len(m.stops.byCurrent) == 1:
		r.Idle = quantity.Amperes(w.threshold)
		r.IdleRule = fmt.Sprintf("The vehicle stands below %s, as stated.", plain(w.threshold, quantity.Current))
	default:
		r.Idle = quantity.Amperes(w.threshold)
		r.IdleRule = fmt.Sprintf("The vehicle stands below %s: the greatest of the steps 1, 2, 5 in each decade that is at most 5 %% of the current at or above which half of the charge flowed.", plain(w.threshold, quantity.Current))
	}
	r.Stops, r.StopCount = w.stops, w.count
	loose := math.Sqrt(w.loose.value())
	r.Stopped = quantity.Of(quantity.Seconds(w.stood.value()), quantity.Seconds(math.Sqrt(w.looseAll.value())))
	r.Running = quantity.Of(quantity.Seconds(elapsed-w.takenOut.value()), quantity.Seconds(math.Hypot(float64(r.Elapsed.U), loose)))
	r.note("stopped-time", r.IdleRule)
	if math.IsNaN(float64(m.o.PauseAfter)) {
		r.note("running-time", "No stop is taken out, as no pause-after is stated.")
	} else {
		r.note("running-time", fmt.Sprintf("Stops longer than %s are taken out.", plain(float64(m.o.PauseAfter), quantity.Time)))
	}
	if w.count > len(w.stops) {
		r.note("stopped-time", fmt.Sprintf("Only the first %d of %d stops are listed.", len(w.stops), w.count))
	}
}

func (m *Meter) counts(r *Result, hasCurrent bool) {
	r.Gaps, r.GapCount = m.gaps, m.gapCount
	if limit := m.walker.gapLimit; !math.IsNaN(limit) {
		r.GapRule = fmt.Sprintf("An interval longer than %s under load is not integrated across, as stated.", plain(limit, quantity.Time))
	} else {
		r.GapRule = "An interval under load that is longer than a minute and than twenty times the usual one is not integrated across."
	}
	if !hasCurrent {
		for _, name := range []string{"charge-out", "charge-in", "energy-out", "energy-in", "mean-current", "peak-current", "p95-current"} {
			r.miss(name, noCurrent)
		}
		return
	}
	if m.voltage.n == 0 {
		r.missEnergy(noVoltage)
	} else if m.accounts.withVoltage == 0 {
		r.missEnergy("No interval has both a voltage and a current at its ends.")
	}
	if m.accounts.open > 0 {
		r.note("charge-out", fmt.Sprintf("The log leaves open when between two samples the load changed at %d of %s.", m.accounts.open, plural(m.accounts.edges, "edge")))
	}
	if m.gapCount > 0 {
		text := fmt.Sprintf("Not integrated across %s; straight lines would have added %s.", plural(m.gapCount, "interval"), drawnAndPut(m.gapLeft[0].value(), m.gapLeft[1].value()))
		r.note("charge-out", text)
		r.note("energy-out", "The intervals that the charge leaves out are left out here as well.")
	}
	current := m.accounts.current
	running := float64(r.Running.Value)
	if running > 0 {
		net := float64(r.Charge.Net()) * secondsPerHour
		mean := net / running
		r.MeanCurrent = quantity.Of(quantity.Amperes(mean), quantity.Amperes(math.Hypot(
			math.Hypot(float64(r.Charge.Out.U), float64(r.Charge.In.U))*secondsPerHour/running,
			mean*float64(r.Running.U)/running)))
	} else {
		r.miss("mean-current", "The run has no running time.")
	}
	r.PeakCurrent = quantity.Of(quantity.Amperes(m.peak), quantity.Amperes(current.single(m.peak)))
	if p95 := m.drawn.exceededBy(0.05 * min(running, m.drawn.weight)); m.drawn.weight > 0 && !math.IsNaN(p95) {
		u := current.single(p95)
		if m.drawn.bins != nil {
			u = math.Hypot(u, p95*(quantileGrowth-1)/2/math.Sqrt(3))
		}
		r.P95Current = quantity.Of(quantity.Amperes(p95), quantity.Amperes(u))
	} else {
		r.miss("p95-current", "The log has no interval to weigh the current by.")
	}
	if r.Charge.Out.Value > 0 && r.Charge.In.Value > r.Charge.Out.Value/5 && r.Charge.Out.Value > r.Charge.In.Value/5 {
		r.note("mean-current", "The log holds both discharge and charge; this is the net of both.")
	}
}

func (m *Meter) voltages(r *Result, hasCurrent bool) {
	if m.voltage.n == 0 {
		for _, name := range []string{"mean-voltage", "lowest-voltage", "start-voltage", "end-voltage", "sag", "resistance"} {
			r.miss(name, noVoltage)
		}
		return
	}
	spec := m.accounts.voltage
	reading := func(v float64) quantity.Measured[quantity.Volts] {
		return quantity.Of(quantity.Volts(v), quantity.Volts(spec.single(v)))
	}
	r.StartVoltage, r.EndVoltage, r.LowestVoltage = reading(m.voltage.first), reading(m.voltage.last), reading(m.voltage.low)
	if e := m.cutout.event; e != nil && e.behind {
		r.LowestVoltage = reading(m.cutout.lowestLoaded)
		r.note("lowest-voltage", "Under load only: the voltage was measured behind the cutout and vanished when it opened.")
	}
	out, in := r.Charge.Out.Value, r.Charge.In.Value
	switch {
	case hasCurrent && out > 0 && out >= in && r.Energy.Out.Known():
		r.MeanVoltage = reading(float64(r.Energy.Out.Value) / float64(out))
		r.note("mean-voltage", "Energy out by charge out: weighted by the charge that flowed.")
	case hasCurrent && in > 0 && r.Energy.In.Known():
		r.MeanVoltage = reading(float64(r.Energy.In.Value) / float64(in))
		r.note("mean-voltage", "Energy in by charge in: weighted by the charge that flowed.")
	case m.voltage.span > 0:
		r.MeanVoltage = reading(m.voltage.area.value() / m.voltage.span)
		r.note("mean-voltage", "Over the time, as there is no charge to weight it by.")
	default:
		r.MeanVoltage = reading(m.voltage.first)
	}
	if !r.MeanVoltage.Known() { // charge without voltage samples of its own
		r.miss("mean-voltage", "No interval has both a voltage and a current at its ends.")
	}
	switch {
	case !hasCurrent:
		r.miss("sag", noCurrent)
		r.miss("resistance", noCurrent)
		return
	case m.sag.greatest > 0 && !mostlyCharge(r):
		r.Sag = quantity.Of(quantity.Volts(m.sag.greatest), quantity.Volts(math.Hypot(spec.difference(m.sag.greatest), m.sag.stamps)))
		r.note("sag", fmt.Sprintf("From %s at rest to %s under load.", plain(m.sag.before, quantity.Voltage), plain(m.sag.after, quantity.Voltage)))
	case !m.cutout.sawDischarge || mostlyCharge(r):
		r.miss("sag", noDischarge)
	case !math.IsNaN(m.sag.greatest):
		r.miss("sag", "The voltage does not fall when the load comes on; the rows may be out of step.")
	default:
		r.miss("sag", "The log shows no rest before the load came on.")
	}
	r.Resistance = m.steps.result(spec, m.accounts.current)
	if r.Resistance.Steps == 0 {
		r.miss("resistance", m.steps.whyNone())
		return
	}
	r.note("resistance", resistanceNote(&r.Resistance))
}

// resistanceNote says what the resistance rests on.
func resistanceNote(r *Resistance) string {
	from := fmt.Sprintf("Median of %d steps, each a %s, read %s after the step", r.Steps, r.Kind, plain(float64(r.Settle), quantity.Time))
	if r.Steps == 1 {
		from = fmt.Sprintf("From one step, a %s, read %s after it, so without scatter", r.Kind, plain(float64(r.Settle), quantity.Time))
	}
	return from + "; it holds the cell's slow response up to then and is more than the ohmic part."
}

func (m *Meter) opening(r *Result, hasCurrent bool) {
	r.Cutout = m.cutout.result(m.first, m.accounts.current)
	why := m.cutout.whyNone()
	switch {
	case m.voltage.n == 0:
		why = noVoltage
	case !hasCurrent:
		why = noCurrent
	case mostlyCharge(r):
		why = noDischarge
	}
	if r.Cutout == nil {
		r.missCutout(why)
		return
	}
	if m.o.Series > 1 {
		r.note("cutout-voltage", fmt.Sprintf("%s a cell, %d in series.", plain(float64(r.Cutout.OpenedVoltage.Value)/float64(m.o.Series), quantity.Voltage), m.o.Series))
	}
	if e := m.cutout.event; e.fineV.any && !e.behind {
		r.ReboundTraces = append(r.ReboundTraces, e.fineV.trace(Voltage), e.fineI.trace(Current))
	}
}

func (m *Meter) travel(r *Result) {
	spec := specOf(&m.o, Speed)
	running := float64(r.Running.Value)
	switch {
	case m.distance.n >= 2:
		d := m.forward.value()
		r.Distance = quantity.Of(quantity.Metres(d), quantity.Metres(specOf(&m.o, Distance).difference(d)))
		if m.backward.value() > 0 {
			r.note("distance", "The distance column falls in places; only its rises are counted.")
		}
	case m.speed.n >= 2:
		shared := math.NaN()
		if spec.known {
			shared = m.speedShared.value()
		}
		r.Distance = quantity.Of(quantity.Metres(m.travelled.out.value()), quantity.Metres(math.Hypot(shared, math.Sqrt(m.travelled.varOut.sum()))))
		r.note("distance", "From the speed column.")
	default:
		r.miss("distance", "The log has neither a distance nor a speed column.")
		r.miss("mean-speed", "The log has neither a distance nor a speed column.")
	}
	if r.Distance.Known() {
		if running > 0 {
			v := float64(r.Distance.Value) / running
			r.MeanSpeed = quantity.Of(quantity.MetresPerSecond(v), quantity.MetresPerSecond(math.Hypot(float64(r.Distance.U)/running, v*float64(r.Running.U)/running)))
		} else {
			r.miss("mean-speed", "The run has no running time.")
		}
	}
	if m.speed.n > 0 {
		top := m.speed.high
		r.TopSpeed = quantity.Of(quantity.MetresPerSecond(top), quantity.MetresPerSecond(spec.single(top)))
	} else {
		r.miss("top-speed", "The log has no speed column.")
	}
}

func (m *Meter) warmth(r *Result) {
	if m.temperature.n < 2 {
		r.miss("temperature-rise", "The log has no temperature column.")
		return
	}
	rise := m.temperature.high - m.temperature.first
	r.TemperatureRise = quantity.Of(quantity.Kelvins(rise), quantity.Kelvins(specOf(&m.o, Temperature).difference(rise)))
}
