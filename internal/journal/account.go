package journal

import (
	"fmt"
	"math/big"
	"slices"

	"voltwright/internal/finding"
	"voltwright/internal/notes"
	"voltwright/internal/quantity"
)

// PartHow says how a part on a version's list came to the vehicle, or left it.
type PartHow string

// What becomes of a part.
const (
	Bought   PartHow = "bought"    // for this version, in the place of one of the same name or beside it
	Kept     PartHow = "kept"      // from the version before, which need not have listed it
	Moved    PartHow = "moved"     // from elsewhere on the vehicle, or from another one
	Borrowed PartHow = "borrowed"  // goes back
	UsedUp   PartHow = "used-up"   // bought, and gone into the work: solder, grease, sleeves
	TakenOff PartHow = "taken-off" // was on the vehicle and is no more
)

// Options lists what may become of a part.
func (PartHow) Options() []notes.Option {
	return []notes.Option{
		{Name: string(Bought), Meaning: "paid for with this version; one of the same name that the version before had is taken off"},
		{Name: string(Kept), Meaning: "was on the vehicle before; costs this version nothing"},
		{Name: string(Moved), Meaning: "was elsewhere before, on this vehicle or another; costs this version nothing"},
		{Name: string(Borrowed), Meaning: "costs nothing and weighs what it weighs"},
		{Name: string(UsedUp), Meaning: "paid for with this version, weighs nothing, and the next version has it no more"},
		{Name: string(TakenOff), Meaning: "was on the vehicle before and is no more"},
	}
}

// Sums adds up money by currency, exactly.
type Sums struct {
	Order  []string // currencies, as they came
	Amount map[string]*big.Rat
}

// Add adds an amount of a currency.
func (m *Sums) Add(currency string, v *big.Rat) {
	if m.Amount == nil {
		m.Amount = map[string]*big.Rat{}
	}
	if m.Amount[currency] == nil {
		m.Amount[currency] = new(big.Rat)
		m.Order = append(m.Order, currency)
	}
	m.Amount[currency].Add(m.Amount[currency], v)
}

// AddAll adds other sums.
func (m *Sums) AddAll(other Sums) {
	for _, c := range other.Order {
		m.Add(c, other.Amount[c])
	}
}

// Less is what stays when other is taken from it, by currency, without those that come to nothing.
func (m *Sums) Less(other Sums) Sums {
	out := Sums{}
	out.AddAll(*m)
	for _, c := range other.Order {
		out.Add(c, new(big.Rat).Neg(other.Amount[c]))
	}
	out.Order = slices.DeleteFunc(out.Order, func(c string) bool { return out.Amount[c].Sign() == 0 })
	return out
}

// Lot is pieces of a part that came to the vehicle together: at one price, of one mass.
type Lot struct {
	Part     *Part // as the version states it that it came with
	Pieces   int
	How      PartHow                               // how it came: Bought, Kept, Moved or Borrowed
	Mass     quantity.Measured[quantity.Kilograms] // of one piece
	each     *big.Rat
	currency string
}

// Fate is what became of pieces of a part with a version.
type Fate struct {
	Name   string
	How    PartHow
	Pieces int
	Each   *big.Rat // what one cost, nil where that is not known
	Paid   string   // its currency
	Untold bool     // taken off since no line of the list says anything of it
	Now    *Part    // the line of the version's list, nil where it has none
	Was    *Part    // the line of the list with which it came, nil where it was on none
}

// Account is what a version's parts come to, held against the version before. Four sums of money are told apart: what
// the change cost, what the vehicle as it stands cost, what was taken off and what was used up. Along a chain of
// versions the costs of all changes and what was brought in without being bought are together the cost of the vehicle
// as it stands, what was taken off and what was used up.
type Account struct {
	Fates  []Fate
	Aboard []Lot // what is on the vehicle

	Change  Sums // what was bought for this version, used up or not
	Vehicle Sums // what the parts on the vehicle cost when they were bought
	Off     Sums // what the parts cost that were taken off with this version
	UsedUp  Sums // what was used up for this version
	Brought Sums // what parts had cost that came without being bought for it or for a version before it

	UnpricedChange, UnpricedVehicle int // lines without a price, which the sums leave out

	Mass      quantity.Measured[quantity.Kilograms] // of the parts on the vehicle that state one
	Unweighed int                                   // lots on the vehicle without a mass
}

// Account adds up a version's parts. It is kept: whoever gets it changes nothing in it.
func (j *Journal) Account(v *Version) Account {
	a, ok := j.accounts.Load(v)
	if !ok {
		a, _ = j.accounts.LoadOrStore(v, j.account(v))
	}
	return a.(Account)
}

func (j *Journal) account(v *Version) Account {
	var before pool
	if v.Before != nil && v.Before.Number < v.Number {
		before = newPool(j.Account(v.Before).Aboard)
	}
	a := Account{}
	named := map[string]bool{}
	for i := range v.Parts {
		a.line(j, &v.Parts[i], before)
		named[PartKey(v.Parts[i].Name.Text)] = true
	}
	for _, lot := range before.lots { // what the list has no line for, or fewer pieces of
		if lot.Pieces > 0 {
			a.gone(lot, lot.Pieces, nil, !named[PartKey(lot.Part.Name.Text)] && lot.How != Borrowed)
		}
	}
	var masses []quantity.Measured[quantity.Kilograms]
	for _, lot := range a.Aboard {
		if lot.How != Borrowed {
			if lot.each == nil {
				a.UnpricedVehicle++
			} else {
				a.Vehicle.Add(lot.currency, times(lot.each, lot.Pieces))
			}
		}
		if lot.Mass.Known() {
			masses = append(masses, quantity.Scale(lot.Mass, float64(lot.Pieces)))
		} else {
			a.Unweighed++
		}
	}
	a.Mass = quantity.Missing[quantity.Kilograms]()
	if len(masses) > 0 {
		a.Mass = quantity.Sum(masses...)
	}
	return a
}

// line takes one line of the list into account; what it takes from the version before is no longer there.
func (a *Account) line(j *Journal, p *Part, before pool) {
	lot := Lot{Part: p, Pieces: p.Pieces(), How: PartHow(p.How.Value), currency: j.Paid(p), Mass: p.Mass.Stated()}
	lot.each, _ = p.Each()
	switch lot.How {
	case Bought:
		a.bought(lot)
	case UsedUp:
		a.Fates = append(a.Fates, Fate{Name: p.Name.Text, How: UsedUp, Pieces: lot.Pieces, Each: lot.each, Paid: lot.currency, Now: p})
		if lot.each == nil {
			a.UnpricedChange++
			return
		}
		a.Change.Add(lot.currency, times(lot.each, lot.Pieces))
		a.UsedUp.Add(lot.currency, times(lot.each, lot.Pieces))
	case Borrowed:
		taken := before.take(p, lot.Pieces, true)
		for _, t := range taken {
			lot.Pieces -= t.Pieces
			a.stays(t, p, Kept)
		}
		if lot.Pieces > 0 {
			a.Aboard = append(a.Aboard, lot)
			a.Fates = append(a.Fates, Fate{Name: p.Name.Text, How: Borrowed, Pieces: lot.Pieces, Paid: lot.currency, Now: p})
		}
	case TakenOff:
		for _, t := range before.take(p, lot.Pieces, false) {
			a.gone(t, t.Pieces, p, false)
			lot.Pieces -= t.Pieces
		}
		for _, t := range before.take(p, lot.Pieces, true) {
			a.gone(t, t.Pieces, p, false)
			lot.Pieces -= t.Pieces
		}
		if lot.Pieces > 0 { // it was on no list
			a.Fates = append(a.Fates, Fate{Name: p.Name.Text, How: TakenOff, Pieces: lot.Pieces, Each: lot.each, Paid: lot.currency, Now: p})
			if lot.each != nil {
				a.Off.Add(lot.currency, times(lot.each, lot.Pieces))
				a.Brought.Add(lot.currency, times(lot.each, lot.Pieces))
			}
		}
	default: // kept, moved, or the same name as before
		how := lot.How
		for _, borrowed := range []bool{false, true} { // what is borrowed stays so until it is bought
			for _, t := range before.take(p, lot.Pieces, borrowed) {
				lot.Pieces -= t.Pieces
				if how == "" {
					a.stays(t, p, Kept)
				} else {
					a.stays(t, p, how)
				}
			}
		}
		switch {
		case lot.Pieces == 0:
		case how == "":
			lot.How = Bought
			a.bought(lot)
		default:
			a.Aboard = append(a.Aboard, lot)
			a.Fates = append(a.Fates, Fate{Name: p.Name.Text, How: how, Pieces: lot.Pieces, Each: lot.each, Paid: lot.currency, Now: p})
			if lot.each != nil {
				a.Brought.Add(lot.currency, times(lot.each, lot.Pieces))
			}
		}
	}
}

func (a *Account) bought(lot Lot) {
	a.Aboard = append(a.Aboard, lot)
	a.Fates = append(a.Fates, Fate{Name: lot.Part.Name.Text, How: Bought, Pieces: lot.Pieces, Each: lot.each, Paid: lot.currency, Now: lot.Part})
	if lot.each == nil {
		a.UnpricedChange++
		return
	}
	a.Change.Add(lot.currency, times(lot.each, lot.Pieces))
}

// stays keeps pieces on the vehicle at the price that was paid for them. What the version before did not state of them
// is taken from the line that now does.
func (a *Account) stays(lot Lot, now *Part, how PartHow) {
	was := lot.Part
	if !lot.Mass.Known() {
		lot.Mass = now.Mass.Stated()
	}
	a.Aboard = append(a.Aboard, lot)
	a.Fates = append(a.Fates, Fate{Name: now.Name.Text, How: how, Pieces: lot.Pieces, Each: lot.each, Paid: lot.currency, Now: now, Was: was})
}

func (a *Account) gone(lot Lot, pieces int, now *Part, untold bool) {
	f := Fate{Name: lot.Part.Name.Text, How: TakenOff, Pieces: pieces, Each: lot.each, Paid: lot.currency, Untold: untold, Now: now, Was: lot.Part}
	if lot.How == Borrowed {
		f.Each = nil
	} else if lot.each != nil {
		a.Off.Add(lot.currency, times(lot.each, pieces))
	}
	a.Fates = append(a.Fates, f)
}

// pool is what was on the vehicle before, by the names of its parts.
type pool struct {
	lots  []Lot
	named map[string][]int
}

func newPool(aboard []Lot) pool {
	p := pool{slices.Clone(aboard), map[string][]int{}}
	for i, lot := range aboard {
		key := PartKey(lot.Part.Name.Text)
		p.named[key] = append(p.named[key], i)
	}
	return p
}

// take takes up to so many pieces of a part out of the pool, the oldest first.
func (b pool) take(p *Part, pieces int, borrowed bool) []Lot {
	var out []Lot
	for _, i := range b.named[PartKey(p.Name.Text)] {
		lot := &b.lots[i]
		if pieces <= 0 || lot.Pieces <= 0 || (lot.How == Borrowed) != borrowed {
			continue
		}
		taken := *lot
		taken.Pieces = min(pieces, lot.Pieces)
		out = append(out, taken)
		pieces -= taken.Pieces
		lot.Pieces -= taken.Pieces
	}
	return out
}

func times(each *big.Rat, pieces int) *big.Rat {
	return new(big.Rat).Mul(each, big.NewRat(int64(pieces), 1))
}

// checkAccount looks at what a version's list says of the parts that the version before had.
func (l *loader) checkAccount(j *Journal, v *Version) {
	a := j.Account(v)
	told := map[*Part]bool{}
	for _, f := range a.Fates {
		switch {
		case f.Untold && len(v.Parts) > 0:
			l.add(finding.Note, RulePartUntold, v.Parts[0].Span, fmt.Sprintf("the parts list does not say what became of %s, which the version before had; it counts as taken off", f.Name), "give it a line with `how: kept`, or with `how: taken-off`.")
		case f.How == TakenOff && f.Was == nil && f.Now != nil:
			l.add(finding.Warning, RulePartUntold, f.Now.How.Span, fmt.Sprintf("%s is taken off, and no version before had it", f.Name), "write its name as the list of the version before has it, or take the line out.")
		case f.How == Kept && f.Was != nil && f.Now != nil && f.Now.How.Value == "" && !told[f.Now]:
			told[f.Now] = true
			if what, at := differs(j, f.Was, f.Now); what != "" {
				l.add(finding.Warning, RulePartUntold, at, fmt.Sprintf("%s has the name of a part of the version before and another %s, and counts as kept", f.Name, what), "say `how: bought` if it is a new one; if it is the old one, write what it was.")
			}
		}
	}
	if m := v.Masses; m != nil && m.Vehicle.Known() && a.Mass.Known() {
		if d := quantity.Difference(a.Mass, m.Vehicle.Stated()); float64(d.Value) > 0 && float64(d.Value) > quantity.CoverageFactor*d.Quantity().U {
			l.add(finding.Warning, RulePartsOutweigh, m.Vehicle.Span, fmt.Sprintf("the vehicle is stated as %s, and the parts on its list weigh %s together", m.Vehicle.Written, a.Mass.Quantity().Rounded()), "`masses.vehicle` is the whole vehicle as it stands, without its payload: put right the one that is wrong, or give parts that are not on it `how: taken-off`.")
		}
	}
}

// differs says in what a line differs from the one of the same name before.
func differs(j *Journal, was, now *Part) (string, finding.Span) {
	a, okA := was.Each()
	b, okB := now.Each()
	switch {
	case okA && okB && (a.Cmp(b) != 0 || j.Paid(was) != j.Paid(now)):
		return "price", now.Price.Span
	case was.Rating.Set && now.Rating.Set && was.Rating.Text != now.Rating.Text:
		return "rating", now.Rating.Span
	}
	return "", finding.Span{}
}

var partUntold = finding.Doc{Kind: finding.RuleDoc, Name: RulePartUntold, Level: finding.Note, Title: "A part of the former version not accounted for",
	What:    "Parts of the version before that the list has no line for; parts that are taken off and were on no list; and parts that count as kept by their name while their price or their rating is another one.",
	Why:     "What a change cost and what the vehicle weighs cannot be told from a list of what was bought.",
	Example: "  parts:\n    - {name: battery tray, how: kept}\n    - {name: old fuse holder, how: taken-off}\n    - {name: cutout, how: bought, price: 34.50}"}

var partsOutweigh = finding.Doc{Kind: finding.RuleDoc, Name: RulePartsOutweigh, Level: finding.Warning, Title: "Parts that weigh more than their vehicle",
	What:    "The mass of the parts that are on the vehicle, those that state one, against `masses.vehicle`, which is the whole vehicle without its payload. They speak where the parts are heavier by more than the uncertainty of both.",
	Why:     "One of the two is wrong, and run times on a climb rest on the whole.",
	Example: "  masses: {vehicle: 64 kg}"}
