package journal

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math/big"
	"net/url"
	"reflect"
	"slices"
	"strings"
	"unicode/utf8"

	"voltwright/internal/finding"
	"voltwright/internal/notes"
	"voltwright/internal/outgoing"
	"voltwright/internal/quantity"
)

// PartsFile is the name of a parts list that lies beside version.md.
const PartsFile = "parts.csv"

// Part is one line of a version's parts list.
type Part struct {
	Name       notes.Word                      `key:"name,required"`
	Quantity   notes.Integer                   `key:"quantity"` // not written is 1
	How        notes.Choice[PartHow]           `key:"how"`      // it came or left; not written, one of the same name as before is kept and any other bought
	Rating     notes.Word                      `key:"rating"`   // in words
	Current    notes.Value[quantity.Amperes]   `key:"current"`  // that one of them stands for good
	Peak       notes.Value[quantity.Amperes]   `key:"peak"`     // for as long as a start or a hill lasts
	Volts      notes.Value[quantity.Volts]     `key:"volts"`    // direct voltage that it stands
	WiredAs    Names                           `key:"wired-as"` // its names in the wiring
	Price      notes.Decimal                   `key:"price"`    // of one
	Currency   notes.Word                      `key:"currency"` // not written is the journal's
	Source     notes.Word                      `key:"source"`
	Link       notes.Word                      `key:"link"`
	PaysMaker  notes.Flag                      `key:"pays-the-maker"` // the link does
	Substitute notes.Word                      `key:"substitute"`
	Mass       notes.Value[quantity.Kilograms] `key:"mass"` // of one
	Note       notes.Word                      `key:"note"`

	Span finding.Span `key:"@"`
}

// PartKey tells a part of a list from the others by its name, and finds it again in another list and in the wiring:
// letter case and spaces do not count.
func PartKey(name string) string { return strings.ToLower(strings.Join(strings.Fields(name), " ")) }

// Pieces is how many there are of the part.
func (p *Part) Pieces() int { return p.Quantity.Or(1) }

// Each is what one of them costs, exactly as it was written; false if that is not known.
func (p *Part) Each() (*big.Rat, bool) {
	if !p.Price.Set {
		return nil, false
	}
	return new(big.Rat).SetString(p.Price.Text)
}

// Paid is the code of the currency of the part's price, "" if neither the part
// nor the journal names one.
func (j *Journal) Paid(p *Part) string {
	if p.Currency.Set {
		return p.Currency.Text
	}
	return j.Currency.Text
}

// Names is one name, or a list of them.
type Names []notes.Word

// DecodeNode reads a name or a list of names.
func (n *Names) DecodeNode(node *notes.Node, d *notes.Decoder) {
	items := []*notes.Node{node}
	if node.Kind == notes.Sequence {
		items = node.Items
	}
	*n = nil
	for _, item := range items {
		var w notes.Word
		if w.DecodeNode(item, d); w.Set {
			*n = append(*n, w)
		}
	}
}

// partsFile reads the parts list beside a version's note, if there is one that is not a run's log.
func (l *loader) partsFile(v *Version) {
	file, there := l.partsFileOf(v)
	if !there {
		return
	}
	node, source := l.partsOf(file)
	whole := finding.Span{Source: source}
	l.use(file, PartsTable, whole)
	if list, ok := v.Note.Front.Lookup("parts"); ok && node != nil {
		l.findings.Add(finding.Finding{Rule: RulePartsTwice, Level: finding.Error, Span: list.Span, Related: []finding.Related{{Span: whole, Text: "the other parts list is this file"}},
			Text: "the version has two parts lists: `parts:` and the file " + PartsFile, Remedy: "keep one of the two; put its lines into the other."})
		return
	}
	if node == nil {
		return
	}
	var into struct {
		Parts []Part `key:"parts"`
	}
	front := &notes.Node{Kind: notes.Mapping, Span: whole, Keys: []notes.Key{{Name: "parts", Span: whole, Value: node}}}
	l.former(front)
	notes.Decode(front, &into, l.findings)
	v.Parts, v.PartsSource = into.Parts, file
}

// partsFileOf is the path of the parts list beside a version's note, and whether there is one.
func (l *loader) partsFileOf(v *Version) (string, bool) {
	file := v.Path() + "/" + PartsFile
	isLog := func(r *Run) bool { return r.Log != nil && r.Log.File.Text == PartsFile }
	return file, slices.ContainsFunc(l.folder.Files(), func(f notes.File) bool { return f.Path == file }) && !slices.ContainsFunc(v.Runs, isLog)
}

// partsOf is the parts list in a file, as it would stand in a front matter; nil where it cannot be read.
func (l *loader) partsOf(file string) (*notes.Node, *finding.Source) {
	text, ok := l.wholeFile(file)
	text = bytes.TrimPrefix(text, []byte("\ufeff"))
	source := finding.NewSource(file, text)
	if !ok {
		return nil, source
	}
	node, ok := l.partsTable(source, text)
	if !ok {
		return nil, source
	}
	return node, source
}

// wholeFile reads a text of the journal; where it cannot be read it reports so.
func (l *loader) wholeFile(file string) ([]byte, bool) {
	at := finding.Span{Source: finding.NewSource(file, nil)}
	f, err := l.folder.OpenFile(file)
	var text []byte
	if err == nil {
		text, err = io.ReadAll(io.LimitReader(f, notes.MaxNote+1))
		err = errors.Join(err, f.Close())
	}
	switch {
	case err != nil:
		told, known := notes.Trouble(file, err, at)
		if !known {
			told = finding.Finding{Rule: notes.RuleUnreadable, Level: finding.Error, Span: at, Text: fmt.Sprintf("the file cannot be read: %v", err)}
		}
		l.findings.Add(told)
	case len(text) > notes.MaxNote:
		l.add(finding.Error, notes.RuleTooLarge, at, fmt.Sprintf("the parts list is longer than %d bytes", notes.MaxNote), "take what is no part out of it.")
	case !utf8.Valid(text):
		l.add(finding.Error, notes.RuleNotUTF8, at, "the parts list is not written in UTF-8", "save it as CSV in UTF-8.")
	default:
		return text, true
	}
	return nil, false
}

// partsTable turns a table into what front matter would be: a list of groups, each value with its place. An empty cell
// is a key that is not written.
func (l *loader) partsTable(source *finding.Source, text []byte) (*notes.Node, bool) {
	lines := lineStarts(text)
	r := csv.NewReader(bytes.NewReader(text))
	r.FieldsPerRecord, r.Comma = -1, separatorOf(text)
	place := func(i int, cell string) finding.Span {
		line, column := r.FieldPos(i)
		return source.At(lines[line-1]+int64(column-1), max(1, len(cell)))
	}
	list := &notes.Node{Kind: notes.Sequence, Span: finding.Span{Source: source}}
	var heads []notes.Key
	for {
		cells, err := r.Read()
		if err == io.EOF {
			break
		}
		if wrong := (*csv.ParseError)(nil); errors.As(err, &wrong) {
			at := source.At(lines[min(wrong.Line, len(lines))-1]+int64(max(0, wrong.Column-1)), 1)
			l.add(finding.Error, RulePartsFile, at, fmt.Sprintf("the table cannot be read on: %v", wrong.Err), "put a text with a quotation mark in it between quotation marks, and double the mark.")
			return nil, false
		} else if err != nil {
			l.add(finding.Error, notes.RuleUnreadable, finding.Span{Source: source}, fmt.Sprintf("the table cannot be read: %v", err), "")
			return nil, false
		}
		if heads == nil {
			if heads = l.partsHeads(cells, place); heads == nil {
				return nil, false
			}
			continue
		}
		row := &notes.Node{Kind: notes.Mapping, Span: place(0, cells[0])}
		empty := true
		for i, cell := range cells {
			written := strings.TrimSpace(outgoing.ReadCell(cell))
			at := place(i, cell)
			switch {
			case i >= len(heads):
				if written != "" {
					l.add(finding.Error, RulePartsFile, at, fmt.Sprintf("the row has %d cells, and the head has %d", len(cells), len(heads)), "put a text that has the separator in it between quotation marks.")
				}
			case written != "":
				empty = false
				if heads[i].Name != "" {
					row.Keys = append(row.Keys, notes.Key{Name: heads[i].Name, Span: heads[i].Span, Value: cellNode(heads[i].Name, written, at)})
				}
			}
		}
		if !empty && len(list.Items) == notes.MaxParts {
			l.add(finding.Error, notes.RuleTooLarge, row.Span, fmt.Sprintf("the parts list has more than %d lines", notes.MaxParts), "write small parts of one kind on one line with their quantity, and take what is no part out of it.")
			return nil, false
		}
		if !empty {
			list.Items = append(list.Items, row)
		}
	}
	if heads == nil {
		l.add(finding.Error, RulePartsFile, finding.Span{Source: source}, "the parts list is empty", "begin it with a row of heads: "+strings.Join(PartKeys(), ", ")+".")
		return nil, false
	}
	return list, true
}

// cellNode is a cell as a value. The names in the wiring are parted by semicolons or bars.
func cellNode(key, text string, at finding.Span) *notes.Node {
	if key != "wired-as" {
		return &notes.Node{Kind: notes.Scalar, Text: text, Span: at, Quoted: true}
	}
	list := &notes.Node{Kind: notes.Sequence, Span: at}
	for _, name := range strings.FieldsFunc(text, func(r rune) bool { return r == ';' || r == '|' }) {
		if name = strings.TrimSpace(name); name != "" {
			list.Items = append(list.Items, &notes.Node{Kind: notes.Scalar, Text: name, Span: at, Quoted: true})
		}
	}
	return list
}

// partsHeads reads the row of heads; nil if the table cannot be read by them.
// A head that is not known is reported once and its column left out.
func (l *loader) partsHeads(cells []string, place func(int, string) finding.Span) []notes.Key {
	known := PartKeys()
	heads := make([]notes.Key, len(cells))
	for i, cell := range cells {
		name, at := strings.TrimSpace(cell), place(i, cell)
		switch {
		case name == "":
			l.add(finding.Error, RulePartsFile, at, fmt.Sprintf("column %d has no head", i+1), "write one of "+strings.Join(known, ", ")+".")
		case !slices.Contains(known, name):
			l.add(finding.Error, notes.RuleUnknownKey, at, fmt.Sprintf("unknown head `%s`%s", name, notes.DidYouMean(name, known)), "write one of "+strings.Join(known, ", ")+".")
			continue
		case slices.ContainsFunc(heads[:i], func(k notes.Key) bool { return k.Name == name }):
			l.add(finding.Error, notes.RuleDuplicateKey, at, fmt.Sprintf("two columns have the head `%s`", name), "keep one of them.")
			continue
		}
		heads[i] = notes.Key{Name: name, Span: at}
	}
	if !slices.ContainsFunc(heads, func(k notes.Key) bool { return k.Name == "name" }) {
		l.add(finding.Error, notes.RuleMissingKey, place(0, cells[0]), "no column has the head `name`", "the first row names the columns: "+strings.Join(known, ", ")+".")
		return nil
	}
	return heads
}

// PartKeys are the keys of a part, which are the heads that a table may have.
func PartKeys() []string {
	var out []string
	for _, f := range notes.Fields(reflect.TypeFor[Part]()) {
		out = append(out, f.Key)
	}
	return out
}

// separatorOf is what parts the cells of the first line.
func separatorOf(text []byte) rune {
	first, _, _ := bytes.Cut(text, []byte("\n"))
	best, most := ',', 0
	for _, mark := range []rune{',', ';', '\t'} {
		if n := strings.Count(string(first), string(mark)); n > most {
			best, most = mark, n
		}
	}
	return best
}

// lineStarts are the offsets at which the lines of a text begin.
func lineStarts(text []byte) []int64 {
	starts := []int64{0}
	for i, b := range text {
		if b == '\n' {
			starts = append(starts, int64(i+1))
		}
	}
	return starts
}

func (l *loader) checkPart(v *Version, p *Part) {
	l.checkWiredAs(v, p)
	l.atLeastOne("quantity", p.Quantity)
	l.currency(p.Currency)
	if each, ok := p.Each(); ok && each.Sign() < 0 {
		l.add(finding.Error, notes.RuleImpossibleValue, p.Price.Span, fmt.Sprintf("`price`: %s cannot be: it must be zero or more", p.Price.Text), "write what one of them cost.")
	}
	positive(l, "current", p.Current)
	positive(l, "peak", p.Peak)
	positive(l, "volts", p.Volts)
	positive(l, "mass", p.Mass)
	if p.Link.Set {
		if u, err := url.Parse(p.Link.Text); err != nil || u.Scheme != "https" || u.Host == "" || u.User != nil {
			l.add(finding.Error, RuleMalformedWord, p.Link.Span, fmt.Sprintf("`link`: `%s` is no address that a reader can follow safely", p.Link.Text), "write the whole address of the page, beginning with https://.")
		}
	}
	if p.PaysMaker.Value && !p.Link.Set {
		l.add(finding.Error, RulePaysNoLink, p.PaysMaker.Span, "`pays-the-maker` is said of a part that has no link", "add `link:`, or take it out.")
	}
}

// checkWiredAs finds a part of the list in the wiring.
func (l *loader) checkWiredAs(v *Version, p *Part) {
	if len(p.WiredAs) == 0 {
		return
	}
	if v.Wiring == nil {
		l.add(finding.Error, RuleWiredAs, p.WiredAs[0].Span, "`wired-as`: the version states no wiring", "add `wiring:`, or take it out.")
		return
	}
	var names []string
	for i := range v.Wiring.Parts {
		names = append(names, v.Wiring.Parts[i].Name.Text)
	}
	for _, n := range p.WiredAs {
		if !slices.ContainsFunc(names, func(name string) bool { return PartKey(name) == PartKey(n.Text) }) {
			l.add(finding.Error, RuleWiredAs, n.Span, fmt.Sprintf("`wired-as`: no part of the wiring is called `%s`%s", n.Text, notes.DidYouMean(n.Text, names)), "write one of "+strings.Join(names, ", ")+".")
		}
	}
}

// partDocs documents the rules about parts lists.
func partDocs() []finding.Doc {
	rule := func(name, title, what, why, example string) finding.Doc {
		return finding.Doc{Kind: finding.RuleDoc, Name: name, Level: finding.Error, Title: title, What: what, Why: why, Example: example}
	}
	return []finding.Doc{
		rule(RulePartsFile, "A parts list that cannot be read as a table", "The file "+PartsFile+" beside version.md: its first row names the columns by the keys of a part, each further row is one part. Cells are parted by commas, semicolons or tabs, whichever the first row uses most; an empty cell is a key that is not written.", "A cell in the wrong column would be printed as a price or a rating.", "  name,quantity,price,mass\n  blade fuse holder,2,4.20,35 g"),
		partUntold, partsOutweigh,
		rule(RulePartsTwice, "Two parts lists for one version", "Versions with `parts:` in the front matter and "+PartsFile+" beside the note.", "Which of the two holds cannot be told, and adding them would count parts twice.", ""),
		rule(RuleWiredAs, "A part that is not in the wiring", "The key `wired-as` of a part: each of its names is that of a part under `wiring:` of the same version.", "What the part stands is held against what the wiring asks of it.", "  {name: blade fuse, wired-as: main fuse}"),
		rule(RulePaysNoLink, "A paid link that is not there", "Parts with `pays-the-maker: true` and no `link`.", "The page says beside such a link that it pays the maker; without a link there is nothing to say it of.", "  {name: blade fuse holder, link: https://example.org/holder, pays-the-maker: true}"),
	}
}
