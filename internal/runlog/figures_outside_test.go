package runlog

import (
	"math"
	"testing"

	"voltwright/internal/quantity"
)

// whole makes a row with every channel.
func whole(t, v, i, c, speed, way float64) Sample {
	return row(t, map[Channel]float64{Voltage: v, Current: i, Temperature: c, Speed: speed, Distance: way})
}

// TestEveryFigureByHand: an hour at 10 A and 25 V, a stop of ten minutes, half an hour at 20 A and 24 V, written each second, with every column: each figure by
// arithmetic, and each uncertainty from instruments that are stated (rectangular limits over √3, digits over √12: JCGM 100:2008, 4.3.7 and F.2.2.1).
func TestEveryFigureByHand(t *testing.T) {
	var samples []Sample
	way := 100.0
	for k := range 6001 {
		i, v, speed := 10.0, 25.0, 2.0
		switch {
		case k > 3600 && k <= 4200:
			i, v, speed = 0, 26, 0
		case k > 4200:
			i, v, speed = 20, 24, 1.5
		}
		if k > 0 {
			way += speed
		}
		samples = append(samples, whole(float64(k), v, i, 18+float64(k)/1000, speed, way))
	}
	o := NewOptions()
	o.PauseAfter = 30
	o.Instruments = []Instrument{{Channel: Current, Accuracy: quantity.Accuracy{Fraction: 0.01}, Resolution: 0.1}, {Channel: Voltage, Accuracy: quantity.Accuracy{Fraction: 0.005, Digits: 2}, Resolution: 0.01},
		{Channel: Temperature, Accuracy: quantity.Accuracy{Fraction: 0.02}, Resolution: 0.1}, {Channel: Speed, Accuracy: quantity.Accuracy{Fraction: 0.03}, Resolution: 0.1}, {Channel: Distance, Accuracy: quantity.Accuracy{Fraction: 0.001}, Resolution: 1}}
	r := meter(samples, o)
	root3, root12 := math.Sqrt(3), math.Sqrt(12)
	near(t, "charge", float64(r.Charge.Out.Value), (10*3600.5+20*1799.5)/3600, 1e-9)
	near(t, "energy", float64(r.Energy.Out.Value), (250*3600.5+480*1799.5)/3600, 1e-6)
	near(t, "elapsed", float64(r.Elapsed.Value), 6000, 0)
	near(t, "u of elapsed, a second's digit at either end and a quartz", float64(r.Elapsed.U), math.Hypot(1/math.Sqrt(6), 50e-6*6000/root3), 1e-9)
	near(t, "stopped", float64(r.Stopped.Value), 600, 1e-9)
	near(t, "running", float64(r.Running.Value), 5400, 1e-9)
	uStop := math.Sqrt(2 * 0.25 / 3)
	near(t, "u of stopped", float64(r.Stopped.U), uStop, 1e-9)
	near(t, "u of running", float64(r.Running.U), math.Hypot(float64(r.Elapsed.U), uStop), 1e-9)
	net := float64(r.Charge.Out.Value)
	near(t, "mean current", float64(r.MeanCurrent.Value), net*3600/5400, 1e-9)
	near(t, "u of it", float64(r.MeanCurrent.U), math.Hypot(float64(r.Charge.Out.U)*3600/5400, net*3600/5400*float64(r.Running.U)/5400), 1e-9)
	near(t, "peak", float64(r.PeakCurrent.Value), 20, 0)
	near(t, "u of it", float64(r.PeakCurrent.U), math.Hypot(0.2/root3, 0.1/root12), 1e-12)
	near(t, "exceeded for 5 %", float64(r.P95Current.Value), 20, 0.11)
	near(t, "start", float64(r.StartVoltage.Value), 25, 0)
	near(t, "u of it", float64(r.StartVoltage.U), math.Hypot((0.125+0.02)/root3, 0.01/root12), 1e-12)
	near(t, "end", float64(r.EndVoltage.Value), 24, 0)
	near(t, "lowest", float64(r.LowestVoltage.Value), 24, 0)
	near(t, "mean, by charge", float64(r.MeanVoltage.Value), float64(r.Energy.Out.Value)/net, 1e-9)
	near(t, "sag", float64(r.Sag.Value), 2, 1e-12)
	near(t, "u of the sag, whose digits are two", float64(r.Sag.U), math.Hypot(0.005*2/root3, math.Sqrt2*0.01/root12), 1e-12)
	near(t, "rise", float64(r.TemperatureRise.Value), 6, 1e-9)
	near(t, "u of it", float64(r.TemperatureRise.U), math.Hypot(0.02*6/root3, math.Sqrt2*0.1/root12), 1e-9)
	near(t, "distance", float64(r.Distance.Value), 7200+2700, 1e-9)
	near(t, "u of it", float64(r.Distance.U), math.Hypot(0.001*9900/root3, math.Sqrt2/root12), 1e-9)
	near(t, "mean speed", float64(r.MeanSpeed.Value), 9900./5400, 1e-9)
	near(t, "u of it", float64(r.MeanSpeed.U), math.Hypot(float64(r.Distance.U)/5400, 9900./5400*float64(r.Running.U)/5400), 1e-9)
	near(t, "top", float64(r.TopSpeed.Value), 2, 0)
	near(t, "u of it", float64(r.TopSpeed.U), math.Hypot(0.06/root3, 0.1/root12), 1e-12)
	if r.StopCount != 1 || r.Rows != 6001 || r.GapCount != 0 {
		t.Errorf("%d stops, %d rows, %d gaps", r.StopCount, r.Rows, r.GapCount)
	}
	near(t, "charge by its name", figureOf(t, r, "charge-out"), net, 1e-9)
	// By the speed alone: the same way, less what the edges leave open.
	for k := range samples {
		samples[k].Values[Distance] = math.NaN()
	}
	r = meter(samples, o)
	near(t, "distance by speed", float64(r.Distance.Value), 9900, 2)
	if u := float64(r.Distance.U); u < 0.03*9900/root3 || u > 0.032*9900/root3 {
		t.Errorf("u of the distance by speed: %v", u)
	}
	near(t, "top", float64(r.TopSpeed.Value), 2, 0)
}

// figureOf is a figure by its name; NaN where there is none.
func figureOf(t *testing.T, r *Result, name string) float64 {
	t.Helper()
	for _, f := range r.Figures() {
		if f.Name == name {
			return numberOf(f).Value
		}
	}
	return math.NaN()
}

// TestOfAChannel: first, last, lowest, highest and the area under straight lines, by hand.
func TestOfAChannel(t *testing.T) {
	var w channelWatch
	for _, x := range [][2]float64{{0, 5}, {2, 3}, {6, 9}, {7, 4}} {
		w.add(x[0], x[1])
	}
	if w.n != 4 || w.first != 5 || w.last != 4 || w.low != 3 || w.high != 9 || w.span != 7 || w.lastT != 7 || w.firstT != 0 {
		t.Errorf("%+v", w)
	}
	near(t, "area", w.area.value(), 8+24+6.5, 1e-12)
	for _, x := range []struct {
		values []float64
		finest int
		size   float64
	}{{[]float64{1, 2, 3}, 6, 1}, {[]float64{1, 2.5}, 6, 0.1}, {[]float64{1.25, 2.5}, 6, 0.01}, {[]float64{1.0006}, 3, 0.001}, {[]float64{0.123456}, 6, 1e-6}, {nil, 6, 1}} {
		var g decimalGrain
		for _, v := range x.values {
			g.addTo(v, x.finest)
		}
		if math.Abs(g.size()/x.size-1) > 1e-12 {
			t.Errorf("%v are written to %v", x.values, g.size())
		}
	}
}

// TestCountersOfTheOtherSquare: from a charge of 4 A to a load of 10 A: what the open minute holds goes to either side.
func TestCountersOfTheOtherSquare(t *testing.T) {
	var samples []Sample
	for k := range 91 {
		i, v := -4.0, 27.0
		if k > 60 {
			i, v = 10, 25
		}
		samples = append(samples, vi(float64(60*k), v, i))
	}
	r := meter(samples, perfect())
	minute := 1. / 60
	near(t, "in", float64(r.Charge.In.Value), 4+2*minute, 1e-12)
	near(t, "out", float64(r.Charge.Out.Value), 10*29.5*minute, 1e-12)
	near(t, "earlier in", float64(r.Charge.Earlier.In), 4, 1e-12)
	near(t, "later in", float64(r.Charge.Later.In), 4+4*minute, 1e-12)
	near(t, "earlier out", float64(r.Charge.Earlier.Out), 10*30*minute, 1e-12)
	near(t, "later out", float64(r.Charge.Later.Out), 10*29*minute, 1e-12)
	near(t, "energy in", float64(r.Energy.In.Value), 108*(1+0.5*minute), 1e-9)
	near(t, "energy out", float64(r.Energy.Out.Value), 250*29.5*minute, 1e-9)
}

// TestWhatIsAnOpening: the documented parts of the load, each on both sides of its bound: the current was a fifth of the greatest and falls to a twentieth of
// what it was, at or below the stated voltage or a hundredth above it.
func TestWhatIsAnOpening(t *testing.T) {
	run := func(peak, loaded, after, volts float64) bool {
		o := perfect()
		o.Cutout = &Cutout{Opens: quantity.Exact(quantity.Volts(22)), Threshold: quantity.Exact(quantity.Volts(2))}
		var samples []Sample
		at := 0.0
		put := func(n int, v, i float64) {
			for range n {
				samples = append(samples, vi(at, v, i))
				at++
			}
		}
		put(30, 25, peak)
		put(30, 24, 0)
		put(30, volts, loaded)
		put(60, 24, after)
		r := meter(samples, o)
		if r.Cutout != nil {
			near(t, "reset", float64(r.Cutout.ResetPoint.Value), 24, 1e-12)
			near(t, "at", float64(r.Cutout.OpenedVoltage.Value), volts, 1e-12)
			near(t, "with", float64(r.Cutout.Current.Value), loaded, 1e-12)
			near(t, "back to", float64(r.Cutout.Rebound.Peak.Value), 24, 1e-12)
		}
		return r.Cutout != nil
	}
	for _, x := range []struct {
		peak, loaded, after, volts float64
		opened                     bool
	}{{20, 20, 0, 22, true}, {20, 20, 0, 22.2, true}, {20, 20, 0, 22.3, false}, {20, 4.1, 0, 22, true}, {20, 3.9, 0, 22, false}, {20, 10, 0.49, 22, true}, {20, 10, 0.52, 22, false}} {
		if got := run(x.peak, x.loaded, x.after, x.volts); got != x.opened {
			t.Errorf("%+v: opened %v", x, got)
		}
	}
}
