package battery

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"voltwright/internal/phases"
	"voltwright/internal/quantity"
)

// computedRows are the rows of a charge that was computed, up to a state of charge, after a rest.
func computedRows(c *Charging, rest float64, restVolts float64, until float64) phases.Rows {
	r := phases.Rows{Start: 0}
	add := func(t, amps, volts float64) {
		r.Time, r.Amperes, r.Volts = append(r.Time, t), append(r.Amperes, amps), append(r.Volts, volts)
	}
	for t := 60.0; t <= rest; t += 60 {
		add(t, 0, restVolts)
	}
	for k := 1; k < len(c.course) && c.course[k].Charge <= until; k++ {
		a, b := c.course[k-1], c.course[k]
		hours := float64(b.At-a.At) / 3600
		if !(hours > 1e-4) {
			continue
		}
		amps := float64(a.Amperes+b.Amperes) / 2
		const parts = 4
		for n := 1; n <= parts; n++ {
			add(rest+float64(a.At)+float64(b.At-a.At)*float64(n)/parts, amps, float64(b.Energy-a.Energy)/(amps*hours))
		}
	}
	return r
}

// A charge that was computed itself is told right: where it began, counted back from full or by the rest before it, and when it came to
// 80 %, for every kind of capacity that the cold takes away and of charge that is not given back.
func TestChargesThatWereComputed(t *testing.T) {
	for _, x := range []struct {
		chemistry     string
		rated, amps   float64
		volts, stop   float64 // of a cell
		from, ambient float64
		until, within float64
	}{
		{"nmc", 5, 2, 4.2, 0.1, 0.3, 20, 1, 0.02}, {"nmc", 5, 2, 4.2, 0.1, 0.3, 20, 0.9, 0.02},
		{"lead-acid-agm", 12, 2.4, 2.4, 0.2, 0.4, 5, 1, 0.03}, {"lead-acid-agm", 12, 2.4, 2.4, 0.2, 0.4, 30, 1, 0.03},
	} {
		chem := chemistry(t, x.chemistry)
		e, err := Typical(chem, quantity.Exact(quantity.AmpereHours(x.rated)))
		if err != nil {
			t.Fatal(err)
		}
		const series = 6
		p := NewPack(e.Cell(), series)
		p.Charge, p.Temperature = x.from, quantity.Celsius(x.ambient)
		charger := Charger{Current: quantity.Amperes(x.amps), Volts: quantity.Volts(x.volts * series), Stop: quantity.Amperes(x.stop), Allowed: true}
		c, err := Charge(p, charger, quantity.Celsius(x.ambient))
		if err != nil || !c.Finished {
			t.Fatal(err, c)
		}
		const rest = 1800
		m := MeasuredCharge{Name: x.chemistry, Series: series, Rows: computedRows(c, rest, float64(p.RestVoltage()), x.until), Ambient: quantity.Celsius(x.ambient), Warmth: quantity.Celsius(math.NaN())}
		ok := false
		if m.Cut, ok = phases.Of(m.Rows); !ok {
			t.Fatalf("%s: no phases", x.chemistry)
		}
		if x.until < 1 { // ended while the current was held
			m.Cut.End, m.Cut.Volts = m.Cut.Change, math.NaN()
		}
		got, err := e.CompareCharge(m, nil)
		if err != nil {
			t.Fatal(err)
		}
		name := fmt.Sprintf("%s at %g °C to %g", x.chemistry, x.ambient, x.until)
		if strings.Contains(got.Start, "counted back") != (x.until == 1) {
			t.Errorf("%s: %s", name, got.Start)
		}
		if !(math.Abs(got.Forecast.From-x.from) <= 0.012) {
			t.Errorf("%s: it began at %g, told as %g", name, x.from, got.Forecast.From)
		}
		close1(t, name+", 80 %", got.Measured[ToMost], float64(c.To(MostOfCharge)), x.within)
	}
}

// What began above 80 % has no time to 80 %; just below it has.
func TestChargesFromBesideMost(t *testing.T) {
	for from, has := range map[float64]bool{MostOfCharge - 0.01: true, MostOfCharge + 0.01: false} {
		e, err := Typical(chemistry(t, "nmc"), quantity.Exact(quantity.AmpereHours(5)))
		if err != nil {
			t.Fatal(err)
		}
		p := NewPack(e.Cell(), 6)
		p.Charge, p.Temperature = from, 20
		c, err := Charge(p, Charger{Current: 1, Volts: 25.2, Stop: 0.1, Allowed: true}, 20)
		if err != nil {
			t.Fatal(err)
		}
		m := MeasuredCharge{Series: 6, Rows: computedRows(c, 1800, float64(p.RestVoltage()), 1), Ambient: 20, Warmth: quantity.Celsius(math.NaN())}
		m.Cut, _ = phases.Of(m.Rows)
		got, err := e.CompareCharge(m, nil)
		if err != nil {
			t.Fatal(err)
		}
		if known := !math.IsNaN(got.Measured[ToMost]); known != has {
			t.Errorf("from %g, told as %g: %g, %q", from, got.Forecast.From, got.Measured[ToMost], got.Why[ToMost])
		}
	}
}

// A lesson by which charges took longer moves the answer and what is left unsure of it by the same factor.
func TestLessonMovesAnswerAndWidth(t *testing.T) {
	e, err := Typical(chemistry(t, "nmc"), quantity.Exact(quantity.AmpereHours(5)))
	if err != nil {
		t.Fatal(err)
	}
	p := NewPack(e.Cell(), 6)
	p.Charge = 0.2
	asked := func(off float64) *ChargeForecast {
		var lessons []ChargeLesson
		for range 3 {
			lessons = append(lessons, ChargeLesson{Current: 2, Ambient: 20, Last: quantity.Amperes(math.NaN()), Off: [measures]float64{off, math.NaN(), off}})
		}
		f, err := e.ForecastCharge(ChargeQuestion{Pack: p, Charger: Charger{Current: 2, Volts: 25.2, Allowed: true}, Ambient: 20, Lessons: lessons})
		if err != nil {
			t.Fatal(err)
		}
		return f
	}
	plain, longer := asked(0), asked(0.2)
	factor := float64(longer.Most.Value / plain.Most.Value)
	if !(factor > 1.1 && factor < math.Exp(0.2)) {
		t.Errorf("longer by %g", factor)
	}
	close1(t, "width", float64(longer.Most.U/plain.Most.U), factor, 1e-9)
	close1(t, "energy", float64(longer.Energy.U/plain.Energy.U), float64(longer.Energy.Value/plain.Energy.Value), 1e-9)
}
