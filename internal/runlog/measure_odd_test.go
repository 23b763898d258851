package runlog

import (
	"math"
	"slices"
	"strings"
	"testing"
)

func TestOddSample(t *testing.T) {
	steady := func() []Sample {
		var out []Sample
		for k := range 60 {
			out = append(out, row(float64(k), map[Channel]float64{Voltage: 25 - float64(k)/100, Current: 8, Temperature: 20 + float64(k)/60}))
		}
		return out
	}
	run := func(samples []Sample) (*Result, []string) {
		m := NewMeter(perfect())
		for _, s := range samples {
			m.Add(s)
		}
		r, found := m.Result()
		var texts []string
		for _, f := range found {
			texts = append(texts, f.Rule+": "+f.Text)
		}
		return r, texts
	}
	whole, _ := run(steady())

	odd := steady()
	odd[30].Values[Voltage] = 0
	odd[40].Values[Temperature] = 85
	r, found := run(odd)
	if len(found) != 2 || !strings.Contains(found[0], "log-odd-sample: the voltage reads 0 V in this one row") || !strings.Contains(found[1], "the temperature reads 85") {
		t.Errorf("findings %q", found)
	}
	near(t, "lowest voltage", float64(r.LowestVoltage.Value), float64(whole.LowestVoltage.Value), 0)
	near(t, "energy", float64(r.Energy.Out.Value), float64(whole.Energy.Out.Value), 1e-9)
	near(t, "temperature rise", float64(r.TemperatureRise.Value), float64(whole.TemperatureRise.Value), 0)

	for name, change := range map[string]func([]Sample){
		"a sag with its current": func(s []Sample) { s[30].Values[Voltage], s[30].Values[Current] = 20, 60 },
		"two rows":               func(s []Sample) { s[30].Values[Voltage], s[31].Values[Voltage] = 20, 20 },
		"a step": func(s []Sample) {
			for k := 30; k < 60; k++ {
				s[k].Values[Voltage] = 20
			}
		},
		"one per cent":           func(s []Sample) { s[30].Values[Voltage] *= 1.01 },
		"the first and the last": func(s []Sample) { s[0].Values[Voltage], s[59].Values[Voltage] = 20, 20 },
		"a row without voltage":  func(s []Sample) { s[29].Values[Voltage], s[30].Values[Voltage] = math.NaN(), 20 },
	} {
		samples := steady()
		change(samples)
		_, found := run(samples)
		found = slices.DeleteFunc(found, func(text string) bool { return !strings.HasPrefix(text, "log-odd-sample") })
		if len(found) != 0 {
			t.Errorf("%s: %q", name, found)
		}
	}

	standing := steady() // noise of the current at rest is no load
	for k := 20; k < 60; k++ {
		standing[k].Values[Current] = 0.02 + 0.03*float64(k%2)
	}
	standing[40].Values[Voltage] = 27
	if _, found := run(standing); len(found) == 0 || !strings.HasPrefix(found[0], "log-odd-sample") {
		t.Errorf("standing: %q", found)
	}

	many := steady()
	for k := 5; k < 57; k += 2 {
		many[k].Values[Voltage] = 1
	}
	if _, found := run(many); len(found) != oddListed+1 {
		t.Errorf("%d findings, want %d and a count", len(found), oddListed)
	}
}
