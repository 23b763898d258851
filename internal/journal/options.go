package journal

import (
	"math"

	"voltwright/internal/notes"
	"voltwright/internal/quantity"
	"voltwright/internal/runlog"
)

// Options says what the maker states about a run's evidence: how its log is
// written, the instruments, the stop rule, and what of the version bears on it.
func (r *Run) Options() runlog.Options {
	o := runlog.NewOptions()
	if r.PauseAfter.Known() {
		o.PauseAfter = r.PauseAfter.Value
	}
	if r.Idle.Known() {
		o.Idle = r.Idle.Value
	}
	o.Wall = r.WallEnergy.Stated()
	for _, in := range r.Instruments {
		channel, ok := runlog.ParseChannel(string(in.Measures.Value))
		if !ok {
			continue
		}
		if !in.Accuracy.Set && channel != runlog.Time {
			continue // how good it is is not known, and a resolution says nothing of that
		}
		made := runlog.Instrument{Channel: channel, Accuracy: in.Accuracy.Accuracy}
		if in.Resolution.Set {
			made.Resolution = in.Resolution.Value
		}
		o.Instruments = append(o.Instruments, made)
	}
	if v := r.Version; v != nil {
		if v.Cutout != nil && v.Cutout.Opens.Known() {
			o.Cutout = &runlog.Cutout{Opens: asSet(v.Cutout.Opens), Threshold: asSet(v.Cutout.Threshold)}
		}
		o.Rated = v.Capacity()
		o.Series = v.Series()
		o.CellLowest, o.CellHighest = v.cellRange()
	}
	if r.Log != nil {
		r.Log.options(&o)
	}
	return o
}

func (l *Log) options(o *runlog.Options) {
	if len(l.Columns) > 0 {
		o.Columns = map[runlog.Channel]string{}
		for channel, head := range l.Columns {
			o.Columns[channel] = head.Text
		}
	}
	o.TimeFormat = string(l.Time.Value)
	o.Decimal = string(l.Decimal.Value)
	o.Separator = string(l.Separator.Value)
	if l.Discharge.Set {
		negative := l.Discharge.Value == Negative
		o.DischargeNegative = &negative
	}
	if l.Step.Known() {
		o.Step = l.Step.Value
	}
	if l.Gap.Known() {
		o.Gap = l.Gap.Value
	}
	o.Part, o.OneRun = l.Part.Text, true
}

// cellRange is the widest range of a cell's voltage over a run, V: of all chemistries of the version, somewhat below what a
// data sheet allows on discharge to somewhat above the full charge; our own choice. Zero where one is not known.
func (v *Version) cellRange() (low, high float64) {
	for i := range v.Packs {
		cells, ok := v.Packs[i].Chemistry.Value.cells()
		if !ok {
			return 0, 0
		}
		floor, full := 0.8*float64(cells.DatasheetFloor()), 1.15*float64(cells.Full())
		if i == 0 || floor < low {
			low = floor
		}
		if i == 0 || full > high {
			high = full
		}
	}
	return low, high
}

// Capacity is the rated charge of all packs together, which are in parallel;
// missing where one is not known or there is none.
func (v *Version) Capacity() quantity.Measured[quantity.AmpereHours] {
	if len(v.Packs) == 0 {
		return quantity.Missing[quantity.AmpereHours]()
	}
	terms := make([]quantity.Measured[quantity.AmpereHours], len(v.Packs))
	for i, p := range v.Packs {
		terms[i] = p.Capacity.Stated()
		if !terms[i].Known() {
			return quantity.Missing[quantity.AmpereHours]()
		}
	}
	return quantity.Sum(terms...)
}

// Series is the number of cells in series of the version's packs; 0 where they
// do not agree or there is none.
func (v *Version) Series() int {
	series := 0
	for i, p := range v.Packs {
		n := p.Series.Or(0)
		if i > 0 && n != series {
			return 0
		}
		series = n
	}
	return max(series, 0)
}

// Nominal is the nominal voltage of the version's packs; missing where they do
// not agree or there is none.
func (v *Version) Nominal() quantity.Measured[quantity.Volts] {
	out := quantity.Missing[quantity.Volts]()
	for i := range v.Packs {
		n := v.Packs[i].Nominal()
		if i > 0 && n.Value != out.Value {
			return quantity.Missing[quantity.Volts]()
		}
		out = n
	}
	return out
}

// asSet is a setting as it was written: one without an uncertainty is known to
// half its last digit either way (rectangular; JCGM 100:2008, 4.3.7).
func asSet(v notes.Value[quantity.Volts]) quantity.Measured[quantity.Volts] {
	set := v.Stated()
	if !set.Known() || set.U != 0 {
		return set
	}
	if q, err := quantity.ParseAs(v.Written, quantity.Voltage); err == nil {
		if step, ok := q.LastPlace(); ok {
			set.U = quantity.Volts(step / 2 / math.Sqrt(3))
		}
	}
	return set
}
