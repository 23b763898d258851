package app

import (
	"fmt"
	"io"
	"math"
	"strings"
	"unicode/utf8"

	"voltwright/internal/finding"
	"voltwright/internal/predict"
	"voltwright/internal/quantity"
	"voltwright/internal/record"
)

// printPredicted writes answers as a table that a person reads.
func printPredicted(w io.Writer, title string, changed []string, a *predict.Prediction, m moved) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n", title)
	for _, c := range changed {
		fmt.Fprintf(&b, "%s\n", wrap("with "+c, "  "))
	}
	if a.Err != "" {
		fmt.Fprintf(&b, "%s\n", wrap(a.Err, "  "))
		printDriven(&b, m.driven)
		printWired(&b, m.wired)
		_, err := io.WriteString(w, b.String())
		return err
	}
	fmt.Fprintf(&b, "%s\n%s\n", wrap(a.Basis.Words, "  "), wrap(a.Accuracy.Words, "  "))
	for _, text := range a.Cautions {
		fmt.Fprintf(&b, "%s\n", wrap("Caution: "+text, "  "))
	}
	if len(a.Basis.Values) > 0 {
		b.WriteString("\n  The packs\n")
		var rows [][]string
		for _, v := range a.Basis.Values {
			rows = append(rows, []string{v.Label, v.Quantity.Rounded()})
		}
		writeRows(&b, rows)
	}
	printRunTimes(&b, a)
	printCharges(&b, a)
	printLife(&b, a)
	printMatters(&b, a)
	printDriven(&b, m.driven)
	printWired(&b, m.wired)
	if c := a.Chatter; c != nil {
		fmt.Fprintf(&b, "\n  The cutout\n%s\n", wrap(c.Words+c.Err, "    "))
	}
	if p := a.Parallel; p != nil {
		fmt.Fprintf(&b, "\n  Packs in parallel\n%s\n", wrap(p.Words+p.Err, "    "))
	}
	printLessons(&b, a)
	b.WriteString("\n  ± is the expanded uncertainty, k = 2, about 95 %. `voltwright explain run-time` tells how it is made.\n")
	b.WriteString("  Computed, not measured: keep fuses, cutout and the maker's data sheet as they ask.\n")
	_, err := io.WriteString(w, b.String())
	return err
}

// writeRows sets cells in columns, four spaces in.
func writeRows(b *strings.Builder, rows [][]string) {
	var width []int
	for _, r := range rows {
		for i, c := range r {
			if i == len(width) {
				width = append(width, 0)
			}
			width[i] = max(width[i], utf8.RuneCountInString(c))
		}
	}
	for _, r := range rows {
		line := "   "
		for i, c := range r {
			line += " " + pad(c, width[i]+1)
		}
		fmt.Fprintf(b, "%s\n", strings.TrimRight(line, " "))
	}
}

func printRunTimes(b *strings.Builder, a *predict.Prediction) {
	if a.Table.None != "" {
		fmt.Fprintf(b, "\n  Running time\n%s\n", wrap(a.Table.None+" State one with --load.", "    "))
	}
	for _, text := range a.Table.Refused {
		fmt.Fprintf(b, "\n%s\n", wrap(text, "  "))
	}
	for i, row := range a.Table.Cells {
		l := a.Table.Loads[i]
		for j, c := range row {
			fmt.Fprintf(b, "\n%s\n", wrap("Running time, "+l.Label+": "+loadWords(l), "  "))
			if c.Err != "" {
				fmt.Fprintf(b, "%s\n", wrap(c.Err, "    "))
				continue
			}
			var rows [][]string
			var never, checked, not []string
			add := func(name string, r *predict.EndPoint) {
				if r == nil {
					return
				}
				if words := a.CheckedWords(l, r.Level); j == 0 && words != predict.NotChecked {
					checked = append(checked, finding.Sentence(fmt.Sprintf("To %s, %s: %s", name, quantity.Brief(r.Volts), words)))
				} else if j == 0 {
					not = append(not, name)
				}
				if r.Err != "" {
					never = append(never, r.Err)
					return
				}
				rows = append(rows, []string{"to " + name + ", " + quantity.Brief(r.Volts), predict.TimeWords(r.Running), "left " + r.LeftWords(), "gave " + r.Energy.String()})
			}
			add(a.Table.EndsBy, c.Cutout)
			add("the conservative floor", &c.Conservative)
			add("the data sheet floor", &c.Datasheet)
			writeRows(b, rows)
			if len(not) > 0 {
				checked = append(checked, "Not checked, since no run came down to it: the time to "+strings.Join(not, ", to ")+".")
			}
			for _, text := range checked {
				fmt.Fprintf(b, "%s\n", wrap(text, "    "))
			}
			if end := c.End(); end.Err == "" {
				for _, m := range l.Others(end) {
					fmt.Fprintf(b, "%s\n", wrap(fmt.Sprintf("%s to %s: %s.", strings.TrimSuffix(finding.Sentence(m.Words), "."), a.Table.EndsBy, predict.TimeWords(m.Time)), "    "))
				}
				fmt.Fprintf(b, "%s\n", wrap(finding.Sentence(l.Counted()), "    "))
			}
			if at := c.Replayed.Clock; at > 0 && l.Duty < 0.99 {
				fmt.Fprintf(b, "%s\n", wrap(fmt.Sprintf("With the run's own stops and swings repeated, to %s: about %s on the clock.", a.Table.EndsBy, quantity.Clock(at, 60)), "    "))
			}
			for _, text := range never {
				fmt.Fprintf(b, "%s\n", wrap(text, "    "))
			}
		}
	}
}

func loadWords(l predict.Load) string {
	out := l.Words
	if l.Duty < 1 {
		out += fmt.Sprintf(" under load for %.0f %% of the time on the clock", 100*float64(l.Duty)) + l.RestWords()
	}
	out += ", at " + quantity.Brief(l.Ambient)
	if l.Assumed {
		out += " (assumed)"
	}
	return out
}

func printCharges(b *strings.Builder, a *predict.Prediction) {
	if len(a.Charges) == 0 {
		return
	}
	fmt.Fprintf(b, "\n  Charge time, from %.0f %%\n", 100*a.Charges[0].From)
	var rows [][]string
	var refused []string
	for _, c := range a.Charges {
		if c.Err != "" {
			refused = append(refused, quantity.Brief(c.Current)+", "+c.Label+": "+c.Err)
			continue
		}
		most := ""
		if c.Most.Known() {
			most = "to 80 % " + predict.TimeWords(c.Most)
		}
		rows = append(rows, []string{quantity.Brief(c.Current) + ", " + c.Label, most, "to full " + predict.TimeWords(c.Total),
			fmt.Sprintf("rule of thumb %s to %s", quantity.Clock(c.RuleLow, 60), quantity.Clock(c.RuleHigh, 60))})
	}
	writeRows(b, rows)
	for _, c := range a.Charges {
		if c.Own && c.Energy.Known() {
			fmt.Fprintf(b, "%s\n", wrap(fmt.Sprintf("With the charger of this version %s goes into the packs, %s from the wall.", c.Energy, c.Wall), "    "))
		}
	}
	for _, name := range []string{predict.ChargeToMost, predict.ChargeToFull, predict.ChargeIn, predict.ChargeAtWall} {
		if len(a.ChargesAt(name)) > 0 || name == predict.ChargeToFull {
			fmt.Fprintf(b, "%s\n", wrap(finding.Sentence("A charge, "+name+", is "+a.ChargeCheckedWords(name)), "    "))
		}
	}
	for _, text := range refused {
		fmt.Fprintf(b, "%s\n", wrap(text, "    "))
	}
}

func printLife(b *strings.Builder, a *predict.Prediction) {
	b.WriteString("\n  What use does to the packs\n")
	var rows [][]string
	for _, d := range a.Life.At {
		text := d.Err
		if text == "" {
			text = fmt.Sprintf("%.0f to %.0f cycles are typical", round2(float64(d.Low)), round2(float64(d.High)))
		}
		rows = append(rows, []string{fmt.Sprintf("%s, %.0f %% of the charge", d.Name, 100*d.Depth), text})
	}
	rows = append(rows, []string{"stored at", quantity.Brief(a.Life.Storage) + " at rest"})
	writeRows(b, rows)
}

// round2 keeps two significant digits.
func round2(x float64) float64 {
	if !(x > 0) {
		return x
	}
	scale := math.Pow(10, 1-math.Floor(math.Log10(x)))
	return math.Round(x*scale) / scale
}

func printMatters(b *strings.Builder, a *predict.Prediction) {
	t := a.Sensitivity
	if t == nil || t.Err != "" {
		return
	}
	fmt.Fprintf(b, "\n%s\n", wrap(fmt.Sprintf("What matters most for the running time to %s, %s: now %s", t.To, t.Label, quantity.Clock(t.Base, 60)), "  "))
	var rows [][]string
	side := func(v predict.ChangedInput) []string {
		switch {
		case v.Words == "":
			return []string{"", ""}
		case v.Err != "":
			return []string{v.Words, v.Err}
		}
		return []string{v.Words, quantity.Clock(v.Time, 60)}
	}
	for _, bar := range t.Inputs {
		rows = append(rows, append(append([]string{bar.Input}, side(bar.Low)...), side(bar.High)...))
	}
	writeRows(b, rows)
	if t.Next != nil {
		fmt.Fprintf(b, "%s\n", wrap(t.Next.Words, "    "))
	}
}

func printLessons(b *strings.Builder, a *predict.Prediction) {
	if len(a.Basis.Runs) == 0 {
		return
	}
	b.WriteString("\n  The runs\n")
	for _, l := range a.Basis.Runs {
		name := l.Run[strings.LastIndex(l.Run, "/")+1:]
		use, why := a.Use(l)
		text := fmt.Sprintf("%s: %s. %s", name, use, why)
		for _, c := range a.Validations {
			if c.Run != l.Run {
				continue
			}
			by := "what is typical"
			if len(c.CalibratedOn) > 0 {
				by = "the other runs"
			}
			text += fmt.Sprintf(" By %s its voltage was %.0f mV a cell off.", by, 1000*float64(c.Voltage))
			for _, level := range c.Checks {
				text += " " + finding.Sentence(fmt.Sprintf("To %s, %s: %s", level.Name, quantity.Brief(level.Volts), level.Words()))
			}
			if len(c.Checks) == 0 && c.Why == "" {
				text += fmt.Sprintf(" It came down to no voltage that an answer is given for; to where it ended, %s, it ran %s, by %s it would have been %s (%+.1f %%).", quantity.Brief(c.Ended), quantity.Clock(c.Measured, 1), by, predict.TimeWords(c.Predicted), 100*c.TimeError())
			} else if c.Why != "" {
				text += " " + c.Why
			}
		}
		fmt.Fprintf(b, "%s\n", wrap(text+chargeWords(a, l.Run), "    "))
	}
}

// chargeWords are how a run that was a charge stands against its prediction; "" for another.
func chargeWords(a *predict.Prediction, run string) string {
	c, ok := a.ChargeRun(run)
	if !ok {
		return ""
	}
	if c.Why != "" { // Use has said it
		return ""
	}
	by := "the packs alone"
	if c.By > 0 {
		by = "the packs and other charges"
	}
	text := " " + c.Start + " By " + by + ":"
	for k, l := range c.Levels {
		if k > 0 {
			text += ";"
		}
		text += " " + l.Name + ", " + l.Words()
	}
	return text + "."
}

// printPredictedJSON writes answers as JSON, with what was found.
func printPredictedJSON(w io.Writer, title string, changed []string, a *predict.Prediction, m moved, found []finding.Finding) error {
	inspection, err := inspectionJSON(found)
	if err != nil {
		return err
	}
	out := record.AnswerDocument{Head: record.HeadOf(record.AnswerKind), Of: title, Changed: changed, Prediction: record.OfPrediction(a), Inspection: inspection}
	if m.driven != nil {
		out.Drive = record.OfPerformance(m.driven)
	}
	if m.wired != nil {
		wiring := record.OfWiring(m.wired)
		out.Wiring = &wiring
	}
	return printJSON(w, out)
}
