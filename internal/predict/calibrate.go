package predict

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"voltwright/internal/battery"
	"voltwright/internal/quantity"
)

// ResistanceAfter10s is the name of the value of a Basis that is the packs'
// resistance after ten seconds of load.
const ResistanceAfter10s = "resistance-10-s"

// LearnedFromRuns is what that value rests on, where it is taken for one that nobody stated.
const LearnedFromRuns = "learned from its runs, after 10 s of load"

// Basis is what an answer rests on.
type Basis struct {
	Calibrated bool
	Words      string              // in a sentence or two
	Packs      string              // the packs and the cutout as they are stated, in a line
	Runs       []CalibrationRun    // each run of the version
	Plugs      *PlugGrowth         // nil: no run shows that their resistance grows
	Values     []battery.Value     // of the whole bank, at 25 °C
	Misfit     float64             // reduced χ² of the voltages; NaN without a calibration
	Parts      []battery.KnownPack // what was computed with: the version's packs
}

// CalibrationRun says whether a run taught, and why or why not.
type CalibrationRun struct {
	Run, Name string
	Taught    bool    // the calibration has seen it
	Checked   bool    // a prediction was held against it
	Why       string  // how it began, or why it does not teach
	Contact   Contact // how its plugs are, by its first ten seconds
	Out       quantity.Measured[quantity.AmpereHours]
	log       *calibrationLog
}

// calibrationLog is a run that can teach.
type calibrationLog struct {
	run    *Run
	log    battery.Log // of a half of the bank, thinned
	whole  *Rows       // the thinned rows
	depth  float64     // the part of the stated capacity that was taken out
	series int
	full   bool    // at the first row
	factor float64 // by which its currents are times those of the run
}

const (
	leastDepth          = 0.05 // of the capacity taken out: less says too little
	mostCalibrationRuns = 4    // runs that a calibration sees: more change little and each costs time
	poorFit             = 4    // a reduced χ² above which the voltages are off by twice what they should be: something that is stated is likely wrong
)

// calibrationRuns sorts the runs into those that can teach and those that cannot.
func calibrationRuns(k *known, runs []Run) []CalibrationRun {
	var out []CalibrationRun
	size := k.counted(runs)
	k.cycles = 0
	for i := range runs {
		r := &runs[i]
		use, why := k.calibrationLog(r, size)
		if use != nil {
			use.log.Cycles = k.cycles
		}
		if r.DischargedCharge.Known() {
			k.cycles += float64(r.DischargedCharge.Value) / r.capacity(k.bank)
		}
		if use != nil && r.OnlyChecked {
			why = "Not taught: left out by taught-by. " + why
		}
		out = append(out, CalibrationRun{Run: r.ID, Name: r.Name, Why: why, Out: r.DischargedCharge, log: use})
	}
	return out
}

// By how much more than the conservative floor, or than what ends a run, packs count as run down.
const (
	nearFloor = 1.05
	nearEnd   = 1.005
)

// counted is what the runs themselves say that the packs hold, as a part of what
// is stated: the most that one took out, where that is more; the most that one took
// out that ran them down, where that is less than half; else 1. By it loads are told
// from rests, and much from little.
func (k *known) counted(runs []Run) float64 {
	most, down := 0.0, 0.0
	end := nearFloor * float64(k.estimates[0].Cell().Chemistry.ConservativeFloor()) * float64(k.bank.Series())
	if c, _ := k.bank.Ending(); c != nil {
		end = max(end, nearEnd*float64(c.Opens))
	}
	for i := range runs {
		r := &runs[i]
		if r.Kind == "charge" || r.Rows == nil || !r.DischargedCharge.Known() {
			continue
		}
		part := float64(r.DischargedCharge.Value) / r.capacity(k.bank)
		most = max(most, part)
		for n, v := range r.Rows.Voltage {
			if r.Rows.Current[n] > 0 && v < end {
				down = max(down, part)
				break
			}
		}
	}
	switch {
	case most > 1:
		return most
	case down > 0 && down < 0.5:
		return down
	}
	return 1
}

// calibrationLog says what a run can teach of packs that hold size times what is stated.
func (k *known) calibrationLog(r *Run, size float64) (*calibrationLog, string) {
	stated := r.capacity(k.bank)
	capacity := stated * size
	out := float64(r.DischargedCharge.Value)
	switch {
	case r.Kind == "rest":
		return nil, "Nothing was driven, so nothing was learned of the packs under load."
	case r.Kind == "charge":
		return nil, noRunningTime
	case out < leastDepth*capacity && float64(r.ChargedCharge.Value) > out:
		return nil, noRunningTime + " This one is not noted as `type: charge`, so other charges learn nothing of it either."
	case r.Rows == nil || r.Thin == nil:
		return nil, r.Why
	case len(k.estimates) > 1:
		return nil, "The packs are of unlike chemistry, and one logger cannot tell what each of them gave."
	case !(out >= leastDepth*capacity):
		return nil, fmt.Sprintf("It took out %.2g %% of the capacity, too little to tell.", 100*out/capacity)
	}
	series := k.bank.Series()
	rows := r.Thin.filled(capacity)
	if len(rows.Time) < 10 {
		return nil, "Its log is cut off by a gap that is too long to be closed."
	}
	cell := k.estimates[0].Cell()
	if low, high := float64(cell.Chemistry.DatasheetFloor())*0.7, float64(cell.Chemistry.Full())*1.1; rows.mean() < low*float64(series) || rows.mean() > high*float64(series) {
		return nil, fmt.Sprintf("Its voltage, %.3g V on average, cannot be that of %d cells of %s in series.", rows.mean(), series, cell.Chemistry.Title)
	}
	full, _, how, why := r.Rows.filled(capacity).begins(cell, series, capacity)
	if why == "" && !full {
		_, rows, how, why = rows.begins(cell, series, capacity)
	}
	if why != "" {
		return nil, why
	}
	if len(rows.Time) < len(r.Thin.Time)-2 && rows.Time[len(rows.Time)-1] < r.Thin.Time[len(r.Thin.Time)-1] {
		how += " Its log is used up to a gap that is too long to be closed."
	}
	factor := float64(k.bank.Capacity().Value) / halves / stated
	l := &calibrationLog{run: r, whole: rows, depth: out / stated, series: series, full: full, factor: factor, log: rows.log(r.Slug, series, factor, r.Ambient)}
	if r.DischargedCharge.U > 0 {
		l.log.Counting = quantity.Fraction(float64(r.DischargedCharge.U) / out)
	}
	if full {
		l.log.Drawn = quantity.Exact(quantity.AmpereHours(0))
	}
	return l, how
}

// capacity is that of the packs a run was made with, Ah.
func (r *Run) capacity(b Bank) float64 {
	if r.Capacity.Known() && r.Capacity.Value > 0 {
		return float64(r.Capacity.Value)
	}
	return float64(b.Capacity().Value)
}

// mean is the mean voltage.
func (r *Rows) mean() float64 {
	var sum float64
	for _, v := range r.Voltage {
		sum += v
	}
	return sum / float64(len(r.Voltage))
}

// chosenForCalibration are the runs that a calibration sees: those that took the most out.
func chosenForCalibration(all []CalibrationRun) []*calibrationLog {
	var out []*calibrationLog
	for _, l := range all {
		if l.log != nil && !l.log.run.OnlyChecked {
			out = append(out, l.log)
		}
	}
	slices.SortStableFunc(out, func(a, b *calibrationLog) int { return cmp.Compare(b.depth, a.depth) })
	return out[:min(len(out), mostCalibrationRuns)]
}

// calibratedOn is the bank calibrated on runs; without any, what is typical.
func (k *known) calibratedOn(by []*calibrationLog) (*known, float64, error) {
	if len(by) == 0 {
		return k, math.NaN(), nil
	}
	var logs []battery.Log
	var names []string
	for _, l := range by {
		logs, names = append(logs, l.log), append(names, l.run.ID)
	}
	var learned battery.Kept
	if err := k.keep.step("calibrate on "+strings.Join(names, " "), &learned, func() error {
		cal, err := k.estimates[0].Calibrate(logs...)
		if err == nil {
			learned = cal.After.Kept()
		}
		return err
	}); err != nil {
		return k, math.NaN(), err
	}
	after, err := k.estimates[0].Recall(learned, logs...)
	if err != nil {
		return k, math.NaN(), err
	}
	return &known{bank: k.bank, estimates: []*battery.Estimate{after}, keep: k.keep, cycles: k.cycles}, learned.Misfit, nil
}

// calibrate finds the runs that can teach and calibrates the bank on them. With
// none it keeps to what is typical, and says so.
func calibrate(b Bank, runs []Run, keep Cache) (k, plain *known, basis Basis, err error) {
	plain, err = typical(b, !b.insisted(), keep)
	if err != nil {
		return nil, nil, basis, err
	}
	basis.Packs = b.Words()
	basis.Runs = calibrationRuns(plain, runs)
	plain.contacts(basis.Runs)
	basis.Plugs = plain.grows(basis.Runs)
	by := chosenForCalibration(basis.Runs)
	if len(by) == 0 && b.insisted() {
		cycles := plain.cycles
		if plain, err = typical(b, true, keep); err != nil {
			return nil, nil, basis, err
		}
		plain.cycles = cycles
	}
	k, basis.Misfit, err = plain.calibratedOn(by)
	if len(by) >= leastForFade && basis.Misfit > 1 { // runs that fit together show no fading
		if f := plain.fades(by); f != nil {
			for _, l := range basis.Runs {
				if l.log != nil {
					f.asOfNewest(l.log)
				}
			}
			basis.Words = f.words()
			k, basis.Misfit, err = (&known{bank: plain.bank, estimates: plain.estimates, keep: plain.keep.under("fading"), cycles: plain.cycles}).calibratedOn(by)
		}
	}
	if err == nil && len(by) > 1 && basis.Misfit > poorFit {
		basis.Words += k.apart(by, basis.Misfit)
	}
	if err != nil {
		basis.Words = "The logs could not be used: " + err.Error() + ". "
		by = nil
	}
	for i := range basis.Runs {
		basis.Runs[i].Taught = slices.Contains(by, basis.Runs[i].log) && basis.Runs[i].log != nil
	}
	basis.Calibrated = len(by) > 0
	if g := basis.Plugs; g != nil {
		basis.Words += g.words()
	}
	basis.Words += basisWords(b, by, basis.Misfit)
	if basis.Calibrated {
		basis.Words += k.labelWords()
	}
	k.insist()
	if k.leads != 0 && basis.Calibrated {
		basis.Words += " The resistance is as asked, not as the logs have it."
	}
	err = keep.step("values", &basis.Values, func() (err error) {
		basis.Values, err = k.values()
		return err
	})
	basis.Parts = k.packs(halves, 25)
	return k, plain, basis, err
}

func basisWords(b Bank, by []*calibrationLog, misfit float64) string {
	c := b.Packs[0].Chemistry
	if len(by) == 0 {
		from := "what is typical of " + c.Title
		if !b.alike() {
			from = "what is typical of each pack's chemistry"
		}
		from += " and the stated capacity"
		if b.Resistance().Known() {
			from += " and resistance"
		}
		return "Computed from " + from + ": no run has taught it better, so the intervals are wide."
	}
	names := ""
	for i, l := range by {
		switch {
		case i == 0:
		case i == len(by)-1:
			names += " and "
		default:
			names += ", "
		}
		names += l.run.Slug
	}
	out := "Calibrated on " + names + "."
	if len(b.Packs) > 1 {
		out += fmt.Sprintf(" The %d packs are taken as one: one logger cannot tell what each of them gave.", len(b.Packs))
	}
	for _, l := range by {
		if had, have := l.run.capacity(b), float64(b.Capacity().Value); math.Abs(had/have-1) > 1e-9 {
			out += fmt.Sprintf(" The runs were made with %.4g Ah; %.4g Ah are taken to be more or fewer of the same cells.", had, have)
			break
		}
	}
	if misfit > poorFit && len(by) == 1 {
		out += fmt.Sprintf(" The voltages fit poorly (reduced χ² %s): see whether chemistry, cells in series and capacity are as stated.", chiSquare(misfit))
	}
	return out
}

// labelWords says where the logs do not bear the stated capacity out.
func (k *known) labelWords() string {
	stated, have := k.bank.Capacity(), k.capacity()
	if !have.Known() || math.Abs(float64(have.Value-stated.Value)) <= math.Hypot(float64(have.Expanded()), float64(stated.Expanded())) {
		return ""
	}
	return fmt.Sprintf(" The logs show %s where %s are stated; a capacity that is asked for is taken as a stated one of the same cells.", have, quantity.Brief(stated.Value))
}

// capacity is what the bank holds: as the logs have it, or as it is stated where none has taught.
func (k *known) capacity() quantity.Measured[quantity.AmpereHours] {
	if len(k.estimates) != 1 || len(k.estimates[0].Logs()) == 0 {
		return k.bank.Capacity()
	}
	c, err := k.estimates[0].Capacity()
	if err != nil {
		return k.bank.Capacity()
	}
	return quantity.Scale(c, halves)
}

func chiSquare(x float64) string {
	if x >= 10 {
		return fmt.Sprintf("%.0f", x)
	}
	return fmt.Sprintf("%.1f", x)
}

// values are the main values of the whole bank; none where the packs are unlike.
func (k *known) values() ([]battery.Value, error) {
	if len(k.estimates) != 1 {
		return nil, nil
	}
	ratio := float64(k.bank.Series()) / halves
	s, err := k.estimates[0].Spread(func(c *battery.Cell) ([]float64, error) {
		r := func(after quantity.Seconds) float64 {
			return float64(c.ResistanceAt(0.5, c.Reference, after))*ratio + float64(k.leads)/halves
		}
		return []float64{float64(c.Capacity) * halves, r(0), r(resistanceAfter), r(600)}, nil
	})
	if err != nil {
		return nil, err
	}
	holds, err := k.estimates[0].Capacity()
	if err != nil {
		return nil, err
	}
	s[0].U = float64(holds.U) * halves
	var out []battery.Value
	for i, v := range []battery.Value{
		{Name: "capacity", Label: "Capacity", Quantity: quantity.Quantity{Dimension: quantity.Charge}},
		{Name: "ohmic-resistance", Label: "Resistance at once, half charged", Quantity: quantity.Quantity{Dimension: quantity.Resistance}},
		{Name: ResistanceAfter10s, Label: "Resistance after 10 s, half charged", Quantity: quantity.Quantity{Dimension: quantity.Resistance}},
		{Name: "resistance-10-min", Label: "Resistance after 10 min, half charged", Quantity: quantity.Quantity{Dimension: quantity.Resistance}},
	} {
		v.Quantity.Value, v.Quantity.U, v.Quantity.Decimals = s[i].Value, s[i].U, -1
		out = append(out, v)
	}
	return out, nil
}
