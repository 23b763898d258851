package runlog

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
	"voltwright/internal/recorded"
)

// anyLog makes a log of whatever sort: loads in steps, rests and charges, with or without a temperature, a way, counters and a state,
// of coarse or fine digits and stamps, with gaps, stops, a cutout's opening, in units and signs of either sort.
func anyLog(r *rand.Rand) string {
	some := func(part float64) bool { return r.Float64() < part }
	var (
		interval           = []float64{0.1, 0.5, 1, 2, 10, 60}[r.IntN(6)]
		digits             = r.IntN(4)
		coarse             = some(0.25)
		warm, way, counted = some(0.5), some(0.5), some(0.3)
		power, states      = some(0.2), some(0.2)
		milli, turned      = some(0.2), some(0.3)
		comma, date        = some(0.15), some(0.15)
		opens              = some(0.25)
	)
	sep := ","
	if comma {
		sep = ";"
	}
	unit := map[bool]string{true: "mA", false: "A"}[milli]
	head := []string{"time (s)", "voltage (V)", "current (" + unit + ")"}
	if date {
		head[0] = "time"
	}
	for _, c := range []struct {
		on   bool
		name string
	}{{warm, "temperature (°C)"}, {way, "speed (km/h)"}, {way, "distance (m)"}, {counted, "charge (Ah)"}, {power, "power (W)"}, {states, "state"}} {
		if c.on {
			head = append(head, c.name)
		}
	}
	var b strings.Builder
	b.WriteString(strings.Join(head, sep) + "\n")
	t, i, ah, metres, temperature, rest := 0.0, 0.0, 0.0, 0.0, 18.0, 27.2
	rows, left, open := 60+r.IntN(240), 0, false
	for k := range rows {
		if left--; left < 0 {
			left = 3 + r.IntN(40)
			i = []float64{0, 0.02, 4, 9, 14, 22, -3, -1}[r.IntN(8)]
			if opens && k > rows*2/3 {
				open = true
			}
			if open {
				i = 0
			}
		}
		now := i * (1 + 0.05*r.NormFloat64())
		speed := 0.0
		if i > 2 {
			speed = 1 + i/8
		}
		rest -= math.Max(now, 0) * interval / 9000
		if open {
			rest = math.Min(rest+0.02, 25.6)
		}
		v := rest - 0.05*now
		stamp, sign, factor := t, 1.0, 1.0
		if coarse {
			stamp = math.Floor(t)
		}
		if turned {
			sign = -1
		}
		if milli {
			factor = 1000
		}
		cells := []string{fmt.Sprintf("%.*f", map[bool]int{true: 0, false: 2}[coarse], stamp), fmt.Sprintf("%.*f", digits, v), fmt.Sprintf("%.*f", digits, sign*factor*now)}
		if date {
			s := int(stamp)
			cells[0] = fmt.Sprintf("2026-05-%02d %02d:%02d:%02d", 3+s/86400, s/3600%24, s/60%60, s%60)
		}
		if warm {
			cells = append(cells, fmt.Sprintf("%.1f", temperature))
		}
		if way {
			cells = append(cells, fmt.Sprintf("%.2f", 3.6*speed), fmt.Sprintf("%.1f", metres))
		}
		if counted {
			cells = append(cells, fmt.Sprintf("%.4f", ah))
		}
		if power {
			cells = append(cells, fmt.Sprintf("%.2f", sign*v*now))
		}
		if states {
			cells = append(cells, map[bool]string{true: "D", false: "R"}[now > 0.5])
		}
		if some(0.01) {
			cells[1+r.IntN(len(cells)-1)] = []string{"", "nan", "-"}[r.IntN(3)]
		}
		line := strings.Join(cells, sep)
		if comma {
			line = strings.ReplaceAll(line, ".", ",")
		}
		b.WriteString(line + "\n")
		step := interval
		if some(0.01) {
			step *= 5 + 60*r.Float64()
		}
		t, ah, metres, temperature = t+step, ah+math.Max(now, 0)*step/3600, metres+speed*step, temperature+math.Abs(now)*step/20000
	}
	return b.String()
}

// All that is measured on logs of every sort, number by number and word for word: a net beside what is held to a source.
func TestLogsOfEverySort(t *testing.T) {
	var b strings.Builder
	for n := range 48 {
		r := rand.New(rand.NewPCG(29, uint64(n)))
		text := anyLog(r)
		o := NewOptions()
		if n%3 == 0 {
			o.PauseAfter = 20
		}
		if n%4 == 0 {
			o.Rated, o.Series = quantity.Exact(quantity.AmpereHours(20)), 8
			o.Cutout = &Cutout{Opens: quantity.Exact(quantity.Volts(24)), Threshold: quantity.Exact(quantity.Volts(1.6))}
		}
		result, found, err := Measure(finding.NewStream("log"), strings.NewReader(text), o)
		if err != nil {
			t.Fatal(err)
		}
		fmt.Fprintf(&b, "== %d\n%s\n", n, strings.Join(append(tellResult(result), foundLines(found)...), "\n"))
	}
	recorded.Text(t, "testdata/sorts.golden", b.String())
}
