package predict

import (
	"math"
	"testing"

	"voltwright/internal/battery"
	"voltwright/internal/quantity"
)

// plainPack is a pack that a test runs down by small plain steps, V = n·U(z) − R·I − v with one branch, from nothing of
// what is under test but the points of the curve.
type plainPack struct {
	chemistry string
	series    int
	holds     float64      // Ah
	ohms      float64      // of the pack, at once
	branch    float64      // of the pack, in time
	settles   float64      // s
	from      float64      // charge at the start
	rest      float64      // s before the first load
	steps     [][2]float64 // A, s: again and again
	every     float64      // s a row
	end       float64      // V at which the run ends
	longest   float64      // s under way
	celsius   float64
	after     float64 // s of rest at the end

	weak    float64 // charge that one cell has less than the others
	map2    bool    // the resistance goes with charge and current
	lags    float64 // V a cell of hysteresis: half of it below the curve on discharge
	current float64 // what the meter shows of the current; 0: all
}

// run is the log of the pack as it runs down, as a run of a version.
func (p plainPack) run(t testing.TB, slug string, change func(*Run)) Run {
	t.Helper()
	curve := chemistry(t, p.chemistry).Curve()
	z, v, out := p.from, 0.0, 0.0
	rows := &Rows{}
	now := 0.0
	put := func(amps, seconds float64) float64 {
		n := max(1, int(math.Round(seconds/2)))
		h := seconds / float64(n)
		for range n {
			z -= amps * h / 3600 / p.holds
			v += (amps*p.branch - v) * h / p.settles
			out += amps * h / 3600
		}
		now += seconds
		u, _ := curve.At(z)
		ohms := p.ohms
		if p.map2 {
			ohms *= (0.7 + 0.8*(1-z)*(1-z)) * (1 + 0.25*math.Exp(-amps/4))
		}
		volts := float64(p.series)*(float64(u)-p.lags/2) - amps*ohms - v
		if p.weak > 0 {
			less, _ := curve.At(z - p.weak)
			volts += float64(less - u)
		}
		rows.Time, rows.Current = append(rows.Time, now), append(rows.Current, amps)
		rows.Voltage, rows.Temperature = append(rows.Voltage, volts), append(rows.Temperature, p.celsius+0.5*math.Abs(amps)*(1-math.Exp(-now/3000)))
		return volts
	}
	for at := 0.0; at < p.rest; at += p.every {
		put(0, p.every)
	}
	part, in := 0, 0.0
	for now-p.rest < p.longest {
		volts := put(p.steps[part][0], p.every)
		if in += p.every; in >= p.steps[part][1] {
			part, in = (part+1)%len(p.steps), 0
		}
		if volts < p.end && rows.Current[len(rows.Current)-1] > 0 {
			break
		}
	}
	for at := 0.0; at < p.after; at += p.every {
		put(0, p.every)
	}
	r := Run{ID: "cart/1/" + slug, Slug: slug, Name: "Run " + slug, Kind: "field", Label: "field, " + slug, Ambient: quantity.Exact(quantity.Celsius(p.celsius)), Rows: rows, Thin: rows,
		Capacity: quantity.Missing[quantity.AmpereHours](), DischargedCharge: quantity.Of(quantity.AmpereHours(out), quantity.AmpereHours(out/200)),
		ChargedCharge: quantity.Exact(quantity.AmpereHours(0)), Power: quantity.Missing[quantity.Watts](), Charging: quantity.Amperes(math.NaN()), Masses: NoMovedMasses()}
	if p.current > 0 {
		for k := range rows.Current {
			rows.Current[k] *= p.current
		}
		r.DischargedCharge = quantity.Scale(r.DischargedCharge, p.current)
	}
	if change != nil {
		change(&r)
	}
	return r
}

// plainLFP is 7 cells like those of bank, of another resistance and capacity than is typical.
func plainLFP(amps float64) plainPack {
	return plainPack{chemistry: "lfp", series: 7, holds: 14.9, ohms: 0.035, branch: 0.03, settles: 60, from: 1, rest: 60, steps: [][2]float64{{amps, 400}, {0.1, 60}, {amps / 2, 200}}, every: 20, end: 20.7, longest: 40000, celsius: 18, after: 120}
}

func plainNMC(amps float64) plainPack {
	return plainPack{chemistry: "nmc", series: 7, holds: 9.1, ohms: 0.05, branch: 0.04, settles: 40, from: 1, rest: 40, steps: [][2]float64{{amps, 320}, {0, 120}}, every: 40, end: 22.4, longest: 40000, celsius: 22, after: 60}
}

func plainAGM(amps float64) plainPack {
	return plainPack{chemistry: "lead-acid-agm", series: 12, holds: 15, ohms: 0.05, branch: 0.04, settles: 200, from: 1, rest: 60, steps: [][2]float64{{amps, 600}}, every: 30, end: 21, longest: 60000, celsius: 15, after: 120}
}

// packOf is one pack of a chemistry, of whose values hardly any is stated.
func packOf(t testing.TB, name string, series int, ah float64, change func(*Pack)) Pack {
	p := Pack{Name: name, Chemistry: chemistry(t, name), Series: series, Capacity: quantity.Exact(quantity.AmpereHours(ah)), Resistance: quantity.Missing[quantity.Ohms](), Full: quantity.Missing[quantity.Volts]()}
	if change != nil {
		change(&p)
	}
	return p
}

func asked(name string, l battery.Load, duty quantity.Fraction) Load {
	return NewLoad(name, "as asked, "+name, AskedLoad, l, l.String(), duty)
}
