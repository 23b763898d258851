package runlog

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"voltwright/internal/finding"
)

// TestAnswersInBlocks: the answers of the voltage to changes of a current that flows in, out or both ways are summed alike in blocks and
// row by row.
func TestAnswersInBlocks(t *testing.T) {
	for n := range 60 {
		random := rand.New(rand.NewPCG(33, uint64(n)))
		byRow, inBlocks := &answers{}, &signWitness{}
		m := NewMeter(NewOptions())
		m.opinions.ofRows, m.opinions.ofPasses = []listener{{nil, inBlocks.block}}, nil
		level, at := 0.0, 0.0
		for k := range 900 {
			if random.IntN(6) == 0 {
				level = 1 + 9*random.Float64()
			}
			amps := level
			switch n % 3 {
			case 0:
				amps = -amps
			case 1:
				amps *= float64(1 - 2*(k/40%2))
			}
			at += 0.1 + 4*random.Float64()*float64(random.IntN(2))
			s := vi(at, 25-0.05*amps+0.01*random.Float64(), amps)
			s.Line = k + 2
			byRow.row(&s)
			m.Add(s)
		}
		m.Result()
		for side := range byRow.sides {
			a, b := byRow.sides[side], inBlocks.answers.sides[side]
			if a.n != b.n || a.n == 0 && n%3 == 1 {
				t.Errorf("log %d, side %d: %d changes row by row, %d in blocks", n, side, a.n, b.n)
			}
			for what, pair := range map[string][2]float64{"vi": {a.vi.value(), b.vi.value()}, "vv": {a.vv.value(), b.vv.value()}, "ii": {a.ii.value(), b.ii.value()}} {
				near(t, fmt.Sprintf("log %d, side %d, %s", n, side, what), pair[1], pair[0], 1e-9*(1+math.Abs(pair[0])))
			}
		}
	}
}

// TestBeginningAnewAtABlock: wherever a log begins anew, or a stamp is coarse where the load ends, beside the border of a block or not,
// its charge and what that leaves open are the same.
func TestBeginningAnewAtABlock(t *testing.T) {
	for at := blockRows - 6; at <= blockRows+6; at++ {
		var anew, coarse []Sample
		for k := range 2 * blockRows {
			s := vi(float64(k), 25, 6)
			if k >= at {
				s.Time += 1000
			}
			s.Restart = k == at
			anew = append(anew, s)
		}
		near(t, fmt.Sprintf("charge, anew at %d", at), float64(meter(anew, perfect()).Charge.Out.Value)*3600, 6*(2*blockRows-2), 1e-6)
		for k := range at + 300 {
			s := vi(float64(k), 25, 0)
			if k > at-50 && k <= at {
				s.Values[Current] = 6
			}
			if k == at {
				s.Loose = 0.4
			}
			coarse = append(coarse, s)
		}
		r := meter(coarse, perfect())
		near(t, fmt.Sprintf("charge, coarse at %d", at), float64(r.Charge.Out.Value)*3600, 6*50, 1e-6)
		if at == blockRows-6 {
			continue
		}
		first := meter(coarse[at-(blockRows-6):], perfect())
		near(t, fmt.Sprintf("what a coarse stamp at %d leaves open", at), float64(r.Charge.Out.U)*3600, float64(first.Charge.Out.U)*3600, 1e-9)
	}
}

// The time of a log that begins late is from its first row on.
func TestTimeFromTheFirstRow(t *testing.T) {
	var b strings.Builder
	b.WriteString("time (s),voltage (V),current (A)\n")
	for k := range 30 {
		amps := "6"
		if k < 3 {
			amps = ""
		}
		fmt.Fprintf(&b, "%d,25.%d,%s\n", 500+k, k%3, amps)
	}
	r, _, err := Measure(finding.NewStream("log"), strings.NewReader(b.String()), NewOptions())
	if err != nil {
		t.Fatal(err)
	}
	if a := r.Time; a.Elapsed != 29 || a.Counted != 26 || a.Gaps != 0 || a.Without != 3 {
		t.Errorf("%+v", a)
	}
}

// Distance is not counted across a gap from a speed that is just above standing; below that nothing is missed.
func TestDistanceAcrossAGap(t *testing.T) {
	for speed, metres := range map[float64]float64{0.0505: 0.0505 * 19, 0.0495: 0.0495 * 1019} {
		var samples []Sample
		for k := range 21 {
			at := float64(k)
			if k > 10 {
				at += 999
			}
			samples = append(samples, row(at, map[Channel]float64{Voltage: 25, Current: 1, Speed: speed}))
		}
		near(t, fmt.Sprintf("distance at %g m/s", speed), float64(meter(samples, perfect()).Distance.Value), metres, 1e-6)
	}
}

// Settings beside the data name the unit of the one column that is left; of two they cannot tell which.
func TestUnitInTheSettings(t *testing.T) {
	rises := repeated(20, func(k int) float64 { return 20 + float64(k%3) })
	for _, x := range []struct {
		of   int
		unit string
		want bool
	}{{1, "V", true}, {1, "A", true}, {1, "m", false}, {1, "", false}, {2, "V", false}} {
		a := columns([][]float64{rises, rises}[:x.of]...)
		a.rows.settings["vertical units"] = x.unit
		a.bySetting()
		if got := a.has(Voltage) || a.has(Current); got != x.want {
			t.Errorf("%+v: %t", x, got)
		}
	}
}

// Rows whose time could not be read are no fall to zero.
func TestTimesThatAreMissing(t *testing.T) {
	a := &assigner{window: make([][]float64, 4)}
	if a.fallsToZero(map[int]float64{0: 100, 1: 200, 3: 300}) {
		t.Error("a missing time is taken for zero")
	}
}

// What is the time in a step is told by its head, from the least that tells anything on.
func TestHeadOfAStepClock(t *testing.T) {
	for _, head := range []string{"step time", "time in step", "step_time", "prog time step", "step time relative"} {
		h := parseHead(head)
		c, score := h.channel()
		a := columns([]float64{1})
		a.layout.kinds[0], a.plan.heads[0] = kindTime, h
		a.rows.texts = [][][]byte{{[]byte("00:00:01"), []byte("00:00:02"), []byte("00:00:03")}}
		a.stepClock()
		if want := c == StepTime && score >= leastScore; a.has(StepTime) != want {
			t.Errorf("%q, %s by %d: %t", head, c, score, a.has(StepTime))
		}
	}
}

// A rebound that is over within a second is told as well as a slow one, and what it rose by is from the first sample to the last.
func TestQuickRebound(t *testing.T) {
	x := repeated(40, func(k int) float64 { return 0.02 * float64(k) })
	y := repeated(40, func(k int) float64 { return 25 - math.Exp(-x[k]/0.2) })
	fit, why := fitRebound(x, y, 0, 0)
	if fit == nil {
		t.Fatal(why)
	}
	near(t, "time constant", float64(fit.TimeConstant.Value), 0.2, 1e-6)
	near(t, "amplitude", float64(fit.Amplitude.Value), 1, 1e-6)
	y[1] = 30 // a spike: what it rose by is not from there
	if _, why := fitRebound(x, y, 0, 0); why == "The voltage does not rise after the opening." {
		t.Error(why)
	}
}

// The steps' own time is held against the log's also where no column numbers the steps.
func TestStepTimeWithoutSteps(t *testing.T) {
	for unit, found := range map[string]bool{"s": false, "min": true} {
		var b strings.Builder
		fmt.Fprintf(&b, "time (s),voltage (V),current (A),step time (%s)\n", unit)
		for k := range 200 {
			fmt.Fprintf(&b, "%d,%.2f,5,%d\n", 10*k, 26-float64(k)/200, 10*(k%100))
		}
		_, list, err := Measure(finding.NewStream("log"), strings.NewReader(b.String()), NewOptions())
		if err != nil {
			t.Fatal(err)
		}
		got := false
		for _, f := range list {
			got = got || f.Rule == "log-step-time-disagrees"
		}
		if got != found {
			t.Errorf("step time in %s: %v", unit, list)
		}
	}
}

// Two points on opposite sides of the earth are half of its way round apart, whatever the last binary digit of the sines is.
func TestOppositePoints(t *testing.T) {
	for k := range 1800 {
		lat := float64(k-900) / 10
		near(t, fmt.Sprintf("from %g°", lat), greatCircle(lat, 7.3, -lat, -172.7), math.Pi*earthRadius, 1e-6*earthRadius)
	}
}

// A value that no channel can have, in the middle of a block, is left out as it is row by row.
func TestUnusableInBlocks(t *testing.T) {
	for _, c := range []Channel{Voltage, Current, Temperature} {
		for _, x := range []float64{1e300, -1e300, math.Inf(1)} {
			random := rand.New(rand.NewPCG(34, uint64(c)))
			var samples []Sample
			for k := range 600 {
				s := row(float64(k), map[Channel]float64{Voltage: 25 + 0.01*random.Float64(), Current: 6 + 0.01*random.Float64(), Temperature: 18})
				if k == 250 {
					s.Values[c] = x
				}
				s.Line = k + 2
				samples = append(samples, s)
			}
			want := toldOfRows(samples, 0, perfect())
			if got := toldOfRows(samples, 4000, perfect()); got != want {
				t.Errorf("%v %g:\n%s", c, x, apartLines(got, want))
			}
		}
	}
}
