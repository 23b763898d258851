// Package partslist prints a version's parts: what they cost and weigh, what became of them, what is asked of them.
package partslist

import (
	"bytes"
	"cmp"
	"fmt"
	"math/big"
	"strconv"
	"strings"

	"voltwright/internal/journal"
	"voltwright/internal/outgoing"
	"voltwright/internal/quantity"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/reading"
)

// What a page computes from a parts list.
var (
	DocPartsAccount = reading.Formula("parts-account", "What a change cost, and what the vehicle as it stands cost and weighs", "Three sums that are never taken from each other. A part of the list was bought, kept from the version before, moved, borrowed, used up or taken off, as its `how` says; without it one of the same name as before is kept and any other bought. "+
		"A part that is kept counts at what was paid for it. Borrowed parts cost nothing and weigh; what is used up is paid for and weighs nothing; what is taken off leaves both. Parts without a price or a mass are left out and counted.",
		"change = sum of n · p over what was bought or used up\nvehicle = sum of n · p over what is on it and not borrowed\nm = sum of n · m over what is on it", "the currency's; kg", "decimal arithmetic, exact to the last digit written; no exchange rates. Along a chain of versions the changes, and what was brought in without being bought, come to the vehicle as it stands, what was taken off and what was used up", "definition")
	DocPartsHeld = reading.Formula("parts-held", "A part's ratings held against the wiring", "The greatest current through the part of the wiring of that name at the operating points, those that last and those that end apart, and the voltage of full packs between the ends of the whole; each against what the part stands. A fuse or breaker is held against the lasting current alone: to open at a greater one is what it is for.",
		"I_asked ≤ I_stands; U_full ≤ U_stands", "A, V", "operating points that could be solved; a rating that is not stated is not judged", "the wiring's own solution, see circuit-solution; the comparison is a definition")
)

// PartsView is a version's parts list on its page.
type PartsView struct {
	frame.Caption
	Rows       []partRow
	Totals     []partTotal
	Priced     bool
	Weighed    bool
	Mass       []numeral.Phrase // what they weigh together
	Disclosure string           // where a link pays the maker
	Change     *partsChange
	Held       *heldTable
	File       frame.FileLink
	Record     frame.FileLink
	Index      string // link to the parts of all versions
	Method     []frame.Link
}

type partRow struct {
	Marks            []frame.Link // to the part on the photo
	Anchor           string
	Name, Rating     string
	How              string            // how it came, where that is said
	Stands           []numeral.Numeral // current and voltage, as stated
	Source           string
	Link             string
	Pays             bool
	Substitute, Note string
	Quantity         int
	Price, Sum, Mass numeral.Numeral
}

type partTotal struct {
	Words string // "Total, without 1 part of unknown price"
	Sum   numeral.Numeral
}

// PaysWords is the disclosure beside a link, and at the foot of a list with one.
const PaysWords = "The maker of this journal is paid when something is bought through a link that is marked so. It does not change what is said of the part."

// Of lists a version's parts with what they cost, totals by currency.
func Of(rd *reading.Reader, s *frame.Sheet, v *journal.Version) (*PartsView, error) {
	if len(v.Parts) == 0 {
		return nil, nil
	}
	t := &PartsView{Caption: s.Table("parts", "Parts of this version. Prices are of the day on which they were bought."), Index: s.To(address.Parts)}
	for i := range v.Parts {
		p := &v.Parts[i]
		if p.How.Value == journal.TakenOff { // told among the changes
			continue
		}
		row := partRow{Anchor: s.Anchor(address.PartAnchor(p.Name.Text)), Name: p.Name.Text, Rating: p.Rating.Text, How: HowWords[p.How.Value], Source: p.Source.Text, Link: p.Link.Text, Pays: p.PaysMaker.Value && p.Link.Set,
			Substitute: p.Substitute.Text, Note: p.Note.Text, Quantity: p.Pieces()}
		row.Marks = onPhoto(v, p)
		for _, n := range []numeral.Numeral{numeral.Stated(p.Current), numeral.Stated(p.Volts)} {
			if n.Set {
				row.Stands = append(row.Stands, n)
			}
		}
		if each, ok := p.Each(); ok {
			currency := rd.Journal.Paid(p)
			row.Price, row.Sum = numeral.Amount(numeral.Money(each, currency), numeral.Quoted, ""), numeral.Amount(numeral.Money(LineSum(p, each), currency), numeral.Computed, "")
			t.Priced = true
		}
		if p.Mass.Known() {
			row.Mass, t.Weighed = rd.Units(numeral.Stated(p.Mass)), true
		}
		if row.Pays {
			t.Disclosure = PaysWords
		}
		t.Rows = append(t.Rows, row)
	}
	a := rd.Journal.Account(v)
	t.Totals = partsTotals(rd, s, v, a)
	t.Mass = partsMass(rd, s, v, a)
	t.Held = partsHeld(rd, s, v)
	t.Change = changeOf(rd, s, v, a)
	if href := rd.FormulaLink(s, DocPartsAccount.Name); href != "" {
		t.Method = append(t.Method, frame.Link{Words: "how cost and mass are added up", Href: href})
	}
	t.Record = frame.FileLink{Words: partsRecordFile, Href: s.To(v.Path() + "/" + partsRecordFile), What: "what became of them and the sums"}
	record, err := recordOfParts(v, a)
	if err != nil {
		return nil, err
	}
	if err := rd.Pages.Put(v.Path()+"/"+partsRecordFile, record); err != nil {
		return nil, err
	}
	t.File = frame.FileLink{Words: journal.PartsFile, Href: s.To(address.VersionParts(v)), What: "the list as a table"}
	text, err := partsCSV(v.Parts)
	if err != nil {
		return nil, err
	}
	if v.PartsSource != "" {
		rd.Pages.GoesOut(v.PartsSource, address.VersionParts(v), []string{"what is no cell of a column that a parts list has"})
	}
	return t, rd.Pages.Put(address.VersionParts(v), text)
}

// onPhoto leads to the part on the photo of its version's page, by each name that it has in the wiring.
func onPhoto(v *journal.Version, p *journal.Part) []frame.Link {
	names := []string{p.Name.Text}
	if len(p.WiredAs) > 0 {
		names = nil
		for _, n := range p.WiredAs {
			names = append(names, n.Text)
		}
	}
	var out []frame.Link
	for _, name := range names {
		if n := v.OnPhoto(name); n > 0 {
			out = append(out, frame.Link{Words: fmt.Sprintf("%d on the photo", n), Href: "#" + address.ItemAnchor(n)})
		}
	}
	return out
}

// LineSum is what all pieces of a part cost at the price of each.
func LineSum(p *journal.Part, each *big.Rat) *big.Rat {
	return new(big.Rat).Mul(each, big.NewRat(int64(p.Pieces()), 1))
}

// HowWords are what is printed beside a part.
var HowWords = map[journal.PartHow]string{journal.Bought: "bought", journal.Kept: "kept", journal.Moved: "moved", journal.Borrowed: "borrowed", journal.UsedUp: "used up", journal.TakenOff: "taken off"}

// SumWords prints sums of money, and how many parts they leave out; "" where there is none.
func SumWords(m journal.Sums, lacks int) string {
	var said []string
	for _, currency := range m.Order {
		said = append(said, numeral.Money(m.Amount[currency], currency))
	}
	text := strings.Join(said, " and ")
	if lacks > 0 && text != "" {
		text += fmt.Sprintf(", without %s of unknown price", numeral.Count(lacks, "part"))
	}
	return text
}

// OrNothing is sumWords, with nothing said as a sum.
func OrNothing(m journal.Sums, lacks int, currency string) string {
	if text := SumWords(m, lacks); text != "" {
		return text
	}
	if lacks > 0 {
		return "an unknown sum"
	}
	return numeral.Money(new(big.Rat), currency)
}

// partsTotals are the sums of money, each by its name.
func partsTotals(rd *reading.Reader, s *frame.Sheet, v *journal.Version, a journal.Account) []partTotal {
	var out []partTotal
	href := rd.FormulaLink(s, DocPartsAccount.Name)
	put := func(words string, m journal.Sums, lacks int) {
		if lacks > 0 {
			words += fmt.Sprintf(", without %s of unknown price", numeral.Count(lacks, "part"))
		}
		for _, currency := range m.Order {
			out = append(out, partTotal{words, numeral.Amount(numeral.Money(m.Amount[currency], currency), numeral.Computed, href)})
		}
	}
	if v.Before == nil || len(v.Before.Parts) > 0 {
		put("What the change cost", a.Change, a.UnpricedChange)
	}
	put("What the vehicle as it stands cost", a.Vehicle, a.UnpricedVehicle)
	return out
}

// partsMass says what the parts on the vehicle weigh, and beside it what the vehicle as a whole is stated to weigh.
func partsMass(rd *reading.Reader, s *frame.Sheet, v *journal.Version, a journal.Account) []numeral.Phrase {
	if !a.Mass.Known() {
		return nil
	}
	out := []numeral.Phrase{numeral.Say("The parts on the vehicle weigh "), numeral.SayNumber(rd.Units(numeral.Summed(rd.FormulaLink(s, DocPartsAccount.Name), a.Mass)))}
	if a.Unweighed > 0 {
		out = append(out, numeral.Say(fmt.Sprintf(", without %s of unknown mass", numeral.Count(a.Unweighed, "part"))))
	}
	if v.Masses == nil || !v.Masses.Vehicle.Known() {
		return append(out, numeral.Say("."))
	}
	out = append(out, numeral.Say("; the whole vehicle, weighed or stated by itself, "), numeral.SayNumber(rd.Units(numeral.Stated(v.Masses.Vehicle))))
	if w := v.Before; w != nil && w.Masses != nil && w.Masses.Vehicle.Known() {
		d := rd.Units(numeral.Printed(numeral.Brief(quantity.Difference(v.Masses.Vehicle.Stated(), w.Masses.Vehicle.Stated()).Quantity(), 1), numeral.Computed, ""))
		if d.Set && !strings.HasPrefix(d.Whole, "−") && !strings.HasPrefix(d.Whole, "0 ") {
			d.Whole = "+" + d.Whole
		}
		d.Twin = ""
		out = append(out, numeral.Say(", against the version before "), numeral.SayNumber(d))
	}
	return append(out, numeral.Say("."))
}

// partsCSV is a parts list with the heads of a journal's own parts.csv, which reads it back.
func partsCSV(parts []journal.Part) ([]byte, error) {
	var out bytes.Buffer
	rows := [][]string{journal.PartKeys()}
	for i := range parts {
		rows = append(rows, PartCells(&parts[i]))
	}
	err := outgoing.WriteCSV(&out, rows)
	return out.Bytes(), err
}

// PartCells are the values of a part as they were written, in the order of the keys.
func PartCells(p *journal.Part) []string {
	var wired []string
	for _, n := range p.WiredAs {
		wired = append(wired, n.Text)
	}
	pays := ""
	if p.PaysMaker.Set {
		pays = strconv.FormatBool(p.PaysMaker.Value)
	}
	return []string{p.Name.Text, strconv.Itoa(p.Pieces()), string(p.How.Value), p.Rating.Text, p.Current.Written, p.Peak.Written, p.Volts.Written, strings.Join(wired, "; "), p.Price.Text, p.Currency.Text,
		p.Source.Text, p.Link.Text, pays, p.Substitute.Text, p.Mass.Written, p.Note.Text}
}

// partsChange is what became of each part with a version.
type partsChange struct {
	frame.Caption
	Rows   []changeRow
	Totals []partTotal
	Same   int // parts that are as they were
	Why    string
	Before frame.Link
}

type changeRow struct {
	Name, What  string
	Before, Now string
	Change      []string // by currency
}

// changeOf tells what became of each part since the version before; nil if there is none.
func changeOf(rd *reading.Reader, s *frame.Sheet, v *journal.Version, a journal.Account) *partsChange {
	if v.Before == nil {
		return nil
	}
	c := &partsChange{Before: frame.Link{Words: reading.VersionWords(v.Before), Href: s.To(address.Version(v.Before))}}
	if len(v.Before.Parts) == 0 {
		c.Why = "The version before has no parts list."
		return c
	}
	for _, f := range a.Fates {
		if f.How == journal.Kept {
			c.Same++
			continue
		}
		c.Rows = append(c.Rows, fateRow(rd, f))
	}
	if len(c.Rows) == 0 {
		c.Why = "Nothing on the vehicle has changed since the version before, as far as the parts lists say."
		return c
	}
	c.Caption = s.Table("parts-change", fmt.Sprintf("What became of the parts since version %d.", v.Before.Number))
	words := "What the change cost"
	if a.UnpricedChange > 0 {
		words += fmt.Sprintf(", without %s of unknown price", numeral.Count(a.UnpricedChange, "part"))
	}
	for _, currency := range a.Change.Order {
		c.Totals = append(c.Totals, partTotal{words, numeral.Amount(numeral.Money(a.Change.Amount[currency], currency), numeral.Computed, rd.FormulaLink(s, DocPartsAccount.Name))})
	}
	if len(a.Change.Order) == 0 && a.UnpricedChange == 0 {
		c.Totals = []partTotal{{words, numeral.Amount(numeral.Money(new(big.Rat), rd.Journal.Currency.Text), numeral.Computed, rd.FormulaLink(s, DocPartsAccount.Name))}}
	}
	for _, currency := range a.Off.Order {
		c.Totals = append(c.Totals, partTotal{"What had been paid for the parts that were taken off", numeral.Amount(numeral.Money(a.Off.Amount[currency], currency), numeral.Computed, rd.FormulaLink(s, DocPartsAccount.Name))})
	}
	return c
}

// fateRow says what became of a part: its pieces and their price before or now, and what that cost.
func fateRow(rd *reading.Reader, f journal.Fate) changeRow {
	row := changeRow{Name: f.Name, What: HowWords[f.How]}
	pieces := fmt.Sprintf("%d × price not known", f.Pieces)
	switch {
	case f.Each != nil:
		pieces = fmt.Sprintf("%d × %s", f.Pieces, numeral.Money(f.Each, f.Paid))
	case f.How == journal.Borrowed:
		pieces = numeral.Count(f.Pieces, "piece")
	}
	costs := numeral.Money(new(big.Rat), cmp.Or(f.Paid, rd.Journal.Currency.Text))
	switch f.How {
	case journal.TakenOff:
		row.Before = pieces
		if f.Untold {
			row.What += ", by the list"
		}
	case journal.Moved:
		row.Now = pieces
		if f.Was != nil {
			row.Before = pieces
		}
	default:
		row.Now = pieces
	}
	if f.How == journal.Bought || f.How == journal.UsedUp {
		costs = "not known"
		if f.Each != nil {
			costs = numeral.Money(new(big.Rat).Mul(f.Each, big.NewRat(int64(f.Pieces), 1)), f.Paid)
		}
	}
	row.Change = []string{costs}
	return row
}
