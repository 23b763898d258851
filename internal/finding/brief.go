package finding

import (
	"bufio"
	"fmt"
	"io"
	"slices"
	"strings"
)

// PrintBrief writes what a maker sees to first, in at most so many lines: errors, then what concerns safety and is not answered,
// then the rest, each level in the order of the places. Findings of one cause, those of one rule with one remedy, stand together
// above that remedy. It gives how many findings it left out. While there are errors, notes are left out in any case: most of them
// only say what cannot be told until the errors are mended. The error is the writer's.
func PrintBrief(w io.Writer, findings []Finding, lines int) (left int, err error) {
	b := bufio.NewWriter(w)
	line := strings.NewReplacer("\n", `\n`, "\r", `\r`).Replace
	broken := slices.ContainsFunc(findings, func(f Finding) bool { return f.Level == Error })
	for _, cause := range causes(findings) {
		needed := len(cause)
		if cause[0].Remedy != "" {
			needed++
		}
		if broken && cause[0].Level == Note || lines < min(needed, 2) {
			left += len(cause)
			continue
		}
		shown := cause[:min(len(cause), lines-needed+len(cause))]
		for _, f := range shown {
			fmt.Fprintf(b, "%s%s: %s%s [%s]\n", line(f.Span.Position().String()), f.Level, f.Signal.lead(), line(f.Text), f.Rule)
		}
		if cause[0].Remedy != "" {
			fmt.Fprintf(b, "    remedy: %s\n", line(cause[0].Remedy))
		}
		lines -= needed - len(cause) + len(shown)
		left += len(cause) - len(shown)
	}
	return left, b.Flush()
}

// causes are the findings by their causes, the most urgent first.
func causes(findings []Finding) [][]Finding {
	type cause struct {
		rule, remedy string
		level        Level
		open         bool
	}
	var order []cause
	of := map[cause][]Finding{}
	for _, f := range findings {
		c := cause{f.Rule, f.Remedy, f.Level, f.Open()}
		if of[c] == nil {
			order = append(order, c)
		}
		of[c] = append(of[c], f)
	}
	urgency := func(c cause) int {
		u := 2 * int(c.level)
		if c.open {
			u++
		}
		return -u
	}
	slices.SortStableFunc(order, func(a, b cause) int { return urgency(a) - urgency(b) })
	var out [][]Finding
	for _, c := range order {
		out = append(out, of[c])
	}
	return out
}
