package method

import (
	"cmp"
	"html/template"

	"voltwright/internal/finding"
	"voltwright/internal/notes"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/prose"
	"voltwright/internal/site/reading"
)

// methodView is the view of a sheet of the method: of its formulas, or of its rules.
type methodView struct {
	Lead    string
	Other   frame.Link // the other sheet
	Head    string
	ID      string
	Entries []methodEntry
	Sources []frame.SourceRow // that sentences quote
}

func lay(rd *reading.Reader, s *frame.Sheet, kind finding.Kind) error {
	v := methodView{Lead: "Every formula that a number on these sheets rests on, with its source.", Head: "Formulas", ID: "formulas",
		Other: frame.Link{Words: "The rules of inspection", Href: s.To(address.Rules)}}
	if kind == finding.RuleDoc {
		v = methodView{Lead: "Every rule that inspection goes by, with its source.", Head: "Rules", ID: "rules",
			Other: frame.Link{Words: "The formulas", Href: s.To(address.Method)}}
	} else {
		v.Sources = sourceRows(rd, s)
	}
	for _, d := range rd.AllDocs {
		if d.Kind == kind {
			v.Entries = append(v.Entries, entryOf(d))
		}
	}
	rd.Reference(s, "Method")
	s.Body = v
	return nil
}

// methodEntry is a rule or a formula on the method page.
type methodEntry struct {
	Anchor, Name, Title string
	Former              string // the anchor that it had before; "" for most
	Kind                string
	Level               string
	Parts               []methodPart
}

type methodPart struct {
	Label string
	Text  string
	Code  template.HTML // set instead of Text where the lines are to stay as they are
}

// entryOf turns documentation into an entry of the method page.
func entryOf(d finding.Doc) methodEntry {
	e := methodEntry{Anchor: address.EntryAnchor(d.Kind, d.Name), Name: d.Name, Title: cmp.Or(d.Title, d.Name), Kind: string(d.Kind)}
	if d.Former != "" {
		e.Former = address.EntryAnchor(d.Kind, d.Former)
	}
	if d.Kind == finding.RuleDoc {
		e.Level = d.Level.String()
	}
	if d.Signal != "" {
		e.Level = string(d.Signal)
	}
	for _, p := range d.Parts() {
		part := methodPart{Label: p.Label, Text: p.Text}
		if p.Label == "Formula" || p.Label == "Example" && hasIndent(p.Text) {
			part.Text, part.Code = "", prose.Preformatted(p.Text)
		}
		e.Parts = append(e.Parts, part)
	}
	return e
}

func hasIndent(text string) bool {
	return len(text) > 0 && (text[0] == ' ' || containsIndented(text))
}

func containsIndented(text string) bool {
	for i := 0; i+1 < len(text); i++ {
		if text[i] == '\n' && text[i+1] == ' ' {
			return true
		}
	}
	return false
}

// sources lists every source of the journal with the pages that quote it.
func sourceRows(rd *reading.Reader, s *frame.Sheet) []frame.SourceRow {
	var out []frame.SourceRow
	for i := range rd.Journal.Sources {
		row := frame.RowOf(&rd.Journal.Sources[i])
		for _, p := range rd.Journal.Places() {
			for _, e := range p.Bound() {
				if e.Scheme == notes.SourceScheme && e.Target == rd.Journal.Sources[i].Key.Text {
					row.Quoted = append(row.Quoted, frame.Link{Words: rd.TitleOf(p), Href: s.To(p.Address() + "index.html")})
					break
				}
			}
		}
		out = append(out, row)
	}
	return out
}
