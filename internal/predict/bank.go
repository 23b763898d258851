package predict

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"voltwright/internal/battery"
	"voltwright/internal/quantity"
)

// Bank is the packs of a version, joined in parallel, and what opens their circuit.
type Bank struct {
	Packs  []Pack
	Cutout *battery.Cutout // between packs and load; nil: none

	Charger    battery.Charger                      // as it is stated; no current: none is, no voltage: that of the packs' full charge
	Efficiency quantity.Measured[quantity.Fraction] // of the charger, as it is stated; missing: it is not
}

// Pack is one pack as it is stated.
type Pack struct {
	Name       string
	Chemistry  *battery.Chemistry
	Series     int
	Capacity   quantity.Measured[quantity.AmpereHours]
	Resistance quantity.Measured[quantity.Ohms]  // of the whole pack; missing: not stated
	Insisted   bool                              // the resistance is to be so, whatever the logs say
	Full       quantity.Measured[quantity.Volts] // at the end of a charge; missing: the chemistry's
	Protection *battery.Cutout                   // inside the pack; nil: none is stated
}

// halves is how many like parts a bank is computed as.
const halves = 2

// Check says why nothing can be computed for a bank, or nil.
func (b Bank) Check() error {
	if len(b.Packs) == 0 {
		return errors.New("no pack is stated")
	}
	for _, p := range b.Packs {
		switch {
		case p.Chemistry == nil:
			return fmt.Errorf("the chemistry of %s is not known", p.name())
		case p.Series < 1:
			return fmt.Errorf("how many cells %s has in series is not known", p.name())
		case !p.Capacity.Known() || p.Capacity.Value <= 0:
			return fmt.Errorf("the capacity of %s is not known", p.name())
		case p.Series != b.Packs[0].Series:
			return fmt.Errorf("packs of %d and %d cells in series cannot be joined in parallel: the one with fewer would be charged far beyond its limit", b.Packs[0].Series, p.Series)
		}
	}
	return nil
}

func (p Pack) name() string {
	if p.Name == "" {
		return "the pack"
	}
	return p.Name
}

// alike says whether all packs have one chemistry.
func (b Bank) alike() bool {
	for _, p := range b.Packs {
		if p.Chemistry.Name != b.Packs[0].Chemistry.Name {
			return false
		}
	}
	return true
}

// twins says whether the bank is two packs of one kind, so that half of it is one of them.
func (b Bank) twins() bool {
	return len(b.Packs) == 2 && twins(b.Packs[0], b.Packs[1])
}

// Series is the number of cells in series.
func (b Bank) Series() int { return b.Packs[0].Series }

// Capacity is the charge of all packs together; its uncertainty is 0 where one
// of the packs states none.
func (b Bank) Capacity() quantity.Measured[quantity.AmpereHours] {
	sum := quantity.Exact(quantity.AmpereHours(0))
	stated := true
	for _, p := range b.Packs {
		sum = quantity.Sum(sum, p.Capacity)
		stated = stated && p.Capacity.U > 0
	}
	if !stated {
		sum.U = 0
	}
	return sum
}

// Holding is the bank with the capacities of its packs as its logs showed them: one logger sees all packs as one, so
// each has the part of what they hold together that it has of what is stated. It is the bank itself where no log taught.
func (b Bank) Holding(a *Prediction) Bank {
	if a == nil || !a.Basis.Calibrated || !(a.Capacity.Value > 0) || !(b.Capacity().Value > 0) {
		return b
	}
	part := a.Capacity.Value / b.Capacity().Value
	b.Packs = slices.Clone(b.Packs)
	for i := range b.Packs {
		p := &b.Packs[i]
		held := p.Capacity.Value * part
		p.Capacity = quantity.Of(held, held*a.Capacity.U/a.Capacity.Value)
	}
	return b
}

// Resistance is that of all packs side by side; missing where one states none.
func (b Bank) Resistance() quantity.Measured[quantity.Ohms] {
	if len(b.Packs) == 0 {
		return quantity.Missing[quantity.Ohms]()
	}
	var g, part float64
	for _, p := range b.Packs {
		if !p.Resistance.Known() || p.Resistance.Value <= 0 {
			return quantity.Missing[quantity.Ohms]()
		}
		g += 1 / float64(p.Resistance.Value)
		part = math.Max(part, float64(p.Resistance.U/p.Resistance.Value))
	}
	return quantity.Of(quantity.Ohms(1/g), quantity.Ohms(part/g))
}

// TypicalResistance is that of a pack of its chemistry and capacity after 10 s of load, and what it rests on; missing
// where one of them, or the number of its cells in series, is not known.
func (p Pack) TypicalResistance() (quantity.Measured[quantity.Ohms], string) {
	if p.Chemistry == nil || p.Series < 1 || !p.Capacity.Known() {
		return quantity.Missing[quantity.Ohms](), ""
	}
	cell, err := p.Chemistry.TypicalResistance(p.Capacity)
	if err != nil {
		return quantity.Missing[quantity.Ohms](), ""
	}
	return quantity.Scale(cell, float64(p.Series)), "typical of " + p.Chemistry.Title + " of this capacity"
}

// ResistanceTaken is the resistance of all packs side by side, a pack that states none having what is typical, and what it rests
// on where not every pack states one. It is missing where a pack neither states it nor lets it be guessed. Typical values
// of several packs are taken to be wrong alike.
func (b Bank) ResistanceTaken() (r quantity.Measured[quantity.Ohms], taken string) {
	all := b
	all.Packs = slices.Clone(b.Packs)
	for i := range all.Packs {
		if p := &all.Packs[i]; !p.Resistance.Known() {
			p.Resistance, taken = p.TypicalResistance()
		}
	}
	if r = all.Resistance(); !r.Known() {
		return r, ""
	}
	return r, taken
}

// insisted says whether a pack's resistance is to be as stated.
func (b Bank) insisted() bool {
	for _, p := range b.Packs {
		if p.Insisted {
			return true
		}
	}
	return false
}

// full is the voltage at the end of a charge, 0 where none is stated: the least of the packs'.
func (b Bank) full() quantity.Volts {
	low := quantity.Volts(math.Inf(1))
	for _, p := range b.Packs {
		if p.Full.Known() {
			low = min(low, p.Full.Value)
		}
	}
	if math.IsInf(float64(low), 1) {
		return 0
	}
	return low
}

// FullVoltage is that of the bank at rest when it was just charged.
func (b Bank) FullVoltage() quantity.Volts {
	top, _ := b.Packs[0].Chemistry.Curve().At(1)
	top *= quantity.Volts(b.Series())
	if f := b.full(); f > 0 {
		return min(f, top)
	}
	return top
}

// NominalVoltage is that of the bank by its chemistry.
func (b Bank) NominalVoltage() quantity.Volts {
	return b.Packs[0].Chemistry.Nominal() * quantity.Volts(b.Series())
}

// protection is that of the packs taken as one: it opens at the highest voltage
// of any, and at the sum of their currents.
func (b Bank) protection() *battery.Cutout {
	var out *battery.Cutout
	untripped := false
	for _, p := range b.Packs {
		if p.Protection == nil {
			return nil // one pack without goes on feeding the load
		}
		untripped = untripped || p.Protection.Trip == 0
		if out == nil {
			c := *p.Protection
			out = &c
			continue
		}
		out.Opens = max(out.Opens, p.Protection.Opens)
		out.Trip += p.Protection.Trip
	}
	if untripped {
		out.Trip = 0
	}
	return out
}

// What ends a run of the bank.
const (
	EndsAtCutout     = "the cutout"
	EndsAtProtection = "the packs' own protection"
	EndsAtFloor      = "the conservative floor"
)

// Ending is the voltage at which a run of the bank ends, and what ends it:
// the cutout, else the packs' own protection; else nothing opens the circuit.
func (b Bank) Ending() (*battery.Cutout, string) {
	if b.Cutout != nil {
		return b.Cutout, EndsAtCutout
	}
	if p := b.protection(); p != nil && p.Opens > 0 {
		return p, EndsAtProtection
	}
	return nil, EndsAtFloor
}

// known is the bank with what is known of its cells, ready to be computed.
type known struct {
	bank      Bank
	estimates []*battery.Estimate // of a half of the bank, or of each pack where they are unlike
	leads     quantity.Ohms       // makes up an insisted resistance, of a half
	keep      Cache
	cycles    float64 // that its runs come to, as far as they were logged
}

// packs are the bank times a factor in halves: 1 is half of the bank, 2 the
// bank, 4 twice the bank.
func (k *known) packs(parts int, ambient quantity.Celsius) []battery.KnownPack {
	var out []battery.KnownPack
	for i, e := range k.estimates {
		p := battery.Pack{Name: k.name(i), Series: k.bank.Series(), Parallel: parts, Charge: 1, Temperature: ambient,
			Leads: k.leads / quantity.Ohms(parts)}
		p.Protection = k.protection(i, parts)
		out = append(out, battery.KnownPack{Estimate: e, Pack: p, Cycles: k.cycles})
	}
	return out
}

func (k *known) name(i int) string {
	if len(k.estimates) == 1 {
		return "bank"
	}
	return k.bank.Packs[i].name()
}

func (k *known) protection(i, parts int) *battery.Cutout {
	p := k.bank.protection()
	if len(k.estimates) > 1 {
		p = k.bank.Packs[i].Protection
	}
	if p == nil || !(p.Opens > 0) && p.Trip == 0 {
		return nil
	}
	c := *p
	if k.bank.twins() { // another capacity is another number of packs, each with its own
		c.Trip *= quantity.Amperes(parts) / halves
	}
	return &c
}

// cells are the packs with their most likely cells.
func (k *known) cells(parts int, ambient quantity.Celsius) []battery.Pack {
	var out []battery.Pack
	for _, p := range k.packs(parts, ambient) {
		q := p.Pack
		q.Cell = p.Estimate.Cell()
		out = append(out, q)
	}
	return out
}

// typical is what is known of the bank without a log. The stated resistance is
// taken into account where stated is set.
func typical(b Bank, stated bool, keep Cache) (*known, error) {
	k := &known{bank: b, keep: keep}
	add := func(c *battery.Chemistry, capacity quantity.Measured[quantity.AmpereHours], r quantity.Measured[quantity.Ohms]) error {
		e, err := battery.Typical(c, quantity.Scale(capacity, 1./halves))
		if err != nil {
			return err
		}
		if stated && r.Known() && r.Value > 0 {
			var learned battery.Kept
			if err := keep.step(fmt.Sprintf("resistance %d", len(k.estimates)), &learned, func() error {
				after, err := e.WithResistance(quantity.Scale(r, halves/float64(b.Series())))
				if err == nil {
					learned = after.Kept()
				}
				return err
			}); err != nil {
				return err
			}
			if e, err = e.Recall(learned); err != nil {
				return err
			}
		}
		k.estimates = append(k.estimates, e)
		return nil
	}
	if b.alike() {
		return k, add(b.Packs[0].Chemistry, b.Capacity(), b.Resistance())
	}
	for _, p := range b.Packs {
		if err := add(p.Chemistry, p.Capacity, p.Resistance); err != nil {
			return nil, err
		}
	}
	return k, nil
}

// resistanceAfter is the time under load of the resistance that a maker sees and states.
const resistanceAfter = 10 // s

// insist makes the bank's resistance what is stated, by a lead in series or one
// that takes away, whatever the logs say.
func (k *known) insist() {
	r := k.bank.Resistance()
	if !k.bank.insisted() || !r.Known() || len(k.estimates) != 1 {
		return
	}
	cell := k.estimates[0].Cell()
	have := cell.ResistanceAt(0.5, cell.Reference, resistanceAfter) * quantity.Ohms(k.bank.Series())
	least := -0.9 * cell.ResistanceAt(1, 60, 0) * quantity.Ohms(k.bank.Series()) // what is left stays above zero
	k.leads = max(r.Value*halves-have, least)
}
