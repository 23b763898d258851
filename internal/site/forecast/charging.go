package forecast

import (
	"cmp"
	"fmt"
	"html/template"
	"math"
	"strconv"
	"strings"

	"voltwright/internal/chart"
	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/predict"
	"voltwright/internal/quantity"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/reading"
	"voltwright/internal/site/spec"
	"voltwright/internal/study"
)

// ChargingView is what a version's page says of charging, and of what use does to the packs.
type ChargingView struct {
	Table   *chargeTable
	Wear    *wearTable
	Storage []numeral.Phrase
	Cycles  []numeral.Phrase
}

// chargeTable is computed charge times, one current a row.
type chargeTable struct {
	frame.Caption
	Rows []chargeRow
	Said []string // energy with the version's own charger, and how such predictions stand against logged charges
}

type chargeRow struct {
	Anchor, Label     string // of its permalink; "" where the page has none
	Current           numeral.Numeral
	Words             string
	Run               frame.Link // the charge whose current it is
	Most, Total       numeral.Numeral
	Bulk, Taper       numeral.Numeral
	Energy            numeral.Numeral
	RuleLow, RuleHigh string // by the rule of thumb
	Why               string
	Own               bool       // the version's own charger
	Rule              frame.Link // that speaks against it
}

// wearTable is what the depth of discharge does to the life of the packs.
type wearTable struct {
	frame.Caption
	Rows   []wearRow
	Source string
}

type wearRow struct {
	To, Depth, Cycles numeral.Numeral
	Why               string
}

// Charging is what a version's page says of charging and wear; nil where nothing was computed.
func Charging(rd *reading.Reader, s *frame.Sheet, v *journal.Version) *ChargingView {
	a := rd.Answers(v)
	if a == nil || a.Err != "" {
		return nil
	}
	c := &ChargingView{}
	if t, ok := Charges(rd, s, v, ""); ok {
		c.Table = &t
	}
	href := rd.FormulaLink(s, "cycle-life")
	c.Storage = []numeral.Phrase{numeral.Say("For storage, a rest voltage of about "), numeral.SayNumber(numeral.Rough(a.Life.Storage, numeral.Computed, rd.FormulaLink(s, "open-circuit-voltage"))), numeral.Say(" suits the packs.")}
	if len(a.Life.Runs) > 0 {
		sum := 0.0
		for _, r := range a.Life.Runs {
			sum += float64(r.Cycles)
		}
		n := numeral.Numeral{Kind: numeral.Computed, Whole: strconv.FormatFloat(sum, 'f', numeral.TwoFigures(sum), 64), Href: href, Set: true}
		c.Cycles = []numeral.Phrase{numeral.Say("What the " + numeral.Count(len(a.Life.Runs), "run") + " logged here took out comes to "), numeral.SayNumber(n), numeral.Say(" equivalent full cycles.")}
	}
	if len(a.Life.At) > 0 {
		t := &wearTable{Caption: s.Table("wear", "How many cycles are typical, by how deep each goes.")}
		for _, d := range a.Life.At {
			row := wearRow{To: numeral.Words(numeral.Sentenceless(d.Name)), Depth: numeral.Numeral{Kind: numeral.Computed, Whole: fmt.Sprintf("%.0f %%", 100*d.Depth), Href: href, Set: true}, Why: numeral.OnPage(d.Err)}
			if d.Name == "to half" { // taken, not computed
				row.Depth.Kind, row.Depth.Href = "", ""
			}
			if d.Err == "" {
				row.Cycles = numeral.Numeral{Kind: numeral.Quoted, Whole: numeral.TwoFigured(float64(d.Low)) + " to " + numeral.TwoFigured(float64(d.High)), Href: href, Set: true}
			}
			t.Rows = append(t.Rows, row)
			t.Source = d.Source
		}
		if bank := study.Bank(v); bank.Check() == nil {
			if status := bank.Packs[0].Chemistry.CycleLife.Status; status != "" {
				t.Source = strings.TrimSuffix(t.Source, ".") + ". Status: " + string(status)
			}
		}
		t.Source = numeral.Sentence(t.Source)
		c.Wear = t
	}
	return c
}

// Charges is the computed charge-time table of a version; false where there is none.
func Charges(rd *reading.Reader, s *frame.Sheet, v *journal.Version, text string) (chargeTable, bool) {
	a := rd.Answers(v)
	if a == nil || a.Err != "" || len(a.Charges) == 0 {
		return chargeTable{}, false
	}
	own := s.Path == address.Version(v)
	wish := "charge-time"
	if !own {
		wish = v.Slug + "-charge-time"
	}
	said := fmt.Sprintf("Computed: how long a charge takes from %.0f %%.", 100*a.Charges[0].From)
	if a.Charges[0].From > 0 {
		said = fmt.Sprintf("Computed: how long a charge takes from the %.0f %% that a run down leaves.", 100*a.Charges[0].From)
	}
	phases := ""
	t := chargeTable{}
	href := rd.FormulaLink(s, "charge-from-run")
	for _, c := range a.Charges {
		anchor := strings.ReplaceAll(c.Name, "/", "-")
		at := href
		row := chargeRow{Current: numeral.Rough(c.Current, numeral.Computed, href), Words: numeral.OnPage(c.Label), Why: numeral.OnPage(c.Err)}
		if c.Own {
			row.Own, row.Current = true, numeral.Words(quantity.Brief(c.Current))
		}
		if c.Against != "" {
			row.Rule = frame.Link{Words: c.Against, Href: rd.MethodLink(s, finding.RuleDoc, c.Against)}
		}
		if c.Run != "" {
			to := rd.RunLink(s, v, c.Run)
			row.Run, row.Words = frame.Link{Words: numeral.MidSentence(to.Words), Href: to.Href}, "as on the"
			row.Current = numeral.Rough(c.Current, numeral.Measured, to.Href)
		}
		if own {
			row.Anchor, row.Label = anchor, "charge time at "+row.Current.Whole
		} else {
			at = s.To(address.Version(v) + "#" + anchor)
		}
		if c.Err == "" {
			row.Total = numeral.Printed(c.Total.Quantity(), numeral.Computed, at)
			row.Bulk, row.Taper, row.Energy = numeral.ClockOf(c.Bulk, "", ""), numeral.ClockOf(c.Taper, "", ""), numeral.Printed(c.Energy.Quantity(), numeral.Computed, "")
			row.Most = numeral.Printed(c.Most.Quantity(), numeral.Computed, at)
			row.RuleLow, row.RuleHigh = numeral.Tens(c.RuleLow), numeral.Tens(c.RuleHigh)
			if phases == "" {
				phases = numeral.OnPage(c.Method)
			}
		}
		t.Rows = append(t.Rows, row)
		if c.Own && c.Energy.Known() {
			t.Said = append(t.Said, fmt.Sprintf("With the charger of this version %s goes into the packs, and %s is taken from the wall.", c.Energy, c.Wall))
		}
	}
	for _, name := range []string{predict.ChargeToMost, predict.ChargeToFull, predict.ChargeIn, predict.ChargeAtWall} {
		if len(a.ChargesAt(name)) > 0 || name == predict.ChargeToFull {
			t.Said = append(t.Said, numeral.Sentence("A charge, "+name+", is "+a.ChargeCheckedWords(name)))
		}
	}
	if text = numeral.Sentence(cmp.Or(text, said)); phases != "" {
		text += " " + numeral.Sentence(phases)
	}
	t.Caption = s.Table(wish, text)
	s.Marks = true
	return t, true
}

// MatterView is the drawing of what one changed input does to the running time, with its data as a table.
type MatterView struct {
	frame.Caption
	Still  template.HTML
	To     string
	Rows   []matterRow
	Why    string
	Method string
	Next   string // what one more run would bring, a sentence
}

type matterRow struct{ Input, Less, LessTime, More, MoreTime string }

// Matters is what matters most for the running time under the greatest load; nil where there is no load.
func Matters(rd *reading.Reader, s *frame.Sheet, v *journal.Version) (*MatterView, error) {
	a := rd.Answers(v)
	if a == nil || a.Sensitivity == nil {
		return nil, nil
	}
	t := a.Sensitivity
	m := &MatterView{Method: rd.FormulaLink(s, "what-matters"), Why: numeral.OnPage(t.Err)}
	if t.Err != "" || len(t.Inputs) == 0 {
		return m, nil
	}
	m.Caption = s.Figure("what-matters")
	at := "at the load of " + t.Label
	if i := indexOf(a.Table.Loads, t.Load); i >= 0 && a.Table.Loads[i].Run != "" {
		at = "at the load of the " + numeral.MidSentence(rd.RunLink(s, v, a.Table.Loads[i].Run).Words)
	}
	base := quantity.Clock(t.Base, 60)
	bars := chart.Bars{ID: "what-matters", Title: "What matters most for the running time", X: chart.Axis{Label: "Running time", Format: chart.Clock}, Base: float64(t.Base), Middle: "as it is: " + base}
	for _, bar := range t.Inputs {
		item := chart.Bar{Name: bar.Input, Less: endOf(bar.Low), More: endOf(bar.High)}
		if item.Less.Change == "" && item.More.Change == "" {
			continue
		}
		bars.Items = append(bars.Items, item)
		m.Rows = append(m.Rows, matterRow{numeral.Sentenceless(bar.Input), numeral.OnPage(bar.Low.Words), VariantWords(bar.Low), numeral.OnPage(bar.High.Words), VariantWords(bar.High)})
	}
	first, last := t.Inputs[0], t.Inputs[len(t.Inputs)-1]
	said := fmt.Sprintf("The running time to %s, %s. One input is changed at a time; the longer its bar, the more it matters. Here the most comes of the %s", t.To, at, first.Input)
	if len(t.Inputs) > 1 {
		said += fmt.Sprintf(" and the least of the %s", last.Input)
	}
	said += ". Filled: more of the input; open: less."
	if t.Next != nil {
		m.Next = numeral.OnPage(t.Next.Words)
	}
	m.Words, m.Quoted = numeral.PlainHTML(said), said
	alt := []string{fmt.Sprintf("Horizontal bars about a centre line at %s.", base)}
	for _, r := range m.Rows {
		line := r.Input + ":"
		if r.Less != "" {
			line += " " + r.Less + " gives " + r.LessTime + ";"
		}
		if r.More != "" {
			line += " " + r.More + " gives " + r.MoreTime + ";"
		}
		alt = append(alt, strings.TrimSuffix(line, ";")+".")
	}
	bars.Alt, bars.Caption = strings.Join(alt, " "), said
	still, err := bars.SVG()
	if err != nil {
		return nil, err
	}
	m.Still, m.To = template.HTML(still), t.To
	s.Charts = true
	return m, nil
}

func indexOf(loads []predict.Load, name string) int {
	for i, l := range loads {
		if l.Name == name {
			return i
		}
	}
	return -1
}

// endOf is an end of a bar. What the change is for stands in the table only.
func endOf(v predict.ChangedInput) chart.End {
	change, _, _ := strings.Cut(v.Words, ", ")
	e := chart.End{Change: numeral.OnPage(change), Value: float64(v.Time), Words: quantity.Clock(v.Time, 60)}
	if v.Words != "" && (v.Err != "" || math.IsNaN(e.Value)) {
		e.Value, e.Words, e.None = 0, "none", true
	}
	return e
}

// VariantWords is what the running time becomes, or why there is none.
func VariantWords(v predict.ChangedInput) string {
	switch {
	case v.Words == "":
		return ""
	case v.Err != "":
		return numeral.OnPage(v.Err)
	}
	return quantity.Clock(v.Time, 60)
}

// ChatterView is what the cutout does after it has opened.
type ChatterView struct {
	Words, Why string
	Rows       []spec.Row
	Method     string
}

// Chances between which a page says that it is not sure.
const (
	hardly = 0.025
	surely = 1 - hardly
)

// cases puts a chance in words.
func cases(chance float64) string {
	switch {
	case chance < 0.01:
		return "in fewer than 1 of 100 cases"
	case chance > 0.99:
		return "in more than 99 of 100 cases"
	}
	return fmt.Sprintf("in %.0f of 100 cases", 100*chance)
}

// closing says whether the cutout closes again by itself.
func closing(c *predict.Chatter) string {
	unsure := "Whether the cutout closes again by itself, with the load still on, is not sure by what is known of the pack."
	switch {
	case math.IsNaN(float64(c.Reset)):
		return numeral.OnPage(c.Words)
	case c.Likely > hardly && c.Likely < surely:
		return unsure
	case c.Reaches:
		return "With the load still on the cutout closes again by itself, and the vehicle starts again."
	}
	return "The cutout stays open: the voltage does not come back to where it closes."
}

// Chatter is what the cutout does after it has opened; nil where that was not asked.
func Chatter(rd *reading.Reader, s *frame.Sheet, v *journal.Version) *ChatterView {
	a := rd.Answers(v)
	if a == nil || a.Chatter == nil {
		return nil
	}
	c := a.Chatter
	href := rd.FormulaLink(s, "cutout-chatter")
	view := &ChatterView{Words: closing(c), Why: numeral.OnPage(c.Err), Method: href}
	if c.Err != "" {
		return view
	}
	add := func(label string, n numeral.Numeral) {
		if n.Set {
			view.Rows = append(view.Rows, spec.Row{Label: label, Cells: []spec.Cell{{Value: rd.Units(n)}}})
		}
	}
	add("The pack comes back to", numeral.Printed(c.Rebound.Quantity(), numeral.Computed, href))
	for _, r := range v.Runs {
		if reading.OpenedCutout(rd.Result(r)) != nil {
			add("Measured on the "+numeral.MidSentence(reading.RunWords(r)), rd.Figure(s, r, "rebound-peak"))
		}
	}
	add("The cutout closes at", numeral.Rough(c.Reset, numeral.Computed, rd.FormulaLink(s, spec.DocReset.Name)))
	if !math.IsNaN(c.Likely) {
		add("It gets there", numeral.Numeral{Kind: numeral.Computed, Whole: cases(c.Likely), Href: href, Set: true})
	}
	if c.Openings > 1 {
		add("Opens, if left alone", numeral.Numeral{Kind: numeral.Computed, Whole: fmt.Sprintf("%d times in %s", c.Openings, quantity.Clock(c.Lasts, 1)), Href: href, Set: true})
		add("Stays open each time", numeral.ClockOf(c.Off, numeral.Computed, href))
		add("Stays closed each time", numeral.ClockOf(c.On, numeral.Computed, href))
	}
	for _, l := range a.Table.Loads {
		if l.Name == c.Load {
			load := numeral.MidSentence(numeral.OnPage(l.Label))
			if l.Run != "" {
				load = "that of the " + numeral.MidSentence(rd.RunLink(s, v, l.Run).Words)
			}
			add("Load that opened it", numeral.Words(load))
		}
	}
	return view
}
