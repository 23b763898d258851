package runlog

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// TestNotesAtTheirLimits: sentences that stand beside a figure from a bound on.
func TestNotesAtTheirLimits(t *testing.T) {
	flowing := func(out, in float64) []Sample { // ten hours: so many A h out in five, and in in five
		var rows []Sample
		for k := range 601 {
			i := out / 5
			if k >= 300 {
				i = -in / 5
			}
			rows = append(rows, vi(60*float64(k), 25, i))
		}
		return rows
	}
	for _, x := range []struct {
		out, in float64
		want    bool
	}{{5, 5, true}, {5, 1.02, true}, {5, 0.98, false}, {1.02, 5, true}, {0.98, 5, false}, {5, 0, false}} {
		m := NewMeter(perfect())
		m.o.Part = "all of it"
		for _, s := range flowing(x.out, x.in) {
			m.Add(s)
		}
		r, _ := m.Result()
		if got := strings.Contains(r.notes["mean-current"], "the net of both"); got != x.want {
			t.Errorf("%v A h out and %v in: %t", x.out, x.in, got)
		}
		near(t, "net", float64(r.MeanCurrent.Value), (x.out-x.in)/10, 0.01)
	}
	// What little went out of a charge is noise up to a hundredth of it.
	for _, x := range []struct {
		out  quantity.AmpereHours
		want bool
	}{{0.0099, true}, {0.0101, false}} {
		r := newResult(EvidenceLog)
		r.Charge.Out, r.Charge.In = quantity.Exact(x.out), quantity.Exact(quantity.AmpereHours(1))
		if mostlyCharge(r) != x.want {
			t.Errorf("%v A h beside 1: %t", x.out, !x.want)
		}
	}
}

// TestLastDigitOfTheCurrent: without an instrument a steady current is off by its last digit, rectangular; from 0.3 % on it is said.
func TestLastDigitOfTheCurrent(t *testing.T) {
	for _, x := range []struct {
		amps float64
		said bool
	}{{1.9, true}, {2.0, false}} { // 2·0.01/√12 = 0.00577 A, which is 0.3 % of 1.92 A
		m := NewMeter(NewOptions())
		for k := range 37 {
			i := x.amps
			if k%2 == 1 {
				i += 0.01
			}
			m.Add(vi(100*float64(k), 25, i))
		}
		r, _ := m.Result()
		if got := strings.Contains(r.notes["charge-out"], "The log writes the current to 10 mA"); got != x.said {
			t.Errorf("%v A: %q", x.amps, r.notes["charge-out"])
		}
		digit := 0.01 / math.Sqrt(12) * 3600 / 3600
		between := 0.01 * 100 / 2 / math.Sqrt(3) * math.Sqrt(36) / 3600
		near(t, "samples", float64(r.Charge.Sampling.Out), math.Hypot(digit, between), 1e-9)
		near(t, "samples of the energy", float64(r.Energy.Sampling.Out), 25*math.Hypot(digit, between), 1e-7)
	}
}

// TestReasonsAtTheirLimits: an interval of half a per cent tells nothing, a wider one its reasons, of which one is told from three tenths
// of the greatest on.
func TestReasonsAtTheirLimits(t *testing.T) {
	tell := func(sampling, u float64, of map[cause]float64) string { // in A h, beside 1 A h
		m := NewMeter(NewOptions())
		r := newResult(EvidenceLog)
		r.Charge.Out = quantity.Of[quantity.AmpereHours](1, quantity.AmpereHours(u))
		r.Charge.In = quantity.Exact(quantity.AmpereHours(0))
		r.Charge.Sampling.Out = quantity.AmpereHours(sampling)
		for why, half := range of {
			m.accounts.charge.varOut[why] = oneTerm(half * half * 3600 * 3600)
		}
		m.accounts.open, m.written = 2, decimalGrain{decimals: 1}
		tellCauses(r, "charge", &r.Charge, &m.accounts.charge, m)
		return r.notes["charge-out"]
	}
	nan := math.NaN()
	for _, x := range []struct {
		sampling, u float64
		of          map[cause]float64
		want        string
	}{
		{0.0024, nan, map[cause]float64{betweenRows: 0.0024}, ""}, {0.0026, nan, map[cause]float64{betweenRows: 0.0026}, "The interval is ±0.52 %: the current changes between the rows, which are too far apart to follow it (±0.52 %)."},
		{0.01, nan, map[cause]float64{openEdges: 0.01, placedEdges: 0.0031}, "The interval is ±2 %: 2 edges of the load open between two rows (±2 %); edges of the load placed only to within a part of an interval (±0.62 %)."}, {0.01, nan, map[cause]float64{openEdges: 0.01, placedEdges: 0.0029}, "The interval is ±2 %: 2 edges of the load open between two rows (±2 %)."},
		{0.01, nan, map[cause]float64{stamps: 0.01, lastDigits: 0.005}, "The interval is ±2 %: rows share a stamp (±2 %); the current is written to 0.1 A (±1 %)."}, {0.01, nan, map[cause]float64{gapsInside: 0.01, counterApart: 0.005}, "The interval is ±2 %: gaps, and single intervals in which rows are missing (±2 %); the log's own counter differs (±1 %)."},
		{0.003, 0.005, map[cause]float64{betweenRows: 0.003}, "The interval is ±1 %: the current changes between the rows, which are too far apart to follow it (±0.6 %); the instruments (±0.8 %)."}, {0.0003, 0.0024, map[cause]float64{betweenRows: 0.0003}, ""}, {0.0003, 0.0026, map[cause]float64{betweenRows: 0.0003}, "The interval is ±0.52 %: the instruments (±0.517 %)."},
	} {
		if got := tell(x.sampling, x.u, x.of); got != x.want {
			t.Errorf("%+v: %q", x, got)
		}
	}
}

// TestTimeThatIsNotCounted: a second more or less at the ends is nothing, and a gap always something.
func TestTimeThatIsNotCounted(t *testing.T) {
	for _, x := range []struct {
		account TimeAccount
		want    string
	}{
		{TimeAccount{Elapsed: 100, Counted: 100}, ""}, {TimeAccount{Elapsed: 100, Counted: 99.5, Without: 0.5}, ""}, {TimeAccount{Elapsed: 100, Counted: 89.5, Gaps: 10, Without: 0.5, MayHide: 0.5}, "Of 1 min 40 s, 1 min 29.5 s are counted; 10 s lie in gaps, in which up to 0.5 Ah may have flowed."}, {TimeAccount{Elapsed: 100, Counted: 99.4, Without: 0.51}, "Of 1 min 40 s, 1 min 39.4 s are counted; 0.51 s have no current at their ends."}, {TimeAccount{Elapsed: 100, Counted: 90, Gaps: 10, MayHide: 0.5}, "Of 1 min 40 s, 1 min 30 s are counted; 10 s lie in gaps, in which up to 0.5 Ah may have flowed."},
		{TimeAccount{Elapsed: 100, Counted: 80, Gaps: 10, Without: 10, MayHide: 0.5}, "Of 1 min 40 s, 1 min 20 s are counted; 10 s lie in gaps, in which up to 0.5 Ah may have flowed; 10 s have no current at their ends."}, {TimeAccount{Elapsed: 100, Gaps: 100}, ""},
	} {
		r := newResult(EvidenceLog)
		r.Time = x.account
		if got := r.TimeLedger(); got != x.want {
			t.Errorf("%+v: %q", x.account, got)
		}
	}
	for _, x := range []struct {
		accounts Accounts
		values   []ValueAccount
		want     string
	}{
		{Accounts{}, nil, ""}, {Accounts{Lines: 5, Head: 3, Aside: 2}, nil, ""}, {Accounts{Lines: 9, Head: 2, Aside: 1, Used: 6}, nil, "6 rows: 6 used"}, {Accounts{Lines: 2, Head: 1, Used: 1}, nil, "1 row: 1 used"}, {Accounts{Lines: 9, Used: 4, LeftOut: []LeftOut{{"log-bad-field", 3}, {"log-new", 2}}}, nil, "9 rows: 4 used, 5 left out (3 with a field that is no number, 2 by log-new)"},
		{Accounts{Lines: 6, Used: 6}, []ValueAccount{{Voltage, 6, 3, 2, 1}, {Current, 6, 6, 0, 0}, {Temperature, 6, 4, 0, 2}}, "6 rows: 6 used; 1 value of the voltage left out; the voltage empty in 2; 2 values of the temperature left out"},
	} {
		r := newResult(EvidenceLog)
		r.Accounts, r.Values = x.accounts, x.values
		if got := r.Ledger(); got != x.want {
			t.Errorf("%+v: %q", x.accounts, got)
		}
	}
	for _, x := range []struct {
		skipped, used int
		want          bool
	}{{6, 5, true}, {5, 5, false}, {1, 0, true}} {
		r := newResult(EvidenceLog)
		r.Skipped, r.Accounts.Used = x.skipped, x.used
		if got := len(r.mostlyLeftOut(nil)) > 0; got != x.want {
			t.Errorf("%+v: %t", x, got)
		}
	}
}

// TestSamplesThatAreNoTime: what goes back, and what is beyond any time, is left out and counted; a value that is none stays out of its row.
func TestSamplesThatAreNoTime(t *testing.T) {
	m := NewMeter(perfect())
	for _, s := range []Sample{vi(math.NaN(), 25, 5), vi(2e12, 25, 5), vi(0, 25, 5), vi(10, 25, 5), vi(9, 20, 9), vi(10, 25, 5), vi(20, 2e12, 5), vi(30, 25, math.Inf(1)), vi(40, 25, 5)} {
		m.Add(s)
	}
	r, _ := m.Result()
	r.account(Accounts{Lines: 9}, m)
	if r.Rows != 6 || m.skipped != 3 || r.Accounts.Sum() != 3 || r.Accounts.LeftOut[0].Rule != "log-clock-back" || r.Skipped != 3 {
		t.Errorf("%d rows, %d left out, %+v", r.Rows, m.skipped, r.Accounts)
	}
	if got := fmt.Sprint(r.Values); got != "[{time 6 6 0 0} {voltage 6 5 0 1} {current 6 5 0 1}]" {
		t.Errorf("%s", got)
	}
	near(t, "charge", float64(r.Charge.Out.Value), 5*40/3600., 1e-12)
	if m.leftOut(Voltage) != 1 || m.leftOut(Current) != 1 || m.leftOut(Speed) != 0 {
		t.Error("what is left out")
	}
	// Rows of other parts are counted by themselves.
	m = NewMeter(perfect())
	m.from, m.to = 3, 5
	for line := range 9 {
		s := vi(float64(line), 25, 5)
		s.Line = line
		m.Add(s)
	}
	r, _ = m.Result()
	if r.account(Accounts{Lines: 9}, m); r.Rows != 3 || m.outside != 6 || r.Skipped != 0 || r.Accounts.Sum() != 6 || r.Start != 3 || r.End != 5 {
		t.Errorf("%d rows, %d of other parts, %+v", r.Rows, m.outside, r.Accounts)
	}
}

// TestElapsedTimeByHand: the last digit of the times at either end, the quartz, and what coarse stamps leave.
func TestElapsedTimeByHand(t *testing.T) {
	for _, x := range []struct {
		step, digit float64
		loose       [2]float64
		want        float64
	}{
		{10, 0, [2]float64{}, math.Hypot(1/math.Sqrt(6), 50e-6*400/math.Sqrt(3))}, {10.25, 0, [2]float64{}, math.Hypot(0.01/math.Sqrt(6), 50e-6*410/math.Sqrt(3))}, {10, 60, [2]float64{}, math.Hypot(60/math.Sqrt(6), 50e-6*400/math.Sqrt(3))}, {10.25, 0, [2]float64{0.3, 0.4}, math.Sqrt(1e-4/6 + math.Pow(50e-6*410, 2)/3 + 0.25)}, {10.1234567, 0, [2]float64{}, math.Hypot(0.001/math.Sqrt(6), 50e-6*404.938268/math.Sqrt(3))},
	} {
		m := NewMeter(NewOptions())
		for k := range 41 {
			s := vi(x.step*float64(k), 25, 5)
			switch k {
			case 0:
				s.Loose = x.loose[0]
			case 40:
				s.Loose = x.loose[1]
			}
			m.Add(s)
		}
		m.digit = x.digit
		r, _ := m.Result()
		near(t, fmt.Sprint(x.step, x.digit, x.loose), float64(r.Elapsed.U), x.want, 1e-9)
	}
	o := NewOptions()
	o.Instruments = []Instrument{{Channel: Time, Accuracy: quantity.Accuracy{Fraction: 0.001}, Resolution: 0.1}}
	r := meter([]Sample{vi(0, 25, 5), vi(100, 25, 5)}, o)
	near(t, "by its instrument", float64(r.Elapsed.U), math.Hypot(0.1/math.Sqrt(3), 0.1*math.Sqrt2/math.Sqrt(12)), 1e-12)
}

// What a gap leaves out is said by its way: what was drawn, or what was put in, and never as a number below nothing.
func TestWhatGapsLeaveOut(t *testing.T) {
	for _, x := range []struct {
		out, in float64
		want    string
	}{{0.3, 0, "0.3 Ah"}, {0, 0.3, "0.3 Ah put in"}, {3, 1.5, "3 Ah drawn and 1.5 Ah put in"}, {0, 0, "0 Ah"}, {2, 0.0001, "2 Ah"}, {0.0001, 2, "2 Ah put in"}, {2, 0.001, "2 Ah drawn and 1 mAh put in"}} {
		if got := drawnAndPut(x.out, x.in); got != x.want {
			t.Errorf("%g out, %g in: %q, want %q", x.out, x.in, got, x.want)
		}
	}
	for _, x := range []struct{ text, want string }{
		{"time (s),voltage (V),discharge current (A)\n" + gapped(-6), "leaves out about 1.902 Ah put in ("},
		{"time (s),voltage (V),discharge current (A)\n" + gapped(6), "leaves out about 1.902 Ah ("},
	} {
		_, found, err := Measure(finding.NewStream("x.csv"), strings.NewReader(x.text), NewOptions())
		if err != nil {
			t.Fatal(err)
		}
		said := ""
		for _, f := range found {
			if f.Rule == "log-gap" {
				said += f.Text + " (" + f.Remedy + ")"
			}
		}
		if !strings.Contains(said, x.want) {
			t.Errorf("%q, want %q", said, x.want)
		}
	}
}

// gapped is a minute of a steady current, twenty minutes without a row, and a minute of it again.
func gapped(amps float64) string {
	var b strings.Builder
	for k := range 120 {
		at := k
		if k >= 60 {
			at += 1140
		}
		fmt.Fprintf(&b, "%d,25.0,%g\n", at, amps)
	}
	return b.String()
}
