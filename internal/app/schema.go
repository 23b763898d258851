package app

import (
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"voltwright/internal/schema"
)

func newSchema() *cobra.Command {
	results := false
	c := &cobra.Command{
		Use:   "schema [KIND]",
		Short: "Print a JSON Schema of the front matter, for editors",
		Long: `Schema prints a JSON Schema (draft 2020-12) of what a note's front matter may hold:
its keys with their texts and examples, their words, and how values with units are
written. An editor that understands JSON Schema for YAML completes keys by it and
marks slips while you write.

The schema describes the YAML between the two --- lines of a note, and journal.yaml,
which is YAML from end to end; it says nothing of the Markdown below. Without KIND it
is one schema for all, which goes by the key kind. KIND is one of
` + strings.Join(schema.Kinds(), ", ") + `.

With --results it is the schema of what is handed on as JSON instead: the records beside the
pages of a site and in bags, and what measure, predict and values print.

It marks nothing that inspect lets pass, if the editor reads YAML 1.2. It cannot see
what inspect sees: names that lead nowhere, values that cannot be, keys written twice.`,
		Example: "  voltwright schema > front-matter.schema.json\n  voltwright schema journal > journal.schema.json\n  voltwright schema --results > results.schema.json",
		Args:    atMostOne("kind"),
		ValidArgsFunction: func(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
			if len(args) > 0 {
				return nil, cobra.ShellCompDirectiveNoFileComp
			}
			return schema.Kinds(), cobra.ShellCompDirectiveNoFileComp
		},
		RunE: func(c *cobra.Command, args []string) error {
			text, err := schemaOf(strings.Join(args, ""), results)
			if err != nil {
				return err
			}
			if _, err := c.OutOrStdout().Write(text); err != nil {
				return unreached(err)
			}
			return nil
		},
	}
	c.Flags().BoolVar(&results, "results", false, "print the schema of results handed on as JSON")
	return c
}

func schemaOf(kind string, results bool) ([]byte, error) {
	switch {
	case results && kind != "":
		return nil, usage("--results is of no kind of note; leave `%s` out", kind)
	case results:
		return schema.Results()
	}
	if kind == "" {
		return schema.All()
	}
	if kinds := schema.Kinds(); !slices.Contains(kinds, kind) {
		near := didYouMean(kind, kinds)
		if near == "" {
			near = "; there are " + list(kinds, "and")
		}
		return nil, usage("there is no kind of note `%s`%s", kind, near)
	}
	return schema.For(kind)
}
