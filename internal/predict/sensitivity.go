package predict

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"voltwright/internal/battery"
	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// InputEffect is one input of the tornado: the running time with the input lower and higher, all others left alone.
type InputEffect struct {
	Input     string // "capacity"
	Low, High ChangedInput
	Effect    quantity.Seconds // the greater change of the run time
}

// ChangedInput is one changed value. Where Err is set there is no time.
type ChangedInput struct {
	Words string // the change, "−10 %"; "" where the input has no such side
	Time  quantity.Seconds
	Err   string
}

// Sensitivity tells which input matters most for the run time of one load.
type Sensitivity struct {
	Load   string // name of the load
	Label  string
	To     string // what ends the run
	Base   quantity.Seconds
	Inputs []InputEffect // greatest effect first
	Next   *NextRun      // what one more run would bring; nil: it cannot be told
	Err    string
}

// NextRun is the run that would narrow the answer most.
type NextRun struct {
	Part    float64          // its load over that of the answer, a ratio
	Ambient quantity.Celsius // at which it is made
	Now     quantity.Seconds // expanded uncertainty of the running time, k = 2
	After   quantity.Seconds // the same after the run
	Words   string           // a sentence
}

// narrows says whether the run is worth telling.
func (n *NextRun) narrows() bool { return n.After <= (1-hardly)*n.Now }

// OneMoreRun says in a line what one more run would bring the answer, without a stop; "" where that is little, or cannot be told.
func (t *Sensitivity) OneMoreRun() string {
	if t == nil || t.Err != "" || t.Next == nil || !t.Next.narrows() {
		return ""
	}
	n := t.Next
	return fmt.Sprintf("one more run from full %s of %s, at %s, would tell the running time to %s to about ± %s, now ± %s",
		strings.Replace(loadWords[n.Part], "the same load", "the load", 1), t.Load, quantity.Rough(n.Ambient), t.To, quantity.Clock(n.After, 60), quantity.Clock(n.Now, 60))
}

// loadWords are a part of the answer's load in words.
var loadWords = map[float64]string{1: "at the same load", 0.5: "at half of the load", 2: "at twice the load"}

// Loads of runs that could be made, as parts of that of the answer.
var nextParts = []float64{1, 0.5, 2}

// hardly is the part of an interval by which another run has to narrow it to be worth telling.
const hardly = 0.05

// next finds the run that would narrow the answer for a load most, of those at its own temperature and at the usual one.
func (k *known) next(l Load, cutout *battery.Cutout, by string) *NextRun {
	if len(k.estimates) != 1 {
		return nil
	}
	var trials []battery.Trial
	for _, ambient := range []quantity.Celsius{l.Ambient, usualAmbient} {
		for _, part := range nextParts {
			trials = append(trials, battery.Trial{Load: l.Load.Times(part), Ambient: ambient})
		}
	}
	now, after, err := battery.Narrowed(k.packs(halves, l.Ambient)[0], battery.Steady(l.Load), cutout, l.Ambient, trials)
	if err != nil {
		return nil
	}
	best := -1
	for i, u := range after {
		if !math.IsNaN(float64(u)) && (best < 0 || u < 0.99*after[best]) { // of two alike the first, which is easier to make
			best = i
		}
	}
	if best < 0 {
		return nil
	}
	f := quantity.Seconds(quantity.CoverageFactor * l.factor())
	n := &NextRun{Part: nextParts[best%len(nextParts)], Ambient: trials[best].Ambient, Now: f * now.U, After: f * after[best]}
	if !n.narrows() {
		n.Words = fmt.Sprintf("One more run would hardly narrow the running time to %s, now ± %s.", by, quantity.Clock(n.Now, 60))
		return n
	}
	n.Words = fmt.Sprintf("What would narrow it most: one more run from full to %s %s, at %s. The running time is now told to ± %s, and would be to about ± %s.", by, loadWords[n.Part], quantity.Rough(n.Ambient), quantity.Clock(n.Now, 60), quantity.Clock(n.After, 60))
	return n
}

// setting is everything that a run time depends on.
type setting struct {
	packs   []battery.Pack
	load    battery.Load
	ambient quantity.Celsius
	cutout  *battery.Cutout
}

// How far each input is changed. Where a calibration gives its expanded
// uncertainty (k = 2) that is taken instead.
const (
	capacityChange   = 0.10
	resistanceChange = 0.20
	loadChange       = 0.10
	ambientChange    = 10  // K
	cutoutChange     = 0.1 // V of a cell
	chargeChange     = 0.1 // of the charge at the start
)

func (k *known) sensitivity(l Load, b Basis) *Sensitivity {
	cutout, by := k.bank.Ending()
	t := &Sensitivity{Load: l.Name, Label: l.Label, To: by}
	base := setting{k.cells(halves, l.Ambient), l.Load, l.Ambient, cutout}
	time, err := base.time()
	if err != nil {
		t.Err = finding.SentenceOf(err)
		return t
	}
	delay := quantity.Seconds(0)
	if cutout != nil {
		delay = cutout.Delay
	}
	if time <= delay+atOnce {
		t.Err = "Under this load the run ends at once."
		return t
	}
	t.Base = time
	part := func(name string, usual float64) (float64, string) {
		for _, v := range b.Values {
			if u := quantity.CoverageFactor * v.Quantity.U / v.Quantity.Value; v.Name == name && b.Calibrated && u > 0 {
				return u, ", its uncertainty"
			}
		}
		return usual, ""
	}
	capacity, capacityWhy := part("capacity", capacityChange)
	resistance, resistanceWhy := part("resistance-10-s", resistanceChange)
	percent := func(x float64, why string) string { return fmt.Sprintf("%+.2g %%%s", 100*x, why) }
	both := func(input string, by float64, words func(float64) string, change func(*setting, float64)) {
		bar := InputEffect{Input: input}
		for _, side := range []struct {
			by  float64
			out *ChangedInput
		}{{-by, &bar.Low}, {by, &bar.High}} {
			s := base.clone()
			change(&s, side.by)
			v := ChangedInput{Words: words(side.by), Time: quantity.Seconds(math.NaN())}
			if got, err := s.time(); err != nil {
				v.Err = finding.SentenceOf(err)
			} else {
				v.Time = got
				bar.Effect = max(bar.Effect, got-time, time-got)
			}
			*side.out = v
		}
		t.Inputs = append(t.Inputs, bar)
	}
	both("capacity", capacity, func(x float64) string { return percent(x, capacityWhy) }, func(s *setting, x float64) { s.cells(1+x, 1) })
	both("resistance", resistance, func(x float64) string { return percent(x, resistanceWhy) }, func(s *setting, x float64) { s.cells(1, 1+x) })
	both("load", loadChange, func(x float64) string { return percent(x, "") }, func(s *setting, x float64) { s.load = s.load.Times(1 + x) })
	both("temperature", ambientChange, func(x float64) string { return fmt.Sprintf("%+.3g K", x) }, func(s *setting, x float64) {
		s.ambient += quantity.Celsius(x)
		for i := range s.packs {
			s.packs[i].Temperature += quantity.Celsius(x)
		}
	})
	if cutout != nil {
		both("voltage of "+by, cutoutChange*float64(k.bank.Series()), func(x float64) string { return fmt.Sprintf("%+.3g V", x) }, func(s *setting, x float64) {
			c := *s.cutout
			c.Opens += quantity.Volts(x)
			s.cutout = &c
			if k.bank.Cutout == nil { // it is the packs' own
				for i := range s.packs {
					s.packs[i].Protection = nil
				}
			}
		})
	}
	s := base.clone()
	for i := range s.packs {
		s.packs[i].Charge -= chargeChange
	}
	start := InputEffect{Input: "charge at the start", Low: ChangedInput{Words: percent(-chargeChange, ""), Time: quantity.Seconds(math.NaN())}, High: ChangedInput{Time: quantity.Seconds(math.NaN())}}
	if got, err := s.time(); err != nil {
		start.Low.Err = finding.SentenceOf(err)
	} else {
		start.Low.Time, start.Effect = got, max(got-time, time-got)
	}
	t.Inputs = append(t.Inputs, start)
	t.counted(quantity.Seconds(l.factor()))
	t.Next = k.next(l, cutout, by)
	slices.SortStableFunc(t.Inputs, func(a, b InputEffect) int { return cmp.Compare(b.Effect, a.Effect) })
	return t
}

// counted turns times under load into running times.
func (t *Sensitivity) counted(factor quantity.Seconds) {
	t.Base *= factor
	for i := range t.Inputs {
		b := &t.Inputs[i]
		b.Effect *= factor
		b.Low.Time *= factor
		b.High.Time *= factor
	}
}

func (s setting) clone() setting {
	s.packs = slices.Clone(s.packs)
	return s
}

// cells multiplies the capacity and the resistances of every cell.
func (s *setting) cells(capacity, resistance float64) {
	for i := range s.packs {
		c := *s.packs[i].Cell
		c.Capacity *= quantity.AmpereHours(capacity)
		if c.Peukert != nil {
			p := *c.Peukert
			p.Capacity *= quantity.AmpereHours(capacity)
			c.Peukert = &p
		}
		c.HeatCapacity *= capacity
		c.Conductance *= capacity
		c.Ohmic = c.Ohmic.Scaled(resistance)
		c.Branches = slices.Clone(c.Branches)
		for n := range c.Branches {
			c.Branches[n].Resistance = c.Branches[n].Resistance.Scaled(resistance)
		}
		s.packs[i].Cell = &c
		s.packs[i].Leads *= quantity.Ohms(resistance)
	}
}

// time is the run time to the cutout or, without one, to the conservative floor.
func (s setting) time() (quantity.Seconds, error) {
	o, err := battery.RunTimes(s.packs, battery.Steady(s.load), s.cutout, s.ambient)
	if err != nil {
		return 0, err
	}
	name := battery.ConservativeFloor
	if s.cutout != nil {
		name = battery.CutoutLevel
	}
	for _, l := range o.Levels {
		if l.Name == name {
			if l.Err != nil {
				return 0, l.Err
			}
			return l.At, nil
		}
	}
	return 0, fmt.Errorf("the chemistry has no floor")
}
