package app

import (
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"voltwright/internal/evidence"
	"voltwright/internal/finding"
	"voltwright/internal/progress"
)

// defaultJournal is the folder that inspect and publish read if none is named.
const defaultJournal = "content"

func newInspect() *cobra.Command {
	i := inspection{format: "lines"}
	var kept func() means
	var all bool
	c := &cobra.Command{
		Use:   "inspect [JOURNAL] [options]",
		Short: "Read and compute a journal and say what is wrong with it; writes nothing",
		Long: `Inspect reads a journal, measures its logs, and prints what it finds, one finding
a line: file:line:column: level: text [rule]. The pages are laid out in memory, so
that it finds all that publish would; it writes nothing. With --outgoing it lists what
publish would put online instead, made by the code that publishes.

On a terminal the most urgent findings are printed, in twenty lines at most, those of
one cause together; --all prints every one, in the order of the files. To a file or
another program all of them go in any case. Where one more run would tell a running time
of the version that stands for a vehicle much more closely, a line says which.

Lines and JSON name files from the journal's folder, so that they are the same wherever
it is inspected: an editor that opens what it reads there runs inspect in that folder.
SARIF names them from where the command runs.
JOURNAL is the folder that holds journal.yaml; content/ if none is named.`,
		Example: "  voltwright inspect\n  voltwright inspect --format json ~/club/journal\n  voltwright inspect --outgoing",
		Args:    atMostOne("journal"),
		RunE: func(c *cobra.Command, args []string) error {
			if err := oneOf("format", i.format, formats...); err != nil {
				return err
			}
			if i.outgoing && i.format == "sarif" {
				return usage("--outgoing prints lines or json: SARIF is a form of findings")
			}
			if i.writtenOut != "" && (i.outgoing || i.unbound || i.format != "lines") {
				return usage("--written-out prints a front matter, and takes no other option")
			}
			i.dir, i.brief = journalArg(args), !all && i.format == "lines" && toTerminal(c.OutOrStdout())
			return i.inspect(c.OutOrStdout(), kept())
		},
		ValidArgsFunction: completeFolder,
	}
	kept = keeping(c)
	c.Flags().StringVar(&i.format, "format", i.format, "`FORM` in which findings are printed: lines, json, or sarif (OASIS SARIF 2.1.0)")
	c.Flags().BoolVar(&all, "all", false, "print every finding on a terminal as well")
	c.Flags().BoolVar(&i.unbound, "unbound", false, "list the sentences as well that carry a number with a unit and rest on nothing")
	c.Flags().BoolVar(&i.outgoing, "outgoing", false, "instead of findings, list each file that would go online, what is taken out of it, and which would not go and why")
	c.Flags().StringVar(&i.writtenOut, "written-out", "", "instead of findings, print the front matter of `VEHICLE/VERSION` in full: with what it takes over, and its paths as leads")
	_ = c.RegisterFlagCompletionFunc("format", cobra.FixedCompletions(formats, cobra.ShellCompDirectiveNoFileComp))
	return c
}

// inspection is what inspect was asked for.
type inspection struct {
	dir, format       string
	unbound, outgoing bool
	brief             bool // the most urgent findings alone
	writtenOut        string
}

// answered is what an inspection said, kept for all that it rests on.
type answered struct {
	Printed string
	Errors  bool // it found errors
}

func (i inspection) inspect(stdout io.Writer, m means) error {
	m.told().Begin(progress.Reading, 0)
	folder, err := openJournal(i.dir)
	if err != nil {
		return err
	}
	defer func() { _ = folder.Close() }() // it was only read
	if i.writtenOut != "" {
		return printWrittenOut(stdout, folder, i.writtenOut)
	}
	defer remember(folder, i.dir, m).Keep()
	key, answer := stateKey(folder, m).Of("inspected").With(i), answered{}
	if !m.store.Get(key, &answer) {
		in := readOnline(i.dir, folder, m)
		answer.Printed, err = i.answer(in, m)
		if answer.Errors = errors.Is(err, foundErrors); err != nil && !answer.Errors {
			return err
		}
		if folder.StateHeld() {
			m.store.Put(key, answer)
		}
	}
	if _, err := io.WriteString(stdout, answer.Printed); err != nil {
		return unreached(err)
	}
	if answer.Errors {
		return foundErrors
	}
	return nil
}

// answer is what is printed of a journal; the error is foundErrors where inspection found some.
func (i inspection) answer(in *inspected, m means) (string, error) {
	pages, err := layOut(in)
	if err != nil {
		return "", unreached(err)
	}
	if err := in.folder.Changed(); err != nil {
		return "", unreached(err)
	}
	var b strings.Builder
	if i.outgoing {
		err = listOutgoing(&b, in, pages, i.format)
	} else {
		if i.unbound {
			in.findings.Add(evidence.Unbound(in.journal)...)
		}
		if err := in.addHeld(m); err != nil {
			return "", unreached(err)
		}
		err = report(&b, in, i.format, i.brief)
	}
	return b.String(), err
}

// briefLines are the most lines of findings that a terminal is shown unasked: with the last line and the prompt they fit the
// twenty-four that a terminal has at the least.
const briefLines = 20

var formats = []string{"lines", "json", "sarif"}

func journalArg(args []string) string {
	if len(args) == 0 {
		return defaultJournal
	}
	return args[0]
}

func completeFolder(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
	if len(args) > 0 {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	return nil, cobra.ShellCompDirectiveFilterDirs
}

// report prints all findings and ends with what was inspected.
func report(w io.Writer, in *inspected, format string, brief bool) error {
	found := in.findings.Sorted()
	var err error
	switch {
	case format == "json":
		err = finding.PrintJSON(w, found)
	case format == "sarif":
		err = finding.PrintSARIF(w, Version, slashed(in.dir), found, docs())
	case brief:
		more := oneMoreRun(in, true)
		var left int
		if left, err = finding.PrintBrief(w, found, briefLines-strings.Count(more, "\n")); err == nil && left > 0 {
			_, err = fmt.Fprintf(w, "%s more: --all prints them.\n", count(left, "finding"))
		}
		if err == nil {
			_, err = fmt.Fprintln(w, openCallouts(in)+more+summary(in))
		}
	default:
		if err = finding.PrintLines(w, found); err == nil {
			_, err = fmt.Fprintln(w, openCallouts(in)+oneMoreRun(in, false)+summary(in))
		}
	}
	if err != nil {
		return unreached(err)
	}
	if in.findings.Count(finding.Error) > 0 {
		return foundErrors
	}
	return nil
}

// slashed is a folder as the command was given it, as it stands in an address of a file.
func slashed(dir string) string {
	slashes := filepath.ToSlash(dir)
	if filepath.IsAbs(dir) && !strings.HasPrefix(slashes, "/") { // a letter of a drive
		slashes = "/" + slashes
	}
	return slashes
}

// openCallouts lists, a line for each signal word, the versions and notes with a
// DANGER or a WARNING that is not answered: what the maker has to see to first.
func openCallouts(in *inspected) string {
	var b strings.Builder
	for _, signal := range []finding.Signal{finding.Danger, finding.SignalWarning} {
		var at []string
		for _, f := range in.findings.Sorted() {
			if f.Signal != signal || !f.Open() {
				continue
			}
			name := f.Span.File()
			if place, ok := in.journal.PlaceOf(name); ok && place.Version != nil {
				name = place.Version.Path()
			}
			at = append(at, name)
		}
		if len(at) == 0 {
			continue
		}
		total := len(at)
		slices.Sort(at)
		fmt.Fprintf(&b, "Open %s: %d, in %s.\n", signal, total, strings.Join(slices.Compact(at), ", "))
	}
	return b.String()
}

// summary says in one line what was inspected and what came of it.
func summary(in *inspected) string {
	versions := 0
	for _, v := range in.journal.Vehicles {
		versions += len(v.Versions)
	}
	return fmt.Sprintf("Inspected %s, %s, %s: %s.%s",
		count(len(in.journal.Vehicles), "vehicle"), count(versions, "version"), count(len(in.journal.Runs()), "run"), verdict(&in.findings), in.heldCount())
}

// verdict counts the findings by level in words.
func verdict(l *finding.List) string {
	errors, warnings, notes := l.Count(finding.Error), l.Count(finding.Warning), l.Count(finding.Note)
	if errors+warnings+notes == 0 {
		return "nothing to mend"
	}
	return fmt.Sprintf("%s, %s, %s", count(errors, "error"), count(warnings, "warning"), count(notes, "note"))
}
