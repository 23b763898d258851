// Package words puts the interface of a site into the language of its journal: the fixed words of templates and of what pages
// compose, counts with their plurals, dates and decimal signs. It knows no page: words go in and out.
//
// A language is one table, NAME.tsv beside this file: what is said in English, a tab, and what is said for it. A # stands for a
// number, the same numbers in the same order on both sides; where a count decides the form, the forms stand beside each other,
// parted by |, in the order of [order]. The maker's own words are never looked up where templates mark them as such ([own]), and
// what has no line in the table stays as it is.
package words

import (
	"embed"
	"regexp"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/feature/plural"
	"golang.org/x/text/language"
	"golang.org/x/text/message"
	"golang.org/x/text/number"
)

//go:embed *.tsv
var tables embed.FS

// Catalogue is the words of one language. The nil Catalogue is English and changes nothing.
type Catalogue struct {
	tag     language.Tag
	said    map[string]string
	decimal string // sign
	months  map[string]string
	names   map[string]bool // what is called so whatever the language
}

// months are those of dates, as pages print them in English.
var months = []string{"January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December"}

// german are the same in German.
var german = []string{"Januar", "Februar", "März", "April", "Mai", "Juni", "Juli", "August", "September", "Oktober", "November", "Dezember"}

// For gives the words of a language by its tag (BCP 47); nil for English, and for a language without a table.
func For(tag string) *Catalogue {
	t, err := language.Parse(tag)
	if err != nil {
		return nil
	}
	base, _ := t.Base()
	text, err := tables.ReadFile(base.String() + ".tsv")
	if err != nil {
		return nil
	}
	c := &Catalogue{tag: t, said: map[string]string{}, months: map[string]string{}, names: map[string]bool{}}
	for line := range strings.Lines(string(text)) {
		if key, says, ok := strings.Cut(strings.TrimRight(line, "\n"), "\t"); ok {
			c.said[numbers.ReplaceAllString(key, "#")] = numbers.ReplaceAllString(says, "#")
		}
	}
	for i, m := range months {
		c.months[m] = german[i]
	}
	c.decimal = strings.Trim(message.NewPrinter(t).Sprint(number.Decimal(1.5)), "15")
	return c
}

// Call tells the catalogue what is called so whatever the language: vehicles, versions, parts.
func (c *Catalogue) Call(names ...string) {
	if c == nil {
		return
	}
	for _, n := range names {
		c.names[n] = true
	}
}

var (
	numbers = regexp.MustCompile(`\d+(?:[.,]\d+)*`)
	date    = regexp.MustCompile(`(\d{1,2})[ \x{a0}](January|February|March|April|May|June|July|August|September|October|November|December)[ \x{a0}](\d{4})`)
	spaces  = regexp.MustCompile(`[\s\x{a0}\x{2009}\x{202f}]+`)
	// parts of a line that pages put together of several sayings.
	joints = regexp.MustCompile(`; |, |: |\. |[.,;:)(]+$|^[.,;:)(]+ ?`)
	// letters that stand in every language: units, codes and symbols.
	units = regexp.MustCompile(`^(?:[^\pL]|\b(?:min|mph|rpm|Wh|kWh|Ah|mAh|km|kg|mm|cm|kW|mV|mA|AWG|GBP|EUR|USD|CFR|ISO|IEC|CSV|CC|BY|SA|pwm|lb|ft|in|mΩ|mi|h|s|m|V|A|W|g|N|K|C|k|x|or)\b)*$`)
	// what stands before a number that is no value: clauses of standards, licences.
	reference = regexp.MustCompile(`(?:CFR|BY|SA|ISO|IEC|EN|DIN|clause|section|rev\.|Figure|Table|equation) ?$`)
)

// Say gives a saying in the language; false where the table has it neither whole nor part by part.
func (c *Catalogue) Say(text string) (string, bool) {
	if c == nil {
		return text, false
	}
	if says, ok := c.whole(text); ok {
		return says, true
	}
	return c.parted(text)
}

// Before says what stands before a large number, which the table has with … behind it; without such a line it is like Say.
func (c *Catalogue) Before(text string) (string, bool) {
	if says, ok := c.said[text+" …"]; ok {
		return says, true
	}
	return c.Say(text)
}

// whole looks a saying up as it stands, its numbers apart, and with a small letter at its beginning.
func (c *Catalogue) whole(text string) (string, bool) {
	plain := spaces.ReplaceAllString(text, " ")
	key := numbers.ReplaceAllString(plain, "#")
	says, ok := c.said[key]
	if !ok && strings.Contains(key, "#") { // one of them has the line of several
		says, ok = c.said[key+"s"]
	}
	if !ok {
		first, size := utf8.DecodeRuneInString(key)
		if !unicode.IsUpper(first) {
			return "", false
		}
		if says, ok = c.said[string(unicode.ToLower(first))+key[size:]]; !ok {
			return "", false
		}
		first, size = utf8.DecodeRuneInString(says)
		says = string(unicode.ToUpper(first)) + says[size:]
	}
	found := numbers.FindAllString(plain, -1)
	if forms := strings.Split(says, "|"); len(forms) > 1 && len(found) > 0 {
		says = forms[c.form(found[0], len(forms))]
	}
	for _, n := range found {
		says = strings.Replace(says, "#", c.Number(n), 1)
	}
	return says, true
}

// order is that of the forms of a line of the table.
var order = []plural.Form{plural.One, plural.Other}

// form is which of the forms a count asks for.
func (c *Catalogue) form(count string, forms int) int {
	n := 0
	for _, d := range count {
		if d < '0' || d > '9' {
			return forms - 1
		}
		n = (n*10 + int(d-'0')) % 1_000_000
	}
	asked := plural.Cardinal.MatchPlural(c.tag, n, 0, 0, 0, 0)
	for i, f := range order {
		if f == asked && i < forms {
			return i
		}
	}
	return forms - 1
}

// parted says a line of several sayings, each of which must be known: in the table, a name, or of numbers and units alone.
func (c *Catalogue) parted(text string) (string, bool) {
	cuts := joints.FindAllStringIndex(text, -1)
	if len(cuts) == 0 {
		return "", false
	}
	var b strings.Builder
	at, some := 0, false
	part := func(p string) bool {
		trimmed := strings.TrimSpace(p)
		switch says, ok := c.whole(trimmed); {
		case ok:
			b.WriteString(strings.Replace(p, trimmed, says, 1))
			some = true
		case trimmed == "" || c.names[trimmed]:
			b.WriteString(p)
		case units.MatchString(trimmed):
			b.WriteString(c.Number(p))
		case date.FindString(trimmed) == trimmed:
			b.WriteString(c.dates(p))
			some = true
		default:
			return false
		}
		return true
	}
	for _, cut := range cuts {
		if !part(text[at:cut[0]]) {
			return "", false
		}
		b.WriteString(text[cut[0]:cut[1]])
		at = cut[1]
	}
	if !part(text[at:]) {
		return "", false
	}
	return b.String(), some
}

// dates puts the dates of a text into the language.
func (c *Catalogue) dates(text string) string {
	return date.ReplaceAllStringFunc(text, func(d string) string {
		m := date.FindStringSubmatch(d)
		return m[1] + ". " + c.months[m[2]] + " " + m[3]
	})
}

// Number puts the decimal signs of a text into the language. What has two points is no number: a version, a clause; nor is what
// stands behind the name of a standard or a licence.
func (c *Catalogue) Number(text string) string {
	if c == nil || c.decimal == "." {
		return text
	}
	if len(text) > 1 && text[0] == '.' && text[1] >= '0' && text[1] <= '9' { // the fraction of a number in a column
		return c.decimal + text[1:]
	}
	var b strings.Builder
	at := 0
	for _, m := range numbers.FindAllStringIndex(text, -1) {
		n := text[m[0]:m[1]]
		b.WriteString(text[at:m[0]])
		if strings.Count(n, ".") == 1 && !strings.Contains(n, ",") && !reference.MatchString(text[:m[0]]) {
			n = strings.Replace(n, ".", c.decimal, 1)
		}
		b.WriteString(n)
		at = m[1]
	}
	return b.String() + text[at:]
}
