package site

import (
	"bytes"
	"fmt"
	"math/big"
	"path"
	"slices"
	"strconv"
	"strings"

	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/outgoing"
	"voltwright/internal/quantity"
)

// What a page computes from a parts list.
var (
	docPartsTotal = formula("parts-total", "Cost of the parts", "Pieces times the price of one, added up for each currency by itself. Parts without a price are left out and counted.",
		"sum = n · p", "the currency's", "decimal arithmetic, exact to the last digit written; no exchange rates", "definition")
	docPartsChange = formula("parts-change", "Cost against the version before", "Parts of the same name in two versions are held against each other: added, dropped, another price, another number. Letter case and spaces do not count; of several parts of one name the first is held against the first.",
		"change = n_now · p_now − n_before · p_before", "the currency's", "the lists as they stand: a part that is in both and was not bought again counts as unchanged", "definition")
	docPartsMass = formula("parts-mass", "Mass of the parts", "Pieces times the mass of one, for the parts that state it. How many do not is said beside it.",
		"m = sum of n · m_one", "kg", "parts that state their mass", "definition")
	docPartsHeld = formula("parts-held", "A part's ratings held against the wiring", "The greatest current through the part of the wiring of that name at the operating points, those that last and those that end apart, and the voltage of full packs between the ends of the whole; each against what the part stands. A fuse or breaker is held against the lasting current alone: to open at a greater one is what it is for.",
		"I_asked ≤ I_stands; U_full ≤ U_stands", "A, V", "operating points that could be solved; a rating that is not stated is not judged", "the wiring's own solution, see circuit-solution; the comparison is a definition")
)

// partsView is a version's parts list on its page.
type partsView struct {
	caption
	Rows       []partRow
	Totals     []partTotal
	Priced     bool
	Weighed    bool
	Mass       []phrase // what they weigh together
	Disclosure string   // where a link pays the maker
	Change     *partsChange
	Held       *heldTable
	File       fileLink
	Index      string // link to the parts of all versions
	Method     []link
}

type partRow struct {
	Anchor           string
	Name, Rating     string
	Stands           []numeral // current and voltage, as stated
	Source           string
	Link             string
	Pays             bool
	Substitute, Note string
	Quantity         int
	Price, Sum, Mass numeral
}

type partTotal struct {
	Words string // "Total, without 1 part of unknown price"
	Sum   numeral
}

// paysWords is the disclosure beside a link, and at the foot of a list with one.
const paysWords = "The maker of this journal is paid when something is bought through a link that is marked so. It does not change what is said of the part."

// partsFile is the parts list as a table, with the heads that a journal's own parts.csv has.
func partsPath(v *journal.Version) string { return v.Path() + "/" + journal.PartsFile }

// parts lists a version's parts with what they cost, totals by currency.
func (b *builder) parts(s *sheet, v *journal.Version) (*partsView, error) {
	if len(v.Parts) == 0 {
		return nil, nil
	}
	t := &partsView{caption: s.table("parts", "Parts of this version. Prices are of the day on which they were bought."), Index: s.to(partsIndexPage)}
	for i := range v.Parts {
		p := &v.Parts[i]
		row := partRow{Anchor: s.anchor("part-" + notes.Slug(p.Name.Text)), Name: p.Name.Text, Rating: p.Rating.Text, Source: p.Source.Text, Link: p.Link.Text, Pays: p.PaysMaker.Value && p.Link.Set,
			Substitute: p.Substitute.Text, Note: p.Note.Text, Quantity: p.Pieces()}
		for _, n := range []numeral{stated(p.Current), stated(p.Volts)} {
			if n.Set {
				row.Stands = append(row.Stands, n)
			}
		}
		if each, ok := p.Each(); ok {
			currency := b.in.Journal.Paid(p)
			row.Price, row.Sum = amount(money(each, currency), quoted, ""), amount(money(lineSum(p, each), currency), computed, "")
			t.Priced = true
		}
		if p.Mass.Known() {
			row.Mass, t.Weighed = b.units(stated(p.Mass)), true
		}
		if row.Pays {
			t.Disclosure = paysWords
		}
		t.Rows = append(t.Rows, row)
	}
	t.Totals = b.partsTotals(s, v)
	t.Mass = b.partsMass(s, v)
	t.Held = b.partsHeld(s, v)
	t.Change = b.partsChange(s, v)
	for _, m := range []link{{Words: "how the cost is added up", Href: docPartsTotal.Name}, {Words: "how two lists are held against each other", Href: docPartsChange.Name}} {
		if m.Href = b.formulaLink(s, m.Href); m.Href != "" && (m.Words[0] != 'h' || t.Priced) {
			t.Method = append(t.Method, m)
		}
	}
	t.File = fileLink{journal.PartsFile, s.to(partsPath(v)), "the list as a table"}
	text, err := partsCSV(v.Parts)
	if err != nil {
		return nil, err
	}
	return t, b.pages.put(partsPath(v), text)
}

func lineSum(p *journal.Part, each *big.Rat) *big.Rat {
	return new(big.Rat).Mul(each, big.NewRat(int64(p.Pieces()), 1))
}

// cost adds up a version's parts, and counts those without a price.
func (b *builder) cost(v *journal.Version) (*sums, int) {
	all, unpriced := &sums{}, 0
	for i := range v.Parts {
		p := &v.Parts[i]
		each, ok := p.Each()
		if !ok {
			unpriced++
			continue
		}
		all.add(b.in.Journal.Paid(p), lineSum(p, each))
	}
	return all, unpriced
}

func (b *builder) partsTotals(s *sheet, v *journal.Version) []partTotal {
	all, unpriced := b.cost(v)
	words := "Total"
	if unpriced > 0 {
		words = fmt.Sprintf("Total, without %s of unknown price", count(unpriced, "part"))
	}
	var out []partTotal
	for _, currency := range all.order {
		out = append(out, partTotal{words, amount(money(all.amount[currency], currency), computed, b.formulaLink(s, docPartsTotal.Name))})
	}
	return out
}

// weight is the mass of a version's parts together, and how many lack one.
func weight(v *journal.Version) (quantity.Measured[quantity.Kilograms], int) {
	var terms []quantity.Measured[quantity.Kilograms]
	for i := range v.Parts {
		if p := &v.Parts[i]; p.Mass.Known() {
			terms = append(terms, quantity.Scale(p.Mass.Measured, float64(p.Pieces())))
		}
	}
	if len(terms) == 0 {
		return quantity.Missing[quantity.Kilograms](), len(v.Parts)
	}
	return quantity.Sum(terms...), len(v.Parts) - len(terms)
}

func (b *builder) partsMass(s *sheet, v *journal.Version) []phrase {
	m, without := weight(v)
	if !m.Known() {
		return nil
	}
	href := b.formulaLink(s, docPartsMass.Name)
	out := []phrase{say("Together they weigh "), sayNumber(b.units(summed(href, m)))}
	if without > 0 {
		out = append(out, say(fmt.Sprintf(", without %s of unknown mass", count(without, "part"))))
	}
	if v.Before == nil {
		return append(out, say("."))
	}
	before, lacks := weight(v.Before)
	switch {
	case !before.Known():
		out = append(out, say("; of the parts of the version before no mass is stated."))
	default:
		d := b.units(printed(brief(quantity.Difference(m, before).Quantity(), 1), computed, href))
		if d.Set && !strings.HasPrefix(d.Whole, "−") && !strings.HasPrefix(d.Whole, "0 ") {
			d.Whole = "+" + d.Whole
		}
		d.Twin = ""
		out = append(out, say("; against the parts of the version before, "), sayNumber(d))
		if lacks > 0 {
			out = append(out, say(fmt.Sprintf(" (%s of its parts without a mass)", strconv.Itoa(lacks))))
		}
		out = append(out, say("."))
	}
	return out
}

// partsCSV is a parts list with the heads of a journal's own parts.csv, which reads it back.
func partsCSV(parts []journal.Part) ([]byte, error) {
	var out bytes.Buffer
	rows := [][]string{journal.PartKeys()}
	for i := range parts {
		rows = append(rows, partCells(&parts[i]))
	}
	err := outgoing.WriteCSV(&out, rows)
	return out.Bytes(), err
}

// partCells are the values of a part as they were written, in the order of the keys.
func partCells(p *journal.Part) []string {
	var wired []string
	for _, n := range p.WiredAs {
		wired = append(wired, n.Text)
	}
	pays := ""
	if p.PaysMaker.Set {
		pays = strconv.FormatBool(p.PaysMaker.Value)
	}
	return []string{p.Name.Text, strconv.Itoa(p.Pieces()), p.Rating.Text, p.Current.Written, p.Peak.Written, p.Volts.Written, strings.Join(wired, "; "), p.Price.Text, p.Currency.Text,
		p.Source.Text, p.Link.Text, pays, p.Substitute.Text, p.Mass.Written, p.Note.Text}
}

// partsChange is a parts list held against that of the version before.
type partsChange struct {
	caption
	Rows   []changeRow
	Totals []partTotal
	Same   int // parts that are as they were
	Why    string
	Before link
}

type changeRow struct {
	Name, What  string
	Before, Now string
	Change      []string // by currency
}

// partsChange holds a version's parts against those of the version before; nil if there is none.
func (b *builder) partsChange(s *sheet, v *journal.Version) *partsChange {
	if v.Before == nil {
		return nil
	}
	c := &partsChange{Before: link{Words: versionWords(v.Before), Href: s.to(versionPage(v.Before))}}
	if len(v.Before.Parts) == 0 {
		c.Why = "The version before has no parts list."
		return c
	}
	pairs := pairUp(v.Before.Parts, v.Parts)
	for _, p := range pairs {
		row := b.changeOf(p)
		if row.What == "" {
			c.Same++
			continue
		}
		c.Rows = append(c.Rows, row)
	}
	if len(c.Rows) == 0 {
		c.Why = "Nothing on the list has changed since the version before."
		return c
	}
	c.caption = s.table("parts-change", fmt.Sprintf("What changed on the parts list since version %d.", v.Before.Number))
	now, missingNow := b.cost(v)
	before, missingBefore := b.cost(v.Before)
	words := "The whole list, against that of the version before"
	if n := missingNow + missingBefore; n > 0 {
		words += fmt.Sprintf(", without %s of unknown price", count(n, "part"))
	}
	change := now.less(before)
	for _, currency := range change.order {
		c.Totals = append(c.Totals, partTotal{words, amount(moneyChange(change.amount[currency], currency), computed, b.formulaLink(s, docPartsChange.Name))})
	}
	if len(change.order) == 0 && len(now.order) > 0 {
		c.Totals = []partTotal{{words, amount(money(new(big.Rat), now.order[0]), computed, b.formulaLink(s, docPartsChange.Name))}}
	}
	return c
}

// pair is one part in two lists; nil where one has it not.
type pair struct{ before, now *journal.Part }

// pairUp finds the parts of one list in another by their names, in the order of the second; what it has not comes last.
func pairUp(before, now []journal.Part) []pair {
	var out []pair
	taken := make([]bool, len(before))
	for i := range now {
		p := pair{now: &now[i]}
		for k := range before {
			if !taken[k] && journal.PartKey(before[k].Name.Text) == journal.PartKey(now[i].Name.Text) {
				p.before, taken[k] = &before[k], true
				break
			}
		}
		out = append(out, p)
	}
	for k := range before {
		if !taken[k] {
			out = append(out, pair{before: &before[k]})
		}
	}
	return out
}

func (b *builder) changeOf(p pair) changeRow {
	before, now := &sums{}, &sums{}
	known := true
	words := func(part *journal.Part, into *sums) (string, *big.Rat, string) {
		if part == nil {
			return "", nil, ""
		}
		each, ok := part.Each()
		if !ok {
			known = false
			return fmt.Sprintf("%d × price not known", part.Pieces()), nil, ""
		}
		currency := b.in.Journal.Paid(part)
		into.add(currency, lineSum(part, each))
		return fmt.Sprintf("%d × %s", part.Pieces(), money(each, currency)), each, currency
	}
	row := changeRow{}
	var was, is *big.Rat
	var wasIn, isIn string
	row.Before, was, wasIn = words(p.before, before)
	row.Now, is, isIn = words(p.now, now)
	switch {
	case p.before == nil:
		row.Name, row.What = p.now.Name.Text, "added"
	case p.now == nil:
		row.Name, row.What = p.before.Name.Text, "dropped"
	default:
		row.Name = p.now.Name.Text
		var what []string
		if p.before.Pieces() != p.now.Pieces() {
			what = append(what, "number")
		}
		if (was == nil) != (is == nil) || was != nil && (was.Cmp(is) != 0 || wasIn != isIn) {
			what = append(what, "price")
		}
		if p.before.Rating.Text != p.now.Rating.Text {
			what = append(what, "rating")
		}
		if len(what) > 0 {
			row.What = "another " + strings.Join(what, " and ")
		}
	}
	change := now.less(before)
	for _, currency := range change.order {
		row.Change = append(row.Change, moneyChange(change.amount[currency], currency))
	}
	switch {
	case !known:
		row.Change = []string{"not known"}
	case len(row.Change) == 0:
		row.Change = []string{money(new(big.Rat), or(isIn, wasIn))}
	}
	return row
}

// partsOf tells whether any version of the journal has a parts list.
func (b *builder) anyParts() bool {
	return slices.ContainsFunc(b.in.Journal.Vehicles, func(v *journal.Vehicle) bool {
		return slices.ContainsFunc(v.Versions, func(v *journal.Version) bool { return len(v.Parts) > 0 })
	})
}

func partsIndexFile() string { return path.Dir(partsIndexPage) + "/" + journal.PartsFile }
