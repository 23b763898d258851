package predict

import (
	"fmt"
	"math"

	"voltwright/internal/quantity"
)

// Contact is the resistance of a run's plugs and leads, by its own first ten seconds.
type Contact struct {
	After10s quantity.Measured[quantity.Ohms]    // of all packs together with what joins them: (V at rest − V after 10 s)/I; missing: the log does not begin so
	Current  quantity.Measured[quantity.Amperes] // mean of these ten seconds
	More     quantity.Ohms                       // than the best run like it has, where that is more than runs scatter; 0: not
	Best     string                              // the slug of that run
	Heat     quantity.Watts                      // that More makes, mean from the first load to the end of the run
	Mended   string                              // the slug of a later run like it that has none of it; "": no run shows that
}

// PlugGrowth is a resistance of plugs and leads that rises from run to run.
type PlugGrowth struct {
	First, Last string        // the IDs of the runs that it was seen on, by date
	Runs        int           // how many there are
	Rise        quantity.Ohms // of the straight line, from the first to the last
	Chance      quantity.Ohms // what chance makes of it, at most, 95 %
}

// What is compared. The scatter is that of the resistances of two cells over the rate of discharge, 37.6 mΩ to 39.9 mΩ and 35.9 mΩ to 37.9 mΩ
// at half of the capacity in amperes and above (the sets of 21700 NMC of 5 Ah and of the high-drain 18650 of 3 Ah); the rest is our own choice.
const (
	contactScatter = 0.04 // standard, of the least resistance
	contactKelvins = 5    // runs that start further apart are not compared
	contactRate    = 0.5  // of the capacity in amperes: slower ones read higher
	contactCycles  = 100  // further apart they may have aged
	contactDays    = 365  // the same
	contactSteady  = 0.1  // part by which the current may swing in the ten seconds
)

// contactOf measures the first ten seconds under load of a log that begins at rest; capacity in Ah.
func contactOf(r *Rows, capacity float64) Contact {
	none := Contact{After10s: quantity.Missing[quantity.Ohms](), Current: quantity.Missing[quantity.Amperes]()}
	first := 0
	for first < len(r.Time) && math.Abs(r.Current[first]) < loadedPart*capacity/2 {
		first++
	}
	if first == 0 || first == len(r.Time) {
		return none
	}
	begin, rest := r.Time[first-1], r.Voltage[first-1]
	least, most, charge := math.Inf(1), 0.0, 0.0
	before, at := rest, begin
	for k := first; k < len(r.Time); k++ {
		i, until := r.Current[k], r.Time[k]
		if !(i >= contactRate*capacity) || math.IsNaN(r.Voltage[k]) {
			return none
		}
		least, most = min(least, i), max(most, i)
		charge += i * (min(until, begin+resistanceAfter) - at)
		if until >= begin+resistanceAfter {
			if until-begin > 1.5*resistanceAfter && k == first || most-least > contactSteady*most {
				return none // no row tells the voltage at ten seconds, or the current did not hold
			}
			v := before + (r.Voltage[k]-before)*(begin+resistanceAfter-at)/(until-at)
			if k == first {
				v = r.Voltage[k]
			}
			amps := charge / resistanceAfter
			ohms := (rest - v) / amps
			if !(ohms > 0) {
				return none
			}
			return Contact{After10s: quantity.Of(quantity.Ohms(ohms), quantity.Ohms(contactScatter*ohms)), Current: quantity.Exact(quantity.Amperes(amps))}
		}
		before, at = r.Voltage[k], until
	}
	return none
}

// contacts measures every run that can teach and tells, among those that start alike, which have more in their plugs and leads than the best. A
// plug only adds: the least of them that may teach is that of the packs.
func (k *known) contacts(all []CalibrationRun) {
	for i := range all {
		all[i].Contact = Contact{After10s: quantity.Missing[quantity.Ohms](), Current: quantity.Missing[quantity.Amperes]()}
		if l := all[i].log; l != nil && l.full {
			all[i].Contact = contactOf(l.run.Rows, l.run.capacity(k.bank))
		}
	}
	for i := range all {
		c := &all[i].Contact
		if !c.After10s.Known() {
			continue
		}
		least := float64(c.After10s.Value)
		for j := range all {
			if o := all[j].Contact.After10s; o.Known() && j != i && !all[j].log.run.OnlyChecked && k.alike(all[i].log, all[j].log) {
				if r := float64(o.Value) * k.warmer(all[j].log, all[i].log); r < least {
					least, c.Best = r, all[j].log.run.Slug
				}
			}
		}
		more := float64(c.After10s.Value) - least
		if more <= 2*contactScatter*least {
			c.Best = ""
			continue
		}
		c.More = quantity.Ohms(more)
		l := all[i].log
		l.log.Contact = c.More / quantity.Ohms(l.factor)
		c.Heat = quantity.Watts(l.run.Rows.square(loadedPart*l.run.capacity(k.bank)) * more)
	}
	for i := range all {
		if c := &all[i].Contact; c.More > 0 {
			for j := range all {
				if o := &all[j].Contact; o.After10s.Known() && o.More == 0 && all[j].log.run.Day > all[i].log.run.Day && k.alike(all[i].log, all[j].log) {
					c.Mended = all[j].log.run.Slug
				}
			}
			all[i].Why += " " + c.words()
		}
	}
}

// square is the mean square of the current from the first load to the end, A².
func (r *Rows) square(loaded float64) float64 {
	sum, span := 0.0, 0.0
	for k := range r.Time {
		from := r.Start
		if k > 0 {
			from = r.Time[k-1]
		}
		if i := r.Current[k]; !math.IsNaN(i) && (span > 0 || i > loaded) {
			sum, span = sum+i*i*(r.Time[k]-from), span+r.Time[k]-from
		}
	}
	if !(span > 0) {
		return 0
	}
	return sum / span
}

// warmth is the temperature that a run starts at, °C; NaN: not known.
func (l *calibrationLog) warmth() float64 {
	if t := l.run.Rows.Temperature; len(t) > 0 && !math.IsNaN(t[0]) {
		return t[0]
	}
	return float64(l.run.Ambient.Value)
}

// warmer is the part by which a resistance of full cells at the start of one run is that at the start of another, by what is typical.
func (k *known) warmer(from, to *calibrationLog) float64 {
	cell := k.estimates[0].Cell()
	at := func(l *calibrationLog) float64 {
		return float64(cell.ResistanceAt(1, quantity.Celsius(l.warmth()), resistanceAfter))
	}
	return at(to) / at(from)
}

// grows says whether the resistance after ten seconds rises with the date, over the runs that start like the newest of them: the slope of a
// straight line lies above zero beyond the interval of 95 % of Student's distribution, and neither current nor temperature went with the date. nil: not.
func (k *known) grows(all []CalibrationRun) *PlugGrowth {
	var last *calibrationLog
	for i := range all {
		if l := all[i].log; l != nil && all[i].Contact.After10s.Known() && l.run.Day != 0 && (last == nil || l.run.Day >= last.run.Day) {
			last = l
		}
	}
	if last == nil {
		return nil
	}
	var days, less, us, amps, celsius []float64
	first := last
	for i := range all {
		c, l := all[i].Contact, all[i].log
		if l == nil || !c.After10s.Known() || l.run.Day == 0 || !k.alike(l, last) {
			continue
		}
		if l.run.Day < first.run.Day {
			first = l
		}
		r := float64(c.After10s.Value) * k.warmer(l, last)
		days, less, us = append(days, float64(l.run.Day)), append(less, -r), append(us, contactScatter*r)
		amps, celsius = append(amps, math.Log(float64(c.Current.Value))), append(celsius, l.warmth())
	}
	if goWith(days, amps, celsius) {
		return nil
	}
	slope, chance, ok := falls(days, less, us)
	if !ok {
		return nil
	}
	span := float64(last.run.Day - first.run.Day)
	return &PlugGrowth{First: first.run.ID, Last: last.run.ID, Runs: len(days), Rise: quantity.Ohms(-slope * span), Chance: quantity.Ohms(chance * span)}
}

// alike says whether the first seconds of two runs may be compared.
func (k *known) alike(a, b *calibrationLog) bool {
	near := math.Abs(a.warmth()-b.warmth()) <= contactKelvins // not where it is not known
	same := a.run.capacity(k.bank) == b.run.capacity(k.bank)
	days := a.run.Day == 0 || b.run.Day == 0 || max(a.run.Day-b.run.Day, b.run.Day-a.run.Day) <= contactDays
	return near && same && days && math.Abs(a.log.Cycles-b.log.Cycles) <= contactCycles
}

func (c Contact) words() string {
	watts := quantity.Watts(float64(c.Current.Value) * float64(c.Current.Value) * float64(c.More))
	mended := ""
	if c.Mended != "" {
		mended = fmt.Sprintf(" %s, which is later, has none of it.", c.Mended)
	}
	return fmt.Sprintf("After 10 s of load it had %s, %s more in its plugs and leads than %s: %s at %s. That is taken out of what it teaches.%s",
		quantity.Rough(c.After10s.Value), quantity.Rough(c.More), c.Best, quantity.Rough(watts), quantity.Rough(c.Current.Value), mended)
}

func (g *PlugGrowth) words() string {
	return fmt.Sprintf("The resistance of packs, plugs and leads rose by %s over %d runs, more than chance explains (%s). ", quantity.Rough(g.Rise), g.Runs, quantity.Rough(g.Chance))
}
