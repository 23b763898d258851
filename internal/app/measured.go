package app

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
	"voltwright/internal/record"
	"voltwright/internal/runlog"
)

// printMeasured writes a result as a table that a person reads.
func printMeasured(w io.Writer, name string, r *runlog.Result) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n", name)
	if r.Dialect != "" {
		fmt.Fprintf(&b, "%s\n", wrap("read as: "+r.Dialect, "  "))
	}
	rows := r.Ledger()
	if rows == "" {
		rows = count(r.Rows, "sample")
	}
	fmt.Fprintf(&b, "%s\n", wrap(rows, "  "))
	if time := r.TimeLedger(); time != "" {
		fmt.Fprintf(&b, "%s\n", wrap(time, "  "))
	}
	b.WriteString("\n")
	printParts(&b, r)

	width := 0
	for _, f := range r.Figures() {
		width = max(width, utf8.RuneCountInString(f.Label))
	}
	for _, f := range r.Figures() {
		q, ok := f.Quantity.Get()
		if !ok {
			continue
		}
		fmt.Fprintf(&b, "  %s  %s\n", pad(f.Label, width), q.Rounded())
		for _, e := range f.Extra {
			fmt.Fprintf(&b, "  %s    %s: %s\n", pad("", width), e.Label, e.Quantity.Rounded())
		}
		if f.Note != "" {
			fmt.Fprintf(&b, "%s\n", wrap(f.Note, strings.Repeat(" ", width+6)))
		}
	}
	printStops(&b, r)
	printMissing(&b, r)
	b.WriteString("\n  ± is the expanded uncertainty, k = 2, about 95 %. `voltwright explain NAME` tells how a figure is made.\n")
	_, err := io.WriteString(w, b.String())
	return err
}

// printParts lists what a log of several flows consists of.
func printParts(b *strings.Builder, r *runlog.Result) {
	if !r.Several {
		return
	}
	fmt.Fprintf(b, "  The log holds %s; --part measures one\n", count(len(r.Parts), "part"))
	rows := [][]string{{"part", "from", "lasts", "rows", "Ah out", "Ah in", "Wh out", "Wh in", "V first", "V last", "V at rest before"}}
	for k := range r.Parts {
		p := &r.Parts[k]
		rows = append(rows, []string{p.Name, quantity.Clock(p.Start-r.Start, 1), quantity.Clock(p.Length, 1), fmt.Sprint(p.Rows),
			digits(float64(p.ChargeOut)), digits(float64(p.ChargeIn)), digits(float64(p.EnergyOut)), digits(float64(p.EnergyIn)),
			digits(float64(p.StartVoltage)), digits(float64(p.EndVoltage)), digits(float64(p.RestVoltage))})
	}
	widths := make([]int, len(rows[0]))
	for _, row := range rows {
		for k, cell := range row {
			widths[k] = max(widths[k], utf8.RuneCountInString(cell))
		}
	}
	for _, row := range rows {
		b.WriteString("   ")
		for k, cell := range row {
			if k == 0 {
				fmt.Fprintf(b, " %s", pad(cell, widths[k]))
				continue
			}
			fmt.Fprintf(b, "  %s", pad("", widths[k]-utf8.RuneCountInString(cell))+cell)
		}
		b.WriteString("\n")
	}
	b.WriteString("\n  The whole log\n")
}

// digits prints a value of a list without its uncertainty: five digits, a dash where it is not known or nothing.
func digits(x float64) string {
	if x == 0 || math.IsNaN(x) {
		return "–"
	}
	return strconv.FormatFloat(x, 'g', 5, 64)
}

// printMissing lists what the log does not give, by reason: one reason often
// takes several figures away.
func printMissing(b *strings.Builder, r *runlog.Result) {
	var reasons []string
	labels := map[string][]string{}
	for _, f := range r.Figures() {
		if f.Quantity.Known() {
			continue
		}
		why := f.Quantity.Why()
		if labels[why] == nil {
			reasons = append(reasons, why)
		}
		labels[why] = append(labels[why], strings.ToLower(f.Label[:1])+f.Label[1:])
	}
	for i, reason := range reasons {
		if i == 0 {
			b.WriteString("\n  Not given by this log\n")
		}
		fmt.Fprintf(b, "%s\n", wrap(strings.TrimSuffix(reason, ".")+": no "+list(labels[reason], "or")+".", "    "))
	}
}

func printStops(b *strings.Builder, r *runlog.Result) {
	if r.StopCount == 0 {
		return
	}
	const shown = 12
	fmt.Fprintf(b, "\n  Stops: %d\n", r.StopCount)
	for i, s := range r.Stops {
		if i == shown {
			fmt.Fprintf(b, "    and %d more\n", r.StopCount-shown)
			break
		}
		verdict := "stays in"
		if s.TakenOut {
			verdict = "taken out"
		}
		fmt.Fprintf(b, "    at %s for %s, %s\n", quantity.Clock(s.Start-r.Start, 1), quantity.Clock(s.Length, 0.1), verdict)
	}
}

func pad(text string, width int) string {
	return text + strings.Repeat(" ", max(0, width-utf8.RuneCountInString(text)))
}

func wrap(text, indent string) string {
	const width = 96
	var out []string
	row := indent
	for word := range strings.FieldsSeq(text) {
		if utf8.RuneCountInString(row)+1+utf8.RuneCountInString(word) > width && row != indent {
			out = append(out, row)
			row = indent
		}
		if row != indent {
			row += " "
		}
		row += word
	}
	return strings.Join(append(out, row), "\n")
}

// printMeasuredJSON writes a result as JSON, with what the reader found.
func printMeasuredJSON(w io.Writer, name string, r *runlog.Result, found []finding.Finding) error {
	inspection, err := inspectionJSON(found)
	if err != nil {
		return err
	}
	return printJSON(w, record.MeasurementDocument{Head: record.HeadOf(record.MeasurementKind), Log: name, Run: record.OfRun(r), Inspection: inspection})
}

// inspectionJSON is what inspect --format json prints, to stand in another answer.
func inspectionJSON(found []finding.Finding) (json.RawMessage, error) {
	var b bytes.Buffer
	err := finding.PrintJSON(&b, found)
	return b.Bytes(), err
}

// printJSON writes an answer as a command prints it.
func printJSON(w io.Writer, answer any) error {
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	return enc.Encode(answer)
}
