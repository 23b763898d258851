package predict

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"voltwright/internal/battery"
)

// goesWithDate is a correlation of the current or the temperature with the date above which what a run shows may be theirs as well as its date's.
const goesWithDate = 0.7

// leastForFade is how many dated runs a trend takes.
const leastForFade = 4

// fade is how the capacity goes with the date.
type fade struct {
	perDay float64 // of its logarithm, below 0
	newest int
}

// fades finds whether the capacities that runs show, each alone, fall with their dates: the slope of a straight line through their logarithms lies
// below zero beyond the interval of 95 % of Student's distribution, by their scatter about the line and by what each leaves open, and neither current nor temperature went with the date. nil: not.
func (k *known) fades(by []*calibrationLog) *fade {
	var days, logs, us []float64
	others := make([][]float64, 2) // what may look like it: current and temperature that went with the date
	newest := 0
	for _, l := range by {
		if l.run.Day == 0 {
			continue
		}
		alone, _, err := k.calibratedOn([]*calibrationLog{l})
		if err != nil {
			continue
		}
		s, err := alone.estimates[0].Spread(func(c *battery.Cell) ([]float64, error) { return []float64{math.Log(float64(c.Capacity))}, nil })
		if err != nil {
			continue
		}
		days, logs, us = append(days, float64(l.run.Day)), append(logs, s[0].Value), append(us, s[0].U)
		newest = max(newest, l.run.Day)
		current, ambient := math.NaN(), float64(l.run.Ambient.Value)
		if load, err := battery.LoadOf(l.log, alone.estimates[0].Cell().Capacity); err == nil {
			current = math.Log(float64(load.Current.Value))
		}
		others[0], others[1] = append(others[0], current), append(others[1], ambient)
	}
	if goWith(days, others...) {
		return nil
	}
	slope, _, ok := falls(days, logs, us)
	if !ok {
		return nil
	}
	return &fade{slope, newest}
}

// goWith says whether any of several others goes with the date: logarithms of currents, or temperatures. What varies by less than a hundredth does not.
func goWith(days []float64, others ...[]float64) bool {
	for _, other := range others {
		if len(days) > 1 && slices.Max(other)-slices.Min(other) > 0.01 && math.Abs(stat.Correlation(days, other, nil)) > goesWithDate {
			return true
		}
	}
	return false
}

// falls is the slope of a straight line through points, what chance makes of it at most, and whether it is surely below zero.
func falls(x, y, u []float64) (slope, chance float64, ok bool) {
	n := float64(len(x))
	if len(x) < leastForFade {
		return 0, 0, false
	}
	var mx, my, xx, xy, scatter, left float64
	for i := range x {
		mx, my = mx+x[i]/n, my+y[i]/n
	}
	for i := range x {
		xx, xy = xx+(x[i]-mx)*(x[i]-mx), xy+(x[i]-mx)*(y[i]-my)
		left += u[i] * u[i] / n
	}
	if !(xx > 0) {
		return 0, 0, false
	}
	slope = xy / xx
	for i := range x {
		d := y[i] - my - slope*(x[i]-mx)
		scatter += d * d / (n - 2)
	}
	t := distuv.StudentsT{Sigma: 1, Nu: n - 2}.Quantile(0.975)
	chance = t * math.Sqrt(max(scatter, left)/xx)
	return slope, chance, slope < -chance
}

// asOfNewest gives a run the current that would have run down the packs as they are now in the same way.
func (f *fade) asOfNewest(l *calibrationLog) {
	if l.run.Day == 0 {
		return
	}
	part := math.Exp(f.perDay * float64(f.newest-l.run.Day)) // of what it held then
	l.log.Amperes = slices.Clone(l.log.Amperes)
	for i := range l.log.Amperes {
		l.log.Amperes[i] *= part
	}
}

func (f *fade) words() string {
	return fmt.Sprintf("The packs fade: what each run shows alone falls by %.1f %% in a hundred days, beyond what chance explains; answers are for the day of the newest run. ", 100*(1-math.Exp(100*f.perDay)))
}

// metersExplain is what the voltages of two runs may differ by with what the meters and the model are off by, V of a cell.
const metersExplain = 0.01

// apart says which two of several runs differ most, by voltage, where they do not go together.
func (k *known) apart(by []*calibrationLog, misfit float64) string {
	cell := k.estimates[0].Cell()
	type one struct {
		name string
		off  float64
	}
	var all []one
	for _, l := range by {
		if r, err := battery.Compare(cell, l.log); err == nil && !math.IsNaN(float64(r.All)) {
			all = append(all, one{l.run.Slug, float64(r.All)})
		}
	}
	if len(all) < 2 {
		return ""
	}
	slices.SortStableFunc(all, func(a, b one) int { return cmp.Compare(b.off, a.off) })
	return fmt.Sprintf("%s and %s differ by about %.0f mV a cell more than the meters explain (reduced χ² %s): different warmth, not full at the start, or a different cell? The intervals are wider for it. ",
		all[0].name, all[1].name, 1000*max(0, all[0].off+all[1].off-metersExplain), chiSquare(misfit))
}
