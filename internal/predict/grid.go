package predict

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"voltwright/internal/battery"
	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// RunTimeGrid answers for packs made like a version's of any capacity, under any steady load, at any temperature: by the
// computing that answers for the version itself, so that there is one answer. Its points are for the page's script alone,
// which cannot compute.
type RunTimeGrid struct {
	Capacity quantity.AmpereHours // of the version's own packs
	Rows     []GridRow            // by temperature, rising
	EndsBy   string               // what ends the run, in words
	Volts    quantity.Volts       // at which
	Trip     quantity.Amperes     // at which the packs' own protection opens, of any capacity; 0: none. The points know nothing of it
	Tripped  string               // what is said then

	bank  Bank
	runs  []Run
	kept  Cache // of the packs
	asked Cache
	mu    sync.Mutex
	known map[quantity.AmpereHours]*known
}

// GridRow is the points of one temperature.
type GridRow struct {
	Ambient  quantity.Celsius
	Points   []GridPoint
	Refusals []GridRefusal
}

// GridPoint is what each ampere-hour of the packs gives until the end. More of the same cells under as much more load run as long.
type GridPoint struct {
	Load   float64 // W/Ah, rising
	Energy float64 // Wh/Ah
	U      float64 // standard uncertainty
	Charge float64 // the part of the capacity that is taken out
}

// GridRefusal is why there is no time at a load, in the core's words. Where these have numbers that go with the load they stand
// as {from}, {to}, {likely} (times under load), {load} and {limit} (power).
type GridRefusal struct {
	Load             float64 // W/Ah, rising
	Words            string
	From, To, Likely quantity.Seconds // NaN: none
	Limit            float64          // W/Ah; NaN: none
}

// The points of the grid: loads from one that takes a month to one that no pack carries, and the temperatures at which
// a vehicle is out. Where the answers end the load is found by halving.
const (
	gridHalvings = 5    // halvings of the last step
	gridSlowest  = 5e-4 // of the nominal voltage, W/Ah: takes longer than is computed
)

var (
	gridLoads    = []float64{gridSlowest, 0.002, 0.0075, 0.03, 0.06, 0.09, 0.12, 0.17, 0.24, 0.34, 0.48, 0.68, 0.96, 1.36, 1.92, 2.7, 3.84, 7.7} // of the nominal voltage, W/Ah
	gridAmbients = []quantity.Celsius{-10, 0, 15, 30, 45}
)

// of is the bank with another capacity: more or fewer of the same cells.
func (b Bank) of(capacity quantity.AmpereHours) Bank {
	own := b.Capacity().Value
	if capacity == own {
		return b
	}
	part := float64(capacity / own)
	b.Packs = slices.Clone(b.Packs)
	for i := range b.Packs {
		p := &b.Packs[i]
		p.Capacity = quantity.Exact(p.Capacity.Value * quantity.AmpereHours(part))
		p.Resistance = quantity.Scale(p.Resistance, 1/part)
	}
	return b
}

// grid computes the points.
func (k *known) grid(runs []Run, asked Cache) *RunTimeGrid {
	r := &RunTimeGrid{Capacity: k.bank.Capacity().Value, EndsBy: EndsAtFloor, bank: k.bank, runs: runs, kept: k.keep, asked: asked, known: map[quantity.AmpereHours]*known{}}
	r.known[r.Capacity] = k
	if cutout, by := k.bank.Ending(); cutout != nil {
		r.EndsBy, r.Volts = by, cutout.Opens
	} else {
		r.Volts = k.bank.Packs[0].Chemistry.ConservativeFloor() * quantity.Volts(k.bank.Series())
	}
	if p := k.bank.protection(); p != nil && p.Trip > 0 && len(k.estimates) == 1 {
		e := &battery.NeverReachedError{Level: battery.CutoutLevel, Volts: r.Volts, Why: "every pack was cut off by its own protection"}
		if k.bank.Cutout == nil && !(p.Opens > 0) {
			e.Level = battery.ConservativeFloor
		}
		words := k.told(Load{}, e).Error()
		r.Trip, r.Tripped = p.Trip, finding.Sentence(words[:strings.LastIndex(words, " at ")])
		k = k.withoutTrip()
	}
	k.keep.sure("points", &r.Rows, func() {
		r.Rows = make([]GridRow, len(gridAmbients))
		var all sync.WaitGroup
		for i, ambient := range gridAmbients {
			all.Go(func() { r.Rows[i] = k.points(ambient) })
		}
		all.Wait()
	})
	return r
}

// withoutTrip is the same with protections that open by voltage alone.
func (k *known) withoutTrip() *known {
	out := *k
	out.bank.Packs = slices.Clone(k.bank.Packs)
	for i := range out.bank.Packs {
		if p := out.bank.Packs[i].Protection; p != nil {
			c := *p
			c.Trip = 0
			out.bank.Packs[i].Protection = &c
		}
	}
	return &out
}

// points are those of one temperature.
func (k *known) points(ambient quantity.Celsius) GridRow {
	row := GridRow{Ambient: ambient}
	nominal := float64(k.bank.NominalVoltage())
	some, over := 0.0, 0.0
	for _, part := range gridLoads {
		p := part * nominal
		switch given := k.point(&row, p, over > 0); {
		case given && over == 0:
			some = p
		case !given && over == 0 && part > gridSlowest:
			over = p
		}
		if n := len(row.Refusals); over > 0 && n > 1 && math.IsNaN(float64(row.Refusals[n-1].Likely)) && math.IsNaN(float64(row.Refusals[n-2].Likely)) && row.Refusals[n-2].Load >= over {
			break // it stays so
		}
	}
	for range gridHalvings {
		if some == 0 || over == 0 {
			break
		}
		p := math.Sqrt(some * over)
		if k.point(&row, p, false) {
			some = p
		} else {
			over = p
		}
	}
	slices.SortFunc(row.Points, func(a, b GridPoint) int { return cmpFloat(a.Load, b.Load) })
	slices.SortFunc(row.Refusals, func(a, b GridRefusal) int { return cmpFloat(a.Load, b.Load) })
	return row
}

func cmpFloat(a, b float64) int {
	if a < b {
		return -1
	}
	return 1
}

// point adds a point to a row; false where there is no time. Beyond the loads that have one, a time of some seconds may be
// known well enough again.
func (k *known) point(row *GridRow, p float64, beyond bool) bool {
	cutout, _ := k.bank.Ending()
	capacity := k.bank.Capacity().Value
	l := NewLoad("", "", AskedLoad, battery.Delivering(quantity.Watts(p*float64(capacity))), "", 1)
	l.Ambient = row.Ambient
	c := k.cell(l, halves, cutout)
	end := c.End()
	none := quantity.Seconds(math.NaN())
	if c.Err == "" && end.Err == "" && end.UnderLoad.Known() {
		if t := end.UnderLoad; beyond {
			row.Refusals = append(row.Refusals, GridRefusal{Load: p, Words: "It runs {likely} and no longer.", From: max(0, t.Value-t.Expanded()), To: t.Value + t.Expanded(), Likely: t.Value, Limit: math.NaN()})
			return false
		}
		hours := float64(end.UnderLoad.Value) / 3600
		row.Points = append(row.Points, GridPoint{Load: p, Energy: p * hours, U: p * float64(end.UnderLoad.U) / 3600, Charge: float64(end.Charge.Value / capacity)})
		return true
	}
	f := GridRefusal{Load: p, Words: c.Err + end.Err, From: none, To: none, Likely: none, Limit: math.NaN()}
	if c.Err != "" {
		f.Words = c.Err
	}
	cause := c.cause
	if cause == nil {
		cause = end.cause
	}
	if e, ok := errors.AsType[*battery.UncertainError](cause); ok {
		if told, ok := errors.AsType[*battery.UncertainError](k.told(l, e)); ok {
			e = told
		}
		f.From, f.To, f.Likely = e.From, e.To, e.Likely
		f.Words = finding.Sentence(e.Words("{from}", "{to}", "{likely}"))
	}
	if e, ok := errors.AsType[*battery.CollapseError](cause); ok {
		f.Limit = float64(e.Limit) / float64(capacity)
		f.Words = finding.Sentence(e.Words("{load}", "{limit}"))
	}
	row.Refusals = append(row.Refusals, f)
	return false
}

// GridInputMissing is what is said where a field is empty.
const GridInputMissing = "a load and a capacity above zero are needed"

// OutOfRange says between which temperatures the script has points.
func (r *RunTimeGrid) OutOfRange() string {
	return fmt.Sprintf("this page has points between %g °C and %g °C; `voltwright predict` computes beyond them", float64(r.Rows[0].Ambient), float64(r.Rows[len(r.Rows)-1].Ambient))
}

// RunTime computes the running time of packs of a capacity under a steady load at a temperature, counted as a load of the
// version is. The Err of the cell, or of its End, says why there is none.
func (r *RunTimeGrid) RunTime(like Load, load quantity.Watts, capacity quantity.AmpereHours, ambient quantity.Celsius) RunTime {
	if !(load > 0) || !(capacity > 0) || math.IsInf(float64(load), 0) || math.IsInf(float64(capacity), 0) || math.IsNaN(float64(ambient)) {
		return RunTime{Err: finding.Sentence(GridInputMissing)}
	}
	l := like
	l.Load, l.Ambient, l.Unsure, l.Rest = battery.Delivering(load), ambient, 0, 0
	l.Power, l.Current = quantity.Exact(load), quantity.Missing[quantity.Amperes]()
	var c RunTime
	r.asked.sure(fmt.Sprintf("reckon %s %v %v %v", like.Name, float64(load), float64(capacity), float64(ambient)), &c, func() {
		k, err := r.of(capacity)
		if err != nil {
			c = RunTime{Err: finding.SentenceOf(err)}
			return
		}
		cutout, _ := k.bank.Ending()
		c = k.cell(l, halves, cutout)
	})
	return c
}

// of is what is known of packs of a capacity.
func (r *RunTimeGrid) of(capacity quantity.AmpereHours) (*known, error) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if k := r.known[capacity]; k != nil {
		return k, nil
	}
	k, _, _, err := calibrate(r.bank.of(capacity), r.runs, r.kept.under(fmt.Sprintf("%v Ah", float64(capacity))))
	if err != nil {
		return nil, err
	}
	r.known[capacity] = k
	return k, nil
}

// Steady is what a load delivers without its stops, W; NaN where it is no power.
func (l Load) Steady() quantity.Watts {
	if !l.Power.Known() {
		return quantity.Watts(math.NaN())
	}
	return l.Power.Value + l.more()
}

var gridDoc = finding.Doc{Kind: finding.FormulaDoc, Name: "run-time-grid", Former: "reckoner", Title: "Running time with other numbers",
	What:    "What packs made like a version's give, of another capacity, under another load or at another temperature. The table is computed as the running times are, for a bank of that capacity. The fields go between points that were computed: some twenty loads from one that takes a month to one that such packs do not carry, at -10, 0, 15, 30 and 45 °C, and the greatest load that has an answer at each. Between these the energy that each ampere-hour gives is taken from parabolas over the logarithm of the load, as a part of that greatest load, and over the temperature.",
	Why:     "A reader has other packs and another load, and wants to know what theirs would do.",
	Formula: "t = e(P/C, T) · C/P", Units: "P in W, while the load is on, with what is drawn at a stand laid on top; C in Ah; e in Wh/Ah; t in h, under load; the running time and the time on the clock follow as those of the run do",
	Range:  "Packs of the same chemistry and make, as many cells in series, a steady load from full until the same voltage. Other makes have another resistance. Where the core has no time, its reason is said. The fields differ from a computation by less than a quarter of the printed uncertainty.",
	Source: "formula run-time; more of the same cells under as much more load run as long, since what each of them sees is the same; our own choice of points"}
