package runlog

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"sort"
	"strings"
	"testing"

	"voltwright/internal/finding"
)

// madeRide is a ride with everything that a logger can say twice: two times, a power, counters, a speed and a distance.
func madeRide() string {
	var b strings.Builder
	b.WriteString("time (s),clock,voltage (V),current (A),power (W),charge used (Ah),energy used (Wh),speed (km/h),distance (m),temperature (°C)\n")
	ah, wh, metres := 0.0, 0.0, 0.0
	for k := range 600 {
		t := float64(2 * k)
		i := 9 + 3*math.Sin(t/40)
		switch {
		case k%100 < 6:
			i = 0.05
		case k%100 > 90:
			i = -2
		}
		v := 26.4 - 0.9*t/1200 - 0.06*i
		speed := 0.0
		if i > 1 || i < 0 {
			speed = 6 + math.Sin(t/70)
		}
		fmt.Fprintf(&b, "%.0f,2026-05-03T10:%02d:%02dZ,%.3f,%.3f,%.2f,%.5f,%.4f,%.2f,%.2f,%.2f\n", t, int(t)/60, int(t)%60, v, i, v*i, ah, wh, speed, metres, 17+t/400)
		ah, wh, metres = ah+i*2/3600, wh+v*i*2/3600, metres+speed/3.6*2
	}
	return b.String()
}

// madeTest is a tester's file: steps with their own time, a state, counters that start again at each step, minutes.
func madeTest() string {
	var b strings.Builder
	b.WriteString("Test Time (min)\tStep\tStep Time (min)\tState\tCurrent (A)\tVoltage (V)\tCapacity (Ah)\tEnergy (Wh)\n")
	row := 0
	minute := 0.0
	for step, s := range []struct {
		state   string
		amps    float64
		minutes int
	}{{"Rest", 0, 10}, {"Discharge", -2.5, 110}, {"Rest", 0, 30}, {"Charge", 1.8, 150}, {"Rest", 0, 20}, {"Discharge", -2.5, 100}, {"Rest", 0, 15}} {
		ah, wh := 0.0, 0.0
		for k := range s.minutes * 2 {
			part := float64(k) / float64(s.minutes*2)
			v := 3.9
			switch s.state {
			case "Discharge":
				v = 4.1 - 0.9*part
			case "Charge":
				v = 3.5 + 0.7*part
			}
			fmt.Fprintf(&b, "%.2f\t%d\t%.2f\t%s\t%.4f\t%.4f\t%.6f\t%.6f\n", minute, step+1, float64(k)/2, s.state, s.amps, v, ah, wh)
			ah, wh = ah+math.Abs(s.amps)/120, wh+math.Abs(s.amps)*v/120
			minute += 0.5
			row++
		}
	}
	return b.String()
}

// madeCurrent is a log of current alone.
func madeCurrent() string {
	var b strings.Builder
	b.WriteString("time (s),current (A)\n")
	for k := range 300 {
		fmt.Fprintf(&b, "%d,%.2f\n", k, 5+2*math.Sin(float64(k)/20))
	}
	return b.String()
}

// thousand are the logs that are damaged.
func thousand(t *testing.T) []*sheet {
	var out []*sheet
	for _, b := range []struct {
		path string
		rows int
	}{
		{"testdata/logs/panasonic-18650pf/25C_1C_discharge_start_a.csv", 500},
		{"testdata/logs/panasonic-18650pf/25C_HPPC_5pulse_SOC20.csv", 800},
		{"testdata/logs/lg-m50-warwick/T25_cRate_0p5C_discharge_rest_charge.csv", 900},
		{"testdata/logs/nasa-pcoe-18650/B0005_discharge_first_05122.csv", 300},
		{"testdata/logs/nasa-pcoe-18650/B0005_charge_second_05123.csv", 500},
		{"testdata/logs/bboxx-lead-acid-17ah/unit-a-2017-03-28.csv", 900},
		{"testdata/logs/f1tenth-rc-car/DS5_coreData.csv", 500},
		{"content/shunter/3-second-pack/field-2026-04-12.csv", 500},
		{"content/shunter/1-lead-acid/field-2024-06-15.csv", 500},
		{"content/barrow/1-li-ion/charge-2025-05-10.csv", 500},
		{"content/barrow/2-larger-pack/field-2026-05-09.csv", 500},
	} {
		out = append(out, cut(t, b.path[strings.LastIndex(b.path, "/")+1:], readBase(t, b.path, b.rows)))
	}
	return append(out, cut(t, "a made ride", madeRide()), cut(t, "a made test", madeTest()), cut(t, "a made log of current alone", madeCurrent()))
}

// A thousand damaged logs: none gives a number outside its own interval without an error or a finding that the good log
// does not have. What contradicts nothing else in the file is counted apart.
func TestThousandDamagedLogs(t *testing.T) {
	wanted := 1000
	if testing.Short() {
		wanted = 100
	}
	bases := thousand(t)
	type good struct {
		result *Result
		rules  map[string]string
	}
	goods := make([]good, len(bases))
	for k, b := range bases {
		r, found := measureText(t, b.text())
		goods[k] = good{r, rulesOf(found)}
		for _, f := range found {
			if f.Level == finding.Error {
				t.Fatalf("%s: %s [%s]", b.name, f.Text, f.Rule)
			}
		}
	}
	random := rand.New(rand.NewPCG(12, 3))
	counts := map[string]map[string]int{}
	var apart, through []string
	for n, turn := 0, 0; n < wanted; turn++ {
		which := random.IntN(len(bases))
		kind := damages[turn%len(damages)]
		d := damaged{kind: kind.kind, sheet: bases[which].clone()}
		if !kind.do(d.sheet, random, &d) {
			continue // the log that was drawn has nothing to damage so
		}
		n++
		r, found := measureText(t, d.sheet.text())
		wrong := outside(r, goods[which].result)
		text := fmt.Sprintf("%s, %s: %s; %s", bases[which].name, d.kind, d.what, strings.Join(wrong, ", "))
		switch {
		case slices.ContainsFunc(found, func(f finding.Finding) bool { return f.Level == finding.Error }):
			counts = count(counts, d.kind, "refused")
		case len(wrong) == 0:
			counts = count(counts, d.kind, "right")
		case names(found, goods[which].rules):
			counts = count(counts, d.kind, "wrong and named")
		case contradictsNothing(t, &d, bases[which]):
			counts = count(counts, d.kind, "contradicts nothing")
			apart = append(apart, text)
		default:
			counts = count(counts, d.kind, "through")
			through = append(through, text)
		}
	}
	report(t, counts)
	sort.Strings(apart)
	t.Logf("%d contradict nothing else in their file:\n%s", len(apart), strings.Join(apart, "\n"))
	if n := len(apart); n*20 > wanted {
		t.Errorf("%d of %d damages contradict nothing: the logs say too little twice", n, wanted)
	}
	for _, text := range through {
		t.Errorf("got through: %s", text)
	}
}

func count(counts map[string]map[string]int, kind, verdict string) map[string]map[string]int {
	if counts[kind] == nil {
		counts[kind] = map[string]int{}
	}
	counts[kind][verdict]++
	counts["all"] = orEmpty(counts["all"])
	counts["all"][verdict]++
	return counts
}

func orEmpty(m map[string]int) map[string]int {
	if m == nil {
		return map[string]int{}
	}
	return m
}

func report(t *testing.T, counts map[string]map[string]int) {
	verdicts := []string{"right", "refused", "wrong and named", "contradicts nothing", "through"}
	var b strings.Builder
	fmt.Fprintf(&b, "%-22s", "")
	for _, v := range verdicts {
		fmt.Fprintf(&b, "%20s", v)
	}
	var kinds []string
	for kind := range counts {
		kinds = append(kinds, kind)
	}
	sort.Strings(kinds)
	for _, kind := range kinds {
		fmt.Fprintf(&b, "\n%-22s", kind)
		for _, v := range verdicts {
			fmt.Fprintf(&b, "%20d", counts[kind][v])
		}
	}
	t.Log("\n" + b.String())
}

func rulesOf(found []finding.Finding) map[string]string {
	out := map[string]string{}
	for _, f := range found {
		out[f.Rule] += f.Text + "\n"
	}
	return out
}

// names says whether a finding names the damage: one of a rule that the good log has nothing to say under, or with other words.
func names(found []finding.Finding, before map[string]string) bool {
	after := rulesOf(found)
	for rule, text := range after {
		if before[rule] != text && rule != "log-several-parts" && rule != "log-columns-several" {
			return true
		}
	}
	return false
}

// contradictsNothing says whether a damage leaves a file that agrees with itself: nothing else in it says what was changed.
//
//   - a temperature in another unit, of another sign or from another thermometer, throughout;
//   - a column taken out of a log that has another one for the same;
//   - a current in another unit throughout, or of another sign where there is no voltage, in a log without power, counters,
//     state or distance;
//   - a time in another unit throughout, of a log of current alone;
//   - a clock that jumps ahead by less than twice the longest interval of the good log, where no second time is written.
func contradictsNothing(t *testing.T, d *damaged, s *sheet) bool {
	has := func(channels ...Channel) bool {
		return slices.ContainsFunc(s.columns, func(c Column) bool { return slices.Contains(channels, c.Channel) })
	}
	scaled := d.whole && (d.kind == "factor 1000" || d.kind == "unit swapped")
	turned := d.whole && d.kind == "sign turned"
	switch {
	case (scaled || turned) && (d.channel == Temperature || d.channel == Ambient):
		return true
	case d.kind == "heads swapped" && (d.what == "temperature with ambient" || d.what == "ambient with temperature"):
		return true
	case d.kind == "column dropped":
		scanner, err := NewScanner(finding.NewStream("log"), strings.NewReader(d.sheet.text()), NewOptions())
		return err == nil && slices.ContainsFunc(scanner.Dialect().Columns, func(c Column) bool { return c.Channel == d.channel })
	case d.channel == Current && !has(Power, ChargeCounter, EnergyCounter, State, Distance, Speed):
		return scaled || turned && !has(Voltage)
	case d.channel == Time && scaled:
		return !has(Voltage, Power, ChargeCounter, EnergyCounter, State, Distance, Speed, SecondTime, StepTime)
	case d.kind == "clock jumps":
		return d.jump > 0 && d.jump <= 1.9*s.longest && !has(SecondTime, StepTime)
	}
	return false
}
