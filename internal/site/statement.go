package site

import (
	"fmt"
	"html/template"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/util"

	"voltwright/internal/drivetrain"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/runlog"
	"voltwright/internal/value"
)

// rests is what the text of a page rests on beside runs and specs, which have pages of their own: what it compares, the
// facts that its note states, and the sources that it quotes.
type rests struct {
	caption
	Compared []comparedRow
	Facts    []factRow
	Sources  []sourceRow
}

// comparedRow is a comparison with both its values.
type comparedRow struct {
	Anchor        string
	Words         string
	First, Second pairedValue
	By            string // "over", "less"
	Value         numeral
}

type pairedValue struct {
	Label string
	Place string
	Value numeral
}

type factRow struct {
	Anchor, Name, From string
	Value              numeral
}

type sourceRow struct {
	Anchor, Title, Author, Date, Address, Says string
	Quoted                                     []link // where, on the method page
}

func (s *sheet) rest() *rests {
	if s.Rests == nil {
		s.Rests = &rests{}
	}
	return s.Rests
}

// wordsUnbroken is how many characters the words of a number may have to stay on one line with their mark.
const wordsUnbroken = 24

// value writes a number of the evidence: its own words, or the value itself where there are none.
func (w *writer) value(out util.BufWriter, e *notes.Embed, entering bool) (ast.WalkStatus, error) {
	if !entering {
		w.end(out)
		return ast.WalkContinue, nil
	}
	at, _ := w.in.Journal.PlaceOf(w.doc.Note.Path)
	v, broken := w.in.Values.Find(at, e.Target)
	var n numeral
	if broken == nil {
		n = w.numeralOf(w.sheet, v, e.Words)
	}
	said := ""
	if n.Set {
		w.begin(out, n, e, restsOn(v, n))
		said = n.Whole
	} else {
		w.gap(out)
		said = "value not known"
	}
	if e.Words == "" {
		_, _ = out.WriteString(template.HTMLEscapeString(said))
	}
	return ast.WalkContinue, nil
}

// quotation writes words that are quoted from a source.
func (w *writer) quotation(out util.BufWriter, e *notes.Embed, entering bool) (ast.WalkStatus, error) {
	if !entering {
		w.end(out)
		return ast.WalkContinue, nil
	}
	source, broken := w.in.Journal.Source(e.Target)
	if broken != nil {
		w.gap(out)
		return ast.WalkContinue, nil
	}
	text := "quoted from " + source.Title.Text
	if source.Author.Set {
		text += ", " + source.Author.Text
	}
	w.begin(out, numeral{Kind: quoted, Href: "#" + w.sheet.source(source), Set: true}, e, text)
	return ast.WalkContinue, nil
}

// source lists a source at the foot of the page, once, and gives its anchor.
func (s *sheet) source(source *journal.Source) string {
	anchor := "source-" + source.Key.Text
	r := s.rest()
	if !slices.ContainsFunc(r.Sources, func(row sourceRow) bool { return row.Anchor == anchor }) {
		r.Sources = append(r.Sources, rowOf(source))
	}
	return anchor
}

func rowOf(source *journal.Source) sourceRow {
	return sourceRow{Anchor: "source-" + source.Key.Text, Title: source.Title.Text, Author: source.Author.Text, Date: source.Date.Text, Address: source.Address.Text, Says: source.Says.Text}
}

// begin begins the link of a statement to what it rests on; end ends it. What it rests on is told in words to who points
// at it (the browser's own hint), comes to it by the keyboard (in the line, where it covers nothing) or has it read
// aloud; on paper the mark tells the kind.
func (w *writer) begin(out util.BufWriter, n numeral, e *notes.Embed, text string) {
	w.sheet.Marks = true
	w.described, w.says = w.sheet.anchor("says"), template.HTMLEscapeString(text)
	class, id := w.fault(e)
	if utf8.RuneCountInString(e.Words) > wordsUnbroken {
		class += " long"
	}
	fmt.Fprintf(out, `<a class="num %s%s"%s href="%s" title="%s" aria-describedby="%s">`, n.Kind, class, id, template.HTMLEscapeString(n.Href), w.says, w.described)
}

func (w *writer) end(out util.BufWriter) {
	if w.described == "" {
		_, _ = out.WriteString("</span>")
		return
	}
	fmt.Fprintf(out, `</a><span class="says" id="%s"> [%s]</span>`, w.described, w.says)
}

// gap begins words that rest on nothing that is there.
func (w *writer) gap(out util.BufWriter) {
	w.described, w.says = "", ""
	_, _ = out.WriteString(`<span class="gap">`)
}

// restsOn says of a statement whether it is measured, computed or quoted, and of what.
func restsOn(v value.Value, n numeral) string {
	if v.Pair != nil {
		by := map[string]string{"over": " over ", "less": " less "}[v.Pair.By]
		return fmt.Sprintf("%s: %s, from %s%s%s", n.Kind, n.Whole, onPage(v.Pair.First.Words()), by, onPage(v.Pair.Second.Words()))
	}
	text := fmt.Sprintf("%s: %s, %s", n.Kind, n.Whole, midSentence(v.Label))
	switch p := v.Place; {
	case p.Run != nil:
		text += " of the run " + p.Run.Name.Text
	case p.Version != nil:
		text += " of " + versionWords(p.Version)
	case p.Vehicle != nil:
		text += " of " + p.Vehicle.Name.Text
	}
	if v.From != "" {
		text += ", " + v.From
	}
	return text
}

// numeralOf makes a value ready to print, with a link to what it rests on; not Set where there is none.
func (b *builder) numeralOf(s *sheet, v value.Value, words string) numeral {
	if v.Missing != "" {
		return numeral{}
	}
	var n numeral
	k := kind(v.Kind)
	switch {
	case v.Form == value.FormDate:
		n = numeral{Kind: k, Whole: dayOf(v.Day).Long, Set: true}
	case v.Form == value.FormNumber, v.Form == value.FormChange && v.Currency == "":
		n = b.units(printed(v.Quantity, k, ""))
	default:
		n = numeral{Kind: k, Whole: onPage(v.Words()), Set: true}
	}
	if v.Pair != nil && s != nil {
		n.Href = "#" + b.compared(s, v, n, words)
	} else if s != nil {
		n.Href = s.to(b.standsAt(v))
		if n.Href == "" { // this page itself
			n.Href = "#sheet"
		}
	}
	return n
}

// compared lists a comparison at the foot of the page and gives its anchor.
func (b *builder) compared(s *sheet, v value.Value, n numeral, words string) string {
	r := s.rest()
	for _, row := range r.Compared {
		if row.Words == words && row.Value.Whole == n.Whole && row.First.Label == v.Pair.First.Label {
			return row.Anchor
		}
	}
	if r.Label == "" {
		r.caption = s.table("compared", "What the text compares. The two values are taken as independent of each other.")
	}
	side := func(v value.Value) pairedValue {
		p := pairedValue{Label: v.Label, Value: b.numeralOf(nil, v, "")}
		p.Value.Href = s.to(b.standsAt(v))
		switch {
		case v.Place.Run != nil:
			p.Place = versionWords(v.Place.Version) + ", " + v.Place.Run.Name.Text
		case v.Place.Version != nil:
			p.Place = versionWords(v.Place.Version)
		case v.Place.Vehicle != nil:
			p.Place = v.Place.Vehicle.Name.Text
		}
		return p
	}
	row := comparedRow{Anchor: s.anchor("compared-1"), Words: words, First: side(v.Pair.First), Second: side(v.Pair.Second), By: v.Pair.By, Value: n}
	row.Value.Href = ""
	r.Compared = append(r.Compared, row)
	return row.Anchor
}

// standsAt is the page and the anchor of what a value rests on.
func (b *builder) standsAt(v value.Value) string {
	p := v.Place
	if name, is := strings.CutPrefix(v.Name, "facts."); is {
		return p.Address() + "index.html#" + factAnchor(name)
	}
	switch {
	case p.Run != nil:
		if _, figure := runlog.FigureLabel(v.Name); figure {
			return runPage(p.Run) + "#" + resultAnchor(v.Name)
		}
		return runPage(p.Run) + "#method"
	case p.Version != nil:
		page := versionPage(p.Version)
		first, rest, _ := strings.Cut(v.Name, "/")
		switch {
		case first == "run-time" && rest != "": // run-time/LOAD/COLUMN, with what is told of it behind
			parts := strings.Split(rest, "/")
			return page + "#run-time-" + strings.Join(parts[:min(2, len(parts))], "-")
		case first == "charge-time":
			return page + "#" + strings.ReplaceAll(v.Name, "/", "-")
		case strings.HasPrefix(v.Name, "parts.") || v.Name == "total-cost" || v.Name == "change-cost" || v.Name == "taken-off-cost" || v.Name == "part-count" || v.Name == "parts-mass":
			return page + "#parts"
		case v.Name == "run-count":
			return page + "#runs"
		case slices.Contains(drivetrain.FigureNames(), v.Name):
			return page + "#" + drivingAnchor(v.Name)
		case first == "wiring" && rest != "", v.Name == "lead-count":
			return page + "#wiring-checked"
		case v.Name == "storage-voltage":
			return page + "#charging"
		}
		return page + "#spec"
	case p.Page != nil, p.Vehicle != nil:
		return p.Address() + "index.html"
	}
	return frontPage
}

func factAnchor(slug string) string { return "fact-" + slug }

// facts lists what the note of a page states for sentences to quote.
func (b *builder) facts(s *sheet, at journal.Place) {
	for _, v := range b.in.Values.At(at) {
		slug, is := strings.CutPrefix(v.Name, "facts.")
		if !is {
			continue
		}
		n := b.numeralOf(nil, v, "")
		r := s.rest()
		r.Facts = append(r.Facts, factRow{Anchor: factAnchor(slug), Name: v.Label, From: v.From, Value: n})
	}
}

// sources lists every source of the journal with the pages that quote it.
func (b *builder) sourceRows(s *sheet) []sourceRow {
	var out []sourceRow
	for i := range b.in.Journal.Sources {
		row := rowOf(&b.in.Journal.Sources[i])
		for _, p := range b.in.Journal.Places() {
			for _, e := range p.Bound() {
				if e.Scheme == notes.SourceScheme && e.Target == b.in.Journal.Sources[i].Key.Text {
					row.Quoted = append(row.Quoted, link{Words: b.titleOf(p), Href: s.to(p.Address() + "index.html")})
					break
				}
			}
		}
		out = append(out, row)
	}
	return out
}

func (b *builder) titleOf(p journal.Place) string {
	switch {
	case p.Page != nil:
		return p.Page.Title.Text
	case p.Run != nil:
		return p.Run.Name.Text
	case p.Version != nil:
		return versionWords(p.Version)
	case p.Vehicle != nil:
		return p.Vehicle.Name.Text
	}
	return b.in.Journal.Title.Text
}
