package app

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"voltwright/internal/archive"
	"voltwright/internal/battery"
	"voltwright/internal/circuit"
	"voltwright/internal/compare"
	"voltwright/internal/drive"
	"voltwright/internal/drivetrain"
	"voltwright/internal/evidence"
	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/predict"
	"voltwright/internal/runlog"
	"voltwright/internal/safety"
	"voltwright/internal/site"
)

// docs lists the documentation of every rule, formula and front-matter key,
// each kind sorted by name. The site's method page is made from the same list.
func docs() []finding.Doc {
	all := slices.Concat(
		ownDocs(), notes.Docs(), journal.Docs(), journal.Keys(), runlog.Docs(), battery.Docs(), circuit.Docs(), drive.Docs(), predict.Docs(), drivetrain.Docs(), compare.Docs(), safety.Docs(), evidence.Docs(), site.Docs(), archive.Docs(),
	)
	slices.SortStableFunc(all, func(a, b finding.Doc) int {
		if d := kindOrder(a.Kind) - kindOrder(b.Kind); d != 0 {
			return d
		}
		if a.Name < b.Name {
			return -1
		}
		if a.Name > b.Name {
			return 1
		}
		return 0
	})
	return all
}

func kindOrder(k finding.Kind) int {
	return slices.Index([]finding.Kind{finding.RuleDoc, finding.FormulaDoc, finding.KeyDoc}, k)
}

func newExplain() *cobra.Command {
	return &cobra.Command{
		Use:   "explain [NAME | WORDS]",
		Short: "Explain a rule, a formula or a front-matter key",
		Long: `Explain prints what a rule, a formula or a front-matter key is about, why, and
where it comes from. By other words it lists what speaks of them, and without any
all there are.`,
		Example: "  voltwright explain reset-margin\n  voltwright explain packs.capacity\n  voltwright explain thin leads",
		ValidArgsFunction: func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			var names []string
			for _, d := range docs() {
				names = append(names, d.Name+"\t"+d.Title)
			}
			return names, cobra.ShellCompDirectiveNoFileComp
		},
		RunE: func(c *cobra.Command, args []string) error {
			if len(args) == 0 {
				return listDocs(c.OutOrStdout())
			}
			return explain(c.OutOrStdout(), c.ErrOrStderr(), args)
		},
	}
}

func explain(w, stderr io.Writer, words []string) error {
	var names []string
	found := false
	name, all := strings.Join(words, " "), docs()
	for _, d := range all {
		names = append(names, d.Name)
		if d.Name != name && (d.Former == "" || d.Former != name) {
			continue
		}
		if d.Name != name {
			fmt.Fprintf(stderr, "`%s` is now `%s`.\n", name, d.Name)
		}
		if found {
			fmt.Fprintln(w)
		}
		found = true
		if err := d.Print(w); err != nil {
			return unreached(err)
		}
		if d.Kind == finding.KeyDoc {
			if err := listHeld(w, all, d.Name); err != nil {
				return err
			}
		}
	}
	if !found {
		near := didYouMean(name, names)
		if len(words) > 1 || near == "" || !strings.ContainsAny(name, "-.") { // else it is a name with a slip in it
			if some, err := listSpoken(w, words, near); some {
				return err
			}
		}
		return usage("nothing here is called `%s`%s", name, near)
	}
	return nil
}

func listDocs(w io.Writer) error {
	headings := map[finding.Kind]string{
		finding.RuleDoc:    "Rules: what inspection looks for",
		finding.FormulaDoc: "Formulas: how a figure is computed",
		finding.KeyDoc:     "Keys: what front matter may hold",
	}
	tw := tabwriter.NewWriter(w, 0, 4, 2, ' ', 0)
	var last finding.Kind
	for _, d := range docs() {
		if d.Kind != last {
			if last != "" {
				fmt.Fprintln(tw)
			}
			fmt.Fprintln(tw, headings[d.Kind])
			last = d.Kind
		}
		fmt.Fprintf(tw, "  %s\t%s\n", d.Name, d.Title)
	}
	if err := tw.Flush(); err != nil {
		return unreached(err)
	}
	return nil
}

// atMostOne allows one argument, called what in the refusal.
func atMostOne(what string) cobra.PositionalArgs {
	return func(_ *cobra.Command, args []string) error {
		if len(args) > 1 {
			return usage("one %s at a time: `%s` is one too many", what, args[1])
		}
		return nil
	}
}
