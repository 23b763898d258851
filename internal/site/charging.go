package site

import (
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
	"voltwright/internal/study"
)

// chargingView is what a version's page says of charging, and of what use does to the packs.
type chargingView struct {
	Table   *chargeTable
	Wear    *wearTable
	Storage []phrase
	Cycles  []phrase
}

// chargeTable is computed charge times, one current a row.
type chargeTable struct {
	caption
	Rows []chargeRow
}

type chargeRow struct {
	Anchor, Label      string // of its permalink; "" where the page has none
	Current            numeral
	Words              string
	Run                link // the charge whose current it is
	Total, Bulk, Taper numeral
	Energy             numeral
	RuleLow, RuleHigh  string // by the rule of thumb
	Why                string
	Own                bool // the version's own charger
	Rule               link // that speaks against it
}

// wearTable is what the depth of discharge does to the life of the packs.
type wearTable struct {
	caption
	Rows   []wearRow
	Source string
}

type wearRow struct {
	To, Depth, Cycles numeral
	Why               string
}

func (b *builder) charging(s *sheet, v *journal.Version) *chargingView {
	a := b.answers(v)
	if a == nil || a.Err != "" {
		return nil
	}
	c := &chargingView{}
	if t, ok := b.charges(s, v, ""); ok {
		c.Table = &t
	}
	href := b.formulaLink(s, "cycle-life")
	c.Storage = []phrase{say("For storage, a rest voltage of about "), sayNumber(rough(a.Life.Storage, computed, b.formulaLink(s, "open-circuit-voltage"))), say(" suits the packs.")}
	if len(a.Life.Runs) > 0 {
		sum := 0.0
		for _, r := range a.Life.Runs {
			sum += float64(r.Cycles)
		}
		n := numeral{Kind: computed, Whole: strconv.FormatFloat(sum, 'f', twoFigures(sum), 64), Href: href, Set: true}
		c.Cycles = []phrase{say("What the " + count(len(a.Life.Runs), "run") + " logged here took out comes to "), sayNumber(n), say(" equivalent full cycles.")}
	}
	if len(a.Life.At) > 0 {
		t := &wearTable{caption: s.table("wear", "How many cycles are typical, by how deep each goes.")}
		for _, d := range a.Life.At {
			row := wearRow{To: words(sentenceless(d.Name)), Depth: numeral{Kind: computed, Whole: fmt.Sprintf("%.0f %%", 100*d.Depth), Href: href, Set: true}, Why: onPage(d.Err)}
			if d.Name == "to half" { // taken, not computed
				row.Depth.Kind, row.Depth.Href = "", ""
			}
			if d.Err == "" {
				row.Cycles = numeral{Kind: quoted, Whole: twoFigured(float64(d.Low)) + " to " + twoFigured(float64(d.High)), Href: href, Set: true}
			}
			t.Rows = append(t.Rows, row)
			t.Source = d.Source
		}
		if bank := study.Bank(v); bank.Check() == nil {
			if status := bank.Packs[0].Chemistry.CycleLife.Status; status != "" {
				t.Source = strings.TrimSuffix(t.Source, ".") + ". Status: " + string(status)
			}
		}
		t.Source = sentence(t.Source)
		c.Wear = t
	}
	return c
}

// twoFigures is how many decimals a number has that is given with two figures.
func twoFigures(x float64) int {
	if x <= 0 {
		return 0
	}
	return max(0, 1-int(math.Floor(math.Log10(x))))
}

// twoFigured is a whole number with two figures, "3500".
func twoFigured(x float64) string {
	if x > 0 {
		scale := math.Pow(10, math.Floor(math.Log10(x))-1)
		x = math.Round(x/scale) * scale
	}
	return strconv.FormatFloat(x, 'f', 0, 64)
}

// charges is the computed charge-time table of a version; false where there is none.
func (b *builder) charges(s *sheet, v *journal.Version, text string) (chargeTable, bool) {
	a := b.answers(v)
	if a == nil || a.Err != "" || len(a.Charges) == 0 {
		return chargeTable{}, false
	}
	own := s.path == versionPage(v)
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
	href := b.formulaLink(s, "charge-from-run")
	for _, c := range a.Charges {
		anchor := strings.ReplaceAll(c.Name, "/", "-")
		at := href
		row := chargeRow{Current: rough(c.Current, computed, href), Words: onPage(c.Label), Why: onPage(c.Err)}
		if c.Own {
			row.Own, row.Current = true, words(quantity.Brief(c.Current))
		}
		if c.Against != "" {
			row.Rule = link{Words: c.Against, Href: b.methodLink(s, finding.RuleDoc, c.Against)}
		}
		if c.Run != "" {
			to := b.runLink(s, v, c.Run)
			row.Run, row.Words = link{Words: midSentence(to.Words), Href: to.Href}, "as on the"
			row.Current = rough(c.Current, measured, to.Href)
		}
		if own {
			row.Anchor, row.Label = anchor, "charge time at "+row.Current.Whole
		} else {
			at = s.to(versionPage(v) + "#" + anchor)
		}
		if c.Err == "" {
			row.Total = printed(c.Total.Quantity(), computed, at)
			row.Bulk, row.Taper, row.Energy = clockOf(c.Bulk, "", ""), clockOf(c.Taper, "", ""), rough(c.Energy, "", "")
			row.RuleLow, row.RuleHigh = tens(c.RuleLow), tens(c.RuleHigh)
			if phases == "" {
				phases = onPage(c.Method)
			}
		}
		t.Rows = append(t.Rows, row)
	}
	if text = sentence(or(text, said)); phases != "" {
		text += " " + sentence(phases)
	}
	t.caption = s.table(wish, text)
	s.Marks = true
	return t, true
}

// tens is a time to ten minutes: a rule of thumb says no more.
func tens(t quantity.Seconds) string {
	return quantity.Clock(quantity.Seconds(math.Round(float64(t)/600)*600), 60)
}

// matterView is the drawing of what one changed input does to the running time, with its data as a table.
type matterView struct {
	caption
	Still  template.HTML
	To     string
	Rows   []matterRow
	Why    string
	Method string
}

type matterRow struct{ Input, Less, LessTime, More, MoreTime string }

// matters is what matters most for the running time under the greatest load; nil where there is no load.
func (b *builder) matters(s *sheet, v *journal.Version) (*matterView, error) {
	a := b.answers(v)
	if a == nil || a.Sensitivity == nil {
		return nil, nil
	}
	t := a.Sensitivity
	m := &matterView{Method: b.formulaLink(s, "what-matters"), Why: onPage(t.Err)}
	if t.Err != "" || len(t.Inputs) == 0 {
		return m, nil
	}
	m.caption = s.figure("what-matters")
	at := "at the load of " + t.Label
	if i := indexOf(a.Table.Loads, t.Load); i >= 0 && a.Table.Loads[i].Run != "" {
		at = "at the load of the " + midSentence(b.runLink(s, v, a.Table.Loads[i].Run).Words)
	}
	base := quantity.Clock(t.Base, 60)
	bars := chart.Bars{ID: "what-matters", Title: "What matters most for the running time", X: chart.Axis{Label: "Running time", Format: chart.Clock}, Base: float64(t.Base), Middle: "as it is: " + base}
	for _, bar := range t.Inputs {
		item := chart.Bar{Name: bar.Input, Less: endOf(bar.Low), More: endOf(bar.High)}
		if item.Less.Change == "" && item.More.Change == "" {
			continue
		}
		bars.Items = append(bars.Items, item)
		m.Rows = append(m.Rows, matterRow{sentenceless(bar.Input), onPage(bar.Low.Words), variantWords(bar.Low), onPage(bar.High.Words), variantWords(bar.High)})
	}
	first, last := t.Inputs[0], t.Inputs[len(t.Inputs)-1]
	said := fmt.Sprintf("The running time to %s, %s. One input is changed at a time; the longer its bar, the more it matters. Here the most comes of the %s", t.To, at, first.Input)
	if len(t.Inputs) > 1 {
		said += fmt.Sprintf(" and the least of the %s", last.Input)
	}
	said += ". Filled: more of the input; open: less."
	m.Words, m.Quoted = plainHTML(said), said
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
	e := chart.End{Change: onPage(change), Value: float64(v.Time), Words: quantity.Clock(v.Time, 60)}
	if v.Words != "" && (v.Err != "" || math.IsNaN(e.Value)) {
		e.Value, e.Words, e.None = 0, "none", true
	}
	return e
}

// variantWords is what the running time becomes, or why there is none.
func variantWords(v predict.ChangedInput) string {
	switch {
	case v.Words == "":
		return ""
	case v.Err != "":
		return onPage(v.Err)
	}
	return quantity.Clock(v.Time, 60)
}

// chatterView is what the cutout does after it has opened.
type chatterView struct {
	Words, Why string
	Rows       []specRow
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
		return onPage(c.Words)
	case c.Likely > hardly && c.Likely < surely:
		return unsure
	case c.Reaches:
		return "With the load still on the cutout closes again by itself, and the vehicle starts again."
	}
	return "The cutout stays open: the voltage does not come back to where it closes."
}

func (b *builder) chatter(s *sheet, v *journal.Version) *chatterView {
	a := b.answers(v)
	if a == nil || a.Chatter == nil {
		return nil
	}
	c := a.Chatter
	href := b.formulaLink(s, "cutout-chatter")
	view := &chatterView{Words: closing(c), Why: onPage(c.Err), Method: href}
	if c.Err != "" {
		return view
	}
	add := func(label string, n numeral) {
		if n.Set {
			view.Rows = append(view.Rows, specRow{Label: label, Cells: []specCell{{Value: b.units(n)}}})
		}
	}
	add("The pack comes back to", printed(c.Rebound.Quantity(), computed, href))
	for _, r := range v.Runs {
		if openedCutout(b.result(r)) != nil {
			add("Measured on the "+midSentence(runWords(r)), b.figure(s, r, "rebound-peak"))
		}
	}
	add("The cutout closes at", rough(c.Reset, computed, b.formulaLink(s, docReset.Name)))
	if !math.IsNaN(c.Likely) {
		add("It gets there", numeral{Kind: computed, Whole: cases(c.Likely), Href: href, Set: true})
	}
	if c.Openings > 1 {
		add("Opens, if left alone", numeral{Kind: computed, Whole: fmt.Sprintf("%d times in %s", c.Openings, quantity.Clock(c.Lasts, 1)), Href: href, Set: true})
		add("Stays open each time", clockOf(c.Off, computed, href))
		add("Stays closed each time", clockOf(c.On, computed, href))
	}
	for _, l := range a.Table.Loads {
		if l.Name == c.Load {
			load := midSentence(onPage(l.Label))
			if l.Run != "" {
				load = "that of the " + midSentence(b.runLink(s, v, l.Run).Words)
			}
			add("Load that opened it", words(load))
		}
	}
	return view
}
