package predict

import (
	"fmt"
	"math"

	"voltwright/internal/battery"
	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// ChargeTime is how long a charge takes at one current. Where Err is set there
// are no values.
type ChargeTime struct {
	Name     string // stable, for a permalink: charge-time/c-5
	Label    string // "a fifth of the capacity an hour"
	Run      string // the run whose current it is, "" for others
	Own      bool   // with the version's own charger
	Against  string // the rule that speaks against this charge, "" where none does
	Current  quantity.Amperes
	Volts    quantity.Volts // at which it ends; 0: the packs' full voltage
	From     float64        // charge at the start, 0 to 1
	Method   string
	Most     quantity.Measured[quantity.Seconds] // until the packs hold 80 %; missing where it begins above that
	Total    quantity.Measured[quantity.Seconds]
	Bulk     quantity.Seconds // with the current held
	Taper    quantity.Seconds // with the voltage held
	Charge   quantity.AmpereHours
	Energy   quantity.Measured[quantity.WattHours] // into the packs; missing: not computed for this chemistry
	Wall     quantity.Measured[quantity.WattHours] // from the wall, with the version's own charger; missing: with another, or no energy
	Taught   int                                   // measured charges that taught it
	RuleLow  quantity.Seconds                      // by the rule of thumb for the same charge
	RuleHigh quantity.Seconds
	Err      string
}

// ChargerName is the name of the charge with the version's own charger.
const ChargerName = "charge-time/charger"

// chargeTimes are for the version's own charger, for a fifth and a half of the
// capacity an hour and for the current of the runs that were charges, from the
// charge that a run leaves.
func (k *known) chargeTimes(runs []Run, from quantity.Measured[quantity.Number], lessons []battery.ChargeLesson, slow bool, ambient quantity.Celsius) []ChargeTime {
	c := k.rates()
	var list []ChargeTime
	if own := k.bank.Charger; own.Current > 0 {
		t := ChargeTime{Name: ChargerName, Label: "the charger of this version", Own: true, Current: own.Current, Volts: own.Volts}
		if own.Volts > 0 {
			t.Label += ", up to " + quantity.Brief(own.Volts)
		}
		list = append(list, t)
	}
	list = append(list,
		ChargeTime{Name: "charge-time/c-5", Label: "a fifth of the capacity an hour", Current: quantity.Amperes(c) / 5},
		ChargeTime{Name: "charge-time/c-2", Label: "half of the capacity an hour", Current: quantity.Amperes(c) / 2})
	for _, r := range runs {
		if r.Charging > 0 {
			list = append(list, ChargeTime{Name: "charge-time/" + r.Slug, Label: "as on " + r.Slug, Run: r.ID, Current: r.Charging})
		}
	}
	for i := range list {
		list[i].From = float64(from.Value)
		k.charge(&list[i], float64(from.U), lessons, slow, ambient)
		if list[i].Own && list[i].Energy.Known() {
			list[i].Wall = fromTheWall(list[i].Energy, k.efficiency(runs, ""))
		}
	}
	return list
}

// rates is the capacity that currents are told by: the stated one, or what the logs
// show where that is less beyond its uncertainty, since a fifth of a false label
// may be half of what the cells hold.
func (k *known) rates() quantity.AmpereHours {
	stated := k.bank.Capacity().Value
	if have := k.capacity(); have.Known() && have.Value+have.Expanded() < stated {
		digits := math.Pow(10, 2-math.Floor(math.Log10(float64(have.Value)))) // three, as on a charger's dial
		return quantity.AmpereHours(math.Round(float64(have.Value)*digits) / digits)
	}
	return stated
}

func (k *known) charge(t *ChargeTime, unsure float64, lessons []battery.ChargeLesson, slow bool, ambient quantity.Celsius) {
	t.clear()
	if len(k.estimates) > 1 {
		t.Err = "Packs of unlike chemistry are not charged together."
		return
	}
	e := k.estimates[0]
	pack := k.packs(halves, ambient)[0].Pack
	pack.Charge = t.From
	volts := t.Volts
	if !(volts > 0) {
		volts = k.bank.full()
	} else if rest, _ := e.Cell().Chemistry.Curve().At(t.From); rest*quantity.Volts(k.bank.Series()) >= volts {
		t.Err = fmt.Sprintf("It ends at %s, and the packs stand at %s by themselves: it puts nothing in.", quantity.Brief(volts), quantity.Brief(rest*quantity.Volts(k.bank.Series())))
		return
	}
	q := battery.ChargeQuestion{Pack: pack, Charger: battery.Charger{Current: t.Current, Volts: volts}, Ambient: ambient, Unsure: unsure, Lessons: lessons}
	q.Charger.Stop, q.StopUnsure = endingCurrent(lessons, halves)
	best, err := e.ForecastCharge(q)
	switch {
	case err != nil:
		t.Err = finding.SentenceOf(err)
		return
	case !best.Finished:
		t.Err = "At this current the charge does not end within two days."
		return
	case t.Volts > 0 && best.AtEnd < leastFilled:
		t.Err = fmt.Sprintf("It ends at %s, which fills these packs to %.0f %% only.", quantity.Brief(volts), 100*best.AtEnd)
		return
	}
	t.Method, t.Bulk, t.Taper, t.Charge, t.Taught = best.Method, best.Current, best.Voltage, best.Charge, best.Taught
	t.Most, t.Total, t.Energy = best.Most, best.Full, best.Energy
	missing := quantity.AmpereHours(1-t.From) * e.Cell().Capacity * halves
	t.RuleLow, t.RuleHigh = battery.ChargeRule(e.Cell().Chemistry, missing, t.Current, slow)
}

// leastFilled is how full a charger has to make the packs for its time to be
// called that of a charge. Our own choice; no source.
const leastFilled = 0.8

// Refuse takes the time of the version's own charger back, since a rule speaks
// against that charge.
func (a *Prediction) Refuse(rule string) {
	for i := range a.Charges {
		if c := &a.Charges[i]; c.Own {
			*c = ChargeTime{Name: c.Name, Label: c.Label, Own: true, Against: rule, Current: c.Current, Volts: c.Volts, From: c.From,
				Err: "The rule " + rule + " speaks against this charger, so no time is computed for it."}
			c.clear()
		}
	}
}

// clear takes every value away.
func (c *ChargeTime) clear() {
	c.Most, c.Total = quantity.Missing[quantity.Seconds](), quantity.Missing[quantity.Seconds]()
	c.Energy, c.Wall = quantity.Missing[quantity.WattHours](), quantity.Missing[quantity.WattHours]()
}

// Life is what use does to the packs.
type Life struct {
	Storage quantity.Volts // rest voltage of the pack that suits storage
	At      []Depth
	Runs    []RunCycles
}

// Depth is a depth of discharge and how many cycles of it are typical, until the
// capacity has fallen to what the source of the chemistry counts as the end.
type Depth struct {
	Name      string // "to the cutout"
	Depth     float64
	Low, High quantity.Number // NaN where Err is set
	Source    string
	Err       string
}

// RunCycles is a run in equivalent full cycles: the charge taken out over the stated capacity, by which cycles are counted.
type RunCycles struct {
	Run, Name string
	Cycles    quantity.Number
}

func (k *known) life(c *RunTime, runs []Run) Life {
	chem := k.bank.Packs[0].Chemistry
	l := Life{Storage: chem.StorageVoltage() * quantity.Volts(k.bank.Series())}
	add := func(name string, depth float64) {
		d := Depth{Name: name, Depth: depth, Source: chem.CycleLife.Source}
		var err error
		if d.Low, d.High, err = chem.Cycles(quantity.Fraction(depth)); err != nil {
			d.Err = finding.SentenceOf(err)
		}
		l.At = append(l.At, d)
	}
	if c != nil && c.Err == "" {
		depth := func(r EndPoint) float64 {
			return float64(r.Charge.Value) / float64(r.Charge.Value+r.Left.Value)
		}
		if c.Cutout != nil && c.Cutout.Err == "" {
			add("to "+k.endsBy(), depth(*c.Cutout))
		}
		if c.Conservative.Err == "" {
			add("to the conservative floor", depth(c.Conservative))
		}
	}
	add("to half", 0.5)
	for _, r := range runs {
		if r.DischargedCharge.Known() && r.DischargedCharge.Value > 0 {
			l.Runs = append(l.Runs, RunCycles{Run: r.ID, Name: r.Name, Cycles: battery.FullCycles(r.DischargedCharge.Value, quantity.AmpereHours(r.capacity(k.bank)))})
		}
	}
	return l
}

func (k *known) endsBy() string {
	_, by := k.bank.Ending()
	return by
}
