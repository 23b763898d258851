package app

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"runtime/debug"
	"strings"

	"github.com/spf13/cobra"

	"voltwright/internal/archive"
	"voltwright/internal/finding"
	"voltwright/internal/progress"
	"voltwright/internal/site"
	"voltwright/internal/whole"
)

// archiveFlags are the options of archive as they are written.
type archiveFlags struct {
	dir, to, verify, format string
	means                   func() means
}

func newArchive() *cobra.Command {
	f := &archiveFlags{dir: defaultJournal, format: "lines"}
	c := &cobra.Command{
		Use:   "archive VEHICLE/VERSION [options]",
		Short: "Write a version as a bag that is kept, or check one",
		Long: `Archive writes a version as a bag (RFC 8493): a folder with its notes, its logs as
they are published, its pages and those of its runs, which open from disk, and its results as JSON and as
tables, with checksums of all of it. The same journal makes the same bytes. An error
that stops a publish stops an archive, and nothing is written over.

With --verify it checks a bag, whoever made it, and names each file that is missing,
altered or not listed; the exit status is 1 then.`,
		Example: `  voltwright archive shunter/2-lifepo4
  voltwright archive shunter/2-lifepo4 --to ~/kept/shunter-2
  voltwright archive --verify ~/kept/shunter-2`,
		Args: atMostOne("version"),
		ValidArgsFunction: func(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
			if len(args) > 0 {
				return nil, cobra.ShellCompDirectiveNoFileComp
			}
			return versionsOf(f.dir), cobra.ShellCompDirectiveNoFileComp
		},
		RunE: func(c *cobra.Command, args []string) error {
			if err := oneOf("format", f.format, formats...); err != nil {
				return err
			}
			if c.Flags().Changed("verify") {
				if len(args) > 0 || f.to != "" {
					return usage("--verify takes the folder of a bag, and no version beside it")
				}
				return f.check(c.OutOrStdout(), lineOf(c).report())
			}
			if len(args) == 0 {
				return usage("name a version, such as shunter/2-lifepo4")
			}
			return f.write(c.OutOrStdout(), c.ErrOrStderr(), args)
		},
	}
	fl := c.Flags()
	fl.SortFlags = false
	f.means = keeping(c)
	fl.StringVar(&f.dir, "journal", f.dir, "`FOLDER` of the journal")
	fl.StringVar(&f.to, "to", "", "`FOLDER` to write the bag to; VEHICLE-VERSION-bag if none is named")
	fl.StringVar(&f.verify, "verify", "", "check the bag in `FOLDER`")
	fl.StringVar(&f.format, "format", f.format, "with --verify: `FORM` in which findings are printed: lines, json, or sarif (OASIS SARIF 2.1.0)")
	_ = c.MarkFlagDirname("journal")
	_ = c.MarkFlagDirname("to")
	_ = c.MarkFlagDirname("verify")
	_ = c.RegisterFlagCompletionFunc("format", cobra.FixedCompletions(formats, cobra.ShellCompDirectiveNoFileComp))
	return c
}

// write makes the bag of a version.
func (f *archiveFlags) write(stdout, stderr io.Writer, args []string) error {
	in, err := readJournalOnline(f.dir, f.means())
	if err != nil {
		return err
	}
	defer in.close()
	if note, held := in.held.Named(strings.Join(args, "")); held {
		return usage("%s is held back: take `held-back` out of it, and its version can be archived", note)
	}
	v, err := pick(in.journal, args)
	if err != nil {
		return err
	}
	to := f.to
	if to == "" {
		to = strings.ReplaceAll(v.Path(), "/", "-") + "-bag"
	}
	if err := apart(f.dir, "bag", to); err != nil {
		return err
	}
	pages, err := layOut(in)
	if err != nil {
		return unreached(err)
	}
	if err := in.folder.Changed(); err != nil {
		return unreached(fmt.Errorf("nothing was written: %w", err))
	}
	if in.findings.Count(finding.Error) > 0 {
		if err := finding.PrintLines(stderr, in.findings.Sorted()); err != nil {
			return unreached(err)
		}
		fmt.Fprintf(stderr, "Nothing was written: %s.\n", verdict(&in.findings))
		return foundErrors
	}
	bag, err := archive.Make(archive.Input{
		Journal: in.journal, Version: v, Paths: pages.Paths(), Site: pages.Open,
		Note:    func(path string) (io.ReadCloser, error) { return in.folder.OpenFile(path) },
		Went:    pages.Went(),
		Program: program(), Method: site.Explaining, Shared: site.SharedFolder,
	})
	if err == nil {
		err = bag.Write(to, in.told)
	}
	if errors.Is(err, whole.ErrTaken) {
		return unreached(fmt.Errorf("%w; name another folder with --to", err))
	}
	if err != nil {
		return unreached(err)
	}
	fmt.Fprintf(stdout, "Wrote %s to %s, %s under data/.\nTo check it: voltwright archive --verify %s\n", v.Path(), to, count(len(bag.Paths()), "file"), to)
	return nil
}

// check verifies a bag and prints what it finds.
func (f *archiveFlags) check(stdout io.Writer, told progress.Report) error {
	report, found, err := archive.Verify(f.verify, told)
	if errors.Is(err, fs.ErrNotExist) {
		return unreached(fmt.Errorf("there is no folder %s", f.verify))
	}
	if err != nil {
		return unreached(err)
	}
	var list finding.List
	list.Add(found...)
	switch f.format {
	case "json":
		err = finding.PrintJSON(stdout, found)
	case "sarif":
		err = finding.PrintSARIF(stdout, Version, slashed(f.verify), found, docs())
	default:
		if err = finding.PrintLines(stdout, found); err == nil {
			_, err = fmt.Fprintln(stdout, checked(f.verify, report, &list))
		}
	}
	if err != nil {
		return unreached(err)
	}
	if list.Count(finding.Error) > 0 {
		return foundErrors
	}
	return nil
}

// checked says in one line what was checked and what came of it.
func checked(dir string, r archive.Report, found *finding.List) string {
	sound := "complete and valid"
	if found.Count(finding.Error) > 0 {
		sound = "not sound"
	}
	if len(r.Algorithms) == 0 {
		return fmt.Sprintf("Checked %s: %s; %s.", dir, sound, verdict(found))
	}
	return fmt.Sprintf("Checked %s, %s, %d bytes, by %s: %s; %s.",
		dir, count(r.Files, "file"), r.Bytes, list(r.Algorithms, "and"), sound, verdict(found))
}

// program names this program and the build of it, as far as the build tells.
func program() string {
	words := "voltwright " + Version
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return words
	}
	words += ", built with " + info.GoVersion
	set := map[string]string{}
	for _, s := range info.Settings {
		set[s.Key] = s.Value
	}
	if revision := set["vcs.revision"]; revision != "" {
		words += " from revision " + revision
		if set["vcs.modified"] == "true" {
			words += " with changes"
		}
	}
	return words
}
