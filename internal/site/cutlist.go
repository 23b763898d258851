package site

import (
	"bytes"
	"fmt"
	"math"
	"path"
	"strconv"
	"strings"

	"voltwright/internal/circuit"
	"voltwright/internal/journal"
	"voltwright/internal/outgoing"
	"voltwright/internal/quantity"
	"voltwright/internal/wiring"
)

var docCutList = formula("cut-list", "Cut list", "Every lead of the wiring as it is cut and made up. Lengths are as stated; how far to strip and the size of a ferrule follow from the size of the lead. The totals add up the cut lengths of one conductor and colour, and add an allowance for what is trimmed off and for the wrong cut.",
	"buy = sum of lengths · (1 + allowance)", "m; allowance without unit", "leads whose length is stated; the others are counted",
	"ferrules and lengths to strip: see terminal-fit; the allowance of a tenth: common practice, no source")

// cutListView is the cut list on a version's page and on its bench sheet.
type cutListView struct {
	caption
	Rows    []whipRow
	Totals  *whipTotals
	Doubts  []doubt  // where values come from that a page does not state without a word
	Missing []string // what is not known, lead by lead
	File    fileLink
	Sheet   link
	Method  string
}

type whipRow struct {
	Anchor   string
	Number   string // as on the drawing and on its label
	From, To terminalWords
	Length   numeral // mm
	Size     string
	Colour   string
	Code     string
	Swatch   string // class of its colour
	A, B     whipEnd
}

// terminalWords is a terminal in words: of what, and which.
type terminalWords struct{ Part, Name string }

func wordsOf(t circuit.Terminal) terminalWords { return terminalWords{t.Part, t.Name} }

// whipEnd is one end of a lead as it is made up.
type whipEnd struct {
	How    string // "ferrule 4 mm², grey", "ring M6, yellow"
	Strip  string // millimetres, "" where not known
	Doubt  string // mark of the status, "" where it was read
	Status circuit.Status
}

// doubt is a status that a reader must know of, and what it holds for.
type doubt struct {
	Mark, Words string
}

type whipTotals struct {
	caption
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
		sizes[i] = fmt.Sprintf("%s: %s", size, count(pieces[size], "lead"))
	}
	return strings.Join(sizes, "; ")
}

type whipTotalRow struct {
	Size, Strands, Colour string
	Pieces                int
	Length, Buy           numeral
	Lacks                 int
}

// cutListFile is the cut list as a table, beside the version's page.
const cutListFile = "cut-list.csv"

func besideVersion(v *journal.Version, file string) string {
	return path.Dir(versionPage(v)) + "/" + file
}

// cutList is a version's cut list; nil where no lead is stated.
func (b *builder) cutList(s *sheet, v *journal.Version, w *wiring.Analysis) *cutListView {
	if w == nil || len(w.Whips) == 0 {
		return nil
	}
	t := &cutListView{caption: s.table("cut-list", "Every lead as it is cut and made up. Lengths in millimetres."), Method: b.formulaLink(s, docCutList.Name)}
	var lengths []*numeral
	statuses := map[circuit.Status]bool{}
	for i := range w.Whips {
		whip := &w.Whips[i]
		row := whipRow{Anchor: s.anchor("lead-" + strconv.Itoa(i+1)), Number: whip.Label, From: wordsOf(whip.A.At), To: wordsOf(whip.B.At), Size: sizeWords(whip.Size), Colour: colourWords(whip.Colour, whip.Stripe),
			Code: whip.Code, Swatch: swatchClass(whip.Colour)}
		if whip.Length > 0 {
			row.Length = millimetres(whip.Length, quoted)
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
	align(lengths)
	t.Doubts = doubtsOf(statuses)
	t.Totals = b.whipTotals(s, w)
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

// millimetres is a length in whole millimetres, or with the decimals that it has.
func millimetres(l quantity.Metres, k kind) numeral {
	mm := math.Round(float64(l)*1e4) / 10
	text := strconv.FormatFloat(mm, 'f', -1, 64)
	n := numeral{Kind: k, Whole: text + " mm", Unit: "mm", Set: true}
	n.Int, n.Frac = split(text)
	return n
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
		n := millimetres(e.Strip, quoted)
		out.Strip = n.Int + n.Frac
	}
	out.Doubt = doubtMark(e.Status)
	return out
}

// doubtMarks are the marks of values that were not read in their source, from best to worst.
var doubtMarks = []struct {
	status circuit.Status
	mark   string
}{
	{circuit.SecondHand, "¶"}, {circuit.Practice, "**"}, {circuit.OwnChoice, "*"}, {circuit.FromMemory, "†"}, {circuit.Disputed, "‡"},
}

// doubtMark is the mark of a value that was not read in its source, "" of any other.
func doubtMark(s circuit.Status) string {
	for _, d := range doubtMarks {
		if d.status == s {
			return d.mark
		}
	}
	return ""
}

func doubtsOf(statuses map[circuit.Status]bool) []doubt {
	var out []doubt
	for _, d := range doubtMarks {
		if statuses[d.status] {
			out = append(out, doubt{d.mark, d.status.Words()})
		}
	}
	return out
}

// whipTotals says how much of each conductor to buy.
func (b *builder) whipTotals(s *sheet, w *wiring.Analysis) *whipTotals {
	if len(w.Totals) == 0 {
		return nil
	}
	t := &whipTotals{Method: b.formulaLink(s, docCutList.Name)}
	t.caption = s.table("cut-totals", "How much of each conductor to buy, in metres, with "+quantity.Exact(wiring.CutAllowance).Quantity().Rounded()+" for what is trimmed off and for the wrong cut.")
	var lengths, buys []*numeral
	for _, total := range w.Totals {
		row := whipTotalRow{Size: or(sizeWords(total.Size), "size not stated"), Strands: conductorWords(total), Colour: colourWords(total.Colour, total.Stripe), Pieces: total.Pieces, Lacks: total.Unmeasured}
		if total.Length > 0 {
			row.Length, row.Buy = metres(total.Length), metresUp(total.With)
		}
		t.Rows = append(t.Rows, row)
	}
	for i := range t.Rows {
		lengths, buys = append(lengths, &t.Rows[i].Length), append(buys, &t.Rows[i].Buy)
	}
	align(lengths)
	align(buys)
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

// metres is a length to the millimetre.
func metres(l quantity.Metres) numeral {
	return lengthText(fmt.Sprintf("%.3f", float64(l)))
}

// metresUp is a length to buy, rounded up to the centimetre.
func metresUp(l quantity.Metres) numeral {
	return lengthText(fmt.Sprintf("%.2f", math.Ceil(float64(l)*100-1e-6)/100))
}

func lengthText(text string) numeral {
	n := numeral{Kind: computed, Whole: text + " m", Unit: "m", Set: true}
	n.Int, n.Frac = split(text)
	return n
}

// cutListCSV is the cut list for a spreadsheet or a label printer.
func cutListCSV(w *wiring.Analysis) ([]byte, error) {
	rows := [][]string{{"Number", "From", "To", "Length in mm", "Size", "Colour", "Colour code", "End A", "Strip A in mm", "Status A", "End B", "Strip B in mm", "Status B"}}
	for i := range w.Whips {
		whip := &w.Whips[i]
		length := ""
		if whip.Length > 0 {
			n := millimetres(whip.Length, quoted)
			length = n.Int + n.Frac
		}
		a, b := endWords(&whip.A), endWords(&whip.B)
		rows = append(rows, []string{whip.Label, whip.A.At.String(), whip.B.At.String(), length, sizeWords(whip.Size), colourWords(whip.Colour, whip.Stripe), whip.Code,
			a.How, a.Strip, string(a.Status), b.How, b.Strip, string(b.Status)})
	}
	var out bytes.Buffer
	err := outgoing.WriteCSV(&out, rows)
	return out.Bytes(), err
}
