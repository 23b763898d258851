package runlog

import (
	"encoding/binary"
	"math"
	"testing"

	"voltwright/internal/quantity"
)

// FuzzMeter feeds arbitrary samples, also such as no log holds: infinite, not a number, of any size, backward. It must
// never panic, and every figure is a finite number or has a reason.
func FuzzMeter(f *testing.F) {
	word := func(values ...float64) []byte {
		var b []byte
		for _, v := range values {
			b = binary.LittleEndian.AppendUint64(b, math.Float64bits(v))
		}
		return b
	}
	nan, inf := math.NaN(), math.Inf(1)
	f.Add(word(0, 24, 5, 1, 20, 1, 24, 5, 1, 20, 2, 22, 0, 0, 21, 9, 23, 0, 0, 21), 1.0, 0.1)
	f.Add(word(0, nan, inf, -inf, nan, -5, 1e308, -1e308, 1, 2, 1e300, 3, 4, 5, 6), nan, nan)
	f.Add(word(0, 24, 0, 0, 20, 1, 24, 8, 1, 20, 2, 20, 8, 1, 20, 3, 22, 0, 0, 20, 4, 22.5, 0, 0, 20, 9, 22.6, 0, 0, 20, 10, 22.7, 0, 0, 20, 20, 22.8, -1e-300, 0, 20), 0.0, inf)
	f.Add([]byte("\x09\x60\x20\x10\x50\x09\x5f\x20\x10\x50\x09\x5e\x20\x10\x51\x09\x40\x21\x10\x52\x09\x50\x00\x00\x52\x09\x55\x00\x00\x52\x09\x56\x00\x00\x52\x09\x57\x00\x00\x52"), 1.0, nan)
	f.Add(word(0, 1, 1, 1, 1, 0, 1, -1, 1, 1, 0, 1, 1, 1, 1, 0, 1, 0, 1, 1), -1.0, -1.0)
	f.Fuzz(func(t *testing.T, data []byte, pause, idle float64) {
		o := NewOptions()
		o.PauseAfter, o.Idle, o.Gap = quantity.Seconds(pause), quantity.Amperes(idle), quantity.Seconds(idle*pause)
		o.Rated = quantity.Exact(quantity.AmpereHours(idle))
		o.Cutout = &Cutout{Opens: quantity.Exact(quantity.Volts(pause)), Threshold: quantity.Exact(quantity.Volts(1))}
		o.Instruments = []Instrument{{Channel: Voltage, Accuracy: quantity.Accuracy{Fraction: 0.01, Digits: 2}, Resolution: idle}}
		if len(data)%2 == 0 {
			o.Cutout = nil
		}
		m := NewMeter(o)
		// Half of the inputs are any bits at all; in the other half a byte is a small value, as logs hold, and times rise.
		wide, clock := 5*8, 0.0
		small := len(data) > 0 && data[0]%2 == 1
		if small {
			wide = 5
		}
		var readings []Reading
		for len(data) >= wide && m.rows+m.skipped < 4000 {
			at := func(k int) float64 { return math.Float64frombits(binary.LittleEndian.Uint64(data[8*k:])) }
			if small {
				clock += float64(data[0]) / 8
				at = func(k int) float64 {
					switch {
					case k == 0:
						return clock
					case data[k] == 127:
						return math.NaN()
					}
					return float64(int8(data[k])) / 4
				}
			}
			s := row(at(0), map[Channel]float64{Voltage: at(1), Current: at(2), Speed: at(3), Temperature: at(4), Distance: at(3)})
			s.Restart = data[0] == 7
			m.Add(s)
			r := NewReading(quantity.Seconds(at(0)))
			r.Voltage, r.Current, r.Distance = quantity.Volts(at(1)), quantity.Amperes(at(2)), quantity.Metres(at(3))
			readings = append(readings, r)
			data = data[wide:]
		}
		log, _ := m.Result()
		hand, _ := FromReadings(readings, o)
		for _, r := range []*Result{log, hand} {
			for _, x := range r.Figures() {
				if math.IsInf(numberOf(x).Value, 0) || math.IsInf(numberOf(x).U, 0) {
					t.Errorf("%s is %g ± %g", x.Name, numberOf(x).Value, numberOf(x).U)
				}
				if math.IsNaN(numberOf(x).Value) == (x.Quantity.Why() == "") {
					t.Errorf("%s is %g and says %q", x.Name, numberOf(x).Value, x.Quantity.Why())
				}
			}
			for _, tr := range append(r.Traces, r.ReboundTraces...) {
				if len(tr.T) > MaxTracePoints {
					t.Errorf("%d points", len(tr.T))
				}
				for k := range tr.T {
					if !usable(tr.T[k]) || !usable(tr.Y[k]) {
						t.Errorf("%s holds %g at %g", tr.Channel, tr.Y[k], tr.T[k])
					}
				}
			}
		}
	})
}
