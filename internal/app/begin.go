package app

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"voltwright/internal/begin"
	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/runlog"
	"voltwright/internal/whole"
)

// beginFlags are the options of begin as they are written.
type beginFlags struct {
	version, run, question, note, correction string // what is begun; one of them

	name, date        string
	log, words, found string
	answers           begin.Answers
}

// beginKinds are what an existing journal is added to with: the option, its value, and the options that go with it.
func (f *beginFlags) beginKinds() []beginKind {
	return []beginKind{
		{"version", &f.version, "add the next version of `VEHICLE`, carried over from its last", []string{"name", "date"}},
		{"run", &f.run, "add the next run of `VEHICLE/VERSION`, carried over from its last", []string{"name", "date", "log"}},
		{"question", &f.question, "add a question in its readers' `WORDS`", []string{"date"}},
		{"correction", &f.correction, "add a correction of what `NOTE` says, such as notes/why-a-cutout.md", []string{"name", "date", "words", "found"}},
		{"note", &f.note, "add a note with this `TITLE`", []string{"date"}},
	}
}

type beginKind struct {
	option string
	value  *string
	usage  string
	with   []string
}

func newBegin() *cobra.Command {
	f := &beginFlags{}
	c := &cobra.Command{
		Use:   "begin FOLDER [options]",
		Short: "Write a journal to start from, or the next page of a journal",
		Long: `Begin writes a small journal to a new folder: one vehicle, one version, one run and
its log, all invented and said to be so. It inspects clean and can be published.

With --vehicle it begins with a vehicle of yours instead, in a new folder or in the
journal in FOLDER. On a terminal, begin FOLDER asks the six short questions that the
options from --vehicle to --rider and --date answer; what is not answered is left out.

With --version it adds the next version of a vehicle to the journal in FOLDER, with
--run the next run of a version, with --question, --correction and --note a page of
that kind (FOLDER is content/ then, if none is named). What the last version or run
says of how it is made is carried over; what was measured is left out, and keys that
must be filled in stand empty, where inspect points at them. Nothing is written over.`,
		Example: `  voltwright begin my-journal
  voltwright begin my-journal --vehicle "The barrow" --packs "lfp, 8 in series, 20 Ah" --rider "nobody, work"
  voltwright begin --version shunter --name "A third pack"
  voltwright begin --run shunter/3-second-pack --log ~/logger/0042.csv
  voltwright begin --question "May it stand out in the rain?"`,
		Args: atMostOne("folder"),
		RunE: func(c *cobra.Command, args []string) error { return f.begin(c, args) },

		ValidArgsFunction: completeFolder,
	}
	f.options(c)
	return c
}

func (f *beginFlags) options(c *cobra.Command) {
	fl := c.Flags()
	fl.SortFlags = false
	for _, k := range f.beginKinds() {
		fl.StringVar(k.value, k.option, "", k.usage)
	}
	fl.StringVar(&f.name, "name", "", "`WORDS` that name the new version, run or correction")
	fl.StringVar(&f.date, "date", "", "`DAY` of what is begun, such as 2026-05-09; of a run with dates in its log, the log's")
	fl.StringVar(&f.log, "log", "", "`FILE` of the new run's log, which is copied beside it")
	fl.StringVar(&f.words, "words", "", "`WORDS` that a correction takes back, as they stand in the note")
	fl.StringVar(&f.found, "found", "", "how a correction was found, in a `SENTENCE`")
	for _, q := range begin.Askings() {
		if q.Option != "date" {
			fl.StringVar(q.Answer(&f.answers), q.Option, "", fmt.Sprintf("of a new vehicle, `WORDS` for: %s Such as %q", q.Words, q.Example))
		}
	}
	_ = c.RegisterFlagCompletionFunc("version", func(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
		return vehiclesOf(journalArg(args)), cobra.ShellCompDirectiveNoFileComp
	})
	_ = c.RegisterFlagCompletionFunc("run", func(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
		return versionsOf(journalArg(args)), cobra.ShellCompDirectiveNoFileComp
	})
	for _, name := range []string{"question", "note", "name", "date", "words", "found", "vehicle", "packs", "charger", "motors", "rider"} {
		_ = c.RegisterFlagCompletionFunc(name, cobra.NoFileCompletions)
	}
}

// begin writes what was asked for.
func (f *beginFlags) begin(c *cobra.Command, args []string) error {
	kind, err := f.kind(c)
	if err != nil {
		return err
	}
	switch {
	case kind != nil:
		return f.add(c.OutOrStdout(), journalArg(args))
	case f.answers.Vehicle != "":
		f.answers.Date = f.date
		return f.vehicle(c.OutOrStdout(), journalArg(args))
	case f.answered():
		return usage("say what it is as well: --vehicle %q", "The barrow")
	case f.date != "":
		return usage("--date goes with one of --version, --run, --question, --correction, --note, --vehicle")
	case len(args) == 0:
		return usage("name a folder for the new journal")
	}
	if in, ok := c.InOrStdin().(*os.File); ok && term.IsTerminal(int(in.Fd())) && whole.Free(args[0]) == nil {
		if err := f.ask(in, c.ErrOrStderr()); err != nil {
			return unreached(err)
		}
		if f.answers.Vehicle != "" {
			return f.vehicle(c.OutOrStdout(), args[0])
		}
	}
	return beginJournal(c.OutOrStdout(), args[0])
}

// kind is what an existing journal is to be added to with; nil: nothing was asked for. An option that does not go with it is a slip.
func (f *beginFlags) kind(c *cobra.Command) (*beginKind, error) {
	var asked *beginKind
	for _, k := range f.beginKinds() {
		if *k.value == "" {
			continue
		}
		if asked != nil {
			return nil, usage("one thing at a time: leave out --%s or --%s", asked.option, k.option)
		}
		asked = &k
	}
	if asked != nil && f.answered() {
		return nil, usage("--%s is no answer about a new vehicle: leave out the options from --vehicle to --rider, or it", asked.option)
	}
	for _, name := range []string{"name", "log", "words", "found"} {
		if !c.Flags().Changed(name) || asked != nil && slices.Contains(asked.with, name) {
			continue
		}
		var goes []string
		for _, k := range f.beginKinds() {
			if slices.Contains(k.with, name) {
				goes = append(goes, "--"+k.option)
			}
		}
		return nil, usage("--%s goes with %s", name, list(goes, "or"))
	}
	return asked, nil
}

// answered tells whether anything of a new vehicle was said by options.
func (f *beginFlags) answered() bool {
	return slices.ContainsFunc(begin.Askings(), func(q begin.Asking) bool { return *q.Answer(&f.answers) != "" })
}

// ask asks the questions about a new vehicle; an empty answer leaves it out, and an empty first one ends them.
func (f *beginFlags) ask(in io.Reader, out io.Writer) error {
	fmt.Fprintln(out, "Six short questions about your vehicle. An empty answer leaves it open; an empty first one\nwrites a journal with an invented vehicle, to be changed.")
	lines := bufio.NewScanner(in)
	for i, q := range begin.Askings() {
		for {
			fmt.Fprintf(out, "%s (such as: %s) ", q.Words, q.Example)
			if !lines.Scan() {
				fmt.Fprintln(out)
				return lines.Err()
			}
			answer := strings.TrimSpace(lines.Text())
			if answer == "" && i == 0 {
				return nil
			}
			*q.Answer(&f.answers) = answer
			_, err := begin.Vehicle(f.answers)
			if err == nil {
				break
			}
			var slip *begin.AnswerError
			if errors.As(err, &slip) {
				err = errors.New(slip.Said())
			}
			fmt.Fprintln(out, err)
		}
	}
	return nil
}

// vehicle begins a vehicle: in the journal in dir, or in a new one there.
func (f *beginFlags) vehicle(w io.Writer, dir string) error {
	draft, err := begin.Vehicle(f.answers)
	if err != nil {
		return usage("%v", err)
	}
	if _, err := os.Stat(filepath.Join(dir, "journal.yaml")); err == nil {
		return write(w, draft, dir)
	}
	files, err := begin.JournalOf(dir, draft)
	if err := begun(w, dir, files, "Look at it, then make the pages:", err); err != nil {
		return err
	}
	leftOver(w, draft)
	return nil
}

func beginJournal(w io.Writer, dir string) error {
	files, err := begin.Journal(dir)
	return begun(w, dir, files, "All of it is invented, for you to change. Look at it, then make the pages:", err)
}

// begun says of a new journal what was written, and how one goes on.
func begun(w io.Writer, dir string, files []string, said string, err error) error {
	if errors.Is(err, whole.ErrTaken) {
		return unreached(fmt.Errorf("%w; name a new folder, or an empty one", err))
	}
	if err != nil {
		return unreached(err)
	}
	for _, f := range files {
		fmt.Fprintf(w, "wrote %s\n", filepath.Join(dir, filepath.FromSlash(f)))
	}
	fmt.Fprintf(w, "%[2]s\n  voltwright inspect %[1]s\n  voltwright publish %[1]s\n", dir, said)
	return nil
}

// add writes what an existing journal is to be added to with.
func (f *beginFlags) add(w io.Writer, dir string) error {
	ask := begin.Ask{Name: strings.TrimSpace(f.name)}
	if f.date != "" {
		var err error
		if ask.Date, err = notes.ParseDate(f.date); err != nil {
			return usage("--date: %q is no day of the calendar; write year, month and day, such as 2026-05-09", f.date)
		}
	}
	if f.log != "" {
		if err := takeLog(f.log, &ask); err != nil {
			return err
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
	return write(w, draft, dir)
}

// write adds a draft to the journal in dir, and says what is left to the maker.
func write(w io.Writer, draft *begin.Draft, dir string) error {
	err := draft.Write(dir)
	if errors.Is(err, whole.ErrTaken) {
		return unreached(fmt.Errorf("%w; give the new one another name or day", err))
	}
	if err != nil {
		return unreached(err)
	}
	for _, file := range draft.Files {
		fmt.Fprintf(w, "wrote %s\n", filepath.Join(dir, filepath.FromSlash(file.Path)))
	}
	leftOver(w, draft)
	return nil
}

func leftOver(w io.Writer, draft *begin.Draft) {
	if len(draft.Empty) == 0 {
		return
	}
	fmt.Fprintln(w, "To be filled in; inspect points at what must be:")
	for _, what := range draft.Empty {
		fmt.Fprintf(w, "  %s\n", what)
	}
}

// takeLog reads the log that a run is begun with, and takes the run's day from it where it has dates and none was named.
func takeLog(name string, ask *begin.Ask) error {
	info, err := os.Stat(name)
	if err != nil {
		return unreached(err)
	}
	if !info.Mode().IsRegular() || info.Size() > notes.MaxFile {
		return unreached(fmt.Errorf("%s is no file that a journal takes as a log", name))
	}
	text, err := os.ReadFile(name)
	if err != nil {
		return unreached(err)
	}
	ask.Log = &begin.Log{Ending: strings.ToLower(filepath.Ext(name)), Text: text}
	if ask.Date.Set {
		return nil
	}
	scanner, err := runlog.NewScanner(finding.NewStream(name), bytes.NewReader(text), runlog.Options{})
	if err != nil {
		return unreached(err)
	}
	if _, ok := scanner.Next(); ok {
		if year, month, day, ok := scanner.Day(); ok {
			ask.Date, _ = notes.ParseDate(fmt.Sprintf("%04d-%02d-%02d", year, month, day)) // a day beyond the year 9999 is none
		}
	}
	return nil
}

func (f *beginFlags) draft(j *journal.Journal, folder *notes.Folder, ask begin.Ask) (*begin.Draft, error) {
	var draft *begin.Draft
	var err error
	switch {
	case f.question != "":
		ask.Name = f.question
		draft, err = begin.Question(ask)
	case f.note != "":
		ask.Name = f.note
		draft, err = begin.Note(ask)
	case f.correction != "":
		said, no := f.said(j, ask)
		if no != nil {
			return nil, no
		}
		draft, err = begin.Correction(said, ask)
	case f.run != "":
		v, no := pick(j, []string{f.run})
		if no != nil {
			return nil, no
		}
		draft, err = begin.NextRun(v, ask)
	default:
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

// said is what a correction takes back: words of a note that must be there. A correction's title is what is so, and has to be given.
func (f *beginFlags) said(j *journal.Journal, ask begin.Ask) (begin.Saying, error) {
	in := filepath.ToSlash(filepath.Clean(f.correction))
	var names []string
	for _, n := range j.AllNotes() {
		names = append(names, n.Path)
	}
	if !slices.Contains(names, in) {
		return begin.Saying{}, usage("the journal has no note `%s`%s", f.correction, notes.DidYouMean(in, names))
	}
	if ask.Name == "" {
		return begin.Saying{}, usage("say in a few words what is so: --name %q", "It charges for two hours, not for one")
	}
	return begin.Saying{In: in, Words: f.words, Found: f.found}, nil
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
