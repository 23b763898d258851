package app

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
	"voltwright/internal/runlog"
)

// printMeasured writes a result as a table that a person reads.
func printMeasured(w io.Writer, name string, r *runlog.Result) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n", name)
	if r.Dialect != "" {
		fmt.Fprintf(&b, "%s\n", wrap("read as: "+r.Dialect, "  "))
	}
	rows := count(r.Rows, "sample")
	if r.Skipped > 0 {
		rows += fmt.Sprintf(", %d left out", r.Skipped)
	}
	fmt.Fprintf(&b, "  %s\n\n", rows)

	width := 0
	for _, f := range r.Figures() {
		width = max(width, utf8.RuneCountInString(f.Label))
	}
	for _, f := range r.Figures() {
		if f.Missing != "" {
			continue
		}
		fmt.Fprintf(&b, "  %s  %s\n", pad(f.Label, width), f.Quantity.Rounded())
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

// printMissing lists what the log does not give, by reason: one reason often
// takes several figures away.
func printMissing(b *strings.Builder, r *runlog.Result) {
	var reasons []string
	labels := map[string][]string{}
	for _, f := range r.Figures() {
		if f.Missing == "" {
			continue
		}
		if labels[f.Missing] == nil {
			reasons = append(reasons, f.Missing)
		}
		labels[f.Missing] = append(labels[f.Missing], strings.ToLower(f.Label[:1])+f.Label[1:])
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
	return printJSON(w, struct {
		Log string `json:"log"`
		runlog.Record
		Inspection json.RawMessage `json:"inspection"`
	}{name, r.Record(), inspection})
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
