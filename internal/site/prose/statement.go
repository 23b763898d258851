package prose

import (
	"fmt"
	"html/template"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/util"

	"voltwright/internal/drivetrain"
	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/runlog"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/reading"
	"voltwright/internal/value"
)

// wordsUnbroken is how many characters the words of a number may have to stay on one line with their mark.
const wordsUnbroken = 24

// value writes a number of the evidence: its own words, or the value itself where there are none.
func (w *writer) value(out util.BufWriter, e *notes.Embed, entering bool) (ast.WalkStatus, error) {
	if !entering {
		w.end(out)
		return ast.WalkContinue, nil
	}
	at, _ := w.Journal.PlaceOf(w.doc.Note.Path)
	v, broken := w.Values.Find(at, e.Target)
	var n numeral.Numeral
	if broken == nil {
		n = numeralOf(w.Reader, w.sheet, v, e.Words)
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
	source, broken := w.Journal.Source(e.Target)
	if broken != nil {
		w.gap(out)
		return ast.WalkContinue, nil
	}
	text := "quoted from " + source.Title.Text
	if source.Author.Set {
		text += ", " + source.Author.Text
	}
	w.begin(out, numeral.Numeral{Kind: numeral.Quoted, Href: "#" + w.sheet.Source(source), Set: true}, e, text)
	return ast.WalkContinue, nil
}

// begin begins the link of a statement to what it rests on; end ends it. What it rests on is told in words to who points
// at it (the browser's own hint), comes to it by the keyboard (in the line, where it covers nothing) or has it read
// aloud; on paper the mark tells the kind.
func (w *writer) begin(out util.BufWriter, n numeral.Numeral, e *notes.Embed, text string) {
	w.sheet.Marks = true
	w.described, w.says = w.sheet.Anchor("says"), template.HTMLEscapeString(text)
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
func restsOn(v value.Value, n numeral.Numeral) string {
	if v.Pair != nil {
		by := map[string]string{"over": " over ", "less": " less "}[v.Pair.By]
		return fmt.Sprintf("%s: %s, from %s%s%s", n.Kind, n.Whole, numeral.OnPage(v.Pair.First.Words()), by, numeral.OnPage(v.Pair.Second.Words()))
	}
	text := fmt.Sprintf("%s: %s, %s", n.Kind, n.Whole, numeral.MidSentence(v.Label))
	switch p := v.Place; {
	case p.Run != nil:
		text += " of the run " + p.Run.Name.Text
	case p.Version != nil:
		text += " of " + reading.VersionWords(p.Version)
	case p.Vehicle != nil:
		text += " of " + p.Vehicle.Name.Text
	}
	if v.From != "" {
		text += ", " + v.From
	}
	return text
}

// NumeralOf is a value ready to print on a sheet, with a link to what it rests on; not Set where there is none.
func NumeralOf(rd *reading.Reader, s *frame.Sheet, v value.Value) numeral.Numeral {
	return numeralOf(rd, s, v, "")
}

// numeralOf makes a value ready to print, with a link to what it rests on; not Set where there is none.
func numeralOf(rd *reading.Reader, s *frame.Sheet, v value.Value, words string) numeral.Numeral {
	if !v.Known() {
		return numeral.Numeral{}
	}
	var n numeral.Numeral
	k := numeral.Kind(v.Kind)
	switch {
	case v.Form == value.FormDate:
		n = numeral.Numeral{Kind: k, Whole: frame.DayOf(v.Day).Long, Set: true}
	case v.Form == value.FormNumber, v.Form == value.FormChange && v.Currency == "":
		q, _ := v.Quantity.Get() // it is known
		n = rd.Units(numeral.Printed(q, k, ""))
	default:
		n = numeral.Numeral{Kind: k, Whole: numeral.OnPage(v.Words()), Set: true}
	}
	if v.Pair != nil && s != nil {
		n.Href = "#" + compared(rd, s, v, n, words)
	} else if s != nil {
		n.Href = s.To(standsAt(rd, v))
		if n.Href == "" { // this page itself
			n.Href = "#sheet"
		}
	}
	return n
}

// compared lists a comparison at the foot of the page and gives its anchor.
func compared(rd *reading.Reader, s *frame.Sheet, v value.Value, n numeral.Numeral, words string) string {
	r := s.Rest()
	for _, row := range r.Compared {
		if row.Words == words && row.Value.Whole == n.Whole && row.First.Label == v.Pair.First.Label {
			return row.Anchor
		}
	}
	if r.Label == "" {
		r.Caption = s.Table("compared", "What the text compares. The two values are taken as independent of each other.")
	}
	side := func(v value.Value) frame.PairedValue {
		p := frame.PairedValue{Label: v.Label, Value: numeralOf(rd, nil, v, "")}
		p.Value.Href = s.To(standsAt(rd, v))
		switch {
		case v.Place.Run != nil:
			p.Place = reading.VersionWords(v.Place.Version) + ", " + v.Place.Run.Name.Text
		case v.Place.Version != nil:
			p.Place = reading.VersionWords(v.Place.Version)
		case v.Place.Vehicle != nil:
			p.Place = v.Place.Vehicle.Name.Text
		}
		return p
	}
	row := frame.ComparedRow{Anchor: s.Anchor("compared-1"), Words: words, First: side(v.Pair.First), Second: side(v.Pair.Second), By: v.Pair.By, Value: n}
	row.Value.Href = ""
	r.Compared = append(r.Compared, row)
	return row.Anchor
}

// standsAt is the page and the anchor of what a value rests on.
func standsAt(rd *reading.Reader, v value.Value) string {
	p := v.Place
	if name, is := strings.CutPrefix(v.Name, "facts."); is {
		return p.Address() + "index.html#" + address.FactAnchor(name)
	}
	switch {
	case p.Run != nil:
		if _, figure := runlog.FigureLabel(v.Name); figure {
			return address.Run(p.Run) + "#" + address.ResultAnchor(v.Name)
		}
		return address.Run(p.Run) + "#method"
	case p.Version != nil:
		page := address.Version(p.Version)
		first, rest, _ := strings.Cut(v.Name, "/")
		switch {
		case first == "run-time" && rest != "": // run-time/LOAD/COLUMN, with what is told of it behind
			parts := strings.Split(rest, "/")
			return page + "#run-time-" + strings.Join(parts[:min(2, len(parts))], "-")
		case first == "charge-time":
			return page + "#" + strings.ReplaceAll(chargeRow(v.Name), "/", "-")
		case strings.HasPrefix(v.Name, "parts.") || v.Name == "total-cost" || v.Name == "change-cost" || v.Name == "taken-off-cost" || v.Name == "part-count" || v.Name == "parts-mass":
			return page + "#parts"
		case v.Name == "run-count":
			return page + "#runs"
		case slices.Contains(drivetrain.FigureNames(), v.Name):
			return page + "#" + address.DrivingAnchor(v.Name)
		case first == "wiring" && rest != "", v.Name == "lead-count":
			return page + "#wiring-checked"
		case v.Name == "storage-voltage":
			return page + "#charging"
		}
		return page + "#spec"
	case p.Page != nil, p.Vehicle != nil:
		return p.Address() + "index.html"
	}
	return address.Front
}

// facts lists what the note of a page states for sentences to quote.
func facts(rd *reading.Reader, s *frame.Sheet, at journal.Place) {
	for _, v := range rd.Values.At(at) {
		slug, is := strings.CutPrefix(v.Name, "facts.")
		if !is {
			continue
		}
		n := numeralOf(rd, nil, v, "")
		r := s.Rest()
		r.Facts = append(r.Facts, frame.FactRow{Anchor: address.FactAnchor(slug), Name: v.Label, From: v.From, Value: n})
	}
}

// fault marks the words of an embed that an error stands against, so that a trial print can lead to them: a class and an
// anchor, or "" twice. No page that is published has any.
func (w *writer) fault(e *notes.Embed) (class, id string) {
	for _, f := range w.FindingsOf(e.Span.File()) {
		if f.Level != finding.Error || f.Span.Start != e.Span.Start || f.Span.End != e.Span.End {
			continue
		}
		if id == "" {
			anchor := w.sheet.Anchor("at-fault")
			class, id = " at-fault", fmt.Sprintf(` id="%s"`, anchor)
			if w.PageOf[f.Span.File()] == w.sheet.Path {
				w.Pages.Show(f, w.sheet.Path, anchor)
			}
		}
	}
	return class, id
}

// chargeRow is the name of the charge time whose row of the table also shows what a charge's value names.
func chargeRow(name string) string {
	for _, also := range []string{"/to-80", "/energy", "/wall-energy"} {
		if at, ok := strings.CutSuffix(name, also); ok && strings.HasPrefix(name, "charge-time/") {
			return at
		}
	}
	return name
}
