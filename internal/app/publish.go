package app

import (
	"fmt"
	"io"
	"maps"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"voltwright/internal/finding"
	"voltwright/internal/progress"
	"voltwright/internal/site"
	"voltwright/internal/whole"
)

// defaultSite is the folder that publish writes if none is named, beside where
// it runs.
const defaultSite = "site"

func newPublish() *cobra.Command {
	p := publishing{to: defaultSite}
	var kept func() means
	c := &cobra.Command{
		Use:   "publish [JOURNAL] [options]",
		Short: "Inspect a journal, then write its site; an error leaves the old site whole",
		Long: `Publish inspects a journal and writes it as a static site. If inspection finds an
error nothing is written and the site that stands stays as it was; the new site
takes its place whole, or not at all. What stands in the folder and was not written by
publish stays there; a file of that kind under a name that publish would write stops it. A version whose page stands on the old site keeps
its address: one that would be gone is an error, too, unless --allow-removed names it.

Where a running time now lies outside the interval that the old site gives for it, that is said, with what moved
it: a log, the spec, or a better formula. Where a formula of ours was wrong a correction is drafted on the screen.

A file whose bytes did not change stays as it is and keeps its time. With --list
standard output tells, a line for each file, which were added, changed and removed: what
brings a copy of the old site, such as a host's, to the new state. On a terminal only
what is found anew is told, the most urgent first.
JOURNAL is the folder that holds journal.yaml; content/ if none is named.`,
		Example: "  voltwright publish\n  voltwright publish ~/club/journal --to ~/club/public\n  voltwright publish --list > changes.txt",
		Args:    atMostOne("journal"),
		RunE: func(c *cobra.Command, args []string) error {
			p.dir = journalArg(args)
			return p.publish(c.OutOrStdout(), c.ErrOrStderr(), kept())
		},
		ValidArgsFunction: completeFolder,
	}
	c.Flags().StringVar(&p.to, "to", p.to, "`FOLDER` to write the site to")
	c.Flags().StringArrayVar(&p.removed, "allow-removed", nil, "`VEHICLE/VERSION` whose published page may go; may be given often")
	c.Flags().StringArrayVar(&p.letGo, "let-go", nil, "the former name of --allow-removed")
	_ = c.Flags().MarkHidden("let-go")
	c.Flags().BoolVar(&p.list, "list", false, "print `added PATH`, `changed PATH` or `removed PATH` for each such file of the site, and what else is to be said on standard error")
	kept = keeping(c)
	_ = c.MarkFlagDirname("to")
	return c
}

// publishing is what publish was asked for.
type publishing struct {
	dir, to string
	removed []string // versions whose pages may go
	letGo   []string // the same by the option's former name
	list    bool     // print what became of the site's files
}

func (p publishing) publish(stdout, stderr io.Writer, m means) error {
	if err := apart(p.dir, "site", p.to); err != nil {
		return err
	}
	m.told().Begin(progress.Reading, 0)
	folder, err := openJournal(p.dir)
	if err != nil {
		return err
	}
	defer func() { _ = folder.Close() }() // it was only read
	defer remember(folder, p.dir, m).Keep()
	standing := sumsOf(p.to, m)
	defer standing.Keep()
	key := stateKey(folder, m).Of("published")
	if done, err := p.again(key, standing, stdout, stderr, m); done {
		return err
	}
	in := readOnline(p.dir, folder, m)
	pages, err := layOut(in)
	if err != nil {
		return unreached(err)
	}
	if err := in.folder.Changed(); err != nil {
		return unreached(fmt.Errorf("nothing was written: %w", err))
	}
	if err := keepAddresses(in, pages, p.to, slices.Concat(p.removed, p.letGo)); err != nil {
		return unreached(err)
	}
	is, err := outcomeOf(in, pages)
	if err != nil {
		return unreached(err)
	}
	if toTerminal(stderr) {
		err = p.printNews(stderr, in, m)
	} else {
		_, err = io.WriteString(stderr, is.Said)
	}
	if err != nil {
		return unreached(err)
	}
	if in.findings.Count(finding.Error) > 0 {
		fmt.Fprintf(stderr, "Nothing was written: %s. The site in %s is as it was.\n", verdict(&in.findings), p.to)
		return foundErrors
	}
	changed := movedAnswers(in, p.to)
	done, err := site.Write(p.to, pages, standing, in.told)
	if err != nil {
		return unreached(err)
	}
	if _, err := io.WriteString(stderr, changed); err != nil {
		return unreached(err)
	}
	p.keepNews(in, m)
	if is.Sums = done.Sums; folder.StateHeld() {
		m.store.Put(key, is)
	}
	return p.say(stdout, stderr, is, done)
}

// told says what became of the site.
func (p publishing) told(done whole.Replaced, pages int) string {
	said := fmt.Sprintf("Wrote %s to %s", count(pages, "page"), p.to)
	switch n := len(done.Added) + len(done.Changed) + len(done.Removed); {
	case n == 0:
		said = fmt.Sprintf("Nothing has changed of the %s in %s", count(pages, "page"), p.to)
	case done.Same > 0:
		said = fmt.Sprintf("Wrote what changed of %s to %s (%s new, %d changed, %d removed, %d as before)",
			count(pages, "page"), p.to, count(len(done.Added), "file"), len(done.Changed), len(done.Removed), done.Same)
	}
	said += fmt.Sprintf(": open %s in a browser.", filepath.Join(p.to, "index.html"))
	if n := len(done.Foreign); n > 0 {
		said += fmt.Sprintf(" Left as it was: %s there that publish did not write.", count(n, "file"))
	}
	return said
}

// changeList lists what became of the files of a site, in the order of their paths.
func changeList(done whole.Replaced) string {
	word := map[string]string{}
	for said, names := range map[string][]string{"added": done.Added, "changed": done.Changed, "removed": done.Removed} {
		for _, name := range names {
			word[name] = said
		}
	}
	var b strings.Builder
	for _, name := range slices.Sorted(maps.Keys(word)) {
		fmt.Fprintf(&b, "%s %s\n", word[name], whole.QuotedName(name))
	}
	return b.String()
}

// layOut makes the pages in memory, unless an error stands in the way. What only
// a page can tell joins the findings: pictures and plots that cannot be shown,
// templates of the journal's own that do not work.
func layOut(in *inspected) (*site.Pages, error) {
	judge(in)
	in.sayHeld()
	if in.findings.Count(finding.Error) > 0 {
		return nil, nil
	}
	return lay(in, func(path string) (io.ReadCloser, error) { return in.folder.OpenFile(path) }, nil, nil, nil)
}

// lay makes the pages of a journal that has been judged, some of them first, of each of which laid is told. Files that the site
// copies are opened when they are asked for. Where a page that was kept is lost later, afresh makes the site anew; nil: as it is made here.
func lay(in *inspected, open func(path string) (io.ReadCloser, error), first []string, laid func(p *site.Pages, page string), afresh func() (*site.Pages, error)) (*site.Pages, error) {
	input := siteInput(in, open)
	input.First, input.Laid, input.Afresh = first, laid, afresh
	pages, found, err := site.Build(input)
	in.findings.Add(found...)
	return pages, err
}

// siteInput is what a site is made from.
func siteInput(in *inspected, open func(path string) (io.ReadCloser, error)) site.Input {
	return site.Input{
		Journal:  in.journal,
		Results:  in.results,
		Values:   in.values,
		Findings: slices.Clone(in.findings.Sorted()),
		Docs:     docs(),
		Open:     open,
		Themes:   layeredThemes{in.folder},
		Version:  Version,
		Steps:    in.study,
		Told:     in.told,

		KeepPages: in.study.Keeps(),
	}
}

// apart refuses a site or bag inside the journal it is made from, and the other
// way round: the one would be read as part of the other.
func apart(dir, what, to string) error {
	if to == "" {
		return usage("no folder is named for the %s; name one with --to", what)
	}
	a, err := realPath(dir)
	if err != nil {
		return unreached(err)
	}
	b, err := realPath(to)
	if err != nil {
		return unreached(err)
	}
	if filepath.Dir(b) == b {
		return usage("the %s cannot be all of %s; name a folder in it with --to", what, to)
	}
	for _, pair := range [][2]string{{a, b}, {b, a}} {
		rel, err := filepath.Rel(pair[0], pair[1])
		if err == nil && filepath.IsLocal(rel) {
			return usage("the %s (%s) and the journal (%s) may not lie inside each other; name another folder with --to", what, to, dir)
		}
	}
	return nil
}

// realPath is a path without symbolic links, as far as it leads to something.
func realPath(name string) (string, error) {
	name, err := filepath.Abs(name)
	if err != nil {
		return "", err
	}
	for rest := ""; ; name, rest = filepath.Dir(name), filepath.Join(filepath.Base(name), rest) {
		if real, err := filepath.EvalSymlinks(name); err == nil {
			return filepath.Join(real, rest), nil
		}
		if name == filepath.Dir(name) {
			return filepath.Join(name, rest), nil
		}
	}
}
