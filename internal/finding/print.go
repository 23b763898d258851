package finding

import (
	"bufio"
	"encoding/json"
	"fmt"
	"io"
	"strings"
)

// PrintLines writes the findings one a line in the form of the GNU coding
// standards, `file:line:column: level: text [rule]`, each followed by its
// related places and its remedy, indented. The error is the writer's.
func PrintLines(w io.Writer, findings []Finding) error {
	b := bufio.NewWriter(w)
	line := strings.NewReplacer("\n", `\n`, "\r", `\r`).Replace // a name may hold an end of a line
	for _, f := range findings {
		fmt.Fprintf(b, "%s%s: %s%s [%s]\n", line(f.Span.Position().String()), f.Level, f.Signal.lead(), line(f.Text), f.Rule)
		for _, r := range f.Related {
			fmt.Fprintf(b, "    %s%s\n", line(r.Span.Position().String()), line(r.Text))
		}
		if f.Remedy != "" {
			fmt.Fprintf(b, "    remedy: %s\n", line(f.Remedy))
		}
		if f.Numbers != "" {
			fmt.Fprintf(b, "    numbers: %s\n", line(f.Numbers))
		}
		if f.Answer != nil {
			fmt.Fprintf(b, "    answered: %s\n", line(f.Answer.Reason))
		}
	}
	return b.Flush()
}

// lead is the signal word before a callout's text, "" for a finding that is none.
func (s Signal) lead() string {
	if s == "" {
		return ""
	}
	return string(s) + ": "
}

// String gives `file:line:column: `, with what is known of it, or "".
func (p Position) String() string {
	switch {
	case p.File == "":
		return ""
	case p.Line == 0:
		return p.File + ": "
	default:
		return fmt.Sprintf("%s:%d:%d: ", p.File, p.Line, p.Column)
	}
}

type jsonFinding struct {
	Rule    string        `json:"rule"`
	Level   Level         `json:"level"`
	Signal  Signal        `json:"signal,omitempty"`
	Place   Position      `json:"place"`
	Text    string        `json:"text"`
	Remedy  string        `json:"remedy,omitempty"`
	Related []jsonRelated `json:"related,omitempty"`
	Gauge   *jsonGauge    `json:"gauge,omitempty"`
	Numbers string        `json:"numbers,omitempty"`
	Answer  string        `json:"answer,omitempty"`
	Lacks   bool          `json:"notJudged,omitempty"`
}

type jsonGauge struct {
	What   string  `json:"what"`
	Value  float64 `json:"value"`
	Limit  float64 `json:"limit"`
	Least  bool    `json:"limitIsLeast"`
	Words  string  `json:"words"`
	Source string  `json:"source,omitempty"`
}

type jsonRelated struct {
	Place Position `json:"place"`
	Text  string   `json:"text"`
}

// PrintJSON writes one object with the findings and their counts by level. The error is the writer's.
func PrintJSON(w io.Writer, findings []Finding) error {
	out := struct {
		Findings []jsonFinding `json:"findings"`
		Errors   int           `json:"errors"`
		Warnings int           `json:"warnings"`
		Notes    int           `json:"notes"`
	}{Findings: []jsonFinding{}}
	for _, f := range findings {
		j := jsonFinding{Rule: f.Rule, Level: f.Level, Place: f.Span.Position(), Text: f.Text, Remedy: f.Remedy, Signal: f.Signal, Numbers: f.Numbers, Lacks: f.Unjudged}
		if g := f.Gauge; g != nil {
			j.Gauge = &jsonGauge{g.What, g.Value, g.Limit, g.Least, g.String(), g.Source}
		}
		if f.Answer != nil {
			j.Answer = f.Answer.Reason
		}
		for _, r := range f.Related {
			j.Related = append(j.Related, jsonRelated{r.Span.Position(), r.Text})
		}
		out.Findings = append(out.Findings, j)
		switch f.Level {
		case Error:
			out.Errors++
		case Warning:
			out.Warnings++
		default:
			out.Notes++
		}
	}
	return encode(w, out)
}

func encode(w io.Writer, v any) error {
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	return enc.Encode(v)
}
