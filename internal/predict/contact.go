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
			if o := all[j].Contact.After10s; o.Known() && j != i && !all[j].log.run.OnlyChecked && k.alike(all[i].log, all[j].log) && float64(o.Value) < least {
				least, c.Best = float64(o.Value), all[j].log.run.Slug
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
		all[i].Why += " " + c.words()
	}
}

// alike says whether the first seconds of two runs may be compared.
func (k *known) alike(a, b *calibrationLog) bool {
	warm := func(l *calibrationLog) float64 {
		if t := l.run.Rows.Temperature; len(t) > 0 && !math.IsNaN(t[0]) {
			return t[0]
		}
		return float64(l.run.Ambient.Value)
	}
	near := math.Abs(warm(a)-warm(b)) <= contactKelvins // not where it is not known
	same := a.run.capacity(k.bank) == b.run.capacity(k.bank)
	days := a.run.Day == 0 || b.run.Day == 0 || max(a.run.Day-b.run.Day, b.run.Day-a.run.Day) <= contactDays
	return near && same && days && math.Abs(a.log.Cycles-b.log.Cycles) <= contactCycles
}

func (c Contact) words() string {
	watts := quantity.Watts(float64(c.Current.Value) * float64(c.Current.Value) * float64(c.More))
	return fmt.Sprintf("After 10 s of load it had %s, %s more in its plugs and leads than %s: %s at %s. That is taken out of what it teaches.",
		quantity.Rough(c.After10s.Value), quantity.Rough(c.More), c.Best, quantity.Rough(watts), quantity.Rough(c.Current.Value))
}
