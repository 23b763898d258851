package wiringsheet

import (
	"bytes"
	"cmp"
	"fmt"
	"math"
	"strings"

	"voltwright/internal/circuit"
	"voltwright/internal/journal"
	"voltwright/internal/outgoing"
	"voltwright/internal/quantity"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/reading"
	"voltwright/internal/wiring"
)

// DocCutList explains the cut list.
var DocCutList = reading.Formula("cut-list", "Cut list", "Every lead of the wiring as it is cut and made up. Lengths are as stated; how far to strip and the size of a ferrule follow from the size of the lead. The totals add up the cut lengths of one conductor and colour, and add an allowance for what is trimmed off and for the wrong cut.",
	"buy = sum of lengths · (1 + allowance)", "m; allowance without unit", "leads whose length is stated; the others are counted",
	"ferrules and lengths to strip: see terminal-fit; the allowance of a tenth: common practice, no source")

// CutListView is the cut list on a version's page and on its bench sheet.
type CutListView struct {
	frame.Caption
	Rows    []whipRow
	Totals  *whipTotals
	Doubts  []Doubt  // where values come from that a page does not state without a word
	Missing []string // what is not known, lead by lead
	Since   *sinceBefore
	File    frame.FileLink
	Sheet   frame.Link
	Power   *frame.Link // to the page of the first power-up; nil where none can be made
	Method  string
}

type whipRow struct {
	Anchor   string
	Number   string // as on the drawing and on its label
	Stays    bool   // from the version before, as it is
	From, To terminalWords
	Length   numeral.Numeral // mm
	Size     string
	Colour   string
	Code     string
	Swatch   string // class of its colour
	A, B     whipEnd
}

// terminalWords is a terminal in words: of what, and which.
type terminalWords struct {
	Part, Name string
	Href       string // to the part on the photo, "" where it is not marked there
}

func wordsOf(s *frame.Sheet, v *journal.Version, t circuit.Terminal) terminalWords {
	w := terminalWords{Part: t.Part, Name: t.Name}
	if n := v.OnPhoto(t.Part); n > 0 && s.Path == address.Version(v) {
		w.Href = "#" + address.ItemAnchor(n)
	}
	return w
}

// whipEnd is one end of a lead as it is made up.
type whipEnd struct {
	How    string // "ferrule 4 mm², grey", "ring M6, yellow"
	Strip  string // millimetres, "" where not known
	Doubt  string // mark of the status, "" where it was read
	Status circuit.Status
}

// Doubt is a status that a reader must know of, and what it holds for.
type Doubt struct {
	Mark, Words string
}

type whipTotals struct {
	frame.Caption
	Rows   []whipTotalRow
	Method string
}

// InShort says how many leads there are of each size: what a reader with a drum of cable wants to know first.
func (t *whipTotals) InShort() string {
	var sizes []string
	pieces := map[string]int{}
	for _, row := range t.Rows {
		if pieces[row.Size] == 0 {
			sizes = append(sizes, row.Size)
		}
		pieces[row.Size] += row.Pieces
	}
	for i, size := range sizes {
		sizes[i] = fmt.Sprintf("%s: %s", size, numeral.Count(pieces[size], "lead"))
	}
	return strings.Join(sizes, "; ")
}

type whipTotalRow struct {
	Size, Strands, Colour string
	Pieces                int
	Length, Buy           numeral.Numeral
	Lacks                 int
}

// CutListFile is the cut list as a table, beside the version's page.
const CutListFile = "cut-list.csv"

// CutList is a version's cut list; nil where no lead is stated.
func CutList(rd *reading.Reader, s *frame.Sheet, v *journal.Version, w *wiring.Analysis) *CutListView {
	if w == nil || len(w.Whips) == 0 {
		return nil
	}
	t := &CutListView{Caption: s.Table("cut-list", "Every lead as it is cut and made up. Lengths in millimetres."), Method: rd.FormulaLink(s, DocCutList.Name)}
	t.Since = since(rd, s, v)
	var lengths []*numeral.Numeral
	statuses := map[circuit.Status]bool{}
	for i := range w.Whips {
		whip := &w.Whips[i]
		row := whipRow{Anchor: s.Anchor(address.LeadAnchor(i + 1)), Number: whip.Label, From: wordsOf(s, v, whip.A.At), To: wordsOf(s, v, whip.B.At), Size: sizeWords(whip.Size), Colour: colourWords(whip.Colour, whip.Stripe),
			Code: whip.Code, Swatch: swatchClass(whip.Colour), Stays: t.Since != nil && t.Since.stays[i]}
		if whip.Length > 0 {
			row.Length = numeral.Millimetres(whip.Length, numeral.Quoted)
		}
		row.A, row.B = endWords(&whip.A), endWords(&whip.B)
		for k, e := range []whipEnd{row.A, row.B} {
			if e.Doubt != "" {
				statuses[e.Status] = true
			}
			end := []*circuit.WhipEnd{&whip.A, &whip.B}[k]
			if end.Missing != "" {
				t.Missing = append(t.Missing, fmt.Sprintf("%s, end %s: %s", row.Number, string(rune('A'+k)), strings.TrimSuffix(end.Missing, ".")))
			}
		}
		if !(whip.Length > 0) {
			t.Missing = append(t.Missing, row.Number+": its length is not stated")
		}
		t.Rows = append(t.Rows, row)
	}
	for i := range t.Rows {
		lengths = append(lengths, &t.Rows[i].Length)
	}
	numeral.Align(lengths)
	t.Doubts = doubtsOf(statuses)
	t.Totals = totalsOf(rd, s, w)
	return t
}

// leadName is what a lead is called on the drawing, in the lists and on its label.
func leadName(w *wiring.Analysis, i int) string { return w.Whips[i].Label }

func sizeWords(s circuit.Size) string {
	if !(s.Area > 0) {
		return ""
	}
	return s.String()
}

func colourWords(colour, stripe string) string {
	if stripe == "" {
		return colour
	}
	return colour + " with " + stripe
}

// swatchClass is the class of a colour of IEC 60757 in the style sheet, "" for any other.
func swatchClass(colour string) string {
	for _, c := range circuit.Colours {
		if c.Word == colour {
			return "lead-" + strings.ToLower(c.Code)
		}
	}
	return ""
}

// endWords says how an end is made up.
func endWords(e *circuit.WhipEnd) whipEnd {
	out := whipEnd{Status: e.Status}
	switch e.Kind {
	case circuit.NotStated:
		out.How = ""
	case circuit.Ferrule:
		out.How = "ferrule"
		if e.Ferrule.Area > 0 {
			out.How = fmt.Sprintf("ferrule %s, %s", circuit.Metric(e.Ferrule.Area), e.Ferrule.Colour)
		}
	default:
		out.How = string(e.Kind)
		if e.Terminal != "" {
			out.How += " " + e.Terminal
		}
	}
	if !math.IsNaN(float64(e.Strip)) && e.Strip > 0 {
		n := numeral.Millimetres(e.Strip, numeral.Quoted)
		out.Strip = n.Int + n.Frac
	}
	out.Doubt = DoubtMark(e.Status)
	return out
}

// doubtMarks are the marks of values that were not read in their source, from best to worst.
var doubtMarks = []struct {
	status circuit.Status
	mark   string
}{
	{circuit.SecondHand, "¶"}, {circuit.Practice, "**"}, {circuit.OwnChoice, "*"}, {circuit.FromMemory, "†"}, {circuit.Disputed, "‡"},
}

// DoubtMark is the mark of a value that was not read in its source, "" of any other.
func DoubtMark(s circuit.Status) string {
	for _, d := range doubtMarks {
		if d.status == s {
			return d.mark
		}
	}
	return ""
}

func doubtsOf(statuses map[circuit.Status]bool) []Doubt {
	var out []Doubt
	for _, d := range doubtMarks {
		if statuses[d.status] {
			out = append(out, Doubt{d.mark, d.status.Words()})
		}
	}
	return out
}

// totalsOf says how much of each conductor to buy.
func totalsOf(rd *reading.Reader, s *frame.Sheet, w *wiring.Analysis) *whipTotals {
	if len(w.Totals) == 0 {
		return nil
	}
	t := &whipTotals{Method: rd.FormulaLink(s, DocCutList.Name)}
	t.Caption = s.Table("cut-totals", "How much of each conductor to buy, in metres, with "+quantity.Exact(wiring.CutAllowance).Quantity().Rounded()+" for what is trimmed off and for the wrong cut.")
	var lengths, buys []*numeral.Numeral
	for _, total := range w.Totals {
		row := whipTotalRow{Size: cmp.Or(sizeWords(total.Size), "size not stated"), Strands: conductorWords(total), Colour: colourWords(total.Colour, total.Stripe), Pieces: total.Pieces, Lacks: total.Unmeasured}
		if total.Length > 0 {
			row.Length, row.Buy = numeral.Metres(total.Length), numeral.MetresUp(total.With)
		}
		t.Rows = append(t.Rows, row)
	}
	for i := range t.Rows {
		lengths, buys = append(lengths, &t.Rows[i].Length), append(buys, &t.Rows[i].Buy)
	}
	numeral.Align(lengths)
	numeral.Align(buys)
	return t
}

// conductorWords is how a conductor is made: its strands, whether they are tinned, and what its insulation stands.
func conductorWords(t circuit.Total) string {
	words := strandWords(t.Class)
	if t.Tinned {
		words += ", tinned"
	}
	if t.Insulation > 0 {
		words += ", " + quantity.Brief(t.Insulation)
	}
	return words
}

func strandWords(c circuit.Class) string {
	switch c {
	case circuit.Solid:
		return "solid"
	case circuit.Stranded:
		return "stranded"
	case circuit.ExtraFlexible:
		return "extra flexible"
	}
	return "flexible"
}

// cutListCSV is the cut list for a spreadsheet or a label printer: every lead, and after them those of the version before that are taken out.
func cutListCSV(rd *reading.Reader, v *journal.Version, w *wiring.Analysis) ([]byte, error) {
	rows := [][]string{{"Number", "From", "To", "Length in mm", "Size", "Colour", "Colour code", "End A", "Strip A in mm", "Status A", "End B", "Strip B in mm", "Status B", "Since the version before"}}
	add := func(whip *circuit.Whip, fate string) {
		length := ""
		if whip.Length > 0 {
			n := numeral.Millimetres(whip.Length, numeral.Quoted)
			length = n.Int + n.Frac
		}
		a, b := endWords(&whip.A), endWords(&whip.B)
		rows = append(rows, []string{whip.Label, whip.A.At.String(), whip.B.At.String(), length, sizeWords(whip.Size), colourWords(whip.Colour, whip.Stripe), whip.Code,
			a.How, a.Strip, string(a.Status), b.How, b.Strip, string(b.Status), fate})
	}
	_, before, r := revised(rd, v)
	for i := range w.Whips {
		add(&w.Whips[i], fateOf(r, i))
	}
	for _, i := range r.TakeOut {
		add(&before.Whips[i], "take out")
	}
	var out bytes.Buffer
	err := outgoing.WriteCSV(&out, rows)
	return out.Bytes(), err
}
