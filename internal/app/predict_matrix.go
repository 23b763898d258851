package app

import (
	"fmt"
	"io"
	"path"
	"strings"

	"github.com/spf13/cobra"

	"voltwright/internal/finding"
	"voltwright/internal/predict"
	"voltwright/internal/quantity"
	"voltwright/internal/record"
)

// tryAll prints how every choice of runs that teach does on the others.
func (f *predictFlags) tryAll(c *cobra.Command, args []string) error {
	for _, other := range []string{"taught-by", "load", "like", "share", "duty", "payload", "temperature"} {
		if c.Flags().Changed(other) {
			return usage("--matrix holds every choice of runs against the runs as they were; --%s asks for something else", other)
		}
	}
	var found finding.List
	s, version, done, err := f.measured(args, &found)
	if err != nil {
		return err
	}
	if version == nil { // the findings are the answer
		return tell(c.ErrOrStderr(), &found)
	}
	defer done()
	title, m := version.Path()+": "+version.Name.Text, s.Matrix(version)
	if f.format == "json" {
		inspection, err := inspectionJSON(found.Sorted())
		if err != nil {
			return err
		}
		if err := printJSON(c.OutOrStdout(), record.OfMatrix(title, f.set, m, inspection)); err != nil {
			return unreached(err)
		}
		if found.Count(finding.Error) > 0 {
			return foundErrors
		}
		return nil
	}
	if err := printMatrix(c.OutOrStdout(), title, f.set, m); err != nil {
		return unreached(err)
	}
	return tell(c.ErrOrStderr(), &found)
}

// printMatrix writes the choices as a table that a person reads.
func printMatrix(w io.Writer, title string, changed []string, m *predict.Matrix) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n", title)
	for _, c := range changed {
		fmt.Fprintf(&b, "%s\n", wrap("with "+c, "  "))
	}
	if m.Why != "" {
		fmt.Fprintf(&b, "%s\n", wrap(m.Why, "  "))
		_, err := io.WriteString(w, b.String())
		return err
	}
	fmt.Fprintf(&b, "%s\n\n", wrap(fmt.Sprintf("Running time to %s, %s, of each run by what others teach", m.Name, quantity.Brief(m.Volts)), "  "))
	rows := [][]string{{"taught by", "checked on", "predicted", "measured", "difference", "interval"}}
	before, inside, timed := "", 0, 0
	for _, c := range m.Checks {
		by := taughtBy(c)
		shown := by
		if by == before {
			shown = ""
		}
		before = by
		row := []string{shown, path.Base(c.Run)}
		l, ok := m.CheckAt(c)
		switch {
		case !ok && len(c.MeasuredTrace.T) == 0:
			row = append(row, "", "", "", c.Why)
		case !ok:
			row = append(row, "", "", "", "did not come down to it")
		case !l.Predicted.Known():
			timed++
			row = append(row, "none", quantity.Clock(l.Measured, 1), "", l.Verdict())
		default:
			timed++
			row = append(row, predict.TimeWords(l.Predicted), quantity.Clock(l.Measured, 1), fmt.Sprintf("%+.1f %%", 100*l.TimeError()), l.Verdict())
		}
		if ok && l.Inside() {
			inside++
		}
		rows = append(rows, row)
	}
	writeRows(&b, rows)
	sum := "None came down to it, so the running time is not checked."
	if timed > 0 {
		sum = fmt.Sprintf("%d of %d inside the interval, k = 2.", inside, timed)
	}
	if timed > 1 {
		sum += " They are not independent: the same runs teach and are checked again and again."
	}
	fmt.Fprintf(&b, "\n%s\n", wrap(sum, "  "))
	if m.Left > 0 {
		fmt.Fprintf(&b, "%s\n", wrap(fmt.Sprintf("Of the runs that can teach the newest were tried; %d older ones were not.", m.Left), "  "))
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// taughtBy names the runs that an estimate had seen.
func taughtBy(c predict.Validation) string {
	if len(c.CalibratedOn) == 0 {
		return "what is typical"
	}
	var names []string
	for _, run := range c.CalibratedOn {
		names = append(names, path.Base(run))
	}
	return strings.Join(names, ", ")
}
