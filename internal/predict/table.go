package predict

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"voltwright/internal/battery"
	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// usualAmbient is what is computed for where no temperature is stated.
const usualAmbient quantity.Celsius = 20

// LoadSource says where a load comes from.
type LoadSource string

// The sources of a load.
const (
	MeasuredLoad LoadSource = "measured" // on a run
	StatedLoad   LoadSource = "stated"   // in the version's front matter
	AskedLoad    LoadSource = "asked"    // by whoever asks
)

// Load is one row of the run-time table.
type Load struct {
	Name    string // stable, for a permalink: the run's slug
	Label   string
	Source  LoadSource
	Run     string // the run it was measured on, "" for others
	Load    battery.Load
	Words   string                              // the load with its unit
	Current quantity.Measured[quantity.Amperes] // mean under load, with the standard deviation along the run; missing where not measured
	Power   quantity.Measured[quantity.Watts]   // the same
	Rest    quantity.Watts                      // mean while not under load; below zero where more comes back
	Duty    quantity.Fraction                   // part of the time on the clock that is under load
	Rule    string                              // which stops the run's running time leaves out, in words; "" where no run tells
	ByHand  bool                                // the mean over the clock, read by hand: what was under load is not known
	Ambient quantity.Celsius
	Assumed bool // the ambient is not stated

	From    string                                // a scaled load: the run that it was measured on
	Payload quantity.Measured[quantity.Kilograms] // a scaled load: what it is scaled to
	Unsure  quantity.Fraction                     // a scaled load: the standard uncertainty that scaling adds, as a part of it

	profile   battery.Demand // the run's own course of power, to be repeated; no parts: none
	rows      *Rows          // of the run, from its first to its last load; nil: none
	threshold float64        // A: above it a row is under load
	perLoad   float64        // running time for each second under load; 0: the same
	loose     float64        // standard uncertainty of that, as a part
}

// Column is one pack of the run-time table.
type Column struct {
	Name     string // own, half, double
	Label    string
	Capacity quantity.AmpereHours
	parts    int
}

// EndPoint is where a voltage is reached. Where Err is set there are no values.
type EndPoint struct {
	Level     string                                  // as battery names it
	Volts     quantity.Volts                          // of the pack
	Running   quantity.Measured[quantity.Seconds]     // as the run was timed, by its own stop rule; of a load from no run, while it is on
	UnderLoad quantity.Measured[quantity.Seconds]     // while more than a fiftieth of the capacity in amperes is drawn; missing where the run does not tell
	Clock     quantity.Measured[quantity.Seconds]     // on the clock, stops of the same share as on the run included
	Charge    quantity.Measured[quantity.AmpereHours] // taken out by then
	Energy    quantity.Measured[quantity.WattHours]
	Left      quantity.Measured[quantity.AmpereHours] // in the packs
	Err       string                                  // why it is not reached, or that the time is too unsure for a number

	cause error // what Err says, as the packs' computing gave it; nil: none

	Between *[2]quantity.Seconds // bounds of a running time that is too unsure for a number, about 95 %; nil: Running is it, or it is not reached
}

// LeftWords says what is left: with its uncertainty, or, where that reaches down to
// nothing, with the most that it may be.
func (r EndPoint) LeftWords() string {
	if most := r.Left.Value + r.Left.Expanded(); r.Left.Known() && r.Left.Value < r.Left.Expanded() {
		return fmt.Sprintf("%s, at most %s", quantity.Rough(max(0, r.Left.Value)), quantity.Rough(most))
	}
	return r.Left.String()
}

// RunTime is one answer of the run-time table.
type RunTime struct {
	Name         string // stable, for a permalink: run-time/LOAD/COLUMN
	Load, Column int
	Cutout       *EndPoint // nil: nothing opens the circuit
	Conservative EndPoint
	Datasheet    EndPoint
	Replayed     Replay                // the same end with the run's own course instead of its mean
	Parts        []battery.SpreadOfOne // what the uncertainty of the run time comes from, s, largest first
	Err          string                // why nothing can be said; no values then
	cause        error                 // the same, as the packs' computing gave it
}

// Replay is a run's own course of power, stops and swings included, repeated
// from full until the same end as Cell.End: what the mean load leaves out.
type Replay struct {
	Clock quantity.Seconds // NaN: not computed, or Err says why
	Err   string
}

// End is the run time that a reader asks for: to the cutout where there is one,
// else to the conservative floor.
func (c RunTime) End() EndPoint {
	if c.Cutout != nil {
		return *c.Cutout
	}
	return c.Conservative
}

// RunTimeTable is run times: loads down, packs across.
type RunTimeTable struct {
	Loads   []Load
	Columns []Column
	Cells   [][]RunTime // by load and column
	EndsBy  string      // what opens the circuit, in words
	None    string      // why there is no load, a sentence; "" where there is one
	LeftOut int         // loads of older runs that are not in the table
	Refused []string    // loads that cannot be told at the payload asked for, a sentence each
}

// mostLoads is how many loads a table has: those of the newest runs.
const mostLoads = 24

// atOnce is how soon after its delay a level counts as reached at once.
const atOnce = 1 // s

// loadsOf are the loads that the runs show, in the order of the runs.
func loadsOf(b Bank, runs []Run) []Load {
	var out []Load
	for i := range runs {
		r := &runs[i]
		if r.Kind == "charge" || r.Kind == "rest" || r.ChargedCharge.Known() && r.ChargedCharge.Value > 5*r.DischargedCharge.Value {
			continue
		}
		if r.Rows == nil {
			if l, ok := r.byHand(); ok {
				out = append(out, l)
			}
			continue
		}
		capacity := r.capacity(b)
		threshold := loadedPart * capacity
		whole := r.Rows.filled(capacity)
		rows := whole.between(threshold)
		if len(rows.Time) == 0 {
			continue
		}
		e, err := battery.LoadOf(rows.log(r.Slug, b.Series(), 1, r.Ambient), quantity.AmpereHours(capacity))
		if err != nil {
			continue
		}
		l := r.load(e.Power)
		l.Current = e.Current
		l.rows, l.threshold = rows, threshold
		l.timed(r, whole, threshold)
		if float64(r.DischargedCharge.Value) >= leastDepth*capacity {
			l.profile = rows.course(nil)
		}
		out = append(out, l)
	}
	for i := range out { // two runs of one label are told apart by their names
		if slices.ContainsFunc(out[:i], func(o Load) bool { return o.Label == out[i].Label }) {
			out[i].Label += " (" + out[i].Name + ")"
		}
	}
	return out
}

// load is a run's load of a mean power.
func (r *Run) load(power quantity.Measured[quantity.Watts]) Load {
	l := NewLoad(r.Slug, r.Label, MeasuredLoad, battery.Delivering(power.Value), quantity.Brief(power.Value), 1)
	l.Run, l.Power = r.ID, power
	if r.Ambient.Known() {
		l.Ambient, l.Assumed = r.Ambient.Value, false
	}
	return l
}

// byHand is the load of a run that was read by hand: its mean, stops and all.
func (r *Run) byHand() (Load, bool) {
	if !r.Power.Known() || !(r.Power.Value > 0) {
		return Load{}, false
	}
	l := r.load(r.Power)
	l.Words += " on average, stops included, by hand readings"
	l.ByHand, l.Rule = true, noRule
	return l, true
}

// twins says whether two packs are one like the other, so that half of both is one of them. A fifth between their
// resistances hardly shows in a run time.
func twins(a, b Pack) bool {
	same := func(x, y float64) bool { return x == y || math.IsNaN(x) && math.IsNaN(y) }
	return a.Chemistry == b.Chemistry && a.Series == b.Series && same(float64(a.Capacity.Value), float64(b.Capacity.Value)) &&
		a.Resistance.Known() == b.Resistance.Known() && !(math.Abs(float64(a.Resistance.Value-b.Resistance.Value)) > 0.2*float64(max(a.Resistance.Value, b.Resistance.Value))) && same(float64(a.Full.Value), float64(b.Full.Value))
}

func columnsOf(b Bank, own bool) []Column {
	c := b.Capacity().Value
	words := []string{"as it is", "half as large", "twice as large"}
	if b.twins() {
		words = []string{"both packs", "one of the packs", "four such packs"}
	}
	all := []Column{{"own", words[0], c, halves}, {"half", words[1], c / 2, halves / 2}, {"double", words[2], 2 * c, 2 * halves}}
	for i := range all {
		all[i].Label += ", " + quantity.Brief(all[i].Capacity)
	}
	if own {
		return all[:1]
	}
	return all
}

func (k *known) table(loads []Load, own bool, asked Cache) RunTimeTable {
	t := RunTimeTable{Loads: loads, Columns: columnsOf(k.bank, own)}
	_, t.EndsBy = k.bank.Ending()
	asked.sure("cells", &t.Cells, func() { t.Cells = k.runTimes(t) })
	return t
}

// runTimes are the cells of a table.
func (k *known) runTimes(t RunTimeTable) (out [][]RunTime) {
	cutout, _ := k.bank.Ending()
	for i, l := range t.Loads {
		var row []RunTime
		for j, c := range t.Columns {
			cell := k.cell(l, c.parts, cutout)
			cell.Replayed = Replay{Clock: quantity.Seconds(math.NaN())}
			if c.parts == halves && cell.Err == "" && len(l.profile.Parts) > 0 {
				cell.Replayed = k.replayed(l, cutout)
			}
			cell.Name, cell.Load, cell.Column = "run-time/"+l.Name+"/"+c.Name, i, j
			row = append(row, cell)
		}
		out = append(out, row)
	}
	return out
}

func (k *known) cell(l Load, parts int, cutout *battery.Cutout) RunTime {
	var c RunTime
	forecasts, err := battery.Forecasts(k.packs(parts, l.Ambient), battery.Steady(l.Load), cutout, l.Ambient)
	if err != nil {
		c.Err, c.cause = finding.SentenceOf(k.told(l, err)), err
		return c
	}
	more := k.unsure(l, parts, cutout, forecasts)
	for n, f := range forecasts {
		f.Time.U = quantity.Seconds(math.Hypot(float64(f.Time.U), more[n]))
		r := EndPoint{Level: f.Name, Volts: f.Volts, UnderLoad: f.Time, Charge: f.Charge, Energy: f.Energy, Left: f.Left}
		r.Running, r.Clock = l.times(f.Time)
		if l.ByHand {
			r.UnderLoad = quantity.Missing[quantity.Seconds]()
		}
		switch {
		case f.Err != nil:
			told := k.told(l, f.Err)
			r.Err, r.cause = finding.SentenceOf(told), f.Err
			if e, ok := errors.AsType[*battery.UncertainError](told); ok {
				r.Between = &[2]quantity.Seconds{e.From, e.To}
			}
		case f.Time.Value <= f.Delay+atOnce:
			none := quantity.Missing[quantity.Seconds]()
			r = EndPoint{Level: f.Name, Volts: f.Volts, Running: none, UnderLoad: none, Clock: none, Charge: quantity.Missing[quantity.AmpereHours](),
				Energy: quantity.Missing[quantity.WattHours](), Left: quantity.Missing[quantity.AmpereHours](),
				Err: fmt.Sprintf("At once: under this load the voltage of the full packs is already below %.4g V.", float64(f.Volts))}
			if rest := k.cells(parts, l.Ambient)[0].RestVoltage(); f.Name == battery.CutoutLevel && f.Volts >= rest {
				r.Err = fmt.Sprintf("At once: the full packs have %.4g V at rest, and %s opens at %.4g V, so no load runs.", float64(rest), k.endsBy(), float64(f.Volts))
			}
		}
		switch f.Name {
		case battery.CutoutLevel:
			c.Cutout = &r
		case battery.ConservativeFloor:
			c.Conservative = r
		case battery.DatasheetFloor:
			c.Datasheet = r
		}
		if r.Err == "" && (f.Name == battery.CutoutLevel || c.Parts == nil) {
			c.Parts = f.Parts
		}
	}
	return c
}

// unsure is what the uncertainty of a scaled load adds to the times of
// forecasts, s: the change of each with a load that is one standard uncertainty greater.
func (k *known) unsure(l Load, parts int, cutout *battery.Cutout, forecasts []battery.Forecast) []float64 {
	out := make([]float64, len(forecasts))
	if l.Unsure == 0 {
		return out
	}
	o, err := battery.RunTimes(k.cells(parts, l.Ambient), battery.Steady(l.Load.Times(1+float64(l.Unsure))), cutout, l.Ambient)
	for n, f := range forecasts {
		if f.Err != nil {
			continue
		}
		out[n] = float64(l.Unsure) * float64(f.Time.Value)
		if err == nil && o.Levels[n].Err == nil {
			out[n] = math.Abs(float64(f.Time.Value - o.Levels[n].At))
		}
	}
	return out
}

// course is the power of the rows, row by row, again and again, changed by a
// function of current and power where there is one.
func (r *Rows) course(change func(amps, watts float64) float64) battery.Demand {
	d := battery.Demand{Repeat: true}
	from := r.Start
	for n, at := range r.Time {
		watts := r.Current[n] * r.Voltage[n]
		if change != nil {
			watts = change(r.Current[n], watts)
		}
		d.Parts = append(d.Parts, battery.Part{Load: battery.Delivering(quantity.Watts(watts)), For: quantity.Seconds(at - from)})
		from = at
	}
	return d
}

// replayed runs the bank down by a run's own course.
func (k *known) replayed(l Load, cutout *battery.Cutout) Replay {
	o, err := battery.RunTimes(k.cells(halves, l.Ambient), l.profile, cutout, l.Ambient)
	out := Replay{Clock: quantity.Seconds(math.NaN())}
	if err != nil {
		out.Err = finding.SentenceOf(err)
		return out
	}
	name := battery.ConservativeFloor
	if cutout != nil {
		name = battery.CutoutLevel
	}
	for _, level := range o.Levels {
		switch {
		case level.Name != name:
		case level.Err != nil:
			out.Err = finding.SentenceOf(level.Err)
		default:
			out.Clock = level.At
		}
	}
	return out
}

// heaviest is the load of the greatest power; −1: there is none.
func heaviest(loads []Load) int {
	best := -1
	for i, l := range loads {
		if best < 0 || l.Power.Value > loads[best].Power.Value {
			best = i
		}
	}
	return best
}
