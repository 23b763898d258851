package predict

import (
	"fmt"

	"voltwright/internal/battery"
	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// Prediction are all that is computed for one version.
type Prediction struct {
	Err         string                                  // why nothing could be computed, a sentence; all else is empty then
	Capacity    quantity.Measured[quantity.AmpereHours] // of all packs: as the logs have it where they taught, else as stated
	Basis       Basis
	Validations []Validation
	Accuracy    Accuracy // print it beside every prediction
	Table       RunTimeTable
	Charges     []ChargeTime
	ChargeRuns  []ChargeCheck // each run that was a charge
	Life        Life
	Sensitivity *Sensitivity   // nil: there is no load
	Chatter     *Chatter       // nil: there is no cutout or no load
	Parallel    *ParallelPacks // nil: there is one pack
	Grid        *RunTimeGrid   // nil: it was not asked for, or no load gives a number
	Cautions    []string       // what is computed as it is asked and does harm, a sentence each
}

// EndsAt is the level, as battery names it, of the answer to how long the version runs.
func (a *Prediction) EndsAt() string {
	if a.Table.EndsBy == EndsAtFloor {
		return battery.ConservativeFloor
	}
	return battery.CutoutLevel
}

// Options say what is asked of Answer; the zero Options ask for everything that
// the version's own runs and front matter give.
type Options struct {
	Stated       []Load                              // loads from front matter, used where no run gives one
	Asked        []Load                              // these instead of all others
	Ambient      quantity.Measured[quantity.Celsius] // for every load; not Known or the zero Options: as on the runs
	HoldAmbient  bool                                // Ambient is to be used
	OwnPacksOnly bool                                // the version's own packs only, not half and double
	CountedLike  string                              // name of the run's load as which those asked for are counted; "": each is steady

	Grid bool // other capacities and loads as well

	PackCache    Cache // keeps what the steps come to that depend on the bank and the runs alone; nil: each is computed
	RequestCache Cache // the same of those that depend on what is asked as well

	Masses  *MovedMasses                           // the version's, as they are stated; nil: none
	Payload *quantity.Measured[quantity.Kilograms] // the measured loads at this payload; nil: as on the runs
	Duty    quantity.Fraction                      // of the measured loads; 0: as on the runs
}

// Compute computes all answers for a bank and its runs. The same input gives the
// same answers.
func Compute(b Bank, runs []Run, o Options) *Prediction {
	a := &Prediction{}
	if err := b.Check(); err != nil {
		a.Err = finding.SentenceOf(err)
		return a
	}
	a.Capacity = b.Capacity()
	k, plain, basis, err := calibrate(b, runs, o.PackCache)
	if err != nil {
		a.Err = finding.SentenceOf(err)
		return a
	}
	a.Validations = validations(k, plain, basis.Runs)
	a.Basis, a.Accuracy, a.Capacity = basis, k.accuracyOver(a.Validations), k.capacity()
	loads, extra, refused := a.loads(b, runs, o)
	older := max(0, len(loads)-mostLoads)
	shown := loads[older:]
	a.Table = k.table(append(shown, extra[:min(len(extra), mostLoads-len(shown))]...), o.OwnPacksOnly, o.RequestCache)
	a.Table.LeftOut, a.Table.Refused = older, refused
	if len(a.Table.Loads) == 0 {
		a.Table.None = noLoad(runs)
		if len(refused) > 0 {
			a.Table.None = "No load of this version can be told at another payload."
		}
	}
	ambient := usualAmbient
	if o.HoldAmbient {
		ambient = o.Ambient.Value
	}
	from, slow := quantity.Exact(quantity.Number(0)), false
	var own *RunTime
	var heavy *Load
	if i := heaviest(a.Table.Loads); i >= 0 {
		l := a.Table.Loads[i]
		heavy = &l
		o.RequestCache.sure("tornado", &a.Sensitivity, func() { a.Sensitivity = k.sensitivity(l, basis) })
		o.RequestCache.sure("chatter", &a.Chatter, func() { a.Chatter = k.chatter(l) })
		own = &a.Table.Cells[i][0]
		for _, end := range []EndPoint{own.End(), own.Conservative, own.Datasheet} { // the first that is reached and known
			if own.Err == "" && end.Err == "" {
				whole := end.Left.Value + end.Charge.Value
				from = quantity.Of(quantity.Number(end.Left.Value/whole), quantity.Number(end.Left.U/whole))
				slow = float64(l.Power.Value) < 0.25*float64(a.Capacity.Value)*float64(b.Packs[0].Chemistry.Nominal())*float64(b.Series())
				break
			}
		}
	}
	if own != nil && (own.Err != "" || b.Cutout != nil && b.Cutout.Opens >= k.cells(halves, ambient)[0].RestVoltage()) {
		a.Chatter = nil // the load never runs, so nothing opens
	}
	a.Cautions = cautions(b)
	o.PackCache.sure("charge checks", &a.ChargeRuns, func() { a.ChargeRuns = k.chargeChecks(runs) })
	o.RequestCache.sure("charges", &a.Charges, func() { a.Charges = k.chargeTimes(runs, from, lessonsOf(a.ChargeRuns, ""), slow, ambient) })
	a.Life = k.life(own, runs)
	o.RequestCache.sure("parallel", &a.Parallel, func() { a.Parallel = parallel(b, heavy) })
	if o.Grid {
		a.Grid = k.grid(runs, o.RequestCache)
	}
	return a
}

// loads are those of the table, then some at other payloads, and why a load that
// is asked for at another payload cannot be told.
func (a *Prediction) loads(b Bank, runs []Run, o Options) (loads, extra []Load, refused []string) {
	loads = o.Asked
	if o.CountedLike != "" {
		loads, refused = countedLike(o.CountedLike, loads, loadsOf(b, runs))
	}
	if len(o.Asked) == 0 {
		if loads = loadsOf(b, runs); len(loads) == 0 {
			loads = o.Stated
		}
		if o.Payload == nil {
			extra = otherPayloads(loads, b, runs, o)
		}
		loads, refused = atPayload(loads, b, runs, o)
	}
	for _, list := range [][]Load{loads, extra} {
		for i := range list {
			if o.HoldAmbient {
				list[i].Ambient, list[i].Assumed = o.Ambient.Value, false
			}
			if o.Duty > 0 && len(o.Asked) == 0 {
				list[i] = list[i].on(o.Duty)
			}
		}
	}
	return loads, extra, refused
}

// cautions say where the circuit opens too late to save the cells.
func cautions(b Bank) []string {
	cutout, by := b.Ending()
	if cutout == nil || !(cutout.Opens > 0) {
		return nil
	}
	c := b.Packs[0].Chemistry
	floor := c.DatasheetFloor() * quantity.Volts(b.Series())
	opens := cutout.Opens
	if p := b.protection(); p != nil {
		opens = max(opens, p.Opens)
	}
	if opens >= floor*(1-1e-9) {
		return nil
	}
	return []string{finding.SentenceOf(fmt.Errorf("%s opens at %.4g V, below the %.4g V that data sheets of %s give as the lowest: it opens when the cells are harmed already", by, float64(cutout.Opens), float64(floor), c.Title))}
}

func noLoad(runs []Run) string {
	if len(runs) == 0 {
		return "The version has no run, so what it draws is not known."
	}
	return "No run of this version has a log of voltage and current under load, so what it draws is not known."
}

// Validation is how a run was predicted by what had not seen it; false where it was not.
func (a *Prediction) Validation(run string) (Validation, bool) {
	for _, c := range a.Validations {
		if c.Run == run {
			return c, true
		}
	}
	return Validation{}, false
}

// CalibrationRun is what a run taught, or why it did not; false for a run of another version.
func (a *Prediction) CalibrationRun(run string) (CalibrationRun, bool) {
	for _, l := range a.Basis.Runs {
		if l.Run == run {
			return l, true
		}
	}
	return CalibrationRun{}, false
}

// RunTime finds a cell of the run-time table by its stable name.
func (a *Prediction) RunTime(name string) (RunTime, bool) {
	for _, row := range a.Table.Cells {
		for _, c := range row {
			if c.Name == name {
				return c, true
			}
		}
	}
	return RunTime{}, false
}

// NewLoad is a load that is asked for or stated, drawn for a share of the time.
// Words say it with its unit.
func NewLoad(name, label string, from LoadSource, load battery.Load, words string, duty quantity.Fraction) Load {
	return Load{Name: name, Label: label, Source: from, Load: load, Words: words, Duty: duty,
		Current: quantity.Missing[quantity.Amperes](), Power: quantity.Missing[quantity.Watts](), Ambient: usualAmbient, Assumed: true}
}
