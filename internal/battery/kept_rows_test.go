package battery

import (
	"testing"

	"voltwright/internal/quantity"
)

// Of more rows than 1500 that are held against a cell every second, third, … stays; the stretches between them stay all the same.
func TestHowManyRowsAreHeld(t *testing.T) {
	for n, want := range map[int]int{1499: 1499, 1500: 1500, 1501: 751, 3000: 1500, 3001: 1001} {
		p := &prepared{}
		for k := range n {
			p.marks = append(p.marks, observation{t: float64(k)})
			p.pieces = append(p.pieces, stretchOf{seconds: 1, mark: k})
		}
		p.thin()
		if len(p.marks) != want || len(p.pieces) != n || p.marks[0].t != 0 {
			t.Errorf("of %d: %d rows, %d stretches", n, len(p.marks), len(p.pieces))
		}
		every := (n + want - 1) / want
		for k, m := range p.marks {
			if m.t != float64(k*every) || p.pieces[k*every].mark != k {
				t.Fatalf("of %d: row %d is that of %g s", n, k, m.t)
			}
		}
	}
}

// A current that changes by more than 3 % of itself and of the one-hour current is a step, and begins a new stretch: from 5 A of a cell of 5 Ah, 0.309 A at
// once, and as much by little and little.
func TestHowMuchIsAStep(t *testing.T) {
	for _, x := range []struct {
		amps          []float64
		marks, pieces int
	}{
		{[]float64{5, 5, 5.3, 5.3}, 1, 1}, {[]float64{5, 5, 5.32, 5.32}, 2, 2}, {[]float64{5, 5, 4.72, 4.72}, 1, 1}, {[]float64{5, 5, 4.7, 4.7}, 2, 2},
		{[]float64{5, 5.15, 5.3, 5.3}, 1, 1}, {[]float64{5, 5.16, 5.32, 5.32}, 1, 2},
	} {
		at := func(k int) observation { return observation{t: float64(k), amps: x.amps[k], volts: 3.7, temp: 25} }
		p := &prepared{first: at(0)}
		p.pick(at, len(x.amps), 5, 0.03, false)
		if len(p.marks) != x.marks || len(p.pieces) != x.pieces {
			t.Errorf("%v: %d rows in %d stretches, want %d in %d", x.amps, len(p.marks), len(p.pieces), x.marks, x.pieces)
		}
		seconds := 0.0
		for _, piece := range p.pieces {
			seconds += piece.seconds
		}
		close1(t, "seconds", seconds, float64(len(x.amps)-1), 1e-12)
	}
}

// A row is kept where 0.4 % of the capacity has flowed since the last, 72 A s of 5 Ah, or where the voltage has moved by 12 mV.
func TestHowMuchIsWorthARow(t *testing.T) {
	for _, x := range []struct {
		seconds, volts float64
		marks          int
	}{{14.1, 3.7, 1}, {14.7, 3.7, 2}, {0.04, 3.6883, 1}, {0.04, 3.6877, 2}, {0.04, 3.7117, 1}, {0.04, 3.7123, 2}} {
		rows := []observation{{t: 0, amps: 5, volts: 3.7, temp: 25}, {t: x.seconds, amps: 5, volts: x.volts, temp: 25}, {t: x.seconds + 0.01, amps: 5, volts: x.volts, temp: 25}}
		p := &prepared{first: rows[0]}
		p.pick(func(k int) observation { return rows[k] }, len(rows), 5, 0.03, false)
		if len(p.marks) != x.marks {
			t.Errorf("after %g s at %g V: %d rows, want %d", x.seconds, x.volts, len(p.marks), x.marks)
		}
	}
}

// What is typical of a resistance is that after 10 s of load, half charged, at 25 °C.
func TestTypicalResistanceAfterTenSeconds(t *testing.T) {
	for _, name := range []string{"nmc", "lfp", "lead-acid-agm"} {
		c := chemistry(t, name)
		e, err := Typical(c, ampereHours(10))
		if err != nil {
			t.Fatal(err)
		}
		r, err := c.TypicalResistance(ampereHours(10))
		if err != nil {
			t.Fatal(err)
		}
		cell := e.Cell()
		close1(t, name, float64(r.Value), float64(cell.ResistanceAt(0.5, 25, 10)), 1e-12)
		if early, late := float64(cell.ResistanceAt(0.5, 25, quantity.Seconds(9))), float64(cell.ResistanceAt(0.5, 25, 11)); !(early < float64(r.Value) && float64(r.Value) < late) {
			t.Errorf("%s: %g Ω after 9 s, %g Ω after 10 s, %g Ω after 11 s", name, early, float64(r.Value), late)
		}
	}
}
