package sized

import (
	"math"
	"math/rand/v2"
	"strconv"
)

// cellVolts is the voltage at rest of one cell of lithium iron phosphate, from empty to full in steps of a tenth, as it may be:
// invented, and never held against anything.
var cellVolts = []float64{2.55, 3.18, 3.22, 3.25, 3.28, 3.29, 3.30, 3.31, 3.33, 3.34, 3.42}

func restingVolts(charge float64) float64 {
	at := max(0, min(charge, 1)) * float64(len(cellVolts)-1)
	n := min(int(at), len(cellVolts)-2)
	return cellVolts[n] + (at-float64(n))*(cellVolts[n+1]-cellVolts[n])
}

// drawLog is a run of so many rows, whatever the time from one to the next, from a full pack of about 20 Ah until it holds a tenth, and
// the charge in Ah that the rows come to. The load swells and falls, and stands still now and then.
func drawLog(random *rand.Rand, rows int) (text string, charge float64) {
	const cells, label = 8, 20.0 // Ah
	capacity := label * (0.96 + 0.02*random.Float64())
	load := 6 + 5*random.Float64() // A
	resistance, slow := 0.020+0.008*random.Float64(), 0.012
	step := math.Round(1000*0.9*capacity/(load*0.96)*3600/float64(max(rows, 2))) / 1000 // s
	held, lag, before := capacity, 0.0, 0.0
	b := append(make([]byte, 0, 24*rows), "time (s),voltage (V),current (A)\n"...)
	for k := range rows {
		t := float64(k) * step
		amps := load * (1 + 0.4*math.Sin(t/40) + 0.05*random.NormFloat64())
		if math.Mod(t, 700) > 672 { // a halt
			amps = 0
		}
		amps = math.Round(1000*max(amps, 0)) / 1000
		if k > 0 {
			charge += (amps + before) / 2 * step / 3600
		}
		held, before = capacity-charge, amps
		lag += (slow*amps - lag) * (1 - math.Exp(-step/60))
		volts := cells*restingVolts(held/capacity) - resistance*amps - lag + 0.003*random.NormFloat64()
		b = strconv.AppendFloat(b, t, 'f', 3, 64)
		b = strconv.AppendFloat(append(b, ','), volts, 'f', 3, 64)
		b = strconv.AppendFloat(append(b, ','), amps, 'f', 3, 64)
		b = append(b, '\n')
	}
	return string(b), charge
}
