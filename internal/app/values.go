package app

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"voltwright/internal/journal"
	"voltwright/internal/record"
	"voltwright/internal/value"
)

func newValues() *cobra.Command {
	format, dir := "table", defaultJournal
	var kept func() means
	c := &cobra.Command{
		Use:   "values [PLACE] [options]",
		Short: "List every value that a sentence can be bound to, with what it is now",
		Long: `Values lists what a sentence can be bound to by value:NAME, with what it is now and
whether it is measured, computed or quoted. PLACE is a version or a run as
VEHICLE/VERSION or VEHICLE/VERSION/RUN, or a vehicle; without one the values of the
journal as a whole are listed. The names are written as in a note of that place;
elsewhere PLACE/ stands before them.`,
		Example: "  voltwright values shunter/3-second-pack\n  voltwright values barrow/2-larger-pack/field-2026-05-09 --format json",
		Args:    atMostOne("place"),
		RunE: func(c *cobra.Command, args []string) error {
			if err := oneOf("format", format, "table", "json"); err != nil {
				return err
			}
			return listValues(c.OutOrStdout(), kept(), dir, strings.Join(args, ""), format)
		},
		ValidArgsFunction: func(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
			if len(args) > 0 {
				return nil, cobra.ShellCompDirectiveNoFileComp
			}
			return placesOf(dir), cobra.ShellCompDirectiveNoFileComp
		},
	}
	c.Flags().StringVar(&dir, "journal", dir, "`FOLDER` of the journal")
	kept = keeping(c)
	c.Flags().StringVar(&format, "format", format, "`FORM` of the list: table or json")
	_ = c.MarkFlagDirname("journal")
	_ = c.RegisterFlagCompletionFunc("format", cobra.FixedCompletions([]string{"table", "json"}, cobra.ShellCompDirectiveNoFileComp))
	return c
}

func addressOf(p journal.Place) string { return strings.TrimSuffix(p.Address(), "/") }

func titleOf(p journal.Place) string {
	switch {
	case p.Run != nil:
		return p.Run.Name.Text
	case p.Version != nil:
		return p.Version.Name.Text
	default:
		return p.Vehicle.Name.Text
	}
}

func listValues(w io.Writer, m means, dir, place, format string) error {
	in, err := readJournal(dir, m)
	if err != nil {
		return err
	}
	defer in.close()
	var known []string
	at, ok := journal.Place{}, place == ""
	for _, p := range in.journal.Places() {
		if p.Vehicle == nil {
			continue
		}
		known = append(known, addressOf(p))
		if addressOf(p) == strings.Trim(place, "/") {
			at, ok = p, true
		}
	}
	if !ok {
		return usage("the journal has no version, run or vehicle `%s`%s", place, didYouMean(place, known))
	}
	compute(in)
	values := in.values.At(at)
	if format == "json" {
		return valuesJSON(w, at, values)
	}
	tw := tabwriter.NewWriter(w, 0, 4, 2, ' ', 0)
	for _, v := range values {
		said, kind := v.Words(), string(v.Kind)
		if !v.Known() {
			said, kind = "none: "+v.Why(), ""
		}
		fmt.Fprintf(tw, "%s\t%s\t%s\t%s\n", v.Name, clip(said), kind, clip(v.Label))
	}
	if err := tw.Flush(); err != nil {
		return unreached(err)
	}
	return nil
}

// clip keeps a text of the table on one line of a terminal.
func clip(text string) string {
	const most = 60
	if r := []rune(text); len(r) > most {
		return string(r[:most-1]) + "…"
	}
	return text
}

func valuesJSON(w io.Writer, at journal.Place, values []value.Value) error {
	out := record.ValuesDocument{Head: record.HeadOf(record.ValuesKind), Place: addressOf(at), Values: []record.Value{}}
	for _, v := range values {
		r := record.Value{Name: v.Name, Target: v.Where(), Label: v.Label, Kind: string(v.Kind), Form: string(v.Form), Currency: v.Currency, Missing: v.Why()}
		if v.Known() {
			r.Words = v.Words()
			if q, ok := v.Quantity.Get(); ok {
				r.Number, r.U, r.Unit = finite(q.Value), finite(q.U), q.Dimension.BaseUnit()
			}
		}
		out.Values = append(out.Values, r)
	}
	return printJSON(w, out)
}

// finite gives a number for JSON, which has none for what is not known.
func finite(x float64) *float64 {
	if x-x != 0 {
		return nil
	}
	return &x
}
