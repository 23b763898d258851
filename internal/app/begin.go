package app

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"voltwright/internal/begin"
	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/whole"
)

// beginFlags are the options of begin as they are written.
type beginFlags struct{ version, run, name, date string }

func newBegin() *cobra.Command {
	f := &beginFlags{}
	c := &cobra.Command{
		Use:   "begin FOLDER [options]",
		Short: "Write a journal to start from, or the next version or run of a journal",
		Long: `Begin writes a small journal to a new folder: one vehicle, one version, one run and
its log, all invented and said to be so. It inspects clean and can be published.

With --version it adds the next version of a vehicle to the journal in FOLDER, with
--run the next run of a version (FOLDER is content/ then, if none is named). What
the last one says of how it is made is carried over; what was measured is left out,
and keys that must be filled in stand empty, where inspect points at them.
Nothing is written over.`,
		Example: `  voltwright begin my-journal
  voltwright begin --version shunter --name "A third pack"
  voltwright begin --run shunter/3-second-pack --date 2026-05-09`,
		Args: atMostOne("folder"),
		RunE: func(c *cobra.Command, args []string) error {
			switch {
			case f.version != "" && f.run != "":
				return usage("a version or a run at a time: leave out --version or --run")
			case f.version != "" || f.run != "":
				return f.add(c.OutOrStdout(), journalArg(args))
			case f.name != "" || f.date != "":
				return usage("--name and --date go with --version or --run")
			case len(args) == 0:
				return usage("name a folder for the new journal")
			}
			return beginJournal(c.OutOrStdout(), args[0])
		},
		ValidArgsFunction: completeFolder,
	}
	fl := c.Flags()
	fl.SortFlags = false
	fl.StringVar(&f.version, "version", "", "add the next version of `VEHICLE`, carried over from its last")
	fl.StringVar(&f.run, "run", "", "add the next run of `VEHICLE/VERSION`, carried over from its last")
	fl.StringVar(&f.name, "name", "", "`WORDS` that name the new version or run")
	fl.StringVar(&f.date, "date", "", "`DAY` of the new version or run, such as 2026-05-09")
	_ = c.RegisterFlagCompletionFunc("version", func(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
		return vehiclesOf(journalArg(args)), cobra.ShellCompDirectiveNoFileComp
	})
	_ = c.RegisterFlagCompletionFunc("run", func(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
		return versionsOf(journalArg(args)), cobra.ShellCompDirectiveNoFileComp
	})
	return c
}

func beginJournal(w io.Writer, dir string) error {
	files, err := begin.Journal(dir)
	if errors.Is(err, whole.ErrTaken) {
		return unreached(fmt.Errorf("%w; name a new folder, or an empty one", err))
	}
	if err != nil {
		return unreached(err)
	}
	for _, f := range files {
		fmt.Fprintf(w, "wrote %s\n", filepath.Join(dir, filepath.FromSlash(f)))
	}
	fmt.Fprintf(w, "All of it is invented, for you to change. Look at it, then make the pages:\n  voltwright inspect %[1]s\n  voltwright publish %[1]s\n", dir)
	return nil
}

// add writes the next version or run of a journal.
func (f *beginFlags) add(w io.Writer, dir string) error {
	ask := begin.Ask{Name: strings.TrimSpace(f.name)}
	if f.date != "" {
		var err error
		if ask.Date, err = notes.ParseDate(f.date); err != nil {
			return usage("--date: %q is no day of the calendar; write year, month and day, such as 2026-05-09", f.date)
		}
	}
	folder, err := openJournal(dir)
	if err != nil {
		return err
	}
	defer folder.Close()
	j := journal.Load(folder, &finding.List{}) // what is wrong elsewhere does not bear on it
	draft, err := f.draft(j, folder, ask)
	if err != nil {
		return err
	}
	err = draft.Write(dir)
	if errors.Is(err, whole.ErrTaken) {
		return unreached(fmt.Errorf("%w; name the new one with --name or --date", err))
	}
	if err != nil {
		return unreached(err)
	}
	for _, file := range draft.Files {
		fmt.Fprintf(w, "wrote %s\n", filepath.Join(dir, filepath.FromSlash(file.Path)))
	}
	if len(draft.Empty) > 0 {
		fmt.Fprintln(w, "To be filled in; inspect points at what must be:")
		for _, what := range draft.Empty {
			fmt.Fprintf(w, "  %s\n", what)
		}
	}
	return nil
}

func (f *beginFlags) draft(j *journal.Journal, folder *notes.Folder, ask begin.Ask) (*begin.Draft, error) {
	var draft *begin.Draft
	var err error
	if f.run != "" {
		v, no := pick(j, []string{f.run})
		if no != nil {
			return nil, no
		}
		draft, err = begin.NextRun(v, ask)
	} else {
		i := slices.IndexFunc(j.Vehicles, func(v *journal.Vehicle) bool { return v.Slug == path.Clean(f.version) })
		if i < 0 {
			var names []string
			for _, v := range j.Vehicles {
				names = append(names, v.Slug)
			}
			return nil, usage("the journal has no vehicle `%s`; it has %s", f.version, list(names, "and"))
		}
		draft, err = begin.NextVersion(j.Vehicles[i], folder.OpenFile, ask)
	}
	if err != nil {
		return nil, unreached(err)
	}
	return draft, nil
}

// openJournal opens a journal's folder; the error is for the maker.
func openJournal(dir string) (*notes.Folder, error) {
	folder, err := notes.Open(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, unreached(fmt.Errorf("there is no folder %s; name the one that holds journal.yaml", dir))
	}
	if err != nil {
		return nil, unreached(err)
	}
	return folder, nil
}
