package runlog

import (
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"sort"
	"strconv"
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

// damageSeeds are the draws that are wanted: VOLTWRIGHT_DAMAGE_SEED is one number, or two with "-" between.
func damageSeeds(t *testing.T) []uint64 {
	text := os.Getenv("VOLTWRIGHT_DAMAGE_SEED")
	if text == "" {
		return []uint64{3}
	}
	low, high, several := strings.Cut(text, "-")
	if !several {
		high = low
	}
	from, err := strconv.ParseUint(low, 10, 64)
	to, other := strconv.ParseUint(high, 10, 64)
	if err != nil || other != nil || to < from {
		t.Fatalf("VOLTWRIGHT_DAMAGE_SEED is %q, want a number, or two as 13-22", text)
	}
	var seeds []uint64
	for seed := from; seed <= to; seed++ {
		seeds = append(seeds, seed)
	}
	return seeds
}

// goodLog is a log before it is damaged, and what is made of it.
type goodLog struct {
	*sheet
	result *Result
	found  []finding.Finding
}

func goodLogs(t *testing.T) []goodLog {
	var goods []goodLog
	for _, b := range thousand(t) {
		r, found := measureText(t, b.text())
		goods = append(goods, goodLog{b, r, found})
		for _, f := range found {
			if f.Level == finding.Error {
				t.Fatalf("%s: %s [%s]", b.name, f.Text, f.Rule)
			}
		}
	}
	return goods
}

// damageTurns is the order in which the kinds of damage are drawn: those that come first in their table twice as often.
func damageTurns() []int {
	var turns []int
	for k := range damages {
		turns = append(turns, k)
		if k < often {
			turns = append(turns, k)
		}
	}
	return turns
}

// draw damages one of the logs, in the way of the given row of the table: where the log that is drawn has nothing to damage so,
// another one.
func draw(goods []goodLog, kind int, random *rand.Rand) (damaged, *goodLog) {
	for {
		good := &goods[random.IntN(len(goods))]
		d := damaged{kind: damages[kind].kind, sheet: good.clone()}
		if damages[kind].do(d.sheet, random, &d) {
			return d, good
		}
	}
}

// A thousand damaged logs: none gives a number outside its own interval without an error or a finding that names the
// damage. What contradicts nothing else in the file is counted apart. VOLTWRIGHT_DAMAGE_SEED draws other thousands.
func TestThousandDamagedLogs(t *testing.T) {
	goods := goodLogs(t)
	for _, seed := range damageSeeds(t) {
		t.Run(fmt.Sprintf("seed %d", seed), func(t *testing.T) { damageThousand(t, goods, seed) })
	}
}

func damageThousand(t *testing.T, goods []goodLog, seed uint64) {
	wanted := 1000
	if testing.Short() {
		wanted = 100
	}
	random := rand.New(rand.NewPCG(12, seed))
	counts, naming, nothing := tallies{}, tallies{}, tallies{}
	var apart, through []string
	turns := damageTurns()
	for n := range wanted {
		d, good := draw(goods, turns[n%len(turns)], random)
		damagedText := d.sheet.text()
		r, found := measureText(t, damagedText)
		text := fmt.Sprintf("%s, %s: %s", good.name, d.kind, d.what)
		checkAccounts(t, text, damagedText, r)
		wrong := outside(r, good.result)
		text += "; " + strings.Join(wrong, ", ")
		refused := slices.ContainsFunc(found, func(f finding.Finding) bool { return f.Level == finding.Error })
		names := named(&d, found, good.found)
		switch {
		case refused:
			counts.add(d.kind, "refused")
		case len(wrong) == 0:
			counts.add(d.kind, "right")
		case len(names) > 0:
			counts.add(d.kind, "wrong and named")
			for _, rule := range names {
				naming.add(d.kind, rule)
			}
		default:
			why := contradictsNothing(&d, good.sheet)
			if why == "" {
				counts.add(d.kind, "through")
				var others []string
				for _, f := range found {
					others = append(others, fmt.Sprintf("line %d: %s: %s", f.Span.Position().Line, f.Rule, f.Text))
				}
				through = append(through, text+"\n\t\t"+strings.Join(others, "\n\t\t"))
				continue
			}
			counts.add(d.kind, "contradicts nothing")
			nothing.add(d.kind, why)
			apart = append(apart, text)
		}
	}
	t.Logf("seed %d\n%s", seed, counts.table("right", "refused", "wrong and named", "contradicts nothing", "through"))
	t.Logf("what named the damage:\n%s", naming.list())
	sort.Strings(apart)
	t.Logf("%d contradict nothing else in their file:\n%s\n%s", len(apart), nothing.list(), strings.Join(apart, "\n"))
	if n := len(apart); n*20 > wanted {
		t.Errorf("%d of %d damages contradict nothing: the logs say too little twice", n, wanted)
	}
	for _, text := range through {
		t.Errorf("got through: %s", text)
	}
}

// tallies counts by two words.
type tallies map[string]map[string]int

func (c tallies) add(a, b string) {
	for _, key := range []string{a, "all"} {
		if c[key] == nil {
			c[key] = map[string]int{}
		}
		c[key][b]++
	}
}

// table prints the counts of the given second words for every first one.
func (c tallies) table(columns ...string) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%-22s", "")
	for _, v := range columns {
		fmt.Fprintf(&b, "%20s", v)
	}
	for _, key := range slices.Sorted(maps.Keys(c)) {
		fmt.Fprintf(&b, "\n%-22s", key)
		for _, v := range columns {
			fmt.Fprintf(&b, "%20d", c[key][v])
		}
	}
	return b.String()
}

// list prints all that was counted, one first word a line.
func (c tallies) list() string {
	var b strings.Builder
	for _, key := range slices.Sorted(maps.Keys(c)) {
		var parts []string
		for _, v := range slices.Sorted(maps.Keys(c[key])) {
			parts = append(parts, fmt.Sprintf("%d %s", c[key][v], v))
		}
		fmt.Fprintf(&b, "%-22s%s\n", key, strings.Join(parts, ", "))
	}
	return b.String()
}
